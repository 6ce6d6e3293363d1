//! A spring gauge in place of an answer: read once while it rises, once while it sinks.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::balance::procedure::{Pose, ProcedureStep, gauge_seen};
use solver::bounds::{self, Bounds};
use solver::measure::{Gauge, PULL_N, TIP_U_RAD, gauge};

use super::super::shared::button;
use super::step::{Now, capital};
use super::{answer, slide_of, words};
use crate::dom::{El, div, el, p};
use crate::show::Kind;
use crate::ui::number::number;

/// How well a hand-held gauge is read, N, and a lever is measured, m: common practice, no source.
const READ_TO_N: f64 = 0.3;
const LEVER_TO_M: f64 = 0.003;

/// The three readings; kept until the step is left.
#[derive(Clone, Copy)]
struct Read {
    raising_n: RwSignal<Option<f64>>,
    lowering_n: RwSignal<Option<f64>>,
    lever_m: RwSignal<Option<f64>>,
}

/// The form, folded away until it is wanted.
pub(super) fn view(now: Now, step: &ProcedureStep, slide: &str) -> El {
    let app = now.app;
    let read = Read { raising_n: RwSignal::new(None), lowering_n: RwSignal::new(None), lever_m: RwSignal::new(None) };
    let fault = RwSignal::new(String::new());
    let field = |label: &str, kind: Kind, bounds: &'static Bounds, test: &str, signal: RwSignal<Option<f64>>| {
        number(label, kind, bounds, test, move |_| signal.get(), move |_, value| signal.set(Some(value))).view(app)
    };
    let [plus, minus] = app.document.now(|package| words::senses(package, step));
    let take = |heavy_plus: bool| {
        let slide = slide.to_owned();
        move || {
            // As it stands now: the tip of the base may have been changed since the card was built.
            let Some(step) = untrack(|| now.step(ProcedureStep::clone)) else { return };
            match seen(now, &step, &slide, read, heavy_plus) {
                Ok((mark_m, seen)) => answer(app, &step.joint, Some((slide.clone(), mark_m)), seen),
                Err(words) => fault.set(words),
            }
        }
    };
    el("details")
        .class("row balance__gauge")
        .test("balance-gauge")
        .child(el("summary").class("row__summary").child(crate::dom::span("row__name").words("Read a spring gauge instead")))
        .child(
            div("row__inside")
                .child(p("quiet", "Hook it on the heavy side, square to the lever. Raise it slowly and read, then let it sink slowly and read: friction drops out of the two."))
                .child(
                    div("fields")
                        .child(field("While it rises", Kind::Force, &PULL_N, "gauge-raising", read.raising_n))
                        .child(field("While it sinks", Kind::Force, &PULL_N, "gauge-lowering", read.lowering_n))
                        .child(field("From the axis", Kind::Length, &bounds::REACH_M, "gauge-lever", read.lever_m)),
                )
                .child(p("", "Which way would it go by itself?"))
                .child(
                    div("balance__answers")
                        .child(button("gauge-minus", &capital(&minus), take(false)))
                        .child(button("gauge-plus", &capital(&plus), take(true))),
                )
                .child(p("field__fault", "").attr("role", "status").live_words(move || fault.get())),
        )
}

/// What the readings say, at the mark where the slide stands.
fn seen(
    now: Now,
    step: &ProcedureStep,
    slide: &str,
    read: Read,
    heavy_plus: bool,
) -> Result<(f64, solver::package::Seen), String> {
    let readings = (read.raising_n.get_untracked(), read.lowering_n.get_untracked(), read.lever_m.get_untracked());
    let (Some(raising_n), Some(lowering_n), Some(lever_m)) = readings else {
        return Err("It takes both pulls and the lever.".to_owned());
    };
    let lean_rad = match step.pose {
        Pose::Tipped { tip_rad, .. } => tip_rad,
        Pose::Level | Pose::Turned { .. } => core::f64::consts::FRAC_PI_2,
    };
    let found = gauge(&Gauge {
        raising_n: Estimate::new(raising_n, READ_TO_N),
        lowering_n: Estimate::new(lowering_n, READ_TO_N),
        lever_m: Estimate::new(lever_m, LEVER_TO_M),
        lean_rad: Estimate::new(lean_rad, TIP_U_RAD),
    })
    .ok()
    .ok_or("The pull while it rises cannot be the smaller one, and the lever needs a length.")?;
    let stands_m = now
        .mark_to_set_m()
        .or_else(|| now.app.document.now(|package| slide_of(package, slide).map(|slide| slide.mark_m)))
        .unwrap_or_default();
    let unbalance = found.unbalance_kg_m;
    Ok((stands_m, gauge_seen(step, stands_m, unbalance.value, unbalance.u, heavy_plus)))
}
