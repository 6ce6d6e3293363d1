//! One move. What is set for every move is open: what carries the head, its speed, its part of the day, the operator's
//! fastest moves. The rest is a line each that tells what it holds.

mod axes;
mod base;
mod told;

use codec::library;
use solver::Package;
use solver::bounds::{self, Bounds, MAX_MOVES};
use solver::package::{Move, MoveId};

use super::moves::{change, duplicate, move_of, share_field};
use super::shared::{back, button, section};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::chips;
use crate::ui::fold::fold;
use crate::ui::number::{Number, number};
use crate::ui::text::name_field;
use crate::words::{BEFORE_MOTORS, MOUNTINGS, PLATFORMS};

/// The move with this id.
pub(crate) fn view(app: App, id: MoveId) -> El {
    let all = || back(Screen::Moves, "to-moves", "All moves");
    if app.document.now(|package| move_of(package, id).is_none()) {
        return div("screen").child(p("quiet", "That move is not in this package any more.")).child(all());
    }
    div("screen")
        .child(all())
        .child(what(app, id).children(speed(app, id)))
        .child(axes::operator(app, id).child(p("caution", BEFORE_MOTORS)))
        .child(rest(app, id))
        .child(doing(app, id))
}

/// What is done with it as a whole: away from the list, where a thumb sets shares.
fn doing(app: App, id: MoveId) -> El {
    let full = move || app.document.with(|package| package.moves.len() >= MAX_MOVES);
    let copy = button(&format!("move-duplicate-{id}"), "Duplicate", move || {
        let mut copied = None;
        app.document.edit(|package| copied = duplicate(package, id));
        if let Some(copied) = copied {
            Screen::Move(copied).open();
        }
    });
    let gone = button(&format!("move-remove-{id}"), "Remove", move || {
        app.document.edit(|package| package.moves.retain(|each| each.id != id));
        Screen::Moves.open();
    });
    div("buttons").child(copy.live_flag("disabled", full)).child(gone)
}

/// What stays from move to move, or is typical of the platform.
fn rest(app: App, id: MoveId) -> El {
    let line = |test: &str, name: &str, told: fn(Style, &Move) -> String, inside: Vec<El>| {
        let words = move |style: Style, package: &Package| {
            move_of(package, id).map(|each| told(style, each)).unwrap_or_default()
        };
        fold(app, test, name, words, inside)
    };
    let ranges = move |style: Style, package: &Package| {
        move_of(package, id).map(|each| told::ranges(style, package, each)).unwrap_or_default()
    };
    section("move-more", "More about it")
        .child(line("move-more-motion", "Platform's motion", told::motion, base::motion(app, id)))
        .child(line("move-more-isolator", "Vibration isolator", told::isolator, base::isolator(app, id)))
        .child(line("move-more-air", "Air", told::air, air(app, id)))
        .child(fold(app, "move-more-ranges", "Working ranges", ranges, axes::ranges(app, id)))
        .child(line("move-more-takes", "Takes", told::takes, takes(app, id)))
}

/// A number of the move.
fn field(
    id: MoveId,
    label: impl Into<String>,
    kind: Kind,
    bounds: &'static Bounds,
    test: &str,
    get: impl Fn(&Move) -> Option<f64> + 'static,
    set: impl Fn(&mut Move, f64) + 'static,
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("move-{id}-{test}"),
        move |package| move_of(package, id).and_then(&get),
        move |package, value| change(package, id, |each| set(each, value)),
    )
}

fn what(app: App, id: MoveId) -> El {
    section("move-what", "The move")
        .child(name_field(
            app,
            "Name",
            "move-name",
            move |package| move_of(package, id).map(|each| each.name.clone()).unwrap_or_default(),
            move |package, name| change(package, id, |each| each.name = name),
        ))
        .child(chips(
            app,
            "Platform",
            &format!("move-{id}-platform"),
            PLATFORMS,
            move |package| move_of(package, id).map(|each| each.platform),
            move |package, platform| change(package, id, |each| each.platform = platform),
        ))
        .child(chips(
            app,
            "Mounting",
            &format!("move-{id}-mounting"),
            MOUNTINGS,
            move |package| move_of(package, id).map(|each| each.mounting),
            move |package, mounting| change(package, id, |each| each.mounting = mounting),
        ))
        .child(button(&format!("move-{id}-typical"), "Take typical figures", move || {
            app.document.edit(|package| change(package, id, take_typical));
        }))
        .child(p("quiet", "Invented motion, airspeed and gusts of such a platform. Undo brings yours back."))
}

/// Puts the typical motion and air of the move's platform in place of its own. The operator's moves stay.
fn take_typical(each: &mut Move) {
    if let Some(typical) = library::moves().iter().find(|typical| typical.platform == each.platform) {
        each.motion = typical.motion.clone();
        each.airspeed_m_s = typical.airspeed_m_s;
        each.gust_factor = typical.gust_factor;
    }
}

/// How fast it goes, and how much of the day it is.
fn speed(app: App, id: MoveId) -> [El; 2] {
    let airspeed = field(
        id,
        "Airspeed: own speed and wind together",
        Kind::Speed,
        &bounds::AIRSPEED_M_S,
        "airspeed",
        |each| Some(each.airspeed_m_s),
        |each, speed| each.airspeed_m_s = speed,
    );
    [base::road_speed(app, id), div("fields").child(airspeed.view(app)).child(share_field(app, id))]
}

fn air(app: App, id: MoveId) -> Vec<El> {
    let temperature = field(
        id,
        "Air temperature",
        Kind::Temperature,
        &bounds::TEMPERATURE_K,
        "air",
        |each| Some(each.air_k),
        |each, k| each.air_k = k,
    )
    .sided(app, "Above or below zero", ["plus", "minus"]);
    let altitude = field(
        id,
        "Height from sea level",
        Kind::Distance,
        &bounds::ALTITUDE_M,
        "altitude",
        |each| Some(each.altitude_m),
        |each, m| each.altitude_m = m,
    )
    .sided(app, "Above or below the sea", ["above", "below"]);
    let gust = field(
        id,
        "Gust factor on the airspeed",
        Kind::Plain,
        &bounds::GUST_FACTOR,
        "gust",
        |each| Some(each.gust_factor),
        |each, factor| each.gust_factor = factor,
    )
    .unit("×");
    vec![div("fields").children([temperature, altitude, gust.view(app)])]
}

fn takes(app: App, id: MoveId) -> Vec<El> {
    let take = field(
        id,
        "Length of a take",
        Kind::Seconds,
        &bounds::TAKE_S,
        "take",
        |each| Some(each.take_s),
        |each, s| each.take_s = s,
    );
    let repeats = field(
        id,
        "Fastest moves a minute",
        Kind::Plain,
        &bounds::REPEATS,
        "repeats",
        |each| Some(each.repeats_per_min),
        |each, count| each.repeats_per_min = count,
    );
    vec![div("fields").child(take.view(app)).child(repeats.view(app))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_platform_has_typical_figures_and_the_operator_keeps_his() {
        let mut each = library::moves()[0].clone();
        let operator = each.operator.clone();
        for (platform, _) in PLATFORMS {
            let typical = library::moves().iter().find(|typical| typical.platform == *platform);
            each.platform = *platform;
            take_typical(&mut each);
            assert_eq!(Some(&each.motion), typical.map(|typical| &typical.motion), "{platform:?}");
        }
        assert_eq!(each.operator, operator);
    }
}
