//! Constant-power discharge against scipy.

use checks::fixture;
use serde::Deserialize;
use solver::package::Pack;
use solver::power::{Bank, runtime_h};

#[derive(Deserialize)]
struct Case {
    packs: Vec<[f64; 5]>,
    power_w: f64,
    hours: f64,
}

impl Case {
    fn bank(&self) -> Bank {
        let packs = self.packs.iter().map(|[cells, capacity_ah, resistance_ohm, usable_share, cutoff_v_cell]| Pack {
            cells: *cells,
            capacity_ah: *capacity_ah,
            resistance_ohm: *resistance_ohm,
            usable_share: *usable_share,
            cutoff_v_cell: *cutoff_v_cell,
            rated_wh: None,
        });
        Bank { packs: packs.collect() }
    }

    fn alike(&self) -> bool {
        let packs = self.bank().packs;
        packs.windows(2).all(|pair| pair[0] == pair[1])
    }
}

/// Compares every case that `takes` with the integrator, to a share of the runtime.
fn compare(takes: impl Fn(&Case) -> bool, tolerance: f64) {
    let cases: Vec<Case> = fixture::read("discharge");
    let mut compared = 0;
    for (index, case) in cases.iter().enumerate().filter(|(_, case)| takes(case)) {
        let hours = runtime_h(&case.bank(), case.power_w).unwrap_or(f64::NAN);
        let off = (hours - case.hours).abs() / case.hours;
        assert!(off <= tolerance, "case {index}: {hours} h against {} h, off by {off:e}", case.hours);
        compared += 1;
    }
    assert!(compared >= 20, "only {compared} cases");
}

#[test]
fn like_packs_agree_with_quadrature() {
    compare(Case::alike, 1e-9);
}

#[test]
fn unlike_packs_agree_with_an_integrator_in_time() {
    compare(|case| !case.alike(), 1e-4);
}
