//! How far each move can go before the reserve is used up, and which axis disturbs which.

use solver::package::{Joint, Motion, Move, Package};
use solver::report::{AxisTorque, MoveTorque};

use super::answers::Inside;
use super::shared::section;
use crate::app::App;
use crate::dom::{El, div, p, span};
use crate::show::{Kind, Style};
use crate::ui::reasons::{row, summary};

/// One row for each move.
pub(super) fn view(app: App) -> El {
    let moves = move || {
        let ids = |report: &solver::Report| {
            let torque = report.torque.known();
            torque.iter().flat_map(|torque| &torque.moves).map(|each| each.move_id.to_string()).collect()
        };
        app.document.report(ids).unwrap_or_default()
    };
    section("moves-reach", "How far you can go")
        .child(p("quiet", "Until the torque in hand of one axis falls to your reserve; all else as in the move."))
        .child(div("rows").each(moves, move |id| id.parse().map_or_else(|_| div("rows"), |id| one_move(app, id))))
}

/// Reads a move as it was asked for together with its answer.
fn with<T>(app: App, id: u32, read: impl Fn(&Package, &Move, &MoveTorque, Style) -> T) -> Option<T> {
    let style = app.style();
    let found = app.document.report(|report| {
        let answer = report.torque.known()?.moves.iter().find(|each| each.move_id == id)?.clone();
        Some(answer)
    });
    let answer = found.flatten()?;
    app.document.with(|package| {
        let asked = package.moves.iter().find(|each| each.id == id)?;
        Some(read(package, asked, &answer, style))
    })
}

fn one_move(app: App, id: u32) -> El {
    let name = move || with(app, id, |_, asked, _, _| asked.name.clone()).unwrap_or_default();
    let in_hand = move || with(app, id, |_, _, answer, style| in_hand(answer, style)).unwrap_or_default();
    let head = summary().child(span("row__name").live_words(name)).child(span("row__value").live_words(in_hand));
    row(app, "row", &format!("reach-{id}"), head, Inside::Reach(id))
}

/// How far a move can go, limit by limit.
pub(super) fn lines_of(app: App, id: u32) -> El {
    div("reach").live(move || with(app, id, lines).unwrap_or_default())
}

/// The least torque in hand with its ±.
fn in_hand(answer: &MoveTorque, style: Style) -> String {
    let least = answer.axes.iter().map(|axis| axis.tightest().1).min_by(|a, b| a.value.total_cmp(&b.value));
    least.map_or_else(String::new, |least| {
        format!(
            "{} {} in hand",
            style.uncertain(Kind::Share, least.value, least.u),
            style.plus_minus(Kind::Share, least.u)
        )
    })
}

/// A line: what, and how far.
fn line(test: &str, what: &str, how_far: &str) -> El {
    div("reach__line").test(test).child(span("reach__what").words(what)).child(span("reach__value").words(how_far))
}

fn lines(package: &Package, asked: &Move, answer: &MoveTorque, style: Style) -> Vec<El> {
    let kept = answer.axes.iter().all(|axis| axis.tightest().1.value >= package.reserve.torque_headroom);
    let none = if kept { "no limit within the model" } else { "under your reserve already" };
    let mut lines = whips(package, asked, answer, style);
    if matches!(asked.motion, Motion::Road { .. }) {
        let speed = answer.fastest_road_m_s.map_or_else(|| none.to_owned(), |speed| style.show(Kind::Speed, speed));
        lines.push(line("reach-road", "Highest speed on this road", &speed));
    }
    let air = answer.fastest_air_m_s.map_or_else(|| none.to_owned(), |speed| style.show(Kind::Speed, speed));
    lines.push(line("reach-air", "Strongest wind, speed included", &air));
    lines.push(line("reach-unbalance", "Largest unbalance added", &unbalance(answer, style)));
    lines.extend(answer.axes.iter().filter_map(|axis| disturbed(axis, style)));
    lines
}

/// The fastest rate of every axis that the operator moves, all of them at once in the same time.
fn whips(package: &Package, asked: &Move, answer: &MoveTorque, style: Style) -> Vec<El> {
    let Some(factor) = answer.operator_factor else { return Vec::new() };
    let axis = |joint: &Joint| {
        let axis = asked.operator.iter().find(|axis| axis.joint == joint.id && axis.rate_rad_s > 0.0)?;
        let (rate, time) = (style.show(Kind::Rate, factor * axis.rate_rad_s), style.show(Kind::Seconds, axis.time_s));
        Some(format!("{} {rate} in {time}", joint.name))
    };
    let axes: Vec<String> = package.head.joints().filter_map(axis).collect();
    vec![line("reach-whip", &format!("Fastest whip, {} times the move", style.plain(factor, 1)), &axes.join(", "))]
}

/// What the axis that takes least may still take.
fn unbalance(answer: &MoveTorque, style: Style) -> String {
    let spare: Option<Vec<(f64, &str)>> =
        answer.axes.iter().map(|axis| Some((axis.spare_unbalance_kg_m?, axis.name.as_str()))).collect();
    let least = spare.and_then(|spare| spare.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)));
    least.map_or_else(
        || "under your reserve already".to_owned(),
        |(spare, axis)| format!("{} on {axis}", style.show(Kind::Unbalance, spare)),
    )
}

/// Which other axes' moves push this one.
fn disturbed(axis: &AxisTorque, style: Style) -> Option<El> {
    let by = |by: &solver::report::CoupledTorque| format!("{} {}", by.name, style.show(Kind::Torque, by.torque_nm));
    let by: Vec<String> = axis.coupled_by.iter().map(by).collect();
    (!by.is_empty())
        .then(|| line(&format!("coupled-{}", axis.joint), &format!("{} is disturbed by", axis.name), &by.join(", ")))
}
