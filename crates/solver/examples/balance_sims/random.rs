//! Random numbers from a seed, the same on every machine.

use solver::float;

/// SplitMix64: Steele, Lea and Flood, OOPSLA 2014 (from memory).
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Evenly spread from 0 to 1, 1 left out.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly spread between two values.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Standard normal, by Box and Muller (1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = float::sqrt(-2.0 * float::ln(1.0 - self.unit()));
        radius * float::cos(2.0 * core::f64::consts::PI * self.unit())
    }
}

/// Value below which a share of a sample lies: the smallest of the sample with at least that share at or below it.
pub(crate) fn percentile(sample: &[f64], share: f64) -> f64 {
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    let below = (0..sorted.len()).find(|index| (index + 1) as f64 >= share * sorted.len() as f64);
    below.map_or(f64::NAN, |index| sorted[index])
}

/// Mean of a sample.
pub(crate) fn mean(sample: &[f64]) -> f64 {
    sample.iter().sum::<f64>() / sample.len() as f64
}
