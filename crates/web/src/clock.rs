//! The one place where the app looks at a clock, and how moments and days are said.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use shop::Moment;

/// Now, as the clock of this machine says. The order of entries never hangs on it.
pub(crate) fn now() -> Moment {
    Moment(Timestamp::now().as_millisecond())
}

/// Today, where this machine stands.
pub(crate) fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// Day and hour, where this machine stands.
pub(crate) fn local_now() -> jiff::civil::DateTime {
    jiff::ZonedDateTime::now().datetime()
}

/// The day of a moment, where this machine stands.
pub(crate) fn day_at(moment: Moment) -> Date {
    zoned(moment).map_or_else(today, |at| at.date())
}

/// The same day with its hours laid between nine and five, in the same order: the invented shop does not work at night.
pub(crate) fn in_working_hours(moment: Moment) -> Moment {
    let laid = || {
        let at = zoned(moment)?;
        let minute = i64::from(at.hour()) * 60 + i64::from(at.minute());
        let minute = 9 * 60 + minute / 3;
        let time = jiff::civil::time((minute / 60) as i8, (minute % 60) as i8, 0, 0);
        at.with().time(time).build().ok()
    };
    laid().map_or(moment, |at| Moment(at.timestamp().as_millisecond()))
}

fn zoned(moment: Moment) -> Option<jiff::ZonedDateTime> {
    Some(Timestamp::from_millisecond(moment.0).ok()?.to_zoned_datetime(TimeZone::system()))
}

/// A moment as people say it: `3 Dec 14:05`, with the year if it is another one.
pub(crate) fn moment_words(moment: Moment) -> String {
    let Some(at) = zoned(moment) else { return "at a time that no calendar has".to_owned() };
    let form = if at.year() == today().year() { "%-d %b %H:%M" } else { "%-d %b %Y %H:%M" };
    at.strftime(form).to_string()
}

/// A moment for machines.
pub(crate) fn moment_iso(moment: Moment) -> String {
    Timestamp::from_millisecond(moment.0).map_or_else(|_| String::new(), |at| at.to_string())
}

/// A day as people say it: `Thu 3 Dec`, with the year if it is another one.
pub(crate) fn day_words(day: i64) -> String {
    match date_of(day) {
        Some(date) if date.year() == today().year() => date.strftime("%a %-d %b").to_string(),
        Some(date) => date.strftime("%a %-d %b %Y").to_string(),
        None => "a day that no calendar has".to_owned(),
    }
}

/// The date of a day counted from 1970-01-01.
pub(crate) fn date_of(day: i64) -> Option<Date> {
    let days = i32::try_from(day).ok()?;
    jiff::civil::date(1970, 1, 1).checked_add(days.days()).ok()
}

/// The day of a date, counted from 1970-01-01.
pub(crate) fn day_of(date: Date) -> i64 {
    (date - jiff::civil::date(1970, 1, 1)).get_days().into()
}

/// How long something has been so: `4 h`, `3 days`.
pub(crate) fn age_words(since: Moment, now: Moment) -> String {
    // A clock set back makes no negative age.
    let minutes = (now.0 - since.0).max(0) / 60_000;
    match minutes {
        0..60 => format!("{minutes} min"),
        60..2_880 => format!("{} h", minutes / 60),
        _ => format!("{} days", minutes / 1_440),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_go_there_and_back() {
        for day in [-1, 0, 1, 20_790, 47_482] {
            assert_eq!(date_of(day).map(day_of), Some(day));
        }
        assert_eq!(date_of(20_789).unwrap().to_string(), "2026-12-02");
        assert_eq!(date_of(i64::MAX), None);
    }

    #[test]
    fn a_clock_set_back_makes_no_negative_age() {
        assert_eq!(age_words(Moment(10_000_000), Moment(0)), "0 min");
        assert_eq!(age_words(Moment(0), Moment(3_600_000 * 5)), "5 h");
        assert_eq!(age_words(Moment(0), Moment(86_400_000 * 3)), "3 days");
    }
}
