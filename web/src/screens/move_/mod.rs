//! One move: what carries the head, how that moves, the operator's fastest moves, the air, and its part of the day.

mod axes;
mod base;

use codec::library;
use solver::bounds::{self, Bounds};
use solver::package::{Move, MoveId};

use super::moves::{change, move_of, share_field};
use super::shared::{back, button, section};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::chips;
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
        .child(what(app, id))
        .child(axes::operator(app, id))
        .child(axes::ranges(app, id))
        .child(base::motion(app, id))
        .child(base::isolator(app, id))
        .child(air(app, id))
        .child(shooting(app, id))
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
    section("move-what", "What carries the head")
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
        .child(button(&format!("move-{id}-typical"), "Take this platform's typical figures", move || {
            app.document.edit(|package| change(package, id, take_typical));
        }))
        .child(p(
            "quiet",
            "Invented, typical lean, acceleration and airspeed in place of those below. Undo brings yours back.",
        ))
}

/// Puts the typical motion and air of the move's platform in place of its own. The operator's moves stay.
fn take_typical(each: &mut Move) {
    if let Some(typical) = library::moves().iter().find(|typical| typical.platform == each.platform) {
        each.motion = typical.motion.clone();
        each.airspeed_m_s = typical.airspeed_m_s;
        each.gust_factor = typical.gust_factor;
    }
}

fn air(app: App, id: MoveId) -> El {
    let airspeed = field(
        id,
        "Airspeed over the head",
        Kind::Speed,
        &bounds::AIRSPEED_M_S,
        "airspeed",
        |each| Some(each.airspeed_m_s),
        |each, speed| each.airspeed_m_s = speed,
    );
    let gust = field(
        id,
        "Gust factor on that speed",
        Kind::Plain,
        &bounds::GUST_FACTOR,
        "gust",
        |each| Some(each.gust_factor),
        |each, factor| each.gust_factor = factor,
    );
    let altitude = field(
        id,
        "Height above the sea",
        Kind::Distance,
        &bounds::ALTITUDE_M,
        "altitude",
        |each| Some(each.altitude_m),
        |each, m| each.altitude_m = m,
    );
    let temperature = field(
        id,
        "Air temperature",
        Kind::Temperature,
        &bounds::TEMPERATURE_K,
        "air",
        |each| Some(each.air_k),
        |each, k| each.air_k = k,
    );
    let airspeed = airspeed.help("The vehicle's speed and the wind together.");
    section("move-air", "Air")
        .child(div("fields").children([airspeed, gust, altitude, temperature].map(|n| n.view(app))))
}

fn shooting(app: App, id: MoveId) -> El {
    let repeats = field(
        id,
        "Fastest moves a minute",
        Kind::Plain,
        &bounds::REPEATS,
        "repeats",
        |each| Some(each.repeats_per_min),
        |each, count| each.repeats_per_min = count,
    );
    let take = field(
        id,
        "Length of a take",
        Kind::Seconds,
        &bounds::TAKE_S,
        "take",
        |each| Some(each.take_s),
        |each, s| each.take_s = s,
    );
    section("move-day", "Shooting")
        .child(div("fields").child(repeats.view(app)).child(take.view(app)).child(share_field(app, id)))
        .child(p("caution", BEFORE_MOTORS))
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
