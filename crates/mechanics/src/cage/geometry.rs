//! One ring, one cog and the two pulleys as circles in the plane: the path of the chain for a given cage angle.
//!
//! Begin with [`Rig::path`]. Everything here is in millimetres and radians. The axle is the origin, x points
//! forward and y down, as seen from the drive side; so angles turn the way the chain runs, and a circle that
//! turns with the cog has the sense +1.

use super::{Between, CHAIN_HEIGHT, CageError, Derailleur, Frame, Gear, Stops, tip_mm};
use quantity::{Length, Pitches};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Steps in which the two extreme cage angles settle; each shrinks the error by the offset over the length of
/// the lower run, so a dozen is plenty for any part that exists.
const SETTLING_STEPS: usize = 60;

/// Change of a cage angle, in radians, at which it counts as settled.
const SETTLED_RAD: f64 = 1e-13;

/// A vector in the plane, in millimetres or without unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Vector {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Vector {
    pub(super) fn polar(size: f64, angle_rad: f64) -> Self {
        let (sin, cos) = angle_rad.sin_cos();
        Self { x: size * cos, y: size * sin }
    }

    pub(super) fn angle_rad(self) -> f64 {
        self.y.atan2(self.x)
    }

    pub(super) fn size(self) -> f64 {
        self.x.hypot(self.y)
    }

    fn plus(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }

    fn minus(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }

    fn times(self, factor: f64) -> Self {
        Self { x: self.x * factor, y: self.y * factor }
    }

    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The same vector a quarter turn on, the way the chain runs.
    fn quarter_turn(self) -> Self {
        Self { x: -self.y, y: self.x }
    }

    /// The angle from this direction to another, −π to π.
    fn turn_to(self, other: Self) -> f64 {
        self.quarter_turn().dot(other).atan2(self.dot(other))
    }
}

/// A sprocket or pulley.
#[derive(Clone, Copy, Debug)]
struct Wheel {
    /// Radius on which the pins lie.
    radius_mm: f64,
    /// Chain laid down for a radian of wrap: teeth times pitch over a full turn. A little less than the radius.
    chain_mm_per_rad: f64,
}

impl Wheel {
    fn new(teeth: f64) -> Self {
        Self {
            radius_mm: Pitches::MM / (2.0 * (PI / teeth).sin()),
            chain_mm_per_rad: teeth * Pitches::MM / TAU,
        }
    }
}

/// A straight span between two circles.
#[derive(Clone, Copy, Debug)]
struct Tangent {
    along: Vector,
    between: Vector,
    length_mm: f64,
}

impl Tangent {
    /// How the length and the direction change when the vector between the centres changes.
    ///
    /// `Δ = L u + q u⊥` with q fixed gives `dL = Δ·dΔ / L` and `dφ = u⊥·dΔ / L`.
    fn rates(&self, change: Vector) -> (f64, f64) {
        let per_length = 1.0 / self.length_mm;
        (self.between.dot(change) * per_length, self.along.quarter_turn().dot(change) * per_length)
    }
}

/// The directed tangent from a circle to the next one in the order of travel.
///
/// `φ = θ − asin(q/D)`, `L = √(D² − q²)`, `q = s₂ r₂ − s₁ r₁`; the radii come with their sense.
fn tangent(
    between: Vector,
    from_radius_mm: f64,
    to_radius_mm: f64,
    which: Between,
) -> Result<Tangent, CageError> {
    let q = to_radius_mm - from_radius_mm;
    let apart_squared = between.dot(between);
    if !(apart_squared.is_finite() && q.is_finite()) {
        return Err(CageError::NotFinite { found: apart_squared + q });
    }
    let sum = from_radius_mm.abs() + to_radius_mm.abs();
    if apart_squared <= sum * sum {
        let apart = Length::mm(apart_squared.sqrt());
        let turn_alike = from_radius_mm * to_radius_mm > 0.0;
        return Err(if turn_alike && apart_squared <= q * q {
            CageError::NoTangent { between: which, apart }
        } else {
            CageError::CirclesOverlap { between: which, apart, least: Length::mm(sum) }
        });
    }
    let length_mm = (apart_squared - q * q).sqrt();
    // Δ turned back by asin(q/D), whose cosine is L/D and whose sine is q/D.
    let along = between.times(length_mm).minus(between.quarter_turn().times(q)).times(1.0 / apart_squared);
    Ok(Tangent { along, between, length_mm })
}

/// The chain laid through the cage at one cage angle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Path {
    /// The cage angle.
    pub(super) cage_rad: f64,
    /// All the chain.
    pub(super) length_mm: f64,
    /// How fast the length grows with the cage angle: the arm with which the chain pulls at the cage.
    pub(super) arm_mm: f64,
    /// Centre of the guide pulley.
    pub(super) guide: Vector,
    /// Centre of the tension pulley.
    pub(super) tension: Vector,
}

/// One ring and one cog with the derailleur where it stands for that cog.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rig {
    ring_centre: Vector,
    ring: Wheel,
    cog: Wheel,
    guide: Wheel,
    tension: Wheel,
    pivot: Vector,
    offset_mm: f64,
    offset_turn: Vector,
    apart_mm: f64,
    upper_run: Tangent,
    tips_mm: f64,
    pub(super) stops: Stops,
}

impl Rig {
    /// The rig for a gear.
    pub(super) fn new(derailleur: &Derailleur, frame: &Frame, gear: Gear) -> Result<Self, CageError> {
        let screw_rad = derailleur.screw_angle_rad();
        let body_rad = derailleur.body_angle.to_rad() + screw_rad;
        let path_rad = derailleur.slant_direction.to_rad() + screw_rad;
        let hanger = Vector { x: -frame.hanger_behind.to_mm(), y: frame.hanger_drop.to_mm() };
        let along_slant_mm = gear.inward.to_mm() * derailleur.slant.to_rad().tan();
        let pivot = hanger
            .plus(Vector::polar(derailleur.reach.to_mm(), body_rad))
            .plus(Vector::polar(along_slant_mm, path_rad));
        let stops = derailleur.stops();
        let (chainstay_mm, drop_mm) = (frame.chainstay.to_mm(), frame.bracket_drop.to_mm());
        let apart_mm = derailleur.pulleys_apart.to_mm();
        let offset_mm = derailleur.guide_offset.to_mm();
        let finite = [pivot.x, pivot.y, apart_mm, offset_mm, stops.forward_rad, stops.back_rad, chainstay_mm];
        for found in finite.into_iter().chain([drop_mm, derailleur.guide_offset_angle.to_rad()]) {
            if !found.is_finite() {
                return Err(CageError::NotFinite { found });
            }
        }
        let (forward, back) = (stops.forward(), stops.back());
        if stops.forward_rad < -FRAC_PI_2 || 3.0 * FRAC_PI_2 < stops.back_rad || forward >= back {
            return Err(CageError::StopsCrossed { forward, back });
        }
        let forward_squared = chainstay_mm * chainstay_mm - drop_mm * drop_mm;
        if chainstay_mm <= 0.0 || forward_squared < 0.0 {
            return Err(CageError::BracketTooLow { chainstay: frame.chainstay, drop: frame.bracket_drop });
        }
        let ring_centre = Vector { x: forward_squared.sqrt(), y: drop_mm };
        let tips_mm = tip_mm(derailleur.guide.to_f64()) + tip_mm(gear.cog.to_f64());
        let (ring, cog) = (Wheel::new(gear.ring.to_f64()), Wheel::new(gear.cog.to_f64()));
        let guide = Wheel::new(derailleur.guide.to_f64());
        let tension = Wheel::new(derailleur.tension.to_f64());
        let least_mm = guide.radius_mm + tension.radius_mm;
        if apart_mm <= least_mm {
            let (apart, least) = (derailleur.pulleys_apart, Length::mm(least_mm));
            return Err(CageError::CirclesOverlap { between: Between::TensionAndGuide, apart, least });
        }
        let upper_run = tangent(ring_centre, cog.radius_mm, ring.radius_mm, Between::CogAndRing)?;
        let offset_turn = Vector::polar(1.0, derailleur.guide_offset_angle.to_rad());
        Ok(Self {
            ring_centre,
            ring,
            cog,
            guide,
            tension,
            pivot,
            offset_mm,
            offset_turn,
            apart_mm,
            upper_run,
            tips_mm,
            stops,
        })
    }

    /// The path of the chain at a cage angle.
    ///
    /// Four straight spans, and on each wheel its teeth times the share of the turn that is wrapped. All turns
    /// together make one full turn, the guide pulley's counted backward; so the cog's is what the others leave.
    pub(super) fn path(&self, cage_rad: f64) -> Result<Path, CageError> {
        let cage = Vector::polar(1.0, cage_rad);
        let offset = self.offset_direction(cage).times(self.offset_mm);
        let guide = self.pivot.plus(offset);
        let tension = guide.plus(cage.times(self.apart_mm));
        let guide_rate = offset.quarter_turn();
        let cage_rate = cage.quarter_turn().times(self.apart_mm);
        let tension_rate = guide_rate.plus(cage_rate);

        let (ring_r, cog_r) = (self.ring.radius_mm, self.cog.radius_mm);
        let (tension_r, guide_r) = (self.tension.radius_mm, self.guide.radius_mm);
        let lower = tangent(tension.minus(self.ring_centre), ring_r, tension_r, Between::RingAndTension)?;
        let inside = tangent(guide.minus(tension), tension_r, -guide_r, Between::TensionAndGuide)?;
        let feed = tangent(guide.times(-1.0), -guide_r, cog_r, Between::GuideAndCog)?;

        let on_ring = from_zero(self.upper_run.along.turn_to(lower.along));
        let on_tension = from_quarter_back(lower.along.turn_to(inside.along));
        let on_guide = from_quarter_back(-inside.along.turn_to(feed.along));
        let on_cog = TAU - on_ring - on_tension + on_guide;
        let spans = self.upper_run.length_mm + lower.length_mm + inside.length_mm + feed.length_mm;
        let wrapped = self.ring.chain_mm_per_rad * on_ring
            + self.tension.chain_mm_per_rad * on_tension
            + self.guide.chain_mm_per_rad * on_guide
            + self.cog.chain_mm_per_rad * on_cog;

        let (lower_rate, lower_turn) = lower.rates(tension_rate);
        let (inside_rate, inside_turn) = inside.rates(cage_rate.times(-1.0));
        let (feed_rate, feed_turn) = feed.rates(guide_rate.times(-1.0));
        let arm_mm = lower_rate
            + inside_rate
            + feed_rate
            + self.ring.chain_mm_per_rad * lower_turn
            + self.tension.chain_mm_per_rad * (inside_turn - lower_turn)
            + self.guide.chain_mm_per_rad * (inside_turn - feed_turn)
            - self.cog.chain_mm_per_rad * feed_turn;
        let length_mm = spans + wrapped;
        if !(length_mm.is_finite() && arm_mm.is_finite()) {
            return Err(CageError::NotFinite { found: length_mm + arm_mm });
        }
        Ok(Path { cage_rad, length_mm, arm_mm, guide, tension })
    }

    /// The cage angle at which the chain runs straight past both pulleys and the cage has no more to give.
    ///
    /// The line touches the ring and the guide pulley; the tension pulley lies against it from the other side.
    pub(super) fn straight_rad(&self) -> Result<f64, CageError> {
        let across = self.tension.radius_mm + self.guide.radius_mm;
        let along = -(self.apart_mm * self.apart_mm - across * across).sqrt();
        let settled = self.settle(0.0, -self.guide.radius_mm, along, across)?;
        Ok(nearest_turn(settled, 0.0))
    }

    /// The cage angle at which the lower run comes to lie on the chain around the guide pulley.
    ///
    /// The line touches the ring and a circle one chain height outside the guide pulley; the tension pulley lies
    /// against it behind.
    pub(super) fn touching_rad(&self) -> Result<f64, CageError> {
        let keep_off = self.guide.radius_mm + CHAIN_HEIGHT.to_mm();
        let across = self.tension.radius_mm - keep_off;
        let along = (self.apart_mm * self.apart_mm - across * across).max(0.0).sqrt();
        let settled = self.settle(PI, keep_off, along, across)?;
        Ok(nearest_turn(settled, PI))
    }

    /// The cage angle beyond which the teeth of the guide pulley meet those of the cog; `None` where they never do,
    /// or stand that near at every angle because the pulley sits on the pivot.
    ///
    /// `|P + e|² = t²` for the offset e turned with the cage, a law of cosines.
    pub(super) fn meshing_rad(&self) -> Option<f64> {
        let (pivot, offset) = (self.pivot.size(), self.offset_mm.abs());
        let cosine = (self.tips_mm * self.tips_mm - pivot * pivot - offset * offset) / (2.0 * pivot * offset);
        // The offset turned as far from the line of the pivot as it may be, the way the spring turns it.
        let turn = self.pivot.angle_rad() - self.offset_turn.angle_rad() + cosine.acos();
        let turn = if self.offset_mm < 0.0 { turn + PI } else { turn };
        (-1.0..1.0).contains(&cosine).then(|| nearest_turn(turn, FRAC_PI_2))
    }

    /// The refusal for a guide pulley that meets the cog at this cage angle already.
    pub(super) fn meshed(&self, cage_rad: f64) -> CageError {
        let offset = self.offset_direction(Vector::polar(1.0, cage_rad)).times(self.offset_mm);
        let apart = Length::mm(self.pivot.plus(offset).size());
        CageError::CirclesOverlap { between: Between::GuideAndCog, apart, least: Length::mm(self.tips_mm) }
    }

    /// Tooth tip of the guide pulley to tooth tip of the cog.
    pub(super) fn gap_mm(&self, guide: Vector) -> f64 {
        guide.size() - self.tips_mm
    }

    /// Radius of the tension pulley, pins.
    pub(super) fn tension_radius_mm(&self) -> f64 {
        self.tension.radius_mm
    }

    fn offset_direction(&self, cage: Vector) -> Vector {
        cage.times(self.offset_turn.x).plus(cage.quarter_turn().times(self.offset_turn.y))
    }

    /// The cage angle at which the line from the ring to a circle around the guide pulley has the tension pulley
    /// at this place along and across it. The guide pulley itself moves a little with the cage, hence the steps.
    fn settle(&self, start_rad: f64, guide_mm: f64, along: f64, across: f64) -> Result<f64, CageError> {
        let mut cage_rad = start_rad;
        for _ in 0..SETTLING_STEPS {
            let offset = self.offset_direction(Vector::polar(1.0, cage_rad)).times(self.offset_mm);
            let between = self.pivot.plus(offset).minus(self.ring_centre);
            let line = tangent(between, self.ring.radius_mm, guide_mm, Between::RingAndGuide)?;
            let cage = line.along.times(along).plus(line.along.quarter_turn().times(across));
            let next = cage.angle_rad();
            let step = nearest_turn(next - cage_rad, 0.0);
            cage_rad = next;
            if step.abs() <= SETTLED_RAD || self.offset_mm == 0.0 {
                return Ok(cage_rad);
            }
        }
        Err(CageError::NotConverged { steps: SETTLING_STEPS })
    }
}

/// The same turn counted from 0 to a full turn, as on ring and cog.
fn from_zero(turn_rad: f64) -> f64 {
    if turn_rad < 0.0 { turn_rad + TAU } else { turn_rad }
}

/// The same turn counted from a quarter turn back: a pulley may be wrapped by three quarters, and a hair below
/// nothing is nothing, not a full turn.
fn from_quarter_back(turn_rad: f64) -> f64 {
    if turn_rad < -FRAC_PI_2 { turn_rad + TAU } else { turn_rad }
}

/// The same angle within half a turn of another.
fn nearest_turn(angle_rad: f64, near_rad: f64) -> f64 {
    angle_rad - TAU * ((angle_rad - near_rad) / TAU).round()
}
