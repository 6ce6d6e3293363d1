//! Which findings a report raises, gravest first.

mod model;

use crate::check::Solved;
use crate::finding::{Finding, Matter, Severity};
use crate::layout::Layout;
use crate::order::sort_short;
use crate::package::{LoggedOf, MassSource, Package, PartMass};
use crate::power::{Bank, SURE, bank_power_limit_w, group_over, group_peak_w, tap_uses};
use crate::report::{
    AxisReport, AxisTorque, Cause, Hold, LimitKind, MoveTorque, Report, SlideReport, TuneReport, TuneVerdict,
};
use crate::torque::wind_on_joint;

/// Distance from the axis at which a cure by trim weight is quoted, m.
const TRIM_ARM_M: f64 = 0.15;
/// Probability below which logged balances are said to disagree.
const LOGS_DISAGREE: f64 = 0.01;
/// Share of guessed mass above which that is said.
const GUESSED_NOTE: f64 = 0.5;

/// Everything that a person must know, gravest first; equal ones in the order of the first screen.
pub(crate) fn findings(package: &Package, report: &Report, solved: &Solved) -> Vec<Finding> {
    let mut found = Vec::new();
    mass(package, report, &mut found);
    marks(report, &mut found);
    for axis in &report.axes {
        hang(axis, &mut found);
    }
    turning_now(report, &mut found);
    if let Some(torque) = report.torque.known() {
        for each in &torque.moves {
            torque_of(package, each, solved, &mut found);
            model::beyond(package, each, report, &solved.layout, &mut found);
        }
    }
    tune(package, report, &mut found);
    logs(package, report, &mut found);
    fingers(package, report, &mut found);
    power(package, report, &mut found);
    provenance(package, &solved.layout, &mut found);
    sort_short(&mut found, |a, b| a.severity < b.severity);
    found
}

fn push(found: &mut Vec<Finding>, severity: Severity, matter: Matter) {
    found.push(Finding { severity, matter });
}

fn mass(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let camera = report.mass.camera_kg;
    let [least_kg, limit_kg] = package.head.payload_kg;
    if camera.value > limit_kg {
        push(found, Severity::NoGo, Matter::TooHeavy { camera_kg: camera.value, limit_kg, u_kg: camera.u });
    } else if camera.value + 2.0 * camera.u > limit_kg {
        push(found, Severity::Watch, Matter::MaybeTooHeavy { camera_kg: camera.value, limit_kg, u_kg: camera.u });
    }
    if camera.value < least_kg {
        push(found, Severity::Watch, Matter::TooLight { camera_kg: camera.value, least_kg });
    }
}

fn marks(report: &Report, found: &mut Vec<Finding>) {
    for slide in report.slides.iter().filter(|slide| slide.balances.is_some()) {
        if let Some(beyond_m) = out_of_travel(slide, report) {
            let word = end_word(slide);
            push(found, Severity::NoGo, Matter::OutOfTravel { slide: slide.name.clone(), beyond_m, word });
        } else if slide.left_m < crate::constants::TRAVEL_WATCH_M.max(slide.target_m.u) {
            let (slide, left_m, u_m) = (slide.name.clone(), slide.left_m, slide.target_m.u);
            push(found, Severity::Watch, Matter::NearEnd { slide, left_m, u_m });
        }
    }
}

/// A free optimum a hair beyond the end is no matter while the joint still holds.
fn out_of_travel(slide: &SlideReport, report: &Report) -> Option<f64> {
    let beyond_m = slide.beyond_m?;
    let joint = report.axes.iter().find(|axis| Some(&axis.joint) == slide.balances.as_ref())?;
    (!matches!(joint.hold, Hold::Holds { .. }) || slide.hold_zone_m.is_none_or(|zone_m| beyond_m > zone_m))
        .then_some(beyond_m)
}

fn end_word(slide: &SlideReport) -> String {
    let [low_m, high_m] = slide.range_m;
    if (slide.target_m.value - low_m) < (high_m - slide.target_m.value) { "low end" } else { "high end" }.to_owned()
}

fn hang(axis: &AxisReport, found: &mut Vec<Finding>) {
    match axis.hold {
        Hold::Geared => {
            let severity = if gears_may_give(axis) { Severity::Watch } else { Severity::Note };
            let matter = Matter::GearedAxis { axis: axis.name.clone(), may_give: severity == Severity::Watch };
            push(found, severity, matter);
        }
        Hold::Holds { .. } => {}
        Hold::Turns { .. } => {
            let residual_kg_m = axis.gravity_any_nm / crate::constants::GRAVITY_M_S2;
            push(
                found,
                Severity::NoGo,
                Matter::NotNeutral {
                    axis: axis.name.clone(),
                    residual_kg_m,
                    trim_kg: residual_kg_m / TRIM_ARM_M,
                    at_m: TRIM_ARM_M,
                    side: opposite(axis.residual_kg_m),
                },
            );
        }
    }
}

/// Whether the unbalance at the present or the target marks is more than friction holds: of gears nobody has said more.
fn gears_may_give(axis: &AxisReport) -> bool {
    axis.gravity_any_nm.max(axis.gravity_any_now_nm) * crate::float::sin(axis.tested_lean_rad) > axis.friction_nm
}

/// Where a weight must hang to cancel an unbalance, in words.
fn opposite([x, y, z]: [f64; 3]) -> String {
    let largest = x.abs().max(y.abs()).max(z.abs());
    let word = |value: f64, plus: &'static str, minus: &'static str| if value > 0.0 { minus } else { plus };
    if largest <= 0.0 {
        "opposite the side that drops".to_owned()
    } else if x.abs() >= largest {
        word(x, "in front of the axis", "behind the axis").to_owned()
    } else if y.abs() >= largest {
        word(y, "to the left of the axis", "to the right of the axis").to_owned()
    } else {
        word(z, "above the axis", "below the axis").to_owned()
    }
}

fn turning_now(report: &Report, found: &mut Vec<Finding>) {
    let axes: Vec<String> = report
        .axes
        .iter()
        .filter(|axis| matches!(axis.hold_now, Hold::Turns { .. }) && !matches!(axis.hold, Hold::Turns { .. }))
        .map(|axis| axis.name.clone())
        .collect();
    if !axes.is_empty() {
        push(found, Severity::Watch, Matter::MarksOff { axes });
    }
}

fn torque_of(package: &Package, each: &MoveTorque, solved: &Solved, found: &mut Vec<Finding>) {
    for axis in &each.axes {
        let over =
            [(LimitKind::Peak, axis.peak_headroom.value), (LimitKind::Continuous, axis.continuous_headroom.value)];
        let Some((limit, headroom)) = over.into_iter().min_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        let (axis_name, move_name, cause) = (axis.name.clone(), each.name.clone(), axis.cause);
        let windiest = || windiest(package, solved, each, axis);
        if headroom < 0.0 {
            let (used, windiest) = (1.0 - headroom, windiest());
            push(
                found,
                Severity::NoGo,
                Matter::TorqueOver { axis: axis_name, move_name, limit, used, cause, windiest },
            );
        } else if headroom < package.reserve.torque_headroom {
            let windiest = windiest();
            push(
                found,
                Severity::Watch,
                Matter::TorqueTight { axis: axis_name, move_name, limit, headroom, cause, windiest },
            );
        }
        rate(package, axis, &each.name, found);
        range(package, each, axis, found);
    }
    if each.near_gimbal_lock {
        push(found, Severity::Watch, Matter::NearGimbalLock { move_name: each.name.clone() });
    }
}

/// The part that takes most of the wind on an axis where wind is the largest term.
fn windiest(package: &Package, solved: &Solved, each: &MoveTorque, axis: &AxisTorque) -> Option<String> {
    if axis.cause != Cause::Wind {
        return None;
    }
    let wind = wind_on_joint(package, &solved.layout, &solved.marks.targets_m, each, axis)?;
    wind.shares.first().map(|share| share.name.clone())
}

fn rate(package: &Package, axis: &AxisTorque, move_name: &str, found: &mut Vec<Finding>) {
    let (axis_name, move_name) = (axis.name.clone(), move_name.to_owned());
    if axis.rate_use > 1.0 {
        push(found, Severity::NoGo, Matter::TooFast { axis: axis_name, move_name, rate_use: axis.rate_use });
    } else if let Some(headroom) = axis.voltage_headroom.filter(|left| *left < package.reserve.torque_headroom) {
        let severity = if headroom < 0.0 { Severity::NoGo } else { Severity::Watch };
        push(found, severity, Matter::VoltageTight { axis: axis_name, move_name, headroom });
    }
}

fn range(package: &Package, each: &MoveTorque, axis: &AxisTorque, found: &mut Vec<Finding>) {
    let wanted = package.moves.iter().find(|candidate| candidate.id == each.move_id);
    let wanted = wanted.and_then(|m| m.ranges.iter().find(|range| range.joint == axis.joint));
    let limits = package.head.joints().find(|joint| joint.id == axis.joint).and_then(|joint| joint.limits_rad);
    if let (Some(range), Some([low, high])) = (wanted, limits)
        && (range.range_rad[0] < low || range.range_rad[1] > high)
    {
        let matter = Matter::RangeBeyondLimits { axis: axis.name.clone(), move_name: each.name.clone() };
        push(found, Severity::NoGo, matter);
    }
}

fn tune(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let Some(tune) = &package.tune else { return };
    for axis in &report.axes {
        let Some(TuneReport { change, verdict }) = axis.tune else { continue };
        if verdict > TuneVerdict::Keep {
            let (axis, build, again) = (axis.name.clone(), tune.name.clone(), verdict == TuneVerdict::Redo);
            push(found, Severity::Watch, Matter::Tune { axis, build, change, again });
        }
    }
}

fn logs(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let Some(learned) = &report.learned else { return };
    if learned.void > 0 {
        push(found, Severity::Watch, Matter::LogsVoid { logs: learned.void });
    }
    let Some(agreement) = learned.agreement.as_ref().filter(|agreement| agreement.probability < LOGS_DISAGREE) else {
        return;
    };
    let suspects = agreement.suspects.iter().filter_map(|of| body_name(package, of)).collect();
    push(found, Severity::Watch, Matter::LogsDisagree { suspects, probability: agreement.probability });
}

fn body_name(package: &Package, of: &LoggedOf) -> Option<String> {
    match of {
        LoggedOf::Part(id) => package.parts.iter().find(|part| part.id == *id).map(|part| part.name.clone()),
        LoggedOf::Lens(id) => package.lenses.iter().find(|lens| lens.id == *id).map(|lens| lens.name.clone()),
        LoggedOf::Yoke(index) => match package.head.chain.get(*index) {
            Some(crate::package::Element::Yoke(yoke)) => Some(yoke.name.clone()),
            _ => None,
        },
    }
}

/// One finding for the axis that presses hardest: the caution is the same for all.
fn fingers(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let limit_n = package.reserve.finger_limit_n;
    let worst = report.axes.iter().max_by(|a, b| a.finger_force_n.total_cmp(&b.finger_force_n));
    if let Some(axis) = worst.filter(|axis| axis.finger_force_n > limit_n) {
        let (force_n, reach_m) = (axis.finger_force_n, package.reserve.finger_reach_m);
        push(found, Severity::Note, Matter::FingerForce { axis: axis.name.clone(), force_n, limit_n, reach_m });
    }
}

fn power(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let uses = tap_uses(package);
    for tap in &uses {
        let row = &tap.report;
        if let Some(severity) = tap.over() {
            let always = severity == Severity::NoGo;
            let (tap, peak_a, limit_a) = (row.name.clone(), row.peak_a, row.limit_a);
            push(found, severity, Matter::TapOver { tap, peak_a, limit_a, always });
        }
        for (part, low_v, high_v, window_v) in &tap.outside {
            let part = package.parts.iter().find(|each| each.id == *part).map_or_else(String::new, |p| p.name.clone());
            let (low_v, high_v, window_v) = (*low_v, *high_v, *window_v);
            let matter = Matter::VoltageOutside { part, tap: row.name.clone(), low_v, high_v, window_v };
            push(found, Severity::NoGo, matter);
        }
        for (part, peak_w, passes_w) in &tap.starved {
            let part = package.parts.iter().find(|each| each.id == *part).map_or_else(String::new, |p| p.name.clone());
            let (peak_w, passes_w) = (*peak_w, *passes_w);
            push(found, Severity::NoGo, Matter::CableTooThin { part, tap: row.name.clone(), peak_w, passes_w });
        }
    }
    for group in &package.head.tap_groups {
        if let Some(severity) = group_over(&uses, group) {
            let (peak_w, always) = (group_peak_w(&uses, &group.id), severity == Severity::NoGo);
            let matter = Matter::GroupOver { group: group.called().to_owned(), peak_w, limit_w: group.limit_w, always };
            push(found, severity, matter);
        }
    }
    let parts: Vec<String> = package
        .riding()
        .filter(|part| part.load.as_ref().is_some_and(|load| load.tap.is_none() && load.most_w() > 0.0))
        .map(|part| part.name.clone())
        .collect();
    if !parts.is_empty() {
        push(found, Severity::Note, Matter::NotWired { parts });
    }
    packs(package, report, found);
}

fn packs(package: &Package, report: &Report, found: &mut Vec<Finding>) {
    let bank = Bank::of(package);
    if bank.packs.is_empty() {
        return;
    }
    if bank.packs.windows(2).any(|pair| (pair[0].cells - pair[1].cells).abs() > 0.5) {
        push(found, Severity::NoGo, Matter::UnlikePacks);
    }
    let most_w = bank_power_limit_w(&bank);
    if let Some(draw_w) = report.power.collapsing_w {
        push(found, Severity::NoGo, Matter::PacksCollapse { draw_w, most_w });
    }
    if let (Some(at), Some(sets)) = (report.power.change_min, report.power.sets) {
        push(found, Severity::Note, Matter::PackChange { at_min: at.value, u_min: at.u, sets });
    }
    if let (Some(runtime_h), Some(1)) = (report.power.runtime_h.known(), report.power.sets) {
        let (spare_min, u_min) = (60.0 * (runtime_h.value - package.fed_h()).max(0.0), 60.0 * runtime_h.u);
        if spare_min < SURE * u_min {
            push(found, Severity::Note, Matter::PacksJustLast { spare_min, u_min });
        }
    }
}

fn provenance(package: &Package, layout: &Layout, found: &mut Vec<Finding>) {
    if package.head.typical {
        push(found, Severity::Note, Matter::TypicalHead);
    }
    let (mut guessed_kg, mut sum_kg) = (0.0, 0.0);
    for body in layout.bodies.iter().filter(|body| body.camera_side) {
        let source = match body.of {
            crate::layout::Of::Part(index) => match &package.parts[index].mass {
                PartMass::Own(mass) => Some(mass.from),
                PartMass::Share { .. } => None,
            },
            crate::layout::Of::Lens(index) => Some(package.lenses[index].mass.from),
            crate::layout::Of::Yoke(_) => None,
        };
        sum_kg += body.mass_kg;
        if matches!(source, None | Some(MassSource::Typical | MassSource::Estimate)) {
            guessed_kg += body.mass_kg;
        }
    }
    if sum_kg > 0.0 && guessed_kg > GUESSED_NOTE * sum_kg {
        push(found, Severity::Note, Matter::MostlyGuessed { share: guessed_kg / sum_kg });
    }
}
