//! The road: a grade for each stretch of equal length. Begin with [`Profile::from_points`] and [`Profile::hill`].

use std::fmt;

/// No paved road is steeper for long; a steeper stretch of a recording is a fault of it.
pub const STEEPEST: f64 = 0.40;

/// Most stretches of a road: 5,000 km by 5 m.
pub const MOST_SEGMENTS: usize = 1_000_000;

/// A road in stretches of one length.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    spacing_m: f64,
    grades: Vec<f64>,
    start_m: f64,
    clipped: usize,
}

/// Why there is no profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProfileError {
    /// Fewer than two points, or points that do not get ahead.
    NoWay {
        /// The way from the first to the last point, metres.
        length_m: f64,
    },
    /// The way is shorter than one stretch.
    TooShort {
        /// The way, metres.
        length_m: f64,
        /// The stretch, metres.
        spacing_m: f64,
    },
    /// More stretches than are kept.
    TooLong {
        /// How many there would be.
        segments: f64,
    },
    /// A number that is none.
    NotFinite,
    /// A distance that goes back.
    Backward {
        /// At this distance, metres.
        at_m: f64,
    },
    /// A hill that rises more than it is long.
    TooSteep {
        /// Its length, metres.
        length_m: f64,
        /// Its climb, metres.
        climb_m: f64,
    },
}

impl fmt::Display for ProfileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoWay { length_m } => {
                write!(f, "the points get {length_m:.0} m ahead; two places are wanted")
            }
            Self::TooShort { length_m, spacing_m } => {
                write!(
                    f,
                    "the way is {length_m:.0} m long; at least one stretch of {spacing_m:.0} m is wanted"
                )
            }
            Self::TooLong { segments } => {
                write!(f, "the way has {segments:.0} stretches; at most {MOST_SEGMENTS} are kept")
            }
            Self::NotFinite => f.write_str("a distance, height or spacing is no number"),
            Self::Backward { at_m } => write!(f, "the distance goes back at {at_m:.0} m"),
            Self::TooSteep { length_m, climb_m } => write!(
                f,
                "a climb of {climb_m:.0} m on {length_m:.0} m is steeper than {:.0} %",
                STEEPEST * 100.0
            ),
        }
    }
}

impl std::error::Error for ProfileError {}

impl Profile {
    /// A road from its grades, one for each stretch.
    ///
    /// # Errors
    /// [`ProfileError`] for no or too many stretches and for numbers that are none.
    pub fn from_grades(spacing_m: f64, grades: Vec<f64>, start_m: f64) -> Result<Self, ProfileError> {
        let finite =
            spacing_m.is_finite() && start_m.is_finite() && grades.iter().all(|grade| grade.is_finite());
        if !finite || spacing_m <= 0.0 {
            return Err(ProfileError::NotFinite);
        }
        if grades.is_empty() {
            return Err(ProfileError::NoWay { length_m: 0.0 });
        }
        if grades.len() > MOST_SEGMENTS {
            return Err(ProfileError::TooLong { segments: grades.len() as f64 });
        }
        Ok(Self { spacing_m, grades, start_m, clipped: 0 })
    }

    /// An even hill of a length along the road and a climb, in stretches of about 10 m.
    ///
    /// # Errors
    /// [`ProfileError`] for a hill steeper than [`STEEPEST`], shorter than 1 m, or longer than is kept.
    ///
    /// # Example
    /// ```
    /// use mechanics::ride::Profile;
    /// let hill = Profile::hill(1200.0, 96.0)?;
    /// assert_eq!(format!("{:.1} %", hill.grades()[0] * 100.0), "8.0 %");
    /// # Ok::<(), mechanics::ride::profile::ProfileError>(())
    /// ```
    pub fn hill(length_m: f64, climb_m: f64) -> Result<Self, ProfileError> {
        if !(length_m.is_finite() && climb_m.is_finite()) {
            return Err(ProfileError::NotFinite);
        }
        if length_m < 1.0 {
            return Err(ProfileError::TooShort { length_m, spacing_m: 1.0 });
        }
        let level_m = (length_m * length_m - climb_m * climb_m).max(0.0).sqrt();
        let grade = climb_m / level_m;
        if grade.is_nan() || grade.abs() > STEEPEST {
            return Err(ProfileError::TooSteep { length_m, climb_m });
        }
        let segments = (level_m / 10.0).round().max(1.0);
        if segments > MOST_SEGMENTS as f64 {
            return Err(ProfileError::TooLong { segments });
        }
        Self::from_grades(level_m / segments, vec![grade; segments as usize], 0.0)
    }

    /// The road through points of distance and height, both in metres, distance rising.
    ///
    /// The heights are joined by straight lines, averaged over `window_m` along the way, and read every `spacing_m`; what
    /// is left at the end, shorter than a stretch, falls away. A window makes the climbs smaller and the steepest
    /// stretches flatter; without one, a recording with a step of a metre in height makes walls. Grades beyond
    /// [`STEEPEST`] are cut and counted, see [`Profile::clipped`].
    ///
    /// # Errors
    /// [`ProfileError`].
    pub fn from_points(points: &[(f64, f64)], spacing_m: f64, window_m: f64) -> Result<Self, ProfileError> {
        if !(spacing_m > 0.0 && spacing_m.is_finite() && window_m >= 0.0 && window_m.is_finite())
            || points.iter().any(|(at, height)| !at.is_finite() || !height.is_finite())
        {
            return Err(ProfileError::NotFinite);
        }
        if let Some(pair) = points.windows(2).find(|pair| pair[1].0 < pair[0].0) {
            return Err(ProfileError::Backward { at_m: pair[1].0 });
        }
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return Err(ProfileError::NoWay { length_m: 0.0 });
        };
        let length_m = last.0 - first.0;
        if length_m <= 0.0 {
            return Err(ProfileError::NoWay { length_m });
        }
        let segments = (length_m / spacing_m + 1e-9).floor();
        if segments < 1.0 {
            return Err(ProfileError::TooShort { length_m, spacing_m });
        }
        if segments > MOST_SEGMENTS as f64 {
            return Err(ProfileError::TooLong { segments });
        }
        let line = HeightLine::through(points);
        let heights: Vec<f64> = (0..=segments as usize)
            .map(|k| line.mean(first.0 + k as f64 * spacing_m, window_m.min(length_m)))
            .collect();
        let mut clipped = 0;
        let grades = heights
            .windows(2)
            .map(|pair| {
                let grade = (pair[1] - pair[0]) / spacing_m;
                clipped += usize::from(grade.abs() > STEEPEST);
                grade.clamp(-STEEPEST, STEEPEST)
            })
            .collect();
        Ok(Self { spacing_m, grades, start_m: heights[0], clipped })
    }

    /// Level length of a stretch, metres.
    pub fn spacing_m(&self) -> f64 {
        self.spacing_m
    }

    /// The grades, one for each stretch.
    pub fn grades(&self) -> &[f64] {
        &self.grades
    }

    /// Stretches whose grade was cut to [`STEEPEST`].
    pub fn clipped(&self) -> usize {
        self.clipped
    }

    /// Length along the road of a stretch with this grade, metres.
    pub fn road_m(&self, grade: f64) -> f64 {
        self.spacing_m * (1.0 + grade * grade).sqrt()
    }

    /// Level length of the whole road, metres.
    pub fn length_m(&self) -> f64 {
        self.spacing_m * self.grades.len() as f64
    }

    /// All that goes up, metres.
    pub fn climb_m(&self) -> f64 {
        self.grades.iter().map(|grade| grade.max(0.0)).sum::<f64>() * self.spacing_m
    }

    /// Height at the end less that at the start, metres.
    pub fn rise_m(&self) -> f64 {
        self.grades.iter().sum::<f64>() * self.spacing_m
    }

    /// Heights at the ends of the stretches, metres: one more than there are stretches.
    pub fn heights_m(&self) -> Vec<f64> {
        let mut height = self.start_m;
        std::iter::once(height)
            .chain(self.grades.iter().map(|grade| {
                height += grade * self.spacing_m;
                height
            }))
            .collect()
    }

    /// The steepest mean grade over a length, metres, and where it begins; the whole road if that is shorter.
    pub fn steepest_over(&self, length_m: f64) -> (f64, f64) {
        let wanted = (length_m / self.spacing_m).round().clamp(1.0, self.grades.len() as f64) as usize;
        let heights = self.heights_m();
        let mut best = (f64::NEG_INFINITY, 0.0);
        for (at, (low, high)) in heights.iter().zip(heights.iter().skip(wanted)).enumerate() {
            let grade = (high - low) / (wanted as f64 * self.spacing_m);
            // The first of equal ones, whatever the rounding.
            if grade > best.0 + 1e-9 {
                best = (grade, at as f64 * self.spacing_m);
            }
        }
        best
    }
}

/// Heights over distance with the area below them, so that a mean over a window is a difference.
struct HeightLine<'a> {
    points: &'a [(f64, f64)],
    areas: Vec<f64>,
}

impl<'a> HeightLine<'a> {
    fn through(points: &'a [(f64, f64)]) -> Self {
        let mut area = 0.0;
        let mut areas = vec![0.0];
        for pair in points.windows(2) {
            area += (pair[1].0 - pair[0].0) * (pair[0].1 + pair[1].1) / 2.0;
            areas.push(area);
        }
        Self { points, areas }
    }

    /// Mean height over a window around a distance; the window is made smaller, evenly, at the ends of the way.
    fn mean(&self, at_m: f64, window_m: f64) -> f64 {
        let (first, last) = (self.points[0].0, self.points[self.points.len() - 1].0);
        let half = (window_m / 2.0).min(at_m - first).min(last - at_m);
        if half <= 1e-9 {
            return self.height(at_m);
        }
        (self.area(at_m + half) - self.area(at_m - half)) / (2.0 * half)
    }

    fn place(&self, at_m: f64) -> usize {
        self.points.partition_point(|point| point.0 <= at_m).clamp(1, self.points.len() - 1) - 1
    }

    fn height(&self, at_m: f64) -> f64 {
        let (low, high) = (self.points[self.place(at_m)], self.points[self.place(at_m) + 1]);
        if high.0 <= low.0 {
            return high.1;
        }
        low.1 + (high.1 - low.1) * ((at_m - low.0) / (high.0 - low.0)).clamp(0.0, 1.0)
    }

    fn area(&self, at_m: f64) -> f64 {
        let place = self.place(at_m);
        let low = self.points[place];
        self.areas[place] + (at_m - low.0) * (low.1 + self.height(at_m)) / 2.0
    }
}
