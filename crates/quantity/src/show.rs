//! From SI to what a person reads.

use core::fmt;

use crate::kind::{Kind, System};
use crate::table::{Unit, usual};

/// The decimal mark that a person is used to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum DecimalMark {
    /// 1.25
    #[default]
    Point,
    /// 1,25
    Comma,
}

/// How a person reads numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Style {
    /// Metric or imperial.
    pub system: System,
    /// Point or comma.
    pub mark: DecimalMark,
}

/// A number ready to be read, and its unit apart, so that a screen can set them differently.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The digits, with a real minus sign and the person's decimal mark.
    pub number: String,
    /// The unit; empty for a plain number.
    pub unit: &'static str,
}

impl fmt::Display for Shown {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit {
            "" => write!(out, "{}", self.number),
            "°" => write!(out, "{}°", self.number),
            unit => write!(out, "{}\u{a0}{unit}", self.number),
        }
    }
}

impl Style {
    /// An SI value with the usual number of digits.
    ///
    /// # Example
    /// ```
    /// # use quantity::{Kind, Style};
    /// assert_eq!(Style::default().show(-0.1425, Kind::Length).to_string(), "−143\u{a0}mm");
    /// ```
    pub fn show(self, si: f64, kind: Kind) -> Shown {
        self.digits(si, kind, kind.usual_decimals(self.system))
    }

    /// An SI value with as many digits as its standard uncertainty leaves meaningful, and never more than usual.
    pub fn show_uncertain(self, si: f64, u: f64, kind: Kind) -> Shown {
        let u = self.unit(kind).map_or(u, |unit| unit.difference_from_si(u)).abs();
        let decimals = if u > 0.0 { decimals_of(u).min(kind.usual_decimals(self.system)) } else { 0 };
        self.digits(si, kind, if u > 0.0 { decimals } else { kind.usual_decimals(self.system) })
    }

    /// The `±` that belongs to [`Style::show_uncertain`]: never below one in the last digit shown.
    pub fn show_uncertainty(self, u: f64, kind: Kind) -> Shown {
        let shown = self.unit(kind).map_or(u, |unit| unit.difference_from_si(u)).abs();
        let usual = kind.usual_decimals(self.system);
        self.uncertainty_digits(u, kind, if shown > 0.0 { decimals_of(shown).min(usual) } else { usual })
    }

    /// A `±` with a given number of digits after the decimal mark: never below one in the last of them, for no value is
    /// known without error.
    pub fn uncertainty_digits(self, u: f64, kind: Kind, decimals: usize) -> Shown {
        let shown = self.unit(kind).map_or(u, |unit| unit.difference_from_si(u)).abs();
        let least = power_of_ten(decimals).recip();
        Shown { number: self.write(shown.max(least), decimals), unit: kind.usual_unit(self.system) }
    }

    /// An SI value with a given number of digits after the decimal mark.
    pub fn digits(self, si: f64, kind: Kind, decimals: usize) -> Shown {
        let value = self.unit(kind).map_or(si, |unit| unit.from_si(si));
        Shown { number: self.write(value, decimals), unit: kind.usual_unit(self.system) }
    }

    /// The digits for an entry field: as few as give back the same value when it is stored in steps of
    /// 1 / `steps_per_unit` SI units.
    pub fn edit(self, si: f64, kind: Kind, steps_per_unit: f64) -> String {
        let unit = self.unit(kind);
        let value = unit.map_or(si, |unit| unit.from_si(si));
        let steps = |value: f64| (unit.map_or(value, |unit| unit.to_si(value)) * steps_per_unit).round();
        let good = |decimals: &usize| {
            let scale = power_of_ten(*decimals);
            (steps((value * scale).round() / scale) - steps(value)).abs() < 0.5
        };
        self.write(value, (0..9).find(good).unwrap_or(9))
    }

    fn unit(self, kind: Kind) -> Option<&'static Unit> {
        usual(kind, self.system)
    }

    fn write(self, value: f64, decimals: usize) -> String {
        if !value.is_finite() {
            return "–".to_owned();
        }
        let scale = power_of_ten(decimals);
        // Half away from zero, as people round. The hair is for halves that binary holds a bit low: 142.5 mm in metres.
        let rounded = (value.abs() * scale + 1e-7).round() / scale;
        let digits = format!("{rounded:.decimals$}");
        let digits = if self.mark == DecimalMark::Comma { digits.replace('.', ",") } else { digits };
        if value < 0.0 && rounded > 0.0 { format!("\u{2212}{digits}") } else { digits }
    }
}

/// Digits after the decimal mark up to the first significant one of an uncertainty; below a leading 2 one more, for
/// rounding 0.14 to 0.1 would throw a third of it away.
fn decimals_of(u: f64) -> usize {
    let enough = |decimals: &usize| {
        let scaled = u * power_of_ten(*decimals);
        if *decimals == 0 { scaled >= 0.95 } else { scaled >= 1.95 }
    };
    (0..9).find(enough).unwrap_or(9)
}

fn power_of_ten(decimals: usize) -> f64 {
    (0..decimals).fold(1.0, |power, _| power * 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;
    use crate::table::UNITS;

    const METRIC: Style = Style { system: System::Metric, mark: DecimalMark::Point };
    const COMMA: Style = Style { system: System::Metric, mark: DecimalMark::Comma };
    const IMPERIAL: Style = Style { system: System::Imperial, mark: DecimalMark::Point };

    #[track_caller]
    fn shows(shown: &Shown, expected: &str) {
        assert_eq!(shown.to_string().replace('\u{a0}', " "), expected);
    }

    #[test]
    fn usual_digits() {
        shows(&METRIC.show(15.6249, Kind::Mass), "15.62 kg");
        shows(&COMMA.show(15.6249, Kind::Mass), "15,62 kg");
        shows(&IMPERIAL.show(15.6249, Kind::Mass), "34.4 lb");
        shows(&METRIC.show(-0.023, Kind::Length), "\u{2212}23 mm");
        shows(&METRIC.show(-0.0004, Kind::Length), "0 mm");
        shows(&IMPERIAL.show(0.142, Kind::Mark), "5.59 in");
        shows(&METRIC.show(0.31, Kind::Share), "31 %");
        shows(&METRIC.show(-30.0_f64.to_radians(), Kind::Angle), "\u{2212}30°");
        shows(&IMPERIAL.show(9.0, Kind::Torque), "6.6 lbf·ft");
        shows(&METRIC.show(288.15, Kind::Temperature), "15 °C");
        shows(&IMPERIAL.show(288.15, Kind::Temperature), "59 °F");
        shows(&METRIC.show(1_234.5, Kind::Power), "1235 W");
        shows(&METRIC.show(0.4 * 9.806_65, Kind::Acceleration), "0.40 g");
        shows(&METRIC.show(f64::NAN, Kind::Mass), "– kg");
    }

    #[test]
    fn digits_follow_the_uncertainty() {
        shows(&METRIC.show_uncertain(15.6249, 0.31, Kind::Mass), "15.6 kg");
        shows(&METRIC.show_uncertainty(0.31, Kind::Mass), "0.3 kg");
        shows(&METRIC.show_uncertain(15.6249, 0.12, Kind::Mass), "15.62 kg");
        shows(&METRIC.show_uncertain(15.6249, 1.7, Kind::Mass), "16 kg");
        shows(&METRIC.show_uncertainty(0.000_2, Kind::Mark), "1 mm");
        shows(&METRIC.show_uncertainty(0.003_6, Kind::Mark), "4 mm");
        shows(&METRIC.uncertainty_digits(0.004, Kind::Torque, 2), "0.01 N·m");
        shows(&METRIC.uncertainty_digits(0.056, Kind::Torque, 2), "0.06 N·m");
        // A difference of temperatures has no offset.
        shows(&IMPERIAL.show_uncertainty(5.0, Kind::Temperature), "9 °F");
    }

    #[test]
    fn entry_fields_lose_nothing() {
        assert_eq!(METRIC.edit(0.1425, Kind::Length, 1e4), "142.5");
        assert_eq!(METRIC.edit(3.94, Kind::Mass, 1e4), "3.94");
        assert_eq!(COMMA.edit(3.9401, Kind::Mass, 1e4), "3,9401");
        assert_eq!(METRIC.edit(-30.0_f64.to_radians(), Kind::Angle, 1e6), "\u{2212}30");
        // Stored half a step off: what was typed still stands there.
        assert_eq!(METRIC.edit(3.490_659, Kind::Rate, 1e6), "200");
        for style in [METRIC, COMMA, IMPERIAL] {
            for kind in UNITS.iter().map(|unit| unit.kind) {
                for steps in [-30_001_i32, -7, 0, 1, 13, 142, 9_999, 123_457] {
                    let si = f64::from(steps) / 1e4;
                    let text = style.edit(si, kind, 1e4);
                    let back = parse(&text, kind, style.system).expect("what is shown can be read");
                    assert!((back * 1e4 - f64::from(steps)).abs() < 0.5, "{kind:?} {text} is not {steps}");
                }
            }
        }
    }
}
