//! What is looked for on a front derailleur or a brake, and what comes next, in whole sentences.

use super::super::{BrakeCause, BrakeKind, BrakeSymptom, Comes, FrontCause, FrontSymptom, Next, Source};
use super::{brake_cause_words, front_cause_words};

/// A symptom of a front derailleur as one looks for it.
pub fn front_symptom_seen(symptom: FrontSymptom) -> &'static str {
    match symptom {
        FrontSymptom::SlowUp => "slow or not at all to the larger ring; the cage does not travel far enough",
        FrontSymptom::OverOutside => "up, and then over the outside",
        FrontSymptom::RubsInner => "rubs the inner plate: small ring and large cogs",
        FrontSymptom::RubsOuter => "rubs the outer plate: large ring and small cogs",
        FrontSymptom::RubsTail => "rubs at the tail of the cage alone",
        FrontSymptom::RubsOnceATurn => "rubs once a turn of the crank",
        FrontSymptom::DropsInward => "the chain drops inward",
        FrontSymptom::HeavyLever => "the lever is very heavy",
        FrontSymptom::NotBothRings => "it serves one ring or the other, never both",
        FrontSymptom::Touches => "the cage touches tyre or crank arm",
    }
}

/// A symptom of a brake as one looks for it.
pub fn brake_symptom_seen(symptom: BrakeSymptom) -> &'static str {
    match symptom {
        BrakeSymptom::LeverToBar => "the lever comes to the bar, the pads move little",
        BrakeSymptom::Wooden => "short travel of the lever, and weak",
        BrakeSymptom::Soft => "soft, and better after pumping",
        BrakeSymptom::ReturnsSlowly => "it returns slowly",
        BrakeSymptom::OnePadTouches => "one pad touches while the wheel turns",
        BrakeSymptom::Squeals => "it squeals",
        BrakeSymptom::Pulses => "it pulses once a turn of the wheel",
        BrakeSymptom::Judders => "it judders at the fork",
        BrakeSymptom::ChangesWithRelease => "it is different after the release was closed",
        BrakeSymptom::DragsWhenTurned => "it drags with the bars turned to full lock",
    }
}

/// A next step: its sort for files, in words, and why.
pub struct NextWords {
    /// `say`, `look`, `before` or `set`.
    pub sort: &'static str,
    /// What to do.
    pub words: String,
    /// Why.
    pub reason: String,
}

/// What to do next about a front derailleur.
pub fn front_next_words(next: &Next<FrontCause, FrontSymptom>) -> NextWords {
    next_words(next, front_cause_words, front_symptom_seen)
}

/// What to do next about a brake.
pub fn brake_next_words(next: &Next<BrakeCause, BrakeSymptom>) -> NextWords {
    next_words(next, brake_cause_words, brake_symptom_seen)
}

fn next_words<C: Copy, S: Copy>(
    next: &Next<C, S>,
    cause: fn(C) -> &'static str,
    symptom: fn(S) -> &'static str,
) -> NextWords {
    match next {
        Next::Say => NextWords {
            sort: "say",
            words: "say what it does: press what it shows, and what was looked for and is not there"
                .to_owned(),
            reason: "nothing that it shows is known yet".to_owned(),
        },
        Next::Look { symptom: look, parts: (one, other), saves } => NextWords {
            sort: "look",
            words: format!("look whether: {}", symptom(*look)),
            reason: format!(
                "it speaks for “{}” and against “{}”, and saves about {saves:.1} min on average",
                cause(*one),
                cause(*other)
            ),
        },
        Next::Before { first, likeliest } => NextWords {
            sort: "before",
            words: format!("see to this first: {}", cause(*first)),
            reason: format!("setting it moves what comes behind it; likeliest is “{}”", cause(*likeliest)),
        },
        Next::Set(one) => NextWords {
            sort: "set",
            words: format!("see to this: {}", cause(*one)),
            reason: "it is the likeliest, and nothing that could be looked for would change it".to_owned(),
        },
    }
}

/// What is said beside every answer about a front derailleur.
pub const FRONT_CAUTIONS: [&str; 2] = [
    "height and angle, then the inner limit, tension, the outer limit, the trim clicks: each moves those behind it",
    "the limits hold the chain before the tension is changed; what the maker of a part prints wins",
];

/// What is said beside every answer about a brake.
pub fn brake_cautions(kind: BrakeKind) -> &'static [&'static str] {
    match kind {
        BrakeKind::Rim => &[
            "a pad touches neither the tyre nor hangs below its track, over the whole of a turn",
            "after any work: anchor at its value, squeeze with full strength, nothing may slip; then the release closed",
            "first at walking pace; what the maker of a part prints wins, and local rules come first",
        ],
        BrakeKind::CableDisc => &[
            "no oil and no fingers on rotor or pads; a rotor is hot after braking",
            "after any work: bolts at their value, squeeze with full strength, nothing may slip",
            "new pads are bedded in before they hold; first at walking pace; what the maker of a part prints wins",
        ],
        BrakeKind::FluidDisc => &[
            "no oil and no fingers on rotor or pads; a rotor is hot after braking",
            "the fluid that the cap names and no other: fluids are never mixed; wear gloves and glasses",
            "after any work: the lever stays firm after 20 squeezes and nothing weeps; first at walking pace; what the maker of a part prints wins",
        ],
    }
}

/// When a noise comes.
pub fn comes_words(comes: Comes) -> &'static str {
    match comes {
        Comes::Pedalling => "with pedalling",
        Comes::Rolling => "rolling, without pedalling",
        Comes::Standing => "out of the saddle, without pedalling",
    }
}

/// Where a noise without pedalling comes from; `None` for one that is counted.
pub fn comes_from_words(comes: Comes) -> Option<&'static str> {
    match comes {
        Comes::Pedalling => None,
        Comes::Rolling => Some("hub, spoke, brake or tyre: lift the wheel, spin it, and hold the brake away"),
        Comes::Standing => {
            Some("bar, stem or headset: front brake on, rock the bike; then push each end of the bar in turn")
        }
    }
}

/// What to look at for a source of a noise, where the count allows it alone.
pub fn source_look_words(source: Source) -> &'static str {
    match source {
        Source::Pulley => "turn each pulley by hand and look at its teeth and bearing",
        Source::PedalsOrArms => {
            "pedals off one after the other, threads greased; then the arms at their value"
        }
        Source::RingOrCrank => {
            "ring bolts at their value, then one pedal, then the arms, then the bottom bracket"
        }
        Source::Wheel => "cassette at its value, axle and end cap seated, then spokes and the body",
        Source::ChainLink => {
            "turn the chain slowly backwards past a pulley: find the stiff or half-joined link"
        }
    }
}
