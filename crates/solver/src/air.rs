//! The air: its density at a height and temperature, and the pressure of the wind.

use crate::constants::{
    AIR_GAS_CONSTANT_J_KG_K, GRAVITY_M_S2, LAPSE_RATE_K_M, SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K,
};
use crate::float;

/// Pressure of the standard atmosphere at a geopotential height up to 11 km, Pa.
///
/// # Source
/// ISO 2533:1975: p = p₀ (T/T₀)^(g/(R·0.0065)), T = 288.15 K − 0.0065 K/m × height.
pub fn standard_pressure_pa(altitude_m: f64) -> f64 {
    let exponent = GRAVITY_M_S2 / (AIR_GAS_CONSTANT_J_KG_K * LAPSE_RATE_K_M);
    SEA_LEVEL_PRESSURE_PA * float::pow(standard_temperature_k(altitude_m) / SEA_LEVEL_TEMPERATURE_K, exponent)
}

/// Temperature of the standard atmosphere at a geopotential height up to 11 km, K. Source: ISO 2533:1975.
pub fn standard_temperature_k(altitude_m: f64) -> f64 {
    SEA_LEVEL_TEMPERATURE_K - LAPSE_RATE_K_M * altitude_m.min(11_000.0)
}

/// Density of dry air at the standard pressure of this height and the day's own temperature, kg/m³: ρ = p/(R·T).
pub fn density_kg_m3(altitude_m: f64, air_k: f64) -> f64 {
    standard_pressure_pa(altitude_m) / (AIR_GAS_CONSTANT_J_KG_K * air_k)
}

/// Speed of sound in dry air, m/s: √(γRT), γ 1.4. Source: ISO 2533:1975.
pub fn speed_of_sound_m_s(air_k: f64) -> f64 {
    float::sqrt(1.4 * AIR_GAS_CONSTANT_J_KG_K * air_k)
}

/// Dynamic viscosity of air, Pa·s: 1.458e-6·T^1.5/(T + 110.4). Source: ISO 2533:1975, Sutherland's formula.
pub fn viscosity_pa_s(air_k: f64) -> f64 {
    1.458e-6 * air_k * float::sqrt(air_k) / (air_k + 110.4)
}

/// Dynamic pressure ½ρV², Pa.
pub fn dynamic_pressure_pa(density_kg_m3: f64, airspeed_m_s: f64) -> f64 {
    0.5 * density_kg_m3 * airspeed_m_s * airspeed_m_s
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: ISO 2533:1975, closed form at geopotential heights (computed; two open implementations agree).
    #[test]
    fn standard_atmosphere() {
        for (altitude_m, density) in [(0.0, 1.2250), (1_500.0, 1.058_07), (3_000.0, 0.909_12)] {
            let here = density_kg_m3(altitude_m, standard_temperature_k(altitude_m));
            assert!((here - density).abs() < 1e-5, "{altitude_m}: {here}");
        }
    }

    /// Source: ISO 2533:1975, table at sea level: 340.294 m/s and 1.7894e-5 Pa·s (values from memory).
    #[test]
    fn sound_and_viscosity_at_sea_level() {
        assert!((speed_of_sound_m_s(288.15) - 340.294).abs() < 0.01);
        assert!((viscosity_pa_s(288.15) - 1.7894e-5).abs() < 1e-9);
    }

    /// Source: by the gas law alone, density falls as 1/T at the same height.
    #[test]
    fn a_hot_day_is_a_thin_one() {
        let ratio = density_kg_m3(0.0, 313.15) / density_kg_m3(0.0, 273.15);
        assert!((ratio - 273.15 / 313.15).abs() < 1e-12);
    }

    /// Source: computed from ½ρV² at 44.7 m/s (100 mph) and 1.225 kg/m³.
    #[test]
    fn pressure_at_a_hundred_miles_an_hour() {
        assert!((dynamic_pressure_pa(1.225, 44.7) - 1_223.8).abs() < 0.05);
    }
}
