//! The smaller way: the set of parts that does what was wished for and pulls the fewest chains of dependence.

use super::{Counter, Way, WayName, works};
use crate::wanted::minutes_by_slot;
use fit::{Labour, LowestGear, Pair, Plan, Refit, Set, SetWish, Verdict, choose, plan};
use quantity::Money;
use std::collections::BTreeSet;

/// The smaller way, or why there is none.
///
/// Everything that was chosen is let go; what was wished for stays. Of the sets that nothing beats and that do it so that
/// it is felt, the one with the fewest pulled chains is taken, of equals the cheaper, then the one with fewer open verdicts.
pub(super) fn smaller(asked: &Plan, counter: &Counter<'_>) -> Result<Way, &'static str> {
    let wish = &asked.refit.wish;
    let wants_gears = matches!(wish.lowest_gear, Some(LowestGear::Easier | LowestGear::EasierBy(_)));
    if !wants_gears && wish.set == SetWish::default() {
        return Err("the wish names nothing but parts, so no smaller set can be checked against it");
    }
    let mut refit = Refit { choice: catalog::Parts::default(), ..asked.refit.clone() };
    // Shifters and levers stay untouched where the numbers of rings and cogs do, so those stay unless others are wished.
    let set = &mut refit.wish.set;
    set.cogs = set.cogs.or_else(|| count(asked, |pair| pair.cog.get()));
    set.rings = set.rings.or_else(|| count(asked, |pair| pair.ring.get()));
    let minutes = minutes_by_slot(asked, &counter.shop.book, counter.circumstances).unwrap_or_default();
    let labour = Labour { minutes };
    const NONE: &str = "no set of parts does what was wished for with fewer chains pulled";
    let answer = choose(&refit, counter.catalogue, &labour, Default::default()).map_err(|_| NONE)?;
    let price = |money: Option<Money>| money.map_or(i64::MAX, Money::minor);
    let felt = |set: &&Set| {
        let gear = set.findings.iter().find(|finding| finding.rule.id == "wish-lowest-gear");
        !set.parts.is_empty() && gear.is_none_or(|gear| gear.verdict <= Verdict::Remedy)
    };
    let sets = answer.sets.iter().filter(felt);
    let set = sets.min_by_key(|set| (set.pulls.len(), price(set.price), set.doubts()));
    let set = set.filter(|set| set.pulls.len() < asked.pulls.len()).ok_or(NONE)?;
    for part in &set.parts {
        refit.choice.put(part.clone());
    }
    let plan = plan(&refit, counter.catalogue);
    let names: Vec<&str> = set.parts.iter().map(|part| part.name()).collect();
    let words = format!("only {}", names.join(", "));
    if !works(&plan) {
        return Err(NONE);
    }
    counter.way(WayName::Good, words, plan).ok_or(NONE)
}

/// How many different rings or cogs the bike has today; none if they are not known.
fn count(asked: &Plan, of: impl Fn(&Pair) -> u32) -> Option<u32> {
    let all: BTreeSet<u32> = asked.gears_before.iter().map(of).collect();
    u32::try_from(all.len()).ok().filter(|count| *count > 0)
}
