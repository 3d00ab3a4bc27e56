//! What an estimate covers: what was found, what stays, what is not in it.

use crate::labour::Circumstances;
use crate::price::{PriceError, PriceLine};
use catalog::Slot;
use fit::words::{tell, verdict_words};
use fit::{Plan, Verdict};

/// What was found that is not simply in order.
pub(super) fn found(plan: &Plan) -> Vec<String> {
    let mut found: Vec<String> = plan
        .findings
        .iter()
        .filter(|finding| finding.verdict != Verdict::Works)
        .map(|finding| tell(finding).head)
        .collect();
    let works = plan.findings.iter().filter(|finding| finding.verdict == Verdict::Works).count();
    if works > 0 {
        found.push(format!("{}: {works} further places where parts meet", verdict_words(Verdict::Works)));
    }
    found
}

/// What stays on the bike.
pub(super) fn leaves(plan: &Plan) -> Vec<&'static str> {
    let stays = |slot: &&Slot| plan.build.before.has(**slot) && !plan.build.choice.has(**slot);
    Slot::ALL.iter().filter(stays).map(|slot| slot.words()).collect()
}

/// What is not in the price.
pub(super) fn not_included(
    plan: &Plan,
    lines: &[PriceLine],
    unpriced: &[String],
    circumstances: Circumstances,
) -> Vec<String> {
    let mut out: Vec<String> =
        unpriced.iter().map(|part| PriceError::NoPrice(part.clone()).to_string()).collect();
    let leaves = leaves(plan);
    if !leaves.is_empty() {
        out.push(format!("everything on parts that stay: {}", leaves.join(", ")));
    }
    if circumstances.customer_parts {
        let own = plan.parts.lines.iter().filter(|line| line.id.is_none() && line.price.is_none());
        let own: Vec<&str> = own.map(|line| line.name.as_str()).collect();
        if !own.is_empty() {
            out.push(format!("parts that you bring: {}", own.join(", ")));
        }
    }
    if lines.iter().any(|line| line.assumed) {
        out.push(
            "more small parts than counted: quantities marked as assumed follow the usual route".to_owned(),
        );
    }
    out.push("anything found on the way: it is told with its price before it is done".to_owned());
    out
}
