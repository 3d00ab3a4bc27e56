//! The promise: planned at 50 percent, promised at 80. Begin with [`promises`].

use crate::board::{Board, Dice, Laid, Piece, Place, Task};
use crate::calendar::{Grid, SLOT_MINUTES, level};
use crate::order::Placed;
use crate::risk::Outlook;
use crate::step::{Block, Skill};
use crate::workshop::Workshop;
use jiff::ToSpan;
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

    /// A share of these minutes.
    fn part(self, of: f64) -> Self {
        Self { p50: self.p50 * of, p80: self.p80 * of, p95: self.p95 * of }
    }
}

/// A part that is waited for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// What.
    pub what: String,
    /// From whom: the key of a record of deliveries.
    pub supplier: String,
    /// The day on which it is due.
    pub due: Date,
}

/// What is known of the deliveries of a supplier: how many days after the due day they came.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LeadRecord {
    /// Days late of every delivery; 0 is on time or early.
    pub days_late: Vec<u32>,
}

/// What is believed of a supplier before there is a record: nine of ten deliveries on time, one five days late. Believed
/// as if it were ten deliveries; the shop's own take over as they come.
const BELIEVED: [u32; 10] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 5];

impl LeadRecord {
    /// The share of deliveries that came no later than so many days after their day.
    pub fn by(&self, days: i64) -> f64 {
        let all = || self.days_late.iter().chain(&BELIEVED);
        all().filter(|late| i64::from(**late) <= days).count() as f64 / all().count() as f64
    }

    /// Where the figures come from.
    pub fn source_words(&self) -> String {
        format!("{} deliveries of our own, and a first belief as heavy as 10", self.days_late.len())
    }
}

/// The first day on which all parts are there with a probability of `share`, the deliveries being independent: `Π Fᵢ(d) ≥
/// share`. The day itself if nothing is waited for.
pub fn all_here(shop: &Workshop, awaits: &[Awaited], today: Date, share: f64) -> Date {
    let unknown = LeadRecord::default();
    // Nobody waits longer than a year; by then the last record says 1.
    const MOST_DAYS: i64 = 366;
    for ahead in 0..MOST_DAYS {
        let day = today.saturating_add(ahead.days());
        let here: f64 = awaits
            .iter()
            .map(|part| {
                let record = shop.deliveries.get(&part.supplier).unwrap_or(&unknown);
                let late = (day - part.due).get_days();
                if late < 0 { 0.0 } else { record.by(i64::from(late)) }
            })
            .product();
        if here >= share {
            return day;
        }
    }
    today.saturating_add(MOST_DAYS.days())
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
const DRAWS: usize = 160;

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
    let grid = Grid::of(&shop.calendar, today);
    let board = grid.board(&shop.calendar, &shop.people, shop.stands);
    let refused: Vec<Option<PromiseError>> =
        jobs.iter().map(|job| refusal(shop, &board, job, today)).collect();
    let kept: Vec<usize> = (0..jobs.len()).filter(|at| refused[*at].is_none()).collect();
    let longest = longest(&board);
    let drawing = Drawing { shop, grid: &grid, longest, today };
    let middle: Vec<Task> = kept.iter().map(|at| drawing.task(&jobs[*at], 0.5, 0.5)).collect();
    let plan = board.plan(&middle);
    let ends = drawing.ends(&board, jobs, &kept, &plan);
    let mut told: Vec<Result<Promise, PromiseError>> = refused
        .into_iter()
        .zip(jobs)
        .map(|(refused, job)| Err(refused.unwrap_or_else(|| no_room(&grid, job))))
        .collect();
    for (place, at) in kept.iter().enumerate() {
        let (job, Some(places)) = (&jobs[*at], plan.places.get(place).and_then(Option::as_ref)) else {
            continue;
        };
        let Some(promised) = ends.get(place).and_then(|ends| at_80(ends, board.slots, &grid)) else {
            continue;
        };
        let Some(planned) = places.last().and_then(|last| grid.end_time_of(last.to)).map(|(day, _)| day)
        else {
            continue;
        };
        told[*at] = Ok(Promise {
            job: job.name.clone(),
            planned,
            promised: promised.max(planned),
            before: job.promised,
            pieces: drawing.planned(job, places),
            because: drawing.because(job, places, planned, promised),
        });
    }
    told
}

fn no_room(grid: &Grid, job: &OpenJob) -> PromiseError {
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

struct Drawing<'a> {
    shop: &'a Workshop,
    grid: &'a Grid,
    longest: usize,
    today: Date,
}

impl Drawing<'_> {
    /// A job as it stands on the board with these shares of its minutes and its deliveries.
    fn task(&self, job: &OpenJob, minutes: f64, parts: f64) -> Task {
        let here = all_here(self.shop, &job.awaits, self.today, parts);
        self.task_from(job, minutes, here)
    }

    fn task_from(&self, job: &OpenJob, minutes: f64, here: Date) -> Task {
        let slots = |range: Range| ((range.at(minutes) / f64::from(SLOT_MINUTES)).ceil() as usize).max(1);
        let mut pieces = Vec::new();
        for piece in &job.pieces {
            let length = slots(piece.minutes);
            // What is longer than a day is parked between, in parts of the same length.
            let parts = length.div_ceil(self.longest.max(1)).max(1);
            let part = Piece { level: level(piece.skill), length: length.div_ceil(parts) };
            pieces.extend(std::iter::repeat_n(part, parts));
        }
        Task {
            release: self.grid.slot_of(here),
            due: job.promised.map(|day| self.grid.end_of(day)),
            pieces,
            check: job.check.map(slots),
            cold: self.shop.cold_check,
        }
    }

    /// For each job the ends in all drawn weeks.
    fn ends(&self, board: &Board, jobs: &[OpenJob], kept: &[usize], plan: &Laid) -> Vec<Vec<usize>> {
        let mut dice = Dice::new();
        let share = |at: usize| (at as f64 + 0.5) / DRAWS as f64;
        // Each job has each share once; which shares fall into one week is shuffled by the fixed dice.
        let minutes: Vec<Vec<usize>> = kept.iter().map(|_| dice.shuffled(DRAWS)).collect();
        let parts: Vec<Vec<usize>> = kept.iter().map(|_| dice.shuffled(DRAWS)).collect();
        // Deliveries fall on few days: each is looked up once.
        let days: Vec<Vec<Date>> = kept
            .iter()
            .map(|at| {
                let awaits = &jobs[*at].awaits;
                if awaits.is_empty() {
                    return vec![self.today; DRAWS];
                }
                (0..DRAWS).map(|draw| all_here(self.shop, awaits, self.today, share(draw))).collect()
            })
            .collect();
        let mut ends = vec![Vec::with_capacity(DRAWS); kept.len()];
        for draw in 0..DRAWS {
            let tasks: Vec<Task> = kept
                .iter()
                .enumerate()
                .map(|(place, at)| {
                    let here = days[place][parts[place][draw]];
                    self.task_from(&jobs[*at], share(minutes[place][draw]), here)
                })
                .collect();
            let laid = board.in_sequence(&tasks, &plan.sequence, &plan.kept_from);
            for (ends, places) in ends.iter_mut().zip(&laid.places) {
                let end = places.as_ref().map(|places| places.last().map_or(0, |last| last.to));
                ends.push(end.unwrap_or(board.slots + 1));
            }
        }
        ends
    }

    fn planned(&self, job: &OpenJob, places: &[Place]) -> Vec<PlannedPiece> {
        let mut words: Vec<String> = Vec::new();
        for piece in &job.pieces {
            let length = (piece.minutes.at(0.5) / f64::from(SLOT_MINUTES)).ceil() as usize;
            let parts = length.max(1).div_ceil(self.longest.max(1)).max(1);
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
                let (day, from) = self.grid.time_of(place.from)?;
                let (_, to) = self.grid.end_time_of(place.to)?;
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
                all_here(self.shop, &job.awaits, self.today, half),
                all_here(self.shop, &job.awaits, self.today, most),
            );
            let record = self.shop.deliveries.get(&last.supplier).unwrap_or(&unknown);
            because.push(format!(
                "the kit is complete by {usual} in half of all cases, by {sure} in eight of ten: last {}, due {} ({})",
                last.what,
                last.due,
                record.source_words()
            ));
        }
        if let Some((day, _)) = places.first().and_then(|first| self.grid.time_of(first.from)) {
            let here = all_here(self.shop, &job.awaits, self.today, 0.5);
            let waits = self.grid.days().iter().filter(|open| here <= **open && **open < day).count();
            if waits > 0 {
                because.push(format!("{waits} open days until a person of that skill and a stand are free"));
            }
        }
        let worked: usize = places.iter().map(|place| place.to - place.from).sum();
        because
            .push(format!("{} min on the stand and in the check as planned", worked * SLOT_MINUTES as usize));
        if promised > planned {
            let later = self.grid.days().iter().filter(|day| planned < **day && **day <= promised).count();
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
