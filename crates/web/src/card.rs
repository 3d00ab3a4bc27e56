//! A job as a page or a tap needs it: its entries, its state, and the plans worked out from it.

use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use fit::Plan;
use shop::job::state::Problem;
use shop::job::{GateBlock, blocks_release, blocks_start, gate};
use shop::{Book, Job, JudgedBy, Refusal, Stage, State};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use store::{JobRecord, Standing};

/// A job with its plans.
#[derive(Clone, Debug)]
pub(crate) struct JobCard {
    /// What stands beside the entries.
    pub(crate) record: JobRecord,
    /// The entries and the state.
    pub(crate) job: Job,
    /// The plan of the bike and parts as they are now.
    pub(crate) plan: Arc<Plan>,
    /// The plan that the customer agreed to.
    pub(crate) agreed: Option<Arc<Plan>>,
}

impl JobCard {
    /// The card of a job.
    pub(crate) fn of(house: &House, record: JobRecord, job: Job) -> Self {
        let plan = Arc::new(house.plan(&job.state().refit));
        Self { record, agreed: None, plan, job }.with_plans(house)
    }

    /// With plans that are those of the state: what has not changed is not worked out again.
    pub(crate) fn with_plans(mut self, house: &House) -> Self {
        let state = self.job.state();
        if self.plan.refit != state.refit {
            self.plan = Arc::new(house.plan(&state.refit));
        }
        let agreed = state.approval.as_ref().map(|approval| &approval.refit);
        self.agreed = agreed.map(|refit| match &self.agreed {
            Some(known) if known.refit == *refit => known.clone(),
            _ if self.plan.refit == *refit => self.plan.clone(),
            _ => Arc::new(house.plan(refit)),
        });
        self
    }

    /// The number on the tag.
    pub(crate) fn number(&self) -> String {
        self.record.number()
    }

    /// The state.
    pub(crate) fn state(&self) -> &State {
        self.job.state()
    }

    /// What a proposal is judged with.
    pub(crate) fn judged_by<'a>(&'a self, book: &'a Book) -> JudgedBy<'a> {
        JudgedBy { plan: &self.plan, agreed: self.agreed.as_deref(), book }
    }

    /// Where it stands.
    pub(crate) fn stage(&self, book: &Book) -> Stage {
        self.state().stage(self.judged_by(book))
    }

    /// What keeps the bike from being taken apart.
    pub(crate) fn blocks_start(&self, book: &Book) -> Vec<GateBlock> {
        blocks_start(self.state(), self.judged_by(book))
    }

    /// What keeps the bike from leaving.
    pub(crate) fn blocks_release(&self, book: &Book) -> Vec<Refusal> {
        blocks_release(self.state(), self.judged_by(book))
    }

    /// How it stands, as the list of jobs shows it.
    pub(crate) fn standing(&self, book: &Book) -> Standing {
        let stage = self.stage(book);
        Standing { stage, held: self.held(stage, book), promised_day: self.state().promised.last().copied() }
    }

    /// A problem, and whether the customer is asked about it.
    fn problem_words(&self, at: usize, problem: &Problem) -> String {
        let mut questions = self.state().questions.values();
        match questions.find(|question| question.problem == at && question.answer.is_none()) {
            Some(question) => {
                let until = question.change.waits_until.strftime("%a %-d %b %H:%M");
                format!("the customer is asked until {until}: {}", problem.words)
            }
            None => problem.words.clone(),
        }
    }

    /// What holds it, in a line.
    fn held(&self, stage: Stage, book: &Book) -> String {
        let state = self.state();
        let reasons: Vec<String> = match stage {
            Stage::Enquiry | Stage::Intake | Stage::Estimate | Stage::Agreed => {
                let to_measure = self.plan.to_measure.len();
                let measure = match to_measure {
                    0 => None,
                    1 => Some("one value to measure".to_owned()),
                    more => Some(format!("{more} values to measure")),
                };
                // What is to be measured is one reason, however many verdicts wait for it.
                let gate = self.blocks_start(book).into_iter().filter(|block| match block {
                    GateBlock::Measure(_) => to_measure == 0,
                    // The parts are ordered after the customer's word.
                    GateBlock::NotArrived(_) | GateBlock::NotChecked(_) => stage == Stage::Agreed,
                    _ => true,
                });
                measure.into_iter().chain(gate.map(|block| block.to_string())).collect()
            }
            Stage::WaitingForParts => gate::gating(&self.plan)
                .into_iter()
                .filter_map(|slot| match state.parts.get(&slot) {
                    Some(part) if part.arrived => None,
                    Some(part) => Some(match part.due_day {
                        Some(day) => format!("{}, due {}", slot.words(), clock::day_words(day)),
                        None => format!("{}, no day known", slot.words()),
                    }),
                    None => Some(format!("{}, not ordered", slot.words())),
                })
                .collect(),
            Stage::InWork => {
                state.problems.iter().map(|(at, problem)| self.problem_words(*at, problem)).collect()
            }
            Stage::Paused => state.paused.iter().map(|pause| pause.words.clone()).collect(),
            Stage::Checks => self.blocks_release(book).iter().map(Refusal::to_string).collect(),
            Stage::Ready | Stage::Collected | Stage::FollowedUp | Stage::SentHome => Vec::new(),
        };
        shortened(&reasons)
    }
}

/// The first reason and how many more there are: a line of the list is one line.
fn shortened(reasons: &[String]) -> String {
    const MOST_LETTERS: usize = 90;
    let [first, others @ ..] = reasons else { return String::new() };
    let mut line: String = first.chars().take(MOST_LETTERS).collect();
    if line.len() < first.len() {
        line.push('…');
    }
    match others.len() {
        0 => line,
        more => format!("{line}, and {more} more"),
    }
}

/// Most cards that are kept at hand.
const MOST_CARDS: usize = 64;

/// The cards that were used last. What stands here is only used if the store has the same version.
#[derive(Debug, Default)]
pub(crate) struct Cards {
    kept: Mutex<Kept>,
}

/// Cards by the key of their job, each with the turn at which it was used last.
#[derive(Debug, Default)]
struct Kept {
    turn: u64,
    cards: BTreeMap<String, (u64, Arc<JobCard>)>,
}

impl Cards {
    /// The card of a job, if it is at hand.
    pub(crate) fn find(&self, id: &str) -> Option<Arc<JobCard>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.turn += 1;
        let turn = kept.turn;
        let (used, card) = kept.cards.get_mut(id)?;
        *used = turn;
        Some(card.clone())
    }

    /// Keeps a card at hand.
    pub(crate) fn keep(&self, card: Arc<JobCard>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.turn += 1;
        let turn = kept.turn;
        let id = &card.record.id;
        if kept.cards.len() >= MOST_CARDS && !kept.cards.contains_key(id) {
            let oldest = kept.cards.iter().min_by_key(|(_, (used, _))| *used).map(|(id, _)| id.clone());
            oldest.map(|id| kept.cards.remove(&id));
        }
        // A page that read an older version does not push a newer one out.
        let newer = kept.cards.get(id).is_some_and(|(_, known)| known.job.version() > card.job.version());
        if !newer {
            kept.cards.insert(id.clone(), (turn, card));
        }
    }

    /// Forgets all cards: something changed that plans are worked out from.
    pub(crate) fn forget(&self) {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner).cards.clear();
    }
}

impl House {
    /// The card of the job with this number.
    pub(crate) fn card(&self, number: &str) -> Result<Arc<JobCard>, Failure> {
        let Some(record) = self.store.job_numbered(number)? else {
            return Err(Failure::NotFound { what: "job", name: number.to_owned() });
        };
        if let Some(card) = self.cards.find(&record.id)
            && card.job.version() as i64 == record.version
        {
            if card.record == record {
                return Ok(card);
            }
            // Something beside the entries changed, such as the bike that it is for.
            let card = Arc::new(JobCard { record, ..(*card).clone() });
            self.cards.keep(card.clone());
            return Ok(card);
        }
        let open = self.store.job(&record.id)?;
        let card = Arc::new(JobCard::of(self, open.record, open.job));
        self.cards.keep(card.clone());
        Ok(card)
    }
}
