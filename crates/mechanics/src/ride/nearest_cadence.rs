//! Many drivetrains on one road, each in the gear nearest a cadence, without riding the road again for each. Begin with
//! [`RoadSums`]; why it is fast stands in `docs/ride.md`.

use super::power_balance::{BEARINGS, Load, LoadError};
use super::speed_lanes::{LANES, SpeedLanes};

/// Efficiencies at which the road is ridden. In between, sums are read from the polynomial through them.
const NODES: usize = LANES;

/// A road at one power, ready for any drivetrain.
#[derive(Clone, Debug)]
pub struct RoadSums {
    load: Load,
    power_w: f64,
    /// Forces of tyres and hill, rising: so the speeds fall, whatever the efficiency.
    ground_n: Vec<f64>,
    nodes: [f64; NODES],
    weights: [f64; NODES],
    /// Sum of the speeds of the first k stretches, in the order of the forces, at each efficiency.
    speed_sums: Vec<[f64; NODES]>,
    /// Sum of 1/v over all stretches, at each efficiency.
    slowness: [f64; NODES],
}

/// What a drivetrain makes of the road.
#[derive(Clone, Debug, PartialEq)]
pub struct Deviation {
    /// Sum over the stretches of how far the cadence is from the wanted one, turns a minute.
    pub sum_rpm: f64,
    /// Stretches in each gear, in the order of the gears given.
    pub stretches: Vec<usize>,
    /// Seconds for each metre of a stretch, summed: times the length of a stretch it is the time of the ride.
    pub slowness: f64,
}

impl RoadSums {
    /// Rides stretches of these grades at a power with efficiencies between two, steadily on each.
    ///
    /// # Errors
    /// [`LoadError`] for figures out of range; the efficiencies stand for that of the load. Without power or with a grade
    /// that is none there is no speed, and that is refused as well.
    pub fn new(
        load: &Load,
        power_w: f64,
        grades: &[f64],
        efficiencies: (f64, f64),
    ) -> Result<Self, LoadError> {
        load.check()?;
        for (what, found, least, most) in [
            ("the lower efficiency", efficiencies.0, 0.5, 1.0),
            ("the upper efficiency", efficiencies.1, efficiencies.0, 1.0),
            ("the power in W", power_w, 1.0, 5000.0),
        ] {
            if !(least..=most).contains(&found) {
                return Err(LoadError { what, found, least, most });
            }
        }
        if let Some(found) = grades.iter().copied().find(|grade| !(-1.0..=1.0).contains(grade)) {
            return Err(LoadError { what: "a grade", found, least: -1.0, most: 1.0 });
        }
        let mut ground_n: Vec<f64> = grades.iter().map(|grade| load.ground_force(*grade)).collect();
        ground_n.sort_unstable_by(f64::total_cmp);
        let (nodes, weights) = chebyshev(efficiencies);
        let mut lanes = SpeedLanes::new(load, power_w, nodes);
        let (mut sum, mut slowness) = ([0.0; NODES], [0.0; NODES]);
        let mut speed_sums = Vec::with_capacity(ground_n.len() + 1);
        speed_sums.push(sum);
        for ground in &ground_n {
            let speeds = lanes.next(*ground);
            for node in 0..NODES {
                sum[node] += speeds[node];
                slowness[node] += 1.0 / speeds[node];
            }
            speed_sums.push(sum);
        }
        Ok(Self { load: *load, power_w, ground_n, nodes, weights, speed_sums, slowness })
    }

    /// What a drivetrain makes of the road: `ratios` are wheel turns for a turn of the crank.
    ///
    /// On each stretch the gear whose cadence is nearest `wanted_rpm`; of two equal ratios the first given. About two
    /// binary searches a gear, whatever the number of stretches but for its logarithm.
    ///
    /// # Source
    /// The same sums by numpy, segment by segment: `tests/ride_reference.rs::many_drivetrains_sum_as_numpy_does`.
    pub fn deviation(&self, ratios: &[f64], rollout_m: f64, wanted_rpm: f64, efficiency: f64) -> Deviation {
        let share = self.shares(efficiency);
        let at_wheel = self.power_w * efficiency;
        let mut order: Vec<usize> = (0..ratios.len()).collect();
        order.sort_by(|a, b| ratios[*b].total_cmp(&ratios[*a]).then(a.cmp(b)));
        order.dedup_by(|next, kept| ratios[*next] == ratios[*kept]);
        let mut deviation = Deviation {
            sum_rpm: 0.0,
            stretches: vec![0; ratios.len()],
            slowness: dot(&self.slowness, &share),
        };
        let mut from = 0;
        // From the fastest stretch and the hardest gear on.
        for (place, gear) in order.iter().enumerate() {
            let ratio = ratios[*gear];
            let to = match order.get(place + 1) {
                // Both cadences are equally far from the wanted one at 2 n / (1/a + 1/b) wheel turns.
                Some(easier) => {
                    let wheel_rpm = 2.0 * wanted_rpm / (1.0 / ratio + 1.0 / ratios[*easier]);
                    self.slower_than(wheel_rpm * rollout_m / 60.0, at_wheel).max(from)
                }
                None => self.ground_n.len(),
            };
            let turn = self.slower_than(wanted_rpm * ratio * rollout_m / 60.0, at_wheel).clamp(from, to);
            let rpm = 60.0 / (rollout_m * ratio);
            let over = rpm * self.sum(from, turn, &share) - wanted_rpm * (turn - from) as f64;
            let under = wanted_rpm * (to - turn) as f64 - rpm * self.sum(turn, to, &share);
            deviation.sum_rpm += over + under;
            deviation.stretches[*gear] = to - from;
            from = to;
        }
        deviation
    }

    /// How many stretches are ridden at this speed or faster.
    fn slower_than(&self, speed_m_s: f64, at_wheel: f64) -> usize {
        // The force at which this speed is held; a greater one is ridden slower.
        let force =
            at_wheel / speed_m_s - self.load.air_force(speed_m_s, 0.0) - BEARINGS.0 - BEARINGS.1 * speed_m_s;
        self.ground_n.partition_point(|ground| *ground <= force)
    }

    fn sum(&self, from: usize, to: usize, share: &[f64; NODES]) -> f64 {
        dot(&self.speed_sums[to], share) - dot(&self.speed_sums[from], share)
    }

    /// Share of each node in the value at an efficiency: the barycentric form of the polynomial.
    fn shares(&self, efficiency: f64) -> [f64; NODES] {
        let mut shares = [0.0; NODES];
        if let Some(node) = self.nodes.iter().position(|node| *node == efficiency) {
            shares[node] = 1.0;
            return shares;
        }
        let mut all = 0.0;
        for ((share, node), weight) in shares.iter_mut().zip(&self.nodes).zip(&self.weights) {
            *share = weight / (efficiency - node);
            all += *share;
        }
        for share in &mut shares {
            *share /= all;
        }
        shares
    }
}

fn dot(a: &[f64; NODES], b: &[f64; NODES]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Chebyshev points of the second kind between two ends, with their barycentric weights.
fn chebyshev((low, high): (f64, f64)) -> ([f64; NODES], [f64; NODES]) {
    let (mut nodes, mut weights) = ([0.0; NODES], [0.0; NODES]);
    // One efficiency alone still needs nodes that differ.
    let half = ((high - low) / 2.0).max(1e-4);
    for k in 0..NODES {
        let angle = std::f64::consts::PI * k as f64 / (NODES - 1) as f64;
        nodes[k] = (low + high) / 2.0 + half * angle.cos();
        let end = if k == 0 || k == NODES - 1 { 0.5 } else { 1.0 };
        weights[k] = if k % 2 == 0 { end } else { -end };
    }
    (nodes, weights)
}
