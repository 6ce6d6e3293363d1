//! What a row of the first screen opens into: what can be done there, and the reasons behind its answer.

use leptos::prelude::*;
use solver::explain::AnswerId;
use solver::report::{AxisTorque, Hold, SlideReport};

use super::answers::{Inside, MarkReader, present_mark, set_to_target, used, with_move};
use super::{how_far, reasons};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::reasons::{row, summary};
use crate::ui::rest::when_rested;
use crate::words::{LIFT_KG, LIFTING, OVERHEAD, PACKS, WRAP};

/// The inside of a row. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn view(app: App, inside: &Inside) -> Vec<El> {
    let (mut parts, answer) = match inside {
        Inside::CameraMass => {
            let heavy = move || app.document.report(|report| report.mass.camera_kg.value > LIFT_KG) == Some(true);
            (vec![p("caution", LIFTING).hidden(move || !heavy())], Some(AnswerId::CameraMass))
        }
        Inside::ArmMass => (vec![p("caution", OVERHEAD), p("caution", WRAP)], Some(AnswerId::ArmMass)),
        Inside::Mark(id) => (mark(app, id), Some(AnswerId::Mark(id.clone()))),
        Inside::Move(id) => (one_move(app, *id), None),
        Inside::Reach(id) => (vec![how_far::lines_of(app, *id)], Some(AnswerId::HowFar(*id))),
        Inside::Runtime => {
            let draw = p("quiet", "").live_words(move || draw_words(app));
            let way = el("a").class("button").attr("href", &Screen::Power.hash()).test("to-power");
            let way = way.words("The day, taps and wiring");
            (vec![draw, p("caution", PACKS), way], Some(AnswerId::Runtime))
        }
        Inside::Answer(answer) => (Vec::new(), Some(answer.clone())),
    };
    parts.extend(answer.map(|answer| arithmetic(app, answer)));
    parts
}

/// The term tree, written when the row is opened and again when the answers have come to rest.
fn arithmetic(app: App, answer: AnswerId) -> El {
    let tree = RwSignal::new(untrack(|| reasons::tree(app, &answer)));
    when_rested(app, move || tree.set(reasons::tree(app, &answer)));
    reasons::view(tree)
}

fn mark(app: App, id: &str) -> Vec<El> {
    let slide = MarkReader::new(app, id);
    let name = slide.now(|_, slide| slide.name.clone()).unwrap_or_default();
    let only = id.to_owned();
    let set = slide.is_set();
    let target = |app: App, slide: &SlideReport| {
        format!("I have set it to {}", app.style().bare(Kind::Mark, slide.target_m.value))
    };
    let button = el("button")
        .class("button")
        .attr("type", "button")
        .test(&format!("set-{id}"))
        .live_flag("disabled", set)
        .press(move || set_to_target(app, Some(&only)))
        .live_words(slide.words(target));
    let present = div("mark__present").child(present_mark(app, id, &name, "present")).child(button);
    let hold = p("quiet", "").live_words(slide.words(hold_words));
    let sure =
        el("a").class("button").attr("href", &Screen::Sureness.hash()).words("How sure it is, and what to measure");
    vec![present, hold, sure]
}

/// Chance from which "stays put" needs no more words.
const SURELY: f64 = 0.95;

fn hold_words(app: App, slide: &SlideReport) -> String {
    let hangs = app.document.report(|report| {
        let axis = report.axes.iter().find(|axis| Some(&axis.joint) == slide.balances.as_ref())?;
        let name = axis.name.to_lowercase();
        Some(match axis.hold {
            Hold::Holds { .. } => match axis.within_hold_zone.filter(|share| *share < SURELY) {
                None => format!("With every slide set, {name} stays put."),
                Some(share) => format!(
                    "With every slide set, {name} stays put at once with a chance of {}: what is guessed leaves the marks open. Find them by hand from there.",
                    app.style().show(Kind::Share, share)
                ),
            },
            Hold::Turns { .. } => format!("Even set there, {name} does not stay put."),
            Hold::Geared => format!(
                "{} is geared: it does not turn under a small unbalance. What its gears hold nobody has said.",
                axis.name
            ),
        })
    });
    match (hangs.flatten(), slide.hold_zone_m) {
        (None, _) => "This slide balances no axis.".to_owned(),
        (Some(hangs), Some(zone_m)) => {
            format!("{hangs} Friction holds it within ±{} of the mark.", app.style().show(Kind::Mark, zone_m))
        }
        (Some(hangs), None) => hangs,
    }
}

/// One move opens into its axes, each axis into its arithmetic.
fn one_move(app: App, id: u32) -> Vec<El> {
    let joints = move || {
        let ids = |entry: &solver::report::MoveTorque| entry.axes.iter().map(|axis| axis.joint.clone()).collect();
        with_move(app, id, ids).unwrap_or_default()
    };
    vec![
        p("quiet", "").live_words(move || with_move(app, id, |entry| how_far(app, entry)).unwrap_or_default()),
        div("rows").each(joints, move |joint| one_axis(app, id, joint)),
    ]
}

fn how_far(app: App, entry: &solver::report::MoveTorque) -> String {
    let style = app.style();
    let whip = entry.operator_factor.map(|factor| {
        let factor = style.plain(factor, 1);
        format!("The operator's moves could be {factor} times as fast. ")
    });
    format!(
        "{}Wind {} in all, air {} kg/m³, motors {} on average.",
        whip.unwrap_or_default(),
        style.show(Kind::Force, entry.wind_force_n),
        style.plain(entry.air_kg_m3, 2),
        style.show(Kind::Power, entry.motors_w)
    )
}

fn one_axis(app: App, id: u32, joint: &str) -> El {
    let with_axis = {
        let joint = joint.to_owned();
        move |read: fn(App, &AxisTorque) -> String| {
            let joint = joint.clone();
            move || {
                let find = |entry: &solver::report::MoveTorque| {
                    entry.axes.iter().find(|axis| axis.joint == joint).map(|axis| read(app, axis))
                };
                with_move(app, id, find).flatten().unwrap_or_default()
            }
        }
    };
    let head = summary().child(span("row__name").live_words(with_axis(|_, axis| axis.name.clone()))).child(
        span("row__value")
            .child(div("").live_words(with_axis(|app, axis| used(app, "peak", axis.peak_nm.value, axis.peak_limit_nm))))
            .child(div("").live_words(with_axis(|app, axis| {
                used(app, "continuous", axis.continuous_nm.value, axis.continuous_limit_nm)
            }))),
    );
    let peak = {
        let joint = joint.to_owned();
        move || {
            let find = |entry: &solver::report::MoveTorque| {
                entry.axes.iter().find(|axis| axis.joint == joint).map(|axis| axis.peak_nm.value)
            };
            with_move(app, id, find).flatten()
        }
    };
    let inside = Inside::Answer(AnswerId::Torque { joint: joint.to_owned(), move_id: id });
    row(app, "row row--inner", &format!("torque-{id}-{joint}"), head, inside).live_value(peak)
}

fn draw_words(app: App) -> String {
    let words = app.document.report(|report| {
        let (style, power) = (app.style(), &report.power);
        format!(
            "Parts {}, motors and head {}, converters and cables {}: {} leave the packs, which give {} down to cut-off.",
            style.show(Kind::Power, power.loads_w),
            style.show(Kind::Power, power.motors_w),
            style.show(Kind::Power, power.lost_w()),
            style.show(Kind::Power, power.draw_w),
            style.show(Kind::Energy, power.usable_wh)
        )
    });
    words.unwrap_or_default()
}
