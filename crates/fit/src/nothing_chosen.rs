//! A wish without parts: nothing can be judged yet, but it is known what to measure for it.

use crate::build::{Build, Origin};
use crate::choose::wanted_parts;
use crate::finding::{Finding, Verdict};
use crate::judge::judge;
use crate::refit::Refit;
use crate::set_wish::SetWish;
use catalog::{Catalogue, Dimension, Part, Slot};

/// Why nothing is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NothingChosen {
    /// The wish says what a set of parts shall give, and no part is chosen.
    Set,
    /// The wish has words only, which no rule can check.
    Words,
}

impl NothingChosen {
    /// Whether a refit has a wish and no part chosen for it.
    pub(crate) fn of(refit: &Refit) -> Option<Self> {
        let wish = &refit.wish;
        if refit.choice.iter().next().is_some() {
            None
        } else if wish.set != SetWish::default() {
            Some(Self::Set)
        } else if wish.words.is_some() && wish.lowest_gear.is_none() && wish.hands.is_none() {
            Some(Self::Words)
        } else {
            None
        }
    }

    /// What to do about it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Set => {
                "no part is chosen, so no verdict stands: let `choose` look for a set, or name parts under [choice]"
            }
            Self::Words => {
                "no rule can check words: choose parts, or say what they shall give, as cogs = 11 under [wish.set]"
            }
        }
    }
}

/// Most parts of one slot that are tried.
const MOST_TRIED: usize = 40;

/// What a wish waits for.
#[derive(Debug, Default)]
pub(crate) struct OpenForTheWish {
    /// No verdicts on this bike; they carry what to measure and why.
    pub findings: Vec<Finding>,
    /// The rules that wait with the parts which by themselves give what is wished: these come first.
    pub first: Vec<&'static str>,
}

/// What would have to be measured on the bike for parts that the wish needs: each part that it allows is laid on the
/// bike by itself, and what a rule then waits for on the bike is kept, rule by rule.
pub(crate) fn open_for_the_wish(refit: &Refit, catalogue: &Catalogue) -> OpenForTheWish {
    let mut open = OpenForTheWish::default();
    let (first, more) = slots_that_it_needs(&refit.wish.set);
    let goes = slots_that_go(refit);
    for (slot, is_first) in
        first.iter().map(|slot| (*slot, true)).chain(more.iter().map(|slot| (*slot, false)))
    {
        let parts = wanted_parts(refit, catalogue, slot);
        for part in parts.iter().filter(|part| gives(&refit.wish.set, part)).take(MOST_TRIED) {
            let mut build = Build::new(refit);
            build.swap(slot, Some((*part).clone()));
            for finding in judge(&build).into_iter().filter(|finding| finding.verdict == Verdict::Measure) {
                let (rule, known) = (finding.rule.id, open.findings.len());
                gather(&mut open.findings, finding, &goes);
                if is_first && open.findings.len() > known {
                    open.first.push(rule);
                }
            }
        }
    }
    open
}

/// Parts that go whatever set is chosen: nothing is measured on them.
fn slots_that_go(refit: &Refit) -> Vec<Slot> {
    let count = |slot, dimension| match refit.bike.reading(slot, dimension) {
        Some(quantity::Reading::Taken(catalog::Value::Teeth(teeth))) => Some(teeth.value.len() as u32),
        _ => None,
    };
    let other = |wanted: Option<u32>, found: Option<u32>| wanted.is_some() && wanted != found;
    let wish = &refit.wish.set;
    let mut goes = Vec::new();
    if other(wish.cogs, count(Slot::Cassette, Dimension::Cogs)) {
        // A chain of the other width comes with other cogs.
        goes.extend([Slot::Cassette, Slot::Chain]);
    }
    goes.retain(|slot| !wish.keep.contains(slot));
    goes
}

/// What waits on the bike is kept; what waits on the part is the part's own matter.
fn gather(open: &mut Vec<Finding>, mut finding: Finding, goes: &[Slot]) {
    finding.missing.retain(|missing| missing.origin == Origin::Found && !goes.contains(&missing.slot));
    if finding.missing.is_empty() {
        return;
    }
    let Some(known) = open.iter_mut().find(|known| known.rule.id == finding.rule.id) else {
        open.push(finding);
        return;
    };
    for missing in finding.missing {
        let same = |other: &crate::finding::Missing| {
            other.slot == missing.slot && other.dimension == missing.dimension
        };
        if !known.missing.iter().any(same) {
            known.missing.push(missing);
        }
    }
}

/// The slots whose parts give what is wished, and those that have to follow them.
fn slots_that_it_needs(wish: &SetWish) -> (Vec<Slot>, Vec<Slot>) {
    let gears = wish.lowest_at_most.is_some() || wish.highest_at_least.is_some();
    let (mut first, mut more) = (Vec::new(), Vec::new());
    if wish.cogs.is_some() || wish.step_at_most.is_some() || gears {
        first.push(Slot::Cassette);
        more.extend([Slot::RearWheel, Slot::Chain, Slot::RearDerailleur, Slot::Levers, Slot::Shifters]);
    }
    if wish.rings.is_some() || gears {
        first.push(Slot::Crankset);
        more.extend([Slot::Chain, Slot::BottomBracket]);
    }
    if wish.brakes_not_weaker {
        first.push(Slot::Calipers);
        more.push(Slot::Levers);
    }
    more.extend(wish.free.iter().copied());
    more.sort();
    more.dedup();
    first.retain(|slot| !wish.keep.contains(slot));
    more.retain(|slot| !wish.keep.contains(slot) && !first.contains(slot));
    (first, more)
}

/// Whether a part may be part of what is wished, as far as its own count of teeth says.
fn gives(wish: &SetWish, part: &Part) -> bool {
    let counts = |dimension, wanted: Option<u32>| {
        let wanted = wanted.map(|wanted| wanted as usize);
        match part.get(dimension) {
            Some(quantity::Reading::Taken(catalog::Value::Teeth(teeth))) => {
                wanted.is_none_or(|wanted| teeth.value.len() == wanted)
            }
            _ => true,
        }
    };
    counts(Dimension::Cogs, wish.cogs) && counts(Dimension::Rings, wish.rings)
}
