//! The camera on a scale as a whole: one number that says more than the masses of many small parts.

use std::rc::Rc;

use leptos::prelude::*;
use solver::Package;
use solver::balance::log_balance;
use solver::bounds::{MASS_KG, MAX_LOGS};
use solver::package::{LoggedBalance, Mass, MassSource};

use super::super::reading::reading;
use super::super::shared::{button, section};
use crate::app::App;
use crate::dom::{El, p};
use crate::show::Kind;
use crate::ui::choice::radios;
use crate::words::{LIFTING, MASS_SOURCES, word};

/// Scales that carry a camera.
const SCALES: [MassSource; 2] = [MassSource::LuggageScale, MassSource::BenchScale];

/// The field, the scale, and what the package says so far.
pub(super) fn view(app: App) -> El {
    let weight = reading("It weighs", Kind::Mass, &MASS_KG, "whole-mass");
    let scale = RwSignal::new(0);
    let says = move || {
        let so_far = app.document.report(|report| report.mass.camera_kg);
        let style = app.style();
        so_far.map_or_else(String::new, |kg| {
            let (mass, u) = (style.uncertain(Kind::Mass, kg.value, kg.u), style.plus_minus(Kind::Mass, kg.u));
            format!("The package says {mass} {u} so far.")
        })
    };
    let idle = move || weight.get().is_none() || app.document.with(|package| package.logs.len() >= MAX_LOGS);
    let words = SCALES.iter().map(|known| word(MASS_SOURCES, known)).collect();
    section("logs-whole", "The camera weighed whole")
        .child(p("quiet", "Everything that rides on the head's innermost plate, as it rides, off the head and on one scale. Masses that were guessed are corrected by it."))
        .child(p("caution", LIFTING))
        .child(p("", "").test("whole-says").live_words(says))
        .child(weight.view(app))
        .child(radios(
            "On a",
            "whole-scale",
            words,
            Rc::new(move || Some(scale.get())),
            Rc::new(move |index| scale.set(index)),
        ))
        .child(
            button("log-whole", "Log this weight", move || {
                let Some(kg) = untrack(|| weight.get()) else { return };
                let from = SCALES[scale.get_untracked().min(SCALES.len() - 1)];
                app.document.edit(|package| add(package, Mass { kg, from, u_kg: None }));
            })
            .class("button--main button--wide")
            .live_flag("disabled", idle),
        )
}

fn add(package: &mut Package, weighed: Mass) {
    let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let id = package.logs.iter().map(|log| log.id).max().unwrap_or(0).saturating_add(1);
    let log = LoggedBalance { weighed: Some(weighed), ..log_balance(package, id, Vec::new(), &marks_m) };
    package.logs.push(log);
}
