//! The one list of everything that can be known of a bike or a part.
//!
//! A row gives the words, the sort of value, the usual tool with its tolerance, the range outside which a
//! reading is doubted, the minutes it takes and where to measure. Readers, rules, the list of what to
//! measure and the file schema are all made from these rows.
//!
//! Tools, tolerances and ranges are common practice of the trade, with no published source.

use crate::word::{
    ArmPattern as Arms, AxleKind, BarHistory, BarMaterial, BrakeFluid, BrakeMount, CableHead, CablePull,
    CableStops, CagePlates as Plates, CageSize as Cage, CaliperBolt as Bolt, CaliperHole, CogWear, CupHand,
    Damage, DerailleurMount, Drive, Dropout, FrameMaterial as Material, FreewheelThread, FrontMount as Mount,
    HangerKind as Hanger, HangerMount, HangerThread, HousingKind, HubRotor, LeverSeat, LeverSide, Loosening,
    PedalThread, Play, RimEdge, RimTrack, RotorMount, ShellInside, ShellThread, Spindle, Spline, SteererKind,
    TyreNamed, Word,
};

/// What to read a dimension with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tool {
    /// Tape measure or long rule.
    Tape,
    /// Trammel: two points on a bar.
    Trammel,
    /// Slide caliper.
    Caliper,
    /// Inside caliper.
    InsideCaliper,
    /// Bore gauge.
    BoreGauge,
    /// Micrometer.
    Micrometer,
    /// Outside-jaw wall caliper.
    WallCaliper,
    /// Depth rod of the caliper.
    DepthRod,
    /// Angle finder or level.
    AngleFinder,
    /// Hex keys or drill shanks as feelers.
    Feelers,
    /// Hanger gauge.
    HangerGauge,
    /// Chain gauge or rule over twelve pitches.
    ChainRule,
    /// One turn of the wheel along the floor, under the rider.
    FloorRoll,
    /// A flag on the cable and a caliper.
    CableFlag,
    /// The eye.
    Eye,
    /// Counting.
    Counting,
    /// The print on the part or its leaflet.
    Leaflet,
}

impl Tool {
    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::Tape => "tape measure",
            Self::Trammel => "trammel",
            Self::Caliper => "slide caliper",
            Self::InsideCaliper => "inside caliper",
            Self::BoreGauge => "bore gauge",
            Self::Micrometer => "micrometer",
            Self::WallCaliper => "wall caliper",
            Self::DepthRod => "depth rod",
            Self::AngleFinder => "angle finder",
            Self::Feelers => "drill shanks as feelers",
            Self::HangerGauge => "hanger gauge",
            Self::ChainRule => "rule over twelve pitches",
            Self::FloorRoll => "one turn along the floor under the rider",
            Self::CableFlag => "flag on the cable and a caliper",
            Self::Eye => "the eye",
            Self::Counting => "counting",
            Self::Leaflet => "the leaflet of the part",
        }
    }
}

/// How far a reading with the usual tool may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// In base units.
    Plus(f64),
    /// A share of the value.
    Share(f64),
    /// None: counted, chosen or printed.
    Exact,
}

impl Tolerance {
    /// The tolerance of a value, in base units.
    pub fn of(self, value: f64) -> f64 {
        match self {
            Self::Plus(tolerance) => tolerance,
            Self::Share(share) => share * value.abs(),
            Self::Exact => 0.0,
        }
    }
}

/// The sort of value that a dimension has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sort {
    /// One length.
    Length,
    /// Several lengths in order.
    Lengths,
    /// One angle.
    Angle,
    /// One ratio without unit.
    Ratio,
    /// A whole number.
    Count,
    /// Tooth counts.
    Teeth,
    /// One of these words.
    Word(&'static [&'static str]),
}

/// What must be done before the dimension can be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// With the bike whole.
    Whole,
    /// With the rear wheel out.
    WheelOut,
    /// With the cassette off.
    CassetteOff,
    /// After a part has been tried loose.
    Loosened,
}

impl Reach {
    /// What has to be done first.
    pub fn words(self) -> &'static str {
        match self {
            Self::Whole => "with the bike whole",
            Self::WheelOut => "with the rear wheel out",
            Self::CassetteOff => "with the cassette off",
            Self::Loosened => "once the part has been tried loose",
        }
    }
}

/// One row of the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// The dimension.
    pub dimension: Dimension,
    /// What it is called in a sentence.
    pub words: &'static str,
    /// Sort of value.
    pub sort: Sort,
    /// Usual tool.
    pub tool: Tool,
    /// Tolerance of that tool.
    pub tolerance: Tolerance,
    /// A finer tool and its tolerance, where the trade has one.
    pub finer: Option<(Tool, f64)>,
    /// Smallest value that is believed, base units.
    pub least: f64,
    /// Largest value that is believed, base units.
    pub most: f64,
    /// Minutes to take it.
    pub minutes: f64,
    /// What must be done first.
    pub reach: Reach,
    /// Where to measure.
    pub place: &'static str,
}

macro_rules! sort {
    (Length) => {
        Sort::Length
    };
    (Lengths) => {
        Sort::Lengths
    };
    (Angle) => {
        Sort::Angle
    };
    (Ratio) => {
        Sort::Ratio
    };
    (Count) => {
        Sort::Count
    };
    (Teeth) => {
        Sort::Teeth
    };
    ($Words:ident) => {
        Sort::Word(<$Words as Word>::WORDS)
    };
}

macro_rules! finer {
    () => {
        None
    };
    ($tool:ident $tolerance:literal) => {
        Some((Tool::$tool, $tolerance))
    };
}

macro_rules! dimensions {
    ($($Name:ident: $sort:ident $words:literal, $tool:ident $tolerance:expr $(, finer $finer:ident $fine:literal)?,
        $least:literal .. $most:literal, $minutes:literal min $reach:ident, $place:literal;)+) => {
        /// Something that can be known of a bike or a part.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Dimension { $(#[doc = $words] $Name),+ }

        impl Dimension {
            /// Every dimension, in the order of the list.
            pub const ALL: &'static [Dimension] = &[$(Dimension::$Name),+];
        }

        const ROWS: &[Row] = &[$(Row {
            dimension: Dimension::$Name, words: $words, sort: sort!($sort), tool: Tool::$tool, tolerance: $tolerance,
            finer: finer!($($finer $fine)?), least: $least, most: $most, minutes: $minutes, reach: Reach::$reach,
            place: $place,
        }),+];
    };
}

use Tolerance::{Exact, Plus, Share};

dimensions! {
    FrameMaterial: Material "frame material", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "magnet and eye";
    Chainstay: Length "chainstay length", Tape Plus(3.0), finer Trammel 1.0, 250.0 .. 700.0, 2.0 min Whole, "bottom bracket centre to rear axle centre, drive side";
    HeadAngle: Angle "head angle", AngleFinder Plus(0.5), 60.0 .. 80.0, 1.0 min Whole, "along the head tube, bike level";
    SteererDiameter: Length "steerer diameter", Caliper Plus(0.1), 19.0 .. 45.0, 1.0 min Whole, "where the stem clamps";
    SeatTube: Length "seat tube diameter", Caliper Plus(0.2), 24.0 .. 45.0, 1.0 min Whole, "at the front derailleur, in three directions";
    FrameFrontMount: Mount "front derailleur mount of the frame", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "band round the tube or bolt in a tab";
    TabLow: Length "lowest bolt height in the tab", Tape Plus(1.0), 80.0 .. 220.0, 1.0 min Whole, "bottom bracket centre to the lower end of the slot";
    TabHigh: Length "highest bolt height in the tab", Tape Plus(1.0), 80.0 .. 220.0, 1.0 min Whole, "bottom bracket centre to the upper end of the slot";
    TabNow: Length "present bolt height in the tab", Tape Plus(1.0), 80.0 .. 220.0, 1.0 min Whole, "bottom bracket centre to the bolt as it sits";
    ShellWidth: Length "shell width", Caliper Plus(0.3), 55.0 .. 125.0, 2.0 min Loosened, "across the faces of the shell, or over the cup flanges less the flanges";
    ShellBore: Length "shell bore", Caliper Plus(0.1), 28.0 .. 55.0, 2.0 min Loosened, "inside the shell, cups out";
    ShellInside: ShellInside "inside of the shell", Eye Exact, 0.0 .. 0.0, 0.5 min Loosened, "thread or smooth bore, cups out";
    BoreMost: Length "largest bore of the shell by the bore gauge", BoreGauge Plus(0.01), 28.0 .. 55.0, 2.0 min Loosened, "in three directions at both ends of the shell, the largest";
    BoreLeast: Length "smallest bore of the shell by the bore gauge", BoreGauge Plus(0.01), 28.0 .. 55.0, 2.0 min Loosened, "in three directions at both ends of the shell, the smallest";
    FrameDamage: Damage "damage to the frame", Eye Exact, 0.0 .. 0.0, 3.0 min Whole, "bottom bracket, head tube, dropouts, seat cluster, post slot and cable holes, with light and cloth";
    ForkDamage: Damage "damage to the fork", Eye Exact, 0.0 .. 0.0, 1.0 min Whole, "crown, legs, dropouts and the steerer where it shows, with light and cloth";
    BracketMoves: Loosening "whether the bottom bracket comes loose", Eye Exact, 0.0 .. 0.0, 4.0 min Whole, "a quarter turn loose and tight again";
    CrankMoves: Loosening "whether the cranks come loose", Eye Exact, 0.0 .. 0.0, 3.0 min Whole, "crank bolt, and three full turns of the extractor by hand";
    PedalsMove: Loosening "whether the pedals come loose", Eye Exact, 0.0 .. 0.0, 2.0 min Whole, "each a quarter turn loose and tight again";
    PostMoves: Loosening "whether the seatpost moves", Eye Exact, 0.0 .. 0.0, 2.0 min Whole, "mark the height with tape, then turn it in the frame";
    StemMoves: Loosening "whether the stem comes loose", Eye Exact, 0.0 .. 0.0, 2.0 min Whole, "turn it on the steerer, or a quill a little up";
    StayHalfWidths: Lengths "half widths of the drive-side chainstay", DepthRod Plus(0.5), 15.0 .. 70.0, 4.0 min Whole, "straightedge on the shell face and depth rod, from the middle plane, at 75, 85, 95, 105 and 165 mm from the bottom bracket centre";
    StayAngle: Angle "angle between seat tube and chainstay", AngleFinder Plus(0.5), 50.0 .. 80.0, 1.0 min Whole, "on the tube and on the stay, one less the other";
    FrameCable: CablePull "side from which the frame leads the front shift cable", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "last stop before the front derailleur";
    PostBore: Length "bore of the seat tube", InsideCaliper Plus(0.05), finer BoreGauge 0.01, 19.0 .. 40.0, 1.5 min Loosened, "in two directions below the slot, post out";
    PostExposed: Length "seatpost out of the frame at the rider's height", Tape Plus(2.0), 0.0 .. 600.0, 1.0 min Whole, "upper end of the frame to the middle of the saddle rails";
    AssistDrive: Drive "electric drive", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "at the cranks or in a hub";
    ListedRing: Count "largest ring on the list of the drive maker", Leaflet Exact, 20.0 .. 62.0, 5.0 min Whole, "the maker's printed list for this drive";
    ListedCog: Count "largest cog on the list of the drive maker", Leaflet Exact, 15.0 .. 60.0, 5.0 min Whole, "the maker's printed list for this drive";
    DriveTorque: Count "peak torque of the drive in newton metres", Leaflet Exact, 20.0 .. 200.0, 0.5 min Whole, "print or leaflet";
    AssistEnd: Count "speed at which the assist ends in km/h", Leaflet Exact, 10.0 .. 50.0, 0.5 min Whole, "leaflet of the drive; it differs by country";
    DriveCup: CupHand "hand of the drive-side cup", Eye Exact, 0.0 .. 0.0, 4.0 min Loosened, "turn the drive-side cup a quarter turn loose and tighten it again";
    HangerDrop: Length "hanger drop", Caliper Plus(1.0), finer Caliper 0.5, 15.0 .. 60.0, 1.5 min Whole, "rear axle centre to hanger bolt centre";
    HangerBehind: Length "hanger bolt behind the axle", Caliper Plus(1.0), -10.0 .. 60.0, 0.5 min Whole, "rear axle centre straight back to the hanger bolt centre, bike level";
    BracketDrop: Length "bottom bracket below the axle", Tape Plus(3.0), -120.0 .. 110.0, 1.0 min Whole, "height of the rear axle less height of the bottom bracket over a level floor; negative where it lies higher";
    ChainstayGrowth: Length "growth of the chainstay over the travel", Tape Plus(2.0), 0.0 .. 60.0, 5.0 min Whole, "bottom bracket centre to rear axle centre with the spring out, at full travel less at rest";
    HangerBend: Length "hanger gauge difference over 600 mm", HangerGauge Plus(1.0), 0.0 .. 80.0, 3.0 min Whole, "at 12, 3, 6 and 9 o'clock on the rim";
    HangerRoll: Length "hanger gauge above less below", HangerGauge Plus(1.0), -80.0 .. 80.0, 2.0 min Whole, "gauge to the rim at 12 o'clock less at 6; positive leans the foot of the hanger inward";
    HangerToe: Length "hanger gauge in front less behind", HangerGauge Plus(1.0), -80.0 .. 80.0, 2.0 min Whole, "gauge to the rim in front less behind the axle; positive turns the back of the hanger inward";
    HangerKind: Hanger "kind of hanger", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "bolted on or one piece with the dropout";
    HangerThread: HangerThread "thread of the derailleur hanger", Eye Exact, 0.0 .. 0.0, 1.0 min Whole, "turn a derailleur bolt in by finger, three turns; thread gauge";
    HangerMount: HangerMount "mount of the derailleur hanger", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "one hole below the axle, or a longer arm behind it";
    RearDropout: Dropout "rear dropouts", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "slots or holes for a through axle, and its diameter";
    FrontDropout: Dropout "dropouts of the fork", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "slots or holes for a through axle, and its diameter";
    HandForward: Length "steerer to the trough of the hood, forward", Tape Plus(3.0), 40.0 .. 400.0, 2.0 min Whole, "bike level: middle of the bearing cover under the spacers forward to the plumb of the trough";
    HandUp: Length "steerer to the trough of the hood, up", Tape Plus(3.0), -250.0 .. 250.0, 1.0 min Whole, "bike level: floor to the trough less floor to the bearing cover under the spacers; negative if the trough is lower";
    HandSlope: Angle "slope of the hood to the floor", AngleFinder Plus(0.5), -45.0 .. 60.0, 0.5 min Whole, "along the top of the hood, bike level, up positive";
    DropoutGap: Length "gap from smallest cog to dropout or stay", Feelers Plus(0.3), 0.0 .. 30.0, 1.0 min Whole, "outer face of the smallest cog to the nearest part of the frame where the chain runs";
    RoomRear: Length "inside width of the stays at the tyre", InsideCaliper Plus(0.5), 20.0 .. 150.0, 1.0 min Whole, "narrowest place beside the tyre, bridge and front derailleur included";
    RoomFront: Length "inside width of the fork at the tyre", InsideCaliper Plus(0.5), 20.0 .. 150.0, 1.0 min Whole, "narrowest place beside the tyre, crown included";
    RotorNativeRear: Length "smallest rear rotor of the frame mount", Leaflet Exact, 120.0 .. 240.0, 0.5 min Whole, "print on the frame or its leaflet";
    RotorMostRear: Length "largest rear rotor that the frame allows", Leaflet Exact, 120.0 .. 240.0, 0.5 min Whole, "print on the frame or its leaflet";
    RotorNativeFront: Length "smallest front rotor of the fork mount", Leaflet Exact, 120.0 .. 240.0, 0.5 min Whole, "print on the fork or its leaflet";
    RotorMostFront: Length "largest front rotor that the fork allows", Leaflet Exact, 120.0 .. 240.0, 0.5 min Whole, "print on the fork or its leaflet";
    StringDifference: Length "difference of the string test", Caliper Plus(0.5), 0.0 .. 40.0, 3.0 min WheelOut, "string from the dropouts round the head tube; gap to the seat tube, left against right";
    ReachFront: Length "front brake reach", Tape Plus(1.0), 30.0 .. 120.0, 1.0 min Whole, "caliper bolt centre to the middle of the rim track";
    ReachRear: Length "rear brake reach", Tape Plus(1.0), 30.0 .. 120.0, 1.0 min Whole, "caliper bolt centre to the middle of the rim track";
    MountFront: BrakeMount "front brake mount of the fork", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "bolt hole, studs, posts, flat seat or two tabs";
    MountRear: BrakeMount "rear brake mount of the frame", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "bolt hole, studs, posts, flat seat or two tabs";
    HoleFront: CaliperHole "brake hole of the fork crown", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "light and rod: right through, widened at the back, or in front only";
    HoleRear: CaliperHole "brake hole of the rear bridge", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "light and rod: right through, widened at the back, or in front only";
    ForkMaterial: Material "fork material", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "magnet and eye, at the crown";
    CrownDepth: Length "depth of the fork crown", DepthRod Plus(0.5), 8.0 .. 80.0, 1.0 min Loosened, "front face to rear face through the brake hole";
    Counterbore: Length "counterbore of the fork crown", DepthRod Plus(0.5), 0.0 .. 40.0, 1.0 min Loosened, "rear face down to the seat of the sleeve nut";
    StudSpacing: Length "stud spacing", Caliper Plus(0.5), 40.0 .. 120.0, 0.5 min Whole, "middle to middle of the two studs, fork and frame; the narrower counts";
    StudHeightFront: Length "front axle to stud", Tape Plus(1.0), 180.0 .. 340.0, 0.5 min Whole, "axle centre to the middle of the stud, along the blade";
    StudHeightRear: Length "rear axle to stud", Tape Plus(1.0), 180.0 .. 340.0, 0.5 min Whole, "axle centre to the middle of the stud, along the stay";
    StopKind: CableStops "cable stops of the frame", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "slotted, closed, guides for full housing, internal, bosses, or none";
    FramePort: Length "narrowest port of the frame", Feelers Plus(0.1), 2.0 .. 20.0, 1.0 min Whole, "drill shanks as pins, entry and exit";
    RearShiftHousing: Length "rear shift housing, all pieces", Tape Plus(5.0), 0.0 .. 4000.0, 2.0 min Whole, "string along the new path, piece by piece";
    RearShiftBare: Length "bare rear shift inner", Tape Plus(5.0), 0.0 .. 3000.0, 1.0 min Whole, "stop to stop, all runs together";
    RearBrakeHousing: Length "rear brake housing, all pieces", Tape Plus(5.0), 0.0 .. 4000.0, 2.0 min Whole, "string along the new path, piece by piece";
    RearBrakeBare: Length "bare rear brake inner", Tape Plus(5.0), 0.0 .. 3000.0, 1.0 min Whole, "stop to stop, all runs together";
    FrontBrakeRun: Length "front brake housing or hose, lever to brake", Tape Plus(5.0), 0.0 .. 3000.0, 2.0 min Whole, "string along the new path, bar straight ahead";
    RearHoseFixed: Length "rear brake hose without its loop", Tape Plus(5.0), 0.0 .. 4000.0, 2.0 min Whole, "string along the new path: lever to where it leaves the bar, and stop or port to the brake";
    FrontShiftHousing: Length "front shift housing, all pieces", Tape Plus(5.0), 0.0 .. 3000.0, 2.0 min Whole, "string along the new path, piece by piece";
    FrontShiftBare: Length "bare front shift inner", Tape Plus(5.0), 0.0 .. 3000.0, 1.0 min Whole, "stop to stop, all runs together";
    FoldExtra: Length "cable path added by the fold", Tape Plus(5.0), 0.0 .. 500.0, 2.0 min Whole, "string along the path, folded less unfolded";
    SteererKind: SteererKind "kind of steerer", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "threaded with a locknut, or plain with a stem clamped round it";
    SteererBore: Length "bore of the steerer", InsideCaliper Plus(0.05), 18.0 .. 40.0, 1.0 min Loosened, "inside the steerer, stem out";
    SteererStands: Length "steerer end above the bearing cover", Caliper Plus(0.2), 0.0 .. 200.0, 1.0 min Loosened, "depth rod to the end, from a straight edge on the stem";
    CrownSeat: Length "crown race seat", Caliper Plus(0.05), 20.0 .. 60.0, 1.0 min Loosened, "fork out, race off, in three directions";
    HeadBoreUpper: Length "upper bore of the head tube", InsideCaliper Plus(0.05), 25.0 .. 70.0, 1.0 min Loosened, "cups out, in three directions";
    HeadBoreLower: Length "lower bore of the head tube", InsideCaliper Plus(0.05), 25.0 .. 70.0, 1.0 min Loosened, "cups out, in three directions";
    RearShiftBends: Angle "sum of the bends of the rear shift housing", AngleFinder Plus(45.0), 0.0 .. 1800.0, 1.0 min Whole, "count quarter turns from lever to derailleur";
    ShiftPieces: Count "pieces of shift housing", Counting Exact, 0.0 .. 12.0, 0.5 min Whole, "count them from the levers to both derailleurs";
    BrakePieces: Count "pieces of brake housing", Counting Exact, 0.0 .. 12.0, 0.5 min Whole, "count them from the levers to both brakes";
    BuiltInStops: Count "brake housing ends with a built-in stop", Counting Exact, 0.0 .. 24.0, 0.5 min Whole, "ends that need no ferrule";
    HubWidth: Length "rear hub width", InsideCaliper Plus(0.5), 90.0 .. 200.0, 1.0 min WheelOut, "between the locknut faces";
    BodySpline: Spline "spline of the cassette body", Eye Exact, 0.0 .. 0.0, 0.5 min CassetteOff, "count the splines";
    BodyLength: Length "length of the cassette body", DepthRod Plus(0.3), finer DepthRod 0.1, 15.0 .. 60.0, 1.0 min CassetteOff, "flange to outer end of the splined body";
    SpokeGap: Length "gap from largest cog to spokes", Feelers Plus(0.25), 0.0 .. 40.0, 1.0 min WheelOut, "back of the largest cog to the nearest spoke";
    SmallCogGap: Length "gap from smallest cog to locknut", DepthRod Plus(0.3), 0.0 .. 25.0, 1.0 min WheelOut, "outer face of the smallest cog to the locknut face";
    FlangeLeft: Length "middle plane to the left flange", Caliper Plus(0.5), 5.0 .. 60.0, 2.0 min WheelOut, "half of the hub width less the locknut face to the middle of the flange";
    FlangeRight: Length "middle plane to the drive-side flange", Caliper Plus(0.5), 5.0 .. 60.0, 2.0 min WheelOut, "half of the hub width less the locknut face to the middle of the flange";
    HoleCircleLeft: Length "circle of the spoke holes, left", Caliper Plus(0.3), 20.0 .. 160.0, 1.0 min WheelOut, "middle of a hole to the middle of the opposite hole";
    HoleCircleRight: Length "circle of the spoke holes, drive side", Caliper Plus(0.3), 20.0 .. 160.0, 1.0 min WheelOut, "middle of a hole to the middle of the opposite hole";
    SpokeCircle: Length "circle on which the spokes end in the rim", Leaflet Plus(1.0), 250.0 .. 640.0, 3.0 min Loosened, "print of the rim, or two old spokes with nipples across the rim";
    SpokeCount: Count "spokes of the wheel", Counting Exact, 12.0 .. 60.0, 0.5 min Whole, "count one side and double it";
    SpokeCrossings: Count "crossings of a spoke", Counting Exact, 0.0 .. 5.0, 0.5 min Whole, "spokes of its own side that it meets on its way to the rim";
    BeadSeat: Length "bead seat diameter", Leaflet Exact, 250.0 .. 800.0, 0.5 min Whole, "printed on tyre and rim";
    TyreWidth: Length "tyre width, inflated", Caliper Plus(0.5), 15.0 .. 130.0, 0.5 min Whole, "across the inflated tyre";
    Rollout: Length "rollout of the rear wheel", FloorRoll Plus(10.0), 800.0 .. 2600.0, 3.0 min Whole, "one turn along the floor, rider on";
    RimWall: Length "rim wall at the brake track", WallCaliper Plus(0.1), 0.2 .. 5.0, 1.0 min Whole, "thinnest place of the track";
    FrontHubWidth: Length "front hub width", InsideCaliper Plus(0.5), 60.0 .. 160.0, 1.0 min Whole, "between the locknut faces, front wheel out";
    Axle: AxleKind "axle of the wheel", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "quick release, nuts or through axle, and its diameter";
    HubThread: FreewheelThread "freewheel thread of the hub", Caliper Exact, 0.0 .. 0.0, 2.0 min CassetteOff, "over the thread, and thread gauge";
    RimInner: Length "inner width of the rim", Caliper Plus(0.5), 8.0 .. 110.0, 2.0 min Whole, "between the hooks, tyre off, or print";
    RimEdge: RimEdge "edge of the rim", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "print, or feel for the hook with the tyre off";
    TyreNamed: TyreNamed "rims that the tyre is named for", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "print on the side of the tyre";
    RimTrack: RimTrack "brake track of the rim", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "a machined band on both sides";
    HubRotor: HubRotor "rotor seat of the hub", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "six holes or splines";
    RotorMount: RotorMount "mount of the rotors", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "six holes or splines";
    RotorRear: Length "diameter of the rear rotor", Tape Plus(1.0), 120.0 .. 240.0, 0.5 min Whole, "across the rotor, or print";
    RotorFront: Length "diameter of the front rotor", Tape Plus(1.0), 120.0 .. 240.0, 0.5 min Whole, "across the rotor, or print";
    RotorThickness: Length "thickness of the thinner rotor", Caliper Plus(0.05), 0.8 .. 3.0, 1.0 min Whole, "at the thinnest place of the band, both rotors";
    RotorLeast: Length "least thickness printed on the rotor", Leaflet Exact, 0.8 .. 3.0, 0.5 min Whole, "print on the rotor";
    FreewheelThread: FreewheelThread "thread of the freewheel", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "print on the back, or thread gauge";
    CogWear: CogWear "wear of the cogs", Eye Exact, 0.0 .. 0.0, 1.0 min Whole, "lay a new chain on the cogs used most and pull: look at the flanks";
    DerailleurMount: DerailleurMount "mount of the rear derailleur", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "with its own pivot or link, or without";
    CageDrop: Length "lowest point of the cage below the axle", Tape Plus(5.0), 60.0 .. 300.0, 1.0 min Whole, "chain on the smallest cogs, straight down from the axle";
    CageOut: Length "cage outboard of the middle of the wheel", Tape Plus(5.0), 40.0 .. 130.0, 1.0 min Whole, "lowest point of the cage sideways to the middle of the tyre";
    Cogs: Teeth "cogs", Counting Exact, 6.0 .. 80.0, 1.0 min Whole, "teeth of every cog, smallest first";
    CogPitch: Length "cog pitch", Caliper Plus(0.05), 2.5 .. 7.0, 1.0 min WheelOut, "caliper over the stack, less one cog, by the number of gaps";
    CogPitches: Lengths "cog pitches one by one", Caliper Plus(0.05), 2.5 .. 7.0, 3.0 min CassetteOff, "middle to middle of each pair";
    CogThickness: Length "cog thickness", Caliper Plus(0.05), 1.0 .. 3.5, 0.5 min WheelOut, "at the teeth";
    CassetteSpline: Spline "spline of the cassette", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "slide it on, or its leaflet";
    BodyNeeded: Length "body length that the cassette needs", Leaflet Exact, 15.0 .. 60.0, 1.0 min Whole, "leaflet, or slide the new cassette on";
    Overhang: Length "overhang of the largest cog", DepthRod Plus(0.1), 0.0 .. 15.0, 1.0 min Whole, "recess behind the rearmost support of the cassette";
    SpacerBehind: Length "spacers behind the largest cog", Caliper Plus(0.1), 0.0 .. 10.0, 0.5 min WheelOut, "look behind the largest cog with a light";
    ChainCount: Count "chain pitches counted", Counting Exact, 60.0 .. 260.0, 1.0 min Whole, "between two paint dots, all the way round";
    ChainSpeeds: Count "number of cogs the chain is made for", Leaflet Exact, 1.0 .. 14.0, 0.2 min Whole, "print or leaflet";
    ChainWidth: Length "chain width over the pins", Caliper Plus(0.05), 4.0 .. 10.0, 0.5 min Whole, "over a pin";
    TwelvePitches: Length "length of twelve chain pitches", ChainRule Plus(0.15), 150.0 .. 160.0, 0.5 min Whole, "pin to pin, chain stretched";
    Rings: Teeth "rings", Counting Exact, 6.0 .. 80.0, 0.5 min Whole, "teeth of every ring, largest first";
    FrontChainline: Length "front chainline", Caliper Plus(0.5), 30.0 .. 70.0, 2.0 min Whole, "half the seat tube and the gap to each ring";
    RingGap: Length "gap between the rings, middle to middle", Caliper Plus(0.2), 4.0 .. 14.0, 0.5 min Whole, "over both rings, less one";
    RingThickness: Length "ring thickness", Caliper Plus(0.1), 1.0 .. 4.0, 0.5 min Whole, "at the teeth";
    CrankLength: Length "crank length", Leaflet Exact, 90.0 .. 230.0, 0.5 min Whole, "printed on the arm, or pedal axle to crank centre";
    CrankSpindle: Spindle "spindle of the crankset", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "end of the spindle, leaflet";
    BoltHoles: Count "ring bolts of the crankset", Counting Exact, 3.0 .. 10.0, 0.2 min Whole, "arms of the spider on one circle";
    BoltCircle: Length "bolt circle of the crankset", Caliper Plus(0.2), finer Caliper 0.1, 40.0 .. 160.0, 1.0 min Whole, "neighbouring holes, middle to middle, times 1.701 for five, 1.414 for four, 1.155 for three";
    ArmPattern: Arms "spacing of the spider arms", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "all gaps alike or not";
    RingHoles: Count "bolt holes of the rings", Counting Exact, 3.0 .. 10.0, 0.2 min Whole, "holes on one circle";
    RingCircle: Length "bolt circle of the rings", Caliper Plus(0.2), finer Caliper 0.1, 40.0 .. 160.0, 1.0 min Whole, "neighbouring holes, middle to middle, times 1.701 for five, 1.414 for four, 1.155 for three";
    RingPattern: Arms "spacing of the bolt holes in the rings", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "all gaps alike or not";
    QFactor: Length "outside of arm to outside of arm at the pedals", Tape Plus(1.0), 110.0 .. 240.0, 0.5 min Whole, "rule across both arms, one up and one down";
    ArmThickness: Length "thickness of the crank arm beside the stay", Caliper Plus(0.3), 6.0 .. 35.0, 0.5 min Whole, "from the outer face at the pedal to the face towards the stay";
    ArmThread: PedalThread "pedal thread of the crank arms", Caliper Exact, 0.0 .. 0.0, 0.5 min Loosened, "three turns by fingers, or caliper and thread gauge";
    PressBore: Length "shell bore that the bottom bracket is made for", Leaflet Exact, 28.0 .. 55.0, 0.5 min Whole, "leaflet";
    CupDiameter: Length "outside diameter of the pressed cups", Micrometer Plus(0.003), 28.0 .. 55.0, 1.0 min Whole, "both cups in two directions; they must agree";
    FrontAngleLeast: Angle "smallest angle of seat tube to chainstay of the front derailleur", Leaflet Exact, 50.0 .. 80.0, 0.5 min Whole, "leaflet";
    FrontAngleMost: Angle "largest angle of seat tube to chainstay of the front derailleur", Leaflet Exact, 50.0 .. 80.0, 0.5 min Whole, "leaflet";
    FrontPull: CablePull "side from which the front derailleur is pulled", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "where its cable comes from";
    PedalThread: PedalThread "thread of the pedals", Caliper Exact, 0.0 .. 0.0, 0.5 min Loosened, "caliper over the thread, thread gauge";
    PostDiameter: Length "diameter of the seatpost", Caliper Plus(0.05), finer Micrometer 0.01, 19.0 .. 40.0, 0.5 min Loosened, "below the clamp mark, in two directions";
    PostLength: Length "length of the seatpost", Tape Plus(2.0), 100.0 .. 600.0, 0.5 min Loosened, "middle of the rail clamp to the lower end";
    CupThread: ShellThread "thread of the bottom bracket", Leaflet Exact, 0.0 .. 0.0, 0.5 min Loosened, "print on the cups";
    ShellLeast: Length "narrowest shell the bottom bracket suits", Leaflet Exact, 50.0 .. 130.0, 0.5 min Whole, "leaflet";
    ShellMost: Length "widest shell the bottom bracket suits", Leaflet Exact, 50.0 .. 130.0, 0.5 min Whole, "leaflet";
    BearingSpindle: Spindle "spindle the bottom bracket carries", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "leaflet";
    ShiftRatio: Ratio "rear derailleur ratio", CableFlag Share(0.01), finer CableFlag 0.01, 0.8 .. 2.2, 5.0 min Whole, "pulley travel over the whole range by cable pulled";
    RatedCog: Count "largest cog of the rear derailleur", Leaflet Exact, 15.0 .. 60.0, 1.0 min Whole, "print or leaflet";
    Capacity: Count "capacity of the rear derailleur", Leaflet Exact, 5.0 .. 60.0, 1.0 min Whole, "print or leaflet";
    CageSize: Cage "cage length of the rear derailleur", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "pulley centre to pulley centre";
    PulleyTravel: Lengths "guide pulley for every 5 mm of cable", CableFlag Plus(0.2), 0.5 .. 120.0, 6.0 min Whole, "sideways from rest after 5, 10, 15 mm of cable and on, across the cassette";
    PulleyPlay: Length "sideways play at the guide pulley", Feelers Plus(0.1), 0.0 .. 6.0, 0.5 min Whole, "push and pull the cage; half of the way between";
    AdjusterClicks: Count "clicks in a turn of the adjuster", Counting Exact, 1.0 .. 24.0, 0.5 min Whole, "turn the barrel once round";
    WindowLowAdded: Count "clicks added in the lower gear until a shift fails", Counting Exact, 0.0 .. 60.0, 1.5 min Whole, "gear 3 of 9 to 11, 4 of 12: add clicks until the shift to the smaller cog first fails";
    WindowLowTaken: Count "clicks taken off in the lower gear until a shift fails", Counting Exact, 0.0 .. 60.0, 1.5 min Whole, "same gear: take clicks off until the shift to the larger cog first fails";
    WindowHighAdded: Count "clicks added in the upper gear until a shift fails", Counting Exact, 0.0 .. 60.0, 1.5 min Whole, "as many gears from the largest cog: add clicks until the shift to the smaller cog first fails";
    WindowHighTaken: Count "clicks taken off in the upper gear until a shift fails", Counting Exact, 0.0 .. 60.0, 1.5 min Whole, "same gear: take clicks off until the shift to the larger cog first fails";
    PulleysApart: Length "distance of the pulleys", Caliper Plus(0.5), 30.0 .. 130.0, 0.5 min Whole, "bolt of the guide pulley to bolt of the tension pulley";
    GuideTeeth: Count "teeth of the guide pulley", Counting Exact, 9.0 .. 20.0, 0.2 min Whole, "the upper pulley";
    TensionTeeth: Count "teeth of the tension pulley", Counting Exact, 9.0 .. 20.0, 0.2 min Whole, "the lower pulley";
    CageAngleLow: Angle "cage angle on the largest ring and the largest cog", AngleFinder Plus(1.0), -30.0 .. 200.0, 0.5 min Whole, "level along both pulley bolts, bike level: 0° where the lower pulley is straight in front, 90° straight down, more behind";
    CageAngleHigh: Angle "cage angle on the largest ring and the smallest cog", AngleFinder Plus(1.0), -30.0 .. 200.0, 0.5 min Whole, "level along both pulley bolts, bike level: 0° where the lower pulley is straight in front, 90° straight down, more behind";
    GuideGap: Length "gap of the guide pulley to the largest cog", Feelers Plus(0.5), 0.0 .. 60.0, 0.5 min Whole, "tooth tip to tooth tip, on the largest ring";
    FrontMount: Mount "mount of the front derailleur", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "band or bolt";
    Band: Length "band of the front derailleur", Leaflet Exact, 24.0 .. 45.0, 0.5 min Whole, "print inside the band";
    CagePlates: Plates "cage of the front derailleur", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "depth of the inner plate";
    RingDifference: Count "largest ring difference of the front derailleur", Leaflet Exact, 4.0 .. 35.0, 1.0 min Whole, "print or leaflet";
    LargestRing: Count "largest ring of the front derailleur", Leaflet Exact, 20.0 .. 62.0, 1.0 min Whole, "print or leaflet";
    SmallestOuterRing: Count "smallest outer ring of the front derailleur", Leaflet Exact, 20.0 .. 62.0, 1.0 min Whole, "print or leaflet";
    FrontCageNose: Length "inside width of the front cage at its nose", Caliper Plus(0.2), 5.0 .. 25.0, 0.5 min Whole, "between the plates at their front ends";
    FrontCageTail: Length "inside width of the front cage at its tail", Caliper Plus(0.2), 5.0 .. 30.0, 0.5 min Whole, "between the plates beside the bridge";
    FrontCageLength: Length "length of the front cage", Tape Plus(2.0), 40.0 .. 140.0, 0.5 min Whole, "nose to tail along the plates";
    FrontTailBehind: Length "tail of the front cage behind the cranks", Tape Plus(2.0), 20.0 .. 130.0, 1.0 min Whole, "crank axis to the bridge, along the line to the rear axle";
    FrontInnerDepth: Length "inner plate of the front cage below the outer one", Caliper Plus(0.5), 0.0 .. 50.0, 0.5 min Whole, "lower edge to lower edge in the middle of the cage";
    FrontBridge: Length "bridge of the front cage below its outer plate", Caliper Plus(0.5), 0.0 .. 60.0, 0.5 min Whole, "at the tail, lower edge of the outer plate down to the bridge";
    FrontHeight: Length "front cage over the large ring", Feelers Plus(0.3), 0.0 .. 20.0, 0.5 min Whole, "lower edge of the outer plate over the tallest tooth";
    FrontYaw: Angle "turn of the front cage", AngleFinder Plus(0.5), -10.0 .. 10.0, 1.0 min Whole, "outer plate against the ring from above; positive with the tail outward";
    FrontRatio: Ratio "front derailleur ratio", CableFlag Share(0.05), 0.4 .. 4.0, 3.0 min Whole, "cage travel by cable pulled, both limit screws open";
    ShiftPositions: Count "shift positions", Counting Exact, 1.0 .. 14.0, 0.5 min Whole, "count the clicks and add one";
    ShiftPull: Length "cable pull of a click", CableFlag Plus(0.05), 1.5 .. 6.0, 5.0 min Whole, "flag on the cable moved over all clicks, by their number";
    ShiftPulls: Lengths "cable pull click by click", CableFlag Plus(0.1), 1.0 .. 8.0, 5.0 min Whole, "flag on the cable, one click at a time";
    FrontPositions: Count "front shift positions", Counting Exact, 1.0 .. 4.0, 0.5 min Whole, "count the clicks and add one";
    FrontThrow: Length "front shift cable of a whole throw", CableFlag Plus(0.3), 2.0 .. 40.0, 2.0 min Whole, "flag on the cable, from rest to the last front position";
    LeverRatio: Ratio "finger travel for a millimetre of brake cable", CableFlag Share(0.05), 1.2 .. 8.0, 3.0 min Whole, "rule at the finger, flag on the cable, three points";
    LeverPull: Length "brake cable pulled in a full stroke", CableFlag Plus(0.5), 4.0 .. 30.0, 2.0 min Whole, "flag on the cable, squeeze to 25 mm from the grip";
    HoodReach: Length "clamp to hood trough", Tape Plus(2.0), 0.0 .. 120.0, 1.0 min Whole, "bar at the clamp forward to the trough of the hood";
    HoodAbove: Length "clamp to hood trough, up", Tape Plus(2.0), -40.0 .. 90.0, 1.0 min Whole, "bar at the clamp up to the trough of the hood, plumb; negative if the trough is lower";
    LeverAlong: Length "stem clamp to lever clamp along the bar, from the side", Tape Plus(2.0), 20.0 .. 250.0, 1.0 min Whole, "from the axis of the stem clamp along ramp and bend, in the plane of the lever";
    LeverMarkLeft: Length "middle of the stem to the left lever along the bar", Tape Plus(1.0), 80.0 .. 600.0, 0.5 min Whole, "tape laid along the bar to the inner edge of the lever clamp";
    LeverMarkRight: Length "middle of the stem to the right lever along the bar", Tape Plus(1.0), 80.0 .. 600.0, 0.5 min Whole, "tape laid along the bar to the inner edge of the lever clamp";
    LeverClamp: Length "bar diameter of the lever clamp", Caliper Plus(0.1), 19.0 .. 35.0, 0.5 min Whole, "inside the clamp, or leaflet";
    SlotLeast: Length "shortest pad reach of the caliper", Leaflet Exact, 30.0 .. 120.0, 0.5 min Whole, "bolt centre to the upper end of the pad slot";
    SlotMost: Length "longest pad reach of the caliper", Leaflet Exact, 30.0 .. 120.0, 0.5 min Whole, "bolt centre to the lower end of the pad slot";
    CaliperRatio: Ratio "brake cable for a millimetre of pad closing", CableFlag Share(0.05), 0.4 .. 4.0, 3.0 min Whole, "cable pulled against the gap between the pads";
    CaliperPull: Length "brake cable the caliper wants", Leaflet Exact, 4.0 .. 30.0, 0.5 min Whole, "leaflet";
    CaliperBolt: Bolt "bolt of the caliper", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "outside nut or sleeve nut";
    CaliperMount: BrakeMount "mount of the caliper", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "one bolt, studs, posts, flat seat or two tabs";
    CaliperFluid: BrakeFluid "what works the caliper", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "cable, or the fluid on the cap and in the leaflet";
    NutLength: Length "sleeve nut of the caliper", Caliper Plus(0.2), 4.0 .. 60.0, 0.5 min Whole, "under its head to its end";
    BoltReach: Length "bolt behind the caliper", Caliper Plus(0.2), 5.0 .. 120.0, 0.5 min Whole, "back of the caliper with its washers to the end of the bolt";
    PadLining: Length "lining left on the thinnest brake pad", Caliper Plus(0.1), 0.0 .. 20.0, 1.0 min Whole, "lining without its holder, or the groove of a rim pad, with the depth rod";
    BarClamp: Length "bar diameter at the stem", Caliper Plus(0.1), 20.0 .. 40.0, 1.0 min Whole, "beside the stem clamp, in three directions";
    BarGrip: Length "bar diameter at the levers", Caliper Plus(0.1), 19.0 .. 30.0, 1.0 min Whole, "under the tape where the lever clamps";
    BarReach: Length "bar reach", Tape Plus(2.0), 0.0 .. 160.0, 0.5 min Whole, "clamp axis to the front of the hook";
    BarDrop: Length "bar drop", Tape Plus(2.0), 0.0 .. 200.0, 0.5 min Whole, "clamp axis to the lowest part";
    BarRamp: Angle "slope of the ramp below level", AngleFinder Plus(0.5), -15.0 .. 30.0, 0.5 min Whole, "on the ramp behind the hood, with the drop ends as the rider has them; negative if it rises";
    BarWidth: Length "bar width, middle to middle", Tape Plus(2.0), 250.0 .. 1000.0, 0.5 min Whole, "at the ends";
    StemClamp: Length "bar diameter of the stem", Caliper Plus(0.1), 20.0 .. 40.0, 1.0 min Whole, "print, or the bar beside the clamp";
    StemLength: Length "stem length", Tape Plus(2.0), 20.0 .. 180.0, 0.5 min Whole, "steerer axis to bar axis along the stem";
    StemAngle: Angle "stem angle", AngleFinder Plus(0.5), -60.0 .. 60.0, 0.5 min Whole, "to the square of the steerer, negative down";
    StemSteerer: Length "steerer diameter of the stem", Leaflet Exact, 19.0 .. 45.0, 0.5 min Whole, "print or caliper";
    Spacers: Length "spacers under the stem", Tape Plus(1.0), 0.0 .. 120.0, 0.5 min Whole, "bearing cover to the stem";
    StemHeight: Length "clamp height of the stem", Caliper Plus(0.2), 20.0 .. 80.0, 0.5 min Whole, "along the steerer, lower to upper edge";
    StemQuill: Length "quill diameter of the stem", Caliper Plus(0.05), 18.0 .. 30.0, 0.5 min Whole, "the part that goes into the steerer";
    QuillInsertion: Length "quill inside the steerer", Tape Plus(1.0), 0.0 .. 200.0, 1.0 min Whole, "lower end of the quill to the locknut, at the height that is ridden";
    HeadsetSteerer: Length "steerer diameter of the headset", Leaflet Exact, 19.0 .. 45.0, 0.2 min Whole, "print or leaflet";
    CrownRace: Length "bore of the crown race", Leaflet Exact, 20.0 .. 60.0, 0.2 min Whole, "print or leaflet: the seat that it is made for";
    CupUpper: Length "upper cup of the headset", Leaflet Exact, 25.0 .. 70.0, 0.2 min Whole, "print or leaflet: the bore that it is made for";
    CupLower: Length "lower cup of the headset", Leaflet Exact, 25.0 .. 70.0, 0.2 min Whole, "print or leaflet: the bore that it is made for";
    BarMaterial: BarMaterial "bar material", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "magnet, eye and print";
    BarMark: Length "deepest mark in the bar", DepthRod Plus(0.05), 0.0 .. 5.0, 2.0 min Loosened, "tape off, lever clamps and stem clamp off, light along the surface";
    BarHistory: BarHistory "history of the bar", Leaflet Exact, 0.0 .. 0.0, 0.5 min Whole, "bill, box, first owner; what somebody says who sells it does not count";
    BarPortLong: Length "cable port of the bar, long way", Caliper Plus(0.1), 2.0 .. 40.0, 0.5 min Whole, "inside edges, at the narrowest";
    BarPortShort: Length "cable port of the bar, short way", Caliper Plus(0.1), 2.0 .. 30.0, 0.5 min Whole, "inside edges, at the narrowest";
    BarTorque: Count "torque printed on the bar in newton metres", Leaflet Exact, 1.0 .. 30.0, 0.2 min Whole, "beside the stem clamp, or leaflet; rounded down";
    StemTorque: Count "torque printed on the faceplate of the stem in newton metres", Leaflet Exact, 1.0 .. 30.0, 0.2 min Whole, "on the faceplate, or leaflet; rounded down";
    SaddleHeight: Length "saddle height", Tape Plus(2.0), 300.0 .. 1100.0, 0.5 min Whole, "bottom bracket centre to the top of the saddle, along the seat tube";
    SaddleSetback: Length "saddle setback", Tape Plus(2.0), -150.0 .. 200.0, 0.5 min Whole, "plumb line at the saddle nose, back to the bottom bracket centre";
    SaddleHoods: Lengths "saddle nose to hood trough, left and right", Tape Plus(3.0), 300.0 .. 1100.0, 1.0 min Whole, "tape from the nose to each hood; more than 5 mm apart: ask which one was liked";
    HoodFloors: Lengths "hood trough to the floor, left and right", Tape Plus(3.0), 500.0 .. 1400.0, 1.0 min Whole, "bike upright on level ground, tape to each hood";
    BarTilt: Angle "tilt of the bar", AngleFinder Plus(0.5), -60.0 .. 60.0, 0.5 min Whole, "along the ends of the drops, to level ground";
    LeverTilt: Angle "tilt of the levers", AngleFinder Plus(0.5), -60.0 .. 60.0, 0.5 min Whole, "along the top of the hood, to level ground";
    BarThings: Count "things clamped to the bar", Counting Exact, 0.0 .. 20.0, 0.5 min Whole, "bell, lamp, bag, screen, sensor: each one keeps its place, moves or stays off, in writing";
    HeadsetPlay: Play "play and notches of the headset", Eye Exact, 0.0 .. 0.0, 0.5 min Whole, "front brake on, rock the bike; then turn the lifted front slowly to both locks";
    LeverFluid: BrakeFluid "what the lever works", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "cable, or the fluid on the cap and in the leaflet";
    LeverSeat: LeverSeat "cable seat of the lever", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "pear-shaped or round";
    HoseDiameter: Length "outside diameter of the brake hose", Caliper Plus(0.05), 3.0 .. 8.0, 0.2 min Whole, "over the hose, or leaflet";
    FrontBrakeLever: LeverSide "lever that works the front brake", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "ask the rider, then squeeze";
    LeverOpening: Length "lever opening", Caliper Plus(1.0), 20.0 .. 140.0, 0.5 min Whole, "outside of the lever to outside of the grip, at the middle of the lever";
    BrakeHousingKind: HousingKind "brake housing", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "look at the cut end and the print";
    ShiftHousingKind: HousingKind "shift housing", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "look at the cut end and the print";
    BrakeHousingDiameter: Length "outside diameter of the brake housing", Caliper Plus(0.05), 3.0 .. 8.0, 0.2 min Whole, "over the cover, or leaflet";
    ShiftHousingDiameter: Length "outside diameter of the shift housing", Caliper Plus(0.05), 3.0 .. 8.0, 0.2 min Whole, "over the cover, or leaflet";
    BrakeInnerDiameter: Length "diameter of the brake inner", Caliper Plus(0.05), 0.8 .. 3.0, 0.2 min Whole, "over the strands";
    ShiftInnerDiameter: Length "diameter of the shift inner", Caliper Plus(0.05), 0.8 .. 3.0, 0.2 min Whole, "over the strands";
    CableHead: CableHead "head of the brake inner", Eye Exact, 0.0 .. 0.0, 0.2 min Whole, "pear-shaped, round, or one at each end";
    OldBrakePiece: Length "old brake housing from the lever", Tape Plus(5.0), 50.0 .. 2500.0, 1.0 min Loosened, "first piece, laid straight on a board";
    OldShiftPiece: Length "old shift housing from the lever", Tape Plus(5.0), 50.0 .. 2500.0, 1.0 min Loosened, "first piece, laid straight on a board";
    OldFrontBrakePiece: Length "old front brake housing or hose", Tape Plus(5.0), 50.0 .. 2500.0, 1.0 min Loosened, "lever to front brake, laid straight on a board";
    OldRearLoop: Length "old housing at the rear derailleur", Tape Plus(5.0), 50.0 .. 2500.0, 1.0 min Loosened, "last stop to the derailleur, laid straight on a board";
    SteeringLock: Angle "full lock of the bar", AngleFinder Plus(2.0), 20.0 .. 180.0, 1.0 min Whole, "straight ahead to where the bar stops, the side that turns less far counts as both";
    BrakeLoopLever: Lengths "lever end of the brake housing loop", Tape Plus(5.0), -500.0 .. 500.0, 2.0 min Whole, "seen along the steering axis from above: forward of the axis, then left of it; behind and right are below 0";
    BrakeLoopLeverAngle: Angle "direction in which the brake housing leaves the bar", AngleFinder Plus(5.0), -360.0 .. 360.0, 1.0 min Whole, "from straight forward toward the left, walking from the lever to the stop";
    BrakeLoopStop: Lengths "frame end of the brake housing loop", Tape Plus(5.0), -500.0 .. 500.0, 2.0 min Whole, "seen along the steering axis from above: forward of the axis, then left of it; behind and right are below 0";
    BrakeLoopStopAngle: Angle "direction in which the brake housing enters its stop", AngleFinder Plus(5.0), -360.0 .. 360.0, 1.0 min Whole, "from straight forward toward the left, walking from the lever to the stop";
    ShiftLoopLever: Lengths "lever end of the shift housing loop", Tape Plus(5.0), -500.0 .. 500.0, 2.0 min Whole, "seen along the steering axis from above: forward of the axis, then left of it; behind and right are below 0";
    ShiftLoopLeverAngle: Angle "direction in which the shift housing leaves the bar", AngleFinder Plus(5.0), -360.0 .. 360.0, 1.0 min Whole, "from straight forward toward the left, walking from the lever to the stop";
    ShiftLoopStop: Lengths "frame end of the shift housing loop", Tape Plus(5.0), -500.0 .. 500.0, 2.0 min Whole, "seen along the steering axis from above: forward of the axis, then left of it; behind and right are below 0";
    ShiftLoopStopAngle: Angle "direction in which the shift housing enters its stop", AngleFinder Plus(5.0), -360.0 .. 360.0, 1.0 min Whole, "from straight forward toward the left, walking from the lever to the stop";
    HousingAlong: Length "housing along the bar", Tape Plus(5.0), 0.0 .. 800.0, 1.0 min Whole, "string from the lever to where the housing leaves the bar";
    BarDetour: Length "detour of housing or hose inside the bar", Tape Plus(5.0), 0.0 .. 200.0, 2.0 min Whole, "string along the new path less string along the old one";
    PadGap: Length "gap of the pads, both sides together", Feelers Plus(0.3), 0.1 .. 12.0, 1.0 min Whole, "between pad and rim or rotor, left and right added";
    LeverReadings: Lengths "brake cable pulled at 10, 20 and 30 mm of finger travel", CableFlag Plus(0.3), 1.0 .. 40.0, 4.0 min Whole, "rule at the finger, flag on the cable";
    CaliperReadings: Lengths "closing of the pads at 3, 6 and 9 mm of cable", Caliper Plus(0.3), 0.3 .. 30.0, 4.0 min Whole, "gap between the pads, wheel out, less what is left of it";
    BrakeFigure: Ratio "force at the tyre for one at the brake lever", Leaflet Share(0.1), 0.2 .. 12.0, 4.0 min Whole, "two luggage scales at once: one at the lever, one along the tyre";
    TapeRoll: Length "length of a roll of tape", Leaflet Exact, 500.0 .. 6000.0, 0.5 min Whole, "print on the box";
    TapeWidth: Length "width of the tape", Leaflet Exact, 15.0 .. 60.0, 0.2 min Whole, "across the tape";
    TapeSide: Length "bar length to be wrapped on one side", Tape Plus(5.0), 100.0 .. 1200.0, 1.0 min Whole, "string from the bar end to where the tape stops";
    TapeWrapped: Length "bar diameter with tape on", Caliper Plus(0.5), 18.0 .. 50.0, 0.2 min Whole, "bar and one layer of tape on each side";
    ShiftInner: Length "length of the shift inner", Leaflet Exact, 500.0 .. 5000.0, 0.2 min Whole, "print on the bag";
    BrakeInner: Length "length of the brake inner", Leaflet Exact, 500.0 .. 5000.0, 0.2 min Whole, "print on the bag";
    ShiftHousing: Length "shift housing in the set", Leaflet Exact, 100.0 .. 60000.0, 0.2 min Whole, "print on the bag";
    BrakeHousing: Length "brake housing in the set", Leaflet Exact, 100.0 .. 60000.0, 0.2 min Whole, "print on the bag";
}

impl Dimension {
    /// The row of the list.
    pub fn row(self) -> &'static Row {
        // The enum and the rows are written by one macro in one order; a test compares them.
        &ROWS[self as usize]
    }

    /// What it is called in a sentence.
    pub fn words(self) -> &'static str {
        self.row().words
    }

    /// The key of the picture that shows where to measure, such as `hanger-drop`.
    pub fn picture(self) -> String {
        let mut key = String::new();
        for letter in format!("{self:?}").chars() {
            if letter.is_ascii_uppercase() && !key.is_empty() {
                key.push('-');
            }
            key.push(letter.to_ascii_lowercase());
        }
        key
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_finds_its_own_row() {
        for dimension in Dimension::ALL {
            assert_eq!(dimension.row().dimension, *dimension);
        }
    }

    #[test]
    fn numbers_have_a_range_and_words_have_a_set() {
        for row in ROWS {
            match row.sort {
                Sort::Word(words) => assert!(words.len() >= 2, "{}", row.words),
                _ => assert!(row.least < row.most, "{}", row.words),
            }
            assert!(row.minutes > 0.0 && !row.place.is_empty());
        }
    }

    #[test]
    fn every_dimension_belongs_to_some_part() {
        for dimension in Dimension::ALL {
            let owned =
                crate::Slot::ALL.iter().any(|slot| slot.fields().iter().any(|f| f.dimension == *dimension));
            assert!(owned, "{dimension:?}");
        }
    }

    /// In files these three stand for an answer without a value.
    #[test]
    fn no_set_of_words_holds_an_answer() {
        for row in ROWS {
            if let Sort::Word(words) = row.sort {
                assert!(!["fine", "not reachable", "not needed"].iter().any(|answer| words.contains(answer)));
            }
        }
    }

    #[test]
    fn words_are_told_apart() {
        let mut words: Vec<_> = ROWS.iter().map(|row| row.words).collect();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), ROWS.len());
    }
}
