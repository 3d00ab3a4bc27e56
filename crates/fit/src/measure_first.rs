//! What to measure, and what first: the value that can decide most verdicts for a minute of measuring.

use crate::build::Origin;
use crate::finding::{Finding, Hazard, Missing, Want};
use crate::own_rule::OwnFinding;
use catalog::{Dimension, Slot, Tool};
use std::borrow::Cow;
use std::cmp::Reverse;

/// A value to take, with everything that waits for it.
#[derive(Clone, Debug, PartialEq)]
pub struct ToMeasure {
    /// The dimension.
    pub dimension: Dimension,
    /// The part it is taken on.
    pub slot: Slot,
    /// On the bike or on the chosen part.
    pub origin: Origin,
    /// Why it is wanted.
    pub want: Want,
    /// The tool to use and its tolerance, base units.
    pub tool: (Tool, f64),
    /// Keys of the rules that wait for it.
    pub waits: Vec<Cow<'static, str>>,
    /// The greatest harm among them.
    pub hazard: Hazard,
    /// Whether some answer would change a verdict; where it is false the value only decides a number.
    pub can_flip: bool,
    /// Verdicts it can decide for a minute of measuring: a verdict that waits for three values counts a third.
    pub per_minute: f64,
}

/// What a value that only decides a number counts beside one that can change a verdict.
const NUMBER_ONLY: f64 = 0.2;

/// Everything that the findings and the shop's own rules wait for, best first.
///
/// Order: verdicts decided per minute, then hazard, then the order of the walk round the bike.
pub fn to_measure(findings: &[Finding], own: &[OwnFinding]) -> Vec<ToMeasure> {
    let mut list: Vec<ToMeasure> = Vec::new();
    // What an own rule can hurt is not said of it: it counts as what makes a bike work badly.
    let built_in = findings.iter().map(|f| (Cow::Borrowed(f.rule.id), f.rule.hazard, &f.missing));
    let own = own.iter().map(|own| (Cow::Owned(own.rule.id.clone()), Hazard::Function, &own.missing));
    let waiting: Vec<(Cow<'static, str>, Hazard, &Vec<Missing>)> = built_in.chain(own).collect();
    for (rule, hazard, wants) in waiting {
        let share = 1.0 / wants.len().max(1) as f64;
        for missing in wants {
            // All answers were tried where this value alone decides; where others are open too it may.
            let can_flip = missing.answers.is_empty()
                || missing.answers.iter().any(|answer| answer.verdict != missing.answers[0].verdict);
            let weight = if can_flip { 1.0 } else { NUMBER_ONLY };
            let gain = share * weight / missing.dimension.row().minutes;
            let same = |wanted: &&mut ToMeasure| {
                wanted.dimension == missing.dimension
                    && wanted.slot == missing.slot
                    && wanted.origin == missing.origin
            };
            if let Some(wanted) = list.iter_mut().find(same) {
                wanted.waits.push(rule.clone());
                wanted.hazard = wanted.hazard.max(hazard);
                wanted.can_flip |= can_flip;
                wanted.per_minute += gain;
                continue;
            }
            list.push(ToMeasure {
                dimension: missing.dimension,
                slot: missing.slot,
                origin: missing.origin,
                want: missing.want,
                tool: missing.tool,
                waits: vec![rule.clone()],
                hazard,
                can_flip,
                per_minute: gain,
            });
        }
    }
    list.sort_by(|a, b| {
        b.per_minute
            .total_cmp(&a.per_minute)
            .then_with(|| (Reverse(a.hazard), a.dimension).cmp(&(Reverse(b.hazard), b.dimension)))
    });
    list
}
