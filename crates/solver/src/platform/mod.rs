//! How the platform moves under the head: lean, accelerations and how often they come.

mod isolator;
mod peak;
mod road;
mod sea;
mod sea_state;

pub use isolator::{sag_m, transmissibility};
pub use peak::peak_factor;
pub use road::{Ride, heave_rms_m_s2, ride, roughness_m3};
pub use sea::{Sea, peak_enhancement, spectrum_m2_s, wave_length_m, waves};
pub use sea_state::{SEA_STATES, SeaState, grown_period_s, sea_state};

use nalgebra::Vector3;
use serde::Serialize;

use crate::package::{Motion, Mounting, Move};

/// The motion of the base of the head, isolator included.
///
/// "Level" is any direction across the vertical; which way the platform points relative to the camera is never known,
/// so the worst direction counts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlatformMotion {
    /// Largest lean of the base that may last, rad.
    pub lean_rad: f64,
    /// Root mean square of the lean that comes and goes with the waves, in any one direction, rad.
    pub rms_lean_rad: f64,
    /// Acceleration that lasts, from driving, braking and bends, level, m/s².
    pub steady_m_s2: f64,
    /// Root mean square acceleration in any one level direction, m/s².
    pub rms_level_m_s2: f64,
    /// Root mean square vertical acceleration, m/s².
    pub rms_up_m_s2: f64,
    /// Largest level acceleration that somebody has stated, m/s²; 0 when only the root mean square is known.
    pub peak_level_m_s2: f64,
    /// Largest vertical acceleration that somebody has stated, m/s².
    pub peak_up_m_s2: f64,
    /// Root mean square angular acceleration about any one level axis, rad/s².
    pub rms_turn_rad_s2: f64,
    /// Largest such acceleration that somebody has stated, rad/s²; 0 when only the root mean square is known.
    pub peak_turn_rad_s2: f64,
    /// Root mean square rate of turn about any one level axis, rad/s.
    pub rms_turn_rad_s: f64,
    /// Largest such rate that somebody has stated, rad/s; 0 when only the root mean square is known.
    pub peak_turn_rad_s: f64,
    /// Mean frequency of zero up-crossings of the acceleration, Hz.
    pub crossing_hz: f64,
    /// Largest over the root mean square of a random motion in one take.
    pub peak_factor: f64,
}

impl PlatformMotion {
    /// The motion of one move.
    pub fn of(each: &Move) -> Self {
        let isolator = each.isolator.as_ref();
        match each.motion {
            Motion::Own { lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s } => {
                let passed = transmissibility(isolator, band_hz);
                // An isolator works along, not about: what turns the platform turns the head.
                let accelerated = |rate_rad_s: f64| 2.0 * core::f64::consts::PI * band_hz * rate_rad_s;
                let rms_m_s2 = passed * rms_m_s2;
                Self {
                    lean_rad,
                    rms_lean_rad: 0.0,
                    steady_m_s2: 0.0,
                    rms_level_m_s2: rms_m_s2,
                    rms_up_m_s2: rms_m_s2,
                    peak_level_m_s2: passed * peak_m_s2,
                    // A slam is over before an isolator has answered: it passes whole.
                    peak_up_m_s2: f64::max(passed * peak_m_s2, slam_m_s2),
                    rms_turn_rad_s2: accelerated(turn_rms_rad_s),
                    peak_turn_rad_s2: accelerated(turn_peak_rad_s),
                    rms_turn_rad_s: turn_rms_rad_s,
                    peak_turn_rad_s: turn_peak_rad_s,
                    crossing_hz: band_hz,
                    peak_factor: peak_factor(band_hz, each.take_s),
                }
            }
            Motion::Road { class, speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2 } => {
                let ride = ride(class, speed_m_s, wheelbase_m, isolator);
                Self {
                    lean_rad,
                    rms_lean_rad: 0.0,
                    steady_m_s2,
                    rms_level_m_s2: ride.heave_rms_m_s2 * f64::max(lateral_share, fore_aft_share),
                    rms_up_m_s2: ride.heave_rms_m_s2,
                    peak_level_m_s2: 0.0,
                    peak_up_m_s2: 0.0,
                    rms_turn_rad_s2: ride.pitch_rms_rad_s2,
                    peak_turn_rad_s2: 0.0,
                    rms_turn_rad_s: ride.pitch_rms_rad_s,
                    peak_turn_rad_s: 0.0,
                    crossing_hz: ride.crossing_hz,
                    peak_factor: peak_factor(ride.crossing_hz, each.take_s),
                }
            }
            Motion::Sea { height_m, period_s, lean_rad, slam_m_s2 } => {
                let sea = waves(height_m, period_s, isolator);
                let peak_factor = peak_factor(sea.crossing_hz, each.take_s);
                Self {
                    lean_rad,
                    rms_lean_rad: sea.slope_rms_rad,
                    steady_m_s2: 0.0,
                    rms_level_m_s2: sea.heave_rms_m_s2,
                    rms_up_m_s2: sea.heave_rms_m_s2,
                    peak_level_m_s2: 0.0,
                    peak_up_m_s2: slam_m_s2,
                    rms_turn_rad_s2: sea.turn_rms_rad_s2,
                    peak_turn_rad_s2: 0.0,
                    rms_turn_rad_s: sea.turn_rms_rad_s,
                    peak_turn_rad_s: 0.0,
                    crossing_hz: sea.crossing_hz,
                    peak_factor,
                }
            }
        }
    }

    /// Largest lean of the base, lasting and passing together, at most a right angle, rad.
    pub fn largest_lean_rad(&self) -> f64 {
        f64::min(self.lean_rad + self.peak_factor * self.rms_lean_rad, core::f64::consts::FRAC_PI_2)
    }

    /// Largest level acceleration, m/s²: steady, and the larger of the stated peak and the random one's.
    pub fn largest_level_m_s2(&self) -> f64 {
        self.steady_m_s2 + f64::max(self.peak_level_m_s2, self.peak_factor * self.rms_level_m_s2)
    }
}

/// The world's vertical in the axes of the base, for a head hung, stood or on its side.
pub fn up_in_base(mounting: Mounting) -> Vector3<f64> {
    match mounting {
        Mounting::Hung => Vector3::z(),
        Mounting::Stood => -Vector3::z(),
        Mounting::Side => Vector3::y(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::package::{Isolator, PlatformKind, RoadClass};

    fn moving(motion: Motion, isolator: Option<Isolator>) -> PlatformMotion {
        PlatformMotion::of(&Move {
            id: 1,
            name: "move".into(),
            platform: PlatformKind::RoadVehicle,
            mounting: Mounting::Hung,
            motion,
            operator: vec![],
            ranges: vec![],
            repeats_per_min: 0.0,
            take_s: 60.0,
            airspeed_m_s: 0.0,
            gust_factor: 1.2,
            altitude_m: 0.0,
            air_k: 288.15,
            isolator,
            share: 1.0,
            break_after: None,
        })
    }

    #[test]
    fn an_isolator_passes_a_slam_whole_and_little_of_a_buzz() {
        let own = Motion::Own {
            lean_rad: 0.1,
            rms_m_s2: 1.0,
            peak_m_s2: 3.0,
            slam_m_s2: 15.0,
            band_hz: 20.0,
            turn_rms_rad_s: 0.0,
            turn_peak_rad_s: 0.0,
        };
        let isolated = moving(own, Some(Isolator { natural_hz: 4.0, damping: 0.1, rated_kg: 30.0 }));
        assert!(isolated.rms_up_m_s2 < 0.1 && isolated.peak_level_m_s2 < 0.3);
        assert!((isolated.peak_up_m_s2 - 15.0).abs() < 1e-12);
    }

    #[test]
    fn a_road_shakes_with_the_root_of_speed() {
        let at = |speed_m_s: f64| {
            moving(
                Motion::Road {
                    class: RoadClass::B,
                    speed_m_s,
                    wheelbase_m: 2.8,
                    lateral_share: 0.3,
                    fore_aft_share: 0.2,
                    lean_rad: 0.1,
                    steady_m_s2: 3.0,
                },
                None,
            )
        };
        let (slow, fast) = (at(10.0), at(40.0));
        assert!((fast.rms_up_m_s2 / slow.rms_up_m_s2 - 2.0).abs() < 1e-12);
        assert!((fast.rms_level_m_s2 - 0.3 * fast.rms_up_m_s2).abs() < 1e-12);
        assert!((fast.steady_m_s2 - 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_calm_sea_and_a_standing_car_are_still() {
        let calm = moving(Motion::Sea { height_m: 0.0, period_s: 8.0, lean_rad: 0.1, slam_m_s2: 0.0 }, None);
        assert!(calm.rms_up_m_s2 == 0.0 && calm.rms_turn_rad_s2 == 0.0);
        assert!((calm.largest_lean_rad() - 0.1).abs() < 1e-15);
        assert!(calm.crossing_hz.is_finite() && calm.peak_factor.is_finite());
        let parked = moving(
            Motion::Road {
                class: RoadClass::E,
                speed_m_s: 0.0,
                wheelbase_m: 0.0,
                lateral_share: 0.3,
                fore_aft_share: 0.3,
                lean_rad: 0.0,
                steady_m_s2: 0.0,
            },
            None,
        );
        assert!(parked.rms_up_m_s2 == 0.0 && parked.rms_turn_rad_s2 == 0.0 && parked.peak_factor.is_finite());
    }
}
