//! The step at hand: how the head stands, the mark to set, and what it does there.

use solver::balance::guided::Step;
use solver::balance::procedure::{Procedure, ProcedureStep, Progress};
use solver::bounds;
use solver::package::Seen;

use super::super::shared::{button, section};
use super::{Stand, answer, change, ends, gauge, slide_of, words};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::Kind;
use crate::ui::number::number;
use crate::words::HOLD_THE_CAMERA;

/// Below this a mark needs no moving.
const SET_WITHIN_M: f64 = 0.000_5;

/// The step at hand, built anew for each setting.
pub(super) fn view(app: App, stand: Stand) -> El {
    use leptos::prelude::*;
    let Some((number, count, step)) = stand.with_untracked(|stand| {
        let stand = stand.as_ref()?;
        let open = stand.open?;
        Some((open + 1, stand.steps.len(), stand.steps[open].clone()))
    }) else {
        return div("");
    };
    let title = app.document.now(|package| format!("{}: {}", step.name, words::step_name(package, &step)));
    let now = Now { app, stand };
    let card = section("balance-step", &title)
        .test("balance-step")
        .attr("data-value", &format!("{} {}", step.joint, step.slide.as_deref().unwrap_or("look")))
        .child(p("quiet", &format!("Step {number} of {count}. Innermost axis first.")))
        .child(p("caution", HOLD_THE_CAMERA))
        .child(stance(now, &step));
    let card = match &step.slide {
        Some(slide) => card.children(set(now, &step, slide)),
        None => card.children(look(now, &step)),
    };
    card.child(tried(app, &step)).child(ways_out(app, &step))
}

/// Reads the step at hand as it is now.
#[derive(Clone, Copy)]
pub(super) struct Now {
    /// The app.
    pub(super) app: App,
    stand: Stand,
}

impl Now {
    /// Reads the step at hand and follows it.
    pub(super) fn step<T>(self, read: impl FnOnce(&ProcedureStep) -> T) -> Option<T> {
        use leptos::prelude::*;
        let open = |stand: &Option<Procedure>| {
            let stand = stand.as_ref()?;
            stand.steps.get(stand.open?).map(read)
        };
        self.stand.with(open)
    }

    /// The same, not followed.
    pub(super) fn mark_to_set_m(self) -> Option<f64> {
        leptos::prelude::untrack(|| self.mark_m())
    }

    /// The mark that is to be set, m.
    fn mark_m(self) -> Option<f64> {
        self.step(|step| match step.progress {
            Progress::Set(Step::Set { mark_m, .. }) => Some(mark_m),
            _ => None,
        })
        .flatten()
    }
}

/// How the head stands, and which locks are open.
fn stance(now: Now, step: &ProcedureStep) -> El {
    let app = now.app;
    let pose = move || {
        now.step(|step| app.document.with(|package| words::pose(app.style(), package, step))).unwrap_or_default()
    };
    let [axes, clamps] = app.document.now(|package| words::locks(package, step));
    let stance = div("balance__stance")
        .child(p("balance__pose", "").test("balance-pose").live_words(pose))
        .child(p("", &axes).test("balance-locks"))
        .child(p("", &clamps).test("balance-clamps"));
    let other_way = app.document.now(|package| package.balancing.as_ref().is_some_and(|began| began.other_way));
    match words::ways(&step.pose, other_way) {
        Some(ways) => stance.child(lie(app, ways)).child(tip(app)),
        None => stance,
    }
}

/// Which way the lens lies on the slope: whatever is at hand, as long as it is said.
fn lie(app: App, ways: [&'static str; 2]) -> El {
    let now = move || {
        let other = app.document.with(|package| package.balancing.as_ref().is_some_and(|began| began.other_way));
        Some(usize::from(other))
    };
    let take = move |index: usize| {
        app.document.edit(|package| change(package, |began| began.other_way = index == 1));
    };
    crate::ui::choice::radios(
        "How it lies",
        "balance-lie",
        ways.to_vec(),
        std::rc::Rc::new(now),
        std::rc::Rc::new(take),
    )
}

fn tip(app: App) -> El {
    number(
        "The base is tipped by",
        Kind::Angle,
        &bounds::TIP_RAD,
        "balance-tip",
        |package| Some(package.reserve.tip_rad),
        |package, tip_rad| package.reserve.tip_rad = tip_rad,
    )
    .view(app)
}

/// The mark to set, and the answers.
fn set(now: Now, step: &ProcedureStep, slide: &str) -> Vec<El> {
    let app = now.app;
    match step.progress {
        Progress::Set(Step::BeyondEnd { end_m }) => return vec![beyond(app, step, slide, end_m)],
        Progress::BetweenHoles { mark_m } => return vec![between_holes(app, step, mark_m)],
        _ => {}
    }
    vec![mark(now, step, slide), answers(now, step, slide), ends::view(now, step, slide), gauge::view(now, step, slide)]
}

/// The mark, large enough to be read at arm's length.
fn mark(now: Now, step: &ProcedureStep, slide: &str) -> El {
    let app = now.app;
    let name = app.document.now(|package| slide_of(package, slide).map(|slide| slide.name.clone())).unwrap_or_default();
    let figure = move || now.mark_m().map(|mark_m| app.style().bare(Kind::Mark, mark_m)).unwrap_or_default();
    let id = slide.to_owned();
    let move_words = move || {
        let from = app.document.with(|package| {
            slide_of(package, &id).map(|slide| (slide.mark_m, slide.plus.clone(), slide.minus.clone()))
        });
        let (Some(to_m), Some((from_m, plus, minus))) = (now.mark_m(), from) else { return String::new() };
        let move_m = to_m - from_m;
        if move_m.abs() < SET_WITHIN_M {
            return "as it stands".to_owned();
        }
        let word = if move_m > 0.0 { plus } else { minus };
        format!("{word} {}", app.style().show(Kind::Mark, move_m.abs()))
    };
    let believed = move || {
        let style = app.style();
        now.step(|step| match step.progress {
            Progress::Set(Step::Set { between_m: [low_m, high_m], asked_again, .. }) => {
                let again = if asked_again { "The answers contradict each other: once more. " } else { "" };
                let (low, high) = (style.bare(Kind::Mark, low_m), style.show(Kind::Mark, high_m));
                let zone = style.show(Kind::Mark, step.hold_zone_m);
                format!("{again}It lies between {low} and {high}, 19 times in 20. Friction holds it within ±{zone}.")
            }
            _ => String::new(),
        })
        .unwrap_or_default()
    };
    let lead = if step.again { "Leave it at" } else { "Set it to" };
    div("balance__mark")
        .child(p("balance__lead", &format!("{name}. {lead}")))
        .child(
            div("balance__figure")
                .test("balance-mark")
                .attr("aria-live", "polite")
                .live_value(move || now.mark_m())
                .child(span("").live_words(figure))
                .child(span("balance__unit").live_words(move || app.style().unit(Kind::Mark).to_owned())),
        )
        .child(p("balance__move", "").test("balance-move").live_words(move_words))
        .child(p("quiet", "").test("balance-believed").live_words(believed))
}

/// What it does there, in the axis's own words.
fn answers(now: Now, step: &ProcedureStep, slide: &str) -> El {
    let (app, joint) = (now.app, step.joint.clone());
    let give = |seen: Seen| {
        let (joint, slide) = (joint.clone(), slide.to_owned());
        move || {
            if let Some(mark_m) = now.mark_to_set_m() {
                answer(app, &joint, Some((slide.clone(), mark_m)), seen);
            }
        }
    };
    let [plus, minus] = app.document.now(|package| words::senses(package, step));
    let one = |test: &str, words: &str, seen: Seen| answer_button(test, words, give(seen));
    let mut buttons = vec![
        one("answer-minus", &capital(&minus), step.means.minus),
        one("answer-stays", "It stays", Seen::Stays).class("button--main"),
        one("answer-plus", &capital(&plus), step.means.plus),
    ];
    if let Some(low) = step.means.swings_back {
        let high = if low == Seen::WantsMore { Seen::WantsLess } else { Seen::WantsMore };
        buttons.push(one("answer-swings-back", "Let go level: swings back", low).class("answer--rest"));
        buttons.push(one("answer-runs-away", "Let go level: runs away", high).class("answer--rest"));
    }
    div("balance__answers")
        .child(p("balance__ask", "Close the clamp. Let go gently, hands near. What does it do?"))
        .children(buttons)
}

/// No slide reaches this: it is only looked at.
fn look(now: Now, step: &ProcedureStep) -> Vec<El> {
    let (app, joint) = (now.app, step.joint.clone());
    let give = |seen: Seen| {
        let joint = joint.clone();
        move || answer(app, &joint, None, seen)
    };
    vec![
        p("", "No slide moves anything this way. Look only whether it stays."),
        div("balance__answers")
            .child(p("balance__ask", "Let go gently, hands near. What does it do?"))
            .child(answer_button("answer-stays", "It stays", give(Seen::Stays)).class("button--main"))
            .child(answer_button("answer-turns", "It turns", give(Seen::Turns))),
    ]
}

fn answer_button(test: &str, words: &str, pressed: impl FnMut() + 'static) -> El {
    button(test, words, pressed).class("balance__answer")
}

/// The slide that does the rest where this one is left out.
fn stand_in(app: App, step: &ProcedureStep) -> Option<String> {
    let id = step.stand_ins.first()?.slide.as_ref()?;
    app.document.now(|package| slide_of(package, id).map(|slide| slide.name.clone()))
}

fn beyond(app: App, step: &ProcedureStep, slide: &str, end_m: f64) -> El {
    let words = app.document.now(|package| {
        let name = slide_of(package, slide).map(|slide| slide.name.clone()).unwrap_or_default();
        format!("{name} is at its end, {}, and it still wants more.", app.style_now().show(Kind::Mark, end_m))
    });
    if let Some(other) = stand_in(app, step) {
        let rest = format!("Leave it there and go on: {other} does the rest.");
        return div("").test("balance-stand-in").child(p("", &words)).child(p("", &rest));
    }
    div("finding finding--no-go")
        .test("balance-beyond")
        .child(p("finding__word", "No-go"))
        .child(p("", &words))
        .child(p("", "Another hole of the plate, a riser, another rod length or a trim weight would bring it back."))
        .child(el("a").class("button").attr("href", "#/remedies").test("to-remedies").words("What would make it hang"))
}

fn between_holes(app: App, step: &ProcedureStep, mark_m: f64) -> El {
    let mark = app.style_now().show(Kind::Mark, mark_m);
    let rest = stand_in(app, step).map_or_else(
        || "Go on, and let a trim weight make up for it.".to_owned(),
        |other| format!("Leave it in the nearer one and go on: {other} does the rest."),
    );
    p("", &format!("It hangs between two holes, near {mark}. Friction holds neither. {rest}"))
}

/// What was tried in this step.
fn tried(app: App, step: &ProcedureStep) -> El {
    let lines = step.trials.iter().map(|trial| {
        let seen = app.document.now(|package| words::seen(app.style_now(), package, step, trial.seen));
        el("li").words(&format!("{}: {seen}", app.style_now().bare(Kind::Mark, trial.mark_m)))
    });
    let list = el("ul").class("plain-list balance__tried").test("balance-tried").children(lines.collect::<Vec<_>>());
    if step.trials.is_empty() { list.attr("hidden", "") } else { list }
}

/// Back by one answer, or on without this step.
fn ways_out(app: App, step: &ProcedureStep) -> El {
    let joint = step.joint.clone();
    let at = step.slide.clone();
    let none =
        move || app.document.with(|package| package.balancing.as_ref().is_none_or(|began| began.tried.is_empty()));
    div("buttons")
        .child(button("answer-back", "Take the last answer back", move || take_back(app)).live_flag("disabled", none))
        .child(button("answer-leave", "Go on without this step", move || {
            let mark_m = |id: &String| app.document.now(|package| slide_of(package, id).map(|slide| slide.mark_m));
            let at = at.as_ref().and_then(|id| Some((id.clone(), mark_m(id)?)));
            answer(app, &joint, at, Seen::LeftOut);
        }))
}

/// Takes the last answer back. The slide stays where it stands.
pub(super) fn take_back(app: App) {
    app.document.edit(|package| {
        change(package, |began| {
            began.tried.pop();
        });
    });
}

/// With a capital letter.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
