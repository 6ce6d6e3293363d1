//! A mark and a hanging axis, down to every part's moment.

use nalgebra::Vector3;

use super::mass::{name, provenance};
use super::{SHARE, Term, cg_words};
use crate::balance::{across, arm_m, held_unbalance_kg_m, tested_lean_rad, worst_unbalance_kg_m};
use crate::check::{Solved, tune_report};
use crate::constants::{GRAVITY_M_S2, SCALE_ZERO_U_M};
use crate::float;
use crate::layout::{Body, Of};
use crate::order::sort_short;
use crate::package::{DriveKind, Joint, Package, Slide};

pub(super) fn mark(package: &Package, solved: &Solved, id: &str) -> Option<Term> {
    let (index, slide) = package.head.slides().enumerate().find(|(_, slide)| slide.id == id)?;
    let mark = &solved.marks.slides[index];
    let Some(joint_index) = mark.joint else {
        let stays = Term::value(format!("{}: stays where it is", slide.name), slide.mark_m, "m");
        return Some(stays.formula("this slide changes the balance of no axis"));
    };
    let joint = package.head.joints().nth(joint_index)?;
    let direction = Vector3::from(slide.direction);
    let moments = &solved.moments[joint_index];
    let marks_m = present_except(solved, index, slide);
    let at_present = moments.at_kg_m(&solved.layout, &marks_m);
    let along = direction.dot(&across(&moments.axis, &at_present));
    let move_m = mark.free_m - slide.mark_m;
    Some(
        Term::value(format!("{}: target mark", slide.name), mark.target_m, "m")
            .u(mark.u_m.max(0.001))
            .formula("present mark + move, held within travel and on a hole where there are holes")
            .of(vec![
                Term::value("Present mark", slide.mark_m, "m"),
                Term::value("Move", move_m, "m")
                    .formula("− unbalance along the slide ÷ mass that the slide moves")
                    .source("moment equilibrium: the centre of gravity on the axis")
                    .of(vec![
                        Term::value(
                            format!(
                                "Unbalance about {} along this slide, at its present mark, the others at their targets",
                                joint.name
                            ),
                            along,
                            "kg·m",
                        )
                        .formula("Σ mass × distance from the axis, across the axis")
                        .of(rows(package, solved, joint_index, &direction, &marks_m)),
                        Term::value("Mass that the slide moves across the axis", mark.across_kg, "kg"),
                    ]),
                uncertainty(package, solved, index),
            ]),
    )
}

/// Target marks, but this slide at its present one.
fn present_except(solved: &Solved, index: usize, slide: &Slide) -> Vec<f64> {
    let mut marks_m = solved.marks.targets_m.clone();
    marks_m[index] = slide.mark_m;
    marks_m
}

/// Every body's moment about a joint along a direction at the given marks, largest first.
fn rows(package: &Package, solved: &Solved, joint: usize, direction: &Vector3<f64>, marks_m: &[f64]) -> Vec<Term> {
    let layout = &solved.layout;
    let mut rows: Vec<Term> = layout
        .bodies
        .iter()
        .filter(|body| body.link > joint)
        .map(|body| {
            let arm = direction.dot(&arm_m(layout, joint, body, marks_m));
            Term::value(name(package, body), body.mass_kg * arm, "kg·m").formula("mass × distance at these marks").of(
                vec![
                    Term::value("Mass", body.mass_kg, "kg").u(body.mass_u_kg).source(provenance(package, body)),
                    Term::value("Distance from the axis", arm, "m").u(body.cg_u_m).source(cg_provenance(package, body)),
                ],
            )
        })
        .collect();
    sort_short(&mut rows, |a, b| a.value.unwrap_or(0.0).abs() > b.value.unwrap_or(0.0).abs());
    rows
}

fn cg_provenance(package: &Package, body: &Body) -> String {
    match body.of {
        Of::Part(index) => cg_words(package.parts[index].cg.from).to_owned(),
        Of::Lens(index) => cg_words(package.lenses[index].cg_from).to_owned(),
        Of::Yoke(_) => "the head's own sheet".to_owned(),
    }
}

/// What makes up the ± of a mark, largest first.
fn uncertainty(package: &Package, solved: &Solved, index: usize) -> Term {
    let (layout, mark) = (&solved.layout, &solved.marks.slides[index]);
    let mut shares: Vec<Term> = layout
        .bodies
        .iter()
        .filter_map(|body| {
            let (per_mass, per_moment) = mark.per_body(layout, &solved.marks.targets_m, body);
            let (by_mass_m, by_cg_m) =
                ((per_mass * body.mass_u_kg).abs(), per_moment.norm() * body.mass_kg * body.cg_u_m);
            let share_m = libm::hypot(by_mass_m, by_cg_m);
            (share_m > 5e-5).then(|| {
                Term::value(name(package, body), share_m, "m").of(vec![
                    Term::value("through its mass", by_mass_m, "m"),
                    Term::value("through its centre of gravity", by_cg_m, "m"),
                ])
            })
        })
        .collect();
    for (zero, sensitivity) in package.head.slides().zip(&mark.per_zero).filter(|(_, sensitivity)| **sensitivity != 0.0)
    {
        let share = Term::value(format!("Zero of the scale: {}", zero.name), sensitivity.abs() * SCALE_ZERO_U_M, "m");
        shares.push(share.source("common practice, no source"));
    }
    sort_short(&mut shares, |a, b| a.value > b.value);
    Term::value("± of the mark", mark.u_m, "m")
        .formula("root of the sum of squares of every share below; shown as 1 mm at least")
        .source("JCGM 100:2008, equation (10)")
        .of(shares)
}

pub(super) fn hang(package: &Package, solved: &Solved, id: &str) -> Option<Term> {
    let (index, joint) = package.head.joints().enumerate().find(|(_, joint)| joint.id == id)?;
    let limits_rad: Vec<Option<[f64; 2]>> = package.head.joints().map(|joint| joint.limits_rad).collect();
    let worst = worst_unbalance_kg_m(&solved.at_targets, &limits_rad)[index];
    let axis = Vector3::from(joint.axis);
    let lean_rad = tested_lean_rad(&axis, package.reserve.tip_rad);
    let residual = solved.marks.residuals_kg_m[index];
    let direction = if residual.norm() > 0.0 { residual.normalize() } else { across(&axis, &Vector3::x()) };
    let mut terms = vec![
        Term::value("Gravity torque in the test", GRAVITY_M_S2 * worst * float::sin(lean_rad), "N·m")
            .formula("g × unbalance × sin(lean of the test)")
            .of(vec![
                Term::value("Worst unbalance while the inner axes turn", worst, "kg·m").of(vec![
                    Term::value("At rest, at the target marks", residual.norm(), "kg·m")
                        .formula("Σ mass × distance from the axis, across the axis")
                        .of(rows(package, solved, index, &direction, &solved.marks.targets_m)),
                ]),
                Term::value("Lean of the test", lean_rad, "rad")
                    .formula("90° for a level axis, the tip angle for an upright one"),
            ]),
        Term::value("Friction", joint.drive.friction_nm, "N·m").source(friction_source(package)),
    ];
    if joint.drive.kind != DriveKind::Geared {
        terms.extend(zone(joint, lean_rad));
    }
    let inertia_kg_m2 =
        solved.at_targets.inboard()[index].about_axis_kg_m2(&axis) + joint.drive.reflected_inertia_kg_m2;
    terms.push(inertia(package, joint, inertia_kg_m2));
    terms.push(finger(package, joint));
    Some(Term::heading(format!("{}: stays put while gravity torque is below friction", joint.name), terms))
}

fn friction_source(package: &Package) -> &'static str {
    if package.head.typical { "typical: replace by your own" } else { "the head's own figure" }
}

/// Inertia at the output, and what it was when the head was tuned.
fn inertia(package: &Package, joint: &Joint, inertia_kg_m2: f64) -> Term {
    let now = Term::value("Inertia about the axis", inertia_kg_m2, "kg·m²")
        .formula("everything that it turns at the target marks, and the motor's own reflected by the gears");
    let Some(tune) = &package.tune else { return now };
    let Some(then) = tune.axes.iter().find(|axis| axis.joint == joint.id) else { return now };
    let mut of = vec![Term::value(format!("When tuned: {}", tune.name), then.inertia_kg_m2, "kg·m²")];
    of.extend(tune_report(package, joint, inertia_kg_m2).map(|tuned| {
        Term::value("Change", tuned.change, SHARE).of(vec![
            Term::value("Check the tune above", tune.check_share, SHARE).source("common practice, adjustable"),
            Term::value("Tune again above", tune.again_share, SHARE).source("common practice, adjustable"),
        ])
    }));
    now.of(of)
}

/// What a finger feels when the drive gives all it has.
fn finger(package: &Package, joint: &Joint) -> Term {
    let reserve = &package.reserve;
    Term::value("Force on a finger", joint.drive.peak_nm / reserve.finger_reach_m, "N")
        .formula("peak torque ÷ distance from the axis")
        .of(vec![
            Term::value("Peak torque of the drive", joint.drive.peak_nm, "N·m"),
            Term::value("Distance from the axis", reserve.finger_reach_m, "m"),
            Term::value("Limit", reserve.finger_limit_n, "N"),
        ])
}

/// Absent when the base is not tipped: then friction holds anything.
fn zone(joint: &Joint, lean_rad: f64) -> Option<Term> {
    let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
    held_kg_m.is_finite().then(|| {
        Term::value("Unbalance that friction holds", held_kg_m, "kg·m")
            .formula("friction ÷ (g × sin(lean of the test))")
    })
}
