//! States of the sea, and the waves that go with them.

use core::f64::consts::PI;

use crate::constants::GRAVITY_M_S2;
use crate::float;

/// A state of the sea.
///
/// # Source
/// WMO, *Manual on Codes* (WMO-No. 306), volume I.1, code table 3700; a height on the bound belongs to the lower state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeaState {
    /// Figure of the code.
    pub figure: u8,
    /// Highest significant wave height of the state, m.
    pub highest_m: f64,
}

/// The states in which a camera head may be at work; the glassy calm of figure 0 moves nothing.
pub const SEA_STATES: [SeaState; 6] = [
    SeaState { figure: 1, highest_m: 0.1 },
    SeaState { figure: 2, highest_m: 0.5 },
    SeaState { figure: 3, highest_m: 1.25 },
    SeaState { figure: 4, highest_m: 2.5 },
    SeaState { figure: 5, highest_m: 4.0 },
    SeaState { figure: 6, highest_m: 6.0 },
];

/// The state of a sea of this significant wave height; `None` when it is glassy or beyond the highest state.
pub fn sea_state(height_m: f64) -> Option<SeaState> {
    SEA_STATES.into_iter().find(|state| height_m > 0.0 && height_m <= state.highest_m)
}

/// Constants of the spectrum that wind raises when it has blown long enough.
///
/// # Source
/// Pierson and Moskowitz, *J. Geophys. Res.* 69 (1964), 5181 (from memory).
const ALPHA: f64 = 0.0081;
const BETA: f64 = 0.74;

/// Peak period of a sea that is fully grown at this significant wave height, s: about 5·√H_s. The sea near a shore, or of
/// a young wind, is steeper: its period is shorter.
///
/// The spectrum α·g²·ω⁻⁵·exp(−β·(g/(U·ω))⁴) has H_s = 2·√(α/β)·U²/g and its peak at (4β/5)^¼·g/U.
pub fn grown_period_s(height_m: f64) -> f64 {
    let wind_m_s = float::sqrt(GRAVITY_M_S2 * f64::max(height_m, 0.0) / (2.0 * float::sqrt(ALPHA / BETA)));
    2.0 * PI * wind_m_s / (float::sqrt(float::sqrt(0.8 * BETA)) * GRAVITY_M_S2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::platform::{peak_enhancement, spectrum_m2_s};

    /// Source: the bounds of WMO-No. 306, code table 3700.
    #[test]
    fn a_height_on_the_bound_belongs_to_the_lower_state() {
        let figure = |height_m: f64| sea_state(height_m).map(|state| state.figure);
        assert_eq!(
            [0.0, 0.05, 0.1, 0.11, 0.5, 1.25, 1.3, 2.5, 4.0, 6.0, 6.1].map(figure),
            [None, Some(1), Some(1), Some(2), Some(2), Some(3), Some(4), Some(4), Some(5), Some(6), None]
        );
    }

    /// The spectrum by the speed of the wind, as it was published, and the one by height and period are the same sea.
    /// Source of the check value, 4.80 m of waves at 15 m/s: 2·√(0.0081/0.74)·U²/g.
    #[test]
    fn a_grown_sea_is_that_of_its_wind() {
        let (wind_m_s, height_m) = (15.0_f64, 4.800_6);
        let period_s = grown_period_s(height_m);
        for omega in [0.4, 0.573, 0.8, 1.5] {
            let over = GRAVITY_M_S2 / (wind_m_s * omega);
            let fifth = omega * omega * omega * omega * omega;
            let by_wind = ALPHA * GRAVITY_M_S2 * GRAVITY_M_S2 / fifth * float::exp(-BETA * over * over * over * over);
            let here = spectrum_m2_s(height_m, period_s, 1.0, omega);
            assert!((here / by_wind - 1.0).abs() < 1e-3, "at {omega}: {here} against {by_wind}");
        }
        // By the rule for the peak it is grown: no enhancement.
        assert!((peak_enhancement(height_m, period_s) - 1.0).abs() < 1e-12);
    }
}
