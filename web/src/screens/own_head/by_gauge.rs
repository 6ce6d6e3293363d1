//! The fifth step: torque and friction by hand, for what no data sheet tells.

use std::rc::Rc;

use leptos::prelude::*;
use solver::bounds;
use solver::measure::PULL_N;
use solver::package::Package;

use super::axes::{change, joint};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::screens::reading::reading;
use crate::screens::shared::{button, line, section};
use crate::show::Kind;
use crate::ui::choice::select;
use crate::words::BEFORE_MOTORS;

/// Widest hold zone that is believed, m.
const ZONE_M: bounds::Bounds = bounds::Bounds { min: 0.000_1, max: 0.2, steps_per_unit: 1e4, unit: "m" };

/// The fifth step.
pub(super) fn view(app: App) -> El {
    section("own-gauge", "5. Torque and friction by hand").child(torque(app)).child(hold_zone(app))
}

/// A choice among ids of the package; the first of the list counts until one is made.
fn chosen(
    app: App,
    label: &str,
    test: &str,
    options: fn(&Package) -> Vec<(String, String)>,
) -> (El, Rc<dyn Fn() -> String>) {
    let id = RwSignal::new(String::new());
    let counts = move |package: &Package| {
        let now = id.get();
        let options = options(package);
        let known = options.iter().any(|(each, _)| *each == now);
        if known { now } else { options.into_iter().next().map(|(each, _)| each).unwrap_or_default() }
    };
    let field = select(app, label, test, options, counts, move |_, chosen| id.set(chosen));
    (field, Rc::new(move || app.document.with(counts)))
}

fn joints(package: &Package) -> Vec<(String, String)> {
    package.head.joints().map(|joint| (joint.id.clone(), joint.name.clone())).collect()
}

fn torque(app: App) -> El {
    let (which, axis) = chosen(app, "Axis", "own-torque-axis", joints);
    let pull = reading("Pull at which the motor gives way", Kind::Force, &PULL_N, "own-pull");
    let lever = reading("Distance from the axis", Kind::Length, &bounds::REACH_M, "own-lever");
    let found = move || Some(pull.get()? * lever.get()?).filter(|nm| bounds::TORQUE_NM.contains(*nm));
    let answer = div("table").live(move || match found() {
        Some(nm) => {
            vec![line("own-torque", "Torque", &app.style().show(Kind::Torque, nm)).attr("data-value", &format!("{nm}"))]
        }
        None => vec![p("quiet", "Fill in both fields.")],
    });
    let take = |test: &str, words: &str, set: fn(&mut solver::package::Drive, f64)| {
        let axis = axis.clone();
        button(test, words, move || {
            let (id, nm) = (untrack(|| axis()), untrack(found));
            if let Some(nm) = nm {
                app.document.edit(|package| change(package, &id, |joint| set(&mut joint.drive, nm)));
            }
        })
        .live_flag("disabled", move || found().is_none())
    };
    let buttons = div("buttons")
        .child(take("own-use-peak", "Use as peak torque", |drive, nm| drive.peak_nm = nm))
        .child(take("own-use-continuous", "Use as holding torque", |drive, nm| drive.continuous_nm = nm));
    div("by-hand")
        .child(el("h3").words("Torque by spring gauge"))
        .child(p("quiet", "Motors on, camera balanced: pull slowly, square to the lever, until the axis gives way."))
        .child(p("caution", BEFORE_MOTORS))
        .child(which)
        .child(div("fields").child(pull.view(app)).child(lever.view(app)))
        .child(answer)
        .child(buttons)
}

fn slides(package: &Package) -> Vec<(String, String)> {
    package.head.slides().rev().map(|slide| (slide.id.clone(), slide.name.clone())).collect()
}

/// Friction from how far a mark may be off before its axis turns: it goes with that distance and the mass that slides.
fn hold_zone(app: App) -> El {
    let (which, slide) = chosen(app, "Slide", "own-zone-slide", slides);
    let zone = reading("It holds within ±", Kind::Length, &ZONE_M, "own-zone");
    let found: Rc<dyn Fn() -> Option<(String, f64)>> = Rc::new(move || {
        let (id, zone_m) = (slide(), zone.get()?);
        let of = |report: &solver::report::Report| {
            let row = report.slides.iter().find(|each| each.slide == id)?;
            Some((row.balances.clone()?, row.hold_zone_m?))
        };
        let (axis, entered_m) = app.document.report(of).flatten()?;
        let friction_nm = app.document.with(|package| joint(package, &axis).map(|joint| joint.drive.friction_nm))?;
        let nm = friction_nm * zone_m / entered_m;
        (entered_m > 0.0 && bounds::TORQUE_NM.contains(nm)).then_some((axis, nm))
    });
    let shown = found.clone();
    let answer = div("table").live(move || match shown() {
        Some((_, nm)) => {
            let words = app.style().fine(Kind::Torque, nm, 2);
            vec![line("own-zone-friction", "Friction of its axis", &words).attr("data-value", &format!("{nm}"))]
        }
        None => {
            vec![p("quiet", "A slide that balances an axis without gears, and how far off its mark it still holds.")]
        }
    });
    let (idle, used) = (found.clone(), found);
    let take = button("own-use-friction", "Use this friction", move || {
        if let Some((axis, nm)) = untrack(|| used()) {
            app.document.edit(|package| change(package, &axis, |joint| joint.drive.friction_nm = nm));
        }
    })
    .live_flag("disabled", move || idle().is_none());
    div("by-hand")
        .child(el("h3").words("Friction from the hold zone"))
        .child(p("quiet", "Balance the axis, then move the slide out until it just turns: how far from the middle was that? Hold the camera."))
        .child(which)
        .child(div("fields").child(zone.view(app)))
        .child(answer)
        .child(take)
}
