//! What holds for every chain in motion, whatever its package: energy and angular momentum, each worked out from the
//! positions and velocities of the links alone.

use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use solver::constants::GRAVITY_M_S2;
use solver::dynamics::{BaseState, LinkBody, State, link_bodies, torques_nm};

use super::{many, random};

/// Kinetic and potential energy, and angular momentum about a point of the outermost axis, in the world's axes.
struct Store {
    energy_j: f64,
    momentum_kg_m2_s: Vector3<f64>,
    /// Gravity's moment about the same point, N·m.
    gravity_nm: Vector3<f64>,
}

/// The chain `time_s` after the instant of a state whose accelerations last; the base stands upright and still.
fn store(links: &[LinkBody], state: &State, time_s: f64) -> Store {
    let mut turned = Matrix3::identity();
    let (mut origin_m, mut origin_m_s, mut omega_rad_s) = (Vector3::zeros(), Vector3::zeros(), Vector3::zeros());
    let mut pivot_m = None;
    let mut store = Store { energy_j: 0.0, momentum_kg_m2_s: Vector3::zeros(), gravity_nm: Vector3::zeros() };
    for (joint, link) in links.iter().enumerate() {
        let (q, qd, qdd) = (state.q_rad[joint], state.qd_rad_s[joint], state.qdd_rad_s2[joint]);
        let axis = turned * Vector3::from(link.axis);
        let offset_m = turned * Vector3::from(link.offset_m);
        origin_m += offset_m;
        origin_m_s += omega_rad_s.cross(&offset_m);
        let pivot_m = *pivot_m.get_or_insert(origin_m);
        omega_rad_s += axis * (qd + qdd * time_s);
        let angle_rad = q + qd * time_s + 0.5 * qdd * time_s * time_s;
        turned = Rotation3::from_axis_angle(&Unit::new_normalize(axis), angle_rad) * turned;
        let arm_m = turned * Vector3::from(link.cg_m);
        let speed_m_s: Vector3<f64> = origin_m_s + omega_rad_s.cross(&arm_m);
        let inertia = Matrix3::from_fn(|row, column| link.inertia_kg_m2[row][column]);
        let spin = turned * (inertia * turned.tr_mul(&omega_rad_s));
        let cg_m = origin_m + arm_m;
        store.energy_j += 0.5 * link.mass_kg * speed_m_s.norm_squared()
            + 0.5 * spin.dot(&omega_rad_s)
            + link.mass_kg * GRAVITY_M_S2 * cg_m.z;
        store.momentum_kg_m2_s += spin + (cg_m - pivot_m).cross(&speed_m_s) * link.mass_kg;
        store.gravity_nm -= (cg_m - pivot_m).cross(&Vector3::z()) * (link.mass_kg * GRAVITY_M_S2);
    }
    store
}

/// Rate of change at the instant itself, by five points.
fn rate<T>(at: impl Fn(f64) -> T) -> T
where
    T: core::ops::Mul<f64, Output = T> + core::ops::Sub<Output = T> + core::ops::Add<Output = T>,
{
    const STEP_S: f64 = 1e-4;
    (at(-2.0 * STEP_S) - at(-STEP_S) * 8.0 + at(STEP_S) * 8.0 - at(2.0 * STEP_S)) * (1.0 / (12.0 * STEP_S))
}

fn motion() -> impl Strategy<Value = [Vec<f64>; 3]> {
    let list = |most: f64| prop::collection::vec(-most..most, solver::bounds::MAX_JOINTS);
    [list(3.0), list(3.0), list(10.0)]
}

fn state(motion: &[Vec<f64>; 3], joints: usize) -> State {
    let [q_rad, qd_rad_s, qdd_rad_s2] = motion.clone().map(|mut list| {
        list.truncate(joints);
        list
    });
    State { q_rad, qd_rad_s, qdd_rad_s2, base: BaseState::default() }
}

proptest! {
    #![proptest_config(many(200))]

    /// With the base at rest the power of the drives is the rate of the energy.
    #[test]
    fn the_drives_put_in_what_the_chain_gains(package in random::package(), motion in motion()) {
        let links = link_bodies(&package);
        let state = state(&motion, links.len());
        let torques = torques_nm(&package, std::slice::from_ref(&state)).expect("a sound state").remove(0);
        let powers: Vec<f64> = torques.iter().zip(&state.qd_rad_s).map(|(torque, rate)| torque * rate).collect();
        let gained = rate(|time_s| store(&links, &state, time_s).energy_j);
        let (power, scale): (f64, f64) = (powers.iter().sum(), powers.iter().map(|power| power.abs()).sum());
        prop_assert!((power - gained).abs() <= 1e-6 * (scale + 1.0), "{power} W against {gained} W");
    }

    /// What the outermost drive and gravity put in about its axis is the rate of the angular momentum about it.
    #[test]
    fn the_outermost_drive_feeds_the_angular_momentum(package in random::package(), motion in motion()) {
        let links = link_bodies(&package);
        prop_assume!(!links.is_empty());
        let state = state(&motion, links.len());
        let torques = torques_nm(&package, std::slice::from_ref(&state)).expect("a sound state").remove(0);
        let axis = Vector3::from(links[0].axis);
        let gained = axis.dot(&rate(|time_s| store(&links, &state, time_s).momentum_kg_m2_s));
        let put_in = torques[0] + axis.dot(&store(&links, &state, 0.0).gravity_nm);
        let scale = torques.iter().fold(1.0, |largest: f64, torque| largest.max(torque.abs()));
        prop_assert!((put_in - gained).abs() <= 1e-6 * scale, "{put_in} N·m against {gained} N·m");
    }
}
