//! A vibration isolator between platform and head.

use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::package::Isolator;

/// What passes a spring and damper at one frequency, as a ratio of accelerations: √((1 + (2ζr)²)/((1 − r²)² + (2ζr)²))
/// with r = f/f_n. 1 without an isolator. An undamped one at resonance is taken as damped by a hundredth.
///
/// # Source
/// Absolute transmissibility of a base-excited oscillator: Thomson, *Theory of Vibration* (from memory).
pub fn transmissibility(isolator: Option<&Isolator>, frequency_hz: f64) -> f64 {
    let Some(isolator) = isolator else { return 1.0 };
    let ratio = frequency_hz / isolator.natural_hz;
    let damping = 2.0 * f64::max(isolator.damping, LEAST_DAMPING) * ratio;
    let detuned = 1.0 - ratio * ratio;
    float::sqrt((1.0 + damping * damping) / (detuned * detuned + damping * damping))
}

/// Every real spring loses something; without this an undamped entry would be infinite at its own frequency.
const LEAST_DAMPING: f64 = 0.01;

/// How far the isolator sags under the head, m: g/(2πf)², from the natural frequency alone.
pub fn sag_m(isolator: &Isolator) -> f64 {
    let omega = 2.0 * core::f64::consts::PI * isolator.natural_hz;
    GRAVITY_M_S2 / (omega * omega)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the identity f = √(g/δ)/2π; 5 Hz sags by 9.94 mm.
    #[test]
    fn sag_of_five_hertz() {
        let isolator = Isolator { natural_hz: 5.0, damping: 0.1, rated_kg: 20.0 };
        assert!((sag_m(&isolator) - 0.009_936).abs() < 1e-6);
    }

    /// Source: textbook properties: 1 at rest, 1 at √2 times the natural frequency whatever the damping, Q ≈ 1/2ζ.
    #[test]
    fn textbook_points() {
        for damping in [0.05, 0.3, 1.0] {
            let isolator = Isolator { natural_hz: 5.0, damping, rated_kg: 20.0 };
            assert!((transmissibility(Some(&isolator), 0.0) - 1.0).abs() < 1e-15);
            assert!((transmissibility(Some(&isolator), 5.0 * core::f64::consts::SQRT_2) - 1.0).abs() < 1e-12);
        }
        let sharp = Isolator { natural_hz: 5.0, damping: 0.05, rated_kg: 20.0 };
        assert!((transmissibility(Some(&sharp), 5.0) - float::sqrt(101.0)).abs() < 1e-9);
        let undamped = Isolator { natural_hz: 5.0, damping: 0.0, rated_kg: 20.0 };
        assert!(transmissibility(Some(&undamped), 5.0) < 51.0);
        assert!((transmissibility(None, 7.0) - 1.0).abs() < 1e-15);
    }
}
