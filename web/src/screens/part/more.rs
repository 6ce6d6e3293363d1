//! The rest of a part: size, centre of gravity, wind, power, pack. Each line says how it stands and opens into its fields.

use solver::Package;
use solver::bounds;
use solver::package::{Load, Pack, Part, PartId, PartKind, Shape};

use super::place::WAYS;
use super::{change, field, part_of};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::section;
use crate::show::{Kind, Style};
use crate::ui;
use crate::ui::choice::{chips, select, switch};
use crate::words::{CG_SOURCES, SHAPES, word};

/// The folded lines.
pub(super) fn view(app: App, id: PartId) -> El {
    let is = move |wanted: fn(&Part) -> bool| app.document.now(|package| part_of(package, id).is_some_and(wanted));
    section("part-more", "More about it")
        .child(fold(app, id, "size", "Size", size_words, size(app, id)))
        .children(
            is(|part| part.kind == PartKind::Body)
                .then(|| fold(app, id, "axis", "Optical axis", axis_words, axis(app, id))),
        )
        .child(fold(app, id, "cg", "Centre of gravity", cg_words, cg(app, id)))
        .child(fold(app, id, "wind", "Wind", wind_words, wind(app, id)))
        .child(fold(app, id, "power", "Power", power_words, power(app, id)))
        .children(is(|part| part.pack.is_some()).then(|| fold(app, id, "pack", "Pack", pack_words, pack(app, id))))
}

/// A line that says how it stands and opens.
fn fold(
    app: App,
    id: PartId,
    test: &str,
    name: &str,
    state: fn(Style, &Package, &Part) -> String,
    inside: Vec<El>,
) -> El {
    let words = move |style: Style, package: &Package| {
        part_of(package, id).map(|part| state(style, package, part)).unwrap_or_default()
    };
    ui::fold::fold(app, &format!("part-more-{test}"), name, words, inside)
}

fn size_words(style: Style, _: &Package, part: &Part) -> String {
    let [length, width, height] = part.size_m.map(|m| style.bare(Kind::Length, m));
    format!("{length} × {width} × {height} {}", style.unit(Kind::Length))
}

fn size(app: App, id: PartId) -> Vec<El> {
    let outline = chips(
        app,
        "Outline",
        "part-shape",
        SHAPES,
        move |package| part_of(package, id).map(|part| part.shape),
        move |package, shape| change(package, id, |part| part.shape = shape),
    );
    let sizes = ["Length, along the lens", "Width", "Height"].into_iter().enumerate().map(|(axis, label)| {
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
    });
    vec![
        outline,
        div("fields").children(sizes),
        p("quiet", "For a pair of rods the width is over both, the height their diameter.").hidden(move || {
            app.document.with(|package| part_of(package, id).is_none_or(|part| part.shape != Shape::RodPair))
        }),
    ]
}

fn axis_words(style: Style, _: &Package, part: &Part) -> String {
    part.optical_axis_up_m.map_or_else(
        || "height not known".to_owned(),
        |up_m| format!("{} above its underside", style.show(Kind::Length, up_m)),
    )
}

fn axis(app: App, id: PartId) -> Vec<El> {
    let field = field(
        id,
        "Optical axis above its underside",
        Kind::Length,
        &bounds::SIZE_M,
        "axis-up",
        |part| part.optical_axis_up_m,
        |part, m| part.optical_axis_up_m = Some(m),
    );
    let stack = p("quiet", "").live_words(move || app.document.with(|package| stack_words(app.style(), package)));
    vec![field.view(app), stack]
}

/// What stands under the lens, from the seat up.
fn stack_words(style: Style, package: &Package) -> String {
    let stacked = |body: bool| {
        package
            .riding()
            .filter(move |part| part.at.from == solver::package::Anchor::Stack && (part.kind == PartKind::Body) == body)
    };
    let plates: Vec<String> =
        stacked(false).map(|part| format!("{} {}", part.name, style.show(Kind::Length, part.size_m[2]))).collect();
    let plates_m: f64 = stacked(false).map(|part| part.size_m[2]).sum();
    let up_m = stacked(true).find_map(|body| body.optical_axis_up_m).unwrap_or(0.0);
    let all = style.show(Kind::Length, plates_m + up_m);
    if plates.is_empty() {
        return format!("It stands on the seat itself: the lens is {all} above it.");
    }
    format!("{} and the axis {}: the lens is {all} above the seat.", plates.join(", "), style.show(Kind::Length, up_m))
}

fn cg_words(style: Style, _: &Package, part: &Part) -> String {
    let known = word(CG_SOURCES, &part.cg.from).to_lowercase();
    let u = style.plus_minus(Kind::Length, part.cg.standard_uncertainty_m(part.size_m[0]));
    format!("{known}, {u}")
}

fn cg(app: App, id: PartId) -> Vec<El> {
    let known = chips(
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
    );
    let fields = WAYS.iter().enumerate().map(|(axis, (name, ways))| {
        let test = format!("cg-{axis}");
        field(
            id,
            &format!("From its middle, {name}"),
            Kind::Length,
            &bounds::OFFSET_M,
            &test,
            move |part| Some(part.cg.offset_m[axis]),
            move |part, m| part.cg.offset_m[axis] = m,
        )
        .sided(app, &format!("Which way {name}"), *ways)
    });
    vec![known, div("fields").children(fields)]
}

fn wind_words(style: Style, _: &Package, part: &Part) -> String {
    if part.drag.sheltered { "sheltered".to_owned() } else { format!("drag {}", style.plain(part.drag.coefficient, 2)) }
}

fn wind(app: App, id: PartId) -> Vec<El> {
    let sheltered = switch(
        "Something else shelters it",
        "part-sheltered",
        move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.drag.sheltered)),
        move |sheltered| app.document.edit(|package| change(package, id, |part| part.drag.sheltered = sheltered)),
    );
    let drag = field(
        id,
        "Drag coefficient",
        Kind::Plain,
        &bounds::DRAG_COEFFICIENT,
        "drag",
        |part| Some(part.drag.coefficient),
        |part, value| part.drag.coefficient = value,
    );
    vec![sheltered, drag.view(app)]
}

fn power_words(style: Style, package: &Package, part: &Part) -> String {
    let Some(load) = &part.load else { return "draws none".to_owned() };
    let tap = load.tap.as_ref().and_then(|id| package.head.taps.iter().find(|tap| tap.id == *id));
    let tap = tap.map_or("no tap yet", |tap| tap.name.as_str());
    format!("{}, {tap}", style.show(Kind::Power, load.typical_w))
}

/// A number of what it draws.
fn watts(app: App, id: PartId, label: &str, test: &str, get: fn(&Load) -> f64, set: fn(&mut Load, f64)) -> El {
    field(
        id,
        label,
        Kind::Power,
        &bounds::POWER_W,
        test,
        move |part| part.load.as_ref().map(get),
        move |part, w| {
            if let Some(load) = &mut part.load {
                set(load, w);
            }
        },
    )
    .view(app)
}

fn power(app: App, id: PartId) -> Vec<El> {
    let draws = move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.load.is_some()));
    let taps = |package: &Package| {
        let mut taps = vec![(String::new(), "No tap chosen".to_owned())];
        taps.extend(package.head.taps.iter().map(|tap| (tap.id.clone(), tap.name.clone())));
        taps
    };
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
    let switch = switch("It draws power", "part-draws", draws, move |on| {
        app.document.edit(|package| {
            change(package, id, |part| {
                part.load = on.then_some(Load { typical_w: 0.0, peak_w: 0.0, window_v: None, tap: None, cable: None });
            });
        });
    });
    let fields = div("fields")
        .hidden(move || !draws())
        .child(watts(app, id, "In ordinary use", "typical-w", |load| load.typical_w, |load, w| load.typical_w = w))
        .child(watts(app, id, "At most", "peak-w", |load| load.peak_w, |load, w| load.peak_w = w))
        .child(tap);
    vec![switch, fields]
}

fn pack_words(style: Style, _: &Package, part: &Part) -> String {
    let words =
        |pack: &Pack| format!("{} cells, {}", style.plain(pack.cells, 0), style.show(Kind::Capacity, pack.capacity_ah));
    part.pack.as_ref().map(words).unwrap_or_default()
}

fn pack(app: App, id: PartId) -> Vec<El> {
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
    vec![div("fields").children([
        pack_field!("Cells in series", Plain, CELLS, cells),
        pack_field!("Rated capacity", Capacity, CAPACITY_AH, capacity_ah),
        pack_field!("Usable share", Share, SHARE, usable_share),
        pack_field!("Internal resistance", Resistance, RESISTANCE_OHM, resistance_ohm),
        pack_field!("Cut-off a cell", Voltage, VOLTS, cutoff_v_cell),
    ])]
}
