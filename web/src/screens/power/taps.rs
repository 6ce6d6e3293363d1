//! The taps of the head: what each carries, what arrives at each part, and each as it can be changed.

use solver::Package;
use solver::bounds::{self, MAX_TAPS};
use solver::package::{Load, Part, Tap, TapVoltage};
use solver::power::{Bank, FedAt, TapUse, fed_at, tap_uses, tap_volts};
use solver::report::TapReport;

use super::flag;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};
use crate::ui::choice::{chips, select};
use crate::ui::number::{Number, number};
use crate::ui::text::name_field;

/// A tap to begin with: invented and typical.
const USUAL_V: f64 = 15.0;
const USUAL_A: f64 = 3.0;
const USUAL_EFFICIENCY: f64 = 0.93;

const FOLLOWS: &[(bool, &str)] = &[(false, "Held at a voltage"), (true, "Follows the packs")];

/// All taps.
pub(super) fn view(app: App) -> El {
    let ids = move || app.document.with(|package| package.head.taps.iter().map(|tap| tap.id.clone()).collect());
    let full = move || app.document.with(|package| package.head.taps.len() >= MAX_TAPS);
    let add = button("add-tap", "Add a tap", move || app.document.edit(add));
    section("power-taps", "Taps")
        .child(div("rows").each(ids, move |id| one(app, id)))
        .child(div("buttons").child(add.live_flag("disabled", full)))
}

fn add(package: &mut Package) {
    let name = format!("Tap {}", package.head.taps.len() + 1);
    add_like(package, name, None);
}

/// A tap more, like the one given or typical, under an id that is free.
pub(super) fn add_like(package: &mut Package, name: String, like: Option<Tap>) {
    let taken = |id: &String| package.head.taps.iter().any(|tap| tap.id == *id);
    // One more name than there can be taps: one of them is free.
    let id = (1..=MAX_TAPS + 1).map(|number| format!("tap_{number}")).find(|id| !taken(id)).unwrap_or_default();
    let usual = Tap {
        name: String::new(),
        id: String::new(),
        voltage: TapVoltage::Regulated { volts: USUAL_V },
        limit_a: USUAL_A,
        efficiency: USUAL_EFFICIENCY,
        group: None,
    };
    package.head.taps.push(Tap { name, id, ..like.unwrap_or(usual) });
}

/// Takes a tap off the head; what was on it is on none.
pub(super) fn remove(package: &mut Package, id: &str) {
    package.head.taps.retain(|tap| tap.id != id);
    for load in package.parts.iter_mut().filter_map(|part| part.load.as_mut()) {
        if load.tap.as_deref() == Some(id) {
            load.tap = None;
        }
    }
}

fn tap_of<'a>(package: &'a Package, id: &str) -> Option<&'a Tap> {
    package.head.taps.iter().find(|tap| tap.id == id)
}

fn change(package: &mut Package, id: &str, change: impl FnOnce(&mut Tap)) {
    if let Some(tap) = package.head.taps.iter_mut().find(|tap| tap.id == id) {
        change(tap);
    }
}

fn one(app: App, id: &str) -> El {
    let name = {
        let id = id.to_owned();
        move || app.document.with(|package| tap_of(package, &id).map(|tap| tap.name.clone())).unwrap_or_default()
    };
    let lines = {
        let id = id.to_owned();
        move || {
            let style = app.style();
            app.document
                .with(|package| tap_of(package, &id).map(|tap| tap_lines(style, package, tap)))
                .unwrap_or_default()
        }
    };
    let used = {
        let id = id.to_owned();
        move || {
            let words = |package: &Package| use_of(package, &id).map(|tap| use_words(app.style(), &tap.report));
            app.document.with(words).unwrap_or_default()
        }
    };
    let over = {
        let id = id.to_owned();
        move || app.document.with(|package| use_of(package, &id)?.over())
    };
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").live_words(name))
        .child(flag(over))
        .child(span("row__value").live_words(used));
    let inside = editor(app, id).class("row__inside");
    el("details")
        .class("row")
        .test(&format!("tap-more-{id}"))
        .child(head)
        .child(div("table").test(&format!("tap-{id}")).live(lines))
        .child(inside)
}

/// What a tap carries.
fn use_of(package: &Package, id: &str) -> Option<TapUse> {
    let place = package.head.taps.iter().position(|tap| tap.id == id)?;
    tap_uses(package).into_iter().nth(place)
}

fn use_words(style: Style, tap: &TapReport) -> String {
    format!("peak {} of {}", style.bare(Kind::Current, tap.peak_a), style.show(Kind::Current, tap.limit_a))
}

/// Peak currents on empty and on full packs, then every part with what arrives at it.
fn tap_lines(style: Style, package: &Package, tap: &Tap) -> Vec<El> {
    let volts = tap_volts(tap, &Bank::of(package));
    if volts[1] <= 0.0 {
        return vec![p("quiet", "It follows the packs, and none rides.")];
    }
    let on = |part: &&Part| part.load.as_ref().is_some_and(|load| load.tap.as_deref() == Some(tap.id.as_str()));
    let loads: Vec<(&Part, &Load)> =
        package.riding().filter(on).filter_map(|part| part.load.as_ref().map(|load| (part, load))).collect();
    let sum_a = |at_v: f64, of: fn(&Load) -> f64| -> f64 {
        let load = |load: &Load| Load { peak_w: of(load), ..load.clone() };
        loads.iter().map(|(_, each)| fed_at(&load(each), [at_v, at_v]).peak_a).sum()
    };
    let used = |at_v: f64| {
        let [typical, peak] = [sum_a(at_v, |load| load.typical_w), sum_a(at_v, |load| load.peak_w)];
        let over = if peak > tap.limit_a { ": over its limit" } else { "" };
        let limit = style.show(Kind::Current, tap.limit_a);
        format!("{}, peak {} of {limit}{over}", style.show(Kind::Current, typical), style.bare(Kind::Current, peak))
    };
    let [low_v, high_v] = volts;
    let mut lines = match tap.voltage {
        TapVoltage::Regulated { .. } => vec![line("tap-use", &style.show(Kind::Voltage, low_v), &used(low_v))],
        TapVoltage::FollowsPack => vec![
            line("tap-use", &format!("Packs empty, {}", style.show(Kind::Voltage, low_v)), &used(low_v)),
            line("tap-use", &format!("Packs full, {}", style.show(Kind::Voltage, high_v)), &used(high_v)),
        ],
    };
    lines.extend(loads.iter().map(|(part, load)| {
        let fed = fed_at(load, volts);
        line("tap-part", &part.name, &arrives(style, load, &fed))
    }));
    lines
}

fn arrives(style: Style, load: &Load, fed: &FedAt) -> String {
    let [low, high] = fed.volts.map(|volts| style.bare(Kind::Voltage, volts));
    let arriving = if low == high { low } else { format!("{low} to {high}") };
    let arriving = format!("{arriving}\u{a0}{} arrive", style.unit(Kind::Voltage));
    match load.window_v {
        _ if fed.within => arriving,
        Some(window_v) => {
            let [from, to] = window_v.map(|volts| style.bare(Kind::Voltage, volts));
            format!("{arriving}; it accepts {from} to {to}")
        }
        None => arriving,
    }
}

fn of_tap(
    id: &str,
    label: &str,
    kind: Kind,
    bounds: &'static bounds::Bounds,
    test: &str,
    get: fn(&Tap) -> Option<f64>,
    set: fn(&mut Tap, f64),
) -> Number {
    let (read, write) = (id.to_owned(), id.to_owned());
    number(
        label,
        kind,
        bounds,
        format!("tap-{id}-{test}"),
        move |package| tap_of(package, &read).and_then(get),
        move |package, value| change(package, &write, |tap| set(tap, value)),
    )
}

pub(super) fn regulated_v(tap: &Tap) -> Option<f64> {
    match tap.voltage {
        TapVoltage::Regulated { volts } => Some(volts),
        TapVoltage::FollowsPack => None,
    }
}

fn editor(app: App, id: &str) -> El {
    let own = || id.to_owned();
    let (read, write) = (own(), own());
    let name = name_field(
        app,
        "Name",
        format!("tap-{id}-name"),
        move |package| tap_of(package, &read).map(|tap| tap.name.clone()).unwrap_or_default(),
        move |package, name| change(package, &write, |tap| tap.name = name),
    );
    let (read, write, follows) = (own(), own(), own());
    let voltage = chips(
        app,
        "Voltage",
        &format!("tap-{id}-voltage"),
        FOLLOWS,
        move |package| tap_of(package, &read).map(|tap| tap.voltage == TapVoltage::FollowsPack),
        move |package, follows| {
            change(package, &write, |tap| {
                let volts = regulated_v(tap).unwrap_or(USUAL_V);
                tap.voltage = if follows { TapVoltage::FollowsPack } else { TapVoltage::Regulated { volts } };
            });
        },
    );
    let volts = of_tap(id, "Held at", Kind::Voltage, &bounds::VOLTS, "volts", regulated_v, |tap, volts| {
        tap.voltage = TapVoltage::Regulated { volts };
    });
    let follows =
        move || app.document.with(|package| tap_of(package, &follows).is_none_or(|tap| regulated_v(tap).is_none()));
    let limit = of_tap(
        id,
        "Current limit",
        Kind::Current,
        &bounds::CURRENT_A,
        "limit",
        |tap| Some(tap.limit_a),
        |tap, a| tap.limit_a = a,
    );
    let efficiency = of_tap(
        id,
        "Efficiency of its converter",
        Kind::Share,
        &bounds::EFFICIENCY,
        "efficiency",
        |tap| Some(tap.efficiency),
        |tap, share| tap.efficiency = share,
    );
    let gone = own();
    let remove = button(&format!("tap-{id}-remove"), "Remove this tap", move || {
        app.document.edit(|package| remove(package, &gone));
    });
    div("")
        .child(name)
        .child(voltage)
        .child(
            div("fields")
                .child(div("tap__volts").hidden(follows).child(volts.view(app)))
                .child(limit.view(app))
                .child(efficiency.view(app)),
        )
        .child(group(app, id))
        .child(div("buttons").child(remove))
}

fn group(app: App, id: &str) -> El {
    let groups = |package: &Package| {
        let mut groups = vec![(String::new(), "On its own".to_owned())];
        groups.extend(
            package.head.tap_groups.iter().map(|group| (group.id.clone(), format!("Group {}", group.called()))),
        );
        groups
    };
    let (read, write) = (id.to_owned(), id.to_owned());
    select(
        app,
        "Shares a sum limit",
        &format!("tap-{id}-group"),
        groups,
        move |package| tap_of(package, &read).and_then(|tap| tap.group.clone()).unwrap_or_default(),
        move |package, group| change(package, &write, |tap| tap.group = (!group.is_empty()).then_some(group)),
    )
}
