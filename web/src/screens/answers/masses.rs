//! What the head carries, and what hangs on the arm.

use leptos::prelude::*;
use solver::Report;
use solver::explain::AnswerId;

use crate::app::App;
use crate::show::Kind;
use crate::ui::reasons;
use crate::words::{LIFT_KG, LIFTING, OVERHEAD, WRAP};

/// Two figures side by side, each of which opens.
pub(crate) fn view(app: App) -> AnyView {
    view! {
        <section class="masses" aria-label="Mass">
            {figure(app, "mass-camera", "On the camera side", |report| report.mass.camera_kg, limit(app), AnswerId::CameraMass, lifting(app))}
            {figure(
                app, "mass-arm", "On the arm", |report| report.mass.all_up_kg,
                (move || "head and all on it".to_owned()).into_any(), AnswerId::ArmMass,
                view! { <p class="caution">{OVERHEAD}</p><p class="caution">{WRAP}</p> }.into_any(),
            )}
        </section>
    }
    .into_any()
}

fn figure(
    app: App,
    test: &'static str,
    label: &'static str,
    read: fn(&Report) -> solver::answer::Estimate,
    aside: AnyView,
    answer: AnswerId,
    inside: AnyView,
) -> AnyView {
    let mass = Memo::new(move |_| app.document.report(read));
    let summary = view! {
        <span class="figure__label">{label}</span>
        <span class="figure__value">
            {move || mass.get().map(|mass| app.style().show(Kind::Mass, mass.value))}
            <span class="figure__u">{move || mass.get().map(|mass| app.style().plus_minus(Kind::Mass, mass.u))}</span>
        </span>
        <span class="figure__aside">{aside}</span>
    }
    .into_any();
    let value = Signal::derive(move || mass.get().map(|mass| format!("{}", mass.value)));
    reasons::row(app, "figure", test.to_owned(), value, summary, inside, Some(answer))
}

fn limit(app: App) -> AnyView {
    (move || {
        app.document.report(|report| {
            let [least, most] = report.mass.payload_kg;
            let style = app.style();
            format!("of {} (from {})", style.show(Kind::Mass, most), style.bare(Kind::Mass, least))
        })
    })
    .into_any()
}

fn lifting(app: App) -> AnyView {
    let heavy = Memo::new(move |_| app.document.report(|report| report.mass.camera_kg.value > LIFT_KG) == Some(true));
    view! { <p class="caution" hidden=move || !heavy.get()>{LIFTING}</p> }.into_any()
}
