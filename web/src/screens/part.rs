//! One part: name, mass, size, centre of gravity, place, wind, power.

use solver::Package;
use solver::bounds::{self, Bounds};
use solver::package::{Load, Part, PartId, PartMass};

use super::add_part::next_id;
use super::shared::section;
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::{chips, select, switch};
use crate::ui::number::{Number, number};
use crate::ui::text::name_field;
use crate::words::{ANCHORS, CG_SOURCES, MASS_SOURCES, SHAPES};

/// The part with this id.
pub(crate) fn view(app: App, id: PartId) -> El {
    if app.document.now(|package| !package.parts.iter().any(|part| part.id == id)) {
        return div("screen").child(p("quiet", "That part is not in this package any more.")).child(back());
    }
    div("screen")
        .child(back())
        .child(what(app, id))
        .child(place(app, id))
        .child(cg(app, id))
        .child(wind(app, id))
        .child(power(app, id))
        .child(pack(app, id))
        .child(doing(app, id))
}

fn back() -> El {
    el("a").class("button").attr("href", &Screen::Parts.hash()).test("to-parts").words("All parts")
}

fn part_of(package: &Package, id: PartId) -> Option<&Part> {
    package.parts.iter().find(|part| part.id == id)
}

fn change(package: &mut Package, id: PartId, change: impl FnOnce(&mut Part)) {
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
                        mass.kg = kg;
                    }
                },
            )
            .view(app),
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
        .child(name_field(
            app,
            "Name",
            "part-name",
            move |package| part_of(package, id).map(|part| part.name.clone()).unwrap_or_default(),
            move |package, name| change(package, id, |part| part.name = name),
        ))
        .child(switch(
            "It rides",
            "part-on",
            move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.on)),
            move |on| app.document.edit(|package| change(package, id, |part| part.on = on)),
        ))
        .children(mass)
        .child(chips(
            app,
            "Outline",
            "part-shape",
            SHAPES,
            move |package| part_of(package, id).map(|part| part.shape),
            move |package, shape| change(package, id, |part| part.shape = shape),
        ))
        .child(div("fields").children(["Length", "Width", "Height"].into_iter().enumerate().map(|(axis, label)| {
            let test = format!("size-{axis}");
            field(
                id,
                label,
                Kind::Length,
                &bounds::SIZE_M,
                &test,
                move |part| Some(part.size_m[axis]),
                move |part, m| part.size_m[axis] = m,
            )
            .view(app)
        })))
}

fn own_mass(part: &Part) -> Option<&solver::package::Mass> {
    match &part.mass {
        PartMass::Own(mass) => Some(mass),
        PartMass::Share { .. } => None,
    }
}

fn place(app: App, id: PartId) -> El {
    let places = |package: &Package| {
        package.head.places().map(|place| (place.id.clone(), place.name.clone())).collect::<Vec<(String, String)>>()
    };
    let labels = ["Its middle, ahead of there", "to the left", "above"];
    section("part-place", "Where it is")
        .child(select(
            app,
            "It rides on",
            "part-place-id",
            places,
            move |package| part_of(package, id).map(|part| part.at.place.clone()).unwrap_or_default(),
            move |package, place| change(package, id, |part| part.at.place = place),
        ))
        .child(select(
            app,
            "Measured from",
            "part-anchor",
            |_| ANCHORS.iter().enumerate().map(|(index, (_, word))| (index.to_string(), (*word).to_owned())).collect(),
            move |package| {
                let from = part_of(package, id).map(|part| part.at.from);
                ANCHORS.iter().position(|(anchor, _)| Some(*anchor) == from).unwrap_or_default().to_string()
            },
            move |package, chosen| {
                let anchor = chosen.parse().ok().and_then(|index: usize| ANCHORS.get(index));
                if let Some((anchor, _)) = anchor {
                    change(package, id, |part| part.at.from = *anchor);
                }
            },
        ))
        .child(div("fields").children(labels.into_iter().enumerate().map(|(axis, label)| {
            let test = format!("offset-{axis}");
            field(
                id,
                label,
                Kind::Length,
                &bounds::OFFSET_M,
                &test,
                move |part| Some(part.at.offset_m[axis]),
                move |part, m| part.at.offset_m[axis] = m,
            )
            .view(app)
        })))
        .child(p(
            "quiet",
            "A stacked part takes its height from the stack. What is measured from the lens follows the lens.",
        ))
}

fn cg(app: App, id: PartId) -> El {
    let labels = ["Ahead of its middle", "to the left", "above"];
    section("part-cg", "Centre of gravity")
        .child(chips(
            app,
            "How it is known",
            "part-cg-from",
            CG_SOURCES,
            move |package| part_of(package, id).map(|part| part.cg.from),
            move |package, from| {
                change(package, id, |part| {
                    part.cg.from = from;
                    part.cg.u_m = None;
                });
            },
        ))
        .child(div("fields").children(labels.into_iter().enumerate().map(|(axis, label)| {
            let test = format!("cg-{axis}");
            field(
                id,
                label,
                Kind::Length,
                &bounds::OFFSET_M,
                &test,
                move |part| Some(part.cg.offset_m[axis]),
                move |part, m| part.cg.offset_m[axis] = m,
            )
            .view(app)
        })))
}

fn wind(app: App, id: PartId) -> El {
    section("part-wind", "Wind")
        .child(switch(
            "Something else shelters it",
            "part-sheltered",
            move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.drag.sheltered)),
            move |sheltered| app.document.edit(|package| change(package, id, |part| part.drag.sheltered = sheltered)),
        ))
        .child(
            field(
                id,
                "Drag coefficient",
                Kind::Plain,
                &bounds::DRAG_COEFFICIENT,
                "drag",
                |part| Some(part.drag.coefficient),
                |part, value| part.drag.coefficient = value,
            )
            .view(app),
        )
}

fn power(app: App, id: PartId) -> El {
    let draws = move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.load.is_some()));
    let taps = |package: &Package| {
        let mut taps = vec![(String::new(), "No tap chosen".to_owned())];
        taps.extend(package.head.taps.iter().map(|tap| (tap.id.clone(), tap.name.clone())));
        taps
    };
    let watts = [
        field(
            id,
            "In ordinary use",
            Kind::Power,
            &bounds::POWER_W,
            "typical-w",
            |part| part.load.as_ref().map(|load| load.typical_w),
            |part, w| {
                if let Some(load) = &mut part.load {
                    load.typical_w = w;
                }
            },
        )
        .view(app),
        field(
            id,
            "At most",
            Kind::Power,
            &bounds::POWER_W,
            "peak-w",
            |part| part.load.as_ref().map(|load| load.peak_w),
            |part, w| {
                if let Some(load) = &mut part.load {
                    load.peak_w = w;
                }
            },
        )
        .view(app),
    ];
    let tap = select(
        app,
        "Tap",
        "part-tap",
        taps,
        move |package| part_of(package, id).and_then(|part| part.load.as_ref()?.tap.clone()).unwrap_or_default(),
        move |package, tap| {
            change(package, id, |part| {
                if let Some(load) = &mut part.load {
                    load.tap = (!tap.is_empty()).then_some(tap);
                }
            });
        },
    );
    section("part-power", "Power")
        .child(switch("It draws power", "part-draws", draws, move |on| {
            app.document.edit(|package| {
                change(package, id, |part| {
                    part.load =
                        on.then_some(Load { typical_w: 0.0, peak_w: 0.0, window_v: None, tap: None, cable: None });
                });
            });
        }))
        .child(div("fields").hidden(move || !draws()).children(watts).child(tap))
}

fn pack(app: App, id: PartId) -> El {
    let is_pack = move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.pack.is_some()));
    macro_rules! pack_field {
        ($label:literal, $kind:ident, $bounds:ident, $field:ident) => {
            field(
                id,
                $label,
                Kind::$kind,
                &bounds::$bounds,
                stringify!($field),
                |part| part.pack.as_ref().map(|pack| pack.$field),
                |part, value| {
                    if let Some(pack) = &mut part.pack {
                        pack.$field = value;
                    }
                },
            )
            .view(app)
        };
    }
    section("part-pack", "Pack").hidden(move || !is_pack()).child(div("fields").children([
        pack_field!("Cells in series", Plain, CELLS, cells),
        pack_field!("Rated capacity", Capacity, CAPACITY_AH, capacity_ah),
        pack_field!("Usable share", Share, SHARE, usable_share),
        pack_field!("Internal resistance", Resistance, RESISTANCE_OHM, resistance_ohm),
        pack_field!("Cut-off a cell", Voltage, VOLTS, cutoff_v_cell),
    ]))
}

fn doing(app: App, id: PartId) -> El {
    section("part-doing", "This part")
        .child(el("button").class("button").attr("type", "button").test("part-duplicate").words("Duplicate").press(
            move || {
                let copied = app.document.now(next_id);
                app.document.edit(|package| {
                    if let Some(mut part) = part_of(package, id).cloned() {
                        part.id = next_id(package);
                        part.name.push_str(" (copy)");
                        package.parts.push(part);
                    }
                });
                app.go(Screen::Part(copied));
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
                app.go(Screen::Parts);
            },
        ))
        .child(p("quiet", "Undo, at the top, brings it back."))
}
