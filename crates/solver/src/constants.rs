//! Constants with their sources.

/// Standard acceleration of gravity, m/s². Source: ISO 80000-3, and 3rd CGPM (1901).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Specific gas constant of dry air, J/(kg·K). Source: ISO 2533:1975.
pub const AIR_GAS_CONSTANT_J_KG_K: f64 = 287.052_87;

/// Sea-level temperature of the standard atmosphere, K. Source: ISO 2533:1975.
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;

/// Sea-level pressure of the standard atmosphere, Pa. Source: ISO 2533:1975.
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;

/// Fall of temperature with height in the troposphere, K/m. Source: ISO 2533:1975.
pub const LAPSE_RATE_K_M: f64 = 0.006_5;

/// Zero of the Celsius scale, K. Source: the definition of the degree Celsius.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// One degree in radians.
pub const DEGREE_RAD: f64 = core::f64::consts::PI / 180.0;

/// Standard uncertainty of the zero of a slide's scale, m. Common practice, no source.
pub const SCALE_ZERO_U_M: f64 = 0.002;

/// Distance to an end of travel below which a mark is a watch, m. Common practice, no source.
pub const TRAVEL_WATCH_M: f64 = 0.010;
