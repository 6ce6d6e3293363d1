//! Every unit that is understood, with its factor and where that comes from.

use crate::kind::{Kind, System};

/// A unit of measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// How it is written after a number.
    pub symbol: &'static str,
    /// Other ways in which people type it, in small letters.
    pub names: &'static [&'static str],
    /// SI value of one of it.
    pub factor: f64,
    /// Added before the factor is applied: (x + `offset`) × `factor`.
    pub offset: f64,
    /// Source of the factor.
    pub source: &'static str,
}

impl Unit {
    /// A number of this unit in SI.
    pub fn to_si(&self, value: f64) -> f64 {
        (value + self.offset) * self.factor
    }

    /// An SI value as a number of this unit.
    pub fn from_si(&self, si: f64) -> f64 {
        si / self.factor - self.offset
    }

    /// A difference of two SI values, such as an uncertainty, in this unit.
    pub fn difference_from_si(&self, si: f64) -> f64 {
        si / self.factor
    }
}

/// The first unit with this symbol.
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.symbol == symbol)
}

/// The unit in which a kind is shown; none for a plain number.
pub(crate) fn usual(kind: Kind, system: System) -> Option<&'static Unit> {
    // A symbol such as g serves two kinds.
    UNITS.iter().find(|unit| unit.symbol == kind.usual_unit(system) && unit.kind.same_as(kind))
}

const SI: &str = "The International System of Units, BIPM, 9th edition";
const SP811: &str = "NIST SP 811 (2008), appendix B (value from memory)";
const YARD_AND_POUND: &str = "International yard and pound agreement of 1959";
const DEGREE: &str = "A degree is π/180 rad: SI brochure, table 8";
const WATT_HOUR: &str = "Held in watt-hours and ampere-hours, as packs are labelled";
const STANDARD_GRAVITY: &str = "9.806 65 m/s²: 3rd CGPM (1901)";

const fn linear(
    kind: Kind,
    symbol: &'static str,
    names: &'static [&'static str],
    factor: f64,
    source: &'static str,
) -> Unit {
    Unit { kind, symbol, names, factor, offset: 0.0, source }
}

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const POUND: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
const POUND_FORCE: f64 = 4.448_221_615_260_5;
const DEGREE_RAD: f64 = core::f64::consts::PI / 180.0;

/// Every unit that is understood.
pub const UNITS: &[Unit] = &[
    linear(Kind::Mass, "kg", &["kilo", "kilos", "kgs"], 1.0, SI),
    linear(Kind::Mass, "g", &["gram", "grams", "gr"], 0.001, SI),
    linear(Kind::Mass, "lb", &["lbs", "pound", "pounds", "#"], POUND, YARD_AND_POUND),
    linear(Kind::Mass, "oz", &["ounce", "ounces"], POUND / 16.0, YARD_AND_POUND),
    linear(Kind::Length, "mm", &["millimetre", "millimetres", "millimeter", "millimeters"], 0.001, SI),
    linear(Kind::Length, "cm", &["centimetre", "centimetres", "centimeter", "centimeters"], 0.01, SI),
    linear(Kind::Length, "m", &["metre", "metres", "meter", "meters"], 1.0, SI),
    linear(Kind::Length, "in", &["\"", "″", "”", "''", "inch", "inches"], INCH, YARD_AND_POUND),
    linear(Kind::Length, "ft", &["'", "′", "’", "foot", "feet"], FOOT, YARD_AND_POUND),
    linear(Kind::Torque, "N·m", &["nm", "n m", "n*m", "n.m", "n⋅m"], 1.0, SI),
    linear(Kind::Torque, "kgf·cm", &["kgfcm", "kgf cm", "kgcm", "kg·cm", "kg cm"], 0.01 * GRAVITY, STANDARD_GRAVITY),
    linear(
        Kind::Torque,
        "lbf·ft",
        &["lbf ft", "lbfft", "lb·ft", "lb ft", "lb-ft", "ft·lb", "ft lb", "ft-lb", "ft·lbf", "ft lbf", "ft-lbf"],
        POUND_FORCE * FOOT,
        SP811,
    ),
    linear(
        Kind::Torque,
        "lbf·in",
        &["lbf in", "lbfin", "in·lb", "in lb", "in-lb", "in·lbf", "in lbf", "in-lbf"],
        POUND_FORCE * INCH,
        SP811,
    ),
    linear(Kind::Unbalance, "kg·m", &["kgm", "kg m", "kg*m", "kg⋅m"], 1.0, SI),
    linear(Kind::Unbalance, "g·m", &["gm", "g m", "g*m", "g⋅m"], 0.001, SI),
    linear(Kind::Unbalance, "lb·in", &["lb in", "lb-in", "lb*in"], POUND * INCH, YARD_AND_POUND),
    linear(Kind::Inertia, "kg·m²", &["kgm2", "kgm²", "kg m2", "kg m²", "kg·m2", "kg·m^2", "kg m^2"], 1.0, SI),
    linear(Kind::Inertia, "lb·ft²", &["lbft2", "lb ft2", "lb ft²", "lb·ft2", "lb·ft^2"], POUND * FOOT * FOOT, SP811),
    linear(Kind::Force, "N", &["newton", "newtons"], 1.0, SI),
    linear(Kind::Force, "kgf", &["kp"], GRAVITY, STANDARD_GRAVITY),
    linear(Kind::Force, "lbf", &[], POUND_FORCE, SP811),
    linear(Kind::Angle, "°", &["deg", "degree", "degrees"], DEGREE_RAD, DEGREE),
    linear(Kind::Angle, "rad", &["radian", "radians"], 1.0, SI),
    linear(Kind::Rate, "°/s", &["deg/s", "deg/sec", "°/sec", "dps"], DEGREE_RAD, DEGREE),
    linear(Kind::Rate, "rad/s", &[], 1.0, SI),
    linear(Kind::Rate, "rpm", &["r/min", "1/min"], DEGREE_RAD * 6.0, DEGREE),
    linear(Kind::Speed, "m/s", &["mps"], 1.0, SI),
    linear(Kind::Speed, "km/h", &["kmh", "kph"], 1.0 / 3.6, SI),
    linear(Kind::Speed, "mph", &["mi/h"], 0.447_04, YARD_AND_POUND),
    linear(Kind::Speed, "kn", &["kt", "kts", "knot", "knots"], 1_852.0 / 3_600.0, SP811),
    linear(Kind::Acceleration, "g", &["gee", "gees"], GRAVITY, STANDARD_GRAVITY),
    linear(Kind::Acceleration, "m/s²", &["m/s2", "m/s^2"], 1.0, SI),
    Unit { kind: Kind::Temperature, symbol: "°C", names: &["c", "celsius"], factor: 1.0, offset: 273.15, source: SI },
    Unit {
        kind: Kind::Temperature,
        symbol: "°F",
        names: &["f", "fahrenheit"],
        factor: 5.0 / 9.0,
        offset: 459.67,
        source: SP811,
    },
    linear(Kind::Temperature, "K", &["kelvin"], 1.0, SI),
    linear(Kind::Power, "W", &["watt", "watts"], 1.0, SI),
    linear(Kind::Power, "kW", &[], 1_000.0, SI),
    linear(Kind::Energy, "Wh", &["w h", "watt-hours", "watt hours"], 1.0, WATT_HOUR),
    linear(Kind::Energy, "kWh", &[], 1_000.0, WATT_HOUR),
    linear(Kind::Voltage, "V", &["volt", "volts"], 1.0, SI),
    linear(Kind::Current, "A", &["amp", "amps", "ampere", "amperes"], 1.0, SI),
    linear(Kind::Current, "mA", &[], 0.001, SI),
    linear(Kind::Capacity, "Ah", &["amp-hours", "amp hours"], 1.0, WATT_HOUR),
    linear(Kind::Capacity, "mAh", &[], 0.001, WATT_HOUR),
    linear(Kind::Resistance, "mΩ", &["mω", "mohm", "milliohm", "milliohms"], 0.001, SI),
    linear(Kind::Resistance, "Ω", &["ω", "ohm", "ohms"], 1.0, SI),
    linear(Kind::Frequency, "Hz", &["hertz"], 1.0, SI),
    linear(Kind::Seconds, "s", &["sec", "secs", "second", "seconds"], 1.0, SI),
    linear(Kind::Seconds, "ms", &[], 0.001, SI),
    linear(Kind::Seconds, "min", &["minute", "minutes"], 60.0, SI),
    linear(Kind::Hours, "h", &["hr", "hrs", "hour", "hours"], 1.0, SI),
    linear(Kind::Hours, "min", &["minute", "minutes"], 1.0 / 60.0, SI),
    linear(Kind::Share, "%", &["percent", "per cent"], 0.01, SI),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn factor(symbol: &str, expected: f64) {
        let found = unit(symbol).expect(symbol).factor;
        assert!((found / expected - 1.0).abs() < 4e-16, "{symbol}: {found} is not {expected}");
    }

    /// Each factor once more, from definitions that the table does not use.
    #[test]
    fn factors_follow_from_their_definitions() {
        // 7000 grains of 64.798 91 mg: NIST Handbook 44, appendix C (value from memory).
        factor("lb", 7_000.0 * 64.798_91e-6);
        // A thirty-sixth of a yard of 0.9144 m: the agreement of 1959.
        factor("in", 0.9144 / 36.0);
        factor("ft", 0.9144 / 3.0);
        // A mile of 1760 yards.
        factor("mph", 1_760.0 * 0.9144 / 3_600.0);
        // NIST SP 811, appendix B.8: 1 lbf = 4.448 222 N, 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m
        // (values from memory, to the digits printed there).
        let close = |symbol: &str, expected: f64, digit: f64| {
            let found = unit(symbol).expect(symbol).factor;
            assert!((found - expected).abs() <= 0.5 * digit, "{symbol}: {found} is not {expected}");
        };
        close("lbf", 4.448_222, 1e-6);
        close("lbf·ft", 1.355_818, 1e-6);
        close("lbf·in", 0.112_984_8, 1e-7);
        // 1 lb·ft² = 0.042 140 11 kg·m², 1 kgf·m = 9.806 65 N·m, 1 kn = 0.514 444 4 m/s: the same table.
        close("lb·ft²", 0.042_140_11, 1e-8);
        close("kgf·cm", 0.098_066_5, 1e-12);
        close("kn", 0.514_444_4, 1e-7);
        factor("lbf", 0.453_592_37 * 9.806_65);
        factor("rpm", core::f64::consts::TAU / 60.0);
    }

    /// Freezing and boiling water on three scales: 0 °C = 32 °F = 273.15 K, 100 °C = 212 °F.
    #[test]
    fn temperatures_meet_at_their_fixed_points() {
        let (celsius, fahrenheit) = (unit("°C").expect("celsius"), unit("°F").expect("fahrenheit"));
        for (c, f) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)] {
            assert!((celsius.to_si(c) - fahrenheit.to_si(f)).abs() < 1e-10);
            assert!((fahrenheit.from_si(celsius.to_si(c)) - f).abs() < 1e-10);
        }
        assert!((celsius.to_si(0.0) - 273.15).abs() < 1e-12);
    }

    /// A name typed for one kind must mean one unit.
    #[test]
    fn no_name_means_two_units_of_a_kind() {
        for (index, unit) in UNITS.iter().enumerate() {
            for other in UNITS.iter().skip(index + 1).filter(|other| other.kind.same_as(unit.kind)) {
                for name in unit.names.iter().chain([&unit.symbol]) {
                    let same = |other: &&str| other.to_lowercase() == name.to_lowercase();
                    assert!(!other.names.iter().chain([&other.symbol]).any(same), "{name}");
                }
            }
        }
    }
}
