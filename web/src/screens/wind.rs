//! The wind in every move: the axis that it presses hardest, which parts it gets hold of, and what would help.

use leptos::prelude::*;
use solver::float;
use solver::torque::{Side, WindHelp, WindRemedy, wind_help};

use super::shared::section;
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::show::{Kind, Style};

/// Torque that reads as none, N·m.
const SEEN_NM: f64 = 0.05;
/// Parts that are named; the others take little.
const NAMED: usize = 3;

/// The wind of the moves; nothing while there is no wind.
pub(super) fn view(app: App) -> El {
    let helps = Memo::new(move |_| app.document.with(|package| wind_help(package).unwrap_or_default()));
    let shown = move || {
        let style = app.style();
        helps.with(|helps| helps.iter().map(|help| one_move(help, style)).collect())
    };
    section("moves-wind", "What the wind gets hold of")
        .hidden(move || helps.with(Vec::is_empty))
        .child(div("reach").live(shown))
}

fn one_move(help: &WindHelp, style: Style) -> El {
    let wind = &help.wind;
    let off_rad = float::acos(float::cos(wind.heading_rad).abs());
    let parts = wind.shares.iter().take(NAMED).filter(|share| share.torque_nm >= SEEN_NM);
    let parts: Vec<String> =
        parts.map(|share| format!("{} {}", share.name, style.show(Kind::Torque, share.torque_nm))).collect();
    let along = if wind.from_ahead_nm < SEEN_NM {
        "hardly any along the lens".to_owned()
    } else {
        format!("along the lens {}", style.show(Kind::Torque, wind.from_ahead_nm))
    };
    let parts = if parts.is_empty() { String::new() } else { format!(" {}.", parts.join(", ")) };
    let words = format!(
        "{} of wind on {}, at its worst {} off the lens; {along}.{parts}",
        style.show(Kind::Torque, wind.torque_nm),
        wind.name,
        style.show(Kind::Angle, off_rad),
    );
    let remedies: Vec<El> = help.remedies.iter().map(|remedy| el("li").words(&remedy_words(remedy, style))).collect();
    let one = div("reach__wind")
        .test(&format!("wind-{}", help.move_id))
        .child(el("h3").class("reach__move").words(&help.move_name))
        .child(p("", &words));
    if remedies.is_empty() {
        return one;
    }
    one.child(p("", "Any one of these brings it within your reserve, cheapest first:"))
        .child(el("ol").class("reach__remedies").test(&format!("wind-remedies-{}", help.move_id)).children(remedies))
}

fn remedy_words(remedy: &WindRemedy, style: Style) -> String {
    match remedy {
        WindRemedy::Smaller { name, share, .. } if *share < 0.05 => format!("Take {name} off, or shelter it."),
        WindRemedy::Smaller { name, share, .. } => {
            format!("{name} with {} of its face, or sheltered.", style.show(Kind::Share, *share))
        }
        WindRemedy::CounterSail { area_m2, arm_m, side } => format!(
            "A counter-sail {} square, {} {} the axis.",
            style.show(Kind::Length, area_m2.sqrt()),
            style.show(Kind::Length, *arm_m),
            side_words(*side)
        ),
        WindRemedy::Slower { airspeed_m_s } => {
            format!("At most {} of wind and speed together.", style.show(Kind::Speed, *airspeed_m_s))
        }
        WindRemedy::Heading { headroom } => format!(
            "The lens kept along the wind, ten degrees either way: {} in hand.",
            style.show(Kind::Share, *headroom)
        ),
    }
}

fn side_words(side: Side) -> &'static str {
    match side {
        Side::Ahead => "ahead of",
        Side::Behind => "behind",
        Side::Left => "to the camera's left of",
        Side::Right => "to the camera's right of",
        Side::Above => "above",
        Side::Below => "below",
    }
}
