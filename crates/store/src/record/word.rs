//! Fixed sets of words in records, each the twin of a set of the workshop.

use fit::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::job::{BlindPoint, Channel, Look, Parking, PauseReason, RideKind};
use shop::{Age, Call, Cause, Circumstances, Stakes};

macro_rules! twins {
    ($($(#[$doc:meta])* $Twin:ident = $Own:ident { $($(#[$arm:meta])* $Arm:ident),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "kebab-case")]
        pub enum $Twin { $($(#[$arm])* $Arm),+ }

        impl From<$Own> for $Twin {
            fn from(own: $Own) -> Self { match own { $($Own::$Arm => Self::$Arm),+ } }
        }

        impl From<$Twin> for $Own {
            fn from(twin: $Twin) -> Self { match twin { $($Twin::$Arm => Self::$Arm),+ } }
        }
    )+};
}

twins! {
    /// Where a part comes from.
    OriginWord = Origin {
        /// It is on the bike.
        Found,
        /// It was chosen for the refit.
        Chosen,
    }
    /// How hard the old parts come off.
    AgeWord = Age {
        /// As they should.
        Sound,
        /// Used for years.
        Used,
        /// Corroded.
        Corroded,
    }
    /// By which way the customer agreed.
    ChannelWord = Channel {
        /// Signed at the counter.
        Counter,
        /// By the private link.
        Link,
        /// By telephone.
        Telephone,
        /// Agreed to beforehand.
        Beforehand,
    }
    /// Why something comes up only now.
    CauseWord = Cause {
        /// It could not be seen at intake.
        NotVisible,
        /// It could be seen, and the shop missed it.
        MissedByUs,
        /// The customer wishes something else.
        OtherWish,
        /// A part is wrong.
        PartWrong,
    }
    /// What is at stake.
    StakesWord = Stakes {
        /// The rider may fall.
        Safety,
        /// Function, wear, comfort or looks.
        Use,
    }
    /// Whether the customer is called.
    CallWord = Call {
        /// Nothing is done before the customer has answered.
        Wanted,
        /// It is small enough to be done without a call.
        NotNeeded,
    }
    /// Why the work stopped for now.
    PauseWord = PauseReason {
        /// A part is missing.
        Part,
        /// The customer has to answer.
        Customer,
        /// Another job comes first.
        OtherJob,
        /// End of the day, or the person went.
        Person,
        /// A tool is missing.
        Tool,
    }
    /// In which state a bike was left.
    ParkingWord = Parking {
        /// Stripped completely, parts bagged and numbered.
        StrippedAndBagged,
        /// It rolls, without a chain.
        RollingWithoutChain,
        /// Built up, not ridden yet.
        BuiltUntested,
    }
    /// Which ride.
    RideWord = RideKind {
        /// By who did the work.
        First,
        /// By the second person.
        Second,
    }
    /// First or second look.
    LookWord = Look {
        /// By who did the work.
        First,
        /// By the second person.
        Second,
    }
    /// A point that is measured twice.
    PointWord = BlindPoint {
        /// Pitches of the chain.
        ChainPitches,
        /// Gap between guide pulley and largest cog.
        PulleyGap,
        /// Both pads of the front brake.
        PadGapFront,
        /// Both pads of the rear brake.
        PadGapRear,
        /// Left hood to the floor.
        HoodLeft,
        /// Right hood to the floor.
        HoodRight,
        /// Saddle to the middle of the bottom bracket.
        SaddleHeight,
        /// Clicks between two failed shifts.
        ClickWindow,
    }
}

/// What the bike or the customer adds to the work, beside the age of the parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WithWord {
    /// Cables run through the frame.
    InternalRouting,
    /// The front brake is hydraulic and is opened.
    BleedFront,
    /// The rear brake is hydraulic and is opened.
    BleedRear,
    /// A tandem with a timing chain.
    Tandem,
    /// The customer brings parts.
    CustomerParts,
}

impl WithWord {
    /// The words of circumstances.
    pub(super) fn of(circumstances: Circumstances) -> Vec<Self> {
        [
            (circumstances.internal_routing, Self::InternalRouting),
            (circumstances.bleed_front, Self::BleedFront),
            (circumstances.bleed_rear, Self::BleedRear),
            (circumstances.tandem, Self::Tandem),
            (circumstances.customer_parts, Self::CustomerParts),
        ]
        .into_iter()
        .filter_map(|(is_so, word)| is_so.then_some(word))
        .collect()
    }

    /// The circumstances of words.
    pub(super) fn circumstances(age: Age, with: &[Self]) -> Circumstances {
        Circumstances {
            age,
            internal_routing: with.contains(&Self::InternalRouting),
            bleed_front: with.contains(&Self::BleedFront),
            bleed_rear: with.contains(&Self::BleedRear),
            tandem: with.contains(&Self::Tandem),
            customer_parts: with.contains(&Self::CustomerParts),
        }
    }
}
