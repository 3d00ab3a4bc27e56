//! Where there is no estimate: why, the ways out, and what the look costs.

use super::EstimateError;
use crate::price::{HowMuch, PriceLine, Totals, totals};
use crate::tax::LineKind;
use crate::workshop::Terms;
use fit::words::{cure_words, tell};
use fit::{Plan, Verdict};

/// Why a plan has no estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct NoEstimate {
    /// In a sentence.
    pub why: String,
    /// The findings that stand against it.
    pub because: Vec<String>,
    /// Ways out; empty means none.
    pub ways: Vec<String>,
    /// What the inspection costs.
    pub fee: PriceLine,
    /// With tax.
    pub totals: Totals,
}

/// Why a plan that does not work has no estimate.
pub(super) fn none(plan: &Plan, terms: &Terms) -> Result<NoEstimate, Vec<EstimateError>> {
    let why = match (plan.stopped, plan.verdict) {
        (Some(rule), _) => format!(
            "no estimate: the job stops at {}; nothing is ordered and nothing further is measured or sold",
            rule.id
        ),
        (None, Verdict::Refused) => {
            "no estimate: what was chosen is refused, and no signature changes that".to_owned()
        }
        (None, _) => "no estimate: with the parts as chosen the refit does not work".to_owned(),
    };
    let bad = |finding: &&fit::Finding| matches!(finding.verdict, Verdict::Fails | Verdict::Refused);
    let because = plan.findings.iter().filter(bad).map(|finding| tell(finding).head).collect();
    let ways = match plan.stopped {
        Some(_) => Vec::new(),
        None => plan
            .findings
            .iter()
            .filter(bad)
            .filter_map(|finding| {
                finding.cures.first().map(|cure| format!("{} {}", finding.rule.title, cure_words(cure)))
            })
            .collect(),
    };
    let fee = PriceLine {
        kind: LineKind::Labour,
        part: None,
        words: "inspection".to_owned(),
        how_much: HowMuch::Flat,
        unit: None,
        amount: terms.intake_fee,
        why: "the look that found it".to_owned(),
        priced_on: None,
        assumed: false,
    };
    let totals = totals(std::slice::from_ref(&fee), &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(EstimateError::Price).collect::<Vec<_>>())?;
    Ok(NoEstimate { why, because, ways, fee, totals })
}
