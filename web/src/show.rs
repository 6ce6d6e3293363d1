//! Numbers as a person reads and types them: the only place where SI meets the screen.

use crate::state::prefs::Units;

/// What a number measures. It decides unit, digits and the step of a stepper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A mass in kg.
    Mass,
    /// A length or a mark in m, shown to the millimetre.
    Length,
    /// A torque in N·m.
    Torque,
    /// An unbalance in kg·m.
    Unbalance,
    /// An angle in rad.
    Angle,
    /// A rate in rad/s.
    Rate,
    /// A speed of air or vehicle in m/s.
    Speed,
    /// A force in N.
    Force,
    /// A share of 1, shown per cent.
    Share,
    /// A temperature in K.
    Temperature,
    /// A height above the sea in m.
    Altitude,
    /// An acceleration in m/s², shown in g.
    Acceleration,
    /// A power in W.
    Power,
    /// An energy in Wh.
    Energy,
    /// A current in A.
    Current,
    /// A voltage in V.
    Voltage,
    /// A capacity in Ah.
    Capacity,
    /// A resistance in Ω.
    Resistance,
    /// A length of cable or hull in m.
    Run,
    /// The cross-section of a conductor in mm².
    Section,
    /// A duration in s.
    Seconds,
    /// A duration in h.
    Hours,
    /// A frequency in Hz.
    Frequency,
    /// A moment of inertia in kg·m².
    Inertia,
    /// A plain number.
    Plain,
    /// A whole number.
    Count,
}

/// How a person writes numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Style {
    /// Metric or imperial.
    pub(crate) units: Units,
    /// Whether the decimal mark is a comma.
    pub(crate) comma: bool,
}

/// How a kind is shown in one system of units.
struct Form {
    unit: &'static str,
    /// SI value of one shown unit.
    per_unit: f64,
    /// SI value of the shown zero.
    zero: f64,
    decimals: usize,
    /// One press of a stepper, in shown units.
    step: f64,
}

const fn form(unit: &'static str, per_unit: f64, decimals: usize, step: f64) -> Form {
    Form { unit, per_unit, zero: 0.0, decimals, step }
}

const POUND_KG: f64 = 0.453_592_37;
const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
const POUND_FORCE_N: f64 = POUND_KG * solver::constants::GRAVITY_M_S2;

impl Kind {
    fn form(self, units: Units) -> Form {
        let imperial = units == Units::Imperial;
        match self {
            Self::Mass if imperial => form("lb", POUND_KG, 2, 0.1),
            Self::Mass => form("kg", 1.0, 2, 0.05),
            Self::Length if imperial => form("in", INCH_M, 2, 0.05),
            Self::Length => form("mm", 1e-3, 0, 1.0),
            Self::Torque if imperial => form("lbf·ft", POUND_FORCE_N * FOOT_M, 1, 0.5),
            Self::Torque => form("N·m", 1.0, 1, 0.5),
            Self::Unbalance if imperial => form("lb·in", POUND_KG * INCH_M, 2, 0.1),
            Self::Unbalance => form("kg·m", 1.0, 3, 0.01),
            Self::Angle => form("°", solver::constants::DEGREE_RAD, 0, 1.0),
            Self::Rate => form("°/s", solver::constants::DEGREE_RAD, 0, 5.0),
            Self::Speed if imperial => form("mph", 0.447_04, 0, 5.0),
            Self::Speed => form("km/h", 1.0 / 3.6, 0, 5.0),
            Self::Force if imperial => form("lbf", POUND_FORCE_N, 0, 1.0),
            Self::Force => form("N", 1.0, 0, 5.0),
            Self::Share => form("%", 0.01, 0, 1.0),
            Self::Temperature if imperial => Form { zero: solver::constants::ZERO_CELSIUS_K - 32.0 / 1.8, ..form("°F", 1.0 / 1.8, 0, 5.0) },
            Self::Temperature => Form { zero: solver::constants::ZERO_CELSIUS_K, ..form("°C", 1.0, 0, 1.0) },
            Self::Altitude if imperial => form("ft", FOOT_M, 0, 100.0),
            Self::Altitude => form("m", 1.0, 0, 50.0),
            Self::Acceleration => form("g", solver::constants::GRAVITY_M_S2, 2, 0.05),
            Self::Power => form("W", 1.0, 0, 1.0),
            Self::Energy => form("Wh", 1.0, 0, 1.0),
            Self::Current => form("A", 1.0, 1, 0.5),
            Self::Voltage => form("V", 1.0, 1, 0.5),
            Self::Capacity => form("Ah", 1.0, 1, 0.1),
            Self::Resistance => form("Ω", 1.0, 3, 0.005),
            Self::Run if imperial => form("ft", FOOT_M, 1, 0.5),
            Self::Run => form("m", 1.0, 1, 0.1),
            Self::Section => form("mm²", 1.0, 2, 0.25),
            Self::Seconds => form("s", 1.0, 2, 0.1),
            Self::Hours => form("h", 1.0, 1, 0.5),
            Self::Frequency => form("Hz", 1.0, 1, 0.5),
            Self::Inertia => form("kg·m²", 1.0, 3, 0.01),
            Self::Plain => form("", 1.0, 2, 0.1),
            Self::Count => form("", 1.0, 0, 1.0),
        }
    }
}

impl Style {
    /// The unit as printed after a number.
    pub(crate) fn unit(self, kind: Kind) -> &'static str {
        kind.form(self.units).unit
    }

    /// SI value of one press of a stepper.
    pub(crate) fn step(self, kind: Kind) -> f64 {
        let form = kind.form(self.units);
        form.step * form.per_unit
    }

    /// A number without its unit, to the digits of its kind.
    pub(crate) fn bare(self, kind: Kind, si: f64) -> String {
        let form = kind.form(self.units);
        self.decimal((si - form.zero) / form.per_unit, form.decimals)
    }

    /// A number for a field: every digit that was entered, and no more.
    pub(crate) fn typed(self, kind: Kind, si: f64) -> String {
        let form = kind.form(self.units);
        let mut text = self.decimal((si - form.zero) / form.per_unit, form.decimals + 2);
        let mark = if self.comma { ',' } else { '.' };
        if text.contains(mark) {
            while text.ends_with('0') {
                text.pop();
            }
            if text.ends_with(mark) {
                text.pop();
            }
        }
        text
    }

    /// A number with its unit.
    pub(crate) fn show(self, kind: Kind, si: f64) -> String {
        let unit = self.unit(kind);
        let bare = self.bare(kind, si);
        match unit {
            "" => bare,
            "°" | "°/s" => format!("{bare}{unit}"),
            _ => format!("{bare}\u{202f}{unit}"),
        }
    }

    /// A standard uncertainty, without its unit: never shown as nothing.
    pub(crate) fn plus_minus(self, kind: Kind, u_si: f64) -> String {
        let form = kind.form(self.units);
        let least = if form.decimals == 0 { 1.0 } else { f64::from(10_u8.pow(u32::try_from(form.decimals).unwrap_or(0))).recip() };
        format!("±{}", self.decimal((u_si / form.per_unit).max(least), form.decimals))
    }

    /// A number to so many decimals, with the person's decimal mark and a true minus.
    pub(crate) fn decimal(self, value: f64, decimals: usize) -> String {
        let mut text = format!("{value:.decimals$}");
        if text.starts_with('-') {
            let zero = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
            text.replace_range(..1, if zero { "" } else { "\u{2212}" });
        }
        if self.comma { text.replace('.', ",") } else { text }
    }

    /// Reads what a person typed, as SI.
    pub(crate) fn parse(self, kind: Kind, text: &str) -> Result<f64, String> {
        let form = kind.form(self.units);
        let plain = text.trim().trim_end_matches(form.unit).trim().replace(',', ".").replace('\u{2212}', "-");
        plain.parse::<f64>().map(|value| value * form.per_unit + form.zero).map_err(|_| "a number is needed".to_owned())
    }
}

/// Hours as a crew says them: "3 h 40".
pub(crate) fn hours(hours: f64) -> String {
    let minutes = (hours * 60.0).floor();
    format!("{:.0}\u{202f}h\u{202f}{:02.0}", (minutes / 60.0).floor(), minutes % 60.0)
}

impl Style {
    /// A number of a kind in its shown unit, to so many decimals.
    pub(crate) fn decimal_of(self, kind: Kind, si: f64, decimals: usize) -> String {
        let form = kind.form(self.units);
        self.decimal((si - form.zero) / form.per_unit, decimals)
    }

    /// A number to about four significant digits.
    pub(crate) fn significant(self, value: f64) -> String {
        let size = value.abs();
        let decimals = [1000.0, 100.0, 10.0, 1.0, 0.1, 0.01].iter().position(|limit| size >= *limit).unwrap_or(6);
        self.decimal(value, decimals)
    }
}
