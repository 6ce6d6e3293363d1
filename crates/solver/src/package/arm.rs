//! The counterweighted arm that carries the head, as the grip states it.

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// A counterweighted arm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Arm {
    /// From the pivot to the head's mount, m.
    pub head_length_m: f64,
    /// From the pivot to the counterweights, m.
    pub weight_length_m: f64,
    /// Counterweight with which the empty arm balances, head and all taken off, kg.
    pub empty_kg: f64,
    /// Plates on the cart.
    #[serde(default)]
    pub plates: Vec<Plate>,
    /// The build for which the arm was weighted last, if anyone has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weighted: Option<WeightedFor>,
}

numbers!(Arm {
    own { head_length_m: ARM_M, weight_length_m: ARM_M, empty_kg: COUNTERWEIGHT_KG }
    nested { plates, weighted }
});

/// Plates of one mass on the cart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Mass of one, kg.
    pub kg: f64,
    /// How many there are: a whole number.
    pub count: f64,
}

numbers!(Plate { own { kg: PLATE_KG, count: PLATE_COUNT } nested {} });

/// What was on the arm when its weights were last put on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WeightedFor {
    /// What the crew calls that build.
    pub name: String,
    /// Head and everything on it then, kg.
    pub all_up_kg: f64,
}

numbers!(WeightedFor { own { all_up_kg: COUNTERWEIGHT_KG } nested {} });
