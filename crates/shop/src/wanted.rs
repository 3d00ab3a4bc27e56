//! Which operations a plan asks for: read off what it changes, so that nobody has to remember what comes with what.

use crate::labour::Circumstances;
use crate::operation::OperationId;
use catalog::{Dimension, Slot, Value};
use fit::{Act, Finding, Plan, Verdict, When};
use quantity::Reading;

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
    /// The bike or the customer adds it.
    Circumstance,
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
    // A drive is switched off before hands go in, and a bike that folds is folded before it leaves.
    for (rule, operation) in [("e-assist", "e-assist"), ("fold-route", "folding")] {
        if plan.findings.iter().any(|finding| finding.rule.id == rule) {
            add(OperationId(operation), Because::Circumstance);
        }
    }
    for operation in circumstances.operations() {
        let is_met = |all: &[&str]| list.iter().any(|wanted| all.contains(&wanted.operation.0));
        if meets(operation.0).is_none_or(is_met) {
            list.push(Wanted { operation, because: Because::Circumstance });
        }
    }
    list
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
    hoses: bool,
    brake_cables: bool,
}

impl Bike {
    fn of(plan: &Plan, circumstances: Circumstances) -> Self {
        let after = &plan.build.after;
        let rings = plan.build.reading(Slot::Crankset, When::After, Dimension::Rings);
        let one_ring = matches!(&rings, Reading::Taken(Value::Teeth(rings)) if rings.value.len() == 1);
        Self {
            // Shifters apart from the levers and no tape: a flat bar.
            flat_bar: after.has(Slot::Shifters) && !after.has(Slot::Tape),
            // Unknown rings count as two: a cable too many on the list is struck out, one too few is a second visit.
            shifts_in_front: !one_ring,
            levers_shift: plan.build.shifting_slot(When::After) == Slot::Levers,
            hoses: circumstances.bleed_front || circumstances.bleed_rear,
            brake_cables: !(circumstances.bleed_front && circumstances.bleed_rear),
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
        ("tape-length", Some(_)) => Some("tape"),
        (_, Some(_)) => Some("named-work"),
        (_, None) => spacer.then_some("cassette"),
    }
}
