//! From raw records to a way: distances, times that go on, heights without spikes. Every change leaves a note.

use super::note::{Note, RideProblem};
use super::{Raw, RawRide, RecordedRide, RidePoint};

/// Half axis of the reference ellipsoid WGS 84 at the equator, metres, and the square of its eccentricity.
const WGS84: (f64, f64) = (6_378_137.0, 6.694_379_990_141e-3);
/// Nobody rides faster, m/s: 144 km/h.
const FASTEST_M_S: f64 = 40.0;
/// Between two records without times a way longer than this is a leap, metres.
const LONGEST_STEP_M: f64 = 5000.0;
/// Slower than this is standing, m/s.
const STANDING_M_S: f64 = 0.5;
/// A pause between two records is silence from here on, seconds.
const SILENCE_S: f64 = 30.0;
/// A height sticks out when it is so far above or below both neighbours, metres, and both ways are steeper than
/// [`SPIKE_GRADE`].
const SPIKE_M: f64 = 8.0;
/// Grade on both sides of a spike.
const SPIKE_GRADE: f64 = 0.5;
/// Records with a time that goes back, as a share, from which on no time is believed.
const MANY_BACK: f64 = 0.01;
/// Share of records that have the device's way, from which on it is taken.
const MOST_HAVE: f64 = 0.95;

/// Cleans the records of a ride.
pub(super) fn clean(raw: RawRide) -> Result<RecordedRide, RideProblem> {
    let RawRide { mut records, mut notes } = raw;
    let by_device = has_way(&records);
    records.retain(|record| if by_device { record.distance_m.is_some() } else { record.place.is_some() });
    if records.len() < 2 {
        return Err(RideProblem::NoWay { points: records.len() });
    }
    times(&mut records, &mut notes);
    let mut points: Vec<RidePoint> = Vec::with_capacity(records.len());
    let mut way = Way::default();
    for record in &records {
        if !by_device && way.is_leap(record) {
            way.leaps += 1;
            continue;
        }
        let distance_m = way.go_to(record, by_device);
        points.push(RidePoint {
            distance_m,
            height_m: record.height_m,
            time_s: record.time_s,
            speed_m_s: record.speed_m_s,
            cadence_rpm: record.cadence_rpm,
            power_w: record.power_w,
            begins: record.begins,
        });
    }
    if points.len() < 2 {
        return Err(RideProblem::NoWay { points: points.len() });
    }
    way.tell(by_device, &mut notes);
    fill_speeds(&mut points);
    rests(&points, &mut notes);
    heights(&mut points, &mut notes);
    Ok(RecordedRide { points, notes })
}

/// Whether nearly all records have the device's way, and it goes on.
fn has_way(records: &[Raw]) -> bool {
    let having = records.iter().filter(|record| record.distance_m.is_some()).count();
    let ways: Vec<f64> = records.iter().filter_map(|record| record.distance_m).collect();
    having as f64 >= MOST_HAVE * records.len() as f64
        && ways.windows(2).all(|pair| pair[1] >= pair[0])
        && ways.first() < ways.last()
}

/// Drops times that go back and starts the clock with the first record.
fn times(records: &mut [Raw], notes: &mut Vec<Note>) {
    let mut latest = f64::NEG_INFINITY;
    let mut back = 0;
    for record in records.iter() {
        if let Some(time) = record.time_s {
            if time < latest || time.is_nan() {
                back += 1;
            } else {
                latest = time;
            }
        }
    }
    let timed = records.iter().filter(|record| record.time_s.is_some()).count();
    // Some times among many records without any do not make a timed ride.
    let too_few = timed > 0 && timed * 2 < records.len();
    let dropped_all = back as f64 > MANY_BACK * timed as f64;
    if back > 0 {
        notes.push(Note::TimesBack { records: back, dropped_all });
    }
    if dropped_all || too_few || timed == 0 {
        if back == 0 {
            notes.push(Note::NoTimes);
        }
        records.iter_mut().for_each(|record| record.time_s = None);
        return;
    }
    let start = records.iter().find_map(|record| record.time_s).unwrap_or(0.0);
    let mut latest = f64::NEG_INFINITY;
    for record in records.iter_mut() {
        record.time_s = record.time_s.filter(|time| *time >= latest);
        latest = record.time_s.unwrap_or(latest);
        record.time_s = record.time_s.map(|time| time - start);
    }
}

/// The way so far.
#[derive(Default)]
struct Way {
    distance_m: f64,
    by_places_m: f64,
    between_m: f64,
    pieces: usize,
    leaps: usize,
    /// Leaps one behind the other: after some the new place is believed.
    leaps_in_row: usize,
    place: Option<(f64, f64)>,
    time_s: Option<f64>,
    device_m: Option<f64>,
}

impl Way {
    fn is_leap(&mut self, record: &Raw) -> bool {
        let (Some(from), Some(to), false) = (self.place, record.place, record.begins) else { return false };
        let metres = metres_between(from, to);
        let is_leap = match self.time_s.zip(record.time_s) {
            Some((before, now)) => metres > 100.0 && metres > FASTEST_M_S * (now - before).max(1.0),
            None => metres > LONGEST_STEP_M,
        };
        self.leaps_in_row = if is_leap { self.leaps_in_row + 1 } else { 0 };
        is_leap && self.leaps_in_row <= 5
    }

    fn go_to(&mut self, record: &Raw, by_device: bool) -> f64 {
        let step = match self.place.zip(record.place) {
            Some((from, to)) => metres_between(from, to),
            None => 0.0,
        };
        // A place that is believed after leaps begins a new piece like one that the file begins.
        let begins = record.begins || self.leaps_in_row > 0;
        self.leaps_in_row = 0;
        if begins {
            self.pieces += 1;
            self.between_m += step;
        } else {
            self.by_places_m += step;
        }
        if by_device {
            let before = self.device_m.or(record.distance_m).unwrap_or(0.0);
            self.distance_m += record.distance_m.unwrap_or(before) - before;
            self.device_m = record.distance_m.or(self.device_m);
        } else {
            self.distance_m = self.by_places_m;
        }
        self.place = record.place.or(self.place);
        self.time_s = record.time_s.or(self.time_s);
        self.distance_m
    }

    fn tell(&self, by_device: bool, notes: &mut Vec<Note>) {
        if by_device {
            notes.push(Note::WayOfDevice { by_places_m: self.place.map(|_| self.by_places_m) });
        } else if self.pieces > 1 {
            notes.push(Note::Pieces { pieces: self.pieces, between_m: self.between_m });
        }
        if self.leaps > 0 {
            notes.push(Note::Leaps { records: self.leaps });
        }
    }
}

/// Way between two near places, metres, on the ellipsoid WGS 84.
///
/// The radii of curvature in the middle, along the meridian and across it. Within a millionth up to some kilometres.
fn metres_between(from: (f64, f64), to: (f64, f64)) -> f64 {
    let (axis, squared) = WGS84;
    let middle = f64::midpoint(from.0, to.0).to_radians();
    let w = 1.0 - squared * middle.sin().powi(2);
    let across = axis / w.sqrt();
    let along = axis * (1.0 - squared) / (w * w.sqrt());
    let turn = (to.1 - from.1 + 540.0).rem_euclid(360.0) - 180.0;
    (along * (to.0 - from.0).to_radians()).hypot(across * middle.cos() * turn.to_radians())
}

/// Speeds from way and time where the device gave none.
fn fill_speeds(points: &mut [RidePoint]) {
    if points.iter().any(|point| point.speed_m_s.is_some()) {
        return;
    }
    for at in 1..points.len() {
        let (before, now) = (points[at - 1], points[at]);
        if let (Some(from), Some(to), false) = (before.time_s, now.time_s, now.begins)
            && to > from
        {
            points[at].speed_m_s = Some((now.distance_m - before.distance_m) / (to - from));
        }
    }
}

fn rests(points: &[RidePoint], notes: &mut Vec<Note>) {
    let (mut standing, mut times, mut longest) = (0.0, 0, 0.0_f64);
    for pair in points.windows(2) {
        let (Some(from), Some(to)) = (pair[0].time_s, pair[1].time_s) else { continue };
        let seconds = to - from;
        if (pair[1].distance_m - pair[0].distance_m) < STANDING_M_S * seconds {
            standing += seconds;
        }
        if seconds > SILENCE_S && !pair[1].begins {
            times += 1;
            longest = longest.max(seconds);
        }
    }
    if standing >= 60.0 {
        notes.push(Note::Standing { seconds: standing });
    }
    if times > 0 {
        notes.push(Note::Silence { times, longest_s: longest });
    }
}

/// Takes out single heights that stick out, and says what is missing.
fn heights(points: &mut [RidePoint], notes: &mut Vec<Note>) {
    let missing = points.iter().filter(|point| point.height_m.is_none()).count();
    if missing == points.len() {
        notes.push(Note::NoHeights);
        return;
    }
    if missing > 0 {
        notes.push(Note::HeightsMissing { records: missing });
    }
    let mut spikes = 0;
    for at in 1..points.len().saturating_sub(1) {
        let (before, now, behind) = (points[at - 1], points[at], points[at + 1]);
        let (Some(low), Some(here), Some(high)) = (before.height_m, now.height_m, behind.height_m) else {
            continue;
        };
        let steep = |rise: f64, way: f64| rise.abs() > SPIKE_M && rise.abs() > SPIKE_GRADE * way;
        let (up, down) = (here - low, here - high);
        if !now.begins
            && !behind.begins
            && up * down > 0.0
            && steep(up, now.distance_m - before.distance_m)
            && steep(down, behind.distance_m - now.distance_m)
        {
            points[at].height_m = Some(f64::midpoint(low, high));
            spikes += 1;
        }
    }
    if spikes > 0 {
        notes.push(Note::Spikes { records: spikes });
    }
}
