//! How long the steps of a lens change take this crew.

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// Minutes of each kind of step of a lens change, as a crew has found them. Whatever is absent is typical.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ChangeMinutes {
    /// The lens itself: off, the other on, pins and locks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_min: Option<f64>,
    /// One slide: hold the camera, loosen, set the mark, tighten.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slide_min: Option<f64>,
    /// Trying the balance once marks were moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub try_min: Option<f64>,
    /// One part put on or taken off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_or_off_min: Option<f64>,
    /// What follows one ring or the front of the lens, moved along the rods.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moved_min: Option<f64>,
    /// Checking the tune.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check_tune_min: Option<f64>,
    /// Tuning again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tune_min: Option<f64>,
}

numbers!(ChangeMinutes {
    own {
        lens_min: STEP_MIN, slide_min: STEP_MIN, try_min: STEP_MIN, on_or_off_min: STEP_MIN, moved_min: STEP_MIN,
        check_tune_min: STEP_MIN, tune_min: STEP_MIN,
    }
    nested {}
});

impl ChangeMinutes {
    /// Whether nobody has told any.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
