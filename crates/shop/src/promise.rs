//! The promise: planned at 50 percent, promised at 80. Begin with [`promises`].

use crate::board::{Board, Dice, Laid, PLACINGS, Piece, Place, Task};
use crate::calendar::{Grid, SLOT_MINUTES, level};
use crate::delivery::{Awaited, LeadRecord, all_here};
use crate::order::Placed;
use crate::risk::Outlook;
use crate::step::{Block, Skill};
use crate::workshop::Workshop;
use jiff::civil::Date;
use std::fmt;

/// A job that has been agreed on, or is about to be.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenJob {
    /// What it is called.
    pub name: String,
    /// Who is told when its day moves.
    pub tell: String,
    /// What is left of it. After each piece the bike can stay overnight.
    pub pieces: Vec<WorkPiece>,
    /// Minutes of the second check; none if it has been done.
    pub check: Option<Range>,
    /// Parts that have to come before it begins.
    pub awaits: Vec<Awaited>,
    /// The day that was promised.
    pub promised: Option<Date>,
}

/// A piece of work of one person without a break, after which the bike is parked safely.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkPiece {
    /// In words: what is done, and how the bike is parked then.
    pub words: String,
    /// The skill that it takes.
    pub skill: Skill,
    /// How long.
    pub minutes: Range,
}

/// Minutes at 50, 80 and 95 percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Not more in half of all cases.
    pub p50: f64,
    /// In eight of ten.
    pub p80: f64,
    /// In nineteen of twenty.
    pub p95: f64,
}

impl Range {
    /// The minutes at a share of all cases: straight lines through the three, the lower half as far below as the 80
    /// percent lie above.
    fn at(self, share: f64) -> f64 {
        let low = (2.0 * self.p50 - self.p80).max(0.0);
        let between = |from: f64, to: f64, a: f64, b: f64| a + (b - a) * ((share - from) / (to - from));
        match share {
            share if share <= 0.5 => between(0.0, 0.5, low, self.p50),
            share if share <= 0.8 => between(0.5, 0.8, self.p50, self.p80),
            share if share <= 0.95 => between(0.8, 0.95, self.p80, self.p95),
            _ => self.p95,
        }
    }

    /// The same, each up to a whole quarter of an hour.
    pub(crate) fn in_quarters(self) -> Self {
        let up = |minutes: f64| (minutes / 15.0).ceil() * 15.0;
        Self { p50: up(self.p50), p80: up(self.p80), p95: up(self.p95) }
    }

    /// A share of these minutes.
    fn part(self, of: f64) -> Self {
        Self { p50: self.p50 * of, p80: self.p80 * of, p95: self.p95 * of }
    }
}

/// What is promised of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Promise {
    /// The job.
    pub job: String,
    /// The day on which it is planned to be ready.
    pub planned: Date,
    /// The day that holds in eight of ten such weeks.
    pub promised: Date,
    /// The day that was promised before, if one was.
    pub before: Option<Date>,
    /// Who does what when, in the plan.
    pub pieces: Vec<PlannedPiece>,
    /// What decides the day, most telling first.
    pub because: Vec<String>,
}

/// A piece of work in the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedPiece {
    /// What.
    pub words: String,
    /// Who.
    pub person: String,
    /// The day.
    pub day: Date,
    /// From this minute of the day.
    pub from: u32,
    /// To this one.
    pub to: u32,
}

/// Why nothing can be promised.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PromiseError {
    /// A part is due on a day that has gone by.
    DueInThePast {
        /// The job.
        job: String,
        /// The part.
        what: String,
        /// Its day.
        due: Date,
        /// Today.
        today: Date,
    },
    /// Nobody may do a piece.
    NobodyWithSkill {
        /// The job.
        job: String,
        /// The piece.
        piece: String,
        /// What it takes.
        skill: Skill,
    },
    /// Nobody may check who has not worked on it.
    NoSecondPerson(String),
    /// The shop is closed on all days that are looked at, or has no stand.
    NeverOpen,
    /// There is no room in the days that are looked at.
    NoRoom {
        /// The job.
        job: String,
        /// Days on which the shop is open.
        days: usize,
    },
}

impl fmt::Display for PromiseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DueInThePast { job, what, due, today } => write!(
                f,
                "{job}: {what} was due on {due}, which has gone by (today is {today}); ask the supplier for a new day"
            ),
            Self::NobodyWithSkill { job, piece, skill } => {
                write!(
                    f,
                    "{job}: nobody who works here is a {} or more, which `{piece}` takes",
                    skill.words()
                )
            }
            Self::NoSecondPerson(job) => write!(
                f,
                "{job}: nobody may check it who has not worked on it; another branch sends someone, or the shop allows a cold check on the next morning and the sheet says so"
            ),
            Self::NeverOpen => {
                write!(f, "the shop has no open day, or no stand, in the days that are looked at")
            }
            Self::NoRoom { job, days } => {
                write!(f, "{job}: there is no room for it on the next {days} days on which the shop is open")
            }
        }
    }
}

impl std::error::Error for PromiseError {}

/// The pieces of a job from its order of work: taking off and frame; putting on; first control; and the check by a
/// second person. Intake is over by then and the look after some weeks is a job of its own. `outlook` carries the minutes
/// of the whole job with its risks; each piece has its share.
pub fn pieces_of(order: &[Placed<'_>], outlook: &Outlook) -> (Vec<WorkPiece>, Option<Range>) {
    const PIECES: [(&[Block], &str); 3] = [
        (&[Block::Strip, Block::Frame], "taking off and frame; parked with the parts bagged and labelled"),
        (
            &[Block::Drivetrain, Block::Brakes, Block::Cockpit],
            "putting on; parked whole, marked as not ridden",
        ),
        (&[Block::Control], "bolts, rides, tape; parked whole, waiting for the second person"),
    ];
    let left = |placed: &&Placed<'_>| placed.step.block != Block::Intake && placed.step.id.0 != "follow-up";
    let all: f64 = order.iter().map(|placed| f64::from(placed.step.minutes.usual)).sum();
    let whole = Range { p50: outlook.p50, p80: outlook.p80, p95: outlook.p95 };
    let share = |minutes: u32| whole.part(if all > 0.0 { f64::from(minutes) / all } else { 0.0 });
    let mut pieces = Vec::new();
    for (blocks, words) in PIECES {
        let steps: Vec<_> = order
            .iter()
            .filter(left)
            .filter(|placed| blocks.contains(&placed.step.block) && !is_second(placed))
            .collect();
        let minutes: u32 = steps.iter().map(|placed| placed.step.minutes.usual).sum();
        let Some(skill) = steps.iter().map(|placed| placed.step.skill).max_by_key(|skill| level(*skill))
        else {
            continue;
        };
        pieces.push(WorkPiece { words: words.to_owned(), skill, minutes: share(minutes) });
    }
    let check: u32 = order
        .iter()
        .filter(left)
        .filter(|placed| is_second(placed))
        .map(|placed| placed.step.minutes.usual)
        .sum();
    (pieces, (check > 0).then(|| share(check)))
}

/// Checks, second rides and the hand-over that follows them.
fn is_second(placed: &Placed<'_>) -> bool {
    placed.step.skill == Skill::Second || placed.step.id.0 == "hand-over"
}

/// Weeks that are drawn. The day at 80 percent of so many moves by less than a day if more are drawn.
pub(crate) const DRAWS: usize = 160;

/// How much is tried.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Effort {
    /// Weeks that are drawn.
    pub(crate) draws: usize,
    /// Jobs that are placed in search of a better sequence.
    pub(crate) placings: usize,
}

/// The promises of all jobs, planned from a day on.
///
/// One plan is made of all jobs at the minutes and days of 50 percent. Then 160 weeks are drawn by a fixed rule, every
/// job having each of its 160 equally likely minutes and delivery days once, and the jobs are placed in the same
/// sequence. The day promised is the one on which a job is ready in 80 percent of these weeks.
///
/// Never before the planned day; the same jobs always give the same days.
///
/// # Errors
/// For each job that has no day, why; the others have theirs.
pub fn promises(shop: &Workshop, jobs: &[OpenJob], today: Date) -> Vec<Result<Promise, PromiseError>> {
    let outline = Outline::of(shop, today);
    let drawn = outline.drawn(shop, jobs, Effort { draws: DRAWS, placings: PLACINGS });
    let drawing = outline.drawing(shop, DRAWS);
    let mut told: Vec<Result<Promise, PromiseError>> = drawn
        .refused
        .into_iter()
        .zip(jobs)
        .map(|(refused, job)| Err(refused.unwrap_or_else(|| no_room(&outline.grid, job))))
        .collect();
    for (place, at) in drawn.kept.iter().enumerate() {
        let (job, Some(places)) = (&jobs[*at], drawn.plan.places.get(place).and_then(Option::as_ref)) else {
            continue;
        };
        let ends: Vec<usize> =
            drawn.weeks.iter().map(|week| drawing.end_of(week.places[place].as_deref())).collect();
        told[*at] = drawing.promise(job, places, &ends);
    }
    told
}

/// The days to come with their people and stands.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    pub(crate) grid: Grid,
    pub(crate) board: Board,
    pub(crate) today: Date,
    longest: usize,
}

/// Jobs laid on the board: as planned, and in every drawn week.
pub(crate) struct Drawn {
    /// For each job why it is not laid.
    refused: Vec<Option<PromiseError>>,
    /// The jobs that are.
    kept: Vec<usize>,
    pub(crate) plan: Laid,
    pub(crate) weeks: Vec<Laid>,
    /// The dice behind the last draw.
    pub(crate) dice: Dice,
}

impl Outline {
    pub(crate) fn of(shop: &Workshop, today: Date) -> Self {
        let grid = Grid::of(&shop.calendar, today);
        let board = grid.board(&shop.calendar, &shop.people, shop.stands);
        let longest = longest(&board);
        Self { grid, board, today, longest }
    }

    pub(crate) fn drawing<'a>(&'a self, shop: &'a Workshop, draws: usize) -> Drawing<'a> {
        Drawing { shop, outline: self, draws }
    }

    pub(crate) fn drawn(&self, shop: &Workshop, jobs: &[OpenJob], effort: Effort) -> Drawn {
        let refused: Vec<Option<PromiseError>> = jobs.iter().map(|job| self.refusal(shop, job)).collect();
        let kept: Vec<usize> = (0..jobs.len()).filter(|at| refused[*at].is_none()).collect();
        let drawing = self.drawing(shop, effort.draws);
        let middle: Vec<Task> = kept.iter().map(|at| drawing.task(&jobs[*at], 0.5, 0.5)).collect();
        let plan = self.board.plan_within(&middle, effort.placings);
        let mut dice = Dice::new();
        let weeks = drawing.weeks(jobs, &kept, &plan, &mut dice);
        Drawn { refused, kept, plan, weeks, dice }
    }

    /// Why a job has no day whatever else is done.
    pub(crate) fn refusal(&self, shop: &Workshop, job: &OpenJob) -> Option<PromiseError> {
        refusal(shop, &self.board, job, self.today)
    }
}

pub(crate) fn no_room(grid: &Grid, job: &OpenJob) -> PromiseError {
    PromiseError::NoRoom { job: job.name.clone(), days: grid.days().len() }
}

fn refusal(shop: &Workshop, board: &Board, job: &OpenJob, today: Date) -> Option<PromiseError> {
    if board.stands == 0 || board.hands.iter().all(|hand| hand.free.is_empty()) {
        return Some(PromiseError::NeverOpen);
    }
    if let Some(part) = job.awaits.iter().find(|part| part.due < today) {
        let (what, due) = (part.what.clone(), part.due);
        return Some(PromiseError::DueInThePast { job: job.name.clone(), what, due, today });
    }
    let can = |skill: Skill| board.hands.iter().any(|hand| hand.level >= level(skill));
    if let Some(piece) = job.pieces.iter().find(|piece| !can(piece.skill)) {
        let (piece, skill) = (piece.words.clone(), piece.skill);
        return Some(PromiseError::NobodyWithSkill { job: job.name.clone(), piece, skill });
    }
    // Somebody else has to be able to do the work where only one may check.
    let may_check: Vec<&str> =
        shop.people.iter().filter(|person| person.checks).map(|p| p.name.as_str()).collect();
    let alone = |name: &str| {
        job.pieces.iter().any(|piece| {
            !shop.people.iter().any(|person| person.name != name && level(person.skill) >= level(piece.skill))
        })
    };
    let nobody = may_check.is_empty() || (may_check.iter().all(|name| alone(name)) && !shop.cold_check);
    (job.check.is_some() && nobody).then(|| PromiseError::NoSecondPerson(job.name.clone()))
}

/// The longest that anyone is there without a night between.
fn longest(board: &Board) -> usize {
    board.hands.iter().flat_map(|hand| &hand.free).map(|(from, to)| to - from).max().unwrap_or(0)
}

/// The first day by whose end 80 percent of the weeks have it ready.
fn at_80(ends: &[usize], slots: usize, grid: &Grid) -> Option<Date> {
    let mut ends = ends.to_vec();
    ends.sort_unstable();
    let at = (ends.len() * 4).div_ceil(5).saturating_sub(1);
    let end = *ends.get(at)?;
    if end > slots { None } else { grid.end_time_of(end).map(|(day, _)| day) }
}

pub(crate) struct Drawing<'a> {
    shop: &'a Workshop,
    outline: &'a Outline,
    draws: usize,
}

impl Drawing<'_> {
    /// A job as it stands on the board with these shares of its minutes and its deliveries.
    pub(crate) fn task(&self, job: &OpenJob, minutes: f64, parts: f64) -> Task {
        let here = all_here(self.shop, &job.awaits, self.outline.today, parts);
        self.task_from(job, minutes, here)
    }

    fn task_from(&self, job: &OpenJob, minutes: f64, here: Date) -> Task {
        let slots = |range: Range| ((range.at(minutes) / f64::from(SLOT_MINUTES)).ceil() as usize).max(1);
        let mut pieces = Vec::new();
        for piece in &job.pieces {
            let length = slots(piece.minutes);
            // What is longer than a day is parked between, in parts of the same length.
            let parts = length.div_ceil(self.outline.longest.max(1)).max(1);
            let part = Piece { level: level(piece.skill), length: length.div_ceil(parts) };
            pieces.extend(std::iter::repeat_n(part, parts));
        }
        let grid = &self.outline.grid;
        Task {
            release: grid.slot_of(here),
            due: job.promised.map(|day| grid.end_of(day)),
            pieces,
            check: job.check.map(slots),
            cold: self.shop.cold_check,
        }
    }

    /// Each of the equally likely shares of a job's minutes, or of its deliveries.
    fn share(&self, at: usize) -> f64 {
        (at as f64 + 0.5) / self.draws as f64
    }

    /// All drawn weeks. Each job has each share once; which shares fall into one week is shuffled by the fixed dice.
    fn weeks(&self, jobs: &[OpenJob], kept: &[usize], plan: &Laid, dice: &mut Dice) -> Vec<Laid> {
        let minutes: Vec<Vec<usize>> = kept.iter().map(|_| dice.shuffled(self.draws)).collect();
        let parts: Vec<Vec<usize>> = kept.iter().map(|_| dice.shuffled(self.draws)).collect();
        let days: Vec<Vec<Date>> = kept.iter().map(|at| self.delivery_days(&jobs[*at])).collect();
        (0..self.draws)
            .map(|draw| {
                let task = |(place, at): (usize, &usize)| {
                    let here = days[place][parts[place][draw]];
                    self.task_from(&jobs[*at], self.share(minutes[place][draw]), here)
                };
                let tasks: Vec<Task> = kept.iter().enumerate().map(task).collect();
                self.outline.board.in_sequence(&tasks, &plan.sequence, &plan.kept_from)
            })
            .collect()
    }

    /// One job in all drawn weeks.
    pub(crate) fn tasks(&self, job: &OpenJob, dice: &mut Dice) -> Vec<Task> {
        let (minutes, parts) = (dice.shuffled(self.draws), dice.shuffled(self.draws));
        let days = self.delivery_days(job);
        let task = |draw: usize| self.task_from(job, self.share(minutes[draw]), days[parts[draw]]);
        (0..self.draws).map(task).collect()
    }

    /// The day on which everything is there, at each share. Deliveries fall on few days: each is looked up once.
    fn delivery_days(&self, job: &OpenJob) -> Vec<Date> {
        let today = self.outline.today;
        if job.awaits.is_empty() {
            return vec![today; self.draws];
        }
        (0..self.draws).map(|draw| all_here(self.shop, &job.awaits, today, self.share(draw))).collect()
    }

    /// The slot before which a job ends; after the last one if it has no place.
    pub(crate) fn end_of(&self, places: Option<&[Place]>) -> usize {
        places.map_or(self.outline.board.slots + 1, |places| places.last().map_or(0, |last| last.to))
    }

    /// What is promised of a job that was planned so, and that ends so in the drawn weeks.
    pub(crate) fn promise(
        &self,
        job: &OpenJob,
        places: &[Place],
        ends: &[usize],
    ) -> Result<Promise, PromiseError> {
        let Outline { grid, board, .. } = self.outline;
        let promised = at_80(ends, board.slots, grid);
        let planned = places.last().and_then(|last| grid.end_time_of(last.to)).map(|(day, _)| day);
        let (Some(promised), Some(planned)) = (promised, planned) else { return Err(no_room(grid, job)) };
        Ok(Promise {
            job: job.name.clone(),
            planned,
            promised: promised.max(planned),
            before: job.promised,
            pieces: self.planned(job, places),
            because: self.because(job, places, planned, promised),
        })
    }

    fn planned(&self, job: &OpenJob, places: &[Place]) -> Vec<PlannedPiece> {
        let mut words: Vec<String> = Vec::new();
        for piece in &job.pieces {
            let length = (piece.minutes.at(0.5) / f64::from(SLOT_MINUTES)).ceil() as usize;
            let parts = length.max(1).div_ceil(self.outline.longest.max(1)).max(1);
            for part in 1..=parts {
                words.push(match parts {
                    1 => piece.words.clone(),
                    _ => format!(
                        "{} ({part} of {parts}, what is only finger-tight is noted between)",
                        piece.words
                    ),
                });
            }
        }
        if job.check.is_some() {
            words.push("second check, second ride, hand-over".to_owned());
        }
        words
            .into_iter()
            .zip(places)
            .filter_map(|(words, place)| {
                let (day, from) = self.outline.grid.time_of(place.from)?;
                let (_, to) = self.outline.grid.end_time_of(place.to)?;
                let person = self.shop.people.get(place.hand).map_or_else(String::new, |p| p.name.clone());
                Some(PlannedPiece { words, person, day, from, to })
            })
            .collect()
    }

    fn because(&self, job: &OpenJob, places: &[Place], planned: Date, promised: Date) -> Vec<String> {
        let mut because = Vec::new();
        let unknown = LeadRecord::default();
        if let Some(last) = job.awaits.iter().max_by_key(|part| part.due) {
            let (half, most) = (0.5, 0.8);
            let (usual, sure) = (
                all_here(self.shop, &job.awaits, self.outline.today, half),
                all_here(self.shop, &job.awaits, self.outline.today, most),
            );
            let record = self.shop.deliveries.get(&last.supplier).unwrap_or(&unknown);
            because.push(format!(
                "the kit is complete by {usual} in half of all cases, by {sure} in eight of ten: last {}, due {} ({})",
                last.what,
                last.due,
                record.source_words()
            ));
        }
        if let Some((day, _)) = places.first().and_then(|first| self.outline.grid.time_of(first.from)) {
            let here = all_here(self.shop, &job.awaits, self.outline.today, 0.5);
            let waits = self.outline.grid.days().iter().filter(|open| here <= **open && **open < day).count();
            if waits > 0 {
                because.push(format!("{waits} open days until a person of that skill and a stand are free"));
            }
        }
        let worked: usize = places.iter().map(|place| place.to - place.from).sum();
        because
            .push(format!("{} min on the stand and in the check as planned", worked * SLOT_MINUTES as usize));
        if promised > planned {
            let later =
                self.outline.grid.days().iter().filter(|day| planned < **day && **day <= promised).count();
            because.push(format!("{later} open days are kept for what usually comes between"));
        }
        because
    }
}

/// A promise that does not hold any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// The job.
    pub job: String,
    /// Who has to be told.
    pub tell: String,
    /// The day that was promised.
    pub promised: Date,
    /// The day that can be promised now; none if none can.
    pub now: Option<Date>,
    /// Why.
    pub because: String,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { job, tell, promised, now, because } = self;
        match now {
            Some(now) => {
                write!(f, "tell {tell}: {job} was promised for {promised} and can be for {now}; {because}")
            }
            None => write!(f, "tell {tell}: {job} was promised for {promised} and has no day now; {because}"),
        }
    }
}

/// The promises that do not hold, with who has to be told, earliest first.
pub fn broken(jobs: &[OpenJob], now: &[Result<Promise, PromiseError>]) -> Vec<Broken> {
    let mut broken: Vec<Broken> = jobs
        .iter()
        .zip(now)
        .filter_map(|(job, now)| {
            let promised = job.promised?;
            let (day, because) = match now {
                Ok(now) if now.promised <= promised => return None,
                Ok(now) => (Some(now.promised), now.because.first().cloned().unwrap_or_default()),
                Err(why) => (None, why.to_string()),
            };
            let (job, tell) = (job.name.clone(), job.tell.clone());
            Some(Broken { job, tell, promised, now: day, because })
        })
        .collect();
    broken.sort_by_key(|broken| broken.promised);
    broken
}
