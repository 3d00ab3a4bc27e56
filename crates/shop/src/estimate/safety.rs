//! What concerns the rider's safety and works only just: told in plain words, signed for by itself if it is declined.

use crate::wording::{TextBlocks, answered, plain_cure};
use fit::{Audience, Hazard, Plan, Verdict, Warning};

/// A thing of which the customer signs by itself that they do not want it mended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SafetyItem {
    /// The rule that found it.
    pub rule: &'static str,
    /// What was found.
    pub what: String,
    /// What would mend it; none is known if it is empty.
    pub cure: Option<String>,
    /// What is signed, in plain words.
    pub words: String,
    /// The version of the block of text that it was said with.
    pub version: u32,
}

/// What works only just and may throw the rider. What does not work at all is never declined: it has no estimate.
pub(super) fn safety(plan: &Plan, blocks: &TextBlocks) -> Vec<SafetyItem> {
    plan.findings
        .iter()
        .filter(|finding| finding.verdict == Verdict::Marginal && finding.rule.hazard == Hazard::Rider)
        .filter_map(|finding| {
            let what = answered(finding);
            let cure = finding.cures.first().map(plain_cure);
            let for_rider = |warning: Warning| {
                let mut sentences = warning.sentences();
                sentences.find(|(audience, _)| *audience == Audience::Customer).map(|(_, words)| words)
            };
            let harm = finding.rule.caution.and_then(for_rider).unwrap_or(finding.rule.sentence);
            let advice = cure.as_deref().unwrap_or("nothing that the catalogue has");
            let said = blocks.say("declined", &[("what", &what), ("cure", advice), ("harm", harm)])?;
            Some(SafetyItem { rule: finding.rule.id, what, cure, words: said.text, version: said.version })
        })
        .collect()
}
