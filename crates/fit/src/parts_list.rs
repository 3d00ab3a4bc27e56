//! What to order: chosen parts, parts added as a matter of course, and the small parts that the route asks for.

use crate::build::{Build, When};
use crate::finding::{Act, Finding, Verdict};
use crate::geometry::cut_list::SmallParts;
use crate::geometry::cut_list::count::Count;
use crate::heal::Added;
use crate::pairs;
use catalog::{Catalogue, Dimension, Slot};
use quantity::{Mass, Money, MoneyError};

/// Why a line is on the list.
#[derive(Clone, Debug, PartialEq)]
pub enum Why {
    /// It was chosen.
    Chosen,
    /// A rule fails without it.
    Added(&'static str),
    /// The route or the recipe asks for it.
    Recipe(&'static str),
}

/// A line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Key in the catalogue, if it has one.
    pub id: Option<String>,
    /// What it is called.
    pub name: String,
    /// How many.
    pub quantity: u32,
    /// Price of one; unknown is not zero.
    pub price: Option<Money>,
    /// Mass of one.
    pub mass: Option<Mass>,
    /// Working days until it is here.
    pub lead_days: Option<u32>,
    /// Why it is there.
    pub why: Why,
    /// Whether the quantity rests on a route that nobody counted.
    pub assumed: bool,
}

/// The list with its sum.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PartsList {
    /// Lines, parts first.
    pub lines: Vec<Line>,
    /// Sum of the known prices; none where currencies are mixed.
    pub total: Option<Money>,
    /// Lines without a price.
    pub unpriced: u32,
    /// Days until the last part is here; none where a delivery is unknown.
    pub days: Option<u32>,
    /// Why there is no sum, if there is none.
    pub problem: Option<MoneyError>,
}

/// Makes the list.
pub fn parts_list(build: &Build, added: &[Added], findings: &[Finding], catalogue: &Catalogue) -> PartsList {
    let mut lines: Vec<Line> = Vec::new();
    for part in build.choice.iter() {
        let added = added.iter().find(|added| added.part.slot() == part.slot());
        lines.push(Line {
            id: part.id().map(str::to_owned),
            name: part.name().to_owned(),
            quantity: 1,
            price: part.price(),
            mass: part.mass(),
            lead_days: part.lead_days(),
            why: added.map_or(Why::Chosen, |added| Why::Added(added.rule.id)),
            assumed: false,
        });
    }
    if !lines.is_empty() {
        for (id, quantity, why, assumed) in small_parts(build, findings) {
            let small = catalogue.small.get(id);
            lines.push(Line {
                id: Some(id.to_owned()),
                name: small.map_or_else(|| id.to_owned(), |small| small.name.clone()),
                quantity,
                price: small.and_then(|small| small.price),
                mass: None,
                lead_days: small.and_then(|small| small.lead_days),
                why: Why::Recipe(why),
                assumed,
            });
        }
    }
    let days = lines.iter().try_fold(0, |most: u32, line| line.lead_days.map(|days| most.max(days)));
    let unpriced = lines.iter().filter(|line| line.price.is_none()).count() as u32;
    let priced = lines.iter().filter_map(|line| line.price.map(|price| price.times(line.quantity)));
    let sum = priced.reduce(|sum, price| sum?.plus(price?));
    match sum {
        Some(Err(problem)) => PartsList { lines, total: None, unpriced, days, problem: Some(problem) },
        sum => PartsList { lines, total: sum.and_then(Result::ok), unpriced, days, problem: None },
    }
}

type Recipe = (&'static str, u32, &'static str, bool);

fn small_parts(build: &Build, findings: &[Finding]) -> Vec<Recipe> {
    let mut list: Vec<Recipe> = Vec::new();
    for finding in findings.iter().filter(|finding| finding.verdict == Verdict::Remedy) {
        let acts = finding.cures.first().map_or(&[][..], |cure| &cure.acts[..]);
        let needed = acts.iter().filter_map(|act| if let Act::Small(id) = act { Some(*id) } else { None });
        list.extend(needed.map(|id| (id, 1, finding.rule.title, false)));
    }
    let count = |dimension| pairs::whole(build, When::After, dimension);
    if build.changes(Slot::Cassette) {
        match pairs::teeth(build, When::After, Dimension::Cogs).first().map(|cog| cog.get()) {
            Some(11) => list.push(("lockring-11", 1, "a lockring for a smallest cog of 11", false)),
            Some(cog) if cog > 11 => {
                list.push(("lockring-12", 1, "a lockring for a smallest cog of 12 and more", false))
            }
            _ => {}
        }
    }
    if build.changes(Slot::Chain) {
        let link = match count(Dimension::ChainSpeeds) {
            Some(9) => Some("chain-link-9"),
            Some(10) => Some("chain-link-10"),
            Some(11) => Some("chain-link-11"),
            _ => None,
        };
        list.extend(link.map(|link| (link, 1, "joins the chain", false)));
    }
    let recable = [Slot::Levers, Slot::Shifters, Slot::Cables].iter().any(|slot| build.changes(*slot));
    if recable {
        cabling(build, &mut list);
    }
    if build.changes(Slot::Tape) {
        list.push(("bar-plugs", 1, "close the bar ends", false));
        list.push(("finishing-tape", 1, "ends the tape", false));
    }
    list.push(("grease-and-cleaner", 1, "cleaning and lubricants, flat", false));
    list
}

/// As the cut list counts them.
fn cabling(build: &Build, list: &mut Vec<Recipe>) {
    let small = SmallParts::of(build);
    let mut counted = |id, count: Count, why| list.push((id, count.number, why, count.assumed));
    let exactly = |number| Count { number, assumed: false };
    counted("ferrule-4", small.shift_ferrules, "two for each piece of shift housing");
    if let Some(ferrules) = small.brake_ferrules {
        counted("ferrule-5", ferrules, "two for each piece of brake housing, less the built-in stops");
    }
    if let Some(ends) = small.hose_ends {
        counted("hose-end", exactly(ends), "two for each hose, as long as no end is a banjo");
    }
    counted("tip", exactly(small.tips), "one for each inner");
    if build.changes(Slot::Cables) {
        return;
    }
    let metres = "metres, cut with the bar at both full locks";
    counted("shift-inner", exactly(small.shift_inners), "new inners with new levers");
    counted("shift-housing-metre", small.shift_housing_m, metres);
    if let Some(housing) = small.brake_housing_m {
        counted("brake-inner", exactly(small.brake_inners), "new inners with new levers");
        counted("brake-housing-metre", housing, metres);
    }
}
