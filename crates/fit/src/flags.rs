//! What stands at the head of every sheet of a job, before any verdict is read: where overlooking it hurts somebody.

use crate::build::{Build, When};
use crate::finding::{Finding, Verdict};
use crate::rule::Audience;
use catalog::{BarMaterial, Dimension, Drive, LeverSide, Slot, Value, Word};
use quantity::Reading;

/// The flags of a plan, each with whom it concerns. The side of the front brake is repeated wherever it is known, changed or not: who works on
/// the bike or collects it may have the other habit.
pub(crate) fn flags(build: &Build, findings: &[Finding], is_stopped: bool) -> Vec<(Audience, &'static str)> {
    let mut flags = Vec::new();
    if is_stopped {
        flags.push((
            Audience::Everybody,
            "DO NOT RIDE: the bike is tagged, and the customer signs for having been told why",
        ));
    }
    if let Some(Drive::MidDrive | Drive::HubDrive) =
        word::<Drive>(build, Slot::Frame, When::Before, Dimension::AssistDrive)
    {
        flags.push((
            Audience::Technician,
            "ELECTRIC DRIVE: off and battery out before anything else is touched",
        ));
    }
    // What is said of the bike to come wins; else the rider keeps the habit.
    let side = |when| word::<LeverSide>(build, Slot::Levers, when, Dimension::FrontBrakeLever);
    match side(When::After).or(side(When::Before)) {
        Some(LeverSide::Right) => flags.push((Audience::Everybody, "FRONT BRAKE: RIGHT LEVER")),
        Some(LeverSide::Left) => flags.push((Audience::Everybody, "FRONT BRAKE: LEFT LEVER")),
        None => {}
    }
    let refused = |id: &str| findings.iter().any(|f| f.rule.id == id && f.verdict == Verdict::Refused);
    if refused("carbon-bar") {
        flags.push((Audience::Everybody, "BAR REFUSED: it goes back tagged \"not fitted\" with the reason and a photo; no signature changes that"));
    } else if word::<BarMaterial>(build, Slot::Bar, When::After, Dimension::BarMaterial)
        == Some(BarMaterial::Carbon)
    {
        flags.push((
            Audience::Technician,
            "CARBON BAR: every bolt of its clamps is witnessed by a second person",
        ));
    }
    flags
}

/// A word of a part, where somebody said it.
pub(crate) fn word<W: Word>(build: &Build, slot: Slot, when: When, dimension: Dimension) -> Option<W> {
    match build.reading(slot, when, dimension) {
        Reading::Taken(Value::Word(noted)) => W::read(noted.value),
        _ => None,
    }
}
