//! One lens of the lens set.

use serde::{Deserialize, Serialize};

use super::value::{CgSource, Mass};
use super::{LensId, PartId};
use crate::numbers::numbers;

/// A lens: what changes when it is changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Lens {
    /// Identity within the package.
    pub id: LensId,
    /// What the crew calls it.
    pub name: String,
    /// Its mass.
    pub mass: Mass,
    /// Length from the flange to the front, m.
    pub length_m: f64,
    /// Front diameter, m.
    pub diameter_m: f64,
    /// Centre of gravity ahead of the flange at mid zoom and focus, m.
    pub cg_ahead_m: f64,
    /// Where that came from.
    pub cg_from: CgSource,
    /// Its standard uncertainty in m, where the person knows better than the provenance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cg_u_m: Option<f64>,
    /// How far the centre of gravity moves over the full zoom and focus, m.
    #[serde(default)]
    pub cg_shift_m: f64,
    /// Where its gear rings are.
    #[serde(default)]
    pub rings: Rings,
    /// Shortest and longest focal length, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub focal_length_m: Option<[f64; 2]>,
    /// How many times as wide an anamorphic lens takes the picture in as a spherical one; 1 when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub squeeze: Option<f64>,
    /// Parts that ride with this lens even when they are switched off.
    #[serde(default)]
    pub brings: Vec<PartId>,
    /// Parts that stay off with this lens even when they are switched on.
    #[serde(default)]
    pub leaves_off: Vec<PartId>,
}

numbers!(Lens {
    own {
        length_m: SIZE_M, diameter_m: SIZE_M, cg_ahead_m: OFFSET_M, cg_u_m: OFFSET_U_M, cg_shift_m: SIZE_M,
        focal_length_m: FOCAL_LENGTH_M, squeeze: SQUEEZE,
    }
    nested { mass, rings }
});

/// Distances of a lens's gear rings ahead of the flange, m; absent when it has none.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rings {
    /// Focus ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub focus_m: Option<f64>,
    /// Iris ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub iris_m: Option<f64>,
    /// Zoom ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zoom_m: Option<f64>,
}

numbers!(Rings { own { focus_m: SIZE_M, iris_m: SIZE_M, zoom_m: SIZE_M } nested {} });
