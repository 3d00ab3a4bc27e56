//! What was seen of a rear derailleur, as the fields of the page carry it. Begin with [`Sheet`].

use crate::ask::Fields;
use crate::failure::{Failure, FieldFault};
use fit::complaint::words::{shift_word, sound_word};
use fit::complaint::{
    ADJUSTER_DETENT, Complaint, Evidence, Gap, GearRow, Grid, History, Limit, LimitSeen, Seen, Shift, Sound,
    window,
};

/// The fields of the page, read.
pub(super) struct Sheet {
    /// Grids that were taken before, as found first; with them the texts that carry them on.
    pub(super) before: Vec<(String, Grid)>,
    /// The grid that is being filled.
    pub(super) now: Grid,
    /// What checks showed.
    pub(super) seen: Vec<Seen>,
    /// Clicks from and to, on the way of which nothing was clean.
    pub(super) run: Option<(i32, i32)>,
    /// What happened before.
    pub(super) history: History,
}

/// A check with a few answers: the name of its field, what is asked, its answers with what each means.
pub(super) type Question = (&'static str, &'static str, &'static [(&'static str, &'static str, Seen)]);

/// Checks with plain answers.
pub(super) const QUESTIONS: &[Question] = &[
    (
        "anchor",
        "Cable clamped on the side that the derailleur wants",
        &[("right", "right side", Seen::Anchor(false)), ("wrong", "wrong side", Seen::Anchor(true))],
    ),
    (
        "hanger",
        "Hanger by the gauge",
        &[("straight", "straight", Seen::Hanger(false)), ("bent", "bent", Seen::Hanger(true))],
    ),
    (
        "drag",
        "Inner cable off the derailleur, pulled by hand",
        &[("free", "runs freely", Seen::Drag(false)), ("drags", "drags", Seen::Drag(true))],
    ),
    (
        "pull",
        "Cable of a click and travel, measured",
        &[("match", "make the pitch", Seen::Pull(false)), ("miss", "miss it", Seen::Pull(true))],
    ),
    (
        "gap",
        "Gap at the largest cog",
        &[
            ("right", "as wanted", Seen::Gap(Gap::Right)),
            ("small", "touches", Seen::Gap(Gap::Small)),
            ("large", "too large", Seen::Gap(Gap::Large)),
        ],
    ),
    (
        "teeth",
        "Hook gauge on the cogs",
        &[("sound", "sound", Seen::Teeth(false)), ("worn", "worn", Seen::Teeth(true))],
    ),
    (
        "play",
        "Cassette, pulleys, derailleur, wheel rocked",
        &[("none", "nothing knocks", Seen::Play(false)), ("knocks", "knocks", Seen::Play(true))],
    ),
    (
        "link",
        "Chain turned backwards past the pulleys",
        &[("free", "no link stays bent", Seen::Link(false)), ("stiff", "a link is stiff", Seen::Link(true))],
    ),
];

/// How a limit stands, by the words of the page.
pub(super) const LIMITS: [(&str, LimitSeen); 3] =
    [("right", LimitSeen::Right), ("tight", LimitSeen::Tight), ("open", LimitSeen::Open)];

/// What happened before, and when it shows: the name of the box and its words.
pub(super) const HISTORY: [(&str, &str); 9] = [
    ("new-housing", "new housing or inner"),
    ("fall", "it fell, or travelled lying"),
    ("new-wheel", "another wheel or cassette"),
    ("used-derailleur", "the derailleur was used on another bike"),
    ("new-chain", "a new chain on old cogs"),
    ("drifted", "it was right and went out over some days"),
    ("worse-on-road", "better on the stand than on the road, under load"),
    ("changes-with-bars", "it changes when the bars are turned"),
    ("since-wet", "it began after rain, washing or salt"),
];

/// Rows of the click window on the page.
pub(super) const WINDOWS: u32 = 3;
const CLICKS: std::ops::RangeInclusive<i64> = -60..=60;

impl Sheet {
    /// The fields for a cassette of so many cogs.
    pub(super) fn read(fields: &Fields, gears: u32) -> Result<Self, Failure> {
        let set = |limit: &str| fields.text(limit) == "yes";
        let rows = (1..=gears).map(|gear| GearRow {
            to_larger: shift(fields.text(&format!("l{gear}"))),
            to_smaller: shift(fields.text(&format!("s{gear}"))),
            sound: sound(fields.text(&format!("n{gear}"))),
        });
        let now = Grid {
            clicks: clicks(fields, "clicks", "Clicks since it was found")?.unwrap_or(0),
            rows: rows.collect(),
            high_set: set("high-set"),
            low_set: set("low-set"),
        };
        let before = fields.all("grid").iter().filter_map(|text| Some((text.clone(), carried(text, gears)?)));
        let from_to = (clicks(fields, "from", "Run from")?, clicks(fields, "to", "Run to")?);
        Ok(Self {
            before: before.collect(),
            now,
            seen: seen(fields, gears)?,
            run: from_to.0.zip(from_to.1),
            history: history(fields),
        })
    }

    /// Whether a shift or a sound stands in the grid that is being filled.
    pub(super) fn has_now(&self) -> bool {
        self.now.rows.iter().any(|row| *row != GearRow::default())
    }

    /// Everything together, as it is weighed.
    pub(super) fn complaint(&self, name: String, gears: u32, ratio: f64) -> Complaint {
        let mut evidence = Evidence::of(gears, ratio, ADJUSTER_DETENT);
        evidence.grids.extend(self.before.iter().map(|(_, grid)| grid.clone()));
        if self.has_now() {
            evidence.grids.push(self.now.clone());
        }
        evidence.seen.clone_from(&self.seen);
        evidence.runs.extend(self.run);
        evidence.history = self.history;
        Complaint { name, rear: Some(evidence), ..Complaint::default() }
    }

    /// The grid that is being filled, as the page carries it on.
    pub(super) fn carry(&self) -> String {
        let letter = |word: Option<&str>| word.and_then(|word| word.chars().next()).unwrap_or('-');
        let row = |row: &GearRow| -> String {
            [
                letter(row.to_larger.map(shift_word)),
                letter(row.to_smaller.map(shift_word)),
                letter(row.sound.map(sound_word)),
            ]
            .iter()
            .collect()
        };
        let rows: Vec<String> = self.now.rows.iter().map(row).collect();
        let set = |is_set: bool| if is_set { 'y' } else { 'n' };
        format!("{};{}{};{}", self.now.clicks, set(self.now.high_set), set(self.now.low_set), rows.join(","))
    }
}

/// A shift by its word or the first letter of it.
fn shift(text: &str) -> Option<Shift> {
    Shift::ALL
        .into_iter()
        .find(|shift| !text.is_empty() && (shift_word(*shift) == text || shift_word(*shift)[..1] == *text))
}

fn sound(text: &str) -> Option<Sound> {
    Sound::ALL
        .into_iter()
        .find(|sound| !text.is_empty() && (sound_word(*sound) == text || sound_word(*sound)[..1] == *text))
}

/// A grid that the page carried on; what is no grid of this cassette is none.
fn carried(text: &str, gears: u32) -> Option<Grid> {
    let mut pieces = text.split(';');
    let (clicks, set, rows) = (pieces.next()?, pieces.next()?, pieces.next()?);
    let row = |row: &str| {
        let mut letters = row.chars().map(|letter| letter.to_string());
        let (larger, smaller, heard) = (letters.next()?, letters.next()?, letters.next()?);
        Some(GearRow { to_larger: shift(&larger), to_smaller: shift(&smaller), sound: sound(&heard) })
    };
    let rows: Option<Vec<GearRow>> = rows.split(',').map(row).collect();
    let grid = Grid {
        clicks: clicks.parse().ok()?,
        rows: rows?,
        high_set: set.starts_with('y'),
        low_set: set.ends_with('y'),
    };
    (grid.rows.len() == gears as usize).then_some(grid)
}

fn clicks(fields: &Fields, name: &str, field: &str) -> Result<Option<i32>, Failure> {
    Ok(fields.whole(name, field, CLICKS)?.and_then(|clicks| i32::try_from(clicks).ok()))
}

fn seen(fields: &Fields, gears: u32) -> Result<Vec<Seen>, Failure> {
    let mut all = Vec::new();
    let limit =
        |name: &str| LIMITS.iter().find(|(word, _)| *word == fields.text(name)).map(|(_, seen)| *seen);
    match (limit("high"), limit("low")) {
        (Some(high), Some(low)) => all.push(Seen::Limits { high, low }),
        (None, None) => {}
        _ => {
            let wanted = "push the body to both ends by hand and say how each limit stands";
            return Err(FieldFault::one("Limits", "one of the two", wanted));
        }
    }
    for (name, which) in [("high-set", Limit::High), ("low-set", Limit::Low)] {
        if fields.text(name) == "yes" {
            all.push(Seen::LimitSet(which));
        }
    }
    for (name, _, answers) in QUESTIONS {
        let answer = answers.iter().find(|(word, ..)| *word == fields.text(name));
        all.extend(answer.map(|(_, _, seen)| seen.clone()));
    }
    match fields.text("stack") {
        "" => {}
        "even" => all.push(Seen::Stack(None)),
        _ => {
            let gear = fields.whole("stack", "First cog that stands wrong", 2..=i64::from(gears))?;
            all.push(Seen::Stack(gear.and_then(|gear| u32::try_from(gear).ok())));
        }
    }
    let mut windows = Vec::new();
    for row in 1..=WINDOWS {
        let gear = fields.whole(&format!("w{row}"), "Gear of the click window", 1..=i64::from(gears))?;
        let added = clicks(fields, &format!("u{row}"), "Clicks added")?;
        let taken_off = clicks(fields, &format!("v{row}"), "Clicks taken off")?;
        if let (Some(gear), Some(added), Some(taken_off)) = (gear, added, taken_off) {
            windows.push((gear as u32, window(f64::from(added), f64::from(taken_off))));
        }
    }
    if !windows.is_empty() {
        all.push(Seen::Windows(windows));
    }
    Ok(all)
}

fn history(fields: &Fields) -> History {
    let said = |name: &str| fields.all("history").iter().any(|said| said == name).then_some(true);
    History {
        new_housing: said("new-housing"),
        fall: said("fall"),
        new_wheel: said("new-wheel"),
        used_derailleur: said("used-derailleur"),
        new_chain: said("new-chain"),
        drifted: said("drifted"),
        worse_on_road: said("worse-on-road"),
        changes_with_bars: said("changes-with-bars"),
        since_wet: said("since-wet"),
        ..History::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        pairs.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    #[test]
    fn a_grid_is_carried_on_as_it_was_taken() {
        let fields = fields(&[
            ("l2", "slow"),
            ("s1", "refuses"),
            ("n3", "growl"),
            ("clicks", "-2"),
            ("low-set", "yes"),
        ]);
        let sheet = Sheet::read(&fields, 3).unwrap();
        assert_eq!(sheet.carry(), "-2;ny;-r-,s--,--g");
        assert_eq!(carried(&sheet.carry(), 3), Some(sheet.now));
        for none in ["", ";;", "0;nn;---", "x;nn;---,---,---", "0;nn;--,--,--"] {
            assert_eq!(carried(none, 3), None, "{none}");
        }
    }

    #[test]
    fn every_first_letter_means_one_word() {
        for one in Shift::ALL {
            assert_eq!(shift(&shift_word(one)[..1]), Some(one));
        }
        for one in Sound::ALL {
            assert_eq!(sound(&sound_word(one)[..1]), Some(one));
        }
    }

    #[test]
    fn one_limit_alone_and_a_gear_that_is_not_there_are_refused() {
        assert!(Sheet::read(&fields(&[("high", "right")]), 11).is_err());
        assert!(Sheet::read(&fields(&[("stack", "12")]), 11).is_err());
        assert!(Sheet::read(&fields(&[("high", "right"), ("low", "open"), ("stack", "11")]), 11).is_ok());
    }
}
