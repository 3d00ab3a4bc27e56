//! The gears a rider uses on a road, with the habit of somebody who shifts when the legs ask for it. Begin with
//! [`ridden`]; [`gears_along`] gives the gear of every stretch.

use super::speed_skips::SpeedSkips;
use super::travel::Journey;

/// What a rider likes, and when they shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habit {
    /// Lowest cadence accepted; below it the rider grinds. Turns a minute, like all here.
    pub grinding_rpm: f64,
    /// Lower end of the cadence they like.
    pub low_rpm: f64,
    /// Upper end of the cadence they like.
    pub high_rpm: f64,
    /// Beyond it the legs give no power: spun out.
    pub spun_out_rpm: f64,
    /// A gear on another ring has to be nearer the liked middle by so much before the front is shifted.
    pub front_gain_rpm: f64,
    /// Seconds between two shifts at least.
    pub rest_s: f64,
}

/// Common practice: riders like 80 to 95 turns a minute on the flat, accept 60, and bounce above 115.
pub const USUAL_HABIT: Habit = Habit {
    grinding_rpm: 60.0,
    low_rpm: 75.0,
    high_rpm: 95.0,
    spun_out_rpm: 115.0,
    front_gain_rpm: 6.0,
    rest_s: 3.0,
};

impl Habit {
    /// Whether the cadences stand in order: above 0, grinding up to low, low below high, high up to spun out.
    pub fn is_in_order(&self) -> bool {
        0.0 < self.grinding_rpm
            && self.grinding_rpm <= self.low_rpm
            && self.low_rpm < self.high_rpm
            && self.high_rpm <= self.spun_out_rpm
            && self.spun_out_rpm.is_finite()
            && self.front_gain_rpm >= 0.0
            && self.rest_s >= 0.0
    }

    fn middle_rpm(&self) -> f64 {
        (self.low_rpm + self.high_rpm) / 2.0
    }
}

/// A gear that is used. Avoided pairs are left out by whoever makes the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gear {
    /// Place of the ring, from 0.
    pub ring: usize,
    /// Place of the cog, from 0 for the smallest.
    pub cog: usize,
    /// Metres for a turn of the crank.
    pub development_m: f64,
}

/// What the gears made of a ride.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ridden {
    /// Seconds pedalled in all.
    pub pedalled_s: f64,
    /// Of these, below the liked cadence.
    pub below_s: f64,
    /// Above the liked cadence.
    pub above_s: f64,
    /// Below the lowest accepted one; part of `below_s`.
    pub grinding_s: f64,
    /// Metres pedalled beyond the highest cadence.
    pub spun_out_m: f64,
    /// How far outside the liked cadence, summed over time: turns a minute times seconds.
    pub strain_rpm_s: f64,
    /// Shifts of the rear derailleur alone.
    pub rear_shifts: u32,
    /// Shifts of the front derailleur.
    pub front_shifts: u32,
    /// Of these, those with which the rear one shifts too.
    pub double_shifts: u32,
    /// The largest change of cadence in one shift, as a share of the smaller cadence.
    pub largest_step: f64,
}

impl Ridden {
    /// Seconds inside the liked cadence.
    pub fn inside_s(&self) -> f64 {
        (self.pedalled_s - self.below_s - self.above_s).max(0.0)
    }
}

/// A ridden road, ready for any drivetrain.
#[derive(Clone, Debug)]
pub struct Course {
    skips: SpeedSkips,
    /// Sums before each stretch: time pedalled, way pedalled, time in all.
    sums: Vec<[f64; 3]>,
}

impl Course {
    /// The road as it was ridden.
    pub fn new(journey: &Journey) -> Self {
        Self::of(&journey.speeds_m_s, &journey.times_s, &journey.pedalled_s)
    }

    /// From speeds, times and pedalled times of the stretches; the shortest of the three decides how many there are.
    pub fn of(speeds_m_s: &[f64], times_s: &[f64], pedalled_s: &[f64]) -> Self {
        let mut sum = [0.0; 3];
        let mut sums = vec![sum];
        let mut speeds = Vec::with_capacity(speeds_m_s.len());
        for ((speed, time), pedalled) in speeds_m_s.iter().zip(times_s).zip(pedalled_s) {
            sum = [sum[0] + pedalled, sum[1] + pedalled * speed, sum[2] + time];
            sums.push(sum);
            speeds.push(*speed);
        }
        Self { skips: SpeedSkips::new(speeds), sums }
    }

    /// Stretches.
    pub fn len(&self) -> usize {
        self.skips.speeds().len()
    }

    /// Whether there is no stretch.
    pub fn is_empty(&self) -> bool {
        self.skips.speeds().is_empty()
    }

    /// Time of the ride, seconds.
    pub fn time_s(&self) -> f64 {
        self.sums[self.len()][2]
    }

    /// The first stretch that begins at this time or later.
    fn at_time(&self, from: usize, time_s: f64) -> usize {
        // Rests are seconds long, so it is near: doubling steps, then halving.
        let n = self.len();
        let (mut low, mut step) = (from, 1);
        while low + step < n && self.sums[low + step][2] < time_s {
            low += step;
            step *= 2;
        }
        let high = (low + step).min(n);
        low + self.sums[low..high].partition_point(|sum| sum[2] < time_s)
    }
}

/// The gears by rings, with the limits of each as speeds.
struct GearSet<'a> {
    gears: &'a [Gear],
    habit: Habit,
    /// For each gear: is there any with less, any with more development.
    ends: Vec<(bool, bool)>,
    /// For each gear: speeds at the grinding, the low, the high and the spun-out cadence, m/s.
    limits: Vec<[f64; 4]>,
    rings: Vec<RingGears>,
}

/// The gears of a ring, hardest first, and the speeds between them: above a bound the harder one is nearer the middle.
struct RingGears {
    ring: usize,
    gears: Vec<usize>,
    bounds_m_s: Vec<f64>,
}

impl RingGears {
    fn of(ring: usize, gears: &[Gear], middle_rpm: f64) -> Self {
        let mut places: Vec<usize> = (0..gears.len()).filter(|k| gears[*k].ring == ring).collect();
        places.sort_by(|a, b| gears[*b].development_m.total_cmp(&gears[*a].development_m));
        let between = |pair: &[usize]| {
            // Both cadences are equally far from the middle.
            let turns = 1.0 / gears[pair[0]].development_m + 1.0 / gears[pair[1]].development_m;
            2.0 * middle_rpm / (60.0 * turns)
        };
        let bounds_m_s = places.windows(2).map(between).collect();
        Self { ring, gears: places, bounds_m_s }
    }

    fn nearest(&self, speed: f64) -> Option<usize> {
        let easier = self.bounds_m_s.iter().take_while(|bound| speed < **bound).count();
        self.gears.get(easier).copied()
    }
}

impl<'a> GearSet<'a> {
    fn new(gears: &'a [Gear], habit: Habit) -> Self {
        let least = gears.iter().map(|gear| gear.development_m).fold(f64::INFINITY, f64::min);
        let most = gears.iter().map(|gear| gear.development_m).fold(0.0, f64::max);
        let ends = gears.iter().map(|gear| (gear.development_m > least, gear.development_m < most)).collect();
        let rpm = [habit.grinding_rpm, habit.low_rpm, habit.high_rpm, habit.spun_out_rpm];
        let limits = gears.iter().map(|gear| rpm.map(|rpm| rpm * gear.development_m / 60.0)).collect();
        let mut rings: Vec<RingGears> = Vec::new();
        for gear in gears {
            if !rings.iter().any(|ring| ring.ring == gear.ring) {
                rings.push(RingGears::of(gear.ring, gears, habit.middle_rpm()));
            }
        }
        Self { gears, habit, ends, limits, rings }
    }

    /// How far the cadence in a gear is from the liked middle.
    fn off(&self, gear: usize, speed: f64) -> f64 {
        (60.0 * speed / self.gears[gear].development_m - self.habit.middle_rpm()).abs()
    }

    /// The gear nearest the liked middle on the rings that are asked for.
    fn nearest(&self, speed: f64, among: impl Fn(usize) -> bool) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        for ring in self.rings.iter().filter(|ring| among(ring.ring)) {
            let Some(gear) = ring.nearest(speed) else { continue };
            let off = self.off(gear, speed);
            if best.is_none_or(|(kept, _)| off < kept) {
                best = Some((off, gear));
            }
        }
        best
    }

    /// The gear to shift to at a speed that is outside the liked cadence of this one; the same to stay.
    ///
    /// The cog of this ring that comes nearest the liked middle. Another ring is taken only if that cog leaves the
    /// cadence outside the liked range and the other ring comes nearer by a margin.
    fn choose(&self, now: usize, speed: f64) -> usize {
        let ring = self.gears[now].ring;
        let here = self.nearest(speed, |other| other == ring).unwrap_or((f64::INFINITY, now));
        if here.0 > (self.habit.high_rpm - self.habit.low_rpm) / 2.0
            && let Some((off, other)) = self.nearest(speed, |other| other != ring)
            && off + self.habit.front_gain_rpm <= here.0
        {
            return other;
        }
        if here.0 < self.off(now, speed) { here.1 } else { now }
    }

    /// The zone of a speed in a gear: its ends in m/s and its name.
    fn zone(&self, gear: usize, speed: f64) -> (f64, f64, Zone) {
        let limits = &self.limits[gear];
        if speed < limits[0] {
            (f64::NEG_INFINITY, limits[0], Zone::Grinding)
        } else if speed < limits[1] {
            (limits[0], limits[1], Zone::Below)
        } else if speed < limits[2] {
            (limits[1], limits[2], Zone::Inside)
        } else if speed < limits[3] {
            (limits[2], limits[3], Zone::Above)
        } else {
            (limits[3], f64::INFINITY, Zone::SpunOut)
        }
    }

    fn start(&self, speed: f64) -> usize {
        self.nearest(speed, |_| true).map_or(0, |(_, gear)| gear)
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Zone {
    Grinding,
    Below,
    Inside,
    Above,
    SpunOut,
}

impl Ridden {
    fn note(&mut self, zone: Zone, habit: &Habit, development_m: f64, seconds: f64, metres: f64) {
        self.pedalled_s += seconds;
        let turns = 60.0 * metres / development_m;
        match zone {
            Zone::Grinding | Zone::Below => {
                self.below_s += seconds;
                self.strain_rpm_s += habit.low_rpm * seconds - turns;
                if zone == Zone::Grinding {
                    self.grinding_s += seconds;
                }
            }
            Zone::Inside => {}
            Zone::Above | Zone::SpunOut => {
                self.above_s += seconds;
                self.strain_rpm_s += turns - habit.high_rpm * seconds;
                if zone == Zone::SpunOut {
                    self.spun_out_m += metres;
                }
            }
        }
    }

    fn shift(&mut self, from: Gear, to: Gear) {
        if from.ring == to.ring {
            self.rear_shifts += 1;
        } else {
            self.front_shifts += 1;
            self.double_shifts += u32::from(from.cog != to.cog);
        }
        let step = from.development_m / to.development_m;
        self.largest_step = self.largest_step.max(step.max(1.0 / step) - 1.0);
    }
}

/// Rides a course with a set of gears.
///
/// In a gear the rider stays while the cadence is liked. Outside it they shift to the cog of the same ring whose cadence is
/// nearest the middle of what they like; the ring is changed only where no cog of this one comes into the liked range and
/// the other is nearer by [`Habit::front_gain_rpm`]. Between two shifts they rest for [`Habit::rest_s`]. No gear and no
/// stretch give all zeros.
///
/// The time spent depends on the number of shifts, not on that of the stretches: see `docs/ride.md`.
///
/// # Source
/// The habit is common practice. That the skips change nothing: `tests/ride_laws.rs::skipping_counts_what_walking_counts`.
pub fn ridden(course: &Course, gears: &[Gear], habit: Habit) -> Ridden {
    let mut ridden = Ridden::default();
    let speeds = course.skips.speeds();
    let (Some(first), false) = (speeds.first(), gears.is_empty()) else { return ridden };
    let set = GearSet::new(gears, habit);
    let n = speeds.len();
    let (mut gear, mut at, mut free) = (set.start(*first), 0, 0);
    while at < n {
        let speed = speeds[at];
        let (least, most, zone) = set.zone(gear, speed);
        let wants = match zone {
            Zone::Grinding | Zone::Below => set.ends[gear].0,
            Zone::Inside => false,
            Zone::Above | Zone::SpunOut => set.ends[gear].1,
        };
        let end = if wants && at >= free {
            let next = set.choose(gear, speed);
            if next != gear {
                ridden.shift(gears[gear], gears[next]);
                gear = next;
                free = course.at_time(at + 1, course.sums[at][2] + habit.rest_s);
                continue;
            }
            // No gear is better at this speed; one may be at the next.
            at + 1
        } else {
            let end = course.skips.first_outside(at, least, most);
            if wants { end.min(free) } else { end }
        };
        let (from, to) = (course.sums[at], course.sums[end]);
        ridden.note(zone, &habit, gears[gear].development_m, to[0] - from[0], to[1] - from[1]);
        at = end;
    }
    ridden
}

/// The gear of every stretch, as a place in `gears`, with the numbers of [`ridden`] counted stretch by stretch. For
/// pictures; and it checks the fast way.
pub fn gears_along(course: &Course, gears: &[Gear], habit: Habit) -> (Vec<usize>, Ridden) {
    let mut ridden = Ridden::default();
    let mut along = Vec::with_capacity(course.len());
    let speeds = course.skips.speeds();
    let (Some(first), false) = (speeds.first(), gears.is_empty()) else { return (along, ridden) };
    let set = GearSet::new(gears, habit);
    let mut gear = set.start(*first);
    let mut free_s = 0.0;
    for (at, &speed) in speeds.iter().enumerate() {
        let [pedalled, way, time] = course.sums[at];
        if !matches!(set.zone(gear, speed).2, Zone::Inside) && time >= free_s {
            let next = set.choose(gear, speed);
            if next != gear {
                ridden.shift(gears[gear], gears[next]);
                gear = next;
                free_s = time + habit.rest_s;
            }
        }
        let after = course.sums[at + 1];
        let zone = set.zone(gear, speed).2;
        ridden.note(zone, &habit, gears[gear].development_m, after[0] - pedalled, after[1] - way);
        along.push(gear);
    }
    (along, ridden)
}
