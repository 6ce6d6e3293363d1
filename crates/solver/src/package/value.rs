//! Entered quantities with their provenance, and the standard uncertainty that follows from it.

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// Where a mass came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MassSource {
    /// Weighed on a bench scale.
    BenchScale,
    /// Weighed on a luggage scale.
    LuggageScale,
    /// Read off a data sheet.
    DataSheet,
    /// A guess.
    Estimate,
    /// An invented typical value from the built-in library.
    Typical,
    /// Learned from logged balances.
    Balance,
}

impl MassSource {
    /// Whether somebody has put it on a scale.
    pub fn is_weighed(self) -> bool {
        matches!(self, Self::BenchScale | Self::LuggageScale)
    }
}

/// A mass and how well it is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Mass {
    /// Mass, kg.
    pub kg: f64,
    /// Where it came from.
    pub from: MassSource,
    /// Standard uncertainty in kg, where the person knows better than the provenance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_kg: Option<f64>,
}

numbers!(Mass { own { kg: MASS_KG, u_kg: MASS_U_KG } nested {} });

impl Mass {
    /// Takes a person's own figure, kg. What was typical is theirs now: an estimate, until they say how it is known.
    pub fn enter(&mut self, kg: f64) {
        if self.from == MassSource::Typical && kg.to_bits() != self.kg.to_bits() {
            self.from = MassSource::Estimate;
        }
        self.kg = kg;
    }

    /// Standard uncertainty, kg. Common practice, no source: bench scale max(5 g, 0.2 %), luggage scale
    /// max(50 g, 1 %), data sheet 3 %, estimate and typical 15 %; a lesson of logged balances brings
    /// its own.
    pub fn standard_uncertainty_kg(&self) -> f64 {
        self.u_kg.unwrap_or(match self.from {
            MassSource::BenchScale => f64::max(0.005, 0.002 * self.kg),
            MassSource::LuggageScale => f64::max(0.050, 0.01 * self.kg),
            MassSource::DataSheet => 0.03 * self.kg,
            MassSource::Estimate | MassSource::Typical | MassSource::Balance => 0.15 * self.kg,
        })
    }
}

/// Where a centre of gravity came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CgSource {
    /// Measured, by knife edge or two scales.
    Measured,
    /// Read off a data sheet.
    DataSheet,
    /// A guess.
    Estimate,
    /// An invented typical value from the built-in library.
    Typical,
    /// Learned from logged balances.
    Balance,
}

/// A centre of gravity, as its offset from the centre of the part's outline, and how well it is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cg {
    /// Offset from the centre of the outline: forward, left, up, m.
    pub offset_m: [f64; 3],
    /// Where it came from.
    pub from: CgSource,
    /// Standard uncertainty along each axis in m, where the person knows better than the provenance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_m: Option<f64>,
}

numbers!(Cg { own { offset_m: OFFSET_M, u_m: OFFSET_U_M } nested {} });

impl Cg {
    /// Standard uncertainty along each axis, m, for a part of the given length. Common practice, no source: measured
    /// 3 mm, data sheet 8 mm, estimate and typical a tenth of the part's length.
    pub fn standard_uncertainty_m(&self, length_m: f64) -> f64 {
        self.u_m.unwrap_or(match self.from {
            CgSource::Measured => 0.003,
            CgSource::DataSheet => 0.008,
            CgSource::Estimate | CgSource::Typical | CgSource::Balance => 0.1 * length_m,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_that_a_person_enters_is_not_called_typical() {
        let mass = |from| Mass { kg: 2.6, from, u_kg: None };
        let entered = |from, kg| {
            let mut mass = mass(from);
            mass.enter(kg);
            (mass.from, mass.kg)
        };
        assert_eq!(entered(MassSource::Typical, 3.35), (MassSource::Estimate, 3.35));
        assert_eq!(entered(MassSource::Typical, 2.6), (MassSource::Typical, 2.6));
        assert_eq!(entered(MassSource::BenchScale, 3.35), (MassSource::BenchScale, 3.35));
    }
}
