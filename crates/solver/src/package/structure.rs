//! What is known of the stiffness of the camera package beyond the outlines of its parts.

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// What is known of the stiffness of the package. Whatever is absent is typical.
///
/// Diameter, spacing and length of the rods, and width, length and thickness of the plates, are those of the parts.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Structure {
    /// What the rods are made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_material: Option<Material>,
    /// Wall of the rods, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_wall_m: Option<f64>,
    /// What the plates are made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate_material: Option<Material>,
    /// Stiffness against rocking of one fastening, plate on plate or body on plate, N·m/rad.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fastening_nm_rad: Option<f64>,
    /// Stiffness of the lens mount against tipping, with what the body's front and the lens barrel give, N·m/rad.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_mount_nm_rad: Option<f64>,
    /// Stiffness of one lens support between rods and lens, N/m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub support_n_m: Option<f64>,
    /// What the head's motion sensor is fixed to.
    #[serde(default)]
    pub sensor_on: SensorOn,
    /// From the lens-mount flange back to the imager, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flange_depth_m: Option<f64>,
    /// Height of the picture on the imager, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture_height_m: Option<f64>,
    /// Width of the picture on the imager, before an anamorphic lens is unsqueezed, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture_width_m: Option<f64>,
}

numbers!(Structure {
    own {
        rod_wall_m: ROD_WALL_M, fastening_nm_rad: TURNING_NM_RAD, lens_mount_nm_rad: TURNING_NM_RAD,
        support_n_m: SUPPORT_N_M, flange_depth_m: FLANGE_DEPTH_M, picture_height_m: PICTURE_HEIGHT_M,
        picture_width_m: PICTURE_WIDTH_M,
    }
    nested {}
});

impl Structure {
    /// Whether nothing is known.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What rods or plates are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Aluminium alloy.
    Aluminium,
    /// Steel.
    Steel,
    /// Carbon fibre wrapped in layers along and across.
    CarbonWrapped,
    /// Carbon fibre drawn along the rod.
    CarbonDrawn,
}

/// What the motion sensor is fixed to: it sees what bends before it, and not what bends beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SensorOn {
    /// The innermost stage of the head, under the plates.
    #[default]
    Head,
    /// The topmost plate.
    Plate,
    /// The camera body.
    Body,
}
