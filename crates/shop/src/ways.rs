//! Other ways than the one that was asked for: leaving it, and ways out of what does not work or works only just.

use crate::estimate::{Answer, Estimate, estimate};
use crate::labour::Circumstances;
use crate::workshop::Workshop;
use catalog::Catalogue;
use fit::words::cure_words;
use fit::{Act, Cure, Plan, Verdict, plan};
use jiff::civil::Date;

/// A way, with what comes of it.
#[derive(Clone, Debug)]
pub struct Way {
    /// In words.
    pub words: String,
    /// The verdict of the whole.
    pub verdict: Verdict,
    /// Its estimate; none for leaving it.
    pub estimate: Option<Box<Estimate>>,
    /// Its plan; none for leaving it.
    pub plan: Option<Box<Plan>>,
    /// The change of the lowest gear, percent; negative is easier.
    pub lowest_change_percent: Option<f64>,
    /// Working days until every part is here.
    pub days: Option<u32>,
}

/// Cures that are put in one after the other before a way is given up.
const ROUNDS: usize = 4;

/// Ways beside the one that was asked for: leaving it as it is, and the first cures of what stands against it, all of
/// them put in and the whole bike judged again. No way is offered that does not work, and none that costs no sum.
pub fn ways(
    asked: &Plan,
    catalogue: &Catalogue,
    shop: &Workshop,
    circumstances: Circumstances,
    made: Date,
) -> Vec<Way> {
    if asked.stopped.is_some() {
        return Vec::new();
    }
    let mut ways = vec![leave(asked, shop)];
    let worst = worst_that_hurts(asked);
    if hurts(worst) < hurts(Verdict::Marginal) {
        return ways;
    }
    let mut refit = asked.refit.clone();
    let mut now = asked.clone();
    let mut done: Vec<String> = Vec::new();
    // Until it hurts less: what then works only just is agreed to by name, not changed unasked.
    while done.len() < ROUNDS && hurts(worst_that_hurts(&now)) >= hurts(worst) {
        let standing = now.findings.iter().filter(|finding| hurts(finding.verdict) >= hurts(worst));
        let Some(cure) = standing.flat_map(|finding| finding.cures.iter().find(|cure| fits(cure))).next()
        else {
            break;
        };
        done.push(cure_words(cure));
        for act in &cure.acts {
            if let Act::Fit(part) = act {
                refit.choice.put(part.clone());
            }
        }
        now = plan(&refit, catalogue);
    }
    let better = hurts(worst_that_hurts(&now)) < hurts(worst);
    let works = !matches!(now.verdict, Verdict::Fails | Verdict::Refused);
    if better
        && works
        && let Ok(Answer::Estimate(estimate)) = estimate(&now, shop, circumstances, made)
    {
        ways.push(Way {
            words: done.join("; then "),
            verdict: now.verdict,
            lowest_change_percent: lowest_change_percent(&now),
            days: now.parts.days,
            estimate: Some(estimate),
            plan: Some(Box::new(now)),
        });
    }
    ways
}

/// How much a verdict stands against a job: what has to be measured stands in no one's way to a cure.
fn hurts(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Works | Verdict::Remedy => 0,
        Verdict::Measure => 1,
        Verdict::Marginal => 2,
        Verdict::Fails => 3,
        Verdict::Refused => 4,
    }
}

fn worst_that_hurts(plan: &Plan) -> Verdict {
    let all = plan.findings.iter().map(|finding| finding.verdict);
    all.filter(|verdict| *verdict != Verdict::Measure)
        .max_by_key(|verdict| hurts(*verdict))
        .unwrap_or(Verdict::Works)
}

/// Whether a cure is parts and nothing else: work with no price is no way that can be priced here.
fn fits(cure: &Cure) -> bool {
    !cure.acts.is_empty() && cure.acts.iter().all(|act| matches!(act, Act::Fit(_)))
}

fn leave(plan: &Plan, shop: &Workshop) -> Way {
    let worn: Vec<&str> = plan
        .findings
        .iter()
        .filter(|finding| {
            finding.rule.id.ends_with("-wear") && hurts(finding.verdict) >= hurts(Verdict::Marginal)
        })
        .map(|finding| finding.rule.title)
        .collect();
    let keeps = if worn.is_empty() {
        "Nothing that was measured says that it has to be done now.".to_owned()
    } else {
        format!("Due soon all the same: {}", worn.join(" "))
    };
    let words = shop.blocks.say("leave", &[("keeps", &keeps)]).map_or(keeps, |said| said.text);
    Way {
        words,
        verdict: Verdict::Works,
        estimate: None,
        plan: None,
        lowest_change_percent: Some(0.0),
        days: Some(0),
    }
}

/// The change of the lowest gear, percent; negative is easier.
pub fn lowest_change_percent(plan: &Plan) -> Option<f64> {
    let lowest =
        |pairs: &[fit::Pair]| pairs.iter().filter_map(|pair| pair.development_m).min_by(f64::total_cmp);
    Some((lowest(&plan.gears_after)? / lowest(&plan.gears_before)? - 1.0) * 100.0)
}
