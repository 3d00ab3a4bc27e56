//! A bike that does not work as it should, as it is written down at the stand, and the answer to it. Begin with
//! [`answer`].
//!
//! The laws are those of [`mechanics::diagnosis`] and [`mechanics::noise`]; what the plan of a refit knows of the same
//! bike is put beside what was seen. The sentences are in [`words`].

pub mod words;

use crate::build::When;
use crate::pairs::teeth;
use crate::{Plan, Verdict};
use catalog::Dimension;
use quantity::{Length, Teeth};

pub use mechanics::click_window::{Window, window};
pub use mechanics::diagnosis::symptoms::{
    BrakeCause, BrakeKind, BrakeSymptom, FrontCause, FrontSymptom, Next, cage_travel_short, next_brake,
    next_front, rank_brake, rank_front,
};
pub use mechanics::diagnosis::taps::{Period, TapError, period};
pub use mechanics::diagnosis::{
    Advice, Cause, Check, Diagnosis, Elsewhere, Evidence, EvidenceError, Explanation, Gap, GearRow, Grid,
    History, Likely, Limit, LimitSeen, Reason, Seen, Shift, Sound, Step, Word, diagnose,
};
pub use mechanics::indexing::ADJUSTER_DETENT;
pub use mechanics::noise::{Comes, Drive, Source, Suspect, gear_apart, rank};

/// Everything that was written down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Complaint {
    /// What it is called.
    pub name: String,
    /// What was seen of the rear derailleur.
    pub rear: Option<Evidence>,
    /// A noise that was counted.
    pub noise: Option<Noise>,
    /// What the front derailleur does.
    pub front: Option<Front>,
    /// What each brake does.
    pub brakes: Vec<Brake>,
}

/// A noise with a period.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// Turns of the crank between two ticks.
    pub period: Period,
    /// The gear in which it was counted.
    pub drive: Drive,
}

/// Symptoms of a front derailleur.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Front {
    /// Those it shows.
    pub shows: Vec<FrontSymptom>,
    /// Those that were looked for and are not there.
    pub absent: Vec<FrontSymptom>,
    /// Travel of the cage for one throw of the lever, and the gap of the rings.
    pub travel: Option<(Length, Length)>,
}

/// Symptoms of a brake.
#[derive(Clone, Debug, PartialEq)]
pub struct Brake {
    /// Which kind.
    pub kind: BrakeKind,
    /// Those it shows.
    pub shows: Vec<BrakeSymptom>,
    /// Those that were looked for and are not there.
    pub absent: Vec<BrakeSymptom>,
}

/// What follows, part by part.
#[derive(Clone, Debug, PartialEq)]
pub struct Findings {
    /// The rear derailleur, with the click at which its adjuster stands and the travel of one click.
    pub rear: Option<Diagnosis>,
    /// Sources that the count of a noise allows, with the count.
    pub noise: Option<(Noise, Vec<Suspect>)>,
    /// Causes at the front derailleur.
    pub front: Option<FrontFinding>,
    /// Causes at each brake.
    pub brakes: Vec<BrakeFinding>,
}

/// Causes at a front derailleur, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontFinding {
    /// With their probabilities.
    pub causes: Vec<(FrontCause, f64)>,
    /// By how much one throw of the lever moves the cage too little, where both were measured and it does.
    pub short: Option<Length>,
    /// What to do next.
    pub next: Next<FrontCause, FrontSymptom>,
    /// Whether no screw cures it, most likely.
    pub stop_adjusting: bool,
    /// Whether the bike is not ridden before it is mended.
    pub stop_riding: bool,
}

/// Causes at a brake, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct BrakeFinding {
    /// Which kind.
    pub kind: BrakeKind,
    /// With their probabilities.
    pub causes: Vec<(BrakeCause, f64)>,
    /// What to do next.
    pub next: Next<BrakeCause, BrakeSymptom>,
    /// Whether no screw and no barrel cures it, most likely.
    pub stop_adjusting: bool,
    /// Whether the bike is not ridden before it is mended.
    pub stop_riding: bool,
}

impl Findings {
    /// Whether the bike must stay on the stand.
    pub fn stop_riding(&self) -> bool {
        self.rear.as_ref().is_some_and(|rear| rear.stop_riding)
            || self.front.as_ref().is_some_and(|front| front.stop_riding)
            || self.brakes.iter().any(|brake| brake.stop_riding)
    }
}

/// What follows from a complaint.
///
/// # Errors
/// [`EvidenceError`] for what was seen of the rear derailleur.
pub fn answer(complaint: &Complaint) -> Result<Findings, EvidenceError> {
    Ok(Findings {
        rear: complaint.rear.as_ref().map(diagnose).transpose()?,
        noise: complaint.noise.map(|noise| (noise, rank(noise.period.turns, noise.period.give, noise.drive))),
        front: complaint.front.as_ref().map(front),
        brakes: complaint.brakes.iter().map(brake).collect(),
    })
}

/// So likely that no screw and no barrel cures it, adjusting is stopped.
const BEYOND_SETTING: f64 = 0.75;

/// How likely one of the causes is that fulfil something.
fn sum<C: Copy>(causes: &[(C, f64)], which: fn(C) -> bool) -> f64 {
    causes.iter().filter(|(cause, _)| which(*cause)).map(|(_, p)| p).sum()
}

fn front(front: &Front) -> FrontFinding {
    let causes = rank_front(&front.shows, &front.absent);
    let short = front.travel.map(|(travel, gap)| cage_travel_short(travel, gap));
    let short = short.filter(|short| short.to_mm() > 0.0);
    let is_beyond = sum(&causes, FrontCause::is_beyond_setting) > BEYOND_SETTING;
    FrontFinding {
        stop_adjusting: short.is_some() || (is_beyond && !front.shows.is_empty()),
        stop_riding: front.shows.iter().any(|symptom| symptom.stops_riding()),
        next: next_front(&front.shows, &front.absent),
        causes,
        short,
    }
}

fn brake(brake: &Brake) -> BrakeFinding {
    let causes = rank_brake(brake.kind, &brake.shows, &brake.absent);
    let is_beyond = sum(&causes, BrakeCause::is_beyond_setting) > BEYOND_SETTING;
    BrakeFinding {
        kind: brake.kind,
        stop_adjusting: is_beyond && !brake.shows.is_empty(),
        stop_riding: brake.shows.iter().any(|symptom| symptom.stops_riding()),
        next: next_brake(brake.kind, &brake.shows, &brake.absent),
        causes,
    }
}

/// What a plan says of a bike whose complaint comes after the refit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// The cassette has another number of cogs.
    Cogs {
        /// On the complaint.
        complaint: u32,
        /// In the plan.
        plan: usize,
    },
}

impl std::fmt::Display for PlanError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Cogs { complaint, plan } => {
                write!(f, "the complaint has {complaint} cogs and the refit {plan}; one bike is wanted")
            }
        }
    }
}

impl std::error::Error for PlanError {}

/// Puts beside the complaint what the plan knows of the same bike, where nobody said otherwise: whether clicks and
/// cogs hardly match, whether the cable drags as it runs, and whether housing, wheel and chain are new.
///
/// # Errors
/// [`PlanError`] where the plan is of another bike.
pub fn beside(complaint: &mut Complaint, plan: &Plan) -> Result<(), PlanError> {
    let Some(rear) = &mut complaint.rear else { return Ok(()) };
    let cogs: Vec<Teeth> = teeth(&plan.build, When::After, Dimension::Cogs);
    if !cogs.is_empty() && cogs.len() != rear.gears as usize {
        return Err(PlanError::Cogs { complaint: rear.gears, plan: cogs.len() });
    }
    let verdict =
        |id: &str| plan.findings.iter().find(|finding| finding.rule.id == id).map(|found| found.verdict);
    let is_poor = |id: &str| {
        verdict(id).filter(|verdict| *verdict != Verdict::Measure).map(|verdict| verdict >= Verdict::Marginal)
    };
    let has = |slot: catalog::Slot| plan.build.choice.iter().any(|part| part.slot() == slot);
    let history = &mut rear.history;
    history.marginal_index = history.marginal_index.or(is_poor("index"));
    history.dragging_run = history.dragging_run.or(is_poor("cable-drag"));
    history.new_housing = history.new_housing.or(has(catalog::Slot::Cables).then_some(true));
    history.new_wheel = history.new_wheel.or(has(catalog::Slot::Cassette).then_some(true));
    // A new chain on new cogs is not what wears; only the chain alone is.
    let alone = has(catalog::Slot::Chain) && !has(catalog::Slot::Cassette);
    history.new_chain = history.new_chain.or(alone.then_some(true));
    Ok(())
}
