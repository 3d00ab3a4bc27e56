//! The two gates: before the bike is taken apart, and before it leaves.

use super::JudgedBy;
use super::blind::BlindPoint;
use super::event::PartCheck;
use super::refusal::Refusal;
use super::state::State;
use crate::check::approval_stands;
use crate::operation::OperationId;
use crate::step::{Block as Room, StepId};
use crate::wanted::wanted;
use catalog::Slot;
use fit::{Finding, Plan, Verdict};
use std::fmt;

/// One reason why the bike is not taken apart yet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Block {
    /// The bike is not in the shop.
    NotReceived,
    /// A refusal that no approval overrides.
    Refused(&'static str),
    /// Parts that do not work.
    Fails(&'static str),
    /// A verdict waits for a measurement.
    Measure(&'static str),
    /// Nobody wrote down where the hands were.
    HandsNotRecorded,
    /// No estimate went out.
    NoEstimate,
    /// The customer has not agreed to this version.
    NotApproved(u32),
    /// What the customer agreed to is not what would be done: keys of the rules that changed.
    Changed(Vec<&'static str>),
    /// Other parts were agreed to.
    OtherParts(Vec<Slot>),
    /// A part has not arrived.
    NotArrived(Slot),
    /// A part was not held against the bike.
    NotChecked(Slot),
    /// A part was held against the bike and is wrong.
    WrongPart(Slot, String),
}

impl fmt::Display for Block {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotReceived => write!(f, "the bike is not here"),
            Self::Refused(rule) => write!(f, "{rule} is a safety refusal that no approval overrides"),
            Self::Fails(rule) => write!(f, "{rule} does not work"),
            Self::Measure(rule) => write!(f, "{rule} waits for a measurement"),
            Self::HandsNotRecorded => write!(f, "where the hands were is not written down"),
            Self::NoEstimate => write!(f, "no estimate went out"),
            Self::NotApproved(version) => write!(f, "the customer has not agreed to version {version}"),
            Self::Changed(rules) => {
                write!(f, "changed since the customer agreed: {}", rules.join(", "))
            }
            Self::OtherParts(slots) => {
                let all: Vec<&str> = slots.iter().map(|slot| slot.words()).collect();
                write!(f, "other parts than the customer agreed to: {}", all.join(", "))
            }
            Self::NotArrived(slot) => write!(f, "the {} has not arrived", slot.words()),
            Self::NotChecked(slot) => write!(f, "the {} was not held against the bike", slot.words()),
            Self::WrongPart(slot, words) => write!(f, "the {} is wrong: {words}", slot.words()),
        }
    }
}

fn waits(verdict: Verdict) -> Option<fn(&'static str) -> Block> {
    match verdict {
        Verdict::Refused => Some(Block::Refused),
        Verdict::Fails => Some(Block::Fails),
        Verdict::Measure => Some(Block::Measure),
        Verdict::Works | Verdict::Remedy | Verdict::Marginal => None,
    }
}

/// Everything that keeps the bike from being taken apart, in the order in which it is cleared. Empty: the gate is
/// open.
pub fn blocks_start(state: &State, desk: JudgedBy<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    if state.hook.is_none() {
        blocks.push(Block::NotReceived);
    }
    let judged = |finding: &Finding| waits(finding.verdict).map(|block| block(finding.rule.id));
    blocks.extend(desk.plan.findings.iter().filter_map(judged));
    if state.hands.is_none() {
        blocks.push(Block::HandsNotRecorded);
    }
    blocks.extend(approval(state, desk));
    for slot in gating(desk.plan) {
        match state.parts.get(&slot) {
            Some(part) if part.arrived => match &part.check {
                None => blocks.push(Block::NotChecked(slot)),
                Some(PartCheck::Wrong { words }) => blocks.push(Block::WrongPart(slot, words.clone())),
                Some(PartCheck::Fits) => {}
            },
            _ => blocks.push(Block::NotArrived(slot)),
        }
    }
    blocks
}

/// What is wrong with the customer's word, if anything.
pub fn approval(state: &State, desk: JudgedBy<'_>) -> Option<Block> {
    let Some(current) = state.estimates.last() else { return Some(Block::NoEstimate) };
    let Some(approval) = state.approval.as_ref().filter(|approval| approval.version == current.version)
    else {
        return Some(Block::NotApproved(current.version));
    };
    let others: Vec<Slot> = Slot::ALL
        .iter()
        .copied()
        .filter(|slot| approval.refit.choice.get(*slot) != state.refit.choice.get(*slot))
        .collect();
    if !others.is_empty() {
        return Some(Block::OtherParts(others));
    }
    let changed = approval_stands(desk.agreed?, desk.plan).err()?;
    Some(Block::Changed(changed.iter().map(|change| change.rule.id).collect()))
}

/// The slots whose new parts have to be here and checked before the strip: chosen parts and parts added as a matter
/// of course.
pub fn gating(plan: &Plan) -> Vec<Slot> {
    Slot::ALL.iter().copied().filter(|slot| plan.build.choice.has(*slot)).collect()
}

/// Steps that are recorded as a ride, a check or the collection.
pub(super) const ELSEWHERE: [StepId; 4] =
    [StepId("first-ride"), StepId("second-check"), StepId("second-ride"), StepId("hand-over")];

/// Steps of weeks later, when the bike has long left.
const LATER: [StepId; 2] = [StepId("settling-check"), StepId("follow-up")];

/// The operations of the job: those of its plan, of what the bike adds, and of what the customer added since.
pub fn operations(state: &State, plan: &Plan) -> Vec<OperationId> {
    let mut all: Vec<OperationId> =
        wanted(plan, state.circumstances).into_iter().map(|wanted| wanted.operation).collect();
    for added in &state.added {
        if !all.contains(added) {
            all.push(*added);
        }
    }
    all
}

/// The rules that refuse the bike as it is: nobody signs them away.
pub fn refusals(desk: JudgedBy<'_>) -> impl Iterator<Item = &'static str> {
    let refused = desk.plan.findings.iter().filter(|finding| finding.verdict == Verdict::Refused);
    refused.map(|finding| finding.rule.id)
}

/// The steps of the job at the stand: without intake, rides and hand-over.
pub fn stand_steps(state: &State, desk: JudgedBy<'_>) -> Vec<StepId> {
    let operations = operations(state, desk.plan);
    // An operation that the book does not know is a fault of the book, said where the book is read.
    let steps = desk.book.steps_of(&operations).unwrap_or_default();
    let at_stand = |step: &StepId| {
        let room = desk.book.step(*step).map(|step| step.block);
        room != Some(Room::Intake) && !ELSEWHERE.contains(step) && !LATER.contains(step)
    };
    steps.into_iter().filter(at_stand).collect()
}

/// Everything that keeps the bike from leaving. Empty: it may go.
pub fn blocks_release(state: &State, desk: JudgedBy<'_>) -> Vec<Refusal> {
    let mut reasons = Vec::new();
    if !state.started {
        return vec![Refusal::NotStarted];
    }
    let rules: Vec<&'static str> = refusals(desk).collect();
    if !rules.is_empty() {
        reasons.push(Refusal::Unsafe { rules });
    }
    for problem in state.problems.values() {
        reasons.push(Refusal::Stopped { words: problem.words.clone() });
    }
    let open: Vec<StepId> =
        stand_steps(state, desk).into_iter().filter(|step| !state.done.contains_key(step)).collect();
    if !open.is_empty() {
        reasons.push(Refusal::StepsOpen(open));
    }
    let looks: Vec<BlindPoint> =
        BlindPoint::of(desk.plan).into_iter().filter(|point| !state.agrees(*point)).collect();
    if !looks.is_empty() {
        reasons.push(Refusal::Looks(looks));
    }
    if let Err(held) = state.record.release() {
        reasons.push(Refusal::Held(held));
    }
    reasons
}
