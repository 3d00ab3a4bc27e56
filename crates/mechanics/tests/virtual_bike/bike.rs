//! A bike with hidden faults, in places of pulley and cogs. It knows nothing of the inference: cogs stand where their
//! spacers put them, the pulley goes where cable, hanger and limits let it.

use crate::chance::Chance;
use mechanics::diagnosis::{Cause, History, Shift, Sound};

/// One fault with its size.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fault {
    pub(crate) cause: Cause,
    pub(crate) size: f64,
    /// The cog, where there is one.
    pub(crate) at: usize,
    /// How much of the offset somebody set away since.
    pub(crate) set_away: f64,
}

/// How common each fault is in this workshop, percent.
const COMMON: [(Cause, f64); 15] = [
    (Cause::Slack, 22.0),
    (Cause::Tight, 10.0),
    (Cause::Drag, 15.0),
    (Cause::Mismatch, 5.0),
    (Cause::Hanger, 10.0),
    (Cause::Spacer, 5.0),
    (Cause::HighLimitTight, 4.0),
    (Cause::HighLimitOpen, 3.0),
    (Cause::LowLimitTight, 4.0),
    (Cause::LowLimitOpen, 3.0),
    (Cause::GapSmall, 4.0),
    (Cause::GapLarge, 4.0),
    (Cause::WornCog, 6.0),
    (Cause::Play, 4.0),
    (Cause::StiffLink, 3.0),
];

const TWO_FAULTS: f64 = 0.15;

/// A bike.
#[derive(Clone, Debug)]
pub(crate) struct Bike {
    pub(crate) cogs: usize,
    pub(crate) ratio: f64,
    pub(crate) detent_mm: f64,
    pub(crate) faults: Vec<Fault>,
    pub(crate) history: History,
    /// Clicks added since it was found.
    pub(crate) clicks: i32,
    pitch_mm: f64,
    /// Small errors of each cog.
    cog_off_mm: Vec<f64>,
    /// Small error of the setting.
    set_off_mm: f64,
    reach_mm: f64,
    base_drag_mm: f64,
    refused_mm: f64,
    over_mm: f64,
}

fn draw(chance: &mut Chance, cogs: usize) -> Fault {
    let mut left = chance.between(0.0, COMMON.iter().map(|(_, share)| share).sum());
    let cause = COMMON
        .iter()
        .find(|(_, share)| {
            left -= share;
            left < 0.0
        })
        .map_or(Cause::Slack, |(cause, _)| *cause);
    let size = match cause {
        Cause::Slack => -chance.between(0.4, 2.5),
        Cause::Tight => chance.between(0.4, 2.5),
        Cause::Drag => chance.between(0.45, 1.35),
        Cause::Mismatch => chance.sign() * chance.between(0.12, 0.7),
        Cause::Hanger => chance.sign() * chance.between(0.9, 2.7),
        Cause::Spacer => chance.sign() * chance.between(0.7, 1.8),
        Cause::HighLimitTight | Cause::LowLimitTight => chance.between(1.0, 2.3),
        Cause::HighLimitOpen | Cause::LowLimitOpen => chance.between(1.5, 2.6),
        Cause::GapLarge => chance.between(0.55, 1.1),
        Cause::Play => chance.between(0.5, 1.2),
        Cause::GapSmall | Cause::WornCog | Cause::StiffLink => 1.0,
    };
    let at = match cause {
        Cause::Spacer => 2 + chance.below(cogs - 3),
        Cause::WornCog => chance.below(cogs),
        _ => 0,
    };
    let set_away = [0.0, 0.6, 1.0][chance.below(3)];
    Fault { cause, size, at, set_away }
}

fn kind(cause: Cause) -> u8 {
    match cause {
        Cause::Slack | Cause::Tight => 0,
        Cause::HighLimitTight | Cause::HighLimitOpen => 1,
        Cause::LowLimitTight | Cause::LowLimitOpen => 2,
        Cause::GapSmall | Cause::GapLarge => 3,
        other => 10 + other as u8,
    }
}

impl Bike {
    /// A bike with one fault or two, each of which alone would be noticed.
    pub(crate) fn draw(chance: &mut Chance) -> Self {
        let cogs = 8 + chance.below(5);
        let pitch_mm = [4.8, 4.34, 3.95, 3.74, 3.6][cogs - 8];
        let mut bike = Self {
            cogs,
            ratio: [1.1, 1.4, 1.7][chance.below(3)],
            detent_mm: 0.2,
            faults: Vec::new(),
            history: History::default(),
            clicks: 0,
            pitch_mm,
            cog_off_mm: (0..cogs).map(|_| chance.normal(0.05)).collect(),
            set_off_mm: chance.normal(0.15),
            reach_mm: 0.85 + chance.normal(0.07).clamp(-0.15, 0.15),
            base_drag_mm: chance.between(0.08, 0.22),
            refused_mm: chance.between(0.55, 0.85),
            over_mm: chance.between(1.25, 1.55),
        };
        if !bike.is_sound() {
            return Self::draw(chance);
        }
        let count = if chance.is(TWO_FAULTS) { 2 } else { 1 };
        while bike.faults.len() < count {
            let fault = draw(chance, cogs);
            let alone = Self { faults: vec![fault], ..bike.clone() };
            if !alone.is_sound() && bike.faults.iter().all(|other| kind(other.cause) != kind(fault.cause)) {
                bike.faults.push(fault);
            }
        }
        bike.history = bike.past(chance);
        bike.shows(&mut chance.apart());
        bike
    }

    /// What happened before, more often so where it explains a fault.
    fn past(&self, chance: &mut Chance) -> History {
        let mut mark = |others: f64, shares: &[(Cause, f64)]| {
            let most = shares.iter().filter(|(cause, _)| self.has(*cause).is_some());
            let share = most.map(|(_, share)| *share).fold(others, f64::max);
            Some(chance.is(share))
        };
        History {
            new_housing: mark(0.14, &[(Cause::Slack, 0.42)]),
            fall: mark(0.08, &[(Cause::Hanger, 0.58)]),
            new_wheel: mark(0.10, &[(Cause::Spacer, 0.6), (Cause::Slack, 0.16), (Cause::Tight, 0.2)]),
            used_derailleur: mark(0.08, &[(Cause::Play, 0.3), (Cause::Mismatch, 0.3)]),
            new_chain: mark(0.13, &[(Cause::WornCog, 0.6)]),
            marginal_index: mark(0.06, &[(Cause::Mismatch, 0.6)]),
            dragging_run: mark(0.10, &[(Cause::Drag, 0.35)]),
            ..History::default()
        }
    }

    /// When it shows, more often so where that is how the fault behaves. From a stream of its own: the bikes stay those
    /// that they were before anybody asked for this.
    fn shows(&mut self, chance: &mut Chance) {
        let mut mark = |others: f64, shares: &[(Cause, f64)]| {
            let most = shares.iter().filter(|(cause, _)| self.has(*cause).is_some());
            let share = most.map(|(_, share)| *share).fold(others, f64::max);
            // Half of the customers were not asked, or do not know.
            let said = chance.is(share);
            chance.is(0.5).then_some(said)
        };
        let drifted = mark(0.11, &[(Cause::Slack, 0.42), (Cause::Play, 0.27)]);
        let road = [(Cause::Play, 0.42), (Cause::WornCog, 0.52), (Cause::Hanger, 0.14)];
        let worse_on_road = mark(0.07, &road);
        let changes_with_bars = mark(0.04, &[(Cause::Drag, 0.37), (Cause::Slack, 0.11)]);
        let since_wet = mark(0.09, &[(Cause::Drag, 0.32), (Cause::StiffLink, 0.37)]);
        self.history = History { drifted, worse_on_road, changes_with_bars, since_wet, ..self.history };
    }

    /// The fault of this cause.
    pub(crate) fn has(&self, cause: Cause) -> Option<Fault> {
        self.faults.iter().find(|fault| fault.cause == cause).copied()
    }

    fn size(&self, cause: Cause) -> f64 {
        self.has(cause).map_or(0.0, |fault| fault.size)
    }

    /// Where a cog stands; a wrong spacer moves it and all beyond.
    fn cog_mm(&self, cog: usize) -> f64 {
        let moved = self.has(Cause::Spacer).filter(|fault| cog >= fault.at).map_or(0.0, |fault| -fault.size);
        cog as f64 * self.pitch_mm + self.cog_off_mm[cog] + moved
    }

    /// Where the cable would bring the pulley at a click of the lever, before drag and limits.
    fn cable_mm(&self, click: usize) -> f64 {
        let middle = (self.cogs - 1) as f64 / 2.0;
        let at_click =
            middle * self.pitch_mm + (click as f64 - middle) * (self.pitch_mm + self.size(Cause::Mismatch));
        // The pulley hangs deeper on the larger cogs, so a lean brings it further in there.
        let lean = self.has(Cause::Hanger).map_or(0.0, |fault| {
            let depth = |share: f64| 60.0 + 25.0 * share;
            let turned = fault.size.to_radians().sin();
            turned * (depth(click as f64 / (self.cogs - 1) as f64) - fault.set_away * depth(0.5))
        });
        // Who built the cassette set the cable on the part with more cogs.
        let set_on =
            self.has(Cause::Spacer).filter(|fault| 2 * fault.at < self.cogs).map_or(0.0, |fault| -fault.size);
        let turned = f64::from(self.clicks) * self.detent_mm * self.ratio;
        let tension = self.size(Cause::Slack) + self.size(Cause::Tight);
        at_click + lean + set_on + tension + self.set_off_mm + turned
    }

    /// Where the limits stop the pulley.
    fn stops_mm(&self) -> (f64, f64) {
        let high = 0.3 - self.size(Cause::HighLimitTight) + self.size(Cause::HighLimitOpen);
        let low = 0.3 - self.size(Cause::LowLimitTight) + self.size(Cause::LowLimitOpen);
        (self.cog_mm(0) - high, self.cog_mm(self.cogs - 1) + low)
    }

    /// A shift into a cog from the next one, by a chain that is off by so much more.
    fn shift(&self, cog: usize, larger: bool, more_mm: f64, swing_mm: f64) -> Shift {
        let drag_mm = self.base_drag_mm + self.size(Cause::Drag);
        let way = if larger { 1.0 } else { -1.0 };
        let (least, most) = self.stops_mm();
        let wanted = self.cable_mm(cog) - way * drag_mm;
        let place = wanted.clamp(least, most) + more_mm;
        let beyond_mm = way * (place - self.cog_mm(cog));
        let share = cog as f64 / (self.cogs - 1) as f64;
        let reach_mm = self.reach_mm - self.size(Cause::GapLarge) * (1.0 - 0.5 * share);
        // With a swing the pulley goes on to the stop behind an end cog.
        let is_end = cog == if larger { self.cogs - 1 } else { 0 };
        let furthest = if larger { most } else { least };
        let swung_mm = beyond_mm.max((beyond_mm + swing_mm).min(way * (furthest - self.cog_mm(cog))));
        if beyond_mm < -reach_mm - self.refused_mm {
            Shift::Refuses
        } else if beyond_mm < -reach_mm {
            Shift::Slow
        } else if beyond_mm > self.over_mm || (is_end && swung_mm > self.over_mm) {
            Shift::Over
        } else {
            Shift::Clean
        }
    }

    /// Whether every gear is clean and quiet, as nobody but this code knows.
    pub(crate) fn is_sound(&self) -> bool {
        let noisy = [Cause::GapSmall, Cause::WornCog, Cause::StiffLink, Cause::Play];
        let is_loud = noisy.into_iter().any(|cause| self.has(cause).is_some());
        let clean = |cog: usize, larger: bool| self.shift(cog, larger, 0.0, 1.6) == Shift::Clean;
        !is_loud
            && (1..self.cogs).all(|cog| clean(cog, true))
            && (0..self.cogs - 1).all(|cog| clean(cog, false))
    }

    /// A shift as somebody at the stand sees it.
    pub(crate) fn seen(&self, cog: usize, larger: bool, chance: &mut Chance) -> Shift {
        if chance.is(0.02) {
            return Shift::ALL[chance.below(4)];
        }
        let loose = self.size(Cause::Play);
        let more = chance.normal(0.12) + chance.normal(loose);
        let swing = chance.between(0.9, 2.6);
        self.shift(cog, larger, more, swing)
    }

    /// What somebody hears in a gear.
    pub(crate) fn heard(&self, cog: usize, chance: &mut Chance) -> Sound {
        if chance.is(0.04) {
            return Sound::ALL[1 + chance.below(5)];
        }
        let from_top = self.cogs - 1 - cog;
        if self.has(Cause::GapSmall).is_some() && chance.is([0.85, 0.4, 0.05][from_top.min(2)]) {
            return Sound::Growl;
        }
        if self.has(Cause::WornCog).is_some_and(|fault| fault.at == cog) && chance.is(0.88) {
            return Sound::Jump;
        }
        if self.has(Cause::StiffLink).is_some() && chance.is(0.72) {
            return Sound::Tick;
        }
        let off_mm = (self.cable_mm(cog) - self.cog_mm(cog)).abs();
        if off_mm > chance.between(0.7, 2.0) && chance.is(0.6) {
            return Sound::Chatter;
        }
        if chance.is(0.14 * self.size(Cause::Hanger).abs()) {
            return Sound::Rub;
        }
        if self.has(Cause::Play).is_some() && chance.is(0.25) {
            return Sound::Chatter;
        }
        Sound::Quiet
    }

    /// Clicks each way until the first shift fails, as somebody counts them in one gear.
    pub(crate) fn counted(&self, cog: usize, chance: &mut Chance) -> (f64, f64) {
        let fails = |way: i32, larger: bool| {
            let gone = |clicks: i32| {
                let turned = Self { clicks: clicks * way, ..self.clone() };
                turned.shift(cog, larger, 0.0, 0.0)
            };
            let bad = |shift: Shift| matches!(shift, Shift::Slow | Shift::Refuses);
            // Counted back where it fails at once.
            let first = (-14..=14).find(|clicks| bad(gone(*clicks))).unwrap_or(14);
            f64::from(first)
        };
        let miscount = |chance: &mut Chance| chance.normal(0.5);
        (fails(1, false) - 0.5 + miscount(chance), fails(-1, true) - 0.5 + miscount(chance))
    }

    /// Mends the fault of a cause; curing what moves cable or hanger sets the tension as well. Whether it was there.
    pub(crate) fn mend(&mut self, cause: Cause) -> bool {
        let was = self.has(cause).is_some();
        self.faults.retain(|fault| fault.cause != cause);
        let sets_anew =
            [Cause::Drag, Cause::Mismatch, Cause::Hanger, Cause::Spacer, Cause::Play].contains(&cause);
        if was && (sets_anew || cause == Cause::Slack || cause == Cause::Tight) {
            self.faults.retain(|fault| kind(fault.cause) != 0);
            self.clicks = 0;
        }
        was
    }
}
