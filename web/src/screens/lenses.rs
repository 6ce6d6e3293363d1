//! The lens set: which lens is on, what the next one costs, and each lens's own figures.

use codec::library;
use solver::Package;
use solver::bounds::{self, Bounds};
use solver::lens_set::LensRow;
use solver::package::{Lens, LensId};
use solver::report::TuneVerdict;

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::choice::chips;
use crate::ui::number::{Number, number};
use crate::ui::reasons::{row, summary};
use crate::words::{CG_SOURCES, MASS_SOURCES};

/// The lens screen.
pub(crate) fn view(app: App) -> El {
    div("screen").child(set(app)).child(add(app))
}

fn section(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}

fn set(app: App) -> El {
    let ids = move || app.document.with(|package| package.lenses.iter().map(|lens| lens.id.to_string()).collect());
    section("lenses-set", "Lens set")
        .child(p("quiet", "Put a lens on, and every answer is for it. Open one to see what changing to it costs."))
        .child(p("quiet", "No lens yet.").hidden(move || app.document.with(|package| !package.lenses.is_empty())))
        .child(div("list").each(ids, move |id| lens(app, id.parse().unwrap_or_default())))
}

fn lens_of(package: &Package, id: LensId) -> Option<&Lens> {
    package.lenses.iter().find(|lens| lens.id == id)
}

fn lens(app: App, id: LensId) -> El {
    let on = move || app.document.with(|package| package.active_lens == Some(id));
    let head = summary()
        .child(span("list__name").live_words(move || {
            app.document.with(|package| lens_of(package, id).map(|lens| lens.name.clone()).unwrap_or_default())
        }))
        .child(span("list__detail").live_words(move || {
            let mass = app.document.with(|package| lens_of(package, id).map_or(0.0, |lens| lens.mass.kg));
            format!("{}{}", app.style().show(Kind::Mass, mass), if on() { ", on" } else { "" })
        }));
    let put_on = el("button")
        .class("button button--main")
        .attr("type", "button")
        .test(&format!("lens-on-{id}"))
        .hidden(on)
        .words("Put it on")
        .press(move || app.document.edit(|package| package.active_lens = Some(id)));
    let take_off = el("button")
        .class("button")
        .attr("type", "button")
        .test(&format!("lens-off-{id}"))
        .hidden(move || !on())
        .words("Take it off")
        .press(move || app.document.edit(|package| package.active_lens = None));
    let remove = el("button")
        .class("button")
        .attr("type", "button")
        .test(&format!("lens-remove-{id}"))
        .words("Remove it from the set")
        .press(move || {
            app.document.edit(|package| {
                package.lenses.retain(|lens| lens.id != id);
                if package.active_lens == Some(id) {
                    package.active_lens = None;
                }
            });
        });
    let inside = vec![cost(app, id), div("buttons").child(put_on).child(take_off), figures(app, id), remove];
    row(app, "list__fold", &format!("lens-{id}"), head, inside, None)
}

/// What changing to it costs, worked out only while somebody looks.
fn cost(app: App, id: LensId) -> El {
    div("cost").live(move || {
        let style = app.style();
        let rows = app.document.with(solver::lens_set);
        let found = rows.ok().and_then(|rows| rows.into_iter().find(|row| row.lens == id));
        found.map_or_else(Vec::new, |row| lines(style, &row))
    })
}

fn lines(style: Style, row: &LensRow) -> Vec<El> {
    let verdict = match (row.within_payload, row.hangs, row.slides.iter().any(|slide| slide.beyond_m.is_some())) {
        (false, _, _) => "No: the camera side is outside what the head takes.",
        (true, false, _) => "No: it does not hang still at any mark within travel.",
        (true, true, true) => "Yes, with a mark at the end of its travel.",
        (true, true, false) if row.may_stay => "Yes, and the marks may stay where they are.",
        (true, true, false) => "Yes, with new marks.",
    };
    let mut lines = vec![p("cost__verdict", verdict)];
    lines.extend(row.slides.iter().filter(|slide| slide.change_m.abs() >= 0.000_5).map(|slide| {
        let target = style.show(Kind::Mark, slide.target_m.value);
        let change = style.show(Kind::Mark, slide.change_m.abs());
        p("", &format!("{}: {} {change}, to {target}", slide.name, slide.word))
    }));
    if let Some(tightest) = &row.tightest {
        let hand = style.show(Kind::Share, tightest.headroom.value);
        lines.push(p("", &format!("Torque: {hand} in hand, {}, {}.", tightest.axis, tightest.move_name)));
    }
    if let Some(tune) = row.tune {
        let words = match tune {
            TuneVerdict::Keep => "Tune: keep.",
            TuneVerdict::Check => "Tune: check.",
            TuneVerdict::Redo => "Tune: tune again.",
        };
        lines.push(p("", words));
    }
    lines
}

fn field(
    id: LensId,
    label: &str,
    kind: Kind,
    bounds: &'static Bounds,
    test: &str,
    get: impl Fn(&Lens) -> f64 + 'static,
    set: impl Fn(&mut Lens, f64) + 'static,
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("lens-{id}-{test}"),
        move |package| lens_of(package, id).map(&get),
        move |package, value| {
            if let Some(lens) = package.lenses.iter_mut().find(|lens| lens.id == id) {
                set(lens, value);
            }
        },
    )
}

fn figures(app: App, id: LensId) -> El {
    div("fields")
        .child(field(id, "Mass", Kind::Mass, &bounds::MASS_KG, "mass", |l| l.mass.kg, |l, kg| l.mass.kg = kg).view(app))
        .child(chips(
            app,
            "How the mass is known",
            &format!("lens-{id}-mass-from"),
            MASS_SOURCES,
            move |package| lens_of(package, id).map(|lens| lens.mass.from),
            move |package, from| {
                if let Some(lens) = package.lenses.iter_mut().find(|lens| lens.id == id) {
                    lens.mass.from = from;
                    lens.mass.u_kg = None;
                }
            },
        ))
        .child(
            field(
                id,
                "Length from the mount",
                Kind::Length,
                &bounds::SIZE_M,
                "length",
                |l| l.length_m,
                |l, m| l.length_m = m,
            )
            .view(app),
        )
        .child(
            field(
                id,
                "Front diameter",
                Kind::Length,
                &bounds::SIZE_M,
                "diameter",
                |l| l.diameter_m,
                |l, m| l.diameter_m = m,
            )
            .view(app),
        )
        .child(
            field(
                id,
                "Centre of gravity ahead of the mount",
                Kind::Length,
                &bounds::OFFSET_M,
                "cg",
                |l| l.cg_ahead_m,
                |l, m| l.cg_ahead_m = m,
            )
            .view(app),
        )
        .child(chips(
            app,
            "How that is known",
            &format!("lens-{id}-cg-from"),
            CG_SOURCES,
            move |package| lens_of(package, id).map(|lens| lens.cg_from),
            move |package, from| {
                if let Some(lens) = package.lenses.iter_mut().find(|lens| lens.id == id) {
                    lens.cg_from = from;
                    lens.cg_u_m = None;
                }
            },
        ))
}

fn add(app: App) -> El {
    let rows = library::lenses().iter().map(move |lens| {
        el("button")
            .class("list__add")
            .attr("type", "button")
            .test(&format!("add-lens-{}", lens.id))
            .press(move || {
                app.document.edit(|package| {
                    let mut added = lens.clone();
                    added.id = package.lenses.iter().map(|known| known.id).max().unwrap_or(0) + 1;
                    added.brings.clear();
                    added.leaves_off.clear();
                    if package.active_lens.is_none() {
                        package.active_lens = Some(added.id);
                    }
                    package.lenses.push(added);
                });
            })
            .child(span("list__name").words(&lens.name))
            .child(span("list__detail").live_words(move || app.style().show(Kind::Mass, lens.mass.kg)))
    });
    section("lenses-add", "Add a typical lens")
        .child(p("quiet", "Invented, typical figures: weigh your own and put the figure in."))
        .child(div("list").children(rows))
}
