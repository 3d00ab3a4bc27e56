//! What is known of frame, sprockets and derailleur, as the model of the cage wants it, with what the tolerances of
//! all of them leave open.
//!
//! Begin with [`Cage::of`]. The size of the cage stands for a family of typical bodies; the distance of the pulleys,
//! their teeth and the largest cog of the leaflet narrow it, and three readings on the bike say what it really is.

use crate::ask::Ask;
use crate::build::{Build, When};
use crate::solved::{Numbers, Windowed};
use catalog::{CageSize, Dimension, Slot};
use mechanics::cage::{
    Calibrated, Derailleur, Drivetrain, Family, Frame, Gear, LONG, LevelReading, MEDIUM, Pulley, Readings,
    SHORT, WIDE, calibrate, pair_window,
};
use mechanics::chain;
use quantity::{Angle, Length, Pitches, SLACK, Span, Teeth};
use std::sync::Arc;

/// A long cage whose leaflet allows this cog has its guide pulley off the pivot. Common practice.
const WIDE_FROM: u32 = 46;
/// The gap on the largest cog of the leaflet, on a usual hanger: what manuals of the trade set.
const LEAFLET_GAP: Length = Length::mm(6.0);
/// The chainstay on which a leaflet is taken to be written.
const LEAFLET_STAY: Length = Length::mm(410.0);
/// Frames differ by so much from the usual one where nobody has measured: common practice.
const BRACKET_DROP_MM: (f64, f64) = (70.0, 20.0);
const HANGER_BEHIND_MM: (f64, f64) = (9.0, 6.0);

/// Readings of the cage are used if they are as good as this, and count as just as good: a level and a feeler. So a
/// coarser reading is not used at all, and none moves what the finer ones say.
pub const LEVEL_MOST: Angle = Angle::deg(1.0);
/// The gap likewise.
pub const GAP_MOST: Length = Length::mm(0.5);

/// Where the dimensions of the body come from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Body {
    /// A typical body of this size.
    Typical,
    /// The bike's own, from three readings.
    Read,
    /// A typical one: the three readings contradict each other, the chain count or the size.
    Contradicted,
    /// A typical one: the three readings are coarser than [`LEVEL_MOST`] and [`GAP_MOST`].
    Coarse,
}

/// Frame, sprockets and derailleur of one of the two bikes.
#[derive(Clone, Debug, PartialEq)]
pub struct Cage {
    /// The rings.
    pub rings: Vec<Teeth>,
    /// The cogs, smallest first.
    pub cogs: Vec<Teeth>,
    /// Middle of a cog to the middle of the next, the mean.
    pub cog_pitch: Length,
    /// The frame, as read.
    pub frame: Frame,
    /// The derailleur, as read or typical.
    pub derailleur: Derailleur,
    /// Where its dimensions come from.
    pub body: Body,
    /// The typical body.
    family: Family,
    /// Derailleurs to either side of what is left open.
    bodies: Vec<(Derailleur, Derailleur)>,
    /// Frames at either end of each tolerance.
    frames: Vec<(Frame, Frame)>,
}

impl Cage {
    /// Asks for what the model needs; `None` if something is missing, and the ask has noted what.
    pub fn of(ask: &mut Ask<'_>, when: When) -> Option<Self> {
        let rings = ask.teeth(when, Dimension::Rings);
        let cogs = ask.teeth(when, Dimension::Cogs);
        let pitches = ask.cog_pitches(when, cogs.as_ref().map_or(2, Vec::len));
        let chainstay = ask.number(when, Dimension::Chainstay);
        let hanger = ask.number(when, Dimension::HangerDrop);
        let size = ask.word::<CageSize>(when, Dimension::CageSize);
        let rated = ask.count(when, Dimension::RatedCog);
        let (rings, cogs, pitches) = (rings?, cogs?, pitches?);
        let (chainstay, hanger, size, rated) = (chainstay?, hanger?, size?, rated?);
        let behind = usually(ask.known_number(when, Dimension::HangerBehind), HANGER_BEHIND_MM);
        let bracket = usually(ask.known_number(when, Dimension::BracketDrop), BRACKET_DROP_MM);
        let gaps = pitches.len().max(1) as f64;
        let cog_pitch = Length::mm(pitches.iter().map(|pitch| pitch.middle()).sum::<f64>() / gaps);
        let read = [chainstay, bracket, hanger, behind];
        let frame = frame_of(read.map(Span::middle));
        let mut family = family_of(ask, when, size, rated);
        if let Some(leaflet) = leaflet_gear(&rings, rated, cog_pitch * pitches.len() as f64) {
            let count = chain::need(leaflet.ring, leaflet.cog, LEAFLET_STAY).map_or(0, chain::count);
            let count = Pitches::new(f64::from(count));
            let frame = Frame::usual(LEAFLET_STAY);
            let asked = Numbers::new(of_gear(leaflet).chain(of_family(&family)));
            family = ask.build.solved.family(asked, || family.clearing(&frame, leaflet, count, LEAFLET_GAP));
        }
        let bodies = family_ends(&family);
        Some(Self {
            rings,
            cogs,
            cog_pitch,
            frame,
            derailleur: family.derailleur,
            body: Body::Typical,
            family,
            bodies,
            frames: frames(read),
        })
    }

    /// The same with the bike's own body, if its derailleur is the one on the bike and three readings of it are there;
    /// else [`Cage::body`] says why not.
    #[must_use]
    pub fn read(&self, ask: &mut Ask<'_>, when: When) -> Self {
        let kept = when == When::Before || !ask.build.changes(Slot::RearDerailleur);
        let calibrated = if kept { self.calibrated(ask, when) } else { None };
        let typical = |body| Self { body, ..self.clone() };
        match calibrated {
            None => typical(Body::Typical),
            Some(Err(body)) => typical(body),
            Some(Ok(found)) => {
                Self { derailleur: found.derailleur, bodies: found.ends().to_vec(), ..typical(Body::Read) }
            }
        }
    }

    /// The drivetrain on a frame.
    pub fn on(&self, frame: Frame) -> Drivetrain<'_> {
        Drivetrain { frame, rings: &self.rings, cogs: &self.cogs, cog_pitch: self.cog_pitch }
    }

    /// The drivetrain on the frame as read.
    pub fn drivetrain(&self) -> Drivetrain<'_> {
        self.on(self.frame)
    }

    /// Where the largest ring stands in the list, and the smallest.
    pub fn ring_ends(&self) -> (usize, usize) {
        ends(&self.rings)
    }

    /// Where the largest cog stands in the list, and the smallest.
    pub fn cog_ends(&self) -> (usize, usize) {
        ends(&self.cogs)
    }

    /// The largest ring with the largest cog: the pair that needs the longest chain.
    pub fn largest_pair(&self) -> Option<Gear> {
        self.drivetrain().gear(self.ring_ends().0, self.cog_ends().0)
    }

    /// The chain that one gear takes, for the values as read and for every end of what is left open.
    pub(crate) fn window(&self, build: &Build, gear: Gear) -> Arc<Each<Windowed>> {
        let work = || self.each(|derailleur, frame| pair_window(derailleur, &frame, gear));
        if self.body == Body::Read {
            // A body that was read is the one on this bike: nothing else asks for it.
            return Arc::new(work());
        }
        let ends = self.frames.iter().flat_map(|(a, b)| of_frame(a).chain(of_frame(b)));
        let numbers = of_gear(gear).chain(of_family(&self.family)).chain(of_frame(&self.frame)).chain(ends);
        build.solved.window(Numbers::new(numbers), work)
    }

    /// Something worked out for the values as read and for every end of what is left open.
    pub fn each<T>(&self, work: impl Fn(&Derailleur, Frame) -> T) -> Each<T> {
        let bodies = self.bodies.iter().map(|(a, b)| (work(a, self.frame), work(b, self.frame)));
        let frames =
            self.frames.iter().map(|(a, b)| (work(&self.derailleur, *a), work(&self.derailleur, *b)));
        Each {
            squared: if self.body == Body::Read { self.bodies.len() } else { 0 },
            middle: work(&self.derailleur, self.frame),
            sides: bodies.chain(frames).collect(),
        }
    }

    /// The body by three readings on the bike as found, if all of them are there.
    fn calibrated(&self, ask: &mut Ask<'_>, when: When) -> Option<Result<Calibrated, Body>> {
        let before = When::Before;
        let low = ask.known_number(before, Dimension::CageAngleLow)?;
        let high = ask.known_number(before, Dimension::CageAngleHigh)?;
        let gap = ask.known_number(before, Dimension::GuideGap)?;
        // The readings were taken on the rings and cogs that were on the bike.
        let found = if when == before { self.clone() } else { self.as_found(ask)? };
        let count = ask.known_number(before, Dimension::ChainCount)?.middle();
        let level_deg = low.half_width().max(high.half_width());
        if level_deg > LEVEL_MOST.to_deg() + SLACK || gap.half_width() > GAP_MOST.to_mm() + SLACK {
            return Some(Err(Body::Coarse));
        }
        let ((ring_idx, _), (largest, smallest)) = (found.ring_ends(), found.cog_ends());
        let level =
            |cog_idx, span: Span| LevelReading { ring_idx, cog_idx, angle: Angle::deg(span.middle()) };
        let readings = Readings {
            count: Pitches::new(count),
            levels: [level(largest, low), level(smallest, high)],
            level_tolerance: LEVEL_MOST,
            gap_ring_idx: ring_idx,
            gap_cog_idx: largest,
            gap: Length::mm(gap.middle()),
            gap_tolerance: GAP_MOST,
        };
        let agrees = |found: &Calibrated| found.misfit <= 1.0;
        let calibrated = calibrate(&self.family, &found.drivetrain(), &readings).ok();
        Some(calibrated.filter(agrees).ok_or(Body::Contradicted))
    }

    /// The same frame and body with the rings and cogs that were on the bike.
    fn as_found(&self, ask: &mut Ask<'_>) -> Option<Self> {
        let before = When::Before;
        let known_teeth = |ask: &mut Ask<'_>, dimension| match ask.known(before, dimension) {
            Some(catalog::Value::Teeth(noted)) if !noted.value.is_empty() => Some(noted.value),
            _ => None,
        };
        let rings = known_teeth(ask, Dimension::Rings)?;
        let cogs = known_teeth(ask, Dimension::Cogs)?;
        let pitch = ask.known_number(before, Dimension::CogPitch)?;
        Some(Self { rings, cogs, cog_pitch: Length::mm(pitch.middle()), ..self.clone() })
    }
}

/// What was worked out for the values as read, and for both ends of each thing that is left open.
#[derive(Clone, Debug)]
pub struct Each<T> {
    /// For the values as read.
    pub middle: T,
    sides: Vec<(T, T)>,
    /// So many of the sides are added as squares: independent directions of a body that was read.
    squared: usize,
}

/// A figure with what is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// For the values as read.
    pub value: f64,
    /// What the tolerances leave open.
    pub span: Span,
    /// Whether there is no such figure at some end.
    pub open: bool,
}

impl<T> Each<T> {
    /// The interval of a figure; `None` if there is none for the values as read.
    ///
    /// Each tolerance alone is taken to both ends; what it adds on either side is summed.
    pub fn spread(&self, figure: impl Fn(&T) -> Option<f64>) -> Option<Spread> {
        let value = figure(&self.middle)?;
        let (mut below, mut above, mut squares, mut open) = (0.0_f64, 0.0_f64, 0.0_f64, false);
        for (idx, (one, other)) in self.sides.iter().enumerate() {
            let (a, b) = match (figure(one), figure(other)) {
                (Some(a), Some(b)) => (a - value, b - value),
                // The figure ends somewhere on this side: what is seen on the other is taken for both.
                (Some(a), None) | (None, Some(a)) => {
                    open = true;
                    (a - value, value - a)
                }
                (None, None) => {
                    open = true;
                    continue;
                }
            };
            if idx < self.squared {
                squares += ((b - a) / 2.0).powi(2);
            } else {
                below += a.min(b).min(0.0);
                above += a.max(b).max(0.0);
            }
        }
        let half = squares.sqrt();
        Some(Spread { value, span: Span::new(value + below - half, value + above + half), open })
    }

    /// What follows from it at every end.
    pub fn map<U>(&self, follow: impl Fn(&T) -> U) -> Each<U> {
        Each {
            middle: follow(&self.middle),
            sides: self.sides.iter().map(|(a, b)| (follow(a), follow(b))).collect(),
            squared: self.squared,
        }
    }

    /// Whether something holds at every end.
    pub fn every(&self, holds: impl Fn(&T) -> bool) -> bool {
        holds(&self.middle) && self.sides.iter().all(|(a, b)| holds(a) && holds(b))
    }
}

/// The numbers of a gear, those that differ most among catalogues first.
fn of_gear(gear: Gear) -> impl Iterator<Item = f64> {
    [gear.cog.to_f64(), gear.ring.to_f64(), gear.inward.to_mm()].into_iter()
}

fn of_frame(frame: &Frame) -> impl Iterator<Item = f64> {
    [frame.chainstay, frame.hanger_drop, frame.hanger_behind, frame.bracket_drop]
        .map(Length::to_mm)
        .into_iter()
}

fn of_family(family: &Family) -> impl Iterator<Item = f64> {
    let Derailleur {
        guide,
        tension,
        pulleys_apart,
        guide_offset,
        guide_offset_angle,
        reach,
        body_angle,
        slant,
        slant_direction,
        screw_per_turn,
        screw_turns,
        screw_turns_most,
        stop_forward,
        stop_back,
    } = family.derailleur;
    let lengths = [pulleys_apart, reach, guide_offset].map(Length::to_mm);
    let angles =
        [slant, guide_offset_angle, body_angle, slant_direction, screw_per_turn, stop_forward, stop_back];
    let rest = [guide.to_f64(), tension.to_f64(), screw_turns, screw_turns_most];
    lengths.into_iter().chain(angles.map(Angle::to_rad)).chain(rest).chain(family.tolerances)
}

fn usually(known: Option<Span>, (middle_mm, tolerance_mm): (f64, f64)) -> Span {
    known.unwrap_or(Span::around(middle_mm, tolerance_mm))
}

fn frame_of([chainstay, bracket, hanger, behind]: [f64; 4]) -> Frame {
    Frame {
        chainstay: Length::mm(chainstay),
        bracket_drop: Length::mm(bracket),
        hanger_drop: Length::mm(hanger),
        hanger_behind: Length::mm(behind),
    }
}

fn frames(read: [Span; 4]) -> Vec<(Frame, Frame)> {
    let middle = read.map(Span::middle);
    let with = |idx: usize, value: f64| {
        let mut all = middle;
        all[idx] = value;
        frame_of(all)
    };
    (0..read.len())
        .filter(|idx| !read[*idx].is_exact())
        .map(|idx| (with(idx, read[idx].least()), with(idx, read[idx].most())))
        .collect()
}

fn family_ends(family: &Family) -> Vec<(Derailleur, Derailleur)> {
    (0..family.tolerances.len())
        .filter(|idx| family.tolerances[*idx] > 0.0)
        .map(|idx| {
            let at = |share: f64| {
                let mut shares = [0.0; mechanics::cage::Dimension::COUNT];
                shares[idx] = share;
                family.moved(&shares)
            };
            (at(-1.0), at(1.0))
        })
        .collect()
}

/// The family of a size, with what is known of its cage put in.
fn family_of(ask: &mut Ask<'_>, when: When, size: CageSize, rated: u32) -> Family {
    let mut family = match size {
        CageSize::Short => SHORT,
        CageSize::Medium => MEDIUM,
        CageSize::Long if rated >= WIDE_FROM => WIDE,
        CageSize::Long => LONG,
    };
    if let Some(apart) = ask.known_number(when, Dimension::PulleysApart) {
        family.derailleur.pulleys_apart = Length::mm(apart.middle());
        // The distance of the pulleys is the first of the tolerances.
        family.tolerances[mechanics::cage::Dimension::PulleysApart as usize] = apart.half_width();
    }
    let pulley = |ask: &mut Ask<'_>, dimension| {
        let teeth = ask.known_number(when, dimension)?.middle();
        (0.0..=255.0).contains(&teeth).then_some(teeth as u8).and_then(Pulley::new)
    };
    if let Some(guide) = pulley(ask, Dimension::GuideTeeth) {
        family.derailleur.guide = guide;
    }
    if let Some(tension) = pulley(ask, Dimension::TensionTeeth) {
        family.derailleur.tension = tension;
    }
    family
}

fn leaflet_gear(rings: &[Teeth], rated: u32, inward: Length) -> Option<Gear> {
    let ring = *rings.iter().max()?;
    let cog = Teeth::new(i64::from(rated)).ok()?;
    chain::need(ring, cog, LEAFLET_STAY).ok()?;
    Some(Gear { ring, cog, inward })
}

fn ends(teeth: &[Teeth]) -> (usize, usize) {
    let largest = (0..teeth.len()).max_by_key(|idx| teeth[*idx]).unwrap_or(0);
    let smallest = (0..teeth.len()).min_by_key(|idx| teeth[*idx]).unwrap_or(0);
    (largest, smallest)
}

/// The count of the chain after the refit: a new chain is cut by the rule of the shop, the old one stays as it is.
pub fn count_after(ask: &mut Ask<'_>, cage: &Cage) -> Option<u32> {
    if !ask.build.changes(Slot::Chain) {
        return ask.count(When::After, Dimension::ChainCount);
    }
    crate::pairs::needed_count(&cage.rings, &cage.cogs, cage.frame.chainstay)
}
