//! A road through the stated quarter car.
//!
//! The road is ISO 8608 with waviness 2, so that its slope in time is white noise and the ride follows in closed form.
//! The car is the reference quarter car of road profiling, per kilogram of body: tyre 653 s⁻², suspension 63.3 s⁻²,
//! damper 6 s⁻¹, axle 0.15. A camera car on its own springs differs; a person's own figures are better.

use core::f64::consts::PI;

use super::isolator::transmissibility;
use crate::float;
use crate::package::{Isolator, RoadClass};

/// Spatial frequency at which roughness is stated, 1/m. Source: ISO 8608.
const REFERENCE_CYCLES_PER_M: f64 = 0.1;

/// Tyre stiffness over body mass, s⁻².
///
/// # Source
/// Reference quarter car: Sayers, Gillespie and Paterson, World Bank Technical Paper 46 (1986), and ASTM E1926 (from
/// memory); the numbers were read in two open implementations.
const TYRE: f64 = 653.0;
/// Suspension stiffness over body mass, s⁻².
const SPRING: f64 = 63.3;
/// Suspension damping over body mass, s⁻¹.
const DAMPER: f64 = 6.0;
/// Axle mass over body mass.
const AXLE: f64 = 0.15;

/// Roughness G_d(n₀) of a road class, m³: the geometric mean of the class, not its upper limit (which is √2 rougher in
/// amplitude).
///
/// # Source
/// ISO 8608:2016, table of classes (values from memory).
pub fn roughness_m3(class: RoadClass) -> f64 {
    match class {
        RoadClass::A => 16e-6,
        RoadClass::B => 64e-6,
        RoadClass::C => 256e-6,
        RoadClass::D => 1_024e-6,
        RoadClass::E => 4_096e-6,
    }
}

/// What a road does to a car body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ride {
    /// Root mean square vertical acceleration over an axle, m/s².
    pub heave_rms_m_s2: f64,
    /// Root mean square pitch acceleration, rad/s².
    pub pitch_rms_rad_s2: f64,
    /// Root mean square pitch rate, rad/s.
    pub pitch_rms_rad_s: f64,
    /// Zero up-crossings of the vertical acceleration, Hz.
    pub crossing_hz: f64,
}

/// The ride on a road of this class at this speed. Front and rear axle run over the same road one wheelbase apart: the
/// difference of their accelerations pitches the body. No pitch without a wheelbase.
pub fn ride(class: RoadClass, speed_m_s: f64, wheelbase_m: f64, isolator: Option<&Isolator>) -> Ride {
    let slope = slope_noise_m2_s(class, speed_m_s);
    let delay_s = if speed_m_s > 0.0 { wheelbase_m / speed_m_s } else { 0.0 };
    let pitching = wheelbase_m > 0.0 && speed_m_s > 0.0;
    if isolator.is_none() && !pitching {
        return Ride {
            heave_rms_m_s2: heave_rms_m_s2(class, speed_m_s),
            pitch_rms_rad_s2: 0.0,
            pitch_rms_rad_s: 0.0,
            crossing_hz: crossing_hz(),
        };
    }
    let (mut heave, mut jerk, mut pitch, mut rate) = (0.0, 0.0, 0.0, 0.0);
    over_the_band(|omega, d_omega| {
        let acceleration = body_gain_squared(omega) * d_omega;
        // The pitch of the base is not isolated: an isolator works along, not about.
        let apart = acceleration * 2.0 * (1.0 - float::cos(omega * delay_s));
        pitch += apart;
        rate += apart / (omega * omega);
        let passed = transmissibility(isolator, omega / (2.0 * PI));
        heave += acceleration * passed * passed;
        jerk += acceleration * passed * passed * omega * omega;
    });
    let per_omega = slope / (2.0 * PI);
    let over_base = |square: f64| if pitching { float::sqrt(per_omega * square) / wheelbase_m } else { 0.0 };
    Ride {
        heave_rms_m_s2: if isolator.is_none() {
            heave_rms_m_s2(class, speed_m_s)
        } else {
            float::sqrt(per_omega * heave)
        },
        pitch_rms_rad_s2: over_base(pitch),
        pitch_rms_rad_s: over_base(rate),
        crossing_hz: if isolator.is_none() { crossing_hz() } else { float::sqrt(jerk / heave) / (2.0 * PI) },
    }
}

/// One-sided density of the road's slope in time, (m/s)²/Hz: (2π)² G_d(n₀) n₀² v.
fn slope_noise_m2_s(class: RoadClass, speed_m_s: f64) -> f64 {
    4.0 * PI * PI * roughness_m3(class) * REFERENCE_CYCLES_PER_M * REFERENCE_CYCLES_PER_M * speed_m_s
}

/// Root mean square vertical acceleration of the body, m/s², in closed form.
pub fn heave_rms_m_s2(class: RoadClass, speed_m_s: f64) -> f64 {
    // A one-sided density G is a two-sided one of G/2.
    let white = 0.5 * slope_noise_m2_s(class, speed_m_s);
    float::sqrt(white * white_noise_variance(ACCELERATION))
}

/// Zero up-crossings of the body's acceleration, Hz: the same on every road and at every speed.
fn crossing_hz() -> f64 {
    let acceleration = white_noise_variance(ACCELERATION);
    let jerk = white_noise_variance(JERK);
    float::sqrt(jerk / acceleration) / (2.0 * PI)
}

/// Acceleration of the body over the road's slope in time: numerator, lowest power first.
const ACCELERATION: [f64; 4] = [0.0, TYRE * SPRING, TYRE * DAMPER, 0.0];
/// Its rate of change.
const JERK: [f64; 4] = [0.0, 0.0, TYRE * SPRING, TYRE * DAMPER];
/// Denominator of the quarter car, lowest power first.
const POLES: [f64; 5] = [TYRE * SPRING, TYRE * DAMPER, (1.0 + AXLE) * SPRING + TYRE, (1.0 + AXLE) * DAMPER, AXLE];

/// Variance of c(s)/d(s) driven by white noise of unit two-sided density, d the quarter car; coefficients lowest power
/// first.
///
/// # Source
/// James, Nichols and Phillips, *Theory of Servomechanisms* (1947), table of integrals, n = 4 (from memory; checked
/// against the spectrum below).
fn white_noise_variance([c0, c1, c2, c3]: [f64; 4]) -> f64 {
    let [d0, d1, d2, d3, d4] = POLES;
    let top = c3 * c3 * (d0 * d1 * d2 - d0 * d0 * d3)
        + (c2 * c2 - 2.0 * c1 * c3) * d0 * d1 * d4
        + (c1 * c1 - 2.0 * c0 * c2) * d0 * d3 * d4
        + c0 * c0 * (d2 * d3 * d4 - d1 * d4 * d4);
    top / (2.0 * d0 * d4 * (d1 * d2 * d3 - d0 * d3 * d3 - d1 * d1 * d4))
}

/// |acceleration of the body over slope of the road in time|² at the angular frequency `omega`.
fn body_gain_squared(omega: f64) -> f64 {
    let square = omega * omega;
    let top = square * TYRE * TYRE * (SPRING * SPRING + DAMPER * DAMPER * square);
    let real = POLES[4] * square * square - POLES[2] * square + POLES[0];
    let imaginary = omega * (POLES[1] - POLES[3] * square);
    top / (real * real + imaginary * imaginary)
}

/// Calls `f(ω, dω)` over 0.1 to 80 Hz, even in the logarithm: midpoints.
fn over_the_band(mut f: impl FnMut(f64, f64)) {
    const STEPS: usize = 96;
    let (low, high) = (2.0 * PI * 0.1, 2.0 * PI * 80.0);
    let ratio = float::exp(float::ln(high / low) / STEPS as f64);
    let mut edge = low;
    for _ in 0..STEPS {
        let next = edge * ratio;
        f(float::sqrt(edge * next), next - edge);
        edge = next;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: root mean square accelerations of this quarter car, computed three ways (spectrum, Lyapunov equation,
    /// a control library); no published table was found.
    #[test]
    fn quarter_car_table() {
        let table = [
            (RoadClass::A, [0.2483, 0.3206, 0.4055]),
            (RoadClass::B, [0.4966, 0.6412, 0.8110]),
            (RoadClass::C, [0.9933, 1.2823, 1.6220]),
        ];
        for (class, row) in table {
            for (speed_km_h, expected) in [30.0, 50.0, 80.0].into_iter().zip(row) {
                let here = heave_rms_m_s2(class, speed_km_h / 3.6);
                assert!((here / expected - 1.0).abs() < 0.005, "{class:?} {speed_km_h}: {here}");
            }
        }
    }

    #[test]
    fn spectrum_and_closed_form_agree() {
        let speed_m_s = 80.0 / 3.6;
        let stiff = Isolator { natural_hz: 500.0, damping: 1.0, rated_kg: 20.0 };
        let summed = ride(RoadClass::A, speed_m_s, 0.0, Some(&stiff));
        let closed = ride(RoadClass::A, speed_m_s, 0.0, None);
        assert!((summed.heave_rms_m_s2 / closed.heave_rms_m_s2 - 1.0).abs() < 0.01);
        // The tail beyond 80 Hz carries some of the jerk.
        assert!((summed.crossing_hz / closed.crossing_hz - 1.0).abs() < 0.1);
    }

    /// Source: the same integrals summed in 200,000 steps from 0.01 to 300 Hz by another program. The pitch rate is made by
    /// slow motion, and the acceleration by the axle's hop: a mean frequency of one does not give the other.
    #[test]
    fn pitch_rate_of_a_car() {
        let here = ride(RoadClass::B, 20.0, 2.8, None);
        assert!((here.pitch_rms_rad_s / 0.019_012 - 1.0).abs() < 0.02, "{here:?}");
        assert!((here.pitch_rms_rad_s2 / 0.396_92 - 1.0).abs() < 0.05, "{here:?}");
        let by_mean_frequency_rad_s = here.pitch_rms_rad_s2 / (2.0 * PI * here.crossing_hz);
        assert!(here.pitch_rms_rad_s > 2.5 * by_mean_frequency_rad_s);
    }

    /// A wheelbase that is very long decouples the axles: the pitch is √2 × heave over the wheelbase.
    #[test]
    fn pitch_of_a_long_wheelbase() {
        let here = ride(RoadClass::B, 20.0, 3.0, None);
        let loose = core::f64::consts::SQRT_2 * here.heave_rms_m_s2 / 3.0;
        assert!(here.pitch_rms_rad_s2 > 0.6 * loose && here.pitch_rms_rad_s2 < 1.3 * loose);
        // The body's velocity over an axle is the acceleration's transfer function without its s.
        let white = 0.5 * slope_noise_m2_s(RoadClass::B, 20.0);
        let velocity_m_s = float::sqrt(white * white_noise_variance([TYRE * SPRING, TYRE * DAMPER, 0.0, 0.0]));
        let loose = core::f64::consts::SQRT_2 * velocity_m_s / 3.0;
        assert!(here.pitch_rms_rad_s > 0.4 * loose && here.pitch_rms_rad_s < 1.3 * loose, "{here:?} {loose}");
        let quick = ride(RoadClass::B, 20.0, 0.01, None);
        assert!(quick.pitch_rms_rad_s2.is_finite());
    }
}
