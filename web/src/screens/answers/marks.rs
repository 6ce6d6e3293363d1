//! One large row for each slide, in balancing order: where its mark goes.

use std::rc::Rc;

use solver::bounds;
use solver::report::SlideReport;

use super::{Inside, sheet};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::later;
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::help::help;
use crate::ui::number::number;
use crate::ui::reasons::{row, summary};
use crate::ui::rule::{self, Rule};
use crate::words::HOLD_THE_CAMERA;

/// Below this a mark needs no moving: scales are read to a millimetre.
const SET_WITHIN_M: f64 = 0.000_5;

/// The marks.
pub(crate) fn view(app: App) -> El {
    let ids = move || {
        let ids = |slides: &[SlideReport]| slides.iter().map(|slide| slide.slide.clone()).collect();
        app.document.report(|report| ids(&report.slides)).unwrap_or_default()
    };
    let off = move || app.document.report(|report| report.slides.iter().any(|slide| !is_set(slide))) == Some(true);
    sheet("marks-title", "Marks")
        .class("marks")
        .child(help(
            "marks",
            "A mark is the reading of a slide's own scale, in millimetres or inches; ± is how far the true one may be off, to spare is what remains to the end of travel.",
        ))
        .child(lens(app))
        .child(p("caution", HOLD_THE_CAMERA))
        .child(div("marks__list").each(ids, move |id| mark(app, id)))
        .child(
            el("button")
                .class("button")
                .attr("type", "button")
                .test("set-all")
                .live_flag("disabled", move || !off())
                .press(move || later::then(move || set_to_target(app, None)))
                .live_words(move || {
                    if off() { "I have set all marks as shown" } else { "All marks stand where they should" }.to_owned()
                }),
        )
}

/// Marks are for one lens: which, and the way to another.
fn lens(app: App) -> El {
    let none = move || app.document.with(|package| package.lenses.is_empty());
    let name = move || app.document.with(|package| package.lens().map_or("No lens", |lens| &lens.name).to_owned());
    let change = el("a").attr("href", &Screen::Lenses.hash()).test("to-lenses").words("Change the lens");
    div("marks__lens").hidden(none).child(span("marks__name").test("lens-on").live_words(name)).child(change)
}

fn mark(app: App, id: &str) -> El {
    let slide = MarkReader::new(app, id);
    let name = slide.now(|_, slide| slide.name.clone()).unwrap_or_default();
    let set = slide.is_set();
    let head = summary()
        .child(span("mark__name").words(&name))
        .child(
            span("mark__target")
                .child(
                    span("").live_words(slide.words(|app, slide| app.style().bare(Kind::Mark, slide.target_m.value))),
                )
                .child(span("mark__unit").live_words(move || app.style().unit(Kind::Mark).to_owned())),
        )
        .child(span("mark__move").live_class("mark__move--set", set).live_words(slide.words(move_words)))
        .child(span("mark__detail").live_words(slide.words(detail)))
        .child(rule::view(app, {
            let slide = slide.clone();
            move || {
                slide.now(|_, slide| Rule {
                    range_m: slide.range_m,
                    mark_m: slide.mark_m,
                    target_m: slide.target_m.value,
                    u_m: slide.target_m.u,
                })
            }
        }));
    row(app, "mark", &format!("mark-{id}"), head, Inside::Mark(id.to_owned()))
        .live_value(move || slide.now(|_, slide| slide.target_m.value))
}

/// The field for where a slide stands now. `test` tells two of them apart that are on one page.
pub(crate) fn present_mark(app: App, id: &str, name: &str, test: &str) -> El {
    let (read, write) = (id.to_owned(), id.to_owned());
    number(
        format!("{name}: present mark"),
        Kind::Mark,
        &bounds::MARK_M,
        format!("{test}-{id}"),
        move |package| package.head.slides().find(|slide| slide.id == read).map(|slide| slide.mark_m),
        move |package, mark_m| {
            if let Some(slide) = package.head.slides_mut().find(|slide| slide.id == write) {
                slide.mark_m = mark_m.clamp(slide.range_m[0], slide.range_m[1]);
            }
        },
    )
    .view(app)
}

/// Reads one slide of the report.
#[derive(Clone)]
pub(crate) struct MarkReader {
    app: App,
    id: Rc<str>,
}

impl MarkReader {
    /// A reader of the slide with this id.
    pub(crate) fn new(app: App, id: &str) -> Self {
        Self { app, id: Rc::from(id) }
    }

    /// What `read` says of it now; `None` when the report does not hold it.
    pub(crate) fn now<T>(&self, read: impl FnOnce(App, &SlideReport) -> T) -> Option<T> {
        let find = |slides: &[SlideReport]| {
            slides.iter().find(|slide| *slide.slide == *self.id).map(|slide| read(self.app, slide))
        };
        self.app.document.report(|report| find(&report.slides)).flatten()
    }

    /// Words that follow it.
    pub(crate) fn words(&self, write: fn(App, &SlideReport) -> String) -> impl Fn() -> String + 'static {
        let reader = self.clone();
        move || reader.now(write).unwrap_or_default()
    }

    /// Whether it stands where it should, followed.
    pub(crate) fn is_set(&self) -> impl Fn() -> bool + 'static {
        let reader = self.clone();
        move || reader.now(|_, slide| is_set(slide)) != Some(false)
    }
}

fn is_set(slide: &SlideReport) -> bool {
    slide.move_m.abs() < SET_WITHIN_M
}

fn move_words(app: App, slide: &SlideReport) -> String {
    if slide.balances.is_none() {
        return "stays".to_owned();
    }
    if is_set(slide) {
        return "is set".to_owned();
    }
    format!("{} {}", slide.word, app.style().show(Kind::Mark, slide.move_m.abs()))
}

fn detail(app: App, slide: &SlideReport) -> String {
    let style = app.style();
    if let Some(beyond_m) = slide.beyond_m {
        return format!("end of travel, {} short", style.show(Kind::Mark, beyond_m));
    }
    let left = style.show(Kind::Mark, slide.left_m);
    format!("{} · {left} to spare", style.plus_minus(Kind::Mark, slide.target_m.u))
}

/// The technician says that a mark, or every mark, has been set.
pub(crate) fn set_to_target(app: App, only: Option<&str>) {
    let read =
        |slides: &[SlideReport]| slides.iter().map(|slide| (slide.slide.clone(), slide.target_m.value)).collect();
    let mut targets: Vec<(String, f64)> = app.document.report(|report| read(&report.slides)).unwrap_or_default();
    targets.retain(|(id, _)| only.is_none_or(|only| only == id));
    app.document.edit(move |package| {
        for slide in package.head.slides_mut() {
            if let Some((_, target_m)) = targets.iter().find(|(id, _)| *id == slide.id) {
                slide.mark_m = *target_m;
            }
        }
    });
}
