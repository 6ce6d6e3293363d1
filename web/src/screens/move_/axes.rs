//! The operator's fastest move and the working range of every axis of the head.

use solver::Package;
use solver::bounds;
use solver::package::{AxisMove, AxisRange, Joint, Move, MoveId};

use super::field;
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::section;
use crate::show::Kind;
use crate::ui::help::help;

/// Time to a rate that nobody has stated yet, s. Common practice, no source.
const TYPICAL_TIME_S: f64 = 0.5;

/// The operator's fastest moves.
pub(super) fn operator(app: App, id: MoveId) -> El {
    section("move-operator", "Operator's fastest moves")
        .child(help(
            "the operator's fastest moves",
            "The fastest whip that will be asked for on each axis, and how long it takes from rest to full rate.",
        ))
        .child(p("quiet", "All at once: the rate, and the time from rest to it."))
        .child(div("rows").each(move || joints(app), move |joint| one_move(app, id, joint)))
}

/// The working ranges.
pub(super) fn ranges(app: App, id: MoveId) -> Vec<El> {
    let why = "How far each axis turns in this move: balance counts only within it. An axis without a range is taken as \
               staying level or straight ahead.";
    vec![p("quiet", why), div("rows").each(move || joints(app), move |joint| one_range(app, id, joint))]
}

fn joints(app: App) -> Vec<String> {
    app.document.with(|package| package.head.joints().map(|joint| joint.id.clone()).collect())
}

/// What the screen calls a joint, the sense that it shows as positive, and whether that is the axis's negative one.
struct Sense {
    name: String,
    word: String,
    reversed: bool,
}

fn sense(package: &Package, id: &str) -> Option<Sense> {
    let joint = package.head.joints().find(|joint| joint.id == id)?;
    Some(Sense { name: joint.name.clone(), word: joint.turns.shown.clone(), reversed: joint.turns.shown_reversed })
}

/// The two senses of a joint: the one that the screen shows as positive, and the other.
fn ways(positive: &str) -> [&'static str; 2] {
    match positive {
        "up" => ["up", "down"],
        "down" => ["down", "up"],
        "left" => ["left", "right"],
        "right" => ["right", "left"],
        "right down" => ["right down", "left down"],
        "left down" => ["left down", "right down"],
        _ => ["plus", "minus"],
    }
}

fn one_move(app: App, id: MoveId, joint: &str) -> El {
    let Some(sense) = app.document.now(|package| sense(package, joint)) else { return div("fields") };
    let [read_rate, set_rate, read_time, set_time] = [(); 4].map(|()| joint.to_owned());
    let rate = field(
        id,
        format!("{}: fastest rate", sense.name),
        Kind::Rate,
        &bounds::RATE_RAD_S,
        &format!("rate-{joint}"),
        move |each| Some(move_of(each, &read_rate).map_or(0.0, |axis| axis.rate_rad_s)),
        move |each, rate| move_mut(each, &set_rate, |axis| axis.rate_rad_s = rate),
    );
    let time = field(
        id,
        format!("{}: from rest in", sense.name),
        Kind::Seconds,
        &bounds::TIME_S,
        &format!("time-{joint}"),
        move |each| Some(move_of(each, &read_time).map_or(TYPICAL_TIME_S, |axis| axis.time_s)),
        move |each, time| move_mut(each, &set_time, |axis| axis.time_s = time),
    );
    div("fields").child(rate.view(app)).child(time.view(app))
}

fn move_of<'a>(each: &'a Move, joint: &str) -> Option<&'a AxisMove> {
    each.operator.iter().find(|axis| axis.joint == joint)
}

/// Changes the operator's move of a joint; there is one afterwards.
fn move_mut(each: &mut Move, joint: &str, change: impl FnOnce(&mut AxisMove)) {
    if let Some(axis) = each.operator.iter_mut().find(|axis| axis.joint == joint) {
        return change(axis);
    }
    let mut axis = AxisMove { joint: joint.to_owned(), rate_rad_s: 0.0, time_s: TYPICAL_TIME_S };
    change(&mut axis);
    each.operator.push(axis);
}

fn one_range(app: App, id: MoveId, joint: &str) -> El {
    let Some(sense) = app.document.now(|package| sense(package, joint)) else { return div("fields") };
    let (reversed, ways) = (sense.reversed, ways(&sense.word));
    let end = |end: usize, which: &str, test: &str| {
        let (read, set) = (joint.to_owned(), joint.to_owned());
        field(
            id,
            format!("{}: {which}", sense.name),
            Kind::Angle,
            &bounds::ANGLE_RAD,
            &format!("{test}-{joint}"),
            move |each| Some(shown(range_of(each, &read), reversed)[end]),
            move |each, angle| set_range(each, &set, reversed, end, angle),
        )
        .sided(app, &format!("{}: {which}, which way", sense.name), ways)
    };
    div("fields").child(end(0, "from", "range-from")).child(end(1, "to", "range-to"))
}

/// The range of a joint about its own axis, rad; a joint without one stays at 0.
fn range_of(each: &Move, joint: &str) -> [f64; 2] {
    each.ranges.iter().find(|range| range.joint == joint).map_or([0.0, 0.0], |range| range.range_rad)
}

/// The range of a joint as the screen shows it, rad.
pub(super) fn shown_range(each: &Move, joint: &Joint) -> [f64; 2] {
    shown(range_of(each, &joint.id), joint.turns.shown_reversed)
}

/// A range about the axis as the screen shows it, or back: the two are the same step.
fn shown([low, high]: [f64; 2], reversed: bool) -> [f64; 2] {
    // Taken from zero, so that no end is shown as minus nothing.
    if reversed { [0.0 - high, 0.0 - low] } else { [low, high] }
}

/// Sets one end of a range in the shown sense. The ends meet and never cross.
fn set_range(each: &mut Move, joint: &str, reversed: bool, end: usize, angle_rad: f64) {
    let [from, to] = shown(range_of(each, joint), reversed);
    let range_rad = shown(if end == 0 { [angle_rad.min(to), to] } else { [from, angle_rad.max(from)] }, reversed);
    match each.ranges.iter_mut().find(|range| range.joint == joint) {
        Some(range) => range.range_rad = range_rad,
        None => each.ranges.push(AxisRange { joint: joint.to_owned(), range_rad }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn a_move() -> Move {
        codec::library::moves()[0].clone()
    }

    #[test]
    fn tilt_up_is_kept_as_the_negative_of_its_axis() {
        let mut each = a_move();
        each.ranges.clear();
        set_range(&mut each, "tilt", true, 1, 0.5);
        set_range(&mut each, "tilt", true, 0, -0.75);
        assert_eq!(range_of(&each, "tilt"), [-0.5, 0.75]);
        assert_eq!(shown(range_of(&each, "tilt"), true), [-0.75, 0.5]);
    }

    #[test]
    fn the_ends_of_a_range_never_cross() {
        for reversed in [false, true] {
            let mut each = a_move();
            each.ranges.clear();
            set_range(&mut each, "pan", reversed, 1, 1.0);
            set_range(&mut each, "pan", reversed, 0, 2.0);
            assert_eq!(shown(range_of(&each, "pan"), reversed), [1.0, 1.0]);
            set_range(&mut each, "pan", reversed, 1, -2.0);
            assert_eq!(shown(range_of(&each, "pan"), reversed), [1.0, 1.0]);
        }
    }

    #[test]
    fn an_axis_gets_its_move_with_the_first_figure() {
        let mut each = a_move();
        each.operator.clear();
        move_mut(&mut each, "pan", |axis| axis.rate_rad_s = 1.0);
        move_mut(&mut each, "pan", |axis| axis.time_s = 0.25);
        assert_eq!(each.operator, [AxisMove { joint: "pan".to_owned(), rate_rad_s: 1.0, time_s: 0.25 }]);
    }
}
