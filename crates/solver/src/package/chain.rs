//! The head as data: joints, slides, yokes and places in any order and number, from the platform inwards.

use serde::{Deserialize, Serialize};

use super::power::{Tap, TapGroup};
use super::value::{Cg, Mass};
use crate::numbers::{Change, Numbers, See, numbers};
use crate::path::FieldPath;

/// A stabilised head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// What the crew calls it.
    pub name: String,
    /// Whether its numbers are invented typical ones.
    #[serde(default)]
    pub typical: bool,
    /// Smallest and largest mass on the camera side, kg.
    pub payload_kg: [f64; 2],
    /// Joints, slides, yokes and places, platform first. What stands later rides on what stands before.
    pub chain: Vec<Element>,
    /// The opening that the camera must fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opening: Option<Opening>,
    /// Power outlets.
    #[serde(default)]
    pub taps: Vec<Tap>,
    /// Sum limits of taps that share a regulator.
    #[serde(default)]
    pub tap_groups: Vec<TapGroup>,
    /// What the head itself draws with motors on and nothing moving, W.
    pub idle_w: f64,
    /// Open-loop crossover frequency of the stabilising loops, Hz.
    pub crossover_hz: f64,
}

numbers!(Head {
    own { payload_kg: PAYLOAD_KG, idle_w: POWER_W, crossover_hz: FREQUENCY_HZ }
    nested { chain, opening, taps, tap_groups }
});

/// One element of the chain.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Element {
    /// A motorised axis.
    Joint(Joint),
    /// An adjustment with a scale.
    Slide(Slide),
    /// A rigid piece of the head itself.
    Yoke(Yoke),
    /// A named spot where parts ride.
    Place(Place),
}

impl Numbers for Element {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        match self {
            Self::Joint(joint) => joint.see_numbers(at, see),
            Self::Slide(slide) => slide.see_numbers(at, see),
            Self::Yoke(yoke) => yoke.see_numbers(at, see),
            Self::Place(place) => place.see_numbers(at, see),
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        match self {
            Self::Joint(joint) => joint.change_numbers(at, change),
            Self::Slide(slide) => slide.change_numbers(at, change),
            Self::Yoke(yoke) => yoke.change_numbers(at, change),
            Self::Place(place) => place.change_numbers(at, change),
        }
    }
}

/// A motorised axis. At rest (angle 0) its frame is parallel to the base: x forward, y left, z up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Identity within the head, such as `tilt`; moves refer to it.
    pub id: String,
    /// What the crew calls it.
    pub name: String,
    /// Unit vector of the axis in the frame outside it; positive angles turn right-handed about it.
    pub axis: [f64; 3],
    /// A point of the axis, from the point of the joint outside it (from the head's base for the first), with every
    /// slide between at zero displacement, m. It is the origin of everything that rides on this joint.
    #[serde(default)]
    pub position_m: [f64; 3],
    /// Lowest and highest angle, rad; absent when it turns freely.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits_rad: Option<[f64; 2]>,
    /// Its motor.
    pub drive: Drive,
    /// The words for its two senses.
    pub turns: Turns,
}

numbers!(Joint {
    own { axis: DIRECTION, position_m: OFFSET_M, limits_rad: ANGLE_RAD }
    nested { drive }
});

/// The words for the two senses of a joint.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Turns {
    /// What is seen when it turns positively about its axis: "nose drops".
    pub plus: String,
    /// What is seen when it turns negatively: "tail drops".
    pub minus: String,
    /// The sense that a screen shows as positive: "up".
    pub shown: String,
    /// Whether the shown sense is the negative one of the axis, as for tilt up.
    #[serde(default)]
    pub shown_reversed: bool,
}

/// How a motor drives its axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DriveKind {
    /// Motor on the axis.
    Direct,
    /// Through a belt.
    Belt,
    /// Through gears; does not turn under a small unbalance.
    Geared,
}

/// A motor and its transmission, all referred to the output axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Drive {
    /// Direct, belt or geared.
    pub kind: DriveKind,
    /// Motor turns per turn of the axis.
    pub ratio: f64,
    /// Share of the motor's power that reaches the axis.
    pub efficiency: f64,
    /// Inertia of the rotor seen at the axis, kg·m².
    pub reflected_inertia_kg_m2: f64,
    /// Bearing and transmission friction, N·m.
    pub friction_nm: f64,
    /// Largest torque, N·m, for `peak_s`.
    pub peak_nm: f64,
    /// How long the largest torque may last, s.
    pub peak_s: f64,
    /// Torque that it can hold for ever at 25 °C, N·m.
    pub continuous_nm: f64,
    /// Motor constant at the output, N·m/√W.
    pub motor_constant: f64,
    /// Thermal resistance from winding to air, K/W.
    pub winding_to_air_k_w: f64,
    /// Fastest rate without load, rad/s.
    pub max_rate_rad_s: f64,
    /// Torsional spring of the cables across the joint, N·m/rad.
    #[serde(default)]
    pub cable_spring_nm_rad: f64,
    /// Half the torque loop of those cables between the two senses, N·m.
    #[serde(default)]
    pub cable_hysteresis_nm: f64,
}

numbers!(Drive {
    own {
        ratio: GEAR_RATIO, efficiency: EFFICIENCY, reflected_inertia_kg_m2: INERTIA_KG_M2, friction_nm: TORQUE_NM,
        peak_nm: TORQUE_NM, peak_s: TIME_S, continuous_nm: TORQUE_NM, motor_constant: MOTOR_CONSTANT,
        winding_to_air_k_w: THERMAL_K_W, max_rate_rad_s: RATE_RAD_S, cable_spring_nm_rad: CABLE_SPRING,
        cable_hysteresis_nm: TORQUE_NM,
    }
    nested {}
});

/// An adjustment with a scale; its reading is a mark. Everything later in the chain moves with it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Slide {
    /// Identity within the head, such as `plate`.
    pub id: String,
    /// What the crew calls it.
    pub name: String,
    /// Unit vector along which a larger mark moves what rides on it.
    pub direction: [f64; 3],
    /// Lowest and highest mark, m.
    pub range_m: [f64; 2],
    /// Mark at which the displacement is zero, m.
    pub zero_m: f64,
    /// Present mark, m.
    pub mark_m: f64,
    /// Distance between holes if it only stops at holes, m, counted from the lowest mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hole_spacing_m: Option<f64>,
    /// The word for a larger mark: "forward".
    pub plus: String,
    /// The word for a smaller mark: "back".
    pub minus: String,
}

numbers!(Slide {
    own {
        direction: DIRECTION, range_m: MARK_M, zero_m: MARK_M, mark_m: MARK_M, hole_spacing_m: HOLE_SPACING_M,
    }
    nested {}
});

/// A rigid piece of the head itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Yoke {
    /// What the crew calls it.
    pub name: String,
    /// Its mass.
    pub mass: Mass,
    /// Its centre of gravity, from the point of the joint that it rides on (from the base for the first yoke).
    pub cg: Cg,
    /// Moments of inertia about its own centre of gravity, along x, y and z, kg·m².
    pub inertia_kg_m2: [f64; 3],
}

numbers!(Yoke { own { inertia_kg_m2: INERTIA_KG_M2 } nested { mass, cg } });

/// A named spot where parts ride.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Identity within the head, such as `camera`.
    pub id: String,
    /// What the crew calls it.
    pub name: String,
    /// Its origin, from the point of the joint that it rides on, with every slide between at zero displacement, m.
    #[serde(default)]
    pub origin_m: [f64; 3],
    /// Whether the camera sits here: its datum, the stack of plates and the lens belong to this place.
    #[serde(default)]
    pub camera: bool,
}

numbers!(Place { own { origin_m: OFFSET_M } nested {} });

/// The opening that the camera must fit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Clear width, m.
    pub width_m: f64,
    /// Lowest and highest clear height, m.
    pub height_m: [f64; 2],
    /// Radius round the tilt axis that stays clear of the head's arms, m.
    pub clear_radius_m: f64,
}

numbers!(Opening { own { width_m: SIZE_M, height_m: SIZE_M, clear_radius_m: SIZE_M } nested {} });

impl Head {
    /// The joints, platform first.
    pub fn joints(&self) -> impl DoubleEndedIterator<Item = &Joint> {
        self.chain.iter().filter_map(|element| match element {
            Element::Joint(joint) => Some(joint),
            _ => None,
        })
    }

    /// The slides, platform first.
    pub fn slides(&self) -> impl DoubleEndedIterator<Item = &Slide> {
        self.chain.iter().filter_map(|element| match element {
            Element::Slide(slide) => Some(slide),
            _ => None,
        })
    }

    /// The slides, platform first, to change their present marks.
    pub fn slides_mut(&mut self) -> impl Iterator<Item = &mut Slide> {
        self.chain.iter_mut().filter_map(|element| match element {
            Element::Slide(slide) => Some(slide),
            _ => None,
        })
    }

    /// The places, platform first.
    pub fn places(&self) -> impl DoubleEndedIterator<Item = &Place> {
        self.chain.iter().filter_map(|element| match element {
            Element::Place(place) => Some(place),
            _ => None,
        })
    }
}
