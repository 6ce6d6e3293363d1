//! From what a person types to SI.

use core::fmt;

use crate::kind::{Kind, System};
use crate::number::{TwoMarks, leading};
use crate::table::{UNITS, Unit, usual};

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ParseError {
    /// Nothing is there.
    Empty,
    /// No number where one should be.
    NotANumber {
        /// What stands there.
        text: String,
    },
    /// Two decimal marks in one number.
    TwoMarks,
    /// A unit that is not known.
    UnknownUnit {
        /// As typed.
        unit: String,
    },
    /// A unit of something else.
    WrongKind {
        /// Symbol of the unit.
        unit: &'static str,
        /// What it measures.
        measures: Kind,
        /// What is wanted.
        wanted: Kind,
    },
    /// Two numbers of which one has no unit, such as "1 250".
    Gap,
    /// More than any number holds.
    TooLarge,
}

impl fmt::Display for ParseError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(out, "Enter a number."),
            Self::NotANumber { text } => write!(out, "“{text}” is not a number."),
            Self::TwoMarks => write!(out, "Two decimal marks: write thousands without a separator."),
            Self::UnknownUnit { unit } => write!(out, "The unit “{unit}” is not known."),
            Self::WrongKind { unit, measures, wanted } => {
                write!(out, "{unit} is a unit of {}; a {} is wanted here.", measures.name(), wanted.name())
            }
            Self::Gap => write!(out, "Two numbers: write thousands without a gap, or give each its unit."),
            Self::TooLarge => write!(out, "The number is too large."),
        }
    }
}

impl std::error::Error for ParseError {}

/// Reads a quantity into SI: `2.3 lb`, `14 1/2 in`, `5 ft 3 in`, `1,25`, `−30 °`. A number alone is in the usual unit of
/// the system. What is read is finite.
///
/// # Errors
/// See [`ParseError`].
///
/// # Example
/// ```
/// # use quantity::{Kind, System, parse};
/// assert_eq!(parse("2 lb", Kind::Mass, System::Metric), Ok(2.0 * 0.453_592_37));
/// assert_eq!(parse("1,25", Kind::Mass, System::Metric), Ok(1.25));
/// ```
pub fn parse(text: &str, kind: Kind, system: System) -> Result<f64, ParseError> {
    let text = plain_signs(text);
    let mut rest = text.trim();
    if rest.is_empty() {
        return Err(ParseError::Empty);
    }
    let mut sum: Option<f64> = None;
    let mut without_unit = false;
    while !rest.is_empty() {
        let found = leading(rest).map_err(|TwoMarks| ParseError::TwoMarks)?;
        let (number, after) = found.ok_or_else(|| ParseError::NotANumber { text: rest.to_owned() })?;
        let after = after.trim_start();
        let (unit, after) = leading_unit(after, kind)?;
        if sum.is_some() && (without_unit || unit.is_none()) {
            return Err(ParseError::Gap);
        }
        without_unit = unit.is_none();
        let unit = unit.or_else(|| usual(kind, system));
        let si = unit.map_or(number, |unit| unit.to_si(number));
        // "−5 ft 3 in" is five feet and three inches below.
        sum = Some(match sum {
            Some(sum) if sum.is_sign_negative() => sum - si,
            Some(sum) => sum + si,
            None => si,
        });
        rest = after.trim_start();
    }
    // Adding zero turns −0 into 0.
    let si = sum.unwrap_or(0.0) + 0.0;
    if si.is_finite() { Ok(si) } else { Err(ParseError::TooLarge) }
}

/// All dashes that stand for a minus as one, all spaces as one.
fn plain_signs(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '\u{2212}' | '\u{2013}' | '\u{2012}' => '-',
            '\u{a0}' | '\u{202f}' | '\u{2009}' => ' ',
            other => other,
        })
        .collect()
}

/// The longest unit of the kind that a text begins with, and the text after it; none when a number or nothing follows.
fn leading_unit(text: &str, kind: Kind) -> Result<(Option<&'static Unit>, &str), ParseError> {
    if text.is_empty() || leading(text).is_ok_and(|number| number.is_some()) {
        return Ok((None, text));
    }
    if let Some((unit, after)) = longest(text, |unit| unit.kind.same_as(kind)) {
        return Ok((Some(unit), after));
    }
    match longest(text, |_| true) {
        Some((unit, _)) => Err(ParseError::WrongKind { unit: unit.symbol, measures: unit.kind, wanted: kind }),
        None => Err(ParseError::UnknownUnit { unit: text.split_whitespace().next().unwrap_or(text).to_owned() }),
    }
}

fn longest(text: &str, wanted: impl Fn(&Unit) -> bool) -> Option<(&'static Unit, &str)> {
    let mut best: Option<(&'static Unit, &str)> = None;
    for unit in UNITS.iter().filter(|unit| wanted(unit)) {
        for name in unit.names.iter().chain([&unit.symbol]) {
            let Some(after) = without_prefix(text, name) else { continue };
            if best.is_none_or(|(_, shortest)| after.len() < shortest.len()) {
                best = Some((unit, after));
            }
        }
    }
    best
}

/// A letter, or any sign beyond ASCII that no number or blank can be.
fn is_letter(letter: char) -> bool {
    letter.is_ascii_alphabetic()
        || (!letter.is_ascii() && !matches!(letter, '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞' | '⁄'))
}

/// `text` after `name`, whatever the case of either, when no further letter follows.
fn without_prefix<'a>(text: &'a str, name: &str) -> Option<&'a str> {
    let mut rest = text.chars();
    for wanted in name.chars() {
        let found = rest.next()?;
        // Units are told apart by ASCII letters; the case of others would cost a phone 12 kB of tables.
        if !found.eq_ignore_ascii_case(&wanted) {
            return None;
        }
    }
    let after = rest.as_str();
    let ends_in_letter = name.ends_with(is_letter);
    let goes_on = |letter: char| is_letter(letter) || matches!(letter, '²' | '³' | '/' | '·' | '^' | '*');
    (!(ends_in_letter && after.starts_with(goes_on))).then_some(after)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, kind: Kind, expected: f64) {
        let found = parse(text, kind, System::Metric).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!((found - expected).abs() <= 1e-12 * expected.abs().max(1e-3), "{text} gave {found}, not {expected}");
    }

    #[track_caller]
    fn fails(text: &str, kind: Kind, expected: &ParseError) {
        assert_eq!(parse(text, kind, System::Metric).as_ref(), Err(expected), "{text}");
    }

    #[test]
    fn plain_numbers_are_in_the_usual_unit() {
        reads("142", Kind::Length, 0.142);
        reads("1,25", Kind::Mass, 1.25);
        reads("1.25", Kind::Mass, 1.25);
        reads(".5", Kind::Mass, 0.5);
        reads("1,250", Kind::Mass, 1.25);
        reads("\u{2212}30", Kind::Angle, -30.0 * core::f64::consts::PI / 180.0);
        reads(" - 3 ", Kind::Length, -0.003);
        reads("31", Kind::Share, 0.31);
        assert_eq!(parse("2", Kind::Mass, System::Imperial), Ok(0.907_184_74));
    }

    #[test]
    fn a_unit_wins_over_the_system() {
        reads("2.3 lb", Kind::Mass, 2.3 * 0.453_592_37);
        reads("850g", Kind::Mass, 0.85);
        reads("14 in", Kind::Length, 0.3556);
        reads("14\"", Kind::Length, 0.3556);
        reads("5 ft 3 in", Kind::Length, 1.6002);
        reads("5'3\"", Kind::Length, 1.6002);
        reads("-5 ft 3 in", Kind::Length, -1.6002);
        reads("2 lb 4 oz", Kind::Mass, 2.25 * 0.453_592_37);
        reads("14 1/2 in", Kind::Length, 14.5 * 0.0254);
        reads("14½ in", Kind::Length, 14.5 * 0.0254);
        reads("3/8 in", Kind::Length, 0.375 * 0.0254);
        reads("7 Nm", Kind::Torque, 7.0);
        reads("7 N·m", Kind::Torque, 7.0);
        reads("5 ft-lb", Kind::Torque, 5.0 * 1.355_817_948_331_400_4);
        reads("20 °C", Kind::Temperature, 293.15);
        reads("68 f", Kind::Temperature, 293.15);
        reads("0.4 g", Kind::Acceleration, 0.4 * 9.806_65);
        reads("180 °/s", Kind::Rate, core::f64::consts::PI);
        reads("60 km/h", Kind::Speed, 60.0 / 3.6);
        reads("90 min", Kind::Hours, 1.5);
        reads("1.3 kg·m²", Kind::Inertia, 1.3);
        reads("60 mOhm", Kind::Resistance, 0.06);
    }

    #[test]
    fn faults_say_what_is_wrong() {
        fails("", Kind::Mass, &ParseError::Empty);
        fails("  ", Kind::Mass, &ParseError::Empty);
        fails("abc", Kind::Mass, &ParseError::NotANumber { text: "abc".to_owned() });
        fails("1.250,5", Kind::Mass, &ParseError::TwoMarks);
        fails("1 250", Kind::Mass, &ParseError::Gap);
        fails("1 250 kg", Kind::Mass, &ParseError::Gap);
        fails("3 stones", Kind::Mass, &ParseError::UnknownUnit { unit: "stones".to_owned() });
        fails("3 mm", Kind::Mass, &ParseError::WrongKind { unit: "mm", measures: Kind::Length, wanted: Kind::Mass });
        let nines = "9".repeat(400);
        fails(&nines, Kind::Mass, &ParseError::TooLarge);
        fails(&format!("{nines}/{nines}"), Kind::Mass, &ParseError::TooLarge);
        fails(&format!("-{nines} ft {nines} in"), Kind::Length, &ParseError::TooLarge);
        fails("1/0 in", Kind::Length, &ParseError::UnknownUnit { unit: "/0".to_owned() });
    }
}
