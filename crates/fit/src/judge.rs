//! Runs the rules over a build.

use crate::ask::Ask;
use crate::build::Build;
use crate::finding::{Finding, Margin, Verdict};
use crate::rule::{Checked, Rule};
use crate::rules::RULES;
use quantity::SLACK;

/// Judges every interface that the refit touches, in the order of the rule table: front to back of a check.
///
/// Pure: the same build gives the same findings.
pub fn judge(build: &Build) -> Vec<Finding> {
    RULES.iter().filter_map(|rule| judge_by(rule, build)).collect()
}

/// Judges one interface; `None` if the refit does not touch it.
pub fn judge_by(rule: &'static Rule, build: &Build) -> Option<Finding> {
    if !rule.touches.is_empty() && !rule.touches.iter().any(|slot| build.changes(*slot)) {
        return None;
    }
    let mut ask = Ask::new(build);
    let checked = (rule.check)(&mut ask);
    // A verdict that waits must wait for something: if no reading is coarse, they cannot all be right.
    let waits = match &checked {
        Checked::CannotTell => true,
        Checked::Judged(judged) => judged.verdict == Verdict::Measure,
        Checked::NotTouched => false,
    };
    if waits && ask.wants_nothing() {
        ask.all_again();
    }
    let (facts, missing) = ask.into_notes();
    match checked {
        Checked::NotTouched => None,
        Checked::CannotTell => Some(Finding {
            rule,
            verdict: Verdict::Measure,
            without: None,
            margin: None,
            facts,
            numbers: Vec::new(),
            steps: Vec::new(),
            lines: Vec::new(),
            missing,
            cures: Vec::new(),
        }),
        Checked::Judged(judged) => {
            // Where a word decides there may be room to spare in millimetres: that margin is not the one that counts.
            let beside = |margin: &Margin| judged.verdict >= Verdict::Fails && margin.span.least() > SLACK;
            let margin = judged.margin.filter(|margin| !beside(margin));
            // A gap that did not stop the verdict did not matter to it.
            let missing = if judged.verdict == Verdict::Measure { missing } else { Vec::new() };
            Some(Finding {
                rule,
                verdict: judged.verdict,
                without: judged.without,
                margin,
                facts,
                numbers: judged.numbers,
                steps: judged.steps,
                lines: judged.lines,
                missing,
                cures: judged.cures,
            })
        }
    }
}

/// The worst verdict of all findings; works where there are none.
pub fn worst(findings: &[Finding]) -> Verdict {
    findings.iter().map(|finding| finding.verdict).max().unwrap_or(Verdict::Works)
}
