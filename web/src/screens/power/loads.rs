//! What draws: every load with its watts, its tap and its cable.

use leptos::prelude::*;
use solver::Package;
use solver::bounds;
use solver::package::{Cable, Load, Part, PartId};
use solver::power::{LoadFault, load_fault, tap_uses};

use super::flag;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::part::{change, part_of};
use crate::screens::shared::{link, section};
use crate::show::{Kind, Style};
use crate::ui::choice::select;
use crate::ui::number::{Number, number};

/// A cable where none has been told.
const USUAL_CABLE: Cable = Cable { length_m: 0.5, conductor_mm2: 0.5 };
/// Highest voltage where only the lowest has been told, V.
const HIGHEST_V: f64 = 100.0;

/// What is the matter with each load that is not fed as it should be.
type Faults = Memo<Vec<(PartId, LoadFault)>>;

fn faults(package: &Package) -> Vec<(PartId, LoadFault)> {
    let uses = tap_uses(package);
    package.riding().filter_map(|part| Some((part.id, load_fault(package, &uses, part.id)?))).collect()
}

/// All loads that ride.
pub(super) fn view(app: App) -> El {
    let ids = move || {
        let riding = |package: &Package| {
            package.riding().filter(|part| part.load.is_some()).map(|part| part.id.to_string()).collect::<Vec<_>>()
        };
        app.document.with(riding)
    };
    let none = move || app.document.with(|package| package.riding().all(|part| part.load.is_none()));
    let faults: Faults = Memo::new(move |_| app.document.with(faults));
    section("power-loads", "What draws")
        .child(
            p("quiet", "Nothing on the head draws power. A part's own screen says what it draws.")
                .hidden(move || !none()),
        )
        .child(div("rows").each(ids, move |id| one(app, faults, id.parse().unwrap_or_default())))
}

fn load_of(package: &Package, id: PartId) -> Option<&Load> {
    part_of(package, id)?.load.as_ref()
}

fn change_load(package: &mut Package, id: PartId, with: impl FnOnce(&mut Load)) {
    change(package, id, |part: &mut Part| {
        if let Some(load) = &mut part.load {
            with(load);
        }
    });
}

/// One line: name, what is the matter with it, watts and tap. It opens in place.
fn one(app: App, faults: Faults, id: PartId) -> El {
    let name = move || app.document.with(|package| part_of(package, id).map(|part| part.name.clone()));
    let words = move || {
        let style = app.style();
        let words = |package: &Package| load_of(package, id).map(|load| line_words(style, package, load));
        app.document.with(words).unwrap_or_default()
    };
    let fault = move || faults.with(|faults| faults.iter().find(|(part, _)| *part == id).map(|(_, fault)| *fault));
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").live_words(move || name().unwrap_or_default()))
        .child(flag(move || fault().map(LoadFault::severity)))
        .child(span("row__value").live_words(words));
    let inside = div("row__inside")
        .child(
            p("load__fault", "")
                .hidden(move || fault().is_none())
                .live_words(move || fault().map(LoadFault::words).unwrap_or_default().to_owned()),
        )
        .child(tap(app, id, &name().unwrap_or_default()))
        .child(div("fields").children(fields(id).into_iter().map(|field| field.view(app))))
        .child(div("buttons").child(link(Screen::Part(id), &format!("load-{id}"), "All about this part")));
    el("details").class("row").test(&format!("load-more-{id}")).child(head).child(inside)
}

/// Watts and the tap, as far as a line has room.
fn line_words(style: Style, package: &Package, load: &Load) -> String {
    let tap = load.tap.as_ref().and_then(|id| package.head.taps.iter().find(|tap| tap.id == *id));
    let tap = tap.map_or("no tap", |tap| tap.name.as_str());
    format!("{}, {tap}", style.show(Kind::Power, load.typical_w))
}

fn tap(app: App, id: PartId, name: &str) -> El {
    let taps = |package: &Package| {
        let mut taps = vec![(String::new(), "No tap chosen".to_owned())];
        taps.extend(package.head.taps.iter().map(|tap| (tap.id.clone(), tap.name.clone())));
        taps
    };
    select(
        app,
        &format!("Tap of {name}"),
        &format!("load-tap-{id}"),
        taps,
        move |package| load_of(package, id).and_then(|load| load.tap.clone()).unwrap_or_default(),
        move |package, tap| change_load(package, id, |load| load.tap = (!tap.is_empty()).then_some(tap)),
    )
}

fn of_load(
    id: PartId,
    label: &str,
    kind: Kind,
    bounds: &'static bounds::Bounds,
    test: &str,
    get: fn(&Load) -> Option<f64>,
    set: fn(&mut Load, f64),
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("load-{id}-{test}"),
        move |package| load_of(package, id).and_then(get),
        move |package, value| change_load(package, id, |load| set(load, value)),
    )
}

fn fields(id: PartId) -> [Number; 6] {
    [
        of_load(
            id,
            "In ordinary use",
            Kind::Power,
            &bounds::POWER_W,
            "typical",
            |load| Some(load.typical_w),
            |load, w| load.typical_w = w,
        ),
        of_load(
            id,
            "At most",
            Kind::Power,
            &bounds::POWER_W,
            "peak",
            |load| Some(load.peak_w),
            |load, w| load.peak_w = w,
        ),
        of_load(
            id,
            "Cable, from tap to part",
            Kind::Distance,
            &bounds::CABLE_M,
            "length",
            |load| Some(load.cable.as_ref()?.length_m),
            |load, m| {
                load.cable.get_or_insert(USUAL_CABLE).length_m = m;
            },
        ),
        of_load(
            id,
            "Copper of one conductor",
            Kind::Plain,
            &bounds::CONDUCTOR_MM2,
            "conductor",
            |load| Some(load.cable.as_ref()?.conductor_mm2),
            |load, mm2| {
                load.cable.get_or_insert(USUAL_CABLE).conductor_mm2 = mm2;
            },
        )
        .unit("mm²"),
        of_load(
            id,
            "Accepts from",
            Kind::Voltage,
            &bounds::VOLTS,
            "from",
            |load| Some(load.window_v?[0]),
            |load, v| {
                load.window_v.get_or_insert([v, HIGHEST_V])[0] = v;
            },
        ),
        of_load(
            id,
            "Accepts up to",
            Kind::Voltage,
            &bounds::VOLTS,
            "up-to",
            |load| Some(load.window_v?[1]),
            |load, v| {
                load.window_v.get_or_insert([0.0, v])[1] = v;
            },
        ),
    ]
}
