//! The largest value of a random motion in a given time.

use crate::float;

/// Mean largest value of a Gaussian motion over its root mean square: √(2 ln νT) + 0.577/√(2 ln νT) for ν zero
/// up-crossings a second during T seconds. Fewer than two crossings count as two.
///
/// # Source
/// A. G. Davenport, *Note on the distribution of the largest value of a random function*, Proc. ICE 28 (1964) 187
/// (from memory).
pub fn peak_factor(crossing_hz: f64, time_s: f64) -> f64 {
    let root = float::sqrt(2.0 * float::ln(f64::max(crossing_hz * time_s, 2.0)));
    root + 0.577 / root
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: value from memory, the factor quoted for gust loading at ν T = 600 is about 3.7 to 3.8.
    #[test]
    fn six_hundred_crossings() {
        let factor = peak_factor(1.0, 600.0);
        assert!((factor - 3.738).abs() < 0.001, "{factor}");
        assert!(peak_factor(0.0, 60.0).is_finite() && peak_factor(0.01, 1.0) > 1.0);
    }
}
