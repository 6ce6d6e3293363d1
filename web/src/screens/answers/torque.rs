//! What the motors have in hand, where it is tightest, and how fast one may go.

use solver::answer::Answer;
use solver::report::{LimitKind, MoveTorque, TorqueReport};

use super::{Inside, sheet};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::help::help;
use crate::ui::reasons::{row, summary};
use crate::words::BEFORE_MOTORS;

/// Torque in hand.
pub(crate) fn view(app: App) -> El {
    let moves = move || {
        let ids = |torque: &TorqueReport| torque.moves.iter().map(|entry| entry.move_id.to_string()).collect();
        with_torque(app, ids).unwrap_or_default()
    };
    sheet("torque-title", "Torque in hand")
        .child(help(
            "torque in hand",
            "What is left of a motor's limit after the hardest moment of a move: 0 % is all of it used.",
        ))
        .child(tightest(app))
        .child(
            el("a")
                .class("finding__way")
                .attr("href", &Screen::Moves.hash())
                .test("to-moves")
                .words("Add a move")
                .hidden(move || with_torque(app, |_| ()).is_some()),
        )
        .child(speed(app))
        .child(div("rows").each(moves, move |id| id.parse().map_or_else(|_| div("rows"), |id| one_move(app, id))))
        .child(p("caution", BEFORE_MOTORS))
}

fn with_torque<T>(app: App, read: impl FnOnce(&TorqueReport) -> T) -> Option<T> {
    let known = |answer: &Answer<TorqueReport>| answer.known().map(read);
    app.document.report(|report| known(&report.torque)).flatten()
}

/// Reads one move of the report; `None` when it does not hold it.
pub(crate) fn with_move<T>(app: App, id: u32, read: impl FnOnce(&MoveTorque) -> T) -> Option<T> {
    with_torque(app, |torque| torque.moves.iter().find(|entry| entry.move_id == id).map(read)).flatten()
}

/// A figure with its words beside it.
fn answer(test: &str, value: impl Fn() -> Option<String> + 'static, words: impl Fn() -> String + 'static) -> El {
    p("answer", "")
        .test(test)
        .child(span("answer__value").live_words(move || value().unwrap_or_default()))
        .child(span("answer__words").live_words(words))
}

fn tightest(app: App) -> El {
    let headroom =
        move || with_torque(app, |torque| torque.tightest.as_ref().map(|found| found.headroom.value)).flatten();
    let words = move || {
        let words = with_torque(app, |torque| {
            let found = torque.tightest.as_ref()?;
            let limit = match found.limit {
                LimitKind::Peak => "peak torque",
                LimitKind::Continuous => "continuous torque",
                LimitKind::Rate => "rate",
            };
            Some(format!("{}, {limit}. {}: mostly {}.", found.axis, found.move_name, found.cause))
        });
        words.flatten().unwrap_or_else(|| "Known once the package has a move.".to_owned())
    };
    answer("torque-tightest", move || headroom().map(|share| app.style().show(Kind::Share, share)), words)
        .live_value(headroom)
}

/// The lowest of the highest airspeeds over the moves.
fn speed(app: App) -> El {
    let slowest = move || {
        with_torque(app, |torque| {
            let speeds = torque.moves.iter().filter_map(|entry| Some((entry.fastest_air_m_s?, entry.name.clone())));
            speeds.min_by(|(a, _), (b, _)| a.total_cmp(b))
        })
        .flatten()
    };
    let words = move || {
        let name = slowest().map(|(_, name)| name).unwrap_or_default();
        format!("wind and speed together, at most. {name}.")
    };
    answer("fastest-air", move || slowest().map(|(speed, _)| app.style().show(Kind::Speed, speed)), words)
        .hidden(move || slowest().is_none())
        .live_value(move || slowest().map(|(speed, _)| speed))
}

/// One move, which opens into its axes.
fn one_move(app: App, id: u32) -> El {
    let least = move || with_move(app, id, least_headroom).flatten();
    let name = move || with_move(app, id, |entry| entry.name.clone()).unwrap_or_default();
    let in_hand =
        move || least().map(|least| format!("{} in hand", app.style().show(Kind::Share, least))).unwrap_or_default();
    let head = summary().child(span("row__name").live_words(name)).child(span("row__value").live_words(in_hand));
    row(app, "row", &format!("torque-{id}"), head, Inside::Move(id)).live_value(least)
}

/// What is used of a limit, in words.
pub(crate) fn used(app: App, word: &str, used_nm: f64, limit_nm: f64) -> String {
    let style = app.style();
    format!("{word} {} of {}", style.bare(Kind::Torque, used_nm), style.show(Kind::Torque, limit_nm))
}

fn least_headroom(entry: &MoveTorque) -> Option<f64> {
    entry.axes.iter().map(|axis| axis.tightest().1.value).min_by(f64::total_cmp)
}
