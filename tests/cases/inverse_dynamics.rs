//! Inverse dynamics against Pinocchio and MuJoCo, through the package and the door for outside programs.

use checks::{build, fixture};
use serde::Deserialize;
use solver::Package;
use solver::dynamics::{State, torques_nm};
use solver::package::Element;

/// Largest difference from a reference, relative to the largest torque of the row.
const TOLERANCE: f64 = 1e-10;

#[derive(Deserialize)]
pub(crate) struct Case {
    links: Vec<Link>,
    pub(crate) state: State,
    pub(crate) pinocchio_nm: Vec<f64>,
    mujoco_nm: Vec<f64>,
}

/// One link, as `tests/references/inverse_dynamics.py` describes it.
#[derive(Deserialize)]
struct Link {
    joint: [f64; 6],
    outer: [f64; 7],
    slide: [f64; 4],
    inner: [f64; 7],
}

impl Case {
    pub(crate) fn package(&self) -> Package {
        build::package(self.links.iter().enumerate().flat_map(|(index, link)| link.elements(index)).collect())
    }
}

impl Link {
    fn elements(&self, index: usize) -> Vec<Element> {
        let [ax, ay, az, x, y, z] = self.joint;
        let [dx, dy, dz, displacement_m] = self.slide;
        vec![
            Element::Joint(build::joint(&format!("joint {index}"), [ax, ay, az], [x, y, z])),
            yoke(self.outer),
            build::slide(&format!("slide {index}"), [dx, dy, dz], [-0.2, 0.2], 0.0, displacement_m),
            yoke(self.inner),
        ]
    }
}

fn yoke([mass_kg, x, y, z, ix, iy, iz]: [f64; 7]) -> Element {
    build::yoke(mass_kg, [x, y, z], [ix, iy, iz])
}

#[test]
fn a_thousand_chains_on_moving_bases_agree_with_both_references() {
    let cases: Vec<Case> = fixture::read("inverse_dynamics");
    assert!(cases.len() >= 1000, "{} chains", cases.len());
    let mut worst = 0.0_f64;
    for (index, case) in cases.iter().enumerate() {
        let package = case.package();
        solver::validate(&package).unwrap_or_else(|faults| panic!("chain {index}: {faults:?}"));
        let rows = torques_nm(&package, std::slice::from_ref(&case.state))
            .unwrap_or_else(|faults| panic!("chain {index}: {faults:?}"));
        let [row] = rows.as_slice() else { panic!("chain {index}: one state in, {} rows out", rows.len()) };
        for (program, reference) in [("Pinocchio", &case.pinocchio_nm), ("MuJoCo", &case.mujoco_nm)] {
            assert_eq!(row.len(), reference.len(), "chain {index}");
            let largest = reference.iter().fold(0.0_f64, |largest, torque| largest.max(torque.abs()));
            for (torque, expected) in row.iter().zip(reference) {
                let off = (torque - expected).abs() / largest;
                assert!(off < TOLERANCE, "chain {index}, {program}: {row:?} against {reference:?}");
                worst = worst.max(off);
            }
        }
    }
    println!("largest difference: {worst:e} of the row's largest torque");
}
