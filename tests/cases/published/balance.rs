//! Weight and balance of aircraft, weighing on two scales, and the uncertainty of a centre of gravity.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use solver::Package;
use solver::package::{Element, PartMass};
use solver::report::Report;

/// An aircraft is heavier than any camera: its weights and arms shrink by these before they go into a package. A centre
/// of gravity does not mind.
const KG_PER_WEIGHT: f64 = 0.01;
const M_PER_ARM: f64 = 0.01;

/// Weights and arms in a table's own units.
type Load = Vec<[f64; 2]>;

/// A head with one level axis at the datum, and the loads along x.
fn package(loads: &Load) -> Package {
    let axis = Element::Joint(build::joint("tilt", [0.0, 1.0, 0.0], [0.0; 3]));
    let mut package = build::package(vec![axis, build::camera_place()]);
    package.parts = (1..)
        .zip(loads)
        .map(|(id, [weight, arm])| build::point(id, "camera", weight * KG_PER_WEIGHT, [arm * M_PER_ARM, 0.0, 0.0]))
        .collect();
    package
}

fn check(package: &Package) -> Report {
    solver::check(package).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Centre of gravity in the table's own unit of length.
fn cg(report: &Report) -> f64 {
    report.mass.camera_cg_from_flange_m.as_ref().map_or(f64::NAN, |cg_m| cg_m[0].value / M_PER_ARM)
}

#[derive(Deserialize)]
struct Loaded {
    loads: Load,
    weight: Option<f64>,
    moment: Option<f64>,
    cg: f64,
    tolerance: f64,
}

#[test]
fn loads_on_stations() {
    run("loads_on_stations", |row: &Loaded| {
        let report = check(&package(&row.loads));
        if let Some(weight) = row.weight {
            near("weight", report.mass.camera_kg.value / KG_PER_WEIGHT, weight, 1e-9 * weight)?;
        }
        if let Some(moment) = row.moment {
            // The first moment about the datum is the unbalance of the axis there.
            let computed = report.axes[0].now_kg_m[0] / (KG_PER_WEIGHT * M_PER_ARM);
            near("moment", computed, moment, 0.5)?;
        }
        near("centre of gravity", cg(&report), row.cg, row.tolerance)
    });
}

#[derive(Deserialize)]
struct Shifted {
    weight: f64,
    cg: f64,
    moved: f64,
    from: f64,
    to: f64,
    cg_after: f64,
    tolerance: f64,
}

impl Shifted {
    /// The load that is moved, and the rest where it must be for the stated centre of gravity.
    fn loads(&self, at: f64) -> Load {
        let rest = self.weight - self.moved;
        vec![[rest, (self.weight * self.cg - self.moved * self.from) / rest], [self.moved, at]]
    }
}

#[test]
fn a_load_that_is_moved() {
    run("load_moved", |row: &Shifted| {
        near("before", cg(&check(&package(&row.loads(row.from)))), row.cg, 1e-12 * row.cg.abs())?;
        near("after", cg(&check(&package(&row.loads(row.to)))), row.cg_after, row.tolerance)?;
        // Moving it back undoes the move.
        let back = Shifted { from: row.to, to: row.from, cg: row.cg_after, cg_after: row.cg, ..*row };
        near("undone", cg(&check(&package(&back.loads(back.to)))), row.cg, row.tolerance.max(1e-12 * row.cg.abs()))
    });
}

/// The same examples turned round: the load rides on a slide, the axis stands where the centre of gravity must come to
/// be, and the mark that balances the axis is the station of the load.
#[test]
fn the_mark_finds_the_station_of_the_load() {
    run("load_moved", |row: &Shifted| {
        let axis_m = row.cg_after * M_PER_ARM;
        let [low, high] = if row.from < row.to { [row.from, row.to] } else { [row.to, row.from] };
        let reach_m = (high - low) * M_PER_ARM;
        let range_m = [(low * M_PER_ARM) - 0.2 * reach_m, (high * M_PER_ARM) + 0.2 * reach_m];
        let from_m = row.from * M_PER_ARM;
        let chain = vec![
            Element::Joint(build::joint("tilt", [0.0, 1.0, 0.0], [axis_m, 0.0, 0.0])),
            build::place("rest", [-axis_m, 0.0, 0.0]),
            build::slide("station", [1.0, 0.0, 0.0], range_m, from_m, from_m),
            build::place("load", [-axis_m, 0.0, 0.0]),
        ];
        let mut package = build::package(chain);
        for (id, ([weight, arm], place)) in (1..).zip(row.loads(row.from).into_iter().zip(["rest", "load"])) {
            package.parts.push(build::point(id, place, weight * KG_PER_WEIGHT, [arm * M_PER_ARM, 0.0, 0.0]));
        }
        let report = check(&package);
        let station = report.slides[0].target_m.value / M_PER_ARM;
        // A rounded centre of gravity moves the station by the ratio of the weights.
        near("station", station, row.to, (row.tolerance * row.weight / row.moved).max(1e-9))
    });
}

#[derive(Deserialize)]
struct Ballast {
    weight: f64,
    cg: f64,
    target: f64,
    at: f64,
    added: f64,
    tolerance: f64,
}

#[test]
fn ballast_that_brings_the_centre_of_gravity_to_its_limit() {
    run("ballast", |row: &Ballast| {
        let before = vec![[row.weight, row.cg]];
        let with = |ballast: f64| cg(&check(&package(&vec![[row.weight, row.cg], [ballast, row.at]])));
        near("before", cg(&check(&package(&before))), row.cg, 1e-12 * row.cg)?;
        // The printed ballast brings it to the target, as closely as its last digit allows.
        let per_weight = (row.at - row.target) / row.weight;
        near("after", with(row.added), row.target, row.tolerance * per_weight)?;
        // A tenth less must be seen to be too little.
        match near("a tenth less", with(0.9 * row.added), row.target, row.tolerance * per_weight) {
            Ok(()) => Err("a tenth less does as well: the example shows nothing".to_owned()),
            Err(_) => Ok(()),
        }
    });
}

#[derive(Deserialize)]
struct Uncertain {
    /// Mass, its standard uncertainty, arm, its standard uncertainty: kg and m.
    bodies: Vec<[f64; 4]>,
    cg_m: f64,
    u_m: f64,
    tolerance_m: f64,
}

#[test]
fn uncertainty_of_a_centre_of_gravity() {
    run("uncertainty_of_cg", |row: &Uncertain| {
        let mut package = package(&Vec::new());
        for (id, [mass_kg, mass_u_kg, arm_m, arm_u_m]) in (1..).zip(&row.bodies) {
            let mut part = build::point(id, "camera", *mass_kg, [*arm_m, 0.0, 0.0]);
            if let PartMass::Own(mass) = &mut part.mass {
                mass.u_kg = Some(*mass_u_kg);
            }
            part.cg.u_m = Some(*arm_u_m);
            package.parts.push(part);
        }
        let report = check(&package);
        let cg_m = report.mass.camera_cg_from_flange_m.ok_or("no centre of gravity")?[0];
        near("centre of gravity", cg_m.value, row.cg_m, 1e-12)?;
        near("standard uncertainty", cg_m.u, row.u_m, row.tolerance_m)
    });
}
