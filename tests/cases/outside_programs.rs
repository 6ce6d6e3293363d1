//! The door for outside programs as they use it: a package file and states in, torques and links out.

use checks::{build, command, fixture};
use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use serde::Deserialize;
use serde_json::{Value, json};
use solver::Package;
use solver::constants::GRAVITY_M_S2;

use crate::inverse_dynamics::Case;

fn vector(value: &Value) -> Vector3<f64> {
    Vector3::from_fn(|row, _| value[row].as_f64().expect("three numbers"))
}

fn matrix(value: &Value) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| value[row][column].as_f64().expect("nine numbers"))
}

/// One link as the command line describes it.
#[derive(Deserialize)]
struct Link {
    mass_kg: f64,
    cg_m: Value,
    inertia_kg_m2: Value,
    axis: Value,
    offset_m: Value,
}

fn dynamics(directory: &str, package: &Package, samples: &Value) -> Value {
    let text = codec::file::to_json(&package.clone().into()).expect("a sound package is JSON");
    let file = command::scratch_file(directory, "package.json", &text);
    let states = command::scratch_file(directory, "states.json", &json!({ "samples": samples }).to_string());
    let [file, states] = [&file, &states].map(|path| path.to_str().expect("a path of letters"));
    let output = command::run(&["dynamics", file, states, "--bodies"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    std::fs::remove_dir_all(std::path::Path::new(file).parent().expect("a scratch directory")).expect("it goes");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// The few chains that a program is started for.
fn some() -> Vec<Case> {
    let mut cases: Vec<Case> = fixture::read("inverse_dynamics");
    cases.truncate(24);
    cases
}

fn torques_nm(answer: &Value) -> Vec<f64> {
    build::typed(answer["torque_nm"][0].clone())
}

#[test]
fn a_package_file_and_states_give_the_torques_of_the_references() {
    for (index, case) in some().iter().enumerate() {
        let torques = torques_nm(&dynamics("torques", &case.package(), &json!([case.state])));
        assert_eq!(torques.len(), case.pinocchio_nm.len());
        let largest = case.pinocchio_nm.iter().fold(0.0_f64, |largest, torque| largest.max(torque.abs()));
        for (torque, expected) in torques.iter().zip(&case.pinocchio_nm) {
            let off = (torque - expected).abs() / largest;
            assert!(off < 1e-10, "chain {index}: {torque} against {expected}");
        }
    }
}

/// The energy of the links, kinetic and potential, a moment after the state's instant; the base stands still.
fn energy_j(links: &[Link], case: &Case, time_s: f64) -> f64 {
    let mut turned = Matrix3::identity();
    let (mut origin_m, mut origin_m_s, mut omega_rad_s) = (Vector3::zeros(), Vector3::zeros(), Vector3::zeros());
    let mut energy = 0.0;
    for (joint, link) in links.iter().enumerate() {
        let (q, qd, qdd) = (case.state.q_rad[joint], case.state.qd_rad_s[joint], case.state.qdd_rad_s2[joint]);
        let axis = turned * vector(&link.axis);
        let offset_m = turned * vector(&link.offset_m);
        origin_m += offset_m;
        origin_m_s += omega_rad_s.cross(&offset_m);
        omega_rad_s += axis * (qd + qdd * time_s);
        let angle_rad = q + qd * time_s + 0.5 * qdd * time_s * time_s;
        turned = Rotation3::from_axis_angle(&Unit::new_normalize(axis), angle_rad) * turned;
        let arm_m = turned * vector(&link.cg_m);
        let speed_m_s: Vector3<f64> = origin_m_s + omega_rad_s.cross(&arm_m);
        let spin = turned.tr_mul(&omega_rad_s);
        energy += 0.5 * link.mass_kg * speed_m_s.norm_squared()
            + 0.5 * spin.dot(&(matrix(&link.inertia_kg_m2) * spin))
            + link.mass_kg * GRAVITY_M_S2 * (origin_m + arm_m).z;
    }
    energy
}

/// With the base at rest the power of the drives is the rate at which the energy grows: so the links that the command
/// line gives are those that its torques belong to, and anyone can rebuild the chain from them.
#[test]
fn the_power_of_the_drives_is_the_rate_of_the_energy_of_the_links() {
    for (index, case) in some().iter().enumerate() {
        let mut state = serde_json::to_value(&case.state).expect("a state is JSON");
        state["base"] = json!({
            "quat_wxyz": [1, 0, 0, 0], "omega_rad_s": [0, 0, 0], "alpha_rad_s2": [0, 0, 0], "acc_m_s2": [0, 0, 0],
        });
        let answer = dynamics("energy", &case.package(), &json!([state]));
        let links: Vec<Link> = build::typed(answer["bodies"].clone());
        let powers: Vec<f64> =
            torques_nm(&answer).iter().zip(&case.state.qd_rad_s).map(|(torque, rate)| torque * rate).collect();
        let (power, scale): (f64, f64) = (powers.iter().sum(), powers.iter().map(|power| power.abs()).sum());
        let at = |steps: f64| energy_j(&links, case, 1e-4 * steps);
        let rate = (at(-2.0) - 8.0 * at(-1.0) + 8.0 * at(1.0) - at(2.0)) / 12e-4;
        assert!((power - rate).abs() < 1e-6 * scale, "chain {index}: {power} W against {rate} W");
    }
}
