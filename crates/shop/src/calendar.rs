//! When the shop is open and who is there, as slots of the board. Dates are days of the civil calendar; nothing here
//! asks what day it is.

use crate::board::{Board, Hand};
use crate::step::Skill;
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::collections::BTreeSet;

/// Minutes of a slot: work is planned no finer.
pub const SLOT_MINUTES: u32 = 5;

/// Days that are looked ahead. A job that finds no place in them is not promised.
pub const DAYS_AHEAD: usize = 120;

/// From a minute of the day to before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hours {
    /// First minute.
    pub from: u32,
    /// Minute after the last.
    pub to: u32,
}

impl Hours {
    fn and(self, other: Self) -> Option<Self> {
        let both = Self { from: self.from.max(other.from), to: self.to.min(other.to) };
        (both.from < both.to).then_some(both)
    }
}

/// The hours of a week, Monday first.
pub type Week = [Option<Hours>; 7];

/// When the shop is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// Opening hours.
    pub open: Week,
    /// A break that all make together; a bike stays on its stand meanwhile.
    pub pause: Option<Hours>,
    /// Days on which it is closed.
    pub closed: BTreeSet<Date>,
    /// Share of everyone's day that is kept for who walks in with a flat tyre or a dead brake, percent.
    pub walk_in_percent: u32,
}

/// Someone who works in the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Colleague {
    /// The name.
    pub name: String,
    /// The most difficult work that the person may do alone.
    pub skill: Skill,
    /// Whether the person may check what others did: a right of its own.
    pub checks: bool,
    /// Own hours; none means those of the shop.
    pub hours: Option<Week>,
    /// First and last day of each absence.
    pub away: Vec<(Date, Date)>,
}

/// The level of a skill on the board. Whoever may do the harder work may do the easier.
pub(crate) fn level(skill: Skill) -> u8 {
    match skill {
        Skill::Learner | Skill::Counter => 0,
        Skill::Mechanic | Skill::Second => 1,
        Skill::Specialist => 2,
    }
}

fn on(week: &Week, day: Date) -> Option<Hours> {
    let at = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
    week.get(at).copied().flatten()
}

/// The slots of a calendar from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grid {
    days: Vec<Date>,
    opens: u32,
    day_slots: usize,
    pause: Option<Hours>,
}

impl Grid {
    /// The slots from this day on. Days on which the shop is closed have none; a slot of night ends each day.
    pub fn of(calendar: &Calendar, from: Date) -> Self {
        let open = || calendar.open.iter().flatten();
        let opens = open().map(|hours| hours.from).min().unwrap_or(0);
        let closes = open().map(|hours| hours.to).max().unwrap_or(opens);
        let mut days = Vec::new();
        let mut day = from;
        for _ in 0..DAYS_AHEAD {
            if on(&calendar.open, day).is_some() && !calendar.closed.contains(&day) {
                days.push(day);
            }
            match day.checked_add(1.day()) {
                Ok(next) => day = next,
                Err(_) => break,
            }
        }
        let pause = calendar.pause.and_then(|pause| pause.and(Hours { from: opens, to: closes }));
        let minutes = (closes - opens).saturating_sub(pause.map_or(0, |pause| pause.to - pause.from));
        Self { days, opens, day_slots: (minutes / SLOT_MINUTES) as usize + 1, pause }
    }

    /// The days on which the shop is open.
    pub fn days(&self) -> &[Date] {
        &self.days
    }

    /// The first slot on or after a day.
    pub fn slot_of(&self, day: Date) -> usize {
        self.days.partition_point(|open| *open < day) * self.day_slots
    }

    /// The slot after the last of a day; that of the day before if it is not open.
    pub fn end_of(&self, day: Date) -> usize {
        self.days.partition_point(|open| *open <= day) * self.day_slots
    }

    /// The day and the minute of the day at which a slot begins.
    pub fn time_of(&self, slot: usize) -> Option<(Date, u32)> {
        let day = *self.days.get(slot / self.day_slots)?;
        Some((day, self.minute_of(slot % self.day_slots)))
    }

    fn minute_of(&self, slot: usize) -> u32 {
        let minute = self.opens + slot as u32 * SLOT_MINUTES;
        match self.pause {
            Some(pause) if minute >= pause.from => minute + (pause.to - pause.from),
            _ => minute,
        }
    }

    /// The day and minute at which something ends that lasts to before a slot.
    pub fn end_time_of(&self, slot: usize) -> Option<(Date, u32)> {
        let (day, minute) = self.time_of(slot.checked_sub(1)?)?;
        Some((day, minute + SLOT_MINUTES))
    }

    /// Minutes of work of a day before a minute of it.
    fn worked(&self, minute: u32) -> u32 {
        let worked = match self.pause {
            Some(pause) if minute >= pause.to => minute - (pause.to - pause.from),
            Some(pause) if minute > pause.from => pause.from,
            _ => minute,
        };
        worked.saturating_sub(self.opens)
    }

    /// The board of these people.
    pub fn board(&self, calendar: &Calendar, people: &[Colleague], stands: u32) -> Board {
        let hands = people.iter().map(|person| Hand {
            level: level(person.skill),
            checks: person.checks,
            free: self.free(calendar, person),
        });
        Board {
            slots: self.days.len() * self.day_slots,
            stands: stands as usize,
            hands: hands.collect(),
            days: (0..self.days.len()).map(|at| at * self.day_slots).collect(),
        }
    }

    fn free(&self, calendar: &Calendar, person: &Colleague) -> Vec<(usize, usize)> {
        let mut free = Vec::new();
        for (at, day) in self.days.iter().enumerate() {
            if person.away.iter().any(|(first, last)| first <= day && day <= last) {
                continue;
            }
            let own = person.hours.as_ref().map_or_else(|| on(&calendar.open, *day), |week| on(week, *day));
            let Some(hours) = own.zip(on(&calendar.open, *day)).and_then(|(own, open)| own.and(open)) else {
                continue;
            };
            // Whole slots only.
            let from = self.worked(hours.from).div_ceil(SLOT_MINUTES) as usize;
            let to = (self.worked(hours.to) / SLOT_MINUTES) as usize;
            let kept = (to.saturating_sub(from) * calendar.walk_in_percent.min(100) as usize).div_ceil(100);
            if from + kept < to {
                free.push((at * self.day_slots + from, at * self.day_slots + to - kept));
            }
        }
        free
    }
}

/// The day of the week, short.
pub fn weekday_words(day: Date) -> &'static str {
    match day.weekday() {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}

/// A minute of the day as hours and minutes.
pub fn clock_words(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}
