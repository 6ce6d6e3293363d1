//! Both ends of the hold zone in place of "it stays": the marks at which the axis just begins to turn, and their middle.

use leptos::prelude::*;
use solver::balance::ends::{Ends, ends, ends_seen};
use solver::balance::procedure::ProcedureStep;
use solver::bounds;
use solver::measure::{Target, Value, write};
use solver::package::Slide;

use super::super::shared::button;
use super::step::Now;
use super::{answer, slide_of, words};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::number::number;

/// The two marks; kept until the step is left.
#[derive(Clone, Copy)]
struct Read {
    low_m: RwSignal<Option<f64>>,
    high_m: RwSignal<Option<f64>>,
}

/// The form, folded away until it is wanted. A slide that stops at holes only has no middle to be set at.
pub(super) fn view(now: Now, step: &ProcedureStep, slide: &str) -> El {
    let app = now.app;
    let at_holes =
        app.document.now(|package| slide_of(package, slide).is_none_or(|each| each.hole_spacing_m.is_some()));
    if at_holes {
        return div("");
    }
    let read = Read { low_m: RwSignal::new(None), high_m: RwSignal::new(None) };
    let field = |label: &str, test: &str, signal: RwSignal<Option<f64>>| {
        let get = move |_: &solver::Package| signal.get();
        number(label, Kind::Mark, &bounds::MARK_M, test, get, move |_, mark_m| signal.set(Some(mark_m))).view(app)
    };
    let id = slide.to_owned();
    let found = move || both(now, read, &id);
    let (told, used, idle) = (found.clone(), found.clone(), found.clone());
    let (joint, taken) = (step.joint.clone(), slide.to_owned());
    let take = move || {
        if let (Some(Ok(_)), Some(low_m), Some(high_m)) =
            (untrack(&found), read.low_m.get_untracked(), read.high_m.get_untracked())
        {
            let (mark_m, seen) = ends_seen(low_m, high_m);
            answer(app, &joint, Some((taken.clone(), mark_m)), seen);
        }
    };
    let measured = step.joint.clone();
    let use_friction = move || {
        if let Some(Ok(ends)) = untrack(&used) {
            put_friction(app, &measured, &ends);
        }
    };
    let no_ends = move || !matches!(idle(), Some(Ok(_)));
    let not_used = no_ends.clone();
    el("details")
        .class("row balance__gauge")
        .test("balance-ends")
        .child(el("summary").class("row__summary").child(span("row__name").words("It stays: feel for both ends")))
        .child(
            div("row__inside")
                .child(p("quiet", "Move the slide on a little at a time, clamp closed each time, until the axis just begins to turn; then the other way. Friction hides where between the two the mark lies: their middle is the better one, and what is logged of it teaches more."))
                .child(
                    div("fields")
                        .child(field("Begins to turn, lower mark", "ends-low", read.low_m))
                        .child(field("Begins to turn, higher mark", "ends-high", read.high_m)),
                )
                .child(p("", "").attr("role", "status").test("ends-found").live_words(move || said(now, told())))
                .child(
                    div("buttons")
                        .child(
                            button("ends-take", "It stands in the middle", take)
                                .class("button--main")
                                .live_flag("disabled", no_ends),
                        )
                        .child(button("ends-friction", "Use this friction", use_friction).live_flag("disabled", not_used)),
                ),
        )
}

/// What both marks say; why not, where they cannot be ends; nothing until both are entered.
fn both(now: Now, read: Read, slide: &str) -> Option<Result<Ends, String>> {
    let (low_m, high_m) = (read.low_m.get()?, read.high_m.get()?);
    let style = now.app.style();
    let range_m = now.app.document.with(|package| slide_of(package, slide).map(|slide: &Slide| slide.range_m))?;
    if low_m < range_m[0] || high_m > range_m[1] {
        let [low, high] = [style.bare(Kind::Mark, range_m[0]), style.show(Kind::Mark, range_m[1])];
        return Some(Err(format!("Both marks lie on the scale, from {low} to {high}.")));
    }
    let found = now.step(|step| ends(step, low_m, high_m))?;
    Some(found.ok_or_else(|| {
        let [low, high] = [style.fine_bare(Kind::Mark, low_m, 1), style.fine(Kind::Mark, high_m, 1)];
        format!("The higher mark must be the larger one: {low} and {high} are the wrong way round, or the same.")
    }))
}

fn said(now: Now, found: Option<Result<Ends, String>>) -> String {
    match found {
        None => String::new(),
        Some(Err(why)) => why,
        Some(Ok(ends)) => {
            let believed = now.app.document.with(|package| {
                now.step(|step| words::joint_of(package, step).map(|joint| joint.drive.friction_nm)).flatten()
            });
            found_words(now.app.style(), &ends, believed.unwrap_or_default())
        }
    }
}

fn found_words(style: Style, ends: &Ends, believed_nm: f64) -> String {
    let middle = style.fine_bare(Kind::Mark, ends.middle_m.value, 1);
    let middle_u = style.with_unit(style.fine_plus_minus(Kind::Mark, ends.middle_m.u, 1), Kind::Mark);
    let friction = style.uncertain(Kind::Torque, ends.friction_nm.value, ends.friction_nm.u);
    let friction_u = style.plus_minus(Kind::Torque, ends.friction_nm.u);
    let believed = style.fine(Kind::Torque, believed_nm, 2);
    format!(
        "Set it to {middle} {middle_u} and close the clamp. Friction {friction} {friction_u}; the head says {believed}."
    )
}

/// Writes the friction into the head; one that no head can have is left.
fn put_friction(app: App, joint: &str, ends: &Ends) {
    let target = Target::Joint(joint.to_owned());
    if let Ok(package) = app.document.now(|package| write(package, &target, Value::Friction(ends.friction_nm))) {
        app.document.edit(|now| *now = package);
    }
}
