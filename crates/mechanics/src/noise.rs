//! Where a ticking comes from, by the turns of the crank between two ticks. Begin with [`rank`].
//!
//! It speaks of noises that come with pedalling. One that stays while the bike only rolls is hub, spoke or brake;
//! one that comes only out of the saddle, without pedalling, is bar, stem or headset.

use quantity::Teeth;
use std::fmt;

/// What can tick once in its own period.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// A pulley of the rear derailleur.
    Pulley,
    /// Both pedals or both arms: twice a turn.
    PedalsOrArms,
    /// A ring, one arm or pedal, or the bottom bracket: once a turn.
    RingOrCrank,
    /// The cassette, its body or the wheel.
    Wheel,
    /// One link or the joint of the chain.
    ChainLink,
}

impl Source {
    /// Every source, in the order of the enum.
    pub const ALL: [Self; 5] =
        [Self::Pulley, Self::PedalsOrArms, Self::RingOrCrank, Self::Wheel, Self::ChainLink];
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pulley => "pulley",
            Self::PedalsOrArms => "both pedals or arms",
            Self::RingOrCrank => "ring, crank, pedal or bottom bracket",
            Self::Wheel => "cassette, body or wheel",
            Self::ChainLink => "link of the chain",
        })
    }
}

/// When a noise comes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Comes {
    /// With pedalling: it has a period in turns of the crank.
    #[default]
    Pedalling,
    /// While the bike rolls and nobody pedals.
    Rolling,
    /// Out of the saddle, without pedalling.
    Standing,
}

impl Comes {
    /// Every time, in the order of the enum.
    pub const ALL: [Self; 3] = [Self::Pedalling, Self::Rolling, Self::Standing];
}

/// The gear in which the noise was counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drive {
    /// Pitches of the chain.
    pub pitches: u32,
    /// The ring the chain runs on.
    pub ring: Teeth,
    /// The cog the chain runs on.
    pub cog: Teeth,
    /// A pulley; 11 teeth is usual.
    pub pulley: Teeth,
}

/// A source that the count allows.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// What it is.
    pub source: Source,
    /// Crank turns between two of its ticks.
    pub turns: f64,
    /// By how many turns the count is longer than that; negative is shorter.
    pub difference: f64,
    /// Sources whose period lies so close in this gear that the count cannot tell them apart. Where there are some,
    /// the next step is to count again in another gear: the crank keeps its period, wheel and pulley change theirs.
    pub ties: Vec<Source>,
}

/// Turns of the crank between two ticks of a source.
///
/// `n/F` for a link of the chain, `R/F` for the wheel, `P/F` for a pulley, 1 for what turns with the crank and ½ for
/// what strikes twice a turn; F, R and P are the teeth of ring, cog and pulley.
///
/// Those of chain, wheel and pulley fall with the ring; each rises with its own teeth or pitches. Exact while the
/// freewheel drives.
///
/// # Source
/// Counting teeth: a turn of the crank moves F pitches of chain. Figures worked by hand:
/// `tests/cases.rs::ticks_of_a_chain`.
///
/// # Example
/// ```
/// use mechanics::noise::{Drive, Source, turns_between_ticks};
/// use quantity::Teeth;
/// let (ring, cog, pulley) = (Teeth::new(50)?, Teeth::new(25)?, Teeth::new(11)?);
/// let drive = Drive { pitches: 108, ring, cog, pulley };
/// assert_eq!(turns_between_ticks(Source::ChainLink, drive), 2.16);
/// assert_eq!(turns_between_ticks(Source::Wheel, drive), 0.5);
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn turns_between_ticks(source: Source, drive: Drive) -> f64 {
    match source {
        Source::Pulley => drive.pulley.to_f64() / drive.ring.to_f64(),
        Source::PedalsOrArms => 0.5,
        Source::RingOrCrank => 1.0,
        Source::Wheel => drive.cog.to_f64() / drive.ring.to_f64(),
        Source::ChainLink => f64::from(drive.pitches) / drive.ring.to_f64(),
    }
}

/// The sources that a count of crank turns between two ticks allows, the nearest first.
///
/// A source is allowed when its period is within the tolerance of the count. Two that are allowed tie when their
/// periods differ by no more than the tolerance: so cassette and crank in 34 x 34. Sources equally near stand in
/// the order of the enum.
///
/// A wider tolerance never takes a source away. A count or tolerance that is no number allows none. Several ticks
/// counted at once (turns over ticks) make the tolerance smaller by their number.
pub fn rank(turns: f64, tolerance: f64, drive: Drive) -> Vec<Suspect> {
    let tolerance = tolerance.abs();
    let allowed: Vec<(Source, f64)> = Source::ALL
        .into_iter()
        .map(|source| (source, turns_between_ticks(source, drive)))
        .filter(|(_, period)| (turns - period).abs() <= tolerance)
        .collect();
    let mut suspects: Vec<Suspect> = allowed
        .iter()
        .map(|(source, period)| Suspect {
            source: *source,
            turns: *period,
            difference: turns - period,
            ties: allowed
                .iter()
                .filter(|(other, theirs)| other != source && (theirs - period).abs() <= tolerance)
                .map(|(other, _)| *other)
                .collect(),
        })
        .collect();
    suspects.sort_by(|one, other| one.difference.abs().total_cmp(&other.difference.abs()));
    suspects
}

/// The gear in which sources that tie are furthest apart, of those that the bike has; `None` where none of them tells
/// them apart by more than the tolerance.
///
/// The distance of a gear is that between the two periods that are nearest to each other. A source alone is apart in
/// every gear, so that the first one is as good as any.
///
/// # Source
/// The periods of [`turns_between_ticks`].
///
/// # Example
/// ```
/// use mechanics::noise::{Drive, Source, gear_apart};
/// use quantity::Teeth;
/// let gear = |cog| -> Result<Drive, quantity::OutOfRange> {
///     Ok(Drive { pitches: 108, ring: Teeth::new(34)?, cog: Teeth::new(cog)?, pulley: Teeth::new(11)? })
/// };
/// // Cassette and crank tick together in 34 x 34; in 34 x 11 they do not.
/// let tied = [Source::RingOrCrank, Source::Wheel];
/// let gears = [gear(34)?, gear(28)?, gear(11)?];
/// assert_eq!(gear_apart(&tied, 0.1, &gears), Some(gears[2]));
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn gear_apart(tied: &[Source], tolerance: f64, gears: &[Drive]) -> Option<Drive> {
    let nearest = |gear: &Drive| {
        let mut periods: Vec<f64> = tied.iter().map(|source| turns_between_ticks(*source, *gear)).collect();
        periods.sort_by(f64::total_cmp);
        periods.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min)
    };
    // Of gears as good the first one: `max_by` alone would take the last.
    let best = gears.iter().rev().max_by(|one, other| nearest(one).total_cmp(&nearest(other)))?;
    (nearest(best) > tolerance.abs()).then_some(*best)
}
