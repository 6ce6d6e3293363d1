//! The sixth step: the head's own rigid pieces, typical until they are weighed or learned.

use solver::bounds;
use solver::package::{Element, MassSource, Package, Yoke};

use super::field;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::section;
use crate::show::Kind;
use crate::ui::choice::chips;
use crate::words::MASS_SOURCES;

/// One fold for each yoke, platform first.
pub(super) fn view(app: App) -> El {
    let keys = move || {
        let count = app.document.with(|package| yokes(package).count());
        (0..count).map(|index| index.to_string()).collect::<Vec<String>>()
    };
    section("own-yokes", "6. The head's own weight")
        .child(p("quiet", "Typical masses to begin with, good to 15 %. Logged balances correct them: an empty head that stays put is already one. Weigh a piece only if it comes off anyway."))
        .child(div("own-yokes").each(keys, move |key| one(app, key.parse().unwrap_or_default())))
}

fn yokes(package: &Package) -> impl Iterator<Item = &Yoke> {
    package.head.chain.iter().filter_map(|element| if let Element::Yoke(yoke) = element { Some(yoke) } else { None })
}

fn change(package: &mut Package, index: usize, change: impl FnOnce(&mut Yoke)) {
    let mut yokes = package
        .head
        .chain
        .iter_mut()
        .filter_map(|element| if let Element::Yoke(yoke) = element { Some(yoke) } else { None });
    if let Some(yoke) = yokes.nth(index) {
        change(yoke);
    }
}

fn one(app: App, index: usize) -> El {
    let name = move || {
        app.document.with(|package| yokes(package).nth(index).map(|yoke| yoke.name.clone()).unwrap_or_default())
    };
    let told = move || {
        let style = app.style();
        let kg = app.document.with(|package| yokes(package).nth(index).map(|yoke| yoke.mass.kg));
        kg.map(|kg| style.figure(Kind::Mass, kg, &bounds::MASS_KG)).unwrap_or_default()
    };
    let number = |label: &str,
                  kind: Kind,
                  bounds: &'static bounds::Bounds,
                  test: &str,
                  get: fn(&Yoke) -> f64,
                  set: fn(&mut Yoke, f64)| {
        field(
            label,
            kind,
            bounds,
            &format!("yoke-{index}-{test}"),
            move |package| yokes(package).nth(index).map(get),
            move |package, value| change(package, index, |yoke| set(yoke, value)),
        )
    };
    let fields = [
        number("Mass", Kind::Mass, &bounds::MASS_KG, "kg", |yoke| yoke.mass.kg, |yoke, kg| yoke.mass.kg = kg).view(app),
        number(
            "Its CG from its axis, fore and aft",
            Kind::Length,
            &bounds::OFFSET_M,
            "behind",
            |yoke| 0.0 - yoke.cg.offset_m[0],
            |yoke, m| yoke.cg.offset_m[0] = 0.0 - m,
        )
        .sided(app, "Ahead or behind", ["behind", "ahead"]),
        number(
            "and its height from there",
            Kind::Length,
            &bounds::OFFSET_M,
            "below",
            |yoke| 0.0 - yoke.cg.offset_m[2],
            |yoke, m| yoke.cg.offset_m[2] = 0.0 - m,
        )
        .sided(app, "Above or below it", ["below", "above"]),
    ];
    let source = chips(
        app,
        "How the mass is known",
        &format!("own-yoke-{index}-from"),
        MASS_SOURCES,
        move |package| yokes(package).nth(index).map(|yoke| yoke.mass.from),
        move |package, from: MassSource| change(package, index, |yoke| (yoke.mass.from, yoke.mass.u_kg) = (from, None)),
    );
    el("details")
        .class("row")
        .test(&format!("own-yoke-{index}"))
        .child(
            el("summary")
                .class("row__summary")
                .child(span("row__name").live_words(name))
                .child(span("row__value").live_words(told)),
        )
        .child(div("row__inside").child(div("fields").children(fields)).child(source))
}
