//! Leaving it: what stays as good as it was measured, and what comes due all the same.

use super::{Gears, Way, WayName, hurts};
use crate::wording::{TextBlocks, short};
use fit::words::margin_words;
use fit::{Finding, Origin, Plan, Verdict};

/// What is said if nothing is done. Always offered.
pub(super) fn leave(plan: &Plan, blocks: &TextBlocks) -> Way {
    let wear = || plan.findings.iter().filter(|finding| finding.rule.id.ends_with("-wear"));
    let due: Vec<String> = wear().filter(|finding| is_due(finding)).map(short).collect();
    let stays = |finding: &&Finding| finding.verdict == Verdict::Works && is_of_the_bike(finding);
    let safe: Vec<String> = wear().filter(stays).map(kept).collect();
    let mut keeps = if due.is_empty() {
        "Nothing that was measured says that it has to be done now.".to_owned()
    } else {
        format!("Due now all the same: {}.", due.join("; "))
    };
    if !safe.is_empty() {
        keeps.push_str(&format!(
            " What was measured stays good until it has worn so far: {}.",
            safe.join("; ")
        ));
    }
    let words = blocks.say("leave", &[("keeps", &keeps)]).map_or(keeps, |said| said.text);
    let gears = &plan.gears_before;
    let developments = || gears.iter().filter_map(|pair| pair.development_m);
    Way {
        name: WayName::Leave,
        words,
        verdict: Verdict::Works,
        amber: Vec::new(),
        estimate: None,
        plan: None,
        gears: Gears {
            lowest_m: developments().min_by(f64::total_cmp),
            highest_m: developments().max_by(f64::total_cmp),
            lowest_change_percent: Some(0.0),
            usable: gears.iter().filter(|pair| pair.avoid().is_empty()).count(),
        },
        hands_mm: None,
        ready: None,
        days: Some(0),
    }
}

/// Whether something is worn as it is: a part that the refit brings as its remedy does not count when nothing is done.
fn is_due(finding: &Finding) -> bool {
    hurts(finding.without.unwrap_or(finding.verdict)) >= hurts(Verdict::Marginal)
}

/// Whether it says something of parts as they are on the bike: a new part says nothing of the old one.
fn is_of_the_bike(finding: &Finding) -> bool {
    !finding.facts.is_empty() && finding.facts.iter().all(|fact| fact.origin == Origin::Found)
}

/// What was measured, and how much may still wear away.
fn kept(finding: &Finding) -> String {
    let room = finding.margin.as_ref().map(|margin| format!(" (to the limit: {})", margin_words(margin)));
    format!("{}{}", short(finding), room.unwrap_or_default())
}
