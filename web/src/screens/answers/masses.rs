//! What the head carries, and what hangs on the arm.

use solver::Report;
use solver::answer::Estimate;

use super::Inside;
use crate::app::App;
use crate::dom::{El, el, span};
use crate::show::Kind;
use crate::ui::reasons::{row, summary};

/// Two figures side by side, each of which opens.
pub(crate) fn view(app: App) -> El {
    let limit = move || {
        let limit = app.document.report(|report| {
            let [least, most] = report.mass.payload_kg;
            let style = app.style();
            format!("takes {} to {}", style.fine_bare(Kind::Mass, least, 1), style.fine(Kind::Mass, most, 1))
        });
        limit.unwrap_or_default()
    };
    let camera = figure(app, "On the camera side", |report| report.mass.camera_kg, span("").live_words(limit));
    let arm = figure(app, "On the arm", |report| report.mass.all_up_kg, span("").words("head and all"));
    let value = |read: fn(&Report) -> f64| move || app.document.report(read);
    el("section")
        .class("masses")
        .attr("aria-label", "Mass")
        .child(
            row(app, "figure", "mass-camera", camera, Inside::CameraMass)
                .live_value(value(|report| report.mass.camera_kg.value)),
        )
        .child(
            row(app, "figure", "mass-arm", arm, Inside::ArmMass)
                .live_value(value(|report| report.mass.all_up_kg.value)),
        )
}

fn figure(app: App, label: &str, read: fn(&Report) -> Estimate, aside: El) -> El {
    let words = move |write: fn(App, Estimate) -> String| {
        move || app.document.report(read).map(|mass| write(app, mass)).unwrap_or_default()
    };
    summary()
        .child(span("figure__label").words(label))
        .child(
            span("figure__value")
                .live_words(words(|app, mass| app.style().uncertain(Kind::Mass, mass.value, mass.u)))
                .child(span("figure__u").live_words(words(|app, mass| app.style().plus_minus(Kind::Mass, mass.u)))),
        )
        .child(aside.class("figure__aside"))
}
