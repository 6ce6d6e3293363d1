//! Use of torque by axis and move: strips that run towards a stop.

use leptos::prelude::*;

use super::strips::{AxisStrips, Strip, Term, room, strips};
use super::table;
use crate::app::App;
use crate::dom::{El, div, el, span, svg};
use crate::drawing::follow_width;
use crate::drawing::pen::Pen;
use crate::drawing::projection::Frame;
use crate::show::{Kind, Style};

/// Height of a strip's drawing and of the strip in it, px.
const HEIGHT: f64 = 34.0;
const STRIP: [f64; 2] = [3.0, 19.0];

/// Everything that the strips are drawn from.
#[derive(Debug, Clone, PartialEq)]
struct Shown {
    axes: Vec<AxisStrips>,
    reserve: f64,
    style: Style,
}

/// The chart; empty while there is no move.
#[inline(never)]
pub(crate) fn use_of_torque(app: App) -> El {
    let width_px = RwSignal::new(328.0);
    let shown = Memo::new(move |_| {
        let axes = app.document.report(strips).flatten()?;
        let reserve = app.document.with(|package| package.reserve.torque_headroom);
        Some(Shown { axes, reserve, style: app.style() })
    });
    let strips = div("strips__axes")
        .live(move || shown.with(|shown| shown.as_ref().map_or_else(Vec::new, |shown| drawn(shown, width_px.get()))));
    follow_width(strips.raw(), width_px);
    el("figure")
        .class("strips")
        .test("torque-strips")
        .hidden(move || shown.with(Option::is_none))
        .child(el("figcaption").class("strips__title").words("How much of each motor a move takes"))
        .child(legend())
        .child(strips)
        .child(
            div("strips__table").live(move || {
                shown.with(|shown| shown.as_ref().map(|shown| vec![listened(shown)]).unwrap_or_default())
            }),
        )
}

/// The hatchings with their words.
fn legend() -> El {
    let terms = Term::ALL.map(|term| {
        let frame = Frame { left: 0.75, top: 0.75, right: 27.0, bottom: 13.0 };
        entry(segment(term, &frame), term.word())
    });
    let pointer = vec![line("strips__open", "M14 2l6 10h-12z")];
    let frame = Frame { left: 2.0, top: 0.0, right: 24.0, bottom: 14.0 };
    let zone = vec![
        line("strips__zone", &hatched(&frame, 7.0)),
        line("strips__zone-edge", "M2 0V14"),
        line("strips__stop", "M24 0V14"),
    ];
    let others = [(pointer, "Continuous"), (zone, "Your reserve, the limit")];
    let others = others.map(|(swatch, words)| entry(swatch, words));
    el("ul").class("strips__legend").children(terms).children(others)
}

fn entry(swatch: Vec<El>, words: &str) -> El {
    let picture = svg("svg").class("strips__swatch").attr("viewBox", "0 0 28 14").attr("aria-hidden", "true");
    el("li").class("strips__term").child(picture.children(swatch)).child(span("strips__means").words(words))
}

fn line(class: &str, data: &str) -> El {
    svg("path").class(class).attr("d", data)
}

fn drawn(shown: &Shown, width_px: f64) -> Vec<El> {
    let room = room(&shown.axes);
    let axes = shown.axes.iter().map(|axis| {
        let limit = shown.style.show(Kind::Torque, axis.peak_limit_nm);
        let head = el("h3")
            .class("strips__axis")
            .child(span("strips__word").words(&axis.name))
            .child(span("strips__limit").words(&format!("limit {limit}")));
        let rows = axis.strips.iter().map(|strip| row(shown, strip, room, width_px));
        el("section").class("strips__one").child(head).child(el("ul").class("strips__rows").children(rows))
    });
    axes.collect()
}

fn row(shown: &Shown, strip: &Strip, room: f64, width_px: f64) -> El {
    let in_hand = 1.0 - strip.worst_use();
    let share = shown.style.show(Kind::Share, in_hand.abs());
    let words = if in_hand >= 0.0 { format!("{share} in hand") } else { format!("{share} beyond the limit") };
    let told = span("strips__hand").words(&words);
    let told = if in_hand < shown.reserve { told.class("strips__hand--tight") } else { told };
    el("li")
        .class("strips__row")
        .child(div("strips__line").child(span("strips__move").words(&strip.name)).child(told))
        .child(picture(shown.reserve, strip, room, width_px))
}

/// One strip in front of its stop.
fn picture(reserve: f64, strip: &Strip, room: f64, width_px: f64) -> El {
    let at = |share: f64| 0.5 + (width_px - 1.0) * (share / room).clamp(0.0, 1.0);
    let [top, bottom] = STRIP;
    let zone = Frame { left: at(1.0 - reserve), top: 0.0, right: at(1.0), bottom: bottom + 3.0 };
    let beyond = Frame { left: at(1.0), top: 0.0, right: (at(1.0) + 7.0).min(width_px), bottom: bottom + 3.0 };
    let mut drawn = vec![
        line("strips__zone", &hatched(&zone, 7.0)),
        line("strips__zone-edge", &format!("M{:.1} 0V{:.1}", zone.left, zone.bottom)),
        line("strips__base", &format!("M{:.1} {bottom}H{:.1}", at(0.0), at(1.0))),
    ];
    let mut from = 0.0;
    for (term, share) in Term::ALL.into_iter().zip(strip.shares) {
        let frame = Frame { left: at(from), top, right: at(from + share), bottom };
        if frame.width() >= 0.4 {
            drawn.extend(segment(term, &frame));
        }
        from += share;
    }
    drawn.push(line("strips__stop-hatch", &hatched(&beyond, 4.0)));
    drawn.push(line("strips__stop", &format!("M{:.1} 0V{:.1}", at(1.0), bottom + 3.0)));
    let open = at(strip.continuous_use);
    drawn.push(line("strips__open", &format!("M{open:.1} {:.1}l5.5 10.5h-11z", bottom + 2.5)));
    svg("svg")
        .class("strips__picture")
        .attr("viewBox", &format!("0 0 {width_px:.0} {HEIGHT}"))
        .attr("aria-hidden", "true")
        .children(drawn)
}

fn hatched(frame: &Frame, step: f64) -> String {
    let mut pen = Pen::default();
    if frame.width() > 1.0 {
        pen.oblique_lines(frame, step);
    }
    pen.done()
}

/// A piece of a strip: outline and hatching of its term.
fn segment(term: Term, frame: &Frame) -> Vec<El> {
    let mut outline = Pen::default();
    outline.rectangle(frame);
    let mut hatch = Pen::default();
    match term {
        Term::Unbalance => return vec![line("strips__piece strips__piece--solid", &outline.done())],
        Term::Platform => hatch.oblique_lines(frame, 4.5),
        Term::Operator => hatch.level_lines(frame, 3.2),
        Term::Wind => &mut hatch,
        Term::Friction => hatch.upright_lines(frame, 3.2),
    };
    vec![line("strips__piece", &outline.done()), line("strips__hatch", &hatch.done())]
}

/// The same in a table.
fn listened(shown: &Shown) -> El {
    let share = |value: f64| shown.style.show(Kind::Share, value);
    let mut heads = vec!["Axis and move".to_owned()];
    heads.extend(Term::ALL.map(|term| term.word().to_owned()));
    heads.extend(["Peak use".to_owned(), "Continuous use".to_owned()]);
    let rows: Vec<Vec<String>> = shown
        .axes
        .iter()
        .flat_map(|axis| {
            axis.strips.iter().map(move |strip| {
                let mut row = vec![format!("{}, {}", axis.name, strip.name)];
                row.extend(strip.shares.map(share));
                row.extend([share(strip.peak_use), share(strip.continuous_use)]);
                row
            })
        })
        .collect();
    table::unseen("Share of the motors' limits", &heads, &rows)
}
