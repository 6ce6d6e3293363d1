//! Knife edge: the centre of gravity lies between the two places at which it tips.

use leptos::prelude::*;
use solver::bounds;
use solver::measure::{KnifeEdge, knife_edge};

use super::target::{Chosen, cg_value, measured_from, put, said, thing, things};
use super::{arithmetic, not_yet, rule_u, sketch, value_line, way};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::reading::reading;
use crate::screens::shared::button;
use crate::show::Kind;

const STEPS: [&str; 3] = [
    "Lay it across a straight edge: a rule on its side will do. Hold it: it will tip.",
    "Roll the edge back until the front goes down, and measure where the edge stands.",
    "Roll it forward until the tail goes down, and measure again.",
];

/// Knife edge.
pub(super) fn view(app: App) -> El {
    let chosen = Chosen::new();
    let told = RwSignal::new(None);
    let front = reading("Edge when the front goes down", Kind::Length, &bounds::OFFSET_M, "knife-front");
    let tail = reading("Edge when the tail goes down", Kind::Length, &bounds::OFFSET_M, "knife-tail");
    let rule = rule_u();
    let target = move || chosen.id(app, things).and_then(|id| thing(&id));
    let found = move || {
        let input = KnifeEdge { front_down_m: front.get()?, tail_down_m: tail.get()?, rule_u_m: rule.get()? };
        Some(knife_edge(&input))
    };
    let answer = div("table").test("knife-answer").live(move || {
        let style = app.style();
        match found() {
            Some(Ok(result)) => vec![
                value_line(style, "knife-cg", "Centre of gravity", Kind::Length, result.ahead_m, 1),
                arithmetic(style, &result.term),
            ],
            other => not_yet(
                other.is_some(),
                "When the front goes down the edge stands further back than when the tail does: are the two the wrong way round?",
            ),
        }
    });
    let take = button("knife-use", "Use this centre of gravity", move || {
        let (Some(Ok(result)), Some(target)) = (untrack(found), untrack(target)) else { return };
        let value = app.document.now(|package| cg_value(package, &target, result.ahead_m));
        put(app, &target, value, told);
    })
    .live_flag("disabled", move || !matches!(found(), Some(Ok(_))));
    let from = p("quiet", "").live_words(move || target().as_ref().map(measured_from).unwrap_or_default().to_owned());
    let fields = vec![
        chosen.view(app, "What lies on it", "knife-of", things),
        from,
        div("fields").children([front, tail, rule].map(|field| field.view(app))),
    ];
    way(
        "measure-knife",
        "Knife edge",
        sketch::knife_edge(),
        &STEPS,
        fields,
        div("answering").child(answer).child(take).child(said(told)),
    )
}
