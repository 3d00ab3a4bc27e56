//! Chance with a seed, so that every run meets the same bikes.

/// A stream of numbers: the splitmix generator of Steele, Lea and Flood, Fast splittable pseudorandom number
/// generators (2014), constants as printed there.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn of(seed: u64) -> Self {
        Self(seed)
    }

    /// A stream of its own, which takes nothing from this one.
    pub(crate) fn apart(&self) -> Self {
        Self(self.0 ^ 0x5851_f42d_4c95_7f2d)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.share()
    }

    pub(crate) fn is(&mut self, share: f64) -> bool {
        self.share() < share
    }

    pub(crate) fn sign(&mut self) -> f64 {
        if self.is(0.5) { 1.0 } else { -1.0 }
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.share() * count as f64) as usize).min(count - 1)
    }

    /// Normal, by the polar method of Marsaglia.
    pub(crate) fn normal(&mut self, deviation: f64) -> f64 {
        loop {
            let (x, y) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return deviation * x * (-2.0 * square.ln() / square).sqrt();
            }
        }
    }
}
