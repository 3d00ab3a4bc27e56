//! The one place where a diagnosis becomes sentences.

mod symptoms;

use super::{
    BrakeCause, BrakeKind, BrakeSymptom, Cause, Check, Elsewhere, FrontCause, FrontSymptom, Limit, Reason,
    Shift, Sound, Step, Word,
};

pub use symptoms::{
    FRONT_CAUTIONS, NextWords, brake_cautions, brake_next_words, brake_symptom_seen, comes_from_words,
    comes_words, front_next_words, front_symptom_seen, source_look_words,
};

/// A cause in words.
pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Slack => "cable too slack",
        Cause::Tight => "cable too tight",
        Cause::Drag => "cable drags",
        Cause::Mismatch => "clicks and cogs do not match, or the cable is clamped on the wrong side",
        Cause::Hanger => "hanger bent",
        Cause::Spacer => "wrong spacer or cog in the cassette",
        Cause::HighLimitTight => "limit at the smallest cog too tight",
        Cause::HighLimitOpen => "limit at the smallest cog open",
        Cause::LowLimitTight => "limit at the largest cog too tight",
        Cause::LowLimitOpen => "limit at the largest cog open",
        Cause::GapSmall => "upper pulley touches the largest cog",
        Cause::GapLarge => "upper pulley too far from the cogs",
        Cause::WornCog => "worn cog",
        Cause::Play => "play in derailleur, cassette or wheel seat",
        Cause::StiffLink => "stiff link",
    }
}

/// What cures a cause.
pub fn cure_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Slack => "add clicks one at a time until both directions are clean",
        Cause::Tight => "take clicks off one at a time until both directions are clean",
        Cause::Drag => {
            "new inner cable and housing, with wider bends; then seat the housing and set the tension anew"
        }
        Cause::Mismatch => {
            "clamp the cable where the derailleur wants it; if it is there already, change shifter or derailleur"
        }
        Cause::Hanger => {
            "straighten the hanger by the gauge or replace it; carbon and bonded hangers are replaced, not bent"
        }
        Cause::Spacer => "take the cassette down and stack it by caliper",
        Cause::HighLimitTight => {
            "open the limit at the smallest cog with the cable slack, pulley under the cog"
        }
        Cause::HighLimitOpen => {
            "close the limit at the smallest cog with the cable slack, pulley under the cog; do not ride before"
        }
        Cause::LowLimitTight => {
            "open the limit at the largest cog, pushing the body by hand; it must not reach the spokes"
        }
        Cause::LowLimitOpen => {
            "close the limit at the largest cog, pushing the body by hand; do not ride before"
        }
        Cause::GapSmall => "turn the gap screw until the pulley is clear of the largest cog",
        Cause::GapLarge => "turn the gap screw until the pulley is as near as the largest cog allows",
        Cause::WornCog => "replace the cog or the cassette, and look at the chain",
        Cause::Play => "find what rocks and replace or seat it; then set the tension anew",
        Cause::StiffLink => "free the link or replace it; a half-joined link is taken apart and joined again",
    }
}

/// A check in words.
pub fn check_words(check: Check) -> &'static str {
    match check {
        Check::Limits => {
            "slack the cable and push the derailleur by hand to both ends: where do the limits stop it?"
        }
        Check::Anchor => "look at the bolt: is the cable clamped on the side that the derailleur wants?",
        Check::Hanger => "put the gauge on the hanger",
        Check::Drag => {
            "take the inner cable off the derailleur and pull it by hand or scale: does it run freely?"
        }
        Check::Pull => {
            "measure the cable that a click pulls and the travel it gives: does it make the pitch of the cogs?"
        }
        Check::Stack => "run the caliper through the cassette: are all cogs as far apart?",
        Check::Gap => {
            "measure the gap between upper pulley and largest cog, in the largest cog and small ring"
        }
        Check::Teeth => "hook gauge on the cogs that are used most, or a new cog beside them",
        Check::Play => "rock cassette, pulleys, derailleur and wheel by hand: does anything knock?",
        Check::Link => "turn the chain slowly backwards past the pulleys: does a link stay bent?",
        Check::Windows => {
            "count the clicks both ways until a shift fails, in a small, a middle and a large gear"
        }
    }
}

fn limit_words(limit: Limit) -> &'static str {
    match limit {
        Limit::High => "at the smallest cog",
        Limit::Low => "at the largest cog",
    }
}

fn elsewhere_words(there: Elsewhere) -> &'static str {
    match there {
        Elsewhere::UnderLoad => {
            "load it: wheel braked by hand on the stand, cassette, wheel seat and pulleys watched; then ride it, seated and standing. Where it holds there too, it is done"
        }
        Elsewhere::BarsTurned => {
            "turn the bars to either lock and try every gear again, housing and ferrules watched. Where it holds there too, it is done"
        }
    }
}

/// A step in words, a sentence each.
pub fn step_words(step: &Step) -> Vec<String> {
    match step {
        Step::Done => vec!["all gears are clean: count the click window, note it, and stop".to_owned()],
        Step::TryGears => {
            vec!["try every gear both ways, one detent at a time, and write each down".to_owned()]
        }
        Step::TryIn(there) => vec![elsewhere_words(*there).to_owned()],
        Step::Check(check) => vec![check_words(*check).to_owned()],
        Step::SetLimit(limit) => {
            vec![format!(
                "set the limit {} with the cable slack, then try all gears again",
                limit_words(*limit)
            )]
        }
        Step::Turn { add, at_most } => {
            let (way, turn) = if *add { ("add", "out") } else { ("take off", "in") };
            vec![format!(
                "{way} one click at a time (barrel {turn}), try the gears that were bad after each, and stop when all are clean; after {at_most} without success turn back and stop"
            )]
        }
        Step::Cure(causes) => causes.iter().map(|cause| cure_words(*cause).to_owned()).collect(),
    }
}

/// The reason of a step in words; `saves` are the minutes it saves.
pub fn reason_words(reason: Reason, saves: f64) -> String {
    match reason {
        Reason::NothingSeen => "nothing was tried yet".to_owned(),
        Reason::AllClean => "every gear is clean both ways".to_owned(),
        Reason::CleanHere => "every gear is clean here, and it was not here that it was bad".to_owned(),
        Reason::Danger => "the chain may leave the cassette: limits first, no riding".to_owned(),
        Reason::LimitsFirst => "the limits must hold the chain before the tension is changed".to_owned(),
        Reason::Saves => {
            format!("of all that could be done now it saves the most: about {saves:.0} min on average")
        }
        Reason::Settled => "no further check would change what is to be done".to_owned(),
    }
}

/// A probability in a word.
pub fn likely_words(word: Word) -> &'static str {
    match word {
        Word::Likely => "likely",
        Word::Possible => "possible",
        Word::Unlikely => "unlikely",
    }
}

/// A shift as it is written down.
pub fn shift_word(shift: Shift) -> &'static str {
    match shift {
        Shift::Clean => "clean",
        Shift::Slow => "slow",
        Shift::Refuses => "refuses",
        Shift::Over => "over",
    }
}

/// A sound as it is written down.
pub fn sound_word(sound: Sound) -> &'static str {
    match sound {
        Sound::Quiet => "quiet",
        Sound::Tick => "tick",
        Sound::Growl => "growl",
        Sound::Rub => "rub",
        Sound::Chatter => "chatter",
        Sound::Jump => "jump",
    }
}

/// A symptom of a front derailleur as it is written down.
pub fn front_symptom_word(symptom: FrontSymptom) -> &'static str {
    match symptom {
        FrontSymptom::SlowUp => "slow up",
        FrontSymptom::OverOutside => "over the outside",
        FrontSymptom::RubsInner => "rubs inner plate",
        FrontSymptom::RubsOuter => "rubs outer plate",
        FrontSymptom::RubsTail => "rubs at the tail",
        FrontSymptom::RubsOnceATurn => "rubs once a turn",
        FrontSymptom::DropsInward => "drops inward",
        FrontSymptom::HeavyLever => "heavy lever",
        FrontSymptom::NotBothRings => "not both rings",
        FrontSymptom::Touches => "touches tyre or crank",
    }
}

/// What to set or look at for a front derailleur.
pub fn front_cause_words(cause: FrontCause) -> &'static str {
    match cause {
        FrontCause::RingRunOut => "ring or spider bent, or crank not seated",
        FrontCause::Chainline => "chainline or room behind the cage",
        FrontCause::Family => "rings, cage curve or lever pull of another family",
        FrontCause::Height => "height of the cage: 1 to 3 mm over the tallest tooth",
        FrontCause::Yaw => "angle of the cage: outer plate along the ring",
        FrontCause::LowTight => "inner limit too tight",
        FrontCause::LowOpen => "inner limit open",
        FrontCause::Slack => "cable too slack",
        FrontCause::Tight => "cable too tight at rest",
        FrontCause::CablePath => "cable on the wrong side of the arm, or a guide that brakes it",
        FrontCause::HighTight => "outer limit too tight",
        FrontCause::HighOpen => "outer limit open",
        FrontCause::Trim => "trim click not used",
        FrontCause::Load => "shifted under load, no catcher",
    }
}

/// A symptom of a brake as it is written down.
pub fn brake_symptom_word(symptom: BrakeSymptom) -> &'static str {
    match symptom {
        BrakeSymptom::LeverToBar => "lever to the bar",
        BrakeSymptom::Wooden => "wooden",
        BrakeSymptom::Soft => "soft",
        BrakeSymptom::ReturnsSlowly => "returns slowly",
        BrakeSymptom::OnePadTouches => "one pad touches",
        BrakeSymptom::Squeals => "squeals",
        BrakeSymptom::Pulses => "pulses",
        BrakeSymptom::Judders => "judders",
        BrakeSymptom::ChangesWithRelease => "changes with the release",
        BrakeSymptom::DragsWhenTurned => "drags when turned",
    }
}

/// What to set or look at for a brake.
pub fn brake_cause_words(cause: BrakeCause) -> &'static str {
    match cause {
        BrakeCause::WheelSeat => "wheel not seated",
        BrakeCause::RunOut => "rim seam or dent, or rotor that runs out: mark and spin",
        BrakeCause::ForkPlay => {
            "play of fork, headset or hub, or a stop that gives way: lock the brake and rock"
        }
        BrakeCause::Surface => "pads or surface glazed or soiled",
        BrakeCause::Toe => "toe: the rear edge of the pad 0.5 to 1 mm open",
        BrakeCause::Centring => "centring, spring balance or a bent arm",
        BrakeCause::Gap => "pads too far off, or worn",
        BrakeCause::Slack => "housing not seated, cable slack: squeeze and watch the ferrules",
        BrakeCause::TooStrong => "lever pulls too little cable for this brake",
        BrakeCause::TooWeak => "lever and brake have too little leverage together",
        BrakeCause::Drag => "drag in the cable, dry pivot or weak spring: take the cable off at the brake",
        BrakeCause::Air => "air in the fluid: bleed",
        BrakeCause::Release => "release or its barrel not as it was",
        BrakeCause::ShortHousing => "housing too short: full lock both ways",
    }
}

/// Which brake, as it is written down.
pub fn brake_kind_words(kind: BrakeKind) -> &'static str {
    match kind {
        BrakeKind::Rim => "rim brake",
        BrakeKind::CableDisc => "disc brake by cable",
        BrakeKind::FluidDisc => "disc brake by fluid",
    }
}
