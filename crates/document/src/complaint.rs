//! The answer to a complaint as a document.

use fit::complaint::words::{
    FRONT_CAUTIONS, NextWords, brake_cause_words, brake_cautions, brake_kind_words, brake_next_words,
    cause_words, cure_words, front_cause_words, front_next_words, likely_words, reason_words, step_words,
};
use fit::complaint::{Complaint, Diagnosis, Findings, Step, Word};
use schemars::JsonSchema;
use serde::Serialize;

/// What is wrong with a bike, as far as it shows, and what to do next. Probabilities from 0 to 1.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ComplaintDocument {
    /// What the complaint is called.
    pub name: String,
    /// Whether the bike must not be ridden before it is mended.
    pub stop_riding: bool,
    /// The rear derailleur; null if nothing was seen of it.
    pub rear: Option<RearDocument>,
    /// The noise; null if none was counted.
    pub noise: Option<NoiseDocument>,
    /// The front derailleur; null if nothing was seen of it.
    pub front: Option<FrontFindingDocument>,
    /// The brakes of which something was seen.
    pub brakes: Vec<BrakeDocument>,
}

/// The rear derailleur.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RearDocument {
    /// Every cause that is not out of the question, the likeliest first.
    pub causes: Vec<CauseDocument>,
    /// One cause or two that together explain what was seen, the likeliest first.
    pub explanations: Vec<ExplanationDocument>,
    /// Whether two causes together explain it much better than any one.
    pub rather_two: bool,
    /// Clicks to add from where the adjuster stands, negative to take off; null where no click cures it.
    pub clicks: Option<ClicksToDocument>,
    /// That some setting of the adjuster makes every gear clean.
    pub curable_by_clicks: f64,
    /// Whether to stop adjusting and replace or straighten.
    pub stop_adjusting: bool,
    /// What to do next.
    pub next: NextDocument,
}

/// A cause.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CauseDocument {
    /// The cause.
    pub cause: &'static str,
    /// That it was at work when the bike was found.
    pub probability: f64,
    /// The same in a word: likely, possible, unlikely.
    pub word: &'static str,
    /// What cures it; null where the word of the cause says it.
    pub cure: Option<&'static str>,
}

/// What explains it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ExplanationDocument {
    /// None where nothing is wrong any more.
    pub causes: Vec<&'static str>,
    /// How likely.
    pub probability: f64,
}

/// Clicks.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ClicksToDocument {
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub deviation: f64,
}

/// The next step.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NextDocument {
    /// What sort: done, try, check, limit, turn, cure.
    pub sort: &'static str,
    /// In words, a sentence each.
    pub words: Vec<String>,
    /// Why.
    pub reason: String,
    /// Minutes it is expected to take.
    pub minutes: f64,
    /// Minutes it is expected to save against curing the likeliest at once.
    pub saves_minutes: f64,
}

/// A noise.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NoiseDocument {
    /// Turns of the crank between two ticks.
    pub turns: f64,
    /// By how much that may be off.
    pub give: f64,
    /// What the count allows, the nearest first.
    pub sources: Vec<SourceDocument>,
}

/// A source of a noise.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SourceDocument {
    /// What it is.
    pub source: String,
    /// Its turns between two ticks in this gear.
    pub turns: f64,
    /// Sources that this count cannot tell from it; count again in another gear.
    pub ties: Vec<String>,
}

/// The front derailleur.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FrontFindingDocument {
    /// Causes, the likeliest first.
    pub causes: Vec<CauseDocument>,
    /// Millimetres by which one throw of the lever moves the cage too little; null where it is enough or unknown.
    pub travel_short_mm: Option<f64>,
    /// What to do next.
    pub next: SymptomNextDocument,
    /// Whether to stop adjusting and straighten, move or replace.
    pub stop_adjusting: bool,
    /// Whether the bike is not ridden before it is mended.
    pub stop_riding: bool,
    /// What is said beside every such answer.
    pub cautions: &'static [&'static str],
}

/// What to do next where one goes by symptoms.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SymptomNextDocument {
    /// What sort: say, look, before, set.
    pub sort: &'static str,
    /// What to do.
    pub words: String,
    /// Why.
    pub reason: String,
}

/// A brake.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BrakeDocument {
    /// Which kind.
    pub kind: &'static str,
    /// Causes, the likeliest first.
    pub causes: Vec<CauseDocument>,
    /// What to do next.
    pub next: SymptomNextDocument,
    /// Whether to stop adjusting and bleed, true, clean or replace.
    pub stop_adjusting: bool,
    /// Whether the bike is not ridden before it is mended.
    pub stop_riding: bool,
    /// What is said beside every such answer.
    pub cautions: &'static [&'static str],
}

/// Causes below this are left out.
const HARDLY_ANY: f64 = 0.01;

impl ComplaintDocument {
    /// The document of a complaint and what follows from it.
    pub fn of(complaint: &Complaint, findings: &Findings) -> Self {
        Self {
            name: complaint.name.clone(),
            stop_riding: findings.stop_riding(),
            rear: findings.rear.as_ref().map(RearDocument::of),
            noise: findings.noise.as_ref().map(|(noise, suspects)| NoiseDocument {
                turns: rounded(noise.period.turns),
                give: rounded(noise.period.give),
                sources: suspects
                    .iter()
                    .map(|suspect| SourceDocument {
                        source: suspect.source.to_string(),
                        turns: rounded(suspect.turns),
                        ties: suspect.ties.iter().map(ToString::to_string).collect(),
                    })
                    .collect(),
            }),
            front: findings.front.as_ref().map(|front| FrontFindingDocument {
                causes: causes(front.causes.iter().map(|(cause, p)| (front_cause_words(*cause), *p))),
                travel_short_mm: front.short.map(|short| (short.to_mm() * 10.0).round() / 10.0),
                next: next(front_next_words(&front.next)),
                stop_adjusting: front.stop_adjusting,
                stop_riding: front.stop_riding,
                cautions: &FRONT_CAUTIONS,
            }),
            brakes: findings
                .brakes
                .iter()
                .map(|brake| BrakeDocument {
                    kind: brake_kind_words(brake.kind),
                    causes: causes(brake.causes.iter().map(|(cause, p)| (brake_cause_words(*cause), *p))),
                    next: next(brake_next_words(&brake.next)),
                    stop_adjusting: brake.stop_adjusting,
                    stop_riding: brake.stop_riding,
                    cautions: brake_cautions(brake.kind),
                })
                .collect(),
        }
    }
}

impl RearDocument {
    fn of(found: &Diagnosis) -> Self {
        Self {
            causes: found
                .causes
                .iter()
                .filter(|one| one.probability >= HARDLY_ANY)
                .map(|one| CauseDocument {
                    cause: cause_words(one.cause),
                    probability: rounded(one.probability),
                    word: likely_words(one.word()),
                    cure: Some(cure_words(one.cause)),
                })
                .collect(),
            explanations: found
                .explanations
                .iter()
                .map(|one| ExplanationDocument {
                    causes: one.causes.iter().map(|cause| cause_words(*cause)).collect(),
                    probability: rounded(one.probability),
                })
                .collect(),
            rather_two: found.rather_two,
            clicks: found.clicks.map(|(mean, deviation)| ClicksToDocument {
                mean: (mean * 10.0).round() / 10.0,
                deviation: (deviation * 10.0).round() / 10.0,
            }),
            curable_by_clicks: rounded(found.curable),
            stop_adjusting: found.stop_adjusting,
            next: NextDocument {
                sort: match found.advice.step {
                    Step::Done => "done",
                    Step::TryGears | Step::TryIn(_) => "try",
                    Step::Check(_) => "check",
                    Step::SetLimit(_) => "limit",
                    Step::Turn { .. } => "turn",
                    Step::Cure(_) => "cure",
                },
                words: step_words(&found.advice.step),
                reason: reason_words(found.advice.reason, found.advice.saves),
                minutes: (found.advice.minutes * 10.0).round() / 10.0,
                saves_minutes: found.advice.saves.round(),
            },
        }
    }
}

fn next(next: NextWords) -> SymptomNextDocument {
    let NextWords { sort, words, reason } = next;
    SymptomNextDocument { sort, words, reason }
}

fn causes(all: impl Iterator<Item = (&'static str, f64)>) -> Vec<CauseDocument> {
    all.filter(|(_, probability)| *probability >= HARDLY_ANY)
        .map(|(cause, probability)| CauseDocument {
            cause,
            probability: rounded(probability),
            word: likely_words(Word::of(probability)),
            cure: None,
        })
        .collect()
}

/// To two digits: the guesses behind them bear no more.
fn rounded(probability: f64) -> f64 {
    (probability * 100.0).round() / 100.0
}
