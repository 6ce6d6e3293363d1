//! One large row for each slide, in balancing order: where its mark goes.

use leptos::prelude::*;
use solver::bounds;
use solver::explain::AnswerId;
use solver::package::Package;
use solver::report::{Hold, SlideReport};

use crate::app::App;
use crate::show::Kind;
use crate::ui::number::number;
use crate::ui::reasons;
use crate::ui::rule::Rule;
use crate::words::HOLD_THE_CAMERA;

/// Below this a mark needs no moving: scales are read to a millimetre.
const SET_WITHIN_M: f64 = 0.000_5;

/// The marks.
pub(crate) fn view(app: App) -> AnyView {
    let ids = Memo::new(move |_| {
        app.document
            .report(|report| report.slides.iter().map(|slide| (slide.slide.clone(), slide.name.clone())).collect::<Vec<_>>())
            .unwrap_or_default()
    });
    let off = Memo::new(move |_| app.document.report(|report| report.slides.iter().any(|slide| !is_set(slide))) == Some(true));
    view! {
        <section class="sheet marks" aria-labelledby="marks-title">
            <h2 class="sheet__title" id="marks-title">"Marks"</h2>
            <p class="caution">{HOLD_THE_CAMERA}</p>
            <For each=move || ids.get() key=|slide| slide.clone() let:slide>{mark(app, slide.0, slide.1)}</For>
            <button
                type="button" class="button" data-test="set-all" disabled=move || !off.get()
                on:click=move |_| set_to_target(app, None)
            >
                {move || if off.get() { "All marks are set as shown" } else { "All marks stand where they should" }}
            </button>
        </section>
    }
    .into_any()
}

fn mark(app: App, id: String, name: String) -> AnyView {
    let slide = Memo::new({
        let id = id.clone();
        move |_| app.document.report(|report| report.slides.iter().find(|slide| slide.slide == id).cloned()).flatten()
    });
    let text = move |read: fn(App, &SlideReport) -> String| move || slide.with(|slide| slide.as_ref().map(|slide| read(app, slide)));
    let rule = Memo::new(move |_| {
        slide.with(|slide| {
            slide.as_ref().map(|slide| Rule {
                range_m: slide.range_m,
                mark_m: slide.mark_m,
                target_m: slide.target_m.value,
                u_m: slide.target_m.u,
            })
        })
    });
    let set = move || slide.with(|slide| slide.as_ref().is_none_or(is_set));
    let summary = view! {
        <span class="mark__name">{name.clone()}</span>
        <span class="mark__target">{text(|app, slide| app.style().bare(Kind::Length, slide.target_m.value))}</span>
        <span class="mark__move" class:mark__move--set=set>{text(move_words)}</span>
        <span class="mark__detail">{text(detail)}</span>
        {Rule::view(app, rule.into())}
    }
    .into_any();
    let value = Signal::derive(move || slide.with(|slide| slide.as_ref().map(|slide| format!("{}", slide.target_m.value))));
    let (read, write, one) = (id.clone(), id.clone(), id.clone());
    let inside = view! {
        <div class="mark__present">
            {number(
                format!("{name}: present mark"), Kind::Length, &bounds::MARK_M, format!("present-{id}"),
                move |package: &Package| package.head.slides().find(|slide| slide.id == read).map(|slide| slide.mark_m),
                move |package: &mut Package, mark_m: f64| {
                    if let Some(slide) = package.head.slides_mut().find(|slide| slide.id == write) {
                        slide.mark_m = mark_m.clamp(slide.range_m[0], slide.range_m[1]);
                    }
                },
            ).view(app)}
            <button
                type="button" class="button" data-test=format!("set-{id}") disabled=set
                on:click=move |_| set_to_target(app, Some(&one))
            >
                {text(|app, slide| format!("It is set to {}", app.style().bare(Kind::Length, slide.target_m.value)))}
            </button>
        </div>
        <p class="quiet">{text(hold_words)}</p>
    }
    .into_any();
    reasons::row(app, "mark", format!("mark-{id}"), value, summary, inside, Some(AnswerId::Mark(id)))
}

fn is_set(slide: &SlideReport) -> bool {
    slide.move_m.abs() < SET_WITHIN_M
}

fn move_words(app: App, slide: &SlideReport) -> String {
    if slide.balances.is_none() {
        return "stays".to_owned();
    }
    if is_set(slide) {
        return "is set".to_owned();
    }
    format!("{} {}", slide.word, app.style().show(Kind::Length, slide.move_m.abs()))
}

fn detail(app: App, slide: &SlideReport) -> String {
    let style = app.style();
    match slide.beyond_m {
        Some(beyond_m) => format!("end of travel, {} short", style.show(Kind::Length, beyond_m)),
        None => format!(
            "{} · {} left",
            style.plus_minus(Kind::Length, slide.target_m.u),
            style.bare(Kind::Length, slide.left_m)
        ),
    }
}

fn hold_words(app: App, slide: &SlideReport) -> String {
    let style = app.style();
    let axis = app.document.report(|report| {
        let axis = report.axes.iter().find(|axis| Some(&axis.joint) == slide.balances.as_ref())?;
        let hangs = match axis.hold {
            Hold::Holds { .. } => format!("Set there, {} stays put", axis.name.to_lowercase()),
            Hold::Turns { .. } => format!("Even set there, {} does not stay put", axis.name.to_lowercase()),
            Hold::Geared => format!("{} is geared: it stays put whatever hangs on it", axis.name),
        };
        Some(hangs)
    });
    let Some(hangs) = axis.flatten() else { return "This slide balances no axis.".to_owned() };
    match slide.hold_zone_m {
        Some(zone_m) => format!("{hangs}. Friction holds it within ±{} of the mark.", style.show(Kind::Length, zone_m)),
        None => format!("{hangs}."),
    }
}

/// The technician says that a mark, or every mark, has been set.
fn set_to_target(app: App, only: Option<&str>) {
    let targets: Vec<(String, f64)> = app
        .document
        .report(|report| report.slides.iter().map(|slide| (slide.slide.clone(), slide.target_m.value)).collect())
        .unwrap_or_default();
    app.document.edit(|package| {
        for slide in package.head.slides_mut() {
            let target = targets.iter().find(|(id, _)| *id == slide.id && only.is_none_or(|only| only == id));
            if let Some((_, target_m)) = target {
                slide.mark_m = *target_m;
            }
        }
    });
}
