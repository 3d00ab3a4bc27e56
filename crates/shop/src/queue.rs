//! The jobs that wait and are worked on, laid into the weeks to come once, so that the day of one more is quick. Begin
//! with [`Queue::promise`].

use crate::board::{Dice, Free, PLACINGS};
use crate::promise::{DRAWS, Drawn, Effort, OpenJob, Outline, Promise, PromiseError, no_room};
use crate::workshop::Workshop;
use jiff::civil::Date;

/// So many jobs are drawn as often as single promises are; of more each is drawn less often.
const MANY: usize = 40;

/// Jobs that wait, laid into the weeks to come.
#[derive(Clone, Debug)]
pub struct Queue {
    outline: Outline,
    jobs: usize,
    /// What the plan leaves free.
    planned: Free,
    /// What each drawn week leaves free.
    drawn: Vec<Free>,
    dice: Dice,
}

impl Queue {
    /// Lays jobs as [`promises`](crate::promise::promises) does. What can have no day takes nobody's time.
    pub fn of(shop: &Workshop, jobs: &[OpenJob], today: Date) -> Self {
        let outline = Outline::of(shop, today);
        // Many jobs are tried less: what is looked for is what they leave free, and somebody waits for it.
        let share = |all: usize| (all * MANY).div_ceil(jobs.len().max(MANY));
        let effort = Effort { draws: share(DRAWS), placings: share(PLACINGS) };
        let Drawn { plan, weeks, dice, .. } = outline.drawn(shop, jobs, effort);
        let planned = outline.board.left_by(&plan);
        let drawn = weeks.iter().map(|week| outline.board.left_by(week)).collect();
        Self { outline, jobs: jobs.len(), planned, drawn, dice }
    }

    /// How many jobs it was made of.
    pub fn len(&self) -> usize {
        self.jobs
    }

    /// Whether nobody waits.
    pub fn is_empty(&self) -> bool {
        self.jobs == 0
    }

    /// What can be promised of one more job. It takes what the others leave free: no promise that stands is moved for it.
    ///
    /// # Errors
    /// Why it has no day.
    pub fn promise(&self, shop: &Workshop, job: &OpenJob) -> Result<Promise, PromiseError> {
        if let Some(why) = self.outline.refusal(shop, job) {
            return Err(why);
        }
        let (drawing, board) = (self.outline.drawing(shop, self.drawn.len()), &self.outline.board);
        let Some(places) = board.beside(&self.planned, &drawing.task(job, 0.5, 0.5)) else {
            return Err(no_room(&self.outline.grid, job));
        };
        let tasks = drawing.tasks(job, &mut self.dice.clone());
        let ends: Vec<usize> = tasks
            .iter()
            .zip(&self.drawn)
            .map(|(task, free)| drawing.end_of(board.beside(free, task).as_deref()))
            .collect();
        drawing.promise(job, &places, &ends)
    }
}
