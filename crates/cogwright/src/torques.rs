//! The torques of a job: what counts for each fastener that it turns, and everything else that is said of it.

use crate::report::{plain_table, print_table};
use crate::screen::HEADING;
use quantity::digits;
use serde_json::{Value, json};
use shop::{Closing, Fastener, OwnTorque, Placed, TorqueRange};
use std::fmt::Write;

/// The fasteners that the steps turn, each once, in the order of the work.
fn turned(order: &[Placed<'_>]) -> Vec<&'static Fastener> {
    let mut list: Vec<&'static Fastener> = Vec::new();
    for id in order.iter().flat_map(|placed| placed.step.fasteners.iter()) {
        if let Some(fastener) = Fastener::find(*id).filter(|f| !list.iter().any(|other| other.id == f.id)) {
            list.push(fastener);
        }
    }
    list
}

/// The section of the work sheet.
pub(crate) fn told(out: &mut String, order: &[Placed<'_>], own: &[OwnTorque]) {
    let list = turned(order);
    if list.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "\n{HEADING}Torques{HEADING:#}; a figure on the part or in its leaflet wins over all of them"
    );
    let mut table = plain_table();
    for fastener in list {
        let said = fastener.torque(own, None);
        let counts = match (said.counts(), fastener.closing) {
            (Some(range), _) => words(range),
            (None, Closing::ByHand) => "by hand".to_owned(),
            (None, _) => "as printed on the part".to_owned(),
        };
        table.add_row([fastener.title.to_owned(), format!("{counts}{}", beside(fastener, own))]);
    }
    print_table(out, &table);
}

/// The shop's own figure with name and date, and the built-in one that it overrides.
fn beside(fastener: &Fastener, own: &[OwnTorque]) -> String {
    let said = fastener.torque(own, None);
    let Some(own) = said.own else { return String::new() };
    let built_in = match (said.built_in, fastener.closing) {
        (Some(range), _) => words(range),
        (None, Closing::ByHand) => "by hand".to_owned(),
        (None, _) => "as printed on the part".to_owned(),
    };
    let why = own.why.as_ref().map_or_else(String::new, |why| format!(": {why}"));
    format!("; the shop's own, {}, {}{why}; built in: {built_in}", own.by, own.on)
}

/// The same as data.
pub(crate) fn document(order: &[Placed<'_>], own: &[OwnTorque]) -> Value {
    let range = |range: TorqueRange| json!({ "least_nm": range.least.to_newton_metres(), "most_nm": range.most.to_newton_metres() });
    let list = turned(order).into_iter().map(|fastener| {
        let said = fastener.torque(own, None);
        json!({
            "fastener": fastener.id.0,
            "title": fastener.title,
            "counts": said.counts().map(range),
            "built_in": said.built_in.map(range),
            "own": said.own.map(|own| json!({
                "range": range(own.range), "by": own.by, "on": own.on, "why": own.why,
            })),
        })
    });
    list.collect()
}

fn words(range: TorqueRange) -> String {
    let (least, most) = (range.least.to_newton_metres(), range.most.to_newton_metres());
    let number = |nm: f64| digits::fixed(nm, usize::from((nm - nm.round()).abs() > 1e-9));
    if (most - least).abs() < 1e-9 {
        format!("{} N·m", number(least))
    } else {
        format!("{} to {} N·m", number(least), number(most))
    }
}
