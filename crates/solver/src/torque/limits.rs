//! What a drive can give.

use crate::constants::ZERO_CELSIUS_K;
use crate::float;
use crate::package::Drive;

/// Hottest that a winding may get, K: 100 °C. Common practice, no source.
const WINDING_K: f64 = 100.0 + ZERO_CELSIUS_K;

/// Air temperature at which continuous torque is stated, K: 25 °C.
const RATED_K: f64 = 25.0 + ZERO_CELSIUS_K;

/// Share of the fastest rate up to which the voltage leaves all of the peak torque; from there it falls in a straight
/// line to nothing at the fastest rate. Common practice, no source: a motor gives its largest power at half its speed
/// without load.
pub(super) const KNEE: f64 = 0.5;

/// Headroom never falls below this: what it says is "hopeless", and a drive without torque must not give infinity.
const LEAST_HEADROOM: f64 = -99.0;

/// Torque that a drive can hold for ever in air of this temperature, N·m: heat goes with torque squared, so the limit
/// goes with the root of what is left between air and winding. Cold air is not counted as a gain: grease stiffens.
///
/// # Source
/// Copper loss (T/K_m)² through a constant thermal resistance: Hughes and Drury, *Electric Motors and Drives* (from
/// memory).
pub fn continuous_limit_nm(drive: &Drive, air_k: f64) -> f64 {
    let left = ((WINDING_K - air_k) / (WINDING_K - RATED_K)).clamp(0.0, 1.0);
    drive.continuous_nm * float::sqrt(left)
}

/// Largest torque of a drive for a demand that lasts `for_s`, N·m. Beyond the seconds for which the peak is stated the
/// same heat has to last longer: excess torque squared × time stays.
pub fn peak_limit_nm(drive: &Drive, for_s: f64) -> f64 {
    if for_s <= drive.peak_s || drive.peak_nm <= drive.continuous_nm {
        return drive.peak_nm;
    }
    let (peak, steady) = (drive.peak_nm * drive.peak_nm, drive.continuous_nm * drive.continuous_nm);
    float::sqrt(steady + (peak - steady) * drive.peak_s / for_s)
}

/// Share of the peak torque that the voltage leaves at a share of the fastest rate; 0 from the fastest rate on.
pub fn voltage_share(rate_share: f64) -> f64 {
    ((1.0 - rate_share) / (1.0 - KNEE)).clamp(0.0, 1.0)
}

/// Whether the voltage takes anything at this share of the fastest rate.
pub(super) fn voltage_binds(rate_share: f64) -> bool {
    rate_share > KNEE
}

/// 1 − demand/limit.
pub(super) fn headroom(demand_nm: f64, limit_nm: f64) -> f64 {
    if demand_nm <= 0.0 {
        return 1.0;
    }
    if limit_nm <= 0.0 {
        return LEAST_HEADROOM;
    }
    f64::max(1.0 - demand_nm / limit_nm, LEAST_HEADROOM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::package::DriveKind;

    fn drive() -> Drive {
        Drive {
            kind: DriveKind::Direct,
            ratio: 1.0,
            efficiency: 1.0,
            reflected_inertia_kg_m2: 0.0,
            friction_nm: 0.2,
            peak_nm: 20.0,
            peak_s: 2.0,
            continuous_nm: 7.0,
            motor_constant: 1.1,
            winding_to_air_k_w: 2.3,
            max_rate_rad_s: 3.5,
            cable_spring_nm_rad: 0.0,
            cable_hysteresis_nm: 0.0,
        }
    }

    #[test]
    fn hot_air_takes_torque_and_cold_air_gives_none() {
        let at = |celsius: f64| continuous_limit_nm(&drive(), celsius + ZERO_CELSIUS_K);
        assert!((at(25.0) - 7.0).abs() < 1e-12 && (at(-20.0) - 7.0).abs() < 1e-12);
        // 45 °C leaves 55 of 75 K: √(55/75) = 0.856 349.
        assert!((at(45.0) / 7.0 - 0.856_349).abs() < 1e-6);
    }

    #[test]
    fn a_long_push_is_a_weaker_one() {
        assert!((peak_limit_nm(&drive(), 1.0) - 20.0).abs() < 1e-12);
        // Twice the seconds: √(49 + (400 − 49)/2).
        assert!((peak_limit_nm(&drive(), 4.0) - float::sqrt(224.5)).abs() < 1e-12);
        assert!(peak_limit_nm(&drive(), 1e6) < 7.01);
    }

    #[test]
    fn the_voltage_line() {
        for (rate_share, left) in [(0.0, 1.0), (0.5, 1.0), (0.75, 0.5), (1.0, 0.0), (1.2, 0.0)] {
            assert!((voltage_share(rate_share) - left).abs() < 1e-15);
        }
        assert!(headroom(1.0, 0.0).is_finite() && (headroom(0.0, 0.0) - 1.0).abs() < 1e-15);
    }
}
