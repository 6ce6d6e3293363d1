//! A head of one's own, described step by step from what can be read off or measured. Every step edits the head that is
//! on, so that nothing is lost when the phone dies, and the answers follow at once.

mod axes;
mod begin;
mod by_gauge;
mod slides;
mod yokes;

use codec::library;
use solver::bounds;
use solver::package::{Element, Opening, Package, Place};

use super::shared::{back, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::switch;
use crate::ui::number::{Number, number};

/// The guide.
pub(crate) fn view(app: App) -> El {
    let own = move || app.document.with(is_own);
    let name = move || app.document.with(|package| package.head.name.clone());
    div("screen")
        .test("own-head")
        .child(back(Screen::Head, "to-head", "The head that is on"))
        .child(begin::view(app))
        .child(p("quiet", "").hidden(own).live_words(move || {
            format!("{} is on, which is built in. Begin with your own, and its figures come up here.", name())
        }))
        .child(
            div("screen")
                .hidden(move || !own())
                .child(axes::view(app))
                .child(slides::view(app))
                .child(seat(app))
                .child(by_gauge::view(app))
                .child(yokes::view(app))
                .child(opening(app))
                .child(done(app)),
        )
}

/// Whether the head that is on goes by a name that no built-in one has.
fn is_own(package: &Package) -> bool {
    library::heads().iter().all(|head| head.name != package.head.name)
}

/// A number of the head.
fn field(
    label: &str,
    kind: Kind,
    bounds: &'static bounds::Bounds,
    test: &str,
    get: impl Fn(&Package) -> Option<f64> + 'static,
    set: impl Fn(&mut Package, f64) + 'static,
) -> Number {
    number(label, kind, bounds, format!("own-{test}"), get, set)
}

fn place(package: &Package, camera: bool) -> Option<&Place> {
    package.head.places().find(|place| place.camera == camera)
}

fn change_place(package: &mut Package, camera: bool, change: impl FnOnce(&mut Place)) {
    let found = package.head.chain.iter_mut().find_map(|element| match element {
        Element::Place(place) if place.camera == camera => Some(place),
        _ => None,
    });
    if let Some(place) = found {
        change(place);
    }
}

/// What hangs below is the rule.
const BELOW: [&str; 2] = ["below", "above"];

/// Where the camera sits, and where packs ride.
fn seat(app: App) -> El {
    let of = |camera: bool, axis: usize, sign: f64| {
        move |package: &Package| place(package, camera).map(|place| 0.0 + sign * place.origin_m[axis])
    };
    let put = |camera: bool, axis: usize, sign: f64| {
        move |package: &mut Package, m: f64| change_place(package, camera, |place| place.origin_m[axis] = sign * m)
    };
    let camera = [
        field(
            "Camera plate, height from its axis",
            Kind::Length,
            &bounds::OFFSET_M,
            "plate-below",
            of(true, 2, -1.0),
            put(true, 2, -1.0),
        )
        .help("From the innermost axis down to the face that the camera is screwed to, every slide in its middle.")
        .sided(app, "Above or below the axis", BELOW),
        field(
            "and fore and aft of it",
            Kind::Length,
            &bounds::OFFSET_M,
            "plate-ahead",
            of(true, 0, 1.0),
            put(true, 0, 1.0),
        )
        .sided(app, "Ahead or behind", ["ahead", "behind"]),
    ];
    let packs = [
        field(
            "Place for packs, fore and aft of its axis",
            Kind::Length,
            &bounds::OFFSET_M,
            "packs-behind",
            of(false, 0, -1.0),
            put(false, 0, -1.0),
        )
        .help("From the axis that carries it. Each pack is then placed from there.")
        .sided(app, "Ahead or behind", ["behind", "ahead"]),
        field(
            "and its height from the axis",
            Kind::Length,
            &bounds::OFFSET_M,
            "packs-below",
            of(false, 2, -1.0),
            put(false, 2, -1.0),
        )
        .sided(app, "Above or below it", BELOW),
    ];
    let without = move || app.document.with(|package| place(package, false).is_none());
    section("own-seat", "4. Where the camera and the packs sit")
        .child(div("fields").children(camera))
        .child(div("fields").hidden(without).children(packs))
}

fn opening(app: App) -> El {
    let stated = move || app.document.with(|package| package.head.opening.is_some());
    let of = |read: fn(&Opening) -> f64| move |package: &Package| package.head.opening.as_ref().map(read);
    let put = |write: fn(&mut Opening, f64)| {
        move |package: &mut Package, m: f64| {
            if let Some(opening) = &mut package.head.opening {
                write(opening, m);
            }
        }
    };
    let fields = [
        field(
            "Clear width",
            Kind::Length,
            &bounds::SIZE_M,
            "opening-width",
            of(|o| o.width_m),
            put(|o, m| o.width_m = m),
        ),
        field(
            "Least clear height",
            Kind::Length,
            &bounds::SIZE_M,
            "opening-low",
            of(|o| o.height_m[0]),
            put(|o, m| o.height_m[0] = m.min(o.height_m[1])),
        ),
        field(
            "Most clear height",
            Kind::Length,
            &bounds::SIZE_M,
            "opening-high",
            of(|o| o.height_m[1]),
            put(|o, m| o.height_m[1] = m.max(o.height_m[0])),
        ),
        field(
            "Clear radius round the tilt axis",
            Kind::Length,
            &bounds::SIZE_M,
            "opening-clear",
            of(|o| o.clear_radius_m),
            put(|o, m| o.clear_radius_m = m),
        ),
    ];
    section("own-opening", "7. Room for the camera")
        .child(switch("It has arms that the camera must clear", "own-has-opening", stated, move |on| {
            app.document.edit(|package| {
                package.head.opening =
                    on.then_some(Opening { width_m: 0.2, height_m: [0.18, 0.28], clear_radius_m: 0.33 });
            });
        }))
        .child(div("fields").hidden(move || !stated()).children(fields.map(|field| field.view(app))))
}

/// What is left to do, and where the head goes from here.
fn done(app: App) -> El {
    let typical = move || app.document.with(|package| !package.head.typical);
    let link = |screen: Screen, test: &str, words: &str| {
        el("a").class("button").attr("href", &screen.hash()).test(test).words(words)
    };
    section("own-done", "8. Done")
        .child(switch("These are my head's own figures, no longer typical ones", "own-figures", typical, move |own| {
            app.document.edit(|package| package.head.typical = !own);
        }))
        .child(p("quiet", "The head travels with the package: link and file carry all of it. Every balance that you log corrects its yokes; an empty head that stays put is already one."))
        .child(
            div("buttons")
                .child(link(Screen::Answers, "own-to-answers", "See the marks"))
                .child(link(Screen::Fit, "own-to-fit", "See whether it fits"))
                .child(link(Screen::Share, "own-to-share", "Send it")),
        )
}
