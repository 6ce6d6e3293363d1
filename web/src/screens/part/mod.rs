//! One part: what it is and how heavy, where it is, and the rest of it folded away until somebody looks.

mod more;
mod place;
mod rods;

use solver::Package;
use solver::bounds::{self, Bounds};
use solver::entering::free_id;
use solver::package::{Mass, Part, PartId, PartMass};

use super::shared::{self, copy_name, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::{chips, switch};
use crate::ui::help::help;
use crate::ui::number::{Number, number};
use crate::ui::text::name_field;
use crate::words::MASS_SOURCES;

/// The part with this id.
pub(crate) fn view(app: App, id: PartId) -> El {
    if app.document.now(|package| !package.parts.iter().any(|part| part.id == id)) {
        return div("screen").child(p("quiet", "That part is not in this package any more.")).child(back());
    }
    div("screen")
        .child(back())
        .child(what(app, id))
        .children(rods::view(app, id))
        .child(place::view(app, id))
        .child(more::view(app, id))
        .child(doing(app, id))
}

fn back() -> El {
    shared::back(Screen::Parts, "to-parts", "All parts")
}

pub(super) fn part_of(package: &Package, id: PartId) -> Option<&Part> {
    package.parts.iter().find(|part| part.id == id)
}

pub(super) fn change(package: &mut Package, id: PartId, change: impl FnOnce(&mut Part)) {
    if let Some(part) = package.parts.iter_mut().find(|part| part.id == id) {
        change(part);
    }
}

/// A number of the part.
fn field(
    id: PartId,
    label: &str,
    kind: Kind,
    bounds: &'static Bounds,
    test: &str,
    get: impl Fn(&Part) -> Option<f64> + 'static,
    set: impl Fn(&mut Part, f64) + 'static,
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("part-{test}"),
        move |package| part_of(package, id).and_then(&get),
        move |package, value| change(package, id, |part| set(part, value)),
    )
}

fn what(app: App, id: PartId) -> El {
    let own =
        app.document.now(|package| part_of(package, id).is_some_and(|part| matches!(part.mass, PartMass::Own(_))));
    let mass = if own {
        vec![
            field(
                id,
                "Mass",
                Kind::Mass,
                &bounds::MASS_KG,
                "mass",
                |part| own_mass(part).map(|mass| mass.kg),
                |part, kg| {
                    if let PartMass::Own(mass) = &mut part.mass {
                        mass.enter(kg);
                    }
                },
            )
            .view(app),
            known_to(app, id),
            chips(
                app,
                "How it is known",
                "part-mass-from",
                MASS_SOURCES,
                move |package| part_of(package, id).and_then(own_mass).map(|mass| mass.from),
                move |package, from| {
                    change(package, id, |part| {
                        if let PartMass::Own(mass) = &mut part.mass {
                            mass.from = from;
                            mass.u_kg = None;
                        }
                    });
                },
            ),
        ]
    } else {
        vec![
            field(
                id,
                "Share of everything else on the camera side",
                Kind::Share,
                &bounds::SHARE,
                "share",
                |part| if let PartMass::Share { fraction } = part.mass { Some(fraction) } else { None },
                |part, share| {
                    if let PartMass::Share { fraction } = &mut part.mass {
                        *fraction = share;
                    }
                },
            )
            .view(app),
        ]
    };
    section("part-what", "What it is")
        .child(help(
            "how a mass is known",
            "The better the scale, the smaller the ±: what is typical or guessed is taken as 15 % uncertain.",
        ))
        .child(name_field(
            app,
            "Name",
            "part-name",
            move |package| part_of(package, id).map(|part| part.name.clone()).unwrap_or_default(),
            move |package, name| change(package, id, |part| part.name = name),
        ))
        .child(switch(
            "On the head",
            "part-on",
            move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.on)),
            move |on| app.document.edit(|package| change(package, id, |part| part.on = on)),
        ))
        .children(mass)
}

fn own_mass(part: &Part) -> Option<&solver::package::Mass> {
    match &part.mass {
        PartMass::Own(mass) => Some(mass),
        PartMass::Share { .. } => None,
    }
}

/// How well its mass is known.
fn known_to(app: App, id: PartId) -> El {
    let u_kg = move || {
        let own = |package: &Package| part_of(package, id).and_then(own_mass).map(Mass::standard_uncertainty_kg);
        app.document.with(own)
    };
    p("quiet", "").live_words(move || {
        u_kg()
            .map(|u_kg| format!("Good to {} {}.", app.style().mass_plus_minus(u_kg), app.style().unit(Kind::Mass)))
            .unwrap_or_default()
    })
}

fn doing(app: App, id: PartId) -> El {
    section("part-doing", "This part")
        .child(el("button").class("button").attr("type", "button").test("part-duplicate").words("Duplicate").press(
            move || {
                let copied = app.document.now(|package| free_id(package.parts.iter().map(|part| part.id)));
                app.document.edit(|package| {
                    if let Some(mut part) = part_of(package, id).cloned() {
                        part.id = copied;
                        part.name = copy_name(&part.name);
                        package.parts.push(part);
                    }
                });
                Screen::Part(copied).open();
            },
        ))
        .child(el("button").class("button").attr("type", "button").test("part-remove").words("Remove").press(
            move || {
                app.document.edit(|package| {
                    package.parts.retain(|part| part.id != id);
                    for lens in &mut package.lenses {
                        lens.brings.retain(|part| *part != id);
                        lens.leaves_off.retain(|part| *part != id);
                    }
                });
                Screen::Parts.open();
            },
        ))
        .child(p("quiet", "Undo, at the top, brings it back."))
}
