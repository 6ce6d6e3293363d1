//! Angles of view that others have printed.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use solver::answer::Answer;
use solver::lens_set::preview::field_of_view;

#[derive(Deserialize)]
struct Seen {
    width: f64,
    height: Option<f64>,
    squeeze: Option<f64>,
    focal: f64,
    across: f64,
    upright: Option<f64>,
    tolerance: f64,
}

#[test]
fn angles_of_view() {
    run("field_of_view", |row: &Seen| {
        let mut package = build::package(vec![build::camera_place()]);
        let mut lens = build::lens(1, 1.0, 0.05, 0.1, 0.1);
        lens.focal_length_m = Some([row.focal / 1e3; 2]);
        lens.squeeze = row.squeeze;
        package.structure.picture_width_m = Some(row.width / 1e3);
        package.structure.picture_height_m = Some(row.height.unwrap_or(10.0) / 1e3);
        package.lenses.push(lens);
        let Answer::Known(seen) = field_of_view(&package, &package.lenses[0]) else { return Err("not known".into()) };
        near("across", seen.widest.across_rad.to_degrees(), row.across, row.tolerance)?;
        row.upright
            .map_or(Ok(()), |upright| near("upright", seen.widest.upright_rad.to_degrees(), upright, row.tolerance))
    });
}
