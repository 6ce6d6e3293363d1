//! Constant-power discharge, and days of it with packs changed, against scipy.

use checks::fixture;
use serde::Deserialize;
use solver::package::Pack;
use solver::power::{Bank, Block, BlockOf, Charger, follow_day, runtime_h};

#[derive(Deserialize)]
struct Case {
    packs: Vec<[f64; 5]>,
    power_w: f64,
    hours: f64,
}

fn bank(packs: &[[f64; 5]]) -> Bank {
    let packs = packs.iter().map(|[cells, capacity_ah, resistance_ohm, usable_share, cutoff_v_cell]| Pack {
        cells: *cells,
        capacity_ah: *capacity_ah,
        resistance_ohm: *resistance_ohm,
        usable_share: *usable_share,
        cutoff_v_cell: *cutoff_v_cell,
        rated_wh: None,
    });
    Bank { packs: packs.collect() }
}

impl Case {
    fn bank(&self) -> Bank {
        bank(&self.packs)
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

#[derive(Deserialize)]
struct Day {
    packs: Vec<[f64; 5]>,
    /// Hours, and W.
    blocks: Vec<[f64; 2]>,
    /// Hours since the start, and the share of the charge that was left.
    changes: Vec<[f64; 2]>,
    /// The block at whose start a full set is put on by choice, and the changes that there then are.
    fresh_at: usize,
    changes_then: Vec<[f64; 2]>,
}

/// Every pack change of forty days, as they run out and with a full set put on by choice: to what the fixture is rounded to
/// where the packs are alike, within a fifth of a second where they share the current.
#[test]
fn days_agree_with_an_integrator_in_time() {
    let (mut changes, mut with_charge_left) = (0, 0);
    for (index, case) in fixture::read::<Day>("day").iter().enumerate() {
        let block =
            |[hours, power_w]: &[f64; 2]| Block { of: BlockOf::AllDay, share: 1.0, hours: *hours, power_w: *power_w };
        let blocks: Vec<Block> = case.blocks.iter().map(block).collect();
        let tolerance_h = if case.packs.windows(2).all(|pair| pair[0] == pair[1]) { 1e-6 } else { 5e-5 };
        for (fresh_at, expected) in [(&[][..], &case.changes), (&[case.fresh_at], &case.changes_then)] {
            let charger = Charger::new(2, 3.0);
            let day = follow_day(&bank(&case.packs), &blocks, fresh_at, charger, f64::INFINITY, &mut |_, _| {});
            assert_eq!(day.changes.len(), expected.len(), "case {index}: {:?}", day.changes);
            for (here, [at_h, left]) in day.changes.iter().zip(expected) {
                assert!((here.at_h - at_h).abs() < tolerance_h, "case {index}: {here:?} against {at_h} h");
                assert!((here.left - left).abs() < 1e-5, "case {index}: {here:?} against {left}");
                changes += 1;
                with_charge_left += usize::from(*left > 0.01);
            }
            assert!(day.collapses_in.is_none() && !day.endless, "case {index}");
        }
    }
    assert!(changes > 90 && with_charge_left > 60, "{changes} changes, {with_charge_left} with charge left");
}
