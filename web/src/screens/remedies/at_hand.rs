//! What is at hand to mend a balance: holes, risers, rods, trim weights.

use solver::bounds::{self, Bounds, MAX_AT_HAND};
use solver::package::{AtHand, Package};

use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::screens::shared::{button, section};
use crate::show::Kind;
use crate::ui::number::number;

/// One list of the kit: its title, the label of a field, its hook, and where it stands.
struct Heap {
    title: &'static str,
    label: &'static str,
    test: &'static str,
    kind: Kind,
    bounds: &'static Bounds,
    /// What a new one is until it is told.
    usual: f64,
    read: fn(&AtHand) -> &Vec<f64>,
    write: fn(&mut AtHand) -> &mut Vec<f64>,
}

const HEAPS: [Heap; 3] = [
    Heap {
        title: "Trim weights",
        label: "One weighs",
        test: "weight",
        kind: Kind::Mass,
        bounds: &bounds::TRIM_KG,
        usual: 0.2,
        read: |kit| &kit.weights_kg,
        write: |kit| &mut kit.weights_kg,
    },
    Heap {
        title: "Risers",
        label: "Height",
        test: "riser",
        kind: Kind::Length,
        bounds: &bounds::RISER_M,
        usual: 0.015,
        read: |kit| &kit.risers_m,
        write: |kit| &mut kit.risers_m,
    },
    Heap {
        title: "Rods",
        label: "Length",
        test: "rod",
        kind: Kind::Length,
        bounds: &bounds::ROD_M,
        usual: 0.4,
        read: |kit| &kit.rods_m,
        write: |kit| &mut kit.rods_m,
    },
];

/// The kit.
pub(super) fn view(app: App) -> El {
    let told = move || app.document.with(|package| package.at_hand.is_some());
    let tell = button("at-hand-tell", "Tell what is at hand", move || {
        app.document.edit(|package| package.at_hand = Some(AtHand::default()));
    });
    let forget = button("at-hand-forget", "Back to the usual kit", move || {
        app.document.edit(|package| package.at_hand = None);
    });
    section("at-hand", "At hand")
        .child(
            p("quiet", "A usual kit: 10 mm holes, risers of 5 to 30 mm, rods of 150 to 600 mm, trim weights of 0.1, 0.25 and 0.5 kg.")
                .hidden(told),
        )
        .child(div("buttons").hidden(told).child(tell))
        .child(
            div("at-hand")
                .hidden(move || !told())
                .child(holes(app))
                .children(HEAPS.iter().map(|heap| list(app, heap)))
                .child(forget),
        )
}

fn change(package: &mut Package, change: impl FnOnce(&mut AtHand)) {
    if let Some(kit) = &mut package.at_hand {
        change(kit);
    }
}

fn holes(app: App) -> El {
    let spacing = number(
        "Plate holes are apart by",
        Kind::Length,
        &bounds::HOLE_SPACING_M,
        "at-hand-spacing",
        |package| package.at_hand.as_ref().map(|kit| kit.hole_spacing_m),
        |package, m| change(package, |kit| kit.hole_spacing_m = m),
    );
    let each_way = number(
        "Holes to spare either way",
        Kind::Plain,
        &bounds::HOLES,
        "at-hand-holes",
        |package| package.at_hand.as_ref().map(|kit| kit.holes_each_way),
        |package, count| change(package, |kit| kit.holes_each_way = count),
    );
    let pieces = number(
        "Weights that go on one place",
        Kind::Plain,
        &bounds::TRIM_PIECES,
        "at-hand-pieces",
        |package| package.at_hand.as_ref().map(|kit| kit.pieces),
        |package, count| change(package, |kit| kit.pieces = count),
    );
    div("fields").children([spacing, each_way.unit("holes"), pieces.unit("weights")].map(|field| field.view(app)))
}

fn list(app: App, heap: &'static Heap) -> El {
    let count = move || app.document.with(|package| package.at_hand.as_ref().map_or(0, |kit| (heap.read)(kit).len()));
    let keys = move || (0..count()).map(|index| index.to_string()).collect::<Vec<String>>();
    div("heap")
        .child(el("h3").words(heap.title))
        .child(div("fields").each(keys, move |key| one(app, heap, key.parse().unwrap_or_default())))
        .child(
            button(&format!("at-hand-{}-add", heap.test), "Another", move || {
                app.document.edit(|package| change(package, |kit| (heap.write)(kit).push(heap.usual)));
            })
            .live_flag("disabled", move || count() >= MAX_AT_HAND),
        )
}

fn one(app: App, heap: &'static Heap, index: usize) -> El {
    let field = number(
        heap.label,
        heap.kind,
        heap.bounds,
        format!("at-hand-{}-{index}", heap.test),
        move |package| (heap.read)(package.at_hand.as_ref()?).get(index).copied(),
        move |package, value| {
            change(package, |kit| {
                if let Some(each) = (heap.write)(kit).get_mut(index) {
                    *each = value;
                }
            });
        },
    );
    let remove = button(&format!("at-hand-{}-{index}-remove", heap.test), "Remove", move || {
        app.document.edit(|package| {
            change(package, |kit| {
                let list = (heap.write)(kit);
                if index < list.len() {
                    list.remove(index);
                }
            });
        });
    });
    div("heap__one").child(field.view(app)).child(remove)
}
