//! The lens set: which lens is on, and for each what changing to it costs.

use leptos::prelude::*;
use solver::Package;
use solver::lens_set::change::SET_WITHIN_M;
use solver::lens_set::preview::{LensVerdict, Verdict, lens_verdicts};
use solver::lens_set::{LensMark, LensRow};
use solver::package::{Lens, LensId};
use solver::report::TuneVerdict;

use super::lens_set::preview::yes;
use super::lens_set::stays_put;
use super::lens_set::ways::ways;
use super::shared::{button, copy_name, free_id, link, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::answers::of_severity;
use crate::show::{Kind, Style};
use crate::ui::help::help;
use crate::words::HOLD_THE_CAMERA;

/// Every lens of the set with its answers and whether it can go on; none while the package has faults.
type Rows = Memo<Vec<(LensRow, LensVerdict)>>;

/// The lens set.
pub(crate) fn view(app: App) -> El {
    let rows = Memo::new(move |_| {
        app.document.with(|package| {
            let (rows, verdicts) = (solver::lens_set(package), lens_verdicts(package));
            rows.unwrap_or_default().into_iter().zip(verdicts.unwrap_or_default()).collect()
        })
    });
    let ids = move || app.document.with(|package| package.lenses.iter().map(|lens| lens.id.to_string()).collect());
    let none = move || app.document.with(|package| package.lenses.is_empty());
    let add = el("a").class("button button--main").attr("href", &Screen::AddLens.hash()).test("add-lens");
    let any = move || app.document.with(|package| package.lenses.len() > 1);
    let tools = div("screen__tools")
        .child(add.words("Add lenses"))
        .child(link(Screen::LensChanges, "to-changes", "Lens changes").hidden(move || !any()))
        .child(link(Screen::CommonMarks, "to-common", "One set of marks").hidden(move || !any()));
    div("screen").child(tools).child(
        section("lenses-set", "Lens set")
        .child(help("the lens set", "Each lens with the marks, torque and tune that it would need; to spare is what remains to the end of travel. Where marks may stay, the chance counts from a balance by hand with the lens that is on."))
            .child(p("caution", HOLD_THE_CAMERA).hidden(none))
            .child(p("quiet", "").live_words(move || app.document.with(counted_from)).hidden(none))
            .child(
                p("", "No lens yet. The first one that you add goes on, and motors, support and matte box follow it.")
                    .hidden(move || !none()),
            )
            .child(div("list").each(ids, move |id| item(app, rows, id.parse().unwrap_or_default()))),
    )
}

/// The lens with this id.
pub(super) fn lens_of(package: &Package, id: LensId) -> Option<&Lens> {
    package.lenses.iter().find(|lens| lens.id == id)
}

/// Adds a copy of a lens right after it; gives its id.
pub(super) fn duplicate(package: &mut Package, id: LensId) -> Option<LensId> {
    let at = package.lenses.iter().position(|lens| lens.id == id)?;
    let mut copied = package.lenses[at].clone();
    copied.id = free_id(package.lenses.iter().map(|lens| lens.id));
    copied.name = copy_name(&copied.name);
    let added = copied.id;
    package.lenses.insert(at + 1, copied);
    Some(added)
}

/// Takes a lens out of the set; when it was on, none is.
pub(super) fn remove(package: &mut Package, id: LensId) {
    package.lenses.retain(|lens| lens.id != id);
    if package.active_lens == Some(id) {
        package.active_lens = None;
    }
}

fn item(app: App, rows: Rows, id: LensId) -> El {
    let on = move || app.document.with(|package| package.active_lens == Some(id));
    let words = move |write: fn(Style, &Lens) -> String| {
        app.document.with(|package| lens_of(package, id).map(|lens| write(app.style(), lens)).unwrap_or_default())
    };
    let name = el("a")
        .class("list__link")
        .attr("href", &Screen::Lens(id).hash())
        .test(&format!("lens-{id}"))
        .child(span("list__name").live_words(move || words(|_, lens| lens.name.clone())))
        .child(span("list__detail").live_words(move || words(detail)));
    let buttons = div("buttons")
        .child(
            button(&format!("lens-on-{id}"), "Put it on", move || {
                app.document.edit(|package| package.active_lens = Some(id));
            })
            .class("button--main")
            .hidden(on),
        )
        .child(
            button(&format!("lens-off-{id}"), "Take it off", move || {
                app.document.edit(|package| package.active_lens = None);
            })
            .hidden(move || !on()),
        )
        .child(link(Screen::LensPreview(id), &format!("lens-preview-{id}"), "Preview"));
    div("list__item lens")
        .live_attr("aria-current", move || on().then(|| "true".to_owned()))
        .child(name)
        .child(cost(app, rows, id))
        .child(buttons)
}

fn detail(style: Style, lens: &Lens) -> String {
    let mass = style.show(Kind::Mass, lens.mass.kg);
    let length = style.show(Kind::Length, lens.length_m);
    format!("{mass} · {length} long")
}

/// What changing to it costs.
fn cost(app: App, rows: Rows, id: LensId) -> El {
    div("cost").test(&format!("lens-cost-{id}")).live(move || {
        let (style, on) = (app.style(), app.document.with(|package| package.active_lens == Some(id)));
        let found = rows.with(|rows| {
            rows.iter().find(|(row, _)| row.lens == id).map(|(row, verdict)| lines(app, style, row, verdict, on))
        });
        found.unwrap_or_else(|| vec![p("quiet", "Not worked out while the package has a fault.")])
    })
}

/// What a move of a mark is counted from.
fn counted_from(package: &Package) -> String {
    let put = "Put a lens on, and every answer is for it.";
    package.lens().map_or_else(
        || put.to_owned(),
        |lens| format!("{put} Marks move from where they go with \"{}\", which is on.", lens.name),
    )
}

fn lines(app: App, style: Style, row: &LensRow, told: &LensVerdict, on: bool) -> Vec<El> {
    let id = row.lens;
    let mut lines =
        vec![p("cost__verdict", &verdict(style, row, told.verdict, on)).test(&format!("lens-verdict-{id}"))];
    lines.extend(told.reasons.iter().map(|reason| of_severity(reason.severity(), &reason.words(&style))));
    lines.extend(ways(app, id, on, &told.reasons));
    lines.push(marks(style, row, on));
    if let Some(tightest) = &row.tightest {
        let share = style.show(Kind::Share, tightest.headroom.value);
        let words = format!("{share} in hand ({}, {})", tightest.axis, tightest.move_name);
        let torque = line(&format!("lens-torque-{id}"), "Torque", &words);
        lines.push(torque.attr("data-value", &format!("{}", tightest.headroom.value)));
    }
    if let Some(tune) = row.tune {
        lines.push(line(&format!("lens-tune-{id}"), "Tune", tune_words(tune)));
    }
    lines
}

fn line(test: &str, name: &str, words: &str) -> El {
    div("cost__line").test(test).child(span("cost__name").words(name)).child(span("cost__words").words(words))
}

/// In the words of its preview: a list that says yes where that says no would be believed.
fn verdict(style: Style, row: &LensRow, verdict: Verdict, on: bool) -> String {
    let said = match (verdict, on, row.stays_put) {
        (Verdict::No, true, _) => "It is on, and this stops the job:",
        (Verdict::No, false, _) => "No, because of this:",
        (Verdict::YesIf, true, _) => "It is on, if this is minded:",
        (Verdict::YesIf, false, Some(chance)) if row.may_stay => {
            let chance = stays_put(style, chance);
            return format!("Yes, and the marks may stay (every axis stays put: {chance}), if this is minded:");
        }
        (Verdict::YesIf, false, _) => "Yes, with its own marks, if this is minded:",
        (Verdict::Yes, true, _) => "It is on.",
        (Verdict::Yes, false, Some(chance)) => return yes(style, row.may_stay, chance),
        (Verdict::Yes, false, None) => "Yes, with its own marks.",
    };
    said.to_owned()
}

/// Its marks: each with how far it is from where it goes with the lens that is on, and what is left of its travel.
fn marks(style: Style, row: &LensRow, on: bool) -> El {
    let cell = |words: &str| el("td").words(words);
    let one = |slide: &LensMark| {
        let left = match slide.beyond_m {
            Some(beyond_m) => format!("{} short", style.show(Kind::Mark, beyond_m)),
            None => style.show(Kind::Mark, slide.left_m),
        };
        el("tr")
            .test(&format!("lens-mark-{}-{}", row.lens, slide.slide))
            .attr("data-value", &format!("{}", slide.target_m.value))
            .child(el("th").attr("scope", "row").words(&slide.name))
            .child(cell(&style.show(Kind::Mark, slide.target_m.value)))
            .children((!on).then(|| cell(&move_words(style, slide))))
            .child(cell(&left))
    };
    let heads = ["Slide", "mark", "move", "to spare"].into_iter().filter(|word| !on || *word != "move");
    let head = |word: &str| el("th").attr("scope", "col").words(word);
    el("table")
        .class("lens__marks")
        .attr("aria-label", "Marks")
        .child(el("thead").child(el("tr").children(heads.map(head))))
        .child(el("tbody").children(row.slides.iter().map(one)))
}

/// How far the mark is from where it goes with the lens that is on.
fn move_words(style: Style, slide: &LensMark) -> String {
    if slide.change_m.abs() < SET_WITHIN_M {
        return "the same".to_owned();
    }
    format!("{} {}", slide.word, style.show(Kind::Mark, slide.change_m.abs()))
}

fn tune_words(tune: TuneVerdict) -> &'static str {
    match tune {
        TuneVerdict::Keep => "keep",
        TuneVerdict::Check => "check",
        TuneVerdict::Redo => "tune again",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_stands_after_its_lens_and_is_one_of_its_own() {
        let mut package = codec::library::demo();
        let (first, count) = (package.lenses[0].id, package.lenses.len());
        let added = duplicate(&mut package, first);
        assert_eq!(added, Some(package.lenses[1].id));
        assert_eq!(package.lenses.len(), count + 1);
        assert_eq!(package.lenses[1].mass, package.lenses[0].mass);
        assert!(solver::check(&package).is_ok());
    }

    #[test]
    fn the_lens_that_is_on_can_be_removed() {
        let mut package = codec::library::demo();
        let id = package.lenses[0].id;
        package.active_lens = Some(id);
        remove(&mut package, id);
        assert_eq!(package.active_lens, None);
        assert!(solver::check(&package).is_ok());
    }
}
