//! The options: leave it, good, better, best. Begin with [`ways`].

mod leave;
mod smaller;

use crate::estimate::{Answer, Estimate, estimate};
use crate::labour::Circumstances;
use crate::queue::Queue;
use crate::ready::{Ready, order_of, ready};
use crate::wording::{marginal, plain_cure};
use crate::workshop::Workshop;
use catalog::Catalogue;
use fit::{Act, Cure, Plan, Refit, Verdict, plan};
use jiff::civil::Date;

/// What an option is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WayName {
    /// Nothing is done.
    Leave,
    /// What was wished for, with the fewest chains of dependence pulled.
    Good,
    /// What was asked for, done wholly.
    Better,
    /// The same, with everything mended that works only just.
    Best,
}

impl WayName {
    /// The word on paper and in `--json`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Leave => "leave it",
            Self::Good => "good",
            Self::Better => "better",
            Self::Best => "best",
        }
    }
}

/// An option with everything that is said of it.
#[derive(Clone, Debug)]
pub struct Way {
    /// What it is called.
    pub name: WayName,
    /// What is done, in words.
    pub words: String,
    /// The verdict of the whole.
    pub verdict: Verdict,
    /// What works only just with it, in words that the customer reads.
    pub amber: Vec<String>,
    /// Its estimate; none for leaving it.
    pub estimate: Option<Box<Estimate>>,
    /// Its plan; none for leaving it.
    pub plan: Option<Box<Plan>>,
    /// What the gears become.
    pub gears: Gears,
    /// How far the hands move, millimetres forward and up; none where they do not move or it is not known.
    pub hands_mm: Option<(f64, f64)>,
    /// When it would be ready; none for leaving it.
    pub ready: Option<Ready>,
    /// Working days until every part is here.
    pub days: Option<u32>,
}

/// The gears of an option, as far as they are known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gears {
    /// Way of the bike in one turn of the cranks in the lowest gear, metres.
    pub lowest_m: Option<f64>,
    /// How it changes, percent; negative is easier.
    pub lowest_change_percent: Option<f64>,
    /// The same in the highest gear, metres.
    pub highest_m: Option<f64>,
    /// Pairs of ring and cog that are not to be avoided.
    pub usable: usize,
}

/// The options of a plan.
#[derive(Clone, Debug, Default)]
pub struct Ways {
    /// Those that are offered, leaving it first.
    pub offered: Vec<Way>,
    /// Those that are not, with the reason.
    pub missing: Vec<(WayName, &'static str)>,
}

/// Cures that are put in one after the other before a way is given up.
const ROUNDS: usize = 4;

/// What all options of one job share.
struct Counter<'a> {
    catalogue: &'a Catalogue,
    shop: &'a Workshop,
    circumstances: Circumstances,
    queue: &'a Queue,
    made: Date,
}

/// The options of a plan.
///
/// *Better* is what was asked for; where that does not work, the same with the first cures of what stands against it put
/// in and the whole bike judged again. *Best* mends what works only just as well. *Good* is the set of parts that does
/// what was wished for and pulls the fewest chains of dependence, where the wish says something that a set can be checked
/// against. No option is offered that does not work, nor one that costs no sum; a job that stops has none.
pub fn ways(
    asked: &Plan,
    catalogue: &Catalogue,
    shop: &Workshop,
    circumstances: Circumstances,
    queue: &Queue,
    made: Date,
) -> Ways {
    if asked.stopped.is_some() {
        return Ways::default();
    }
    let counter = Counter { catalogue, shop, circumstances, queue, made };
    let mut ways = Ways { offered: vec![leave::leave(asked, &shop.blocks)], missing: Vec::new() };
    let better = counter.better(asked);
    match smaller::smaller(asked, &counter) {
        Ok(good) => ways.offered.push(good),
        Err(why) => ways.missing.push((WayName::Good, why)),
    }
    let Some((plan, words)) = better else {
        let why =
            "no other parts of the catalogue alone make it work; the ways out above are work on the bike";
        ways.missing.push((WayName::Better, why));
        return ways;
    };
    let best = counter.best(&plan);
    ways.offered.extend(counter.way(WayName::Better, words, plan));
    match best {
        Ok((plan, words)) => ways.offered.extend(counter.way(WayName::Best, words, plan)),
        Err(why) => ways.missing.push((WayName::Best, why)),
    }
    ways
}

impl Counter<'_> {
    /// What was asked for, or the nearest to it that works.
    fn better(&self, asked: &Plan) -> Option<(Plan, String)> {
        if works(asked) {
            return Some((asked.clone(), "what you asked for".to_owned()));
        }
        let (plan, done) = self.mended(asked, worst_that_hurts(asked))?;
        Some((plan, format!("what you asked for, with {}", done.join("; then "))))
    }

    /// The same with everything mended that works only just.
    fn best(&self, better: &Plan) -> Result<(Plan, String), &'static str> {
        if worst_that_hurts(better) != Verdict::Marginal {
            return Err("nothing that was looked at works only just, so nothing more is advised");
        }
        let mended = self.mended(better, Verdict::Marginal);
        let (plan, done) = mended.ok_or("no other parts of the catalogue mend what works only just")?;
        Ok((plan, format!("as better, with {}", done.join("; then "))))
    }

    /// A plan with the cures of its worst findings put in, until nothing hurts as much; what was done.
    fn mended(&self, from: &Plan, worst: Verdict) -> Option<(Plan, Vec<String>)> {
        let mut now = from.clone();
        let mut refit: Refit = from.refit.clone();
        let mut done: Vec<String> = Vec::new();
        while done.len() < ROUNDS && hurts(worst_that_hurts(&now)) >= hurts(worst) {
            let standing = now.findings.iter().filter(|finding| hurts(finding.verdict) >= hurts(worst));
            let cure = standing.flat_map(|finding| finding.cures.iter().find(|cure| fits(cure))).next()?;
            done.push(plain_cure(cure));
            for act in &cure.acts {
                if let Act::Fit(part) = act {
                    refit.choice.put(part.clone());
                }
            }
            now = plan(&refit, self.catalogue);
        }
        (works(&now) && hurts(worst_that_hurts(&now)) < hurts(worst)).then_some((now, done))
    }

    /// An option with its price and its day; none where it costs no sum.
    fn way(&self, name: WayName, words: String, plan: Plan) -> Option<Way> {
        let Ok(Answer::Estimate(quote)) = estimate(&plan, self.shop, self.circumstances, self.made) else {
            return None;
        };
        let order = order_of(&plan, self.shop, self.circumstances).ok()?;
        Some(Way {
            name,
            words,
            verdict: plan.verdict,
            amber: marginal(&plan),
            gears: gears(&plan),
            hands_mm: hands_mm(&plan),
            ready: Some(ready(&plan, &quote, &order, self.shop, self.queue, self.made)),
            days: plan.parts.days,
            estimate: Some(quote),
            plan: Some(Box::new(plan)),
        })
    }
}

fn works(plan: &Plan) -> bool {
    !matches!(plan.verdict, Verdict::Fails | Verdict::Refused)
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

fn gears(plan: &Plan) -> Gears {
    let developments = || plan.gears_after.iter().filter_map(|pair| pair.development_m);
    Gears {
        lowest_m: developments().min_by(f64::total_cmp),
        highest_m: developments().max_by(f64::total_cmp),
        lowest_change_percent: lowest_change_percent(plan),
        usable: plan.gears_after.iter().filter(|pair| pair.avoid().is_empty()).count(),
    }
}

/// How far the hands move. What is still open of it is not shown as if it were known.
fn hands_mm(plan: &Plan) -> Option<(f64, f64)> {
    let shift = plan.geometry.hands.value()?.shift;
    Some((shift.forward_mm.middle(), shift.up_mm.middle()))
}

/// The change of the lowest gear, percent; negative is easier.
pub fn lowest_change_percent(plan: &Plan) -> Option<f64> {
    let lowest =
        |pairs: &[fit::Pair]| pairs.iter().filter_map(|pair| pair.development_m).min_by(f64::total_cmp);
    Some((lowest(&plan.gears_after)? / lowest(&plan.gears_before)? - 1.0) * 100.0)
}
