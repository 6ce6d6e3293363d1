//! A sea, and a hull that follows it.
//!
//! Heave equals the wave, roll and pitch equal its slope: a stated bound, since no generic response of a vessel is
//! public. Waves above three times the peak frequency are left out: a hull lies across several of them at once.

use core::f64::consts::PI;

use super::isolator::transmissibility;
use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::package::Isolator;

/// Highest frequency that a hull follows, in peak frequencies. Common practice, no source.
const HIGHEST: f64 = 3.0;

/// What a sea does to a hull that follows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sea {
    /// Root mean square acceleration, vertical and in any one level direction: water particles move in circles, m/s².
    pub heave_rms_m_s2: f64,
    /// Root mean square slope of the waves, rad.
    pub slope_rms_rad: f64,
    /// Root mean square angular acceleration of the slope, rad/s².
    pub turn_rms_rad_s2: f64,
    /// Root mean square rate of turn of the slope, rad/s.
    pub turn_rms_rad_s: f64,
    /// Zero up-crossings of the acceleration, Hz.
    pub crossing_hz: f64,
}

/// Peak enhancement γ for a significant height and peak period: 5 for steep seas, 1 for a fully grown one.
///
/// # Source
/// DNV-RP-C205, section 3.5.5 (from memory): γ = 5 for T_p/√H_s ≤ 3.6, exp(5.75 − 1.15 T_p/√H_s) up to 5, then 1.
pub fn peak_enhancement(height_m: f64, period_s: f64) -> f64 {
    let slackness = period_s / float::sqrt(f64::max(height_m, 1e-9));
    float::exp(5.75 - 1.15 * slackness).clamp(1.0, 5.0)
}

/// Density of the wave's height at the angular frequency `omega`, m²·s, by the JONSWAP formula; γ = 1 is that of
/// Pierson and Moskowitz.
///
/// # Source
/// DNV-RP-C205, section 3.5.5 (from memory; the formula was seen in two open implementations).
pub fn spectrum_m2_s(height_m: f64, period_s: f64, gamma: f64, omega: f64) -> f64 {
    let peak = 2.0 * PI / period_s;
    let over = peak / omega;
    let fourth = over * over * over * over;
    let grown = 5.0 / 16.0 * height_m * height_m * fourth / omega * float::exp(-1.25 * fourth);
    if gamma <= 1.0 {
        return grown;
    }
    let width = if omega <= peak { 0.07 } else { 0.09 };
    let aside = (omega - peak) / (width * peak);
    let log_gamma = float::ln(gamma);
    grown * (1.0 - 0.287 * log_gamma) * float::exp(log_gamma * float::exp(-0.5 * aside * aside))
}

/// Length of a wave in deep water, m: g·T²/2π.
pub fn wave_length_m(period_s: f64) -> f64 {
    GRAVITY_M_S2 * period_s * period_s / (2.0 * PI)
}

/// The motion of a hull in a sea of this significant height and peak period.
pub fn waves(height_m: f64, period_s: f64, isolator: Option<&Isolator>) -> Sea {
    let gamma = peak_enhancement(height_m, period_s);
    let peak = 2.0 * PI / period_s;
    let (mut slope, mut rate, mut turn, mut heave, mut jerk) = (0.0, 0.0, 0.0, 0.0, 0.0);
    over_the_band(peak, |omega, d_omega| {
        let square = omega * omega;
        let acceleration = square * square * spectrum_m2_s(height_m, period_s, gamma, omega) * d_omega;
        // In deep water the wave number is ω²/g, so the slope is the acceleration over g.
        let steep = acceleration / (GRAVITY_M_S2 * GRAVITY_M_S2);
        slope += steep;
        rate += steep * square;
        turn += steep * square * square;
        let passed = transmissibility(isolator, omega / (2.0 * PI));
        heave += acceleration * passed * passed;
        jerk += acceleration * passed * passed * square;
    });
    Sea {
        heave_rms_m_s2: float::sqrt(heave),
        slope_rms_rad: float::sqrt(slope),
        turn_rms_rad_s2: float::sqrt(turn),
        turn_rms_rad_s: float::sqrt(rate),
        crossing_hz: if heave > 0.0 { float::sqrt(jerk / heave) / (2.0 * PI) } else { 1.0 / period_s },
    }
}

/// Calls `f(ω, dω)` from half the peak frequency, below which there is next to nothing, to the highest that counts.
fn over_the_band(peak: f64, mut f: impl FnMut(f64, f64)) {
    const STEPS: usize = 100;
    let width = (HIGHEST - 0.4) * peak / STEPS as f64;
    for step in 0..STEPS {
        f(0.4 * peak + (step as f64 + 0.5) * width, width);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn significant_height_m(gamma: f64) -> f64 {
        let (height_m, period_s) = (2.0, 8.0);
        let mut variance = 0.0;
        let width = 1e-3;
        for step in 1..30_000 {
            variance += spectrum_m2_s(height_m, period_s, gamma, f64::from(step) * width) * width;
        }
        4.0 * float::sqrt(variance)
    }

    /// Source: computed for H_s 2 m, T_p 8 s; the 0.287 of JONSWAP is a fit, good to about 0.2 %.
    #[test]
    fn height_and_peak_of_the_spectra() {
        assert!((significant_height_m(1.0) - 2.0000).abs() < 5e-4);
        assert!((significant_height_m(3.3) - 2.0024).abs() < 5e-4);
        let peak = 2.0 * PI / 8.0;
        assert!((spectrum_m2_s(2.0, 8.0, 1.0, peak) - 0.455_99).abs() < 1e-4);
        assert!((spectrum_m2_s(2.0, 8.0, 3.3, peak) - 0.989_14).abs() < 1e-4);
    }

    /// Fourth moment of Pierson and Moskowitz up to 3 ω_p in closed form, (5/64)·H_s²ω_p⁴·E₁(1.25/81), with
    /// E₁(0.0154321) = 3.60971 (series −γ − ln x + x − x²/4).
    #[test]
    fn heave_of_a_grown_sea() {
        let sea = waves(1.0, 10.0, None);
        let peak = 2.0 * PI / 10.0;
        let x: f64 = 1.25 / 81.0;
        let e1 = -0.577_215_664_9 - float::ln(x) + x - 0.25 * x * x;
        let expected = float::sqrt(5.0 / 64.0 * e1) * peak * peak;
        assert!((sea.heave_rms_m_s2 / expected - 1.0).abs() < 1e-3, "{} {expected}", sea.heave_rms_m_s2);
        assert!((sea.slope_rms_rad - sea.heave_rms_m_s2 / GRAVITY_M_S2).abs() < 1e-12);
        // Its sixth moment up to there, (5/16)·H_s²ω_p⁶·∫ω exp(−1.25ω⁻⁴) dω over ω_p, by Simpson's rule.
        let inside = |over: f64| over * float::exp(-1.25 / (over * over * over * over));
        let (steps, mut sum) = (3_000_u32, 0.0);
        for step in 0..steps {
            let [low, high] = [step, step + 1].map(|edge| 0.2 + 2.8 * f64::from(edge) / f64::from(steps));
            sum += (high - low) / 6.0 * (inside(low) + 4.0 * inside(0.5 * (low + high)) + inside(high));
        }
        let rate_rad_s = float::sqrt(5.0 / 16.0 * sum) * peak * peak * peak / GRAVITY_M_S2;
        assert!((sea.turn_rms_rad_s / rate_rad_s - 1.0).abs() < 1e-3, "{} {rate_rad_s}", sea.turn_rms_rad_s);
    }

    #[test]
    fn steep_seas_are_peaked() {
        assert!((peak_enhancement(4.0, 6.0) - 5.0).abs() < 1e-12);
        assert!((peak_enhancement(1.0, 8.0) - 1.0).abs() < 1e-12);
        assert!(peak_enhancement(2.0, 6.0) > 1.0 && peak_enhancement(2.0, 6.0) < 5.0);
    }
}
