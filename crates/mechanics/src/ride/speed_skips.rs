//! Speeds of a ride with the least and most of every block of them, so that a stretch at like speeds is passed in a few
//! looks. Begin with [`SpeedSkips::first_outside`].

/// Speeds in a block; each level has blocks of so many blocks of the level below.
const FAN: usize = 16;

/// Speeds with their blocks.
#[derive(Clone, Debug)]
pub struct SpeedSkips {
    speeds: Vec<f64>,
    levels: Vec<Vec<(f64, f64)>>,
}

impl SpeedSkips {
    /// The speeds with their blocks. A twelfth more room than the speeds alone take, and time linear in their number.
    pub fn new(speeds: Vec<f64>) -> Self {
        let mut levels: Vec<Vec<(f64, f64)>> = Vec::new();
        let hull = |blocks: &[(f64, f64)]| {
            blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |all, b| (all.0.min(b.0), all.1.max(b.1)))
        };
        let mut level: Vec<(f64, f64)> = speeds
            .chunks(FAN)
            .map(|chunk| {
                chunk.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |all, v| (all.0.min(*v), all.1.max(*v)))
            })
            .collect();
        while level.len() > 1 {
            let next = level.chunks(FAN).map(hull).collect();
            levels.push(level);
            level = next;
        }
        levels.push(level);
        Self { speeds, levels }
    }

    /// The speeds.
    pub fn speeds(&self) -> &[f64] {
        &self.speeds
    }

    /// The first place, from `from` on, whose speed is below `least` or not below `most`; the end if there is none.
    ///
    /// It looks at about 30 numbers at each level, so at some hundred for any length.
    pub fn first_outside(&self, from: usize, least: f64, most: f64) -> usize {
        let n = self.speeds.len();
        let mut at = from;
        // To the end of the block by single steps, then up through whole blocks, then down into the one that leaves.
        let end_of_block = n.min((at / FAN + 1) * FAN);
        while at < end_of_block {
            let v = self.speeds[at];
            if v < least || v >= most {
                return at;
            }
            at += 1;
        }
        if at >= n {
            return n;
        }
        let mut block = at / FAN;
        let mut height = 0;
        loop {
            let Some(level) = self.levels.get(height) else { return n };
            let end = level.len().min((block / FAN + 1) * FAN);
            while block < end && level[block].0 >= least && level[block].1 < most {
                block += 1;
            }
            if block < end {
                break;
            }
            if block >= level.len() {
                return n;
            }
            block /= FAN;
            height += 1;
        }
        while height > 0 {
            height -= 1;
            block *= FAN;
            let level = &self.levels[height];
            while block < level.len() && level[block].0 >= least && level[block].1 < most {
                block += 1;
            }
        }
        at = block * FAN;
        while at < n && self.speeds[at] >= least && self.speeds[at] < most {
            at += 1;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::SpeedSkips;

    #[test]
    fn skipping_finds_what_walking_finds() {
        let mut seed = 7_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as f64 / f64::from(1_u32 << 31)
        };
        for n in [0_usize, 1, 15, 16, 17, 255, 256, 257, 4097, 5000] {
            let mut v = 5.0;
            let speeds: Vec<f64> = (0..n)
                .map(|_| {
                    v = (v + next() - 0.5_f64).clamp(0.0, 20.0);
                    v
                })
                .collect();
            let skips = SpeedSkips::new(speeds.clone());
            for _ in 0..300 {
                let from = (next() * n as f64) as usize;
                let least = next() * 15.0;
                let most = least + next() * 12.0;
                let walked =
                    (from..n).find(|k| speeds[*k] < least || speeds[*k] >= most).unwrap_or(n.max(from));
                assert_eq!(skips.first_outside(from, least, most), walked, "{n} {from} {least} {most}");
            }
        }
    }
}
