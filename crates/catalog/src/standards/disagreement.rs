//! Where the sources of the tables disagree: found by laying the rows of one thing side by side, never averaged.

use super::{Source, body, chain_width, cog_spacing, shell_thread, wheel_size};
use crate::word::CupHand;
use quantity::Length;

/// One thing of which two sources say two things.
#[derive(Clone, Debug, PartialEq)]
pub struct Disagreement {
    /// What it is.
    pub what: String,
    /// Every reading, as it is shown, with its source where the rows have one each.
    pub readings: Vec<(String, Option<Source>)>,
}

/// Every disagreement of the tables, in their order.
///
/// ```
/// let all = catalog::standards::disagreement::disagreements();
/// assert!(all.iter().any(|one| one.what == "pitch of 11 cogs, road" && one.readings.len() == 3));
/// ```
pub fn disagreements() -> Vec<Disagreement> {
    let mut all = grouped(cog_spacing::TABLE.iter().map(|row| {
        let family = if row.family.is_empty() { String::new() } else { format!(", {}", row.family) };
        (format!("pitch of {} cogs{family}", row.speeds), mm(row.pitch), row.source)
    }));
    all.extend(grouped(chain_width::TABLE.iter().map(|row| {
        let width = if row.least == row.most {
            mm(row.least)
        } else {
            format!("{} to {}", mm(row.least), mm(row.most))
        };
        (format!("width over the pins of chains for {} cogs", row.speeds), width, row.source)
    })));
    all.extend(body::TABLE.iter().filter(|row| row.lengths.len() > 1).map(|row| Disagreement {
        what: format!(
            "length of a body that is called {}",
            row.lengths.first().copied().map(mm).unwrap_or_default()
        ),
        readings: row.lengths.iter().map(|length| (mm(*length), Some(row.source))).collect(),
    }));
    all.extend(body::SPACERS.iter().filter_map(|(stack, on, behind, _)| match behind {
        body::Behind::Spacer(least, most) if least != most => Some(Disagreement {
            what: format!("spacer behind {} on a body of {}", stack.words(), on.words()),
            readings: vec![(mm(*least), None), (mm(*most), None)],
        }),
        _ => None,
    }));
    let threads = shell_thread::TABLE.iter().filter_map(|row| {
        let what = format!("hand of the drive cup of a {} x {} shell", mm(row.diameter), mm(row.pitch));
        row.thread.map(|_| (what, hand(row.drive_cup).to_owned(), row.source))
    });
    all.extend(grouped(threads));
    all.extend(grouped(wheel_size::CHART.iter().map(|row| {
        let what = format!("circumference of a {} tyre on {}", mm(row.width), mm(row.bead_seat));
        (what, mm(row.circumference), row.source)
    })));
    all
}

/// Rows of one thing together, in the order of the table; things with one reading are left out.
fn grouped(rows: impl Iterator<Item = (String, String, Source)>) -> Vec<Disagreement> {
    let mut all: Vec<Disagreement> = Vec::new();
    for (what, reading, source) in rows {
        let found = all.iter().position(|one| one.what == what);
        match found.and_then(|at| all.get_mut(at)) {
            Some(one) if one.readings.iter().all(|(known, _)| *known != reading) => {
                one.readings.push((reading, Some(source)));
            }
            Some(_) => {}
            None => all.push(Disagreement { what, readings: vec![(reading, Some(source))] }),
        }
    }
    all.retain(|one| one.readings.len() > 1);
    all
}

fn hand(cup: CupHand) -> &'static str {
    match cup {
        CupHand::Left => "left-hand",
        CupHand::Right => "right-hand",
    }
}

/// A length with as many decimals as the tables print.
fn mm(length: Length) -> String {
    let text = quantity::digits::fixed(length.to_mm(), 3);
    format!("{} mm", text.trim_end_matches('0').trim_end_matches('.'))
}

impl body::Stack {
    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::Seven => "7 cogs",
            Self::EightNine => "8 or 9 cogs",
            Self::TenThin => "10 road cogs of the older sort",
            Self::Ten => "10 cogs",
            Self::ElevenRoad => "11 road cogs",
            Self::ElevenRoadOverhung => "11 road cogs, the largest overhanging",
            Self::ElevenWide => "11 wide cogs, the largest overhanging",
            Self::TwelveFromEleven => "12 cogs from 11 teeth",
        }
    }
}

impl body::Body {
    /// What it is called: its length.
    pub fn words(self) -> &'static str {
        match self {
            Self::Shallow35 | Self::Deep35 => "35 mm",
            Self::Shallow37 => "36.75 mm",
            Self::Shallow31 => "30.5 mm",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_disagreement_has_two_readings_that_differ() {
        for one in disagreements() {
            assert!(one.readings.len() >= 2, "{one:?}");
            for (at, (reading, _)) in one.readings.iter().enumerate() {
                assert!(one.readings[..at].iter().all(|(other, _)| other != reading), "{one:?}");
            }
        }
    }

    /// Laid side by side by hand: three pitches of 11 road cogs, two hands of the 47 mm shell, two tyres of 25 mm.
    #[test]
    fn the_known_disagreements_are_found() {
        let all = disagreements();
        let readings = |what: &str| -> Vec<String> {
            let one = all.iter().find(|one| one.what == what).unwrap();
            one.readings.iter().map(|(reading, _)| reading.clone()).collect()
        };
        assert_eq!(readings("pitch of 11 cogs, road"), ["3.78 mm", "3.74 mm", "3.69 mm"]);
        assert_eq!(readings("circumference of a 25 mm tyre on 622 mm"), ["2105 mm", "2124 mm"]);
        assert_eq!(readings("hand of the drive cup of a 47 mm x 1 mm shell"), ["right-hand", "left-hand"]);
        assert_eq!(readings("spacer behind 7 cogs on a body of 35 mm"), ["4 mm", "4.5 mm"]);
        assert!(!all.iter().any(|one| one.what == "pitch of 13 cogs"));
    }
}
