//! Which operations a plan asks for: read off what it changes, so that nobody has to remember what comes with what.

use crate::book::{Book, BookError};
use crate::labour::Circumstances;
use crate::operation::OperationId;
use catalog::{Dimension, Slot, Value};
use fit::{Act, Finding, Plan, Verdict, When};
use quantity::Reading;
use std::collections::BTreeMap;

/// An operation that a plan asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The operation.
    pub operation: OperationId,
    /// Why.
    pub because: Because,
}

/// Why an operation is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// Every job has it.
    EveryJob,
    /// The plan puts a new part there.
    NewPart(Slot),
    /// A finding works only with it: the key of its rule.
    Remedy(&'static str),
    /// A part is refused: the key of its rule.
    Refusal(&'static str),
    /// The bike or the customer adds it.
    Circumstance,
    /// It was found while working, and the customer agreed.
    Change,
}

/// The operations of a plan on a bike with cables outside the frame, rim brakes and parts from the shop.
///
/// Chosen parts and parts added as a matter of course bring their operations, remedies that are work or a spacer
/// bring theirs, and every job has its intake, bolt check, rides, second check and hand-over.
pub fn operations_for(plan: &Plan) -> Vec<OperationId> {
    wanted(plan, Circumstances::default()).into_iter().map(|wanted| wanted.operation).collect()
}

/// The operations of a plan, each with the first reason for it.
pub fn wanted(plan: &Plan, circumstances: Circumstances) -> Vec<Wanted> {
    let mut list: Vec<Wanted> = Vec::new();
    let mut add = |operation: OperationId, because: Because| {
        if !list.iter().any(|wanted| wanted.operation == operation) {
            list.push(Wanted { operation, because });
        }
    };
    if let Some(rule) = plan.stopped {
        // Nothing further is measured or sold.
        return vec![Wanted { operation: OperationId("send-home"), because: Because::Refusal(rule.id) }];
    }
    add(OperationId("job"), Because::EveryJob);
    let bike = Bike::of(plan, circumstances);
    for part in plan.build.choice.iter() {
        for operation in bike.operations(part.slot()) {
            add(OperationId(operation), Because::NewPart(part.slot()));
        }
    }
    for finding in plan.findings.iter().filter(|finding| finding.verdict == Verdict::Remedy) {
        if let Some(operation) = remedy(finding) {
            add(OperationId(operation), Because::Remedy(finding.rule.id));
        }
    }
    for finding in plan.findings.iter().filter(|finding| finding.verdict == Verdict::Refused) {
        add(OperationId("refused-part"), Because::Refusal(finding.rule.id));
    }
    // What is opened is bled: new levers or brakes come without their oil, or with a hose that is cut.
    if bike.fluid && [Slot::Levers, Slot::Calipers].iter().any(|slot| plan.build.changes(*slot)) {
        for operation in ["bleed-front", "bleed-rear"] {
            add(OperationId(operation), Because::Circumstance);
        }
    }
    for operation in of_the_bike(plan) {
        add(OperationId(operation), Because::Circumstance);
    }
    for operation in circumstances.operations() {
        let is_met = |all: &[&str]| list.iter().any(|wanted| all.contains(&wanted.operation.0));
        if meets(operation.0).is_none_or(is_met) {
            list.push(Wanted { operation, because: Because::Circumstance });
        }
    }
    list
}

/// What a bike adds by what it is: a drive that can start, a hinge, a bar whose clamps a second person looks at.
fn of_the_bike(plan: &Plan) -> Vec<&'static str> {
    let mut list = Vec::new();
    if word(plan, Slot::Frame, Dimension::AssistDrive).is_some_and(|drive| drive != "none") {
        list.push("electric-drive");
    }
    if plan.build.reading(Slot::Frame, When::After, Dimension::FoldExtra).is_answered() {
        list.push("folding");
    }
    let touched = [Slot::Bar, Slot::Stem, Slot::Levers].iter().any(|slot| plan.build.changes(*slot));
    let refused = |f: &Finding| f.rule.id == "carbon-bar" && f.verdict == Verdict::Refused;
    let carbon = word(plan, Slot::Bar, Dimension::BarMaterial) == Some("carbon");
    if touched && carbon && !plan.findings.iter().any(refused) {
        list.push("carbon-bar");
    }
    list
}

/// A word of the bike as it shall be.
fn word(plan: &Plan, slot: Slot, dimension: Dimension) -> Option<&'static str> {
    match plan.build.reading(slot, When::After, dimension) {
        Reading::Taken(Value::Word(noted)) => Some(noted.value),
        _ => None,
    }
}

/// Minutes of a job that puts new parts in these slots, each step once.
///
/// # Errors
/// [`BookError`] if the book does not have an operation.
pub fn minutes_for(
    plan: &Plan,
    book: &Book,
    circumstances: Circumstances,
    slots: &[Slot],
) -> Result<u32, BookError> {
    let bike = Bike::of(plan, circumstances);
    let operations = slots.iter().flat_map(|slot| bike.operations(*slot)).map(OperationId);
    let all: Vec<OperationId> = [OperationId("job")].into_iter().chain(operations).collect();
    Ok(book.labour(&all, circumstances.age)?.minutes.usual)
}

/// Minutes that a new part in each slot adds to a job of its own: the steps that it brings beside those of every job.
/// Parts that share steps add less together, so the sum over several slots is an upper limit.
///
/// # Errors
/// [`BookError`] if the book does not have an operation.
pub fn minutes_by_slot(
    plan: &Plan,
    book: &Book,
    circumstances: Circumstances,
) -> Result<BTreeMap<Slot, u32>, BookError> {
    let job = minutes_for(plan, book, circumstances, &[])?;
    let by_slot = Slot::ALL
        .iter()
        .filter(|slot| **slot != Slot::Frame)
        .map(|slot| Ok((*slot, minutes_for(plan, book, circumstances, &[*slot])?.saturating_sub(job))));
    by_slot.collect()
}

/// The operations without which a circumstance adds nothing: cables inside the frame cost nothing while they stay in.
fn meets(circumstance: &str) -> Option<&'static [&'static str]> {
    match circumstance {
        "internal-routing" => Some(&[
            "rear-shift-cable",
            "front-shift-cable",
            "brake-cables",
            "hydraulic-hoses",
            "rear-derailleur",
            "front-derailleur",
            "calipers",
        ]),
        "timing-chain" => Some(&["crankset", "chainrings", "bottom-bracket"]),
        _ => None,
    }
}

/// What decides which operations a part brings.
struct Bike {
    flat_bar: bool,
    shifts_in_front: bool,
    levers_shift: bool,
    /// The brakes are worked by oil, as far as the parts say so.
    fluid: bool,
    disc_brakes: bool,
    hoses: bool,
    brake_cables: bool,
}

impl Bike {
    fn of(plan: &Plan, circumstances: Circumstances) -> Self {
        let after = &plan.build.after;
        let rings = plan.build.reading(Slot::Crankset, When::After, Dimension::Rings);
        let says = |slot, dimension| word(plan, slot, dimension);
        let works_by = [(Slot::Levers, Dimension::LeverFluid), (Slot::Calipers, Dimension::CaliperFluid)];
        let fluid = works_by.into_iter().any(|(slot, by)| says(slot, by).is_some_and(|by| by != "cable"));
        let mount = says(Slot::Calipers, Dimension::CaliperMount);
        let one_ring = matches!(&rings, Reading::Taken(Value::Teeth(rings)) if rings.value.len() == 1);
        Self {
            // Shifters apart from the levers and no tape: a flat bar.
            flat_bar: after.has(Slot::Shifters) && !after.has(Slot::Tape),
            // Unknown rings count as two: a cable too many on the list is struck out, one too few is a second visit.
            shifts_in_front: !one_ring,
            levers_shift: plan.build.shifting_slot(When::After) == Slot::Levers,
            fluid,
            disc_brakes: mount.is_some_and(|mount| mount.starts_with("disc")),
            hoses: fluid || circumstances.bleed_front || circumstances.bleed_rear,
            brake_cables: !(fluid || (circumstances.bleed_front && circumstances.bleed_rear)),
        }
    }

    /// The operations that a new part in a slot brings, beside those that they bring themselves.
    fn operations(&self, slot: Slot) -> Vec<&'static str> {
        // By key, so that a sort of part that nobody thought of here still brings work.
        match slot.key() {
            // A new frame is a new bike: everything moves over, so it is named work.
            "frame" => vec!["named-work"],
            "rear_wheel" => vec!["rear-wheel"],
            "front_wheel" => vec!["front-wheel"],
            "rotors" => vec!["rotors"],
            "cassette" => vec!["cassette"],
            "chain" => vec!["chain"],
            "crankset" => self.with_front(vec!["crankset"], &["front-tuning"]),
            "chainrings" => self.with_front(vec!["chainrings"], &["front-tuning"]),
            "bottom_bracket" => self.with_front(vec!["bottom-bracket"], &["front-tuning"]),
            "rear_derailleur" => vec!["rear-derailleur"],
            "front_derailleur" => vec!["front-derailleur"],
            "levers" => {
                let levers = if self.flat_bar { "levers-flat" } else { "levers" };
                self.with_cables(vec![levers], self.levers_shift, true)
            }
            "shifters" => self.with_cables(vec!["levers-flat"], true, false),
            "bar" => self.with_cables(vec![if self.flat_bar { "bar-flat" } else { "bar" }], true, true),
            // The steps of a rim caliper end at the rim; those of a disc brake at the rotor, by cable or by hose.
            "calipers" if self.disc_brakes => self.with_cables(vec!["disc-calipers"], false, true),
            "calipers" => vec!["calipers"],
            "stem" => vec!["stem"],
            "headset" => vec!["headset"],
            "seatpost" => vec!["seatpost"],
            "pedals" => vec!["pedals"],
            "tape" => vec!["tape"],
            "cables" => self.with_cables(Vec::new(), true, true),
            _ => vec!["other-part"],
        }
    }

    fn with_front(&self, mut operations: Vec<&'static str>, more: &[&'static str]) -> Vec<&'static str> {
        if self.shifts_in_front {
            operations.extend(more);
        }
        operations
    }

    fn with_cables(
        &self,
        mut operations: Vec<&'static str>,
        shifting: bool,
        brakes: bool,
    ) -> Vec<&'static str> {
        if shifting {
            operations.push("rear-shift-cable");
            operations = self.with_front(operations, &["front-shift-cable"]);
        }
        if brakes && self.brake_cables {
            operations.push("brake-cables");
        }
        if brakes && self.hoses {
            operations.push("hydraulic-hoses");
        }
        operations
    }
}

/// The operation of a remedy that is work or a spacer; parts have brought theirs already.
fn remedy(finding: &Finding) -> Option<&'static str> {
    let acts: Vec<&Act> = finding.cures.first().map(|cure| cure.acts.iter().collect()).unwrap_or_default();
    let spacer = acts.iter().any(|act| matches!(act, Act::Spacer(_)));
    let work = acts.iter().find_map(|act| if let Act::Work(words) = act { Some(*words) } else { None });
    match (finding.rule.id, work) {
        ("hanger-bend" | "hanger-thread", Some(words)) if words.contains("exchange") => {
            Some("hanger-exchange")
        }
        ("hanger-bend" | "hanger-thread", Some(_)) => Some("hanger-alignment"),
        ("hub-width", Some(_)) => Some("spreading"),
        ("chain-length", Some(_)) => Some("chain"),
        ("pad-wear", Some(_)) => Some("pads"),
        ("tape-length", Some(_)) => Some("tape"),
        (_, Some(_)) => Some("named-work"),
        (_, None) => spacer.then_some("cassette"),
    }
}
