//! Modes and sag of plane frameworks against scipy's generalised eigenproblem.

use checks::fixture;
use serde::Deserialize;
use solver::constants::GRAVITY_M_S2;
use solver::stiffness::{Beam, End, Framework, Mass, Spring};

/// Largest relative difference: the reference factors the mass matrix and has no more digits in the lowest modes.
const TOLERANCE: f64 = 1e-7;

/// A beam: node and point of either end, EA, EI, mass per length.
type Row = (i64, f64, f64, i64, f64, f64, f64, f64, f64);

/// A framework as `tests/references/beams.py` describes it; the ground is node -1.
#[derive(Deserialize)]
struct Case {
    nodes: Vec<[f64; 2]>,
    beams: Vec<Row>,
    springs: Vec<(i64, i64, f64, f64, f64, f64, f64)>,
    masses: Vec<(usize, f64, f64, f64, f64)>,
    hz: Vec<f64>,
    sag: Vec<f64>,
}

impl Case {
    fn framework(&self) -> Framework {
        let mut framework = Framework::default();
        for node in &self.nodes {
            framework.node(*node);
        }
        let end = |node: i64, at_m| End { node: usize::try_from(node).ok(), at_m };
        for (from, x1, z1, to, x2, z2, ea_n, ei_n_m2, kg_m) in self.beams.iter().copied() {
            framework.beam(Beam { ea_n, ei_n_m2, kg_m }, end(from, [x1, z1]), end(to, [x2, z2]));
        }
        for (from, to, x, z, first_n_m, second_n_m, turning_nm_rad) in self.springs.iter().copied() {
            let spring = Spring { first_n_m, second_n_m, turning_nm_rad };
            framework.spring(spring, usize::try_from(from).ok(), usize::try_from(to).expect("a node"), [x, z]);
        }
        for (node, x, z, kg, inertia_kg_m2) in self.masses.iter().copied() {
            framework.masses.push(Mass { node, at_m: [x, z], kg, inertia_kg_m2 });
        }
        framework
    }
}

#[test]
fn modes_are_those_of_scipy() {
    for (index, case) in fixture::read::<Case>("beams").iter().enumerate() {
        let framework = case.framework();
        let modes = framework.modes().expect("it hangs on the ground");
        for (number, expected) in case.hz.iter().enumerate() {
            let off = (modes[number].hz / expected - 1.0).abs();
            assert!(off < TOLERANCE, "case {index}, mode {number}: {} against {expected}", modes[number].hz);
        }
        let lowest = framework.lowest_hz().expect("it hangs on the ground");
        assert!((lowest / case.hz[0] - 1.0).abs() < TOLERANCE, "case {index}: {lowest}");
    }
}

#[test]
fn sag_is_that_of_scipy() {
    for (index, case) in fixture::read::<Case>("beams").iter().enumerate() {
        let sag = case.framework().sag([0.0, -GRAVITY_M_S2]).expect("it hangs on the ground");
        let largest = case.sag.iter().fold(0.0_f64, |largest, value| largest.max(value.abs()));
        for (value, expected) in sag.iter().flatten().zip(&case.sag) {
            assert!((value - expected).abs() < TOLERANCE * largest, "case {index}: {value} against {expected}");
        }
    }
}

/// φᵀKφ is one, piece by piece, and φᵀMφ is 1/ω²: the energies that the ± and the reasons are made of.
#[test]
fn energies_of_a_mode_add_up() {
    for case in fixture::read::<Case>("beams") {
        let framework = case.framework();
        let mode = &framework.modes().expect("it hangs on the ground")[0];
        let strain: f64 = framework.elements.iter().map(|element| framework.strain(element, &mode.shape)).sum();
        let masses: f64 = framework.masses.iter().map(|mass| framework.swing(mass, &mode.shape)).sum();
        let beams: f64 = framework.elements.iter().map(|element| framework.swing_of(element, &mode.shape)).sum();
        let omega = core::f64::consts::TAU * mode.hz;
        assert!((strain - 1.0).abs() < 1e-9, "{strain}");
        assert!(((masses + beams) * omega * omega - 1.0).abs() < 1e-9, "{}", (masses + beams) * omega * omega);
    }
}
