//! Spring gauge both ways: unbalance and friction of an axis at once.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::bounds;
use solver::measure::{Gauge, PULL_N, Target, Value, gauge};

use super::target::{Chosen, axes, put, said};
use super::{arithmetic, gauge_u, hold, not_yet, rule_u, sketch, tip_u, value_line, way};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::reading::{Reading, reading};
use crate::screens::shared::button;
use crate::show::Kind;

const STEPS: [&str; 4] = [
    "Motors off and unplugged; every other axis locked. Hold the camera.",
    "Hook the gauge to the heavy side, square to its lever. For an upright axis tip the base first.",
    "Pull until that side slowly rises, and read: F₁.",
    "Let it slowly sink against the gauge, and read: F₂. Below nothing when it must be pushed down.",
];

/// Angle between an axis and the vertical, rad: a right angle for a level axis, the tip angle for an upright one, with
/// the ± of the tip.
pub(super) fn lean_rad(app: App, joint: &str, tip_u: Reading) -> Option<Estimate> {
    let find = |report: &solver::report::Report| {
        report.axes.iter().find(|axis| axis.joint == joint).map(|axis| axis.tested_lean_rad)
    };
    Some(Estimate::new(app.document.report(find).flatten()?, tip_u.get()?))
}

/// Spring gauge.
pub(super) fn view(app: App) -> El {
    let chosen = Chosen::new();
    let told = RwSignal::new(None);
    let raising = reading("F₁, it slowly rises", Kind::Force, &PULL_N, "gauge-raising");
    let lowering = reading("F₂, it slowly sinks", Kind::Force, &PULL_N, "gauge-lowering");
    let lever = reading("L, from the axis to the hook", Kind::Length, &bounds::REACH_M, "gauge-lever");
    let (force_u, rule, tip) = (gauge_u(), rule_u(), tip_u());
    let joint = move || chosen.id(app, axes);
    let found = move || {
        let (pull_u, rule_u) = (force_u.get()?, rule.get()?);
        let input = Gauge {
            raising_n: Estimate::new(raising.get()?, pull_u),
            lowering_n: Estimate::new(lowering.get()?, pull_u),
            lever_m: Estimate::new(lever.get()?, rule_u),
            lean_rad: lean_rad(app, &joint()?, tip)?,
        };
        Some(gauge(&input))
    };
    let answer = div("table").test("gauge-answer").live(move || {
        let style = app.style();
        match found() {
            Some(Ok(result)) => vec![
                value_line(
                    style,
                    "gauge-unbalance",
                    "Unbalance, heavy on the side you pulled",
                    Kind::Unbalance,
                    result.unbalance_kg_m,
                    3,
                ),
                value_line(style, "gauge-friction", "Friction", Kind::Torque, result.friction_nm, 2),
                arithmetic(style, &result.term),
            ],
            other => not_yet(
                other.is_some(),
                "Raising takes at least as much pull as lowering: are the two the wrong way round?",
            ),
        }
    });
    let take = button("gauge-use", "Use this friction", move || {
        let (Some(Ok(result)), Some(joint)) = (untrack(found), untrack(joint)) else { return };
        put(app, &Target::Joint(joint), Value::Friction(result.friction_nm), told);
    })
    .live_flag("disabled", move || !matches!(found(), Some(Ok(_))));
    let geared = p("quiet", "A geared axis does not turn under a small unbalance: it is not on this list.");
    let fields = vec![
        hold(),
        chosen.view(app, "Which axis", "gauge-of", axes),
        geared,
        div("fields").children([raising, lowering, lever, force_u, rule, tip].map(|field| field.view(app))),
    ];
    way(
        "measure-gauge",
        "Spring gauge, both ways",
        sketch::gauge(),
        &STEPS,
        fields,
        div("answering").child(answer).child(take).child(said(told)),
    )
}
