//! Properties that are one of a fixed set of words, such as which way the drive-side cup turns.

/// A closed set of words.
pub trait Word: Copy + PartialEq + std::fmt::Debug + 'static {
    /// Every word as it is written in files.
    const WORDS: &'static [&'static str];
    /// The word.
    fn as_str(self) -> &'static str;
    /// The value for a word, if it is one of the set.
    fn read(word: &str) -> Option<Self>;
}

macro_rules! words {
    ($($(#[$doc:meta])* $Name:ident { $($(#[$arm_doc:meta])* $Arm:ident = $word:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $Name { $($(#[$arm_doc])* $Arm),+ }

        impl Word for $Name {
            const WORDS: &'static [&'static str] = &[$($word),+];
            fn as_str(self) -> &'static str { match self { $(Self::$Arm => $word),+ } }
            fn read(word: &str) -> Option<Self> { match word { $($word => Some(Self::$Arm),)+ _ => None } }
        }

        impl std::fmt::Display for $Name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(self.as_str()) }
        }
    )+};
}

words! {
    /// What the frame is made of.
    FrameMaterial {
        /// Steel: the only material that may be cold set.
        Steel = "steel",
        /// Aluminium.
        Aluminium = "aluminium",
        /// Titanium.
        Titanium = "titanium",
        /// Carbon fibre.
        Carbon = "carbon",
    }
    /// How a wheel is held.
    AxleKind {
        /// Hollow axle with a quick release.
        QuickRelease = "quick-release",
        /// Solid axle with nuts.
        Bolted = "bolted",
        /// Through axle of 12 mm.
        Through12 = "through-12",
        /// Through axle of 15 mm.
        Through15 = "through-15",
        /// Through axle of 20 mm.
        Through20 = "through-20",
    }
    /// What the dropouts of frame or fork take.
    Dropout {
        /// Slots, open at one end: quick release or nuts.
        Slotted = "slotted",
        /// Holes for a through axle of 12 mm.
        Through12 = "through-12",
        /// Holes for a through axle of 15 mm.
        Through15 = "through-15",
        /// Holes for a through axle of 20 mm.
        Through20 = "through-20",
    }
    /// Thread of a screw-on freewheel and its hub.
    FreewheelThread {
        /// 1.375 in x 24 per inch, 34.92 mm.
        Inch1375 = "1.375x24",
        /// 1.370 in x 24 per inch, 34.80 mm.
        Inch137 = "1.37x24",
        /// 35.0 mm x 24 per inch.
        Mm35 = "35x24",
        /// 34.7 mm x 1 mm.
        Mm347 = "34.7x1",
        /// 30 mm x 1 mm.
        Mm30 = "30x1",
    }
    /// Whether the edge of a rim holds the bead with a hook.
    RimEdge {
        /// With hooks.
        Hooked = "hooked",
        /// Without.
        Hookless = "hookless",
    }
    /// For which rims a tyre is named.
    TyreNamed {
        /// For rims with hooks only.
        HookedOnly = "hooked-only",
        /// For rims without hooks too.
        HooklessToo = "hookless-too",
    }
    /// Whether pads may brake on a rim.
    RimTrack {
        /// A machined track.
        Machined = "machined",
        /// No track: for disc and hub brakes.
        Absent = "no-track",
    }
    /// How a hub holds a rotor.
    HubRotor {
        /// Six bolts.
        SixBolt = "six-bolt",
        /// Splines and a lockring.
        Splined = "splined",
        /// It holds none.
        Absent = "no-rotor",
    }
    /// How a rotor is held.
    RotorMount {
        /// Six bolts.
        SixBolt = "six-bolt",
        /// Splines and a lockring.
        Splined = "splined",
    }
    /// What the teeth of worn cogs look like.
    CogWear {
        /// The flanks are straight.
        NoHook = "no-hook",
        /// The flanks are hooked.
        Hooked = "hooked",
        /// A new chain skips on them.
        Skips = "skips",
    }
    /// Thread of the derailleur hanger.
    HangerThread {
        /// M10 x 1, sound.
        Metric = "M10x1",
        /// 10 mm x 26 per inch, of old frames.
        Inch26 = "10x26",
        /// Worn or torn.
        Worn = "worn",
        /// None: the hanger, if there is one, has no thread.
        Absent = "no-thread",
    }
    /// For which mount of derailleur a hanger is made.
    HangerMount {
        /// One hole below the axle.
        Standard = "standard",
        /// Longer and rearward, for a derailleur without its link.
        DirectMount = "direct-mount",
        /// A plate held by the axle and a screw.
        Claw = "claw",
        /// The frame has no hanger.
        Absent = "no-hanger",
    }
    /// For which hanger a derailleur is made.
    DerailleurMount {
        /// With its own pivot or link.
        Standard = "standard",
        /// Without the link.
        Direct = "direct",
    }
    /// How the drive-side cup of a threaded bottom bracket unscrews.
    CupHand {
        /// Unscrews clockwise.
        Left = "left-hand",
        /// Unscrews counter-clockwise.
        Right = "right-hand",
    }
    /// The thread of a bottom bracket shell.
    ShellThread {
        /// 1.37 in x 24 per inch, drive side left-hand.
        Inch137 = "1.37x24",
        /// 36 mm x 24 per inch, both sides right-hand.
        Mm36 = "36x24",
        /// 35 mm x 1 mm, both sides right-hand.
        Mm35 = "35x1",
        /// 47 mm x 1 mm.
        Mm47 = "47x1",
        /// Not threaded: the unit is pressed in.
        Pressed = "pressed",
    }
    /// What the inside of a bottom bracket shell is.
    ShellInside {
        /// Cut with a thread.
        Threaded = "threaded",
        /// A smooth bore: a unit is pressed in.
        Smooth = "smooth",
    }
    /// What a look for damage found.
    Damage {
        /// Nothing.
        None = "none",
        /// Something that may be a crack: a line, a dent, a soft sound.
        Doubt = "doubt",
        /// A crack.
        Crack = "crack",
    }
    /// Whether a part came loose when it was tried before the strip.
    Loosening {
        /// It moved.
        Moved = "moved",
        /// It did not move with the usual force.
        NotMoved = "not-moved",
        /// Nobody tried.
        NotTried = "not-tried",
    }
    /// The thread of pedal axles.
    PedalThread {
        /// 9/16 in x 20 per inch.
        Inch916 = "9/16",
        /// 1/2 in x 20 per inch.
        Inch12 = "1/2",
        /// 14 mm x 1.25 mm.
        Mm14 = "14x1.25",
    }
    /// How the arms of a spider, or the holes in a ring, are spaced.
    ArmPattern {
        /// All gaps alike.
        Even = "even",
        /// Gaps of two sizes: only a ring of the same pattern goes on.
        Uneven = "uneven",
    }
    /// The side from which a front shift cable comes.
    CablePull {
        /// From below, round the shell.
        Bottom = "bottom",
        /// From above, down the seat tube.
        Top = "top",
        /// From the front, along the down tube.
        Front = "front",
        /// From above or from below.
        Dual = "dual",
    }
    /// The electric drive of a bike.
    Drive {
        /// There is none.
        None = "none",
        /// At the cranks.
        MidDrive = "mid-drive",
        /// In a hub.
        HubDrive = "hub-drive",
    }
    /// The join between crank arm and spindle.
    Spindle {
        /// Square taper, the larger end size.
        SquareTaperJis = "square-taper-jis",
        /// Square taper, the smaller end size.
        SquareTaperIso = "square-taper-iso",
        /// Hollow spindle with eight splines.
        EightSpline = "8-spline",
        /// Through spindle of 24 mm, left arm held by two pinch bolts.
        Through24 = "24-through",
        /// Through spindle of 28.99 mm.
        Through29 = "29-through",
        /// Through spindle of 30 mm.
        Through30 = "30-through",
    }
    /// The spline pattern of a cassette body.
    Spline {
        /// Nine shallow splines, one of them wide.
        NineShallow = "9-shallow",
        /// Nine deep splines.
        NineDeep = "9-deep",
        /// Eight deep splines.
        EightDeep = "8-deep",
        /// Eight shallow splines.
        EightShallow = "8-shallow",
        /// Short body for a ten-tooth smallest cog.
        ShortTen = "short-10",
        /// Fine splines, short, for a ten-tooth smallest cog.
        Fine = "fine-spline",
        /// No body: a freewheel screws on.
        ScrewOn = "screw-on",
    }
    /// How the front derailleur is held.
    FrontMount {
        /// A band round the seat tube.
        Band = "band",
        /// A bolt in the slot of a tab on the seat tube.
        Tab = "tab",
        /// A pair of holes 42.7 mm apart, high on the seat tube.
        Direct427 = "direct-42.7",
        /// A pair of holes 22.1 mm apart, low, their faces in one plane.
        Direct221 = "direct-22.1",
        /// A pair of holes 22.1 mm apart, low, their faces stepped by 5 mm.
        Direct221Step = "direct-22.1-step",
        /// A plate held by the drive-side cup.
        ShellPlate = "shell-plate",
    }
    /// For how many rings the cage of a front derailleur is made.
    CagePlates {
        /// Shallow cage for two rings.
        Double = "double",
        /// Deep cage for three rings.
        Triple = "triple",
    }
    /// How long the cage of a rear derailleur is.
    CageSize {
        /// About 50 mm between pulleys.
        Short = "short",
        /// About 74 mm between pulleys.
        Medium = "medium",
        /// About 86 mm between pulleys.
        Long = "long",
    }
    /// How the derailleur hanger is joined to the frame.
    HangerKind {
        /// Bolted on: can be exchanged.
        Bolted = "bolted",
        /// One piece with the dropout.
        OnePiece = "one-piece",
    }
    /// How a rim caliper is held to the frame.
    CaliperBolt {
        /// A long bolt with a nut outside.
        Nutted = "nutted",
        /// A short bolt with a sleeve nut inside the crown or bridge.
        Recessed = "recessed",
    }
    /// How a brake is held to frame or fork.
    BrakeMount {
        /// Rim caliper on one bolt through crown or bridge.
        RimBolt = "rim-bolt",
        /// Two studs beside the rim.
        Studs = "studs",
        /// Two posts 74 mm apart, bolts along the wheel.
        DiscPost = "disc-post",
        /// Flat seat, bolts through stay or fork blade.
        DiscFlat = "disc-flat",
        /// Two tabs 51 mm apart, bolts along the axle.
        DiscTab51 = "disc-tab-51",
        /// Rim caliper on two bolts.
        DirectRim = "direct-rim",
    }
    /// The hole for the bolt of a rim caliper.
    CaliperHole {
        /// 6 mm right through, for an outside nut.
        Through6 = "through-6",
        /// 8 mm at the back, for a sleeve nut.
        Recessed8 = "recessed-8",
        /// In the front wall only.
        FrontOnly = "front-only",
    }
    /// What carries the force from lever to brake.
    BrakeFluid {
        /// A cable.
        Cable = "cable",
        /// Mineral oil.
        Mineral = "mineral",
        /// Glycol ether brake fluid.
        Glycol = "glycol",
    }
    /// What a bar is made of.
    BarMaterial {
        /// Aluminium.
        Aluminium = "aluminium",
        /// Steel.
        Steel = "steel",
        /// Titanium.
        Titanium = "titanium",
        /// Carbon fibre.
        Carbon = "carbon",
    }
    /// What is known of a bar's past.
    BarHistory {
        /// New, or known from the first day and never crashed.
        Known = "known",
        /// Nobody can tell.
        Unknown = "unknown",
        /// It has been in a crash.
        Crashed = "crashed",
    }
    /// How a headset turns.
    Play {
        /// Freely, with no play.
        None = "none",
        /// It knocks.
        Loose = "loose",
        /// It rests in the middle or catches.
        Notched = "notched",
    }
    /// How a frame leads its cables.
    CableStops {
        /// Stops with a slot.
        Slotted = "slotted",
        /// Closed stops.
        Closed = "closed",
        /// Guides for housing or hose in full length.
        Guides = "guides",
        /// Inside the frame.
        Internal = "internal",
        /// Bosses for shifters, without stops.
        Bosses = "bosses",
        /// Nothing.
        None = "none",
    }
    /// How cable housing is made.
    HousingKind {
        /// A flat wire wound to a coil.
        Coil = "coil",
        /// Strands or segments with a wrap, printed for brakes.
        CompressionlessBrake = "compressionless-brake",
        /// Parallel strands for index shifting.
        Strands = "strands",
    }
    /// The head of a brake inner.
    CableHead {
        /// Pear-shaped, for drop-bar levers.
        Pear = "pear",
        /// A barrel across, for flat-bar levers.
        Barrel = "barrel",
        /// One at each end: the wrong one is cut off.
        Both = "both",
    }
    /// The seat of a lever for the head of the brake inner.
    LeverSeat {
        /// Pear-shaped.
        Pear = "pear",
        /// Round across.
        Barrel = "barrel",
    }
    /// Left or right hand.
    LeverSide {
        /// Left.
        Left = "left",
        /// Right.
        Right = "right",
    }
    /// How a steerer ends at the top.
    SteererKind {
        /// With a thread and a locknut: the stem goes inside.
        Threaded = "threaded",
        /// Plain: the stem clamps round it.
        Threadless = "threadless",
    }
}
