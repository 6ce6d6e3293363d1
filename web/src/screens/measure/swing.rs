//! Swing: a bottom-heavy axis timed tells how far the centre of gravity lies below it.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::bounds;
use solver::measure::{AMPLITUDE_RAD, INERTIA_KG_M2, SWINGS, Swing, SwingKnown, Target, Value, swing};
use solver::package::{Package, PartMass};

use super::target::{Chosen, axes, put, said, thing, weighed_parts};
use super::{arithmetic, hold, not_yet, sketch, value_line, way};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::reading::reading;
use crate::screens::shared::button;
use crate::show::Kind;

/// Standard uncertainty of an inertia that was worked out from typical outlines, as a share. Common practice, no source.
const INERTIA_U: f64 = 0.1;
/// Standard uncertainty of a stopwatch in a hand, s. Common practice, no source.
const STOPWATCH_U_S: f64 = 0.15;

const STEPS: [&str; 4] = [
    "Drive of this axis unplugged: shorted windings brake the swing. Everything else locked. Hold the camera.",
    "It must hang bottom-heavy and swing freely; a top-heavy one runs away.",
    "Let it swing by a hand's breadth and time several swings. There and back is one.",
    "Hold it again.",
];

/// Swing.
#[expect(clippy::too_many_lines, reason = "one screen, read from top to bottom")]
pub(super) fn view(app: App) -> El {
    let (chosen, part) = (Chosen::new(), Chosen::new());
    let told = RwSignal::new(None);
    let time = reading("All swings together", Kind::Seconds, &bounds::TIME_S, "swing-time");
    let count = reading("How many swings", Kind::Plain, &SWINGS, "swing-count").usual(5.0);
    let amplitude =
        reading("From the middle to the end", Kind::Angle, &AMPLITUDE_RAD, "swing-amplitude").usual(0.174_533);
    let known = reading("Inertia about this axis", Kind::Inertia, &INERTIA_KG_M2, "swing-inertia");
    let joint = move || chosen.id(app, axes);
    let worked_out = move || {
        let joint = joint()?;
        let of = |report: &solver::report::Report| {
            let axis = report.axes.iter().find(|axis| axis.joint == joint)?;
            Some((axis.inertia_kg_m2, axis.now_kg_m))
        };
        app.document.report(of).flatten()
    };
    let found = move || {
        // Without another figure the inertia is the one that follows from the package.
        let inertia = known.get().or_else(|| worked_out().map(|(inertia, _)| inertia))?;
        let input = Swing {
            time_s: Estimate::new(time.get()?, STOPWATCH_U_S),
            swings: count.get()?,
            amplitude_rad: amplitude.get()?,
            known: SwingKnown::InertiaKgM2(Estimate::new(inertia, INERTIA_U * inertia)),
        };
        Some(swing(&input))
    };
    let target = move || part.id(app, weighed_parts).and_then(|id| thing(&id));
    let cg_up = move || {
        let (Some(Ok(result)), Some(target), Some((_, now_kg_m))) = (found(), target(), worked_out()) else {
            return None;
        };
        let up_m = app.document.with(|package| cg_up(package, &target, now_kg_m[2], result.unbalance_kg_m))?;
        let inside = app.document.with(|package| lies_inside(package, &target, up_m.value));
        Some((target, up_m, inside))
    };
    let answer = div("table").test("swing-answer").live(move || {
        let style = app.style();
        match found() {
            Some(Ok(result)) => {
                let mut lines = vec![value_line(
                    style,
                    "swing-unbalance",
                    "Unbalance, heavy below",
                    Kind::Unbalance,
                    result.unbalance_kg_m,
                    3,
                )];
                if let Some((_, now_kg_m)) = worked_out() {
                    let entered = style.fine(Kind::Unbalance, (-now_kg_m[2]).max(0.0), 3);
                    lines.push(crate::screens::shared::line(
                        "swing-entered",
                        "The package says, at the present marks",
                        &entered,
                    ));
                }
                if let Some((_, up_m, inside)) = cg_up() {
                    lines.push(value_line(
                        style,
                        "swing-cg",
                        "Then the part's CG stands above its middle by",
                        Kind::Length,
                        up_m,
                        0,
                    ));
                    if !inside {
                        lines.push(p(
                            "finding finding--watch",
                            "That lies outside the part: it cannot be this part alone.",
                        ));
                    }
                }
                lines.push(arithmetic(style, &result.term));
                lines
            }
            other => not_yet(other.is_some(), "A time, a count of swings and an inertia, all above nothing."),
        }
    });
    let take = button("swing-use", "Use this centre of gravity", move || {
        if let Some((target, up_m, true)) = untrack(cg_up) {
            put(app, &target, Value::CgUp(up_m), told);
        }
    })
    .live_flag("disabled", move || cg_up().is_none_or(|(_, _, inside)| !inside));
    let fields = vec![
        hold(),
        chosen.view(app, "Which axis", "swing-of", axes),
        div("fields").children([
            time.view(app),
            count.unit("swings").view(app),
            amplitude.view(app),
            known.help("Left empty, it is the one that follows from the package, ± a tenth.").view(app),
        ]),
        part.view(app, "Which part's height is in doubt", "swing-part", weighed_parts),
        p(
            "quiet",
            "The whole difference is put down to this one part: choose the one whose centre of gravity is least known.",
        ),
    ];
    way(
        "measure-swing",
        "Swing",
        sketch::swing(),
        &STEPS,
        fields,
        div("answering").child(answer).child(take).child(said(told)),
    )
}

/// Where the part's centre of gravity must stand above its middle for the package to have the measured unbalance: all of
/// the difference from `entered_up_kg_m`, the vertical unbalance of now, is put down to it.
fn cg_up(package: &Package, target: &Target, entered_up_kg_m: f64, below_kg_m: Estimate) -> Option<Estimate> {
    let Target::Part(id) = target else { return None };
    let part = package.parts.iter().find(|part| part.id == *id)?;
    let PartMass::Own(mass) = &part.mass else { return None };
    (mass.kg > 0.0).then(|| {
        let higher_m = (-below_kg_m.value - entered_up_kg_m) / mass.kg;
        Estimate::new(part.cg.offset_m[2] + higher_m, below_kg_m.u / mass.kg)
    })
}

/// Whether a centre of gravity so far above a part's middle still lies inside its outline.
fn lies_inside(package: &Package, target: &Target, up_m: f64) -> bool {
    let Target::Part(id) = target else { return false };
    package.parts.iter().any(|part| part.id == *id && up_m.abs() <= 0.5 * part.size_m[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_used_swing_brings_the_package_to_the_measured_unbalance() {
        let package = codec::library::demo();
        let up_kg_m = |package: &Package| {
            let report = solver::check(package).expect("valid");
            report.axes.iter().find(|axis| axis.joint == "tilt").expect("it tilts").now_kg_m[2]
        };
        let body = package.parts.iter().find(|part| part.optical_axis_up_m.is_some()).expect("a body");
        let target = Target::Part(body.id);
        let measured = Estimate::new(0.05, 0.004);
        let up_m = cg_up(&package, &target, up_kg_m(&package), measured).expect("its mass is known");
        let written = solver::measure::write(&package, &target, Value::CgUp(up_m)).expect("in range");
        // Rounded to a tenth of a millimetre of some four kilograms.
        assert!((up_kg_m(&written) + 0.05).abs() < 3e-4, "{}", up_kg_m(&written));
    }
}
