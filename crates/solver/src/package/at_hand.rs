//! What the crew has at hand to mend a balance.

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// Plate holes, risers, rods and trim weights that can be used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AtHand {
    /// Distance between the plate holes that the body can be screwed to, m.
    pub hole_spacing_m: f64,
    /// How many holes forward and back of the present one can be reached: a whole number.
    pub holes_each_way: f64,
    /// Heights of the risers, m.
    #[serde(default)]
    pub risers_m: Vec<f64>,
    /// Lengths of the rods, m.
    #[serde(default)]
    pub rods_m: Vec<f64>,
    /// Masses of the trim weights, kg.
    #[serde(default)]
    pub weights_kg: Vec<f64>,
    /// How many weights can go on one place: a whole number.
    pub pieces: f64,
}

numbers!(AtHand {
    own {
        hole_spacing_m: HOLE_SPACING_M, holes_each_way: HOLES, risers_m: RISER_M, rods_m: ROD_M, weights_kg: TRIM_KG,
        pieces: TRIM_PIECES,
    }
    nested {}
});

impl Default for AtHand {
    /// Invented and typical: 10 mm holes, risers of 5 to 30 mm, rods of 150 to 600 mm, trim weights of 0.1, 0.25 and
    /// 0.5 kg.
    fn default() -> Self {
        Self {
            hole_spacing_m: 0.010,
            holes_each_way: 10.0,
            risers_m: vec![0.005, 0.010, 0.020, 0.030],
            rods_m: vec![0.15, 0.2, 0.3, 0.45, 0.6],
            weights_kg: vec![0.1, 0.25, 0.5],
            pieces: 3.0,
        }
    }
}
