//! The moves of the day, the share of each, and when the day starts.

use codec::library;
use leptos::prelude::*;
use quantity::clock;
use solver::Package;
use solver::bounds::{self, MAX_MOVES};
use solver::package::{Move, MoveId};
use solver::report::MoveTorque;

use super::shared::{copy_name, free_id, section};
use super::{how_far, wind};
use crate::app::App;
use crate::browser::event_value;
use crate::charts;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::help::help;
use crate::ui::number::number;
use crate::words::{PLATFORMS, word};

/// Shares that add up to the whole day within this are not spoken of.
const SHARE_SLACK: f64 = 0.000_5;

/// The moves.
pub(crate) fn view(app: App) -> El {
    div("screen")
        .child(day(app))
        .child(list(app))
        .child(add(app))
        .child(torque(app))
        .child(how_far::view(app))
        .child(wind::view(app))
}

/// What the moves take of the motors, and how demand grows with speed.
fn torque(app: App) -> El {
    section("moves-torque", "Torque of the moves")
        .child(help(
            "torque of the moves",
            "What each move takes of every motor, by cause; the hatched end is what you want to keep in hand.",
        ))
        .child(charts::use_of_torque(app))
        .child(charts::against_speed(app))
}

/// The move with this id.
pub(super) fn move_of(package: &Package, id: MoveId) -> Option<&Move> {
    package.moves.iter().find(|each| each.id == id)
}

/// Changes the move with this id.
pub(super) fn change(package: &mut Package, id: MoveId, change: impl FnOnce(&mut Move)) {
    if let Some(each) = package.moves.iter_mut().find(|each| each.id == id) {
        change(each);
    }
}

/// The field for a move's share of the running time.
pub(super) fn share_field(app: App, id: MoveId) -> El {
    number(
        "Share of the running time",
        Kind::Share,
        &bounds::SHARE,
        format!("move-{id}-share"),
        move |package| move_of(package, id).map(|each| each.share),
        move |package, share| change(package, id, |each| each.share = share),
    )
    .view(app)
}

/// How long the head is on.
pub(super) fn hours(app: App) -> El {
    number(
        "It runs for",
        Kind::Hours,
        &bounds::HOURS,
        "day-hours",
        |package| Some(package.day.running_h),
        |package, hours| package.day.running_h = hours,
    )
    .help("Breaks come on top.")
    .view(app)
}

fn day(app: App) -> El {
    let span = move || {
        let (from, hours) = app.document.with(|package| (package.day.start_min, package.day_h()));
        format!("The head is on from {} to {}.", clock(from), clock(from + 60.0 * hours))
    };
    section("moves-day", "Day")
        .child(div("fields").child(start(app)).child(hours(app)))
        .child(p("quiet", "").test("day-span").live_words(span))
}

/// When the head is switched on, with the clock that the device itself offers.
pub(super) fn start(app: App) -> El {
    let now = move || app.document.with(|package| package.day.start_min);
    div("field").child(el("label").class("field__label").attr("for", "f-day-start").words("Head on at")).child(
        el("input")
            .class("field__text")
            .attr("id", "f-day-start")
            .attr("type", "time")
            .test("day-start")
            .live_value(move || Some(now()))
            .live_prop("value", move || clock(now()).into())
            .on("change", move |event| {
                if let Some(minutes) = minutes_of(&event_value(&event)) {
                    app.document.edit(|package| package.day.start_min = minutes);
                }
            }),
    )
}

/// Minutes after midnight of a time of day such as `06:30`.
fn minutes_of(time: &str) -> Option<f64> {
    let (hours, minutes) = time.split_once(':')?;
    let minutes = minutes.get(..2)?;
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours < 24 && minutes < 60).then(|| f64::from(60 * hours + minutes))
}

fn list(app: App) -> El {
    let ids = move || app.document.with(|package| package.moves.iter().map(|each| each.id.to_string()).collect());
    let none = move || app.document.with(|package| package.moves.is_empty());
    let sum = move || app.document.with(|package| package.moves.iter().map(|each| each.share).sum::<f64>());
    section("moves-list", "Moves")
        .child(p("quiet", "No move yet: torque cannot be answered without one.").hidden(move || !none()))
        .child(div("list").each(ids, move |id| item(app, id.parse().unwrap_or_default())))
        .child(
            p("quiet", "")
                .test("moves-sum")
                .hidden(move || none() || (sum() - 1.0).abs() < SHARE_SLACK)
                .live_words(move || format!("The shares add up to {}.", app.style().show(Kind::Share, sum()))),
        )
}

fn item(app: App, id: MoveId) -> El {
    let name = move || app.document.with(|package| move_of(package, id).map(|each| each.name.clone()));
    let link = el("a")
        .class("list__link")
        .attr("href", &Screen::Move(id).hash())
        .test(&format!("move-{id}"))
        .child(span("list__name").live_words(move || name().unwrap_or_default()))
        .child(span("list__detail").live_words(move || detail(app, id)));
    // Only a second move can be left out without anybody having meant it: the first one takes the whole day.
    let left_out = move || {
        app.document
            .with(|package| package.moves.len() > 1 && move_of(package, id).is_some_and(|each| each.share == 0.0))
    };
    let left_out = p("quiet", "Nothing of the day yet: its torque counts, but the packs do not feed it.")
        .test(&format!("move-{id}-left-out"))
        .hidden(move || !left_out());
    let share = div("list__field").child(share_field(app, id)).child(left_out);
    div("list__item").child(link).child(share)
}

/// What carries it, how fast the air is, and the least torque in hand.
fn detail(app: App, id: MoveId) -> String {
    let style = app.style();
    let written = app.document.with(|package| {
        let each = move_of(package, id)?;
        Some(format!("{}, air {}", word(PLATFORMS, &each.platform), style.show(Kind::Speed, each.airspeed_m_s)))
    });
    let in_hand = in_hand(app, id).map(|share| format!(" · {} torque in hand", style.show(Kind::Share, share)));
    format!("{}{}", written.unwrap_or_default(), in_hand.unwrap_or_default())
}

/// The least torque headroom of the move over every axis.
fn in_hand(app: App, id: MoveId) -> Option<f64> {
    let of_move = |entry: &MoveTorque| entry.axes.iter().map(|axis| axis.tightest().1.value).min_by(f64::total_cmp);
    let found = app.document.report(|report| {
        report.torque.known().and_then(|torque| torque.moves.iter().find(|entry| entry.move_id == id).and_then(of_move))
    });
    found.flatten()
}

/// Adds a copy of a move right after it; gives its id.
pub(super) fn duplicate(package: &mut Package, id: MoveId) -> Option<MoveId> {
    let at = package.moves.iter().position(|each| each.id == id)?;
    let mut copied = package.moves[at].clone();
    copied.id = free_id(package.moves.iter().map(|each| each.id));
    copied.name = copy_name(&copied.name);
    let added = copied.id;
    package.moves.insert(at + 1, copied);
    Some(added)
}

fn add(app: App) -> El {
    let full = move || app.document.with(|package| package.moves.len() >= MAX_MOVES);
    let added = RwSignal::new(String::new());
    let rows = library::moves().iter().map(move |typical| {
        el("button")
            .class("list__add")
            .attr("type", "button")
            .test(&format!("add-move-{}", typical.id))
            .live_flag("disabled", full)
            .press(move || {
                app.document.edit(|package| put(package, typical));
                added.set(format!("{} added.", typical.name));
            })
            .child(span("list__name").words(&typical.name))
            .child(
                span("list__detail")
                    .live_words(move || format!("air {}", app.style().show(Kind::Speed, typical.airspeed_m_s))),
            )
    });
    section("moves-add", "Add a move")
        .child(p("quiet", "Invented, typical figures of a platform: put your own in.").attr("role", "note"))
        .child(p("added", "").attr("role", "status").test("move-added").live_words(move || added.get()))
        .child(div("list").children(rows))
}

/// Adds a typical move as it suits the head. It gets what the others leave of the running time.
fn put(package: &mut Package, typical: &Move) {
    let mut each = library::move_for(typical, &package.head);
    each.id = free_id(package.moves.iter().map(|known| known.id));
    let twins = package.moves.iter().filter(|known| known.name.starts_with(&each.name)).count();
    if twins > 0 {
        each.name = format!("{} {}", each.name, twins + 1);
    }
    let taken: f64 = package.moves.iter().map(|known| known.share).sum();
    each.share = (1.0 - taken).clamp(bounds::SHARE.min, bounds::SHARE.max);
    package.moves.push(each);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_of_day_is_read_and_nonsense_is_not() {
        assert_eq!(minutes_of("06:30"), Some(390.0));
        assert_eq!(minutes_of("23:59:00"), Some(1439.0));
        for nonsense in ["", "7", "24:00", "06:60", "-1:00", "06:é"] {
            assert_eq!(minutes_of(nonsense), None, "{nonsense}");
        }
    }

    #[test]
    fn every_typical_move_can_be_added_and_the_shares_still_make_one_day() {
        let mut package = codec::library::demo();
        package.moves.clear();
        for typical in library::moves() {
            put(&mut package, typical);
        }
        let sum: f64 = package.moves.iter().map(|each| each.share).sum();
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
        assert!(solver::check(&package).is_ok());
    }

    #[test]
    fn a_copy_stands_after_its_move() {
        let mut package = codec::library::demo();
        let first = package.moves[0].id;
        let added = duplicate(&mut package, first);
        assert_eq!(added, Some(package.moves[1].id));
        assert_eq!(package.moves[1].motion, package.moves[0].motion);
        assert!(solver::check(&package).is_ok());
    }
}
