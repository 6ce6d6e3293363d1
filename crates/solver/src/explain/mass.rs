//! Mass on the camera side and on the arm, part by part.

use super::{Term, mass_words};
use crate::check::Solved;
use crate::layout::{Body, Of};
use crate::order::sort_short;
use crate::package::{Element, Package, PartMass};

pub(super) fn camera(package: &Package, solved: &Solved) -> Term {
    total("Mass on the camera side", package, solved, true)
}

pub(super) fn on_the_arm(package: &Package, solved: &Solved) -> Term {
    total("Mass on the arm", package, solved, false)
}

fn total(label: &str, package: &Package, solved: &Solved, camera_only: bool) -> Term {
    let sum_kg = solved.mass_kg(package, camera_only);
    let bodies = solved.layout.bodies.iter().filter(|body| body.camera_side || !camera_only);
    let mut rows: Vec<Term> = bodies.map(|body| row(package, body)).collect();
    sort_short(&mut rows, |a, b| a.value > b.value);
    Term::value(label, sum_kg.value, "kg")
        .u(sum_kg.u)
        .formula(if solved.learned.is_some() {
            "sum of all masses; ± is what the logged balances leave of theirs"
        } else {
            "sum of all masses; ± is the root of the sum of their squares"
        })
        .source("JCGM 100:2008, equation (10)")
        .of(rows)
}

fn row(package: &Package, body: &Body) -> Term {
    Term::value(name(package, body), body.mass_kg, "kg").u(body.mass_u_kg).source(provenance(package, body))
}

/// What a body is called.
pub(crate) fn name(package: &Package, body: &Body) -> String {
    match body.of {
        Of::Part(index) => package.parts[index].name.clone(),
        Of::Lens(index) => package.lenses[index].name.clone(),
        Of::Yoke(index) => match &package.head.chain[index] {
            Element::Yoke(yoke) => yoke.name.clone(),
            _ => String::new(),
        },
    }
}

/// Where its mass came from, in words.
pub(super) fn provenance(package: &Package, body: &Body) -> String {
    match body.of {
        Of::Part(index) => match &package.parts[index].mass {
            PartMass::Own(mass) => mass_words(mass.from).to_owned(),
            PartMass::Share { fraction } => {
                format!("{:.1} % of everything else on the camera side, known to half", 100.0 * fraction)
            }
        },
        Of::Lens(index) => mass_words(package.lenses[index].mass.from).to_owned(),
        Of::Yoke(index) => match &package.head.chain[index] {
            Element::Yoke(yoke) => mass_words(yoke.mass.from).to_owned(),
            _ => String::new(),
        },
    }
}
