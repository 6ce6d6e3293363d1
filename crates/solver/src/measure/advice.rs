//! Which single measurement would narrow a mark most: "weigh the lens: ± falls from 11 to 4 mm".

use serde::{Deserialize, Serialize};

use crate::balance::logged_of;
use crate::check::Solved;
use crate::error::{InputError, Problem};
use crate::layout::{Body, Of};
use crate::order::sort_short;
use crate::package::{CgSource, LoggedOf, Mass, MassSource, Package, PartMass};
use crate::path::FieldPath;
use crate::validate::validate;

/// One measurement, and what it would do to a mark.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Advice {
    /// What is to be measured.
    pub of: LoggedOf,
    /// Its name.
    pub name: String,
    /// How.
    pub measurement: Measurement,
    /// Standard uncertainty of the mark now, m.
    pub now_u_m: f64,
    /// The same once it is measured, m.
    pub then_u_m: f64,
}

/// A measurement of one part or lens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measurement {
    /// Weigh it on a bench scale.
    Weigh,
    /// Find its centre of gravity, on a knife edge or two scales.
    FindCg,
}

/// Every measurement that narrows the mark of a slide by a twentieth or more, most useful first. Each is tried alone, as if
/// it gave the value that is entered now.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`], and a slide that the head does not have.
pub fn advice(package: &Package, slide: &str) -> Result<Vec<Advice>, Vec<InputError>> {
    validate(package)?;
    let Some(index) = package.head.slides().position(|each| each.id == slide) else {
        let problem = Problem::Unknown { what: "slide", id: slide.to_owned() };
        return Err(vec![InputError { field: FieldPath::root().field("slide"), problem }]);
    };
    let now = Solved::new(package);
    let now_u_m = now.marks.slides[index].u_m;
    let mut found = Vec::new();
    for body in &now.layout.bodies {
        for measurement in [Measurement::Weigh, Measurement::FindCg] {
            let Some((name, measured)) = measured(package, body, measurement) else { continue };
            let then_u_m = Solved::new(&measured).marks.slides[index].u_m;
            if then_u_m <= 0.95 * now_u_m {
                found.push(Advice { of: logged_of(package, body), name, measurement, now_u_m, then_u_m });
            }
        }
    }
    sort_short(&mut found, |a: &Advice, b| a.then_u_m < b.then_u_m);
    Ok(found)
}

/// The package with one thing measured; `None` for a yoke, which cannot be taken off, and for what is measured already.
fn measured(package: &Package, body: &Body, measurement: Measurement) -> Option<(String, Package)> {
    let mut changed = package.clone();
    let weighed = |kg: f64| Mass { kg, from: MassSource::BenchScale, u_kg: None };
    let name = match body.of {
        Of::Part(index) => {
            let part = &mut changed.parts[index];
            match (measurement, &part.mass) {
                (Measurement::Weigh, PartMass::Own(mass)) => part.mass = PartMass::Own(weighed(mass.kg)),
                // What stands for a share of the rest is weighed as a heap of its own.
                (Measurement::Weigh, PartMass::Share { .. }) => part.mass = PartMass::Own(weighed(body.mass_kg)),
                (Measurement::FindCg, _) => (part.cg.from, part.cg.u_m) = (CgSource::Measured, None),
            }
            part.name.clone()
        }
        Of::Lens(index) => {
            let lens = &mut changed.lenses[index];
            match measurement {
                Measurement::Weigh => lens.mass = weighed(lens.mass.kg),
                Measurement::FindCg => (lens.cg_from, lens.cg_u_m) = (CgSource::Measured, None),
            }
            lens.name.clone()
        }
        Of::Yoke(_) => return None,
    };
    (changed != *package).then_some((name, changed))
}
