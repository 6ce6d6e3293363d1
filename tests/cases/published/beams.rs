//! Beams and their modes, as the handbooks have them, through the framework that stiffness is built on.

use core::f64::consts::TAU;

use checks::table::{near, run};
use serde::Deserialize;
use solver::constants::GRAVITY_M_S2;
use solver::stiffness::{Beam, End, Framework, Mass, Section, Spring};

/// The tube of every row, mm and m.
const TUBE_MM: [f64; 2] = [15.0, 1.0];
const LENGTH_M: f64 = 0.3;

/// Pieces of a beam: a multiple of two and three, so that every load falls on a node.
const PIECES: usize = 12;

#[derive(Deserialize)]
struct Row {
    held: String,
    #[serde(default = "aluminium")]
    modulus: f64,
    density: Option<f64>,
    tip: Option<f64>,
    load: Option<f64>,
    load_at: Option<f64>,
    along: Option<f64>,
    span: Option<f64>,
    sag: Option<f64>,
    sag_at: Option<f64>,
    hz: Option<f64>,
}

fn aluminium() -> f64 {
    68.9
}

fn section() -> Section {
    Section::tube(1e-3 * TUBE_MM[0], 1e-3 * TUBE_MM[1])
}

/// A beam along the first axis from the left end, in pieces; nodes from that end on.
fn beam(beam: Beam, length_m: f64, pieces: usize, clamped: bool) -> Framework {
    let mut framework = Framework::default();
    let mut ends = Vec::new();
    for piece in 0..=pieces {
        let at_m = [length_m * piece as f64 / pieces as f64, 0.0];
        let node = (piece > 0 || !clamped).then(|| framework.node(at_m));
        ends.push(End { node, at_m });
    }
    for pair in ends.windows(2) {
        framework.beam(beam, pair[0], pair[1]);
    }
    framework
}

fn node_at(framework: &Framework, x_m: f64) -> usize {
    framework.nodes.iter().position(|node| (node[0] - x_m).abs() < 1e-9).expect("a node at every load")
}

/// A bearing that lets turn.
fn bear(framework: &mut Framework, x_m: f64) {
    let node = node_at(framework, x_m);
    let rigid = Spring { first_n_m: 1e12, second_n_m: 1e12, turning_nm_rad: 0.0 };
    framework.spring(rigid, None, node, [x_m, 0.0]);
}

fn built(row: &Row, kg_m: f64) -> Framework {
    let own = section().beam(1e9 * row.modulus, kg_m);
    let mut framework = beam(own, LENGTH_M, PIECES, row.held == "clamped");
    if row.held != "clamped" {
        bear(&mut framework, 0.0);
        bear(&mut framework, row.span.unwrap_or(LENGTH_M));
    }
    if let Some(kg) = row.tip {
        let node = node_at(&framework, LENGTH_M);
        framework.masses.push(Mass { node, at_m: [LENGTH_M, 0.0], kg, inertia_kg_m2: 0.0 });
    }
    framework
}

#[test]
fn beams_sag_and_swing_as_the_handbooks_have_it() {
    run("beams", |row: &Row| {
        if let Some(sag) = row.sag {
            let framework = built(row, row.along.unwrap_or(0.0) / GRAVITY_M_S2);
            let shape = match row.load {
                Some(load) => {
                    let node = node_at(&framework, row.load_at.unwrap_or(LENGTH_M));
                    framework.under(&[(node, [0.0, -load, 0.0])])
                }
                None => framework.sag([0.0, -GRAVITY_M_S2]),
            };
            let shape = shape.ok_or("hangs on nothing")?;
            let at = node_at(&framework, row.sag_at.unwrap_or(LENGTH_M));
            near("sag", -1e3 * shape[at][1], sag, 6e-6)?;
        }
        if let Some(hz) = row.hz {
            let framework = built(row, row.density.unwrap_or(0.0) * section().area_m2);
            near("frequency", framework.lowest_hz().unwrap_or(f64::NAN), hz, 5e-5)?;
        }
        if row.sag.is_none() && row.hz.is_none() {
            return Err("the row checks nothing".to_owned());
        }
        Ok(())
    });
}

#[derive(Deserialize)]
struct Modes {
    mass: f64,
    lambda_squared: Vec<f64>,
}

#[test]
fn a_clamped_beam_with_a_tip_mass_has_the_modes_of_the_handbook() {
    run("beam_modes", |row: &Modes| {
        // With EI, ρA and L of one, f is λ²/2π.
        let own = Beam { ea_n: 1e6, ei_n_m2: 1.0, kg_m: 1.0 };
        let mut framework = beam(own, 1.0, PIECES, true);
        framework.masses.push(Mass { node: PIECES - 1, at_m: [1.0, 0.0], kg: row.mass, inertia_kg_m2: 0.0 });
        let modes = framework.modes().ok_or("hangs on nothing")?;
        for (number, printed) in row.lambda_squared.iter().enumerate() {
            // From above, and a little more with every mode.
            let tolerance = [6e-6, 5e-4, 1e-2][number] * printed.max(1.0);
            near(&format!("mode {}", number + 1), TAU * modes[number].hz, *printed, tolerance)?;
        }
        Ok(())
    });
}

/// 5000 N·m/rad, 3 kg 0.25 m away: f = √(k/mr²)/2π.
#[test]
fn a_mass_on_a_turning_spring() {
    let mut framework = Framework::default();
    let node = framework.node([0.0, 0.0]);
    let spring = Spring { first_n_m: 1e12, second_n_m: 1e12, turning_nm_rad: 5_000.0 };
    framework.spring(spring, None, node, [0.0, 0.0]);
    framework.masses.push(Mass { node, at_m: [0.25, 0.0], kg: 3.0, inertia_kg_m2: 0.0 });
    let hz = framework.lowest_hz().expect("it hangs on its spring");
    assert!((hz - 25.990).abs() < 5e-4, "{hz}");
}

/// A beam of length a on top of a column of height h, a load at its end: P(a³/3 + a²h)/EI, and the column shortens by Ph/EA.
#[test]
fn a_bracket_of_beam_and_column() {
    let (a, h, load) = (0.2, 0.15, 30.0);
    let own = section().beam(68.9e9, 0.0);
    let mut framework = Framework::default();
    let (top, tip) = (framework.node([0.0, h]), framework.node([a, h]));
    let end = |node, at_m| End { node, at_m };
    framework.beam(own, end(None, [0.0, 0.0]), end(Some(top), [0.0, h]));
    framework.beam(own, end(Some(top), [0.0, h]), end(Some(tip), [a, h]));
    let shape = framework.under(&[(tip, [0.0, -load, 0.0])]).expect("it stands");
    let expected = load * (a * a * a / 3.0 + a * a * h) / own.ei_n_m2 + load * h / own.ea_n;
    assert!((-shape[tip][1] / expected - 1.0).abs() < 1e-10, "{} against {expected}", -shape[tip][1]);
    // The moment Pa leans the column forward by Pah²/2EI.
    let lean = load * a * h * h / (2.0 * own.ei_n_m2);
    assert!((shape[tip][0] / lean - 1.0).abs() < 1e-10, "{} against {lean}", shape[tip][0]);
}

/// A massless beam under its own tip mass: f = √(g/δ)/2π, whatever the section.
#[test]
fn frequency_and_sag_of_one_mass_belong_together() {
    let mut framework = beam(section().beam(68.9e9, 0.0), LENGTH_M, 3, true);
    framework.masses.push(Mass { node: 2, at_m: [LENGTH_M, 0.0], kg: 2.0, inertia_kg_m2: 0.0 });
    let sag_m = -framework.sag([0.0, -GRAVITY_M_S2]).expect("it is clamped")[2][1];
    let hz = framework.lowest_hz().expect("it is clamped");
    assert!((hz - (GRAVITY_M_S2 / sag_m).sqrt() / TAU).abs() < 1e-9, "{hz} Hz, {sag_m} m");
}

/// Every finer cut of the same beam comes down on the exact value from above.
#[test]
fn a_finer_beam_comes_from_above() {
    let own = Beam { ea_n: 1e6, ei_n_m2: 1.0, kg_m: 1.0 };
    let lowest = |pieces| TAU * beam(own, 1.0, pieces, true).lowest_hz().expect("it is clamped");
    let [one, two, four, eight] = [1, 2, 4, 8].map(lowest);
    assert!(one > two && two > four && four > eight && eight > 3.516_015, "{one} {two} {four} {eight}");
    assert!(one < 3.516_015 * 1.005 && eight < 3.516_015 * 1.000_01, "{one} {eight}");
}
