//! Which dimensions each sort of part has. One struct a sort; every field may be unknown. One table, however long.

use crate::dimension::Dimension;
use crate::part::Slot;
use crate::value::{Held, Noted, Value};
use crate::word::{
    ArmPattern, AxleKind, BarHistory, BarMaterial, BrakeFluid, BrakeMount, CableHead, CablePull, CableStops,
    CagePlates, CageSize, CaliperBolt, CaliperHole, CogWear, CupHand, Damage, DerailleurMount, Drive,
    Dropout, FrameMaterial, FreewheelThread, FrontMount, HangerKind, HangerMount, HangerThread, HousingKind,
    HubRotor, LeverSeat, LeverSide, Loosening, PedalThread, Play, RimEdge, RimTrack, RotorMount, ShellInside,
    ShellThread, Spindle, Spline, SteererKind, TyreNamed,
};
use quantity::{Angle, Length, Measured, Ratio, Reading, Teeth};

/// One field of a sort of part: its key in files and the dimension that it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// The key in files.
    pub key: &'static str,
    /// The dimension.
    pub dimension: Dimension,
}

/// A sort of part, read and asked field by field.
pub trait Kind: Default + Clone + PartialEq + std::fmt::Debug + 'static {
    /// Where such a part sits on a bike.
    const SLOT: Slot;
    /// All fields, in the order of files.
    const FIELDS: &'static [Field];
    /// The reading of a dimension; `None` if this sort of part has no such dimension.
    fn get(&self, dimension: Dimension) -> Option<Reading<Value>>;
    /// Puts a reading in its field. `false` if there is no such field or the value is of another sort.
    fn set(&mut self, dimension: Dimension, reading: Reading<Value>) -> bool;
}

/// Field types by short name.
type Lengths = Vec<Measured<Length>>;
type Mm = Measured<Length>;
type Deg = Measured<Angle>;
type Times = Measured<Ratio>;
type Count = Noted<u32>;
type ToothList = Noted<Vec<Teeth>>;

fn carry<T: Held>(reading: &Reading<T>) -> Reading<Value> {
    match reading {
        Reading::Taken(held) => Reading::Taken(held.to_value()),
        Reading::Fine => Reading::Fine,
        Reading::NotReachable => Reading::NotReachable,
        Reading::NotNeeded => Reading::NotNeeded,
        Reading::NotTaken => Reading::NotTaken,
    }
}

fn place<T: Held>(field: &mut Reading<T>, reading: Reading<Value>) -> bool {
    *field = match reading {
        Reading::Taken(value) => match T::from_value(value) {
            Some(held) => Reading::Taken(held),
            None => return false,
        },
        Reading::Fine => Reading::Fine,
        Reading::NotReachable => Reading::NotReachable,
        Reading::NotNeeded => Reading::NotNeeded,
        Reading::NotTaken => Reading::NotTaken,
    };
    true
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $Name:ident { $($(#[$field_doc:meta])* $field:ident: $Type:ty = $Dim:ident),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct $Name { $($(#[$field_doc])* pub $field: Reading<$Type>),+ }

        impl Kind for $Name {
            const SLOT: Slot = Slot::$Name;
            const FIELDS: &'static [Field] =
                &[$(Field { key: stringify!($field), dimension: Dimension::$Dim }),+];
            fn get(&self, dimension: Dimension) -> Option<Reading<Value>> {
                match dimension { $(Dimension::$Dim => Some(carry(&self.$field)),)+ _ => None }
            }
            fn set(&mut self, dimension: Dimension, reading: Reading<Value>) -> bool {
                match dimension { $(Dimension::$Dim => place(&mut self.$field, reading),)+ _ => false }
            }
        }
    )+};
}

kinds! {
    /// The frame and fork, with hanger, shell and brake bridges.
    Frame {
        /// What it is made of.
        material: Noted<FrameMaterial> = FrameMaterial,
        /// Bottom bracket centre to rear axle centre.
        chainstay: Mm = Chainstay,
        /// Head angle to level ground.
        head_angle: Deg = HeadAngle,
        /// Steerer diameter where the stem clamps.
        steerer: Mm = SteererDiameter,
        /// Outside diameter of the seat tube at the front derailleur.
        seat_tube: Mm = SeatTube,
        /// How the frame holds a front derailleur.
        front_mount: Noted<FrontMount> = FrameFrontMount,
        /// Bottom bracket centre to the lowest bolt position in the tab.
        tab_low: Mm = TabLow,
        /// Bottom bracket centre to the highest bolt position in the tab.
        tab_high: Mm = TabHigh,
        /// Bottom bracket centre to the bolt as it sits now.
        tab_now: Mm = TabNow,
        /// Width of the bottom bracket shell.
        shell_width: Mm = ShellWidth,
        /// Bore of the bottom bracket shell.
        shell_bore: Mm = ShellBore,
        /// Threaded or smooth.
        shell_inside: Noted<ShellInside> = ShellInside,
        /// Largest bore by the bore gauge.
        bore_most: Mm = BoreMost,
        /// Smallest bore by the bore gauge.
        bore_least: Mm = BoreLeast,
        /// What a look with light and cloth found on the frame.
        damage: Noted<Damage> = FrameDamage,
        /// What a look with light and cloth found on the fork.
        fork_damage: Noted<Damage> = ForkDamage,
        /// Whether the bottom bracket came loose when it was tried.
        bracket_moves: Noted<Loosening> = BracketMoves,
        /// Whether the cranks came loose when they were tried.
        crank_moves: Noted<Loosening> = CrankMoves,
        /// Whether the pedals came loose when they were tried.
        pedals_move: Noted<Loosening> = PedalsMove,
        /// Whether the seatpost moved when it was tried.
        post_moves: Noted<Loosening> = PostMoves,
        /// Whether the stem came loose when it was tried.
        stem_moves: Noted<Loosening> = StemMoves,
        /// Half widths of the chainstay at 75, 85, 95, 105 and 165 mm from the bottom bracket centre.
        stay_half_widths: Lengths = StayHalfWidths,
        /// Seat tube to chainstay.
        stay_angle: Deg = StayAngle,
        /// Side from which the front shift cable comes.
        front_cable: Noted<CablePull> = FrameCable,
        /// Inside diameter of the seat tube.
        post_bore: Mm = PostBore,
        /// Upper end of the frame to the saddle rails at the rider's height.
        post_exposed: Mm = PostExposed,
        /// Electric drive, if there is one.
        drive: Noted<Drive> = AssistDrive,
        /// Largest ring that the maker of the drive lists.
        listed_ring: Count = ListedRing,
        /// Largest cog that the maker of the drive lists.
        listed_cog: Count = ListedCog,
        /// Peak torque of the drive, newton metres.
        drive_torque: Count = DriveTorque,
        /// Speed at which the assist ends, km/h.
        assist_end: Count = AssistEnd,
        /// Which way the drive-side cup unscrews.
        drive_cup: Noted<CupHand> = DriveCup,
        /// Axle centre to hanger bolt centre.
        hanger_drop: Mm = HangerDrop,
        /// Hanger bolt behind the axle.
        hanger_behind: Mm = HangerBehind,
        /// Bottom bracket below the axle; negative where it lies higher.
        bracket_drop: Mm = BracketDrop,
        /// How much the chainstay grows over the travel of a rear suspension.
        chainstay_growth: Mm = ChainstayGrowth,
        /// Greatest difference of the hanger gauge over a span of 600 mm.
        hanger_bend: Mm = HangerBend,
        /// Hanger gauge at 12 o'clock less at 6.
        hanger_roll: Mm = HangerRoll,
        /// Hanger gauge in front of the axle less behind it.
        hanger_toe: Mm = HangerToe,
        /// Bolted or one piece.
        hanger: Noted<HangerKind> = HangerKind,
        /// Thread of the hanger.
        hanger_thread: Noted<HangerThread> = HangerThread,
        /// Mount of derailleur that the hanger is made for.
        hanger_mount: Noted<HangerMount> = HangerMount,
        /// What the rear dropouts take.
        rear_dropout: Noted<Dropout> = RearDropout,
        /// What the dropouts of the fork take.
        front_dropout: Noted<Dropout> = FrontDropout,
        /// Top of the steerer to the trough of the hood, forward.
        hand_forward: Mm = HandForward,
        /// Bearing cover to the trough of the hood, up.
        hand_up: Mm = HandUp,
        /// Slope of the top of the hood to the floor.
        hand_slope: Deg = HandSlope,
        /// Face of the smallest cog to the nearest part of the frame.
        dropout_gap: Mm = DropoutGap,
        /// Inside width of the stays at the tyre.
        room_rear: Mm = RoomRear,
        /// Inside width of the fork at the tyre.
        room_front: Mm = RoomFront,
        /// Rear rotor that the mount takes without an adapter.
        rotor_native_rear: Mm = RotorNativeRear,
        /// Largest rear rotor.
        rotor_most_rear: Mm = RotorMostRear,
        /// Front rotor that the mount takes without an adapter.
        rotor_native_front: Mm = RotorNativeFront,
        /// Largest front rotor.
        rotor_most_front: Mm = RotorMostFront,
        /// Left against right, string from the dropouts round the head tube.
        string_difference: Mm = StringDifference,
        /// Front caliper bolt to the middle of the rim track.
        reach_front: Mm = ReachFront,
        /// Rear caliper bolt to the middle of the rim track.
        reach_rear: Mm = ReachRear,
        /// How the fork holds a brake.
        mount_front: Noted<BrakeMount> = MountFront,
        /// How the frame holds a rear brake.
        mount_rear: Noted<BrakeMount> = MountRear,
        /// Brake hole of the fork crown.
        hole_front: Noted<CaliperHole> = HoleFront,
        /// Brake hole of the rear bridge.
        hole_rear: Noted<CaliperHole> = HoleRear,
        /// What the fork is made of.
        fork_material: Noted<FrameMaterial> = ForkMaterial,
        /// Fork crown from front face to rear face.
        crown_depth: Mm = CrownDepth,
        /// Rear face of the crown down to the seat of a sleeve nut.
        counterbore: Mm = Counterbore,
        /// Middle to middle of the brake studs, the narrower pair.
        stud_spacing: Mm = StudSpacing,
        /// Front axle to the studs.
        stud_height_front: Mm = StudHeightFront,
        /// Rear axle to the studs.
        stud_height_rear: Mm = StudHeightRear,
        /// How the frame leads cables.
        stops: Noted<CableStops> = StopKind,
        /// Narrowest port for housing or hose.
        port: Mm = FramePort,
        /// Housing to the rear derailleur, all pieces.
        rear_shift_housing: Mm = RearShiftHousing,
        /// Inner without housing to the rear derailleur.
        rear_shift_bare: Mm = RearShiftBare,
        /// Housing to the rear brake, all pieces.
        rear_brake_housing: Mm = RearBrakeHousing,
        /// Inner without housing to the rear brake.
        rear_brake_bare: Mm = RearBrakeBare,
        /// Housing or hose of the front brake, lever to brake.
        front_brake_run: Mm = FrontBrakeRun,
        /// Hose of the rear brake without its loop between bar and frame.
        rear_hose_fixed: Mm = RearHoseFixed,
        /// Housing to the front derailleur, all pieces.
        front_shift_housing: Mm = FrontShiftHousing,
        /// Inner without housing to the front derailleur.
        front_shift_bare: Mm = FrontShiftBare,
        /// How much longer the cable path is when folded.
        fold_extra: Mm = FoldExtra,
        /// Threaded or plain steerer.
        steerer_kind: Noted<SteererKind> = SteererKind,
        /// Bore of the steerer.
        steerer_bore: Mm = SteererBore,
        /// How far the steerer stands above the bearing cover.
        steerer_stands: Mm = SteererStands,
        /// Diameter of the seat for the crown race.
        crown_seat: Mm = CrownSeat,
        /// Bore of the head tube, above.
        head_bore_upper: Mm = HeadBoreUpper,
        /// Bore of the head tube, below.
        head_bore_lower: Mm = HeadBoreLower,
        /// Sum of the bends of the rear shift housing, lever to derailleur.
        rear_shift_bends: Deg = RearShiftBends,
        /// Pieces of shift housing on the bike.
        shift_pieces: Count = ShiftPieces,
        /// Pieces of brake housing on the bike.
        brake_pieces: Count = BrakePieces,
        /// Ends of brake housing with a built-in stop.
        built_in_stops: Count = BuiltInStops,
        /// Full lock of the bar.
        steering_lock: Deg = SteeringLock,
        /// Lever end of the brake housing loop, from the steering axis.
        brake_loop_lever: Lengths = BrakeLoopLever,
        /// Direction of the brake housing there.
        brake_loop_lever_angle: Deg = BrakeLoopLeverAngle,
        /// Frame end of the brake housing loop.
        brake_loop_stop: Lengths = BrakeLoopStop,
        /// Direction of the brake housing there.
        brake_loop_stop_angle: Deg = BrakeLoopStopAngle,
        /// Lever end of the shift housing loop, from the steering axis.
        shift_loop_lever: Lengths = ShiftLoopLever,
        /// Direction of the shift housing there.
        shift_loop_lever_angle: Deg = ShiftLoopLeverAngle,
        /// Frame end of the shift housing loop.
        shift_loop_stop: Lengths = ShiftLoopStop,
        /// Direction of the shift housing there.
        shift_loop_stop_angle: Deg = ShiftLoopStopAngle,
    }
    /// The rear wheel with its hub and cassette body.
    RearWheel {
        /// Over-locknut width.
        hub_width: Mm = HubWidth,
        /// Spline pattern of the body.
        spline: Noted<Spline> = BodySpline,
        /// Length of the splined body.
        body_length: Mm = BodyLength,
        /// Back of the largest cog to the spokes.
        spoke_gap: Mm = SpokeGap,
        /// Face of the smallest cog to the face of the locknut.
        small_cog_gap: Mm = SmallCogGap,
        /// Middle plane to the left flange.
        flange_left: Mm = FlangeLeft,
        /// Middle plane to the drive-side flange.
        flange_right: Mm = FlangeRight,
        /// Circle of the left spoke holes.
        holes_left: Mm = HoleCircleLeft,
        /// Circle of the drive-side spoke holes.
        holes_right: Mm = HoleCircleRight,
        /// Circle on which the spokes end in the rim.
        spoke_circle: Mm = SpokeCircle,
        /// Spokes of the wheel.
        spokes: Count = SpokeCount,
        /// How often a spoke crosses others of its side.
        crossings: Count = SpokeCrossings,
        /// Bead seat diameter.
        bead_seat: Mm = BeadSeat,
        /// Width of the inflated tyre.
        tyre_width: Mm = TyreWidth,
        /// Way rolled in one turn of the wheel under the rider.
        rollout: Mm = Rollout,
        /// Thinnest wall of the brake track.
        rim_wall: Mm = RimWall,
        /// How it is held.
        axle: Noted<AxleKind> = Axle,
        /// Thread for a screw-on freewheel.
        hub_thread: Noted<FreewheelThread> = HubThread,
        /// Width between the hooks of the rim.
        rim_inner: Mm = RimInner,
        /// Edge of the rim.
        rim_edge: Noted<RimEdge> = RimEdge,
        /// For which rims the tyre is named.
        tyre_named: Noted<TyreNamed> = TyreNamed,
        /// Brake track.
        rim_track: Noted<RimTrack> = RimTrack,
        /// Seat for a rotor.
        hub_rotor: Noted<HubRotor> = HubRotor,
    }
    /// The front wheel with its hub.
    FrontWheel {
        /// Over-locknut width.
        hub_width: Mm = FrontHubWidth,
        /// How it is held.
        axle: Noted<AxleKind> = Axle,
        /// Bead seat diameter.
        bead_seat: Mm = BeadSeat,
        /// Width of the inflated tyre.
        tyre_width: Mm = TyreWidth,
        /// Thinnest wall of the brake track.
        rim_wall: Mm = RimWall,
        /// Width between the hooks of the rim.
        rim_inner: Mm = RimInner,
        /// Edge of the rim.
        rim_edge: Noted<RimEdge> = RimEdge,
        /// For which rims the tyre is named.
        tyre_named: Noted<TyreNamed> = TyreNamed,
        /// Brake track.
        rim_track: Noted<RimTrack> = RimTrack,
        /// Seat for a rotor.
        hub_rotor: Noted<HubRotor> = HubRotor,
    }
    /// A pair of brake rotors.
    Rotors {
        /// How they are held.
        mount: Noted<RotorMount> = RotorMount,
        /// Diameter of the rear one.
        rear: Mm = RotorRear,
        /// Diameter of the front one.
        front: Mm = RotorFront,
        /// Thickness of the thinner one.
        thickness: Mm = RotorThickness,
        /// Least thickness printed on it.
        least: Mm = RotorLeast,
    }
    /// A cassette, cog by cog.
    Cassette {
        /// Teeth of every cog, smallest first.
        cogs: ToothList = Cogs,
        /// Middle of a cog to the middle of the next, the same for all.
        pitch: Mm = CogPitch,
        /// Middle to middle for each pair, smallest cog first, where they differ.
        pitches: Lengths = CogPitches,
        /// Thickness of a cog.
        cog_thickness: Mm = CogThickness,
        /// Spline pattern that it slides on.
        spline: Noted<Spline> = CassetteSpline,
        /// Length of body that the stack needs.
        body_needed: Mm = BodyNeeded,
        /// How far the largest cog reaches behind its rearmost support.
        overhang: Mm = Overhang,
        /// Spacers found behind the largest cog, in all.
        spacer_behind: Mm = SpacerBehind,
        /// Thread of a screw-on freewheel.
        thread: Noted<FreewheelThread> = FreewheelThread,
        /// Look of the teeth.
        wear: Noted<CogWear> = CogWear,
    }
    /// A chain.
    Chain {
        /// Number of half-inch pitches as counted.
        pitches: Count = ChainCount,
        /// Number of cogs that it is made for.
        speeds: Count = ChainSpeeds,
        /// Width over the pins.
        outer_width: Mm = ChainWidth,
        /// Length of twelve pitches, stretched.
        twelve_pitches: Mm = TwelvePitches,
    }
    /// A crankset with its rings.
    Crankset {
        /// Teeth of every ring, largest first.
        rings: ToothList = Rings,
        /// Middle of the rings to the middle plane of the frame.
        chainline: Mm = FrontChainline,
        /// Middle of one ring to the middle of the next.
        ring_gap: Mm = RingGap,
        /// Thickness of a ring at the teeth.
        ring_thickness: Mm = RingThickness,
        /// Pedal axle centre to crank centre.
        crank_length: Mm = CrankLength,
        /// Join to the spindle.
        spindle: Noted<Spindle> = CrankSpindle,
        /// Ring bolts on one circle.
        bolt_holes: Count = BoltHoles,
        /// Circle through the ring bolts.
        bolt_circle: Mm = BoltCircle,
        /// Spider arms evenly spaced or not.
        arms: Noted<ArmPattern> = ArmPattern,
        /// Outside of arm to outside of arm.
        q_factor: Mm = QFactor,
        /// Thickness of the arm where it passes the stay.
        arm_thickness: Mm = ArmThickness,
        /// Thread for the pedals.
        arm_thread: Noted<PedalThread> = ArmThread,
    }
    /// Rings bought apart from a crankset.
    Chainrings {
        /// Teeth of every ring, largest first.
        rings: ToothList = Rings,
        /// Thickness of a ring at the teeth.
        ring_thickness: Mm = RingThickness,
        /// Bolt holes on one circle.
        holes: Count = RingHoles,
        /// Circle through the bolt holes.
        circle: Mm = RingCircle,
        /// Holes evenly spaced or not.
        pattern: Noted<ArmPattern> = RingPattern,
    }
    /// A bottom bracket.
    BottomBracket {
        /// Thread of its cups.
        thread: Noted<ShellThread> = CupThread,
        /// Narrowest shell that it suits.
        shell_least: Mm = ShellLeast,
        /// Widest shell that it suits.
        shell_most: Mm = ShellMost,
        /// Spindle that it carries.
        spindle: Noted<Spindle> = BearingSpindle,
        /// Shell bore that it is made for, where it is pressed in.
        press_bore: Mm = PressBore,
        /// Outside diameter of its cups as measured.
        cup_diameter: Mm = CupDiameter,
    }
    /// A rear derailleur.
    RearDerailleur {
        /// Sideways pulley travel for one millimetre of cable.
        ratio: Times = ShiftRatio,
        /// Largest cog that its leaflet allows.
        largest_cog: Count = RatedCog,
        /// Teeth of chain that it takes up.
        capacity: Count = Capacity,
        /// Length of its cage.
        cage: Noted<CageSize> = CageSize,
        /// Hanger that it is made for.
        mount: Noted<DerailleurMount> = DerailleurMount,
        /// Lowest point of the cage below the axle.
        cage_drop: Mm = CageDrop,
        /// Lowest point of the cage outboard of the wheel.
        cage_out: Mm = CageOut,
        /// Sideways way of the guide pulley after every 5 mm of cable.
        travel: Lengths = PulleyTravel,
        /// Sideways play at the guide pulley.
        play: Mm = PulleyPlay,
        /// Clicks in a turn of its adjuster.
        adjuster_clicks: Count = AdjusterClicks,
        /// Click window of the lower gear: clicks added.
        window_low_added: Count = WindowLowAdded,
        /// Click window of the lower gear: clicks taken off.
        window_low_taken: Count = WindowLowTaken,
        /// Click window of the upper gear: clicks added.
        window_high_added: Count = WindowHighAdded,
        /// Click window of the upper gear: clicks taken off.
        window_high_taken: Count = WindowHighTaken,
        /// Centre of one pulley to the centre of the other.
        pulleys_apart: Mm = PulleysApart,
        /// Teeth of the guide pulley.
        guide_teeth: Count = GuideTeeth,
        /// Teeth of the tension pulley.
        tension_teeth: Count = TensionTeeth,
        /// Cage angle on the largest ring and the largest cog, 0° forward, 90° down.
        cage_angle_low: Deg = CageAngleLow,
        /// Cage angle on the largest ring and the smallest cog.
        cage_angle_high: Deg = CageAngleHigh,
        /// Guide pulley to the largest cog, tooth tip to tooth tip.
        guide_gap: Mm = GuideGap,
    }
    /// A front derailleur.
    FrontDerailleur {
        /// How it is held.
        mount: Noted<FrontMount> = FrontMount,
        /// Inside diameter of its band.
        band: Mm = Band,
        /// Cage for two rings or three.
        plates: Noted<CagePlates> = CagePlates,
        /// Greatest difference between largest and smallest ring.
        ring_difference: Count = RingDifference,
        /// Largest ring that its cage is curved for.
        largest_ring: Count = LargestRing,
        /// Smallest outer ring that its cage is curved for.
        smallest_ring: Count = SmallestOuterRing,
        /// Smallest angle of seat tube to chainstay that its cage suits.
        angle_least: Deg = FrontAngleLeast,
        /// Largest angle of seat tube to chainstay that its cage suits.
        angle_most: Deg = FrontAngleMost,
        /// Side from which its cable comes.
        pull: Noted<CablePull> = FrontPull,
        /// Inside width of its cage at the nose.
        cage_nose: Mm = FrontCageNose,
        /// Inside width of its cage at the tail.
        cage_tail: Mm = FrontCageTail,
        /// Nose to tail of its cage.
        cage_length: Mm = FrontCageLength,
        /// Tail of its cage behind the crank axis.
        tail_behind: Mm = FrontTailBehind,
        /// Its inner plate below the outer one.
        inner_depth: Mm = FrontInnerDepth,
        /// The bridge of its tail below the outer plate.
        bridge: Mm = FrontBridge,
        /// Its cage over the large ring.
        height: Mm = FrontHeight,
        /// Turn of its cage against the rings.
        yaw: Deg = FrontYaw,
        /// Cage travel for one millimetre of cable.
        ratio: Times = FrontRatio,
    }
    /// A seatpost.
    Seatpost {
        /// Outside diameter.
        diameter: Mm = PostDiameter,
        /// Rail clamp to lower end.
        length: Mm = PostLength,
        /// Bottom bracket centre to the top of the saddle.
        saddle_height: Mm = SaddleHeight,
        /// Saddle nose behind the bottom bracket centre.
        saddle_setback: Mm = SaddleSetback,
    }
    /// A pair of pedals.
    Pedals {
        /// Thread of the axles.
        thread: Noted<PedalThread> = PedalThread,
    }
    /// A pair of levers: brake levers, with shifters in them or without.
    Levers {
        /// Shift positions for the rear derailleur.
        positions: Count = ShiftPositions,
        /// Cable pulled by each click, the same for all.
        pull: Mm = ShiftPull,
        /// Cable pulled click by click, smallest cog first, where they differ.
        pulls: Lengths = ShiftPulls,
        /// Positions for the front derailleur.
        front_positions: Count = FrontPositions,
        /// Front shift cable of a whole throw.
        front_throw: Mm = FrontThrow,
        /// Finger travel for one millimetre of brake cable.
        lever_ratio: Times = LeverRatio,
        /// Brake cable pulled in a full stroke.
        brake_pull: Mm = LeverPull,
        /// From the clamp on the bar forward to the trough of the hood.
        hood: Mm = HoodReach,
        /// From the clamp on the bar up to the trough of the hood.
        hood_above: Mm = HoodAbove,
        /// From the axis of the stem clamp along the bar, seen from the side.
        along: Mm = LeverAlong,
        /// Middle of the stem to the left clamp along the bar.
        mark_left: Mm = LeverMarkLeft,
        /// Middle of the stem to the right clamp along the bar.
        mark_right: Mm = LeverMarkRight,
        /// Diameter of bar that the clamp fits.
        clamp: Mm = LeverClamp,
        /// Cable or fluid.
        fluid: Noted<BrakeFluid> = LeverFluid,
        /// Seat for the head of the brake inner.
        seat: Noted<LeverSeat> = LeverSeat,
        /// Outside diameter of the hose.
        hose: Mm = HoseDiameter,
        /// Which of the two works the front brake.
        front_brake: Noted<LeverSide> = FrontBrakeLever,
        /// Lever to grip, outside, at its middle.
        opening: Mm = LeverOpening,
        /// Cable pulled at 10, 20 and 30 mm of finger travel.
        readings: Lengths = LeverReadings,
        /// Top of the hood to level ground.
        tilt: Deg = LeverTilt,
    }
    /// Shifters apart from the brake levers.
    Shifters {
        /// Shift positions for the rear derailleur.
        positions: Count = ShiftPositions,
        /// Cable pulled by each click, the same for all.
        pull: Mm = ShiftPull,
        /// Cable pulled click by click, smallest cog first, where they differ.
        pulls: Lengths = ShiftPulls,
        /// Positions for the front derailleur.
        front_positions: Count = FrontPositions,
        /// Front shift cable of a whole throw.
        front_throw: Mm = FrontThrow,
        /// Diameter of bar that the clamp fits.
        clamp: Mm = LeverClamp,
    }
    /// A pair of rim calipers.
    Calipers {
        /// Shortest reach of the pad slot.
        slot_least: Mm = SlotLeast,
        /// Longest reach of the pad slot.
        slot_most: Mm = SlotMost,
        /// Cable for one millimetre that the pads close together.
        caliper_ratio: Times = CaliperRatio,
        /// Cable that the caliper wants for a full stroke.
        brake_pull: Mm = CaliperPull,
        /// Gap of the pads, both sides together.
        pad_gap: Mm = PadGap,
        /// Closing of the pads at 3, 6 and 9 mm of cable.
        readings: Lengths = CaliperReadings,
        /// Force at the tyre for one at the lever.
        figure: Times = BrakeFigure,
        /// Bolt with outside nut or sleeve nut.
        bolt: Noted<CaliperBolt> = CaliperBolt,
        /// How it is held.
        mount: Noted<BrakeMount> = CaliperMount,
        /// Cable or fluid.
        fluid: Noted<BrakeFluid> = CaliperFluid,
        /// Length of the front sleeve nut under its head.
        nut_length: Mm = NutLength,
        /// Front bolt behind the back of the caliper.
        bolt_reach: Mm = BoltReach,
        /// Lining of the thinnest pad.
        lining: Mm = PadLining,
    }
    /// A handlebar.
    Bar {
        /// Diameter where the stem clamps.
        clamp: Mm = BarClamp,
        /// Diameter where the levers clamp.
        grip: Mm = BarGrip,
        /// From the clamp axis forward to the front of the hook.
        reach: Mm = BarReach,
        /// From the clamp axis down to the lowest part.
        drop: Mm = BarDrop,
        /// Slope of the ramp below level.
        ramp: Deg = BarRamp,
        /// Width, middle to middle.
        width: Mm = BarWidth,
        /// Length to be wrapped on one side.
        wrapped_side: Mm = TapeSide,
        /// What it is made of.
        material: Noted<BarMaterial> = BarMaterial,
        /// Deepest mark in its surface.
        mark: Mm = BarMark,
        /// What is known of its past.
        history: Noted<BarHistory> = BarHistory,
        /// Cable port, the long way.
        port_long: Mm = BarPortLong,
        /// Cable port, the short way.
        port_short: Mm = BarPortShort,
        /// What the path inside the bar adds.
        detour: Mm = BarDetour,
        /// Way of the housing along the bar, lever to where it leaves it.
        housing_along: Mm = HousingAlong,
        /// Torque printed beside the clamp, newton metres.
        torque: Count = BarTorque,
        /// Saddle nose to hood trough, left and right.
        saddle_hoods: Lengths = SaddleHoods,
        /// Hood trough to the floor, left and right.
        hood_floors: Lengths = HoodFloors,
        /// Ends of the drops to level ground.
        tilt: Deg = BarTilt,
        /// Things clamped to it.
        things: Count = BarThings,
    }
    /// A stem.
    Stem {
        /// Diameter of bar that it clamps.
        clamp: Mm = StemClamp,
        /// Steerer axis to bar axis along the stem.
        length: Mm = StemLength,
        /// Angle to the square of the steerer, negative down.
        angle: Deg = StemAngle,
        /// Diameter of steerer that it clamps.
        steerer: Mm = StemSteerer,
        /// Spacers under the stem.
        spacers: Mm = Spacers,
        /// Height of the clamp along the steerer.
        height: Mm = StemHeight,
        /// Diameter of the quill.
        quill: Mm = StemQuill,
        /// How deep the quill sits.
        insertion: Mm = QuillInsertion,
        /// Torque printed on the faceplate, newton metres.
        torque: Count = StemTorque,
    }
    /// A headset, named by the sizes that it is made for.
    Headset {
        /// Steerer diameter.
        steerer: Mm = HeadsetSteerer,
        /// Seat of the crown race.
        crown_race: Mm = CrownRace,
        /// Upper bore of the head tube.
        cup_upper: Mm = CupUpper,
        /// Lower bore of the head tube.
        cup_lower: Mm = CupLower,
        /// Play and notches.
        play: Noted<Play> = HeadsetPlay,
    }
    /// A roll of bar tape for one side.
    Tape {
        /// Length of one roll.
        roll: Mm = TapeRoll,
        /// Width of the tape.
        width: Mm = TapeWidth,
        /// Bar diameter with tape on.
        wrapped: Mm = TapeWrapped,
    }
    /// A set of inner cables and housing.
    Cables {
        /// Length of the longest shift inner.
        shift_inner: Mm = ShiftInner,
        /// Length of the longest brake inner.
        brake_inner: Mm = BrakeInner,
        /// Shift housing in the set.
        shift_housing: Mm = ShiftHousing,
        /// Brake housing in the set.
        brake_housing: Mm = BrakeHousing,
        /// Make of the brake housing.
        brake_housing_kind: Noted<HousingKind> = BrakeHousingKind,
        /// Make of the shift housing.
        shift_housing_kind: Noted<HousingKind> = ShiftHousingKind,
        /// Outside diameter of the brake housing.
        brake_housing_diameter: Mm = BrakeHousingDiameter,
        /// Outside diameter of the shift housing.
        shift_housing_diameter: Mm = ShiftHousingDiameter,
        /// Diameter of the brake inner.
        brake_inner_diameter: Mm = BrakeInnerDiameter,
        /// Diameter of the shift inner.
        shift_inner_diameter: Mm = ShiftInnerDiameter,
        /// Head of the brake inner.
        head: Noted<CableHead> = CableHead,
        /// Old brake housing, lever to first stop.
        brake_piece: Mm = OldBrakePiece,
        /// Old shift housing, lever to first stop.
        shift_piece: Mm = OldShiftPiece,
        /// Old front brake housing or hose.
        front_brake_piece: Mm = OldFrontBrakePiece,
        /// Old housing at the rear derailleur.
        rear_loop: Mm = OldRearLoop,
    }
}
