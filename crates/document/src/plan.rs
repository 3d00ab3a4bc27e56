//! The plan: findings, gears, parts, what to measure.

use crate::geometry::GeometryDocument;
use crate::own_rules::OwnRuleDocument;
use crate::ride::RideDocument;
use catalog::{Slot, Value as Known};
use fit::pairs::{cogs_at_mm, rings_at_mm};
use fit::words::{cure_note, cure_words, margin_words, number_words, steps, to_measure_words};
use fit::{
    Act, Audience, Avoid, Cure, Finding, Hazard, Line, Number, Origin, Pair, Plan, ToMeasure, Verdict, When,
    Why,
};
use quantity::{Money, Span};
use schemars::JsonSchema;
use serde::Serialize;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A judged refit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PlanDocument {
    /// What the job is called.
    pub name: String,
    /// The worst verdict: works, remedy, marginal, measure, fails or refused.
    pub verdict: &'static str,
    /// Key of the rule that ends the job: nothing is ordered, measured or turned after it; null if none does.
    pub stopped: Option<&'static str>,
    /// Where a wish has no part chosen for it, so that no verdict stands: what to do. The sets that `choose` offers, or why
    /// there is none and what would open the way, are its own document.
    pub nothing_chosen: Option<&'static str>,
    /// What stands at the head of every sheet: where overlooking it hurts somebody.
    pub flags: Vec<&'static str>,
    /// Those of them that concern whoever rides it as well.
    pub flags_for_customer: Vec<&'static str>,
    /// One finding for each interface that the refit touches.
    pub findings: Vec<FindingDocument>,
    /// What the shop's own rules found.
    pub own_rules: Vec<OwnRuleDocument>,
    /// Gears before and after.
    pub gears: GearsDocument,
    /// The shape of chain, cages, cables and hands after the refit.
    pub geometry: GeometryDocument,
    /// Keys of the parts put on the list as a matter of course.
    pub added: Vec<String>,
    /// What to order.
    pub parts: PartsDocument,
    /// What to measure, best first.
    pub to_measure: Vec<ToMeasureDocument>,
    /// Cautions for whoever works on the bike, worst first.
    pub cautions: Vec<&'static str>,
    /// Cautions for whoever rides it.
    pub cautions_for_customer: Vec<&'static str>,
    /// Chains of dependence that this refit pulls.
    pub pulls: Vec<&'static str>,
    /// What the gears make of the customer's own ride, where the refit names one: put in by whoever has read the recording.
    pub ride: Option<RideDocument>,
}

/// What one rule found.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FindingDocument {
    /// Key of the rule.
    pub rule: &'static str,
    /// The question.
    pub question: &'static str,
    /// The verdict.
    pub verdict: &'static str,
    /// For a remedy: the verdict without it.
    pub without_remedy: Option<&'static str>,
    /// Whether the verdict rests on something that nobody measured.
    pub assumed: bool,
    /// The harm if it is wrong: comfort, function, damage or rider.
    pub hazard: &'static str,
    /// Distance to the limit: positive is room.
    pub margin: Option<NumberDocument>,
    /// Numbers worked out, by name.
    pub numbers: BTreeMap<&'static str, NumberDocument>,
    /// What was used.
    pub facts: Vec<FactDocument>,
    /// The deductions.
    pub because: Vec<String>,
    /// Tables that belong to the finding.
    pub tables: Vec<String>,
    /// What the verdict waits for.
    pub missing: Vec<MissingDocument>,
    /// Ways to make it work, best first; empty means none.
    pub cures: Vec<CureDocument>,
    /// Source of the limits.
    pub source: &'static str,
}

/// A number with what is known of it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct NumberDocument {
    /// The middle of what is known.
    pub value: f64,
    /// The least it can be.
    pub least: f64,
    /// The most it can be.
    pub most: f64,
    /// The unit; empty for a plain number.
    pub unit: &'static str,
    /// As it is shown.
    pub text: String,
}

/// Something known that a rule used.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FactDocument {
    /// What it is.
    pub what: &'static str,
    /// Its value with unit and tolerance.
    pub value: String,
    /// How it was got.
    pub basis: String,
    /// The part it belongs to.
    pub part: &'static str,
    /// `found` on the bike or `chosen`.
    pub origin: &'static str,
}

/// A value that a verdict waits for.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MissingDocument {
    /// What it is.
    pub what: &'static str,
    /// The part it is taken on.
    pub part: &'static str,
    /// `found` on the bike or `chosen`.
    pub origin: &'static str,
    /// The tool to use.
    pub tool: &'static str,
    /// Which answers lead to which verdict.
    pub answers: Vec<AnswerDocument>,
}

/// A range of answers and the verdict it leads to.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AnswerDocument {
    /// From this value on, in base units.
    pub from: Option<f64>,
    /// To this value.
    pub to: Option<f64>,
    /// Or this word.
    pub word: Option<&'static str>,
    /// The verdict.
    pub verdict: &'static str,
}

/// A way to make it work.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CureDocument {
    /// What to do, in words.
    pub what: String,
    /// Keys of the parts to put in.
    pub parts: Vec<String>,
    /// Change of the price of the parts in minor units; null if unknown.
    pub price_minor: Option<i64>,
    /// Currency of the price.
    pub currency: Option<String>,
    /// Working days until everything is here; null if unknown.
    pub days: Option<u32>,
    /// The verdict of this interface with the cure.
    pub verdict: &'static str,
    /// What gets worse elsewhere: rule and verdict.
    pub brings: BTreeMap<&'static str, &'static str>,
    /// Whether the wish stays whole.
    pub keeps_wish: bool,
    /// Chains of dependence that it pulls.
    pub pulls: Vec<&'static str>,
    /// What the bike becomes with it.
    pub numbers: BTreeMap<&'static str, NumberDocument>,
    /// Money, days and what it brings, in words.
    pub note: String,
}

/// Gears before and after.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GearsDocument {
    /// The bike as found.
    pub before: BikeGearsDocument,
    /// The bike after the refit.
    pub after: BikeGearsDocument,
    /// Change of the lowest gear, percent; negative is easier.
    pub lowest_change_percent: Option<f64>,
    /// Change of the highest gear, percent.
    pub highest_change_percent: Option<f64>,
}

/// The gears of one bike.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BikeGearsDocument {
    /// Lowest development, metres a turn.
    pub lowest_m: Option<f64>,
    /// Highest development, metres a turn.
    pub highest_m: Option<f64>,
    /// Where the rings stand right of the middle plane, largest first, millimetres; null where unknown.
    pub rings_at_mm: Option<Vec<f64>>,
    /// Where the cogs stand likewise, smallest first.
    pub cogs_at_mm: Option<Vec<f64>>,
    /// Every ring with every cog, by `ring x cog`.
    pub pairs: Vec<PairDocument>,
}

/// One ring with one cog.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PairDocument {
    /// `ring x cog`.
    pub pair: String,
    /// Teeth of the ring by teeth of the cog.
    pub ratio: f64,
    /// Way in one turn of the cranks, metres.
    pub development_m: Option<f64>,
    /// Angle of the chain, degrees.
    pub chain_angle_deg: Option<f64>,
    /// Chain that hangs slack, millimetres; negative is reserve.
    pub slack_mm: Option<f64>,
    /// Gap to the next larger ring, millimetres.
    pub rub_gap_mm: Option<f64>,
    /// Why the pair is avoided: rubs, slack.
    pub avoid: Vec<&'static str>,
}

/// What to order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PartsDocument {
    /// The lines.
    pub lines: Vec<LineDocument>,
    /// Sum of the known prices in minor units; null if there is none.
    pub total_minor: Option<i64>,
    /// Currency of the sum.
    pub currency: Option<String>,
    /// Lines without a price.
    pub unpriced: u32,
    /// Working days until the last part is here; null if one is unknown.
    pub days: Option<u32>,
}

/// A line of the order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LineDocument {
    /// Key in the catalogue.
    pub id: Option<String>,
    /// What it is called.
    pub name: String,
    /// How many.
    pub quantity: u32,
    /// Price of one in minor units; null if unknown.
    pub price_minor: Option<i64>,
    /// Why it is there.
    pub why: String,
    /// Whether the quantity was assumed.
    pub assumed: bool,
    /// Whether it is a small part that the route or a recipe asks for.
    pub small: bool,
}

/// A value to take.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ToMeasureDocument {
    /// What it is.
    pub what: String,
    /// The tool and what it reads to.
    pub tool: String,
    /// Where.
    pub place: String,
    /// Minutes.
    pub minutes: f64,
    /// Keys of the rules that wait for it.
    pub waits: Vec<Cow<'static, str>>,
}

impl PlanDocument {
    /// The document of a plan.
    pub fn of(plan: &Plan) -> Self {
        Self {
            name: plan.name.clone(),
            verdict: plan.verdict.word(),
            stopped: plan.stopped.map(|rule| rule.id),
            nothing_chosen: plan.nothing_chosen.map(fit::NothingChosen::words),
            flags: plan.flags.clone(),
            flags_for_customer: plan.flags_for_customer.clone(),
            own_rules: plan.own.iter().map(OwnRuleDocument::of).collect(),
            findings: plan.findings.iter().map(FindingDocument::of).collect(),
            gears: GearsDocument::of(plan),
            geometry: GeometryDocument::of(&plan.geometry),
            added: plan.added.iter().filter_map(|added| added.part.id().map(str::to_owned)).collect(),
            parts: PartsDocument::of(plan),
            to_measure: plan.to_measure.iter().map(ToMeasureDocument::of).collect(),
            cautions: cautions(plan, Audience::Technician),
            cautions_for_customer: cautions(plan, Audience::Customer),
            pulls: plan.pulls.iter().map(|coupling| coupling.words()).collect(),
            ride: None,
        }
    }
}

fn cautions(plan: &Plan, reader: Audience) -> Vec<&'static str> {
    plan.cautions_for(reader).map(|caution| caution.words).collect()
}

impl FindingDocument {
    fn of(finding: &Finding) -> Self {
        Self {
            rule: finding.rule.id,
            question: finding.rule.title,
            verdict: finding.verdict.word(),
            without_remedy: finding.without.map(Verdict::word),
            assumed: finding.is_assumed(),
            hazard: match finding.rule.hazard {
                Hazard::Comfort => "comfort",
                Hazard::Function => "function",
                Hazard::Damage => "damage",
                Hazard::Rider => "rider",
            },
            margin: finding
                .margin
                .as_ref()
                .map(|m| NumberDocument::new(m.span.middle(), m.span, m.unit, margin_words(m))),
            numbers: numbers(&finding.numbers),
            facts: finding
                .facts
                .iter()
                .map(|fact| FactDocument {
                    what: fact.dimension.words(),
                    value: fact.value.to_string(),
                    basis: basis(&fact.value),
                    part: fact.slot.words(),
                    origin: origin(fact.origin),
                })
                .collect(),
            because: steps(finding),
            tables: finding.lines.clone(),
            missing: finding
                .missing
                .iter()
                .map(|missing| MissingDocument {
                    what: missing.dimension.words(),
                    part: missing.slot.words(),
                    origin: origin(missing.origin),
                    tool: missing.tool.0.words(),
                    answers: missing.answers.iter().map(AnswerDocument::of).collect(),
                })
                .collect(),
            cures: finding.cures.iter().map(CureDocument::of).collect(),
            source: finding.rule.source,
        }
    }
}

impl AnswerDocument {
    fn of(answer: &fit::Answer) -> Self {
        let (from, to, word) = match answer.values {
            fit::Values::Between(from, to) => (Some(round(from)), Some(round(to)), None),
            fit::Values::Word(word) => (None, None, Some(word)),
        };
        Self { from, to, word, verdict: answer.verdict.word() }
    }
}

impl CureDocument {
    fn of(cure: &Cure) -> Self {
        let parts = cure.acts.iter().filter_map(|act| match act {
            Act::Fit(part) => part.id().map(str::to_owned),
            Act::Small(id) => Some((*id).to_owned()),
            Act::Spacer(_) | Act::Work(_) => None,
        });
        Self {
            what: cure_words(cure),
            parts: parts.collect(),
            price_minor: cure.price.map(Money::minor),
            currency: cure.price.map(|price| price.currency().to_owned()),
            days: cure.days,
            verdict: cure.verdict.word(),
            brings: cure.brings.iter().map(|(rule, verdict)| (*rule, verdict.word())).collect(),
            keeps_wish: cure.keeps_wish,
            pulls: cure.pulls.iter().map(|coupling| coupling.words()).collect(),
            numbers: numbers(&cure.numbers),
            note: cure_note(cure),
        }
    }
}

impl NumberDocument {
    fn new(value: f64, span: Span, unit: &'static str, text: String) -> Self {
        Self { value: round(value), least: round(span.least()), most: round(span.most()), unit, text }
    }
}

impl GearsDocument {
    fn of(plan: &Plan) -> Self {
        let (before, after) =
            (BikeGearsDocument::of(plan, When::Before), BikeGearsDocument::of(plan, When::After));
        let change = |old: Option<f64>, new: Option<f64>| Some(round((new? / old? - 1.0) * 100.0));
        let (old, new) = (extremes(&plan.gears_before), extremes(&plan.gears_after));
        Self {
            lowest_change_percent: change(old.0, new.0),
            highest_change_percent: change(old.1, new.1),
            before,
            after,
        }
    }
}

impl BikeGearsDocument {
    fn of(plan: &Plan, when: When) -> Self {
        let pairs = match when {
            When::Before => &plan.gears_before,
            When::After => &plan.gears_after,
        };
        let (lowest, highest) = extremes(pairs);
        let rounded = |all: Vec<f64>| all.into_iter().map(round).collect();
        Self {
            rings_at_mm: rings_at_mm(&plan.build, when).map(rounded),
            cogs_at_mm: cogs_at_mm(&plan.build, when).map(rounded),
            lowest_m: lowest.map(round),
            highest_m: highest.map(round),
            pairs: pairs
                .iter()
                .map(|pair| PairDocument {
                    pair: format!("{}x{}", pair.ring, pair.cog),
                    ratio: round(pair.ratio()),
                    development_m: pair.development_m.map(round),
                    chain_angle_deg: pair.chain_angle_deg.map(round),
                    slack_mm: pair.slack_pitches.map(|slack| round(slack * quantity::Pitches::MM)),
                    rub_gap_mm: pair.rub_gap_mm.map(round),
                    avoid: pair
                        .avoid()
                        .iter()
                        .map(|why| match why {
                            Avoid::Rubs => "rubs",
                            Avoid::Slack => "slack",
                        })
                        .collect(),
                })
                .collect(),
        }
    }
}

/// Lowest and highest development, metres.
pub fn extremes(pairs: &[Pair]) -> (Option<f64>, Option<f64>) {
    let developments = || pairs.iter().filter_map(|pair| pair.development_m);
    (developments().min_by(f64::total_cmp), developments().max_by(f64::total_cmp))
}

impl PartsDocument {
    fn of(plan: &Plan) -> Self {
        let parts = &plan.parts;
        Self {
            lines: parts.lines.iter().map(LineDocument::of).collect(),
            total_minor: parts.total.map(Money::minor),
            currency: parts.total.map(|total| total.currency().to_owned()),
            unpriced: parts.unpriced,
            days: parts.days,
        }
    }
}

impl LineDocument {
    fn of(line: &Line) -> Self {
        Self {
            id: line.id.clone(),
            name: line.name.clone(),
            quantity: line.quantity,
            price_minor: line.price.map(Money::minor),
            why: why_words(&line.why),
            assumed: line.assumed,
            small: matches!(line.why, Why::Recipe(_)),
        }
    }
}

/// Why a line is on the list, in words.
pub fn why_words(why: &Why) -> String {
    match why {
        Why::Chosen => "chosen".to_owned(),
        Why::Added(rule) => format!("added by itself: {rule}"),
        Why::Recipe(recipe) => (*recipe).to_owned(),
    }
}

impl ToMeasureDocument {
    fn of(wanted: &ToMeasure) -> Self {
        let (what, tool, place) = to_measure_words(wanted);
        Self { what, tool, place, minutes: wanted.dimension.row().minutes, waits: wanted.waits.clone() }
    }
}

fn numbers(numbers: &[Number]) -> BTreeMap<&'static str, NumberDocument> {
    numbers.iter().map(|n| (n.name, NumberDocument::new(n.value, n.span, n.unit, number_words(n)))).collect()
}

fn basis(value: &Known) -> String {
    match value.basis() {
        quantity::Basis::Published(key) => format!("published {key}"),
        basis => basis.word().to_owned(),
    }
}

fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Found => "found",
        Origin::Chosen => "chosen",
    }
}

/// A millionth is far below any tool: rounding there keeps the bytes the same on every machine.
pub(crate) fn round(value: f64) -> f64 {
    let rounded = (value * 1e6).round() / 1e6;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// The slots that a refit leaves alone.
pub fn left_alone(plan: &Plan) -> Vec<&'static str> {
    Slot::ALL
        .iter()
        .filter(|slot| plan.build.before.has(**slot) && !plan.build.choice.has(**slot))
        .map(|slot| slot.words())
        .collect()
}
