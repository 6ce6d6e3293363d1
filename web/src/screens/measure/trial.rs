//! Trial slide: the gauge at two marks tells the mark that balances, whatever the masses are.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::bounds;
use solver::measure::{Gauge, PULL_N, Target, TrialMark, TrialSlide, Value, gauge, trial_slide};

use super::gauge::lean_rad;
use super::target::{Chosen, put, said, slides};
use super::{arithmetic, gauge_u, hold, not_yet, rule_u, sketch, tip_u, value_line, way};
use crate::app::App;
use crate::dom::{El, div};
use crate::screens::reading::reading;
use crate::screens::shared::button;
use crate::show::Kind;

const STEPS: [&str; 4] = [
    "Motors off and unplugged; every other axis locked. Hold the camera.",
    "For an upright axis tip the base first. At one mark pull the same point up until it slowly rises, then let it slowly sink; read both.",
    "Move the slide as far as is safe to hold, lock its clamp, and read both again at the same point.",
    "Where the pull would be nothing, the axis balances. No mass is needed.",
];

/// Trial slide.
pub(super) fn view(app: App) -> El {
    let chosen = Chosen::new();
    let told = RwSignal::new(None);
    let mark = |label, test| reading(label, Kind::Mark, &bounds::MARK_M, test);
    let pull = |label, test| reading(label, Kind::Force, &PULL_N, test);
    let first = [
        mark("s₁, first mark", "trial-s1"),
        pull("It slowly rises there", "trial-up1"),
        pull("It slowly sinks there", "trial-down1"),
    ];
    let second = [
        mark("s₂, second mark", "trial-s2"),
        pull("It slowly rises there", "trial-up2"),
        pull("It slowly sinks there", "trial-down2"),
    ];
    let lever = reading("From the axis to the hook", Kind::Length, &bounds::REACH_M, "trial-lever");
    let (force_u, rule, tip) = (gauge_u(), rule_u(), tip_u());
    let slide = move || chosen.id(app, slides);
    let joint = move || {
        let slide = slide()?;
        let of = |report: &solver::report::Report| {
            report.slides.iter().find(|each| each.slide == slide).and_then(|each| each.balances.clone())
        };
        app.document.report(of).flatten()
    };
    let input = move || {
        let (pull_u, rule_u) = (force_u.get()?, rule.get()?);
        let at = |[mark, up, down]: [crate::screens::reading::Reading; 3]| {
            Some(TrialMark {
                mark_m: Estimate::new(mark.get()?, rule_u),
                raising_n: Estimate::new(up.get()?, pull_u),
                lowering_n: Estimate::new(down.get()?, pull_u),
            })
        };
        Some(TrialSlide {
            first: at(first)?,
            second: at(second)?,
            lever_m: Estimate::new(lever.get()?, rule_u),
            lean_rad: lean_rad(app, &joint()?, tip)?,
        })
    };
    let found = move || input().map(|input| trial_slide(&input));
    let friction = move || {
        let (input, joint) = (input()?, joint()?);
        let TrialMark { raising_n, lowering_n, .. } = input.first;
        let reading = Gauge { raising_n, lowering_n, lever_m: input.lever_m, lean_rad: input.lean_rad };
        Some((joint, gauge(&reading).ok()?.friction_nm))
    };
    let answer = div("table").test("trial-answer").live(move || {
        let style = app.style();
        match found() {
            Some(Ok(result)) => {
                let mut lines = vec![
                    value_line(style, "trial-mark", "It balances at", Kind::Length, result.balanced_mark_m, 0),
                    value_line(style, "trial-mass", "Mass that slides", Kind::Mass, result.sliding_kg, 1),
                ];
                if let Some((_, friction_nm)) = friction() {
                    lines.push(value_line(style, "trial-friction", "Friction", Kind::Torque, friction_nm, 2));
                }
                lines.push(arithmetic(style, &result.term));
                lines
            }
            other => not_yet(
                other.is_some(),
                "Two different marks, and pulls that differ by more than their ±; raising takes more than lowering.",
            ),
        }
    });
    let set = button("trial-set", "The mark is set there", move || {
        let (Some(Ok(result)), Some(id)) = (untrack(found), untrack(slide)) else { return };
        app.document.edit(|package| {
            if let Some(slide) = package.head.slides_mut().find(|each| each.id == id) {
                slide.mark_m = result.balanced_mark_m.value.clamp(slide.range_m[0], slide.range_m[1]);
            }
        });
        told.set(Some("Present mark written. Undo, at the top, takes it back.".to_owned()));
    });
    let take = button("trial-use", "Use this friction", move || {
        if let Some((joint, friction_nm)) = untrack(friction) {
            put(app, &Target::Joint(joint), Value::Friction(friction_nm), told);
        }
    });
    let idle = move || !matches!(found(), Some(Ok(_)));
    let buttons = div("buttons").child(set.live_flag("disabled", idle)).child(take.live_flag("disabled", idle));
    let fields = vec![
        hold(),
        chosen.view(app, "Which slide", "trial-of", slides),
        div("fields").children(first.map(|field| field.view(app))),
        div("fields").children(second.map(|field| field.view(app))),
        div("fields").children([lever, force_u, rule, tip].map(|field| field.view(app))),
    ];
    way(
        "measure-trial",
        "Trial slide",
        sketch::trial(),
        &STEPS,
        fields,
        div("answering").child(answer).child(buttons).child(said(told)),
    )
}
