//! Points of a GPX file. The parser is the crate `gpx`; what could make it take much memory is refused before.

use super::note::{Note, RideProblem};
use super::{MOST_RIDE_POINTS, Raw, RawRide};

/// Elements within elements: a GPX has about six. The parser takes time with the square of this.
const MOST_DEEP: usize = 64;

/// Whether the bytes begin as XML does, after a mark of the byte order and blanks.
pub(super) fn is_xml(bytes: &[u8]) -> bool {
    if bytes.starts_with(&[0xFE, 0xFF]) || bytes.starts_with(&[0xFF, 0xFE]) {
        return true;
    }
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    bytes.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'<')
}

/// Reads all points of all tracks; of the routes if there is no track.
pub(super) fn read(bytes: &[u8]) -> Result<RawRide, RideProblem> {
    // Two bytes a letter would hide what is looked for here.
    if bytes.contains(&0) || bytes.starts_with(&[0xFE, 0xFF]) || bytes.starts_with(&[0xFF, 0xFE]) {
        return Err(RideProblem::Encoding);
    }
    if holds(bytes, b"<!DOCTYPE") > 0 || holds(bytes, b"<!ENTITY") > 0 {
        return Err(RideProblem::Entities);
    }
    // A point has a latitude and no other element of a track has: more `lat=` than points cannot be.
    let points = holds(bytes, b"lat");
    if points > MOST_RIDE_POINTS {
        return Err(RideProblem::TooMany { points });
    }
    if is_deeper_than(bytes, MOST_DEEP) {
        let why = format!("elements stand more than {MOST_DEEP} deep in one another");
        return Err(RideProblem::BrokenGpx { why });
    }
    let gpx = gpx::read(bytes).map_err(|why| RideProblem::BrokenGpx { why: chain(&why) })?;
    let mut records = Vec::new();
    let mut piece = |points: &[gpx::Waypoint]| {
        for (at, point) in points.iter().enumerate() {
            let place = point.point();
            records.push(Raw {
                place: Some((place.y(), place.x())),
                height_m: point.elevation.filter(|height| height.is_finite()),
                time_s: point.time.map(seconds),
                begins: at == 0,
                ..Raw::default()
            });
        }
    };
    for segment in gpx.tracks.iter().flat_map(|track| &track.segments) {
        piece(&segment.points);
    }
    if gpx.tracks.iter().all(|track| track.segments.iter().all(|segment| segment.points.is_empty())) {
        for route in &gpx.routes {
            piece(&route.points);
        }
    }
    Ok(RawRide { records, notes: vec![Note::NoSensors] })
}

/// Seconds since 1970, from the text of a time: the one form in which the parser gives it to others. An hour that is off
/// from Greenwich is passed over; only differences within one file are used.
fn seconds(time: gpx::Time) -> f64 {
    let text = time.format().unwrap_or_default();
    let number = |from: usize, to: usize| text.get(from..to).and_then(|digits| digits.parse::<i64>().ok());
    let parse = || {
        let (year, month, day) = (number(0, 4)?, number(5, 7)?, number(8, 10)?);
        let (hour, minute) = (number(11, 13)?, number(14, 16)?);
        let rest = text.get(17..)?.trim_end_matches('Z');
        let second: f64 = rest.split(['+', '-']).next()?.parse().ok()?;
        Some((days(year, month, day) * 24 + hour) as f64 * 3600.0 + minute as f64 * 60.0 + second)
    };
    parse().unwrap_or(f64::NAN)
}

/// Days from 1 January 1970 in the Gregorian calendar.
fn days(year: i64, month: i64, day: i64) -> i64 {
    // The year begins in March, so that the leap day is its last.
    let year = if month <= 2 { year - 1 } else { year };
    let of_year = (153 * (month + if month > 2 { -3 } else { 9 }) + 2) / 5 + day - 1;
    year * 365 + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year - 719_468
}

/// The words of an error and of what caused it.
fn chain(why: &dyn std::error::Error) -> String {
    let mut words = why.to_string();
    let mut cause = why.source();
    while let Some(inner) = cause {
        let inner_words = inner.to_string();
        if !words.contains(&inner_words) {
            words = format!("{words}: {inner_words}");
        }
        cause = inner.source();
    }
    // What stood in the file may be as long as the file.
    words.chars().filter(|letter| !letter.is_control()).take(200).collect()
}

/// How often a text stands in the bytes.
fn holds(bytes: &[u8], wanted: &[u8]) -> usize {
    let first = wanted.first().copied().unwrap_or_default();
    let mut count = 0;
    let mut rest = bytes;
    while let Some(at) = rest.iter().position(|byte| *byte == first) {
        rest = &rest[at..];
        count += usize::from(rest.starts_with(wanted));
        rest = &rest[1..];
    }
    count
}

/// Whether elements stand deeper in one another. Remarks and plain data are passed over.
fn is_deeper_than(bytes: &[u8], most: usize) -> bool {
    let skip = |at: usize, end: &[u8]| {
        bytes[at..].windows(end.len()).position(|piece| piece == end).map_or(bytes.len(), |found| at + found)
    };
    let (mut at, mut depth) = (0_usize, 0_usize);
    while let Some(found) = bytes.get(at..).and_then(|rest| rest.iter().position(|byte| *byte == b'<')) {
        at += found;
        let rest = &bytes[at..];
        if rest.starts_with(b"<!--") {
            at = skip(at, b"-->");
        } else if rest.starts_with(b"<![CDATA[") {
            at = skip(at, b"]]>");
        } else {
            let end = skip(at, b">");
            if rest.starts_with(b"</") {
                depth = depth.saturating_sub(1);
            } else if !rest.starts_with(b"<?") && !rest.starts_with(b"<!") && bytes[end - 1] != b'/' {
                depth += 1;
            }
            at = end;
        }
        if depth > most {
            return true;
        }
        at += 1;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::days;

    /// Days known by heart: the epoch, and 1 March 2000, which is day 11,017 (`date -d 2000-03-01 +%s` over 86,400).
    #[test]
    fn days_are_counted_as_the_calendar_does() {
        assert_eq!(days(1970, 1, 1), 0);
        assert_eq!(days(2000, 3, 1), 11_017);
        assert_eq!(days(2024, 2, 29) + 1, days(2024, 3, 1));
        assert_eq!(days(1900, 2, 28) + 1, days(1900, 3, 1));
    }
}
