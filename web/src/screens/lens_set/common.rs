//! One set of marks for many lenses: which lenses, the marks, what each axis and each lens is left with.

use leptos::prelude::*;
use solver::InputError;
use solver::lens_set::common::{CommonLens, CommonMark, CommonMarks, common_marks};
use solver::package::LensId;

use super::{arithmetic, fault, in_hand, room, trim};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::route::Screen;
use crate::screens::shared::{back, button, line, section};
use crate::show::{Kind, Style};
use crate::ui::choice::switch;
use crate::ui::help::help;
use crate::words::HOLD_THE_CAMERA;

/// What is known of the chosen lenses; `None` while none is chosen, the faults while the package has any.
type Found = Memo<Result<Option<CommonMarks>, Vec<InputError>>>;

/// The screen.
pub(crate) fn view(app: App) -> El {
    let left_out = RwSignal::new(Vec::<LensId>::new());
    let found: Found = Memo::new(move |_| {
        let left_out = left_out.get();
        app.document.with(|package| {
            let chosen: Vec<LensId> =
                package.lenses.iter().map(|lens| lens.id).filter(|id| !left_out.contains(id)).collect();
            common_marks(package, &chosen)
        })
    });
    let read = move |show: fn(Style, &CommonMarks) -> Vec<El>| {
        found.with(|found| match found {
            Ok(Some(common)) => show(app.style(), common),
            Ok(None) => vec![p("quiet", "Choose at least one lens.")],
            Err(_) => fault(),
        })
    };
    div("screen")
        .child(back(Screen::Lenses, "to-lenses", "All lenses"))
        .child(chosen(app, left_out))
        .child(
            section("common-marks", "One set of marks for these lenses")
                .child(help(
                    "one set of marks",
                    "Marks at which the worst of these lenses is as little out of balance as it can be, axis by axis.",
                ))
                .child(p("caution", HOLD_THE_CAMERA))
                .child(div("table").live(move || read(marks)))
                .child(set(app, found)),
        )
        .child(section("common-lenses", "What each lens then pays").child(div("table").live(move || read(lenses))))
        .child(section("common-axes", "What each axis is left with").child(div("rows").live(move || read(axes))))
        .child(trim::view(app, left_out))
        .child(room::view(app))
}

fn chosen(app: App, left_out: RwSignal<Vec<LensId>>) -> El {
    let ids = move || app.document.with(|package| package.lenses.iter().map(|lens| lens.id.to_string()).collect());
    let tick = move |id: &str| {
        let id: LensId = id.parse().unwrap_or_default();
        let name = app
            .document
            .now(|package| package.lenses.iter().find(|lens| lens.id == id).map(|lens| lens.name.clone()))
            .unwrap_or_default();
        let take = move |on: bool| {
            left_out.update(|out| {
                out.retain(|each| *each != id);
                if !on {
                    out.push(id);
                }
            });
        };
        let on = move || left_out.with(|out| !out.contains(&id));
        div("list__item").child(switch(&name, &format!("common-{id}"), on, take))
    };
    section("common-chosen", "Which lenses").child(div("list").each(ids, tick))
}

/// Writes the marks as those at which the slides stand: undo takes it back.
fn set(app: App, found: Found) -> El {
    let known = move || found.with(|found| matches!(found, Ok(Some(_))));
    let set = move || {
        let marks: Vec<(String, f64)> = found.with_untracked(|found| match found {
            Ok(Some(common)) => common.slides.iter().map(|mark| (mark.slide.clone(), mark.mark_m)).collect(),
            _ => Vec::new(),
        });
        app.document.edit(move |package| {
            for slide in package.head.slides_mut() {
                if let Some((_, mark_m)) = marks.iter().find(|(id, _)| *id == slide.id) {
                    slide.mark_m = *mark_m;
                }
            }
        });
    };
    div("buttons").child(button("common-set", "I have set them", set).class("button--main")).hidden(move || !known())
}

fn marks(style: Style, common: &CommonMarks) -> Vec<El> {
    let words = |mark: &CommonMark| {
        let moved = if mark.move_m.abs() < solver::lens_set::change::SET_WITHIN_M {
            "as it stands".to_owned()
        } else {
            format!("{} {}", mark.word, style.show(Kind::Mark, mark.move_m.abs()))
        };
        format!("{moved}, {} to spare", style.show(Kind::Mark, mark.left_m))
    };
    common
        .slides
        .iter()
        .map(|mark| {
            let at = format!("{} {}", mark.name, style.show(Kind::Mark, mark.mark_m));
            line(&format!("common-mark-{}", mark.slide), &at, &words(mark))
                .attr("data-value", &format!("{}", mark.mark_m))
        })
        .collect()
}

fn lenses(style: Style, common: &CommonMarks) -> Vec<El> {
    let hold = common.lenses.iter().filter(|lens| lens.hangs).count();
    let said = format!("{hold} of {} stay put on every axis, motors off.", common.lenses.len());
    let line = |lens: &CommonLens| {
        line(&format!("common-lens-{}", lens.lens), &lens.name, &lens_words(style, lens))
            .attr("data-value", if lens.hangs { "hangs" } else { "turns" })
    };
    std::iter::once(p("cost__verdict", &said).test("common-verdict")).chain(common.lenses.iter().map(line)).collect()
}

fn lens_words(style: Style, lens: &CommonLens) -> String {
    let holds = if lens.hangs { "stays put" } else { "turns, motors off" };
    match (&lens.tightest, &lens.tightest_own) {
        (Some(common), Some(own)) => {
            let own = style.show(Kind::Share, own.headroom.value);
            format!("{holds}; {}, {own} at its own marks", in_hand(style, common))
        }
        _ => holds.to_owned(),
    }
}

fn axes(style: Style, common: &CommonMarks) -> Vec<El> {
    common
        .axes
        .iter()
        .map(|axis| {
            let worst = style.show(Kind::Unbalance, axis.worst_kg_m);
            let held = match axis.held_kg_m {
                Some(held_kg_m) => format!(", friction holds {}", style.show(Kind::Unbalance, held_kg_m)),
                None => ", geared".to_owned(),
            };
            arithmetic(style, &axis.name, &format!("{worst}{held}"), &axis.arithmetic)
        })
        .collect()
}
