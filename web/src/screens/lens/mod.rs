//! One lens. Name, mass, size and centre of gravity are open; gear rings, focal length and the parts that change with it
//! are a line each that tells what it holds.

mod told;

use solver::Package;
use solver::bounds::{self, Bounds, MAX_LENSES};
use solver::package::{Lens, LensId, PartId, Rings};

use super::lenses::{duplicate, lens_of, remove};
use super::shared::{back, button, link, section};
use crate::app::App;
use crate::dom::{El, div, p, span};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::{chips, select, switch};
use crate::ui::fold::fold;
use crate::ui::help::help;
use crate::ui::number::{Number, number};
use crate::ui::text::name_field;
use crate::words::{CG_SOURCES, MASS_SOURCES};

/// The lens with this id.
pub(crate) fn view(app: App, id: LensId) -> El {
    let all = || back(Screen::Lenses, "to-lenses", "All lenses");
    if app.document.now(|package| lens_of(package, id).is_none()) {
        return div("screen").child(p("quiet", "That lens is not in this package any more.")).child(all());
    }
    div("screen").child(all()).child(what(app, id)).child(cg(app, id)).child(rest(app, id)).child(doing(app, id))
}

/// What is told once of a lens.
fn rest(app: App, id: LensId) -> El {
    let line = |test: &str, name: &str, told: fn(Style, &Package, &Lens) -> String, inside: Vec<El>| {
        let words = move |style: Style, package: &Package| {
            lens_of(package, id).map(|lens| told(style, package, lens)).unwrap_or_default()
        };
        fold(app, test, name, words, inside)
    };
    let brings = parts(app, id, "brings", |lens| &lens.brings, |lens| &mut lens.brings);
    let leaves = parts(app, id, "leaves-off", |lens| &lens.leaves_off, |lens| &mut lens.leaves_off);
    section("lens-more", "More about it")
        .child(line("lens-more-rings", "Gear rings", told::rings, rings(app, id)))
        .child(line("lens-more-focal", "Focal length", told::focal, focal(app, id)))
        .child(line("lens-more-brings", "Brings along", |_, package, lens| told::parts(package, &lens.brings), brings))
        .child(line(
            "lens-more-leaves",
            "Leaves off",
            |_, package, lens| told::parts(package, &lens.leaves_off),
            leaves,
        ))
}

/// What is done with it as a whole: away from the list, where a thumb puts lenses on.
fn doing(app: App, id: LensId) -> El {
    let full = move || app.document.with(|package| package.lenses.len() >= MAX_LENSES);
    let copy = button(&format!("lens-duplicate-{id}"), "Duplicate", move || {
        let mut copied = None;
        app.document.edit(|package| copied = duplicate(package, id));
        if let Some(copied) = copied {
            Screen::Lens(copied).open();
        }
    });
    let gone = button(&format!("lens-remove-{id}"), "Remove", move || {
        app.document.edit(|package| remove(package, id));
        Screen::Lenses.open();
    });
    section("lens-doing", "This lens")
        .child(link(Screen::LensPreview(id), "to-preview", "Preview it: can it go on"))
        .child(copy.live_flag("disabled", full))
        .child(gone)
        .child(p("quiet", "Undo, at the top, brings it back."))
}

fn change(package: &mut Package, id: LensId, change: impl FnOnce(&mut Lens)) {
    if let Some(lens) = package.lenses.iter_mut().find(|lens| lens.id == id) {
        change(lens);
    }
}

/// A number of the lens.
fn field(
    id: LensId,
    label: &str,
    kind: Kind,
    bounds: &'static Bounds,
    test: &str,
    get: impl Fn(&Lens) -> Option<f64> + 'static,
    set: impl Fn(&mut Lens, f64) + 'static,
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("lens-{id}-{test}"),
        move |package| lens_of(package, id).and_then(&get),
        move |package, value| change(package, id, |lens| set(lens, value)),
    )
}

fn what(app: App, id: LensId) -> El {
    let mass = field(
        id,
        "Mass",
        Kind::Mass,
        &bounds::MASS_KG,
        "mass",
        |lens| Some(lens.mass.kg),
        |lens, kg| lens.mass.enter(kg),
    );
    let from = chips(
        app,
        "How it is known",
        &format!("lens-{id}-mass-from"),
        MASS_SOURCES,
        move |package| lens_of(package, id).map(|lens| lens.mass.from),
        move |package, from| {
            change(package, id, |lens| {
                lens.mass.from = from;
                lens.mass.u_kg = None;
            });
        },
    );
    let doubt = move || {
        let u_kg = app.document.with(|package| lens_of(package, id).map(|lens| lens.mass.standard_uncertainty_kg()));
        let style = app.style();
        u_kg.map(|u_kg| format!("Good to {} {}.", style.mass_plus_minus(u_kg), style.unit(Kind::Mass)))
    };
    section("lens-what", "What it is")
        .child(name_field(
            app,
            "Name",
            "lens-name",
            move |package| lens_of(package, id).map(|lens| lens.name.clone()).unwrap_or_default(),
            move |package, name| change(package, id, |lens| lens.name = name),
        ))
        .child(mass.view(app))
        .child(from)
        .child(p("quiet", "").live_words(move || doubt().unwrap_or_default()))
        .child(div("fields").child(length(app, id)).child(diameter(app, id)))
}

fn length(app: App, id: LensId) -> El {
    let (get, set) = (|lens: &Lens| Some(lens.length_m), |lens: &mut Lens, m| lens.length_m = m);
    field(id, "Length from the mount to the front", Kind::Length, &bounds::SIZE_M, "length", get, set).view(app)
}

fn diameter(app: App, id: LensId) -> El {
    let (get, set) = (|lens: &Lens| Some(lens.diameter_m), |lens: &mut Lens, m| lens.diameter_m = m);
    field(id, "Front diameter", Kind::Length, &bounds::SIZE_M, "diameter", get, set).view(app)
}

fn cg(app: App, id: LensId) -> El {
    let ahead = field(
        id,
        "Ahead of the mount",
        Kind::Length,
        &bounds::OFFSET_M,
        "cg",
        |lens| Some(lens.cg_ahead_m),
        |lens, m| lens.cg_ahead_m = m,
    );
    let shift = field(
        id,
        "Its shift over the whole zoom and focus",
        Kind::Length,
        &bounds::SIZE_M,
        "cg-shift",
        |lens| Some(lens.cg_shift_m),
        |lens, m| lens.cg_shift_m = m,
    );
    section("lens-cg", "Centre of gravity")
        .child(help(
            "centre of gravity",
            "The point at which the lens would balance on a finger, at mid zoom and focus.",
        ))
        .child(div("fields").child(ahead.help("At mid zoom and focus.").view(app)).child(shift.view(app)))
        .child(chips(
            app,
            "How it is known",
            &format!("lens-{id}-cg-from"),
            CG_SOURCES,
            move |package| lens_of(package, id).map(|lens| lens.cg_from),
            move |package, from| {
                change(package, id, |lens| {
                    lens.cg_from = from;
                    lens.cg_u_m = None;
                });
            },
        ))
}

fn rings(app: App, id: LensId) -> Vec<El> {
    let why = "The toothed rings that lens motors turn, measured ahead of the lens mount: they tell the motors where to stand.";
    vec![
        p("quiet", why),
        ring(app, id, "Focus ring", "focus", |rings| rings.focus_m, |rings, m| rings.focus_m = m),
        ring(app, id, "Iris ring", "iris", |rings| rings.iris_m, |rings, m| rings.iris_m = m),
        ring(app, id, "Zoom ring", "zoom", |rings| rings.zoom_m, |rings, m| rings.zoom_m = m),
    ]
}

/// A ring that the lens may have, and where it is. A new one is put in the middle of the lens.
fn ring(
    app: App,
    id: LensId,
    label: &'static str,
    test: &'static str,
    get: fn(&Rings) -> Option<f64>,
    set: fn(&mut Rings, Option<f64>),
) -> El {
    let has = move || app.document.with(|package| lens_of(package, id).and_then(|lens| get(&lens.rings)).is_some());
    let take = move |on: bool| {
        app.document.edit(|package| {
            change(package, id, |lens| {
                let middle_m = lens.length_m / 2.0;
                set(&mut lens.rings, on.then_some(middle_m));
            });
        });
    };
    let place = field(
        id,
        label,
        Kind::Length,
        &bounds::SIZE_M,
        &format!("ring-{test}"),
        move |lens| get(&lens.rings),
        move |lens, m| set(&mut lens.rings, Some(m)),
    );
    div("optional")
        .child(switch(label, &format!("lens-{id}-has-{test}"), has, take))
        .child(div("optional__field").hidden(move || !has()).child(place.view(app)))
}

fn focal(app: App, id: LensId) -> Vec<El> {
    const TYPICAL_M: f64 = 0.05;
    let known =
        move || app.document.with(|package| lens_of(package, id).is_some_and(|lens| lens.focal_length_m.is_some()));
    let take = move |on: bool| {
        app.document.edit(|package| {
            change(package, id, |lens| lens.focal_length_m = on.then_some([TYPICAL_M, TYPICAL_M]));
        });
    };
    let end = |end: usize, label: &str, test: &str| {
        field(
            id,
            label,
            Kind::Length,
            &bounds::FOCAL_LENGTH_M,
            test,
            move |lens| lens.focal_length_m.map(|range_m| range_m[end]),
            move |lens, m| set_focal(lens, end, m),
        )
        .view(app)
    };
    let ends = [end(0, "Shortest", "focal-shortest"), end(1, "Longest", "focal-longest")];
    vec![
        switch("It is known", &format!("lens-{id}-has-focal"), known, take),
        div("fields").hidden(move || !known()).children(ends),
        div("optional__field").hidden(move || !known()).child(squeeze(app, id)),
    ]
}

fn squeeze(app: App, id: LensId) -> El {
    field(
        id,
        "Squeeze",
        Kind::Plain,
        &bounds::SQUEEZE,
        "squeeze",
        |lens| Some(lens.squeeze.unwrap_or(1.0)),
        |lens, times| lens.squeeze = (times > 1.0).then_some(times),
    )
    .help("Of an anamorphic lens: 2 sees twice as wide. 1 for every other.")
    .view(app)
}

/// Sets one end of the focal range. The two of a fixed focal length go together; those of a zoom never cross.
fn set_focal(lens: &mut Lens, end: usize, m: f64) {
    if let Some([shortest, longest]) = &mut lens.focal_length_m {
        match end {
            0 if shortest == longest => (*shortest, *longest) = (m, m),
            0 => *shortest = m.min(*longest),
            _ => *longest = m.max(*shortest),
        }
    }
}

/// A list of parts that the lens brings along or leaves off, and a choice to add to it.
fn parts(
    app: App,
    id: LensId,
    test: &'static str,
    get: fn(&Lens) -> &Vec<PartId>,
    get_mut: fn(&mut Lens) -> &mut Vec<PartId>,
) -> Vec<El> {
    let ids = move || {
        let written = |lens: &Lens| get(lens).iter().map(ToString::to_string).collect::<Vec<String>>();
        app.document.with(|package| lens_of(package, id).map(written).unwrap_or_default())
    };
    let chosen = move |part: &str| {
        let part: PartId = part.parse().unwrap_or_default();
        let name = move || app.document.with(|package| told::part_name(package, part));
        let remove = move || {
            app.document.edit(|package| change(package, id, |lens| get_mut(lens).retain(|known| *known != part)));
        };
        div("list__item").child(span("list__name").live_words(name)).child(button(
            &format!("lens-{id}-{test}-remove-{part}"),
            "Not this one",
            remove,
        ))
    };
    let add = select(
        app,
        "Add a part",
        &format!("lens-{id}-{test}"),
        move |package| offered(package, id),
        |_| String::new(),
        move |package, part| {
            if let Ok(part) = part.parse() {
                change(package, id, |lens| get_mut(lens).push(part));
            }
        },
    );
    let why = match test {
        "brings" => "These ride with it even when they are switched off.",
        _ => "These stay off with it even when they are switched on.",
    };
    vec![p("quiet", why), div("list").each(ids, chosen), add]
}

/// Parts that the lens neither brings nor leaves off yet, after an entry for none.
fn offered(package: &Package, id: LensId) -> Vec<(String, String)> {
    let mut options = vec![(String::new(), "Choose a part".to_owned())];
    if let Some(lens) = lens_of(package, id) {
        let free =
            package.parts.iter().filter(|part| !lens.brings.contains(&part.id) && !lens.leaves_off.contains(&part.id));
        options.extend(free.map(|part| (part.id.to_string(), part.name.clone())));
    }
    options
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_focal_range_never_runs_backwards() {
        let mut lens = codec::library::lenses()[0].clone();
        lens.focal_length_m = Some([0.05, 0.05]);
        set_focal(&mut lens, 0, 0.04);
        assert_eq!(lens.focal_length_m, Some([0.04, 0.04]));
        set_focal(&mut lens, 1, 0.1);
        set_focal(&mut lens, 0, 0.2);
        assert_eq!(lens.focal_length_m, Some([0.1, 0.1]));
        set_focal(&mut lens, 1, 0.01);
        assert_eq!(lens.focal_length_m, Some([0.1, 0.1]));
    }

    #[test]
    fn a_part_is_offered_once() {
        let mut package = codec::library::demo();
        let (lens, part) = (package.lenses[0].id, package.parts[0].id);
        package.lenses[0].brings.clear();
        package.lenses[0].leaves_off.clear();
        assert_eq!(offered(&package, lens).len(), package.parts.len() + 1);
        package.lenses[0].leaves_off.push(part);
        assert!(offered(&package, lens).iter().all(|(id, _)| *id != part.to_string()));
    }
}
