//! Numbers as this person reads and types them, over [`quantity`].

pub(crate) use quantity::Kind;
use quantity::{DecimalMark, System};
use solver::bounds::Bounds;

/// How a person writes numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Style(pub(crate) quantity::Style);

impl Style {
    /// Whether lengths are in inches.
    pub(crate) fn imperial(self) -> bool {
        self.0.system == System::Imperial
    }

    /// The unit as printed after a number.
    pub(crate) fn unit(self, kind: Kind) -> &'static str {
        kind.usual_unit(self.0.system)
    }

    /// A number with its unit.
    pub(crate) fn show(self, kind: Kind, si: f64) -> String {
        self.0.show(si, kind).to_string()
    }

    /// A number with its unit, to the digits that its standard uncertainty leaves.
    pub(crate) fn uncertain(self, kind: Kind, si: f64, u_si: f64) -> String {
        self.0.show_uncertain(si, u_si, kind).to_string()
    }

    /// A number without its unit.
    pub(crate) fn bare(self, kind: Kind, si: f64) -> String {
        self.0.show(si, kind).number
    }

    /// A number with its unit, to so many decimals.
    pub(crate) fn fine(self, kind: Kind, si: f64, decimals: usize) -> String {
        self.0.digits(si, kind, decimals).to_string()
    }

    /// A number without its unit, to so many decimals.
    pub(crate) fn fine_bare(self, kind: Kind, si: f64, decimals: usize) -> String {
        self.0.digits(si, kind, decimals).number
    }

    /// A standard uncertainty with its unit; never shown as nothing.
    pub(crate) fn plus_minus(self, kind: Kind, u_si: f64) -> String {
        format!("±{}", self.0.show_uncertainty(u_si, kind))
    }

    /// The same without its unit, where that stands behind it or above its column.
    pub(crate) fn bare_plus_minus(self, kind: Kind, u_si: f64) -> String {
        format!("±{}", self.0.show_uncertainty(u_si, kind).number)
    }

    /// A standard uncertainty without its unit, to so many decimals; never shown as nothing.
    pub(crate) fn fine_plus_minus(self, kind: Kind, u_si: f64, decimals: usize) -> String {
        format!("±{}", self.0.uncertainty_digits(u_si, kind, decimals).number)
    }

    /// The standard uncertainty of a weighed mass without its unit: below 10 g to the gram, as its scale shows it.
    pub(crate) fn mass_plus_minus(self, u_kg: f64) -> String {
        self.fine_plus_minus(Kind::Mass, u_kg, if u_kg < 0.01 { 3 } else { 2 })
    }

    /// A number as a field holds it: all that was entered and no more.
    pub(crate) fn typed(self, kind: Kind, si: f64, bounds: &Bounds) -> String {
        self.0.edit(si, kind, bounds.steps_per_unit)
    }

    /// The same with its unit.
    pub(crate) fn figure(self, kind: Kind, si: f64, bounds: &Bounds) -> String {
        self.with_unit(self.typed(kind, si, bounds), kind)
    }

    /// A number as it is written, and the unit of its kind after it.
    pub(crate) fn with_unit(self, number: String, kind: Kind) -> String {
        let unit = self.unit(kind);
        let close = unit.is_empty() || matches!(kind, Kind::Angle | Kind::Rate);
        format!("{number}{}{unit}", if close { "" } else { "\u{a0}" })
    }

    /// What was typed, as SI, if it can be understood and lies in range; else why not.
    pub(crate) fn read(self, kind: Kind, text: &str, bounds: &Bounds) -> Result<f64, String> {
        let si = quantity::parse(text, kind, self.0.system).map_err(|fault| fault.to_string())?;
        let rounded = bounds.quantise(si);
        if bounds.contains(rounded) {
            return Ok(rounded);
        }
        let [least, most] = [bounds.min, bounds.max].map(|limit| self.typed(kind, limit, bounds));
        Err(format!("It must lie between {least} and {most} {}.", self.unit(kind)).replace(" .", "."))
    }

    /// A plain number to so many decimals.
    pub(crate) fn plain(self, value: f64, decimals: usize) -> String {
        self.0.digits(value, Kind::Plain, decimals).number
    }

    /// A plain number to about four significant digits.
    pub(crate) fn significant(self, value: f64) -> String {
        let size = value.abs();
        let decimals = [1000.0, 100.0, 10.0, 1.0, 0.1, 0.01].iter().position(|limit| size >= *limit).unwrap_or(6);
        self.plain(value, decimals)
    }

    /// SI value of zero on the scale that this person reads: nothing, but for temperatures.
    pub(crate) fn zero(self, kind: Kind) -> f64 {
        quantity::parse("0", kind, self.0.system).unwrap_or(0.0)
    }

    /// SI value of one press of a stepper.
    pub(crate) fn step(self, kind: Kind) -> f64 {
        let shown = match (kind, self.0.system) {
            (Kind::Mass, System::Metric) | (Kind::Length | Kind::Mark, System::Imperial) | (Kind::Acceleration, _) => {
                0.05
            }
            (Kind::Mass | Kind::Distance | Kind::Seconds | Kind::Capacity | Kind::Plain, _) => 0.1,
            (Kind::Torque | Kind::Voltage | Kind::Current | Kind::Frequency | Kind::Hours, _) => 0.5,
            (Kind::Unbalance | Kind::Inertia, _) => 0.01,
            (Kind::Rate | Kind::Speed, _) => 5.0,
            _ => 1.0,
        };
        // Reading the step and reading nothing leaves the difference, whatever the zero of the scale.
        let at = |shown: f64| quantity::parse(&format!("{shown}"), kind, self.0.system).unwrap_or(0.0);
        at(shown) - at(0.0)
    }
}

impl From<&crate::state::prefs::Prefs> for Style {
    fn from(prefs: &crate::state::prefs::Prefs) -> Self {
        let mark = if prefs.comma { DecimalMark::Comma } else { DecimalMark::Point };
        Self(quantity::Style { system: prefs.system, mark })
    }
}
