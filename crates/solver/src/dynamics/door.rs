//! The door for outside programs: plain arrays in, torques out, and the links from which anyone can rebuild the chain.

use core::fmt;

use nalgebra::{Matrix3, Quaternion, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use super::{BaseMotion, Mechanism};
use crate::float;
use crate::layout::Layout;
use crate::linkage::Linkage;
use crate::package::Package;

/// One instant of the chain and its base.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Joint angles, platform first, rad.
    pub q_rad: Vec<f64>,
    /// Their rates, rad/s.
    pub qd_rad_s: Vec<f64>,
    /// Their accelerations, rad/s².
    pub qdd_rad_s2: Vec<f64>,
    /// How the base moves; at rest and upright when absent.
    #[serde(default)]
    pub base: BaseState,
}

/// The motion of the base in the world frame, z up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BaseState {
    /// Attitude of the base in the world as a quaternion, scalar first; need not be of unit length.
    pub quat_wxyz: [f64; 4],
    /// Rate of turn, rad/s.
    pub omega_rad_s: [f64; 3],
    /// Rate of change of that, rad/s².
    pub alpha_rad_s2: [f64; 3],
    /// Classical acceleration of the base origin without gravity, m/s².
    pub acc_m_s2: [f64; 3],
}

impl Default for BaseState {
    fn default() -> Self {
        Self { quat_wxyz: [1.0, 0.0, 0.0, 0.0], omega_rad_s: [0.0; 3], alpha_rad_s2: [0.0; 3], acc_m_s2: [0.0; 3] }
    }
}

/// What is wrong with a state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StateError {
    /// The field at fault, such as `samples[3].base.quat_wxyz`.
    pub field: String,
    /// What is wrong with it, in words.
    pub problem: String,
}

impl fmt::Display for StateError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.field, self.problem)
    }
}

impl std::error::Error for StateError {}

/// One link of the chain with everything on it, composited.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkBody {
    /// Id of the joint that turns it.
    pub joint: String,
    /// Unit axis of that joint in the frame of the link outside, which is parallel to this one at angle 0.
    pub axis: [f64; 3],
    /// Origin of this link, on that axis, in the frame of the link outside, m.
    pub offset_m: [f64; 3],
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity from the link's origin, m; zero without mass.
    pub cg_m: [f64; 3],
    /// Inertia about the centre of gravity, kg·m², by rows.
    pub inertia_kg_m2: [[f64; 3]; 3],
}

/// Torque of every drive, platform first, for every state, N·m: what each drive applies about its +axis on the link
/// inside it, at the present marks, before friction, wind, cable and reflected inertia. The package must have passed
/// validation.
///
/// # Errors
/// Every fault of every state: a list of the wrong length, a number that is not finite or beyond any model, an
/// attitude without length.
pub fn torques_nm(package: &Package, states: &[State]) -> Result<Vec<Vec<f64>>, Vec<StateError>> {
    let linkage = present(package);
    let mechanism = Mechanism::new(&linkage);
    let joints = mechanism.joints();
    let mut faults = Vec::new();
    let mut torques = Vec::with_capacity(states.len());
    for (index, state) in states.iter().enumerate() {
        let before = faults.len();
        state.check(index, joints, &mut faults);
        if faults.len() == before {
            let all = mechanism.torques_nm(&state.q_rad, &state.qd_rad_s, &state.qdd_rad_s2, &state.base.motion());
            torques.push(all[..joints].to_vec());
        }
    }
    if faults.is_empty() { Ok(torques) } else { Err(faults) }
}

/// The composited links at the present marks, platform first. The package must have passed validation.
pub fn link_bodies(package: &Package) -> Vec<LinkBody> {
    let linkage = present(package);
    package
        .head
        .joints()
        .zip(&linkage.links)
        .map(|(joint, link)| {
            let inertia = link.body.inertia_about_cg_kg_m2();
            LinkBody {
                joint: joint.id.clone(),
                axis: link.axis.into(),
                offset_m: link.origin_m.into(),
                mass_kg: link.body.mass_kg,
                cg_m: link.body.cg_m().unwrap_or_else(Vector3::zeros).into(),
                inertia_kg_m2: rows(&inertia),
            }
        })
        .collect()
}

fn present(package: &Package) -> Linkage {
    let layout = Layout::new(package);
    Linkage::new(&layout, &layout.present_marks_m())
}

fn rows(matrix: &Matrix3<f64>) -> [[f64; 3]; 3] {
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| matrix[(row, column)]))
}

/// Magnitude beyond which a number of a state is no motion of a camera head but a slip of the keyboard or of units.
const MOST: f64 = 1e6;

impl State {
    fn check(&self, index: usize, joints: usize, faults: &mut Vec<StateError>) {
        let mut fault = |field: &str, problem: String| {
            faults.push(StateError { field: format!("samples[{index}].{field}"), problem });
        };
        let lists = [("q_rad", &self.q_rad), ("qd_rad_s", &self.qd_rad_s), ("qdd_rad_s2", &self.qdd_rad_s2)];
        for (field, list) in lists {
            if list.len() != joints {
                fault(field, format!("has {} numbers: this head has {joints} joints", list.len()));
            }
        }
        let base = &self.base;
        let all: [(&str, &[f64]); 7] = [
            ("q_rad", &self.q_rad),
            ("qd_rad_s", &self.qd_rad_s),
            ("qdd_rad_s2", &self.qdd_rad_s2),
            ("base.quat_wxyz", &base.quat_wxyz),
            ("base.omega_rad_s", &base.omega_rad_s),
            ("base.alpha_rad_s2", &base.alpha_rad_s2),
            ("base.acc_m_s2", &base.acc_m_s2),
        ];
        for (field, list) in all {
            for (place, value) in list.iter().enumerate() {
                if !value.is_finite() {
                    fault(&format!("{field}[{place}]"), "is not a number".to_owned());
                } else if value.abs() > MOST {
                    fault(&format!("{field}[{place}]"), format!("{value} is outside {} to {MOST}", -MOST));
                }
            }
        }
        let [w, x, y, z] = base.quat_wxyz;
        if float::sqrt(w * w + x * x + y * y + z * z) < 1e-6 {
            fault("base.quat_wxyz", "is an attitude without length".to_owned());
        }
    }
}

impl BaseState {
    /// The motion in the base's own axes.
    fn motion(&self) -> BaseMotion {
        let [w, x, y, z] = self.quat_wxyz;
        let attitude = UnitQuaternion::from_quaternion(Quaternion::new(w, x, y, z));
        BaseMotion::in_world(
            &attitude.to_rotation_matrix().into_inner(),
            &Vector3::from(self.omega_rad_s),
            &Vector3::from(self.alpha_rad_s2),
            &Vector3::from(self.acc_m_s2),
        )
    }
}
