//! The first mode as Rayleigh's quotient: what bends over what swings, in the shape that the package swings in.

use super::Term;
use crate::package::Package;
use crate::stiffness::{Link, Swings};

/// The first mode; `None` without a body, or when nothing has a mass.
pub(super) fn first_mode(package: &Package) -> Option<Term> {
    let swings = Swings::first_of(package)?;
    let hz = swings.first_hz();
    let (bends, swing) = (bending(&swings), swinging(&swings));
    let crossover_hz = package.head.crossover_hz;
    let over = Term::value("Over the loop crossover", hz.value / crossover_hz, "")
        .u(hz.u / crossover_hz)
        .formula("first mode / crossover; 4 and more is stiff enough, below 2.5 will ring; within ± of either, watch")
        .source("common practice, no source")
        .of(vec![Term::value("Loop crossover", crossover_hz, "Hz").source("the head")]);
    Some(
        Term::value(format!("First mode, {}", swings.plane().words()), hz.value, "Hz")
            .u(hz.u)
            .formula("√(k / m) / 2π; ± is half of each share times its own ±, root of the sum of squares")
            .source("Rayleigh's quotient; Blevins, Formulas for Natural Frequency and Mode Shape, 1979 (from memory)")
            .of(vec![bends, swing, over]),
    )
}

/// Twice the strain energy of the shape, its largest shift taken as one: piece by piece.
fn bending(swings: &Swings) -> Term {
    let scale = swings.scale();
    let mut rows: Vec<Term> = swings
        .pieces()
        .map(|piece| {
            let kind = match piece.element.link {
                Link::Beam(beam) => vec![
                    Term::value("Length", piece.element.length_m(), "m").source("from the outlines of the parts"),
                    Term::value("Modulus × second moment of area", beam.ei_n_m2, "N·m²")
                        .u(piece.relative_u * beam.ei_n_m2)
                        .source(piece.source),
                ],
                Link::Spring(spring) if spring.turning_nm_rad > 0.0 => vec![
                    Term::value("Stiffness against turning", spring.turning_nm_rad, "N·m/rad")
                        .u(piece.relative_u * spring.turning_nm_rad)
                        .source(piece.source),
                ],
                Link::Spring(spring) => vec![
                    Term::value("Stiffness", spring.second_n_m, "N/m")
                        .u(piece.relative_u * spring.second_n_m)
                        .source(piece.source),
                ],
            };
            Term::value(piece.name, scale * piece.strain, "N/m").formula("Σ stiffness × give²").of(kind)
        })
        .collect();
    crate::order::sort_short(&mut rows, |a, b| a.value > b.value);
    Term::value("What bends: k", rows.iter().filter_map(|row| row.value).sum(), "N/m")
        .formula("sum over the pieces, the largest shift of a mass taken as one")
        .of(rows)
}

/// Twice the kinetic energy of the shape, the same shift taken as one: mass by mass.
fn swinging(swings: &Swings) -> Term {
    let scale = swings.scale();
    let mut rows: Vec<Term> = swings
        .masses()
        .map(|mass| {
            Term::value(mass.name, scale * mass.swing, "kg").formula("mass × shift² + moment of inertia × turn²").of(
                vec![
                    Term::value("Mass", mass.kg, "kg").u(mass.kg_u),
                    Term::value("Shift", crate::float::sqrt(scale) * mass.shift, "").formula("of the largest"),
                ],
            )
        })
        .collect();
    rows.push(
        Term::value("The rods themselves", scale * swings.beams_swing(), "kg").formula("consistent mass of each piece"),
    );
    crate::order::sort_short(&mut rows, |a, b| a.value > b.value);
    Term::value("What swings: m", rows.iter().filter_map(|row| row.value).sum(), "kg")
        .formula("sum over the masses")
        .of(rows)
}
