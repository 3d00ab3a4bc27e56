//! The book that a shop starts with. Its minutes are invented start values after common practice, without a source:
//! the shop's own times replace them.

mod cockpit;
mod control;
mod drivetrain;
mod fittings;
mod frame;
mod intake;
mod notes;
mod operations;
mod strip;
mod wheel;

use crate::book::Book;
use crate::step::Step;

/// Makes steps of one block: key, title, minutes low usual high, skill, tool, what comes before and why, the
/// fasteners that it turns, and whether there is no way back.
macro_rules! steps {
    (@flag) => { false };
    (@flag no_way_back) => { true };
    ($block:ident; $(
        $id:literal $title:literal [$low:literal $usual:literal $high:literal] $skill:ident $tool:literal
        after { $($need:literal: $because:literal;)* } $(turns [$($fastener:literal),+])? $(, $flag:ident)? ;
    )+) => {
        &[$($crate::step::Step {
            id: $crate::step::StepId($id),
            title: $title,
            block: $crate::step::Block::$block,
            minutes: $crate::step::Minutes::new($low, $usual, $high),
            skill: $crate::step::Skill::$skill,
            tool: $tool,
            needs: std::borrow::Cow::Borrowed(
                &[$($crate::step::Need { step: $crate::step::StepId($need), because: $because }),*]),
            irreversible: $crate::start_values::steps!(@flag $($flag)?),
            fasteners: std::borrow::Cow::Borrowed(&[$($($crate::fastener::FastenerId($fastener)),+)?]),
            notes: $crate::step::Notes {
                consumable: None, record: None, caution: None, picture: None, own: None,
            },
        }),+]
    };
}
use steps;

/// The steps of the start values, block by block.
fn all_steps() -> impl Iterator<Item = &'static Step> {
    let [brakes, cockpit] = cockpit::STEPS;
    let [rare_intake, rare_strip, rare_frame, rare_drivetrain, rare_brakes, rare_cockpit, rare_control] =
        fittings::STEPS;
    [
        [intake::STEPS, rare_intake, strip::STEPS, rare_strip, frame::STEPS, rare_frame, wheel::STEPS],
        [drivetrain::STEPS, rare_drivetrain, brakes, rare_brakes, cockpit, rare_cockpit, control::STEPS],
        [rare_control, &[], &[], &[], &[], &[], &[]],
    ]
    .into_iter()
    .flatten()
    .flatten()
}

impl Book {
    /// The book of start values: every step of a refit from the talk at the counter to the look after six weeks.
    pub fn start_values() -> Self {
        Self::laid(all_steps().map(notes::noted).collect(), operations::OPERATIONS.to_vec())
    }
}
