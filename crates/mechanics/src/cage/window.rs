//! Which chain counts work, what the cage truly takes up, and the largest cog for a hanger.
//!
//! Begin with [`window`]; the shop rules are placed in it by [`place_rules`].

use super::closure::Limits;
use super::geometry::Rig;
use super::{CageError, Derailleur, Drivetrain, Frame, Gear, MOST_COGS, Solution, solve, solve_pair};
use crate::chain;
use quantity::{Length, Pitches, Teeth};

/// The lengths of chain with which every gear is taut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// The shortest that reaches in every gear.
    pub shortest: Pitches,
    /// The ring and the cog that need it.
    pub shortest_gear: (Teeth, Teeth),
    /// The longest that is taut and clear of itself in every gear.
    pub longest: Pitches,
    /// The ring and the cog that hang first.
    pub longest_gear: (Teeth, Teeth),
}

/// Counts from the least to the most in steps of two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counts {
    /// The least.
    pub least: u32,
    /// The most.
    pub most: u32,
}

impl Window {
    /// The even counts inside: those that join with an outer link to an inner one. `None` if there is none.
    pub fn even(&self) -> Option<Counts> {
        self.counts(0.0)
    }

    /// The odd counts inside, which need a cranked link. `None` if there is none.
    pub fn odd(&self) -> Option<Counts> {
        self.counts(1.0)
    }

    /// Where a count stands.
    pub fn stand(&self, count: u32) -> Stand {
        let count = f64::from(count);
        if count < self.shortest.to_f64() {
            Stand::TooShort { by: Pitches::new(self.shortest.to_f64() - count) }
        } else if count > self.longest.to_f64() {
            Stand::TooLong { by: Pitches::new(count - self.longest.to_f64()) }
        } else {
            Stand::Inside
        }
    }

    /// Negative when no length works in every gear.
    pub fn width(&self) -> Pitches {
        Pitches::new(self.longest.to_f64() - self.shortest.to_f64())
    }

    fn counts(&self, parity: f64) -> Option<Counts> {
        let least = ((self.shortest.to_f64() - parity) / 2.0).ceil() * 2.0 + parity;
        let most = ((self.longest.to_f64() - parity) / 2.0).floor() * 2.0 + parity;
        // Both are whole and not negative; a chain of 4 thousand million pitches saturates.
        (0.0 <= least && least <= most).then_some(Counts { least: least as u32, most: most as u32 })
    }
}

/// Where a count stands to a [`Window`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// Below it: some gear locks.
    TooShort {
        /// How far.
        by: Pitches,
    },
    /// Every gear is taut.
    Inside,
    /// Above it: some gear hangs.
    TooLong {
        /// How far.
        by: Pitches,
    },
}

/// The window of workable counts.
///
/// From the largest, over all gears, of the length at the cage's forward limit, to the smallest of the length at
/// its back limit.
///
/// The shortest grows with rings, cogs and chainstay; the width shrinks as the spread of teeth grows, and grows
/// with the cage.
///
/// # Errors
/// [`CageError`], the first over the gears.
pub fn window(derailleur: &Derailleur, drivetrain: &Drivetrain<'_>) -> Result<Window, CageError> {
    drivetrain.counted()?;
    let nowhere = (drivetrain.rings[0], drivetrain.cogs[0]);
    let mut found = Window {
        shortest: Pitches::new(f64::NEG_INFINITY),
        shortest_gear: nowhere,
        longest: Pitches::new(f64::INFINITY),
        longest_gear: nowhere,
    };
    for ring in drivetrain.rings {
        for (cog_idx, cog) in drivetrain.cogs.iter().enumerate() {
            let inward = drivetrain.cog_pitch * cog_idx as f64;
            let gear = Gear { ring: *ring, cog: *cog, inward };
            let PairWindow { shortest: least, longest: most } =
                pair_window(derailleur, &drivetrain.frame, gear)?;
            if least > found.shortest {
                (found.shortest, found.shortest_gear) = (least, (*ring, *cog));
            }
            if most < found.longest {
                (found.longest, found.longest_gear) = (most, (*ring, *cog));
            }
        }
    }
    Ok(found)
}

/// The lengths of chain with which one gear is taut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairWindow {
    /// The shortest that reaches: at the forward limit of the cage.
    pub shortest: Pitches,
    /// The longest that is taken up: at its back limit.
    pub longest: Pitches,
}

impl PairWindow {
    /// What the cage can still give with a fitted chain; negative where the chain does not reach.
    pub fn give_left(&self, fitted: Pitches) -> Pitches {
        Pitches::new(fitted.to_f64() - self.shortest.to_f64())
    }

    /// What hangs of a fitted chain; negative where the cage could take up more.
    pub fn over(&self, fitted: Pitches) -> Pitches {
        Pitches::new(fitted.to_f64() - self.longest.to_f64())
    }
}

/// The window of one gear of [`window`].
///
/// What a fitted chain has over the shortest is what the cage can still give, what it has over the longest hangs; so
/// where no cage angle is wanted this answers at a third of the cost of [`solve_pair`], for every count at once.
///
/// # Errors
/// [`CageError`] where the circles leave no path.
pub fn pair_window(derailleur: &Derailleur, frame: &Frame, gear: Gear) -> Result<PairWindow, CageError> {
    let limits = Limits::of(&Rig::new(derailleur, frame, gear)?)?;
    let pitches = |length_mm: f64| Pitches::new(length_mm / Pitches::MM);
    Ok(PairWindow { shortest: pitches(limits.forward.length_mm), longest: pitches(limits.back.length_mm) })
}

/// The window over a chainstay that grows and shrinks with the rear suspension.
///
/// The shortest of the longer chainstay and the longest of the shorter one, if both ends of the travel are the
/// extremes of its chainstay; the ends may be given in any order. Equal ends give [`window`].
///
/// # Errors
/// As [`window`].
pub fn window_over(
    derailleur: &Derailleur,
    drivetrain: &Drivetrain<'_>,
    chainstays: (Length, Length),
) -> Result<Window, CageError> {
    let at = |chainstay| -> Result<Window, CageError> {
        let frame = Frame { chainstay, ..drivetrain.frame };
        window(derailleur, &Drivetrain { frame, ..*drivetrain })
    };
    let (one, other) = (at(chainstays.0)?, at(chainstays.1)?);
    let by_short = if one.shortest >= other.shortest { one } else { other };
    let by_long = if one.longest <= other.longest { one } else { other };
    Ok(Window { longest: by_long.longest, longest_gear: by_long.longest_gear, ..by_short })
}

/// Teeth of chain that a cage takes up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    /// What the drivetrain needs: see [`chain::capacity_needed`].
    pub needed: u32,
    /// What the cage takes up on this drivetrain, with a chain of exactly the right length.
    pub teeth: f64,
}

/// The true capacity of a cage on a drivetrain.
///
/// `T + 2 (longest − shortest)`, with T the teeth needed: a tooth is half a pitch, so each pitch of window left
/// over would carry two more teeth.
///
/// Grows with the cage and with the angle between its limits. A count must be whole and is even by custom, so up
/// to 2 pitches (4 teeth) of it cannot be used; that is why a print says less.
///
/// # Errors
/// As [`window`].
pub fn capacity(derailleur: &Derailleur, drivetrain: &Drivetrain<'_>) -> Result<Capacity, CageError> {
    let found = window(derailleur, drivetrain)?;
    let needed = chain::capacity_needed(drivetrain.rings, drivetrain.cogs);
    Ok(Capacity { needed, teeth: f64::from(needed) + 2.0 * found.width().to_f64() })
}

/// A rule of the shop for the count. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Around the largest ring and cog without the derailleur, two more, up to an even count.
    BigBigPlusTwo,
    /// The same with four more.
    BigBigPlusFour,
    /// The largest even count that is just taut on the smallest ring and cog.
    SmallSmallJustTaut,
}

/// A rule of the shop placed in the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RulePlaced {
    /// The rule.
    pub rule: Rule,
    /// The count it gives.
    pub count: u32,
    /// Where that stands.
    pub stand: Stand,
    /// What it means in every gear.
    pub gears: Solution,
}

/// The rules of the shop inside the window, each with what it means in every gear.
///
/// # Errors
/// As [`window`].
pub fn place_rules(
    derailleur: &Derailleur,
    drivetrain: &Drivetrain<'_>,
) -> Result<[RulePlaced; 3], CageError> {
    let found = window(derailleur, drivetrain)?;
    let frame = &drivetrain.frame;
    let largest = |teeth: &[Teeth]| teeth.iter().copied().max();
    let smallest = |teeth: &[Teeth]| teeth.iter().copied().min();
    let (rings, cogs) = (drivetrain.rings, drivetrain.cogs);
    // `window` has refused an empty list.
    let (big_ring, big_cog) = (largest(rings).unwrap_or(rings[0]), largest(cogs).unwrap_or(cogs[0]));
    let (small_ring, small_cog) = (smallest(rings).unwrap_or(rings[0]), smallest(cogs).unwrap_or(cogs[0]));
    let around = around_sprockets(frame, big_ring, big_cog)?;
    let small_idx = cogs.iter().position(|cog| *cog == small_cog).unwrap_or(0);
    let inward = drivetrain.cog_pitch * small_idx as f64;
    let small = Gear { ring: small_ring, cog: small_cog, inward };
    let small = Limits::of(&Rig::new(derailleur, frame, small)?)?;
    let just_taut = (small.back.length_mm / Pitches::MM / 2.0).floor() as u32;
    let place = |rule, count: u32| -> Result<RulePlaced, CageError> {
        let gears = solve(derailleur, drivetrain, Pitches::new(f64::from(count)))?;
        Ok(RulePlaced { rule, count, stand: found.stand(count), gears })
    };
    Ok([
        place(Rule::BigBigPlusTwo, chain::count(around))?,
        place(Rule::BigBigPlusFour, chain::count(around).saturating_add(2))?,
        place(Rule::SmallSmallJustTaut, just_taut.saturating_mul(2))?,
    ])
}

/// The largest cog that this derailleur clears on this hanger, in the place of the largest there is.
///
/// The most teeth with which the gap, tip to tip, is at least the one asked for on every ring, with the count of
/// [`Rule::BigBigPlusTwo`] or the shortest even one that reaches through the cage, whichever is longer. The other
/// cogs stay. Capacity is not looked at. `None` if no cog clears.
///
/// Grows with the hanger drop, the body-angle screw and the slant; falls with the gap asked for.
///
/// # Errors
/// [`CageError::Sprockets`] and [`CageError::NotFinite`]; a cog that has no geometry is too large.
pub fn largest_cog(
    derailleur: &Derailleur,
    drivetrain: &Drivetrain<'_>,
    least_gap: Length,
) -> Result<Option<Teeth>, CageError> {
    let (_, cogs) = drivetrain.counted()?;
    finite(least_gap.to_mm())?;
    let inward = drivetrain.cog_pitch * (cogs - 1) as f64;
    let big_ring = drivetrain.rings.iter().copied().max().unwrap_or(drivetrain.rings[0]);
    let clears = |cog: Teeth| -> Result<bool, CageError> {
        let big = Rig::new(derailleur, &drivetrain.frame, Gear { ring: big_ring, cog, inward })?;
        let reaching = Pitches::new(Limits::of(&big)?.forward.length_mm / Pitches::MM).next_even();
        let by_rule = chain::count(around_sprockets(&drivetrain.frame, big_ring, cog)?);
        let count = Pitches::new(f64::from(reaching.max(by_rule)));
        for ring in drivetrain.rings {
            let gear = Gear { ring: *ring, cog, inward };
            if solve_pair(derailleur, &drivetrain.frame, gear, count)?.gap < least_gap {
                return Ok(false);
            }
        }
        Ok(true)
    };
    for count in (Teeth::LEAST..=Teeth::MOST).rev() {
        let Ok(cog) = Teeth::new(count) else { continue };
        match clears(cog) {
            Ok(true) => return Ok(Some(cog)),
            Err(CageError::NotFinite { found }) => return Err(CageError::NotFinite { found }),
            Ok(false) | Err(_) => {}
        }
    }
    Ok(None)
}

/// Something that a mechanic can change about the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// A link between hanger and derailleur that moves the bolt.
    Extender {
        /// Down.
        down: Length,
        /// Back.
        back: Length,
    },
    /// Turns of the body-angle screw, inward positive.
    ScrewTurns(f64),
}

/// What a [`Change`] does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// The gap by which each cog gains, on the largest ring; `None` where either has no geometry.
    pub gap_gained: [Option<Length>; MOST_COGS],
    /// The largest cog before and after, for the gap asked for.
    pub largest_cog: (Option<Teeth>, Option<Teeth>),
    /// The window before and after: a cog that is in the way before may clear after.
    pub window: (Result<Window, CageError>, Result<Window, CageError>),
}

/// What a hanger extender or a turn of the body-angle screw does, for the chain that is fitted.
///
/// No change gives no gain. Turns beyond the ends of the screw are counted as the end.
///
/// # Errors
/// As [`largest_cog`], before or after; [`CageError::NotFinite`] for turns that are no number.
pub fn effect(
    derailleur: &Derailleur,
    drivetrain: &Drivetrain<'_>,
    count: Pitches,
    change: Change,
    least_gap: Length,
) -> Result<Effect, CageError> {
    let (mut changed, mut on) = (*derailleur, *drivetrain);
    match change {
        Change::Extender { down, back } => {
            on.frame.hanger_drop = on.frame.hanger_drop + down;
            on.frame.hanger_behind = on.frame.hanger_behind + back;
        }
        Change::ScrewTurns(turns) => {
            // Clamping would turn a number that is none into 0 turns.
            let most = finite(changed.screw_turns_most)?.max(0.0);
            finite(changed.screw_turns + turns)?;
            changed.screw_turns = (changed.screw_turns + turns).max(0.0).min(most);
        }
    }
    let (before, after) = (solve(derailleur, drivetrain, count)?, solve(&changed, &on, count)?);
    let big_idx = (0..drivetrain.rings.len()).max_by_key(|idx| drivetrain.rings[*idx]).unwrap_or(0);
    let mut gap_gained = [None; MOST_COGS];
    for (cog_idx, gained) in gap_gained.iter_mut().enumerate() {
        if let (Some(Ok(old)), Some(Ok(new))) = (before.pair(big_idx, cog_idx), after.pair(big_idx, cog_idx))
        {
            *gained = Some(new.gap - old.gap);
        }
    }
    Ok(Effect {
        gap_gained,
        largest_cog: (
            largest_cog(derailleur, drivetrain, least_gap)?,
            largest_cog(&changed, &on, least_gap)?,
        ),
        window: (window(derailleur, drivetrain), window(&changed, &on)),
    })
}

fn finite(found: f64) -> Result<f64, CageError> {
    if found.is_finite() { Ok(found) } else { Err(CageError::NotFinite { found }) }
}

/// The [`chain::need`] of a gear, in the words of this module.
fn around_sprockets(frame: &Frame, ring: Teeth, cog: Teeth) -> Result<Pitches, CageError> {
    chain::need(ring, cog, frame.chainstay).map_err(CageError::from)
}
