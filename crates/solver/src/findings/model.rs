//! Where a move leaves what the model holds for, and what its isolator carries.

use super::push;
use crate::air;
use crate::finding::{Finding, Matter, Severity};
use crate::layout::{Body, Layout, Of};
use crate::package::{Motion, Move, MoveId, Package, Shape};
use crate::platform::wave_length_m;
use crate::report::Report;

/// Reynolds number above which the drag of a smooth round body falls.
///
/// # Source
/// Hoerner, *Fluid-Dynamic Drag* (1965), chapter 3 (from memory): the crisis of a smooth cylinder begins at 2e5.
const CRISIS: f64 = 2e5;

/// Share of the speed of sound above which the pressure of a wind is no longer ½ρV².
///
/// # Source
/// Anderson, *Fundamentals of Aerodynamics* (from memory): air is incompressible within 5 % below Mach 0.3.
const COMPRESSIBLE: f64 = 0.3;

/// Height over length at which a wave breaks. Source: Stokes (1880), the limit of a wave in deep water, 1 in 7.
const BREAKING: f64 = 1.0 / 7.0;

/// What one move raises beyond its torque.
pub(super) fn beyond(package: &Package, id: MoveId, report: &Report, layout: &Layout, found: &mut Vec<Finding>) {
    let Some(each) = package.moves.iter().find(|each| each.id == id) else { return };
    let move_name = || each.name.clone();
    if let Some(isolator) = &each.isolator {
        let mass_kg = report.mass.all_up_kg.value;
        if mass_kg > isolator.rated_kg {
            let matter = Matter::IsolatorOver { move_name: move_name(), mass_kg, rated_kg: isolator.rated_kg };
            push(found, Severity::NoGo, matter);
        }
    }
    let gust_m_s = each.airspeed_m_s * each.gust_factor;
    if gust_m_s > COMPRESSIBLE * air::speed_of_sound_m_s(each.air_k) {
        push(found, Severity::Watch, Matter::AirTooFast { move_name: move_name() });
    }
    if let Some(body) = thickest_round(layout).filter(|body| reynolds(each, gust_m_s, body) > CRISIS) {
        let part = match body.of {
            Of::Part(index) => package.parts[index].name.clone(),
            Of::Lens(index) => package.lenses[index].name.clone(),
            Of::Yoke(_) => return,
        };
        push(found, Severity::Note, Matter::DragCrisis { move_name: move_name(), part });
    }
    if let Motion::Sea { height_m, period_s, .. } = each.motion {
        let steepness = height_m / wave_length_m(period_s);
        if steepness > BREAKING {
            push(found, Severity::Watch, Matter::SeaTooSteep { move_name: move_name(), steepness });
        }
    }
}

fn reynolds(each: &Move, speed_m_s: f64, body: &Body) -> f64 {
    let density = air::density_kg_m3(each.altitude_m, each.air_k);
    density * speed_m_s * diameter_m(body) / air::viscosity_pa_s(each.air_k)
}

fn diameter_m(body: &Body) -> f64 {
    match body.shape {
        Shape::Box => 0.0,
        Shape::Cylinder => body.size_m[1],
        Shape::RodPair => body.size_m[2],
    }
}

fn thickest_round(layout: &Layout) -> Option<&Body> {
    let round = layout.bodies.iter().filter(|body| body.drag_coefficient > 0.0 && body.shape != Shape::Box);
    round.max_by(|a, b| diameter_m(a).total_cmp(&diameter_m(b)))
}
