//! Where a move leaves what the model holds for, and what its isolator carries.

use nalgebra::{Rotation3, Unit, Vector3};

use super::push;
use crate::air;
use crate::finding::{Finding, Matter, Severity};
use crate::float;
use crate::layout::{Body, Layout, Of};
use crate::package::{Joint, Motion, Move, Package, Shape};
use crate::platform::{PlatformMotion, up_in_base, wave_length_m};
use crate::report::{Hold, MoveTorque, Report};

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

/// How many times as hard gravity may pull in a move as in the test before that is said. Common practice, no source.
const FURTHER: f64 = 1.2;

/// Cosine of the angle to the vertical below which an axis counts as level.
const LIES_LEVEL: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// What one move raises beyond its torque.
pub(super) fn beyond(
    package: &Package,
    torque: &MoveTorque,
    report: &Report,
    layout: &Layout,
    found: &mut Vec<Finding>,
) {
    let Some(each) = package.moves.iter().find(|each| each.id == torque.move_id) else { return };
    let move_name = || each.name.clone();
    if let Some(isolator) = &each.isolator {
        let (all_up_kg, rated_kg) = (report.mass.all_up_kg, isolator.rated_kg);
        // As for what the head takes.
        if all_up_kg.value + 2.0 * all_up_kg.u > rated_kg {
            let severity = if all_up_kg.value > rated_kg { Severity::NoGo } else { Severity::Watch };
            let (mass_kg, u_kg) = (all_up_kg.value, all_up_kg.u);
            push(found, severity, Matter::IsolatorOver { move_name: move_name(), mass_kg, rated_kg, u_kg });
        }
    }
    leans_further(package, each, &torque.platform, report, found);
    platform_turns(package, each, &torque.platform, found);
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

/// Axes that stand further from upright in a move than in their test, as the pan of a head on its side, or one that rides
/// on a tilt: what friction held at the tip angle it need not hold there.
fn leans_further(package: &Package, each: &Move, motion: &PlatformMotion, report: &Report, found: &mut Vec<Finding>) {
    let (sin, cos) = float::sin_cos(motion.lean_rad);
    for (place, joint) in package.head.joints().enumerate() {
        let Some(axis) = report.axes.iter().find(|axis| axis.joint == joint.id) else { continue };
        // A level axis is tested with all of gravity.
        if axis.hold == Hold::Geared || axis.tested_lean_rad >= core::f64::consts::FRAC_PI_2 {
            continue;
        }
        let outside: Vec<&Joint> = package.head.joints().take(place).collect();
        let upright = least_along(&outside, each, Vector3::from(joint.axis).normalize());
        let aslant = float::sqrt((1.0 - upright * upright).max(0.0));
        // Sine of the angle from upright and the lean together, at most of a right angle.
        let further = if upright * cos <= aslant * sin { 1.0 } else { aslant * cos + upright * sin };
        if further > FURTHER * float::sin(axis.tested_lean_rad) {
            let (axis, tested_rad) = (axis.name.clone(), axis.tested_lean_rad);
            push(found, Severity::Watch, Matter::LeansFurther { axis, move_name: each.name.clone(), tested_rad });
        }
    }
}

/// Places of a working range that are tried: its ends, and between them.
const TRIED: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// Least share of a direction along the vertical, however the axes outside it turn it within their working ranges.
fn least_along(outside: &[&Joint], each: &Move, direction: Vector3<f64>) -> f64 {
    let Some((turns, outside)) = outside.split_last() else { return direction.dot(&up_in_base(each.mounting)).abs() };
    let range = each.ranges.iter().find(|range| range.joint == turns.id).map_or([0.0; 2], |range| range.range_rad);
    let [low, high] = turns.limits_rad.map_or(range, |[low, high]| range.map(|angle| angle.clamp(low, high)));
    let about = Unit::new_normalize(Vector3::from(turns.axis));
    let turned = |share: f64| Rotation3::from_axis_angle(&about, low + share * (high - low)) * direction;
    let tried = if high > low { &TRIED[..] } else { &TRIED[..1] };
    tried.iter().map(|share| least_along(outside, each, turned(*share))).fold(1.0, f64::min)
}

/// Axes that cannot turn as fast as the platform turns under them and the operator wants, both at once: those that lie
/// level, which hold the horizon and the tilt against a base that turns about level axes.
fn platform_turns(package: &Package, each: &Move, motion: &PlatformMotion, found: &mut Vec<Finding>) {
    let platform_rad_s = f64::max(motion.peak_turn_rad_s, motion.peak_factor * motion.rms_turn_rad_s);
    if platform_rad_s <= 0.0 {
        return;
    }
    for joint in package.head.joints() {
        let lies = Vector3::from(joint.axis).normalize().dot(&up_in_base(each.mounting)).abs() < LIES_LEVEL;
        let operator = each.operator.iter().find(|axis| axis.joint == joint.id).map_or(0.0, |axis| axis.rate_rad_s);
        let fastest_rad_s = f64::max(joint.drive.max_rate_rad_s, 1e-3);
        let rate_use = (platform_rad_s + operator) / fastest_rad_s;
        // What the operator alone asks too much of is another finding.
        if lies && rate_use > 1.0 && operator <= fastest_rad_s {
            let (axis, move_name) = (joint.name.clone(), each.name.clone());
            push(found, Severity::NoGo, Matter::PlatformTooFast { axis, move_name, rate_use });
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
