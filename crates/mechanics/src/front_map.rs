//! The chain in the cage of the front derailleur, in every pair of ring and cog. Begin with [`pass`].
//!
//! Seen from the drive side x runs from the crank axis toward the rear axle and z square to it, upward; y is the
//! distance from the middle plane of the bike, outward. The chain leaves its ring where it is tangent to both
//! sprockets and runs straight to the cog: sideways it moves from the ring's place to the cog's. The cage is a nose, a
//! tail and two straight plates that follow the outer ring; its position is where its middle stands at the nose.

mod error;
mod rings;
mod trim;

pub use error::FrontError;
pub use rings::{largest_inner_ring, rings_for_slot, smallest_inner_ring, tail_stand_off, tip_radius};
pub use trim::{Stops, Trim, steady_trims, stops, trims};

use crate::chain::pitch_radius;
use crate::chainline::PLATE_ABOVE_PIN;
use quantity::{Angle, Length, Teeth};

/// A cage as it is made and as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontCage {
    /// Inside width at the nose.
    pub nose_width: Length,
    /// Inside width at the tail.
    pub tail_width: Length,
    /// Nose to tail.
    pub length: Length,
    /// Tail behind the crank axis, along the line to the rear axle.
    pub tail_behind: Length,
    /// Turn about the upright; positive brings the tail outward. 0 is parallel to the rings.
    pub yaw: Angle,
    /// Lower edge of the outer plate over the tooth tips of the outer ring.
    pub height: Length,
    /// How far the inner plate reaches below the outer one.
    pub inner_depth: Length,
    /// The bridge that closes the tail below the lower edge of the outer plate there.
    pub bridge_depth: Length,
}

/// A chain on one ring and one cog.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontRun {
    /// The ring that the chain is on.
    pub ring: Teeth,
    /// The ring that the cage stands over: the largest.
    pub outer_ring: Teeth,
    /// Place of the ring, as [`crate::chainline::ring_positions`].
    pub ring_at: Length,
    /// The cog.
    pub cog: Teeth,
    /// Place of the cog, as [`crate::chainline::cog_positions`].
    pub cog_at: Length,
    /// Crank axis to rear axle.
    pub chainstay: Length,
    /// Outer width of the chain.
    pub chain_outer: Length,
}

/// The cage positions in which a chain touches neither plate, distances from the middle plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clean {
    /// The innermost: here the chain meets the outer plate.
    pub least: Length,
    /// The outermost: here it meets the inner plate.
    pub most: Length,
}

impl Clean {
    /// How far the cage may move; negative is a chain that rubs wherever the cage stands, by so much on both plates
    /// together.
    pub fn width(self) -> Length {
        self.most - self.least
    }

    /// The position with as much room on either side.
    pub fn middle(self) -> Length {
        (self.least + self.most) * 0.5
    }
}

/// Room to each plate for one position of the cage; negative is a rub by so much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rooms {
    /// To the inner plate on the ring and where it first stands beside the free run; `None` where it stands over the
    /// chain up to the tail.
    pub inner_front: Option<Length>,
    /// To the inner plate at the tail.
    pub inner_tail: Length,
    /// The same for the outer plate.
    pub outer_front: Option<Length>,
    /// To the outer plate at the tail.
    pub outer_tail: Length,
}

impl Rooms {
    /// The least room to the inner plate.
    pub fn inner(self) -> Length {
        lesser(self.inner_front, self.inner_tail)
    }

    /// The least room to the outer plate.
    pub fn outer(self) -> Length {
        lesser(self.outer_front, self.outer_tail)
    }

    /// The least room of all.
    pub fn least(self) -> Length {
        lesser(Some(self.inner()), self.outer())
    }
}

fn lesser(one: Option<Length>, other: Length) -> Length {
    match one {
        Some(one) if one < other => one,
        _ => other,
    }
}

/// One plate against the chain: room with the cage in the middle plane.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Plate {
    front_mm: Option<f64>,
    tail_mm: f64,
}

impl Plate {
    fn least_mm(self) -> f64 {
        self.front_mm.map_or(self.tail_mm, |front| front.min(self.tail_mm))
    }
}

/// A chain on its way through the cage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// Place of the chain's middle where the nose is.
    pub at_nose: Length,
    /// Place of the chain's middle where the tail is.
    pub at_tail: Length,
    /// Where the chain leaves the ring, behind the crank axis.
    pub leaves_ring: Length,
    /// Lower edge of the chain over the bridge of the tail; negative drags on it.
    pub over_bridge: Length,
    inner: Plate,
    outer: Plate,
}

impl Pass {
    /// Room to each plate with the cage in a position.
    ///
    /// To the outer plate it rises with the position, to the inner one it falls, one for one.
    pub fn rooms(&self, position: Length) -> Rooms {
        let inner = |mm: f64| Length::mm(mm) - position;
        let outer = |mm: f64| Length::mm(mm) + position;
        Rooms {
            inner_front: self.inner.front_mm.map(inner),
            inner_tail: inner(self.inner.tail_mm),
            outer_front: self.outer.front_mm.map(outer),
            outer_tail: outer(self.outer.tail_mm),
        }
    }

    /// The positions in which the chain is clear.
    ///
    /// From `−o` to `i`, with o and i the least room to the outer and inner plate of a cage in the middle plane.
    pub fn clean(&self) -> Clean {
        Clean { least: Length::mm(-self.outer.least_mm()), most: Length::mm(self.inner.least_mm()) }
    }
}

/// The straight run of the chain from ring to cog, in millimetres.
struct Run {
    sin_beta: f64,
    cos_beta: f64,
    radius: f64,
    /// x of the point where the chain leaves the ring.
    leaves: f64,
    ring_at: f64,
    /// Sideways over x behind that point.
    slope: f64,
    half_chain: f64,
}

impl Run {
    fn of(run: &FrontRun) -> Result<Self, FrontError> {
        let (ring, cog) = (pitch_radius(run.ring).to_mm(), pitch_radius(run.cog).to_mm());
        let stay = run.chainstay.to_mm();
        if (ring - cog).abs() >= stay {
            return Err(FrontError::NoRun {
                chainstay: run.chainstay,
                radii: Length::mm((ring - cog).abs()),
            });
        }
        let sin_beta = (ring - cog) / stay;
        let cos_beta = (1.0 - sin_beta * sin_beta).sqrt();
        let leaves = ring * sin_beta;
        let meets = stay + cog * sin_beta;
        let slope = (run.cog_at - run.ring_at).to_mm() / (meets - leaves);
        let half_chain = run.chain_outer.to_mm() / 2.0;
        Ok(Self { sin_beta, cos_beta, radius: ring, leaves, ring_at: run.ring_at.to_mm(), slope, half_chain })
    }

    /// Place of the chain's middle.
    fn at(&self, x: f64) -> f64 {
        self.ring_at + self.slope * (x - self.leaves).max(0.0)
    }

    /// Half of the room that the chain takes up sideways: a little more where it runs askew.
    fn half_width(&self, x: f64) -> f64 {
        if x > self.leaves { self.skew_half() } else { self.half_chain }
    }

    fn skew_half(&self) -> f64 {
        self.half_chain * (1.0 + self.slope * self.slope).sqrt()
    }

    /// Where the free run comes beside a plate whose lower edge is a circle about the crank axis.
    fn comes_beside(&self, edge: f64) -> f64 {
        let upper = self.radius + PLATE_ABOVE_PIN.to_mm();
        if edge <= upper {
            return self.leaves;
        }
        let along = (edge * edge - upper * upper).sqrt();
        (upper * self.sin_beta + along * self.cos_beta).max(self.leaves)
    }

    /// Height of the chain's lower edge.
    fn lower_edge(&self, x: f64) -> f64 {
        let lower = self.radius - PLATE_ABOVE_PIN.to_mm();
        if x >= lower * self.sin_beta {
            (lower - x * self.sin_beta) / self.cos_beta
        } else {
            (lower * lower - x * x).max(0.0).sqrt()
        }
    }
}

/// Where the chain passes the cage, and which cage positions leave it clear.
///
/// With r the pitch radius of the ring, q that of the cog and C the chainstay, `sin β = (r − q)/C`; the chain leaves
/// the ring at `x₀ = r sin β`, meets the cog at `C + q sin β` and runs at
/// `y(x) = y_ring + (y_cog − y_ring)(x − x₀)/(C + q sin β − x₀)` between. A plate stands at
/// `p + (x − x_nose) tan ψ ± w(x)/2`, p the position, ψ the yaw, w the width between nose and tail. The room is the
/// distance of the plate to the chain's middle less `w_chain/2 · √(1 + y'²)`, the least over the stretch in which the
/// plate stands beside the chain: where the chain's upper edge is above the plate's lower edge, and always at the
/// tail, which the bridge closes. All of it is straight between the ends of that stretch, so its ends decide.
///
/// Rooms and [`Clean::width`] fall with the chain's width and rise with the width of the cage. Mirrored about the
/// middle plane (places, yaw) inner and outer change places for plates of one depth. The clear width is greatest for
/// a cog that stands where the yaw points and falls on both sides of it.
///
/// Good to about half a millimetre: teeth and plates are not flat, and a cage springs.
///
/// # Errors
/// [`FrontError`]: a number that is not finite or a width that is not above 0; sprockets that reach each other; a
/// tail beyond the outer ring or behind the place where the chain meets the cog.
///
/// # Source
/// Geometry. Against points, tangents and crossings found by a general root finder: `tests/front_reference.rs`.
///
/// # Example
/// ```
/// use mechanics::front_map::{FrontCage, FrontRun, pass};
/// use quantity::{Angle, Length, Teeth};
/// let mm = Length::mm;
/// let cage = FrontCage {
///     nose_width: mm(9.5),
///     tail_width: mm(12.5),
///     length: mm(95.0),
///     tail_behind: mm(85.0),
///     yaw: Angle::deg(0.0),
///     height: mm(2.0),
///     inner_depth: mm(14.0),
///     bridge_depth: mm(28.0),
/// };
/// let (ring, cog) = (Teeth::new(50)?, Teeth::new(11)?);
/// let run = FrontRun {
///     ring,
///     outer_ring: ring,
///     ring_at: mm(47.15),
///     cog,
///     cog_at: mm(61.2),
///     chainstay: mm(410.0),
///     chain_outer: mm(5.6),
/// };
/// let passed = pass(&cage, &run)?;
/// assert_eq!(format!("{:.1} {:.1}", passed.at_tail, passed.clean().width()), "49.5 mm 3.1 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn pass(cage: &FrontCage, run: &FrontRun) -> Result<Pass, FrontError> {
    error::check(cage, run)?;
    let chain = Run::of(run)?;
    let tail = cage.tail_behind.to_mm();
    let nose = tail - cage.length.to_mm();
    let meets = run.chainstay.to_mm() + pitch_radius(run.cog).to_mm() * chain.sin_beta;
    if tail >= meets {
        return Err(FrontError::TailBehindCog { tail: cage.tail_behind, cog: Length::mm(meets) });
    }
    let edge = (tip_radius(run.outer_ring) + cage.height).to_mm();
    if tail.abs() >= edge {
        return Err(FrontError::TailBeyondRing { tail: cage.tail_behind, edge: Length::mm(edge) });
    }
    let tan_yaw = cage.yaw.to_rad().tan();
    let half_width = |x: f64| {
        let share = (x - nose) / (tail - nose);
        (cage.nose_width.to_mm() * (1.0 - share) + cage.tail_width.to_mm() * share) / 2.0
    };
    // Side +1 is the outer plate, −1 the inner one.
    let plate = |side: f64, edge: f64| {
        let room = |x: f64, half_chain: f64| {
            let middle = (x - nose) * tan_yaw;
            side * (middle - chain.at(x)) + half_width(x) - half_chain
        };
        let mut front: Option<f64> = None;
        let mut meet = |mm: f64| front = Some(front.map_or(mm, |least: f64| least.min(mm)));
        if edge <= chain.radius + PLATE_ABOVE_PIN.to_mm() && nose < chain.leaves {
            meet(room(nose, chain.half_chain));
            meet(room(chain.leaves.min(tail), chain.half_chain));
        }
        let from = chain.comes_beside(edge).max(nose);
        if from < tail {
            meet(room(from, chain.skew_half()));
        }
        Plate { front_mm: front, tail_mm: room(tail, chain.half_width(tail)) }
    };
    let bridge = (edge * edge - tail * tail).sqrt() - cage.bridge_depth.to_mm();
    Ok(Pass {
        at_nose: Length::mm(chain.at(nose)),
        at_tail: Length::mm(chain.at(tail)),
        leaves_ring: Length::mm(chain.leaves),
        over_bridge: Length::mm(chain.lower_edge(tail) - bridge),
        inner: plate(-1.0, edge - cage.inner_depth.to_mm()),
        outer: plate(1.0, edge),
    })
}
