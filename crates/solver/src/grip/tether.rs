//! The secondary tether: what it must stand when the primary fixing lets go.

use serde::{Deserialize, Serialize};

use crate::bounds::{self, Bounds};
use crate::constants::GRAVITY_M_S2;
use crate::error::InputError;
use crate::path::FieldPath;

/// A tether that catches a fall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Tether {
    /// What falls, kg.
    pub mass_kg: f64,
    /// How far it falls before the tether is tight, m.
    pub slack_m: f64,
    /// Stiffness of tether and fixings together, N/m.
    pub stiffness_n_m: f64,
}

/// Stiffness of a tether with its fixings.
pub const STIFFNESS_N_M: Bounds = Bounds { min: 1.0, max: 1e8, steps_per_unit: 1.0, unit: "N/m" };
/// How far something falls before its tether is tight.
pub const SLACK_M: Bounds = Bounds { min: 0.0, max: 3.0, ..bounds::SIZE_M };

/// Largest force in the tether, N: F = W(1 + √(1 + 2kh/W)). Even without slack it is twice the weight.
///
/// # Errors
/// Every input that is out of range, by its field.
///
/// # Source
/// Energy balance of a weight caught by a linear spring (from memory); no damping and a rigid load: the safe side.
pub fn tether_force_n(tether: &Tether) -> Result<f64, Vec<InputError>> {
    let rows = [
        ("mass_kg", tether.mass_kg, bounds::MASS_KG),
        ("slack_m", tether.slack_m, SLACK_M),
        ("stiffness_n_m", tether.stiffness_n_m, STIFFNESS_N_M),
    ];
    let fault = |(name, value, bounds)| InputError::of_number(FieldPath::root().field(name), value, &bounds);
    let faults: Vec<InputError> = rows.into_iter().filter_map(fault).collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let weight_n = GRAVITY_M_S2 * tether.mass_kg;
    if weight_n <= 0.0 {
        return Ok(0.0);
    }
    Ok(weight_n * (1.0 + libm::sqrt(1.0 + 2.0 * tether.stiffness_n_m * tether.slack_m / weight_n)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn suddenly_applied_is_twice_the_weight() {
        // Energy balance with no slack: exactly 2 W.
        let force_n = tether_force_n(&Tether { mass_kg: 30.0, slack_m: 0.0, stiffness_n_m: 2e5 }).expect("in range");
        assert!((force_n - 2.0 * 30.0 * GRAVITY_M_S2).abs() < 1e-9);
    }

    #[test]
    fn the_spring_takes_the_energy_of_the_fall() {
        let tether = Tether { mass_kg: 30.0, slack_m: 0.05, stiffness_n_m: 2e5 };
        let force_n = tether_force_n(&tether).expect("in range");
        let stretch_m = force_n / tether.stiffness_n_m;
        let fallen_j = tether.mass_kg * GRAVITY_M_S2 * (tether.slack_m + stretch_m);
        assert!((0.5 * force_n * stretch_m - fallen_j).abs() < 1e-9);
        assert!(tether_force_n(&Tether { stiffness_n_m: f64::NAN, ..tether }).is_err());
    }
}
