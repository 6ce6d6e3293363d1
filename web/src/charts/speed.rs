//! Demand against speed: a curve for each axis, the stop that it runs into, and how far the reserve lasts.

use leptos::prelude::*;
use solver::package::MoveId;

use super::curves::{Curves, curves, round_step, spread};
use super::table;
use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, svg};
use crate::drawing::follow_width;
use crate::drawing::pen::Pen;
use crate::drawing::projection::Frame;
use crate::show::{Kind, Style};
use crate::ui::choice::listed;

/// Room round the plot, px: for the numbers, the words at the ends of the curves, the speeds below.
const LEFT: f64 = 50.0;
const RIGHT: f64 = 62.0;
const TOP: f64 = 26.0;
const BELOW: f64 = 50.0;
/// Highest use that is drawn.
const MOST: f64 = 1.3;
/// Strokes that tell the curves apart besides their words.
const STROKES: [&str; 4] = [
    "speed__curve",
    "speed__curve speed__curve--long",
    "speed__curve speed__curve--dash",
    "speed__curve speed__curve--dot",
];

/// Everything that the chart is drawn from.
#[derive(Debug, Clone, PartialEq)]
struct Shown {
    curves: Curves,
    reserve: f64,
    style: Style,
}

/// The chart, with the choice of the move; empty while there is none.
#[inline(never)]
pub(crate) fn against_speed(app: App) -> El {
    let width_px = RwSignal::new(328.0);
    let chosen = RwSignal::new(None::<MoveId>);
    let id = Memo::new(move |_| {
        let tightest = app.document.report(|report| Some(report.torque.known()?.tightest.as_ref()?.move_id)).flatten();
        app.document.with(|package| {
            let has = |id: &MoveId| package.moves.iter().any(|each| each.id == *id);
            chosen.get().filter(has).or(tightest).or(package.moves.first().map(|each| each.id))
        })
    });
    let shown = Memo::new(move |_| {
        let id = id.get()?;
        let (curves, reserve) = app.document.with(|package| (curves(package, id), package.reserve.torque_headroom));
        Some(Shown { curves: curves?, reserve, style: app.style() })
    });
    let plot = div("speed__plot").live(move || {
        shown.with(|shown| shown.as_ref().map(|shown| vec![picture(shown, width_px.get())]).unwrap_or_default())
    });
    follow_width(plot.raw(), width_px);
    el("figure")
        .class("speed")
        .test("torque-speed")
        .hidden(move || shown.with(Option::is_none))
        .child(el("figcaption").class("strips__title").words("How demand grows with speed"))
        .child(choice(app, chosen, id))
        .child(plot)
        .child(
            p("speed__told", "").live_words(move || shown.with(|shown| shown.as_ref().map_or_else(String::new, told))),
        )
        .child(
            div("speed__table").live(move || {
                shown.with(|shown| shown.as_ref().map(|shown| vec![listened(shown)]).unwrap_or_default())
            }),
        )
}

/// Which move; nothing to choose when there is but one.
fn choice(app: App, chosen: RwSignal<Option<MoveId>>, id: Memo<Option<MoveId>>) -> El {
    let moves = Memo::new(move |_| {
        let named = |package: &solver::Package| {
            package.moves.iter().map(|each| (each.id, each.name.clone())).collect::<Vec<_>>()
        };
        app.document.with(named)
    });
    let options = move || {
        let now = id.get().map(|id| id.to_string()).unwrap_or_default();
        (moves.get().into_iter().map(|(id, name)| (id.to_string(), name)).collect(), now)
    };
    let label = el("label").class("field__label").attr("for", "f-speed-move").words("Move");
    let select = el("select").class("field__select").attr("id", "f-speed-move").test("speed-move");
    let select = listed(select, options).on("change", move |event| chosen.set(event_value(&event).parse().ok()));
    div("field").hidden(move || moves.with(|moves| moves.len() < 2)).child(label).child(select)
}

/// Where use and speed lie on the plot.
struct Plot {
    frame: Frame,
    end_m_s: f64,
}

impl Plot {
    fn at(&self, speed_m_s: f64, share: f64) -> [f64; 2] {
        self.frame.at(speed_m_s / self.end_m_s, 1.0 - share / MOST)
    }

    /// A curve, cut off where it leaves the plot at the top.
    fn curve(&self, speeds_m_s: &[f64], uses: &[f64]) -> Vec<[f64; 2]> {
        let mut points: Vec<[f64; 2]> = Vec::new();
        let mut before: Option<(f64, f64)> = None;
        for (speed, share) in speeds_m_s.iter().copied().zip(uses.iter().copied()) {
            if share > MOST {
                if let Some((speed_before, share_before)) = before {
                    let part = (MOST - share_before) / (share - share_before);
                    points.push(self.at(speed_before + part * (speed - speed_before), MOST));
                }
                break;
            }
            points.push(self.at(speed, share));
            before = Some((speed, share));
        }
        points
    }
}

fn line(class: &str, data: &str) -> El {
    svg("path").class(class).attr("d", data)
}

fn words(class: &str, [x, y]: [f64; 2], words: &str) -> El {
    svg("text").class(class).attr("x", &format!("{x:.1}")).attr("y", &format!("{y:.1}")).words(words)
}

fn picture(shown: &Shown, width_px: f64) -> El {
    let height = (0.62 * width_px).clamp(220.0, 420.0);
    let frame = Frame { left: LEFT, top: TOP, right: width_px - RIGHT, bottom: height - BELOW };
    let curves = &shown.curves;
    let end_m_s = curves.speeds_m_s.last().copied().unwrap_or(1.0).max(1e-3);
    let plot = Plot { frame, end_m_s };
    let mut drawn = stop(&plot, shown.reserve);
    drawn.extend(scales(&plot, shown));
    let mut ends = Vec::new();
    for (curve, stroke) in curves.axes.iter().zip(STROKES.into_iter().cycle()) {
        let points = plot.curve(&curves.speeds_m_s, &curve.uses);
        let mut pen = Pen::default();
        pen.line(&points);
        drawn.push(line(stroke, &pen.done()));
        ends.push(points.last().copied().unwrap_or(plot.at(0.0, MOST)));
    }
    let heights: Vec<f64> = ends.iter().map(|end| end[1]).collect();
    let apart = spread(&heights, 15.0, [TOP + 4.0, frame.bottom]);
    for ((curve, end), y) in curves.axes.iter().zip(&ends).zip(apart) {
        drawn.push(line("speed__lead", &format!("M{:.1} {:.1}L{:.1} {y:.1}", end[0], end[1], frame.right + 10.0)));
        drawn.push(words("drawing__word", [frame.right + 13.0, y + 4.0], &curve.name));
    }
    drawn.extend(pointers(&plot, shown));
    drawn.extend(notes(&plot, shown.reserve));
    svg("svg")
        .class("speed__picture")
        .attr("viewBox", &format!("0 0 {width_px:.0} {height:.0}"))
        .attr("aria-hidden", "true")
        .children(drawn)
}

/// The stop at the limit, hatched beyond, and the zone of the reserve in front of it.
fn stop(plot: &Plot, reserve: f64) -> Vec<El> {
    let frame = plot.frame;
    let [_, at_stop] = plot.at(0.0, 1.0);
    let [_, at_reserve] = plot.at(0.0, 1.0 - reserve);
    let mut zone = Pen::default();
    if at_reserve - at_stop > 1.0 {
        zone.oblique_lines(&Frame { top: at_stop, bottom: at_reserve, ..frame }, 11.0);
    }
    let mut beyond = Pen::default();
    beyond.oblique_lines(&Frame { top: at_stop - 7.0, bottom: at_stop, ..frame }, 5.0);
    vec![
        line("strips__zone", &zone.done()),
        line("strips__zone-edge", &format!("M{:.1} {at_reserve:.1}H{:.1}", frame.left, frame.right)),
        line("strips__stop-hatch", &beyond.done()),
        line("strips__stop", &format!("M{:.1} {at_stop:.1}H{:.1}", frame.left, frame.right)),
    ]
}

/// What the two lines are; written last, over everything.
fn notes(plot: &Plot, reserve: f64) -> [El; 2] {
    let at = |share: f64, up: f64| {
        let [x, y] = plot.at(0.0, share);
        [x + 6.0, y - up]
    };
    [words("speed__note", at(1.0, 11.0), "The limit"), words("speed__note", at(1.0 - reserve, 6.0), "Your reserve")]
}

/// Frame, numbers of use on the left, of speed below.
fn scales(plot: &Plot, shown: &Shown) -> Vec<El> {
    let frame = plot.frame;
    let mut ticks = Pen::default();
    ticks.line(&[frame.at(0.0, 0.0), frame.at(0.0, 1.0), frame.at(1.0, 1.0)]);
    let mut drawn = Vec::new();
    for share in [0.0, 0.5, 1.0] {
        let [x, y] = plot.at(0.0, share);
        ticks.line(&[[x - 6.0, y], [x, y]]);
        drawn.push(words(
            "speed__number speed__number--left",
            [x - 9.0, y + 4.0],
            &shown.style.show(Kind::Share, share),
        ));
    }
    // Numbers are round in the unit that is shown.
    let unit_m_s = if shown.style.imperial() { 0.447_04 } else { 1.0 / 3.6 };
    let step = round_step(plot.end_m_s / unit_m_s, 5.0);
    let mut index = 0.0;
    while index * step * unit_m_s <= plot.end_m_s {
        let speed_m_s = index * step * unit_m_s;
        let [x, y] = plot.at(speed_m_s, 0.0);
        ticks.line(&[[x, y], [x, y + 6.0]]);
        drawn.push(words("speed__number", [x, y + 19.0], &shown.style.bare(Kind::Speed, speed_m_s)));
        index += 1.0;
    }
    let what = if shown.curves.road { "Speed on the road" } else { "Speed of the air" };
    let unit = shown.style.unit(Kind::Speed);
    drawn.push(words("speed__note speed__note--ends", [frame.right, frame.bottom + 38.0], &format!("{what}, {unit}")));
    drawn.push(line("speed__ticks", &ticks.done()));
    drawn
}

/// The filled pointer at the move's own speed, the open one where the reserve ends.
fn pointers(plot: &Plot, shown: &Shown) -> Vec<El> {
    let at = |class: &str, speed_m_s: f64| {
        let [x, y] = plot.at(speed_m_s, 0.0);
        let top = plot.at(0.0, 1.0 - shown.reserve)[1];
        let from = if class.ends_with("open") { top } else { plot.frame.top };
        [
            line("speed__lead", &format!("M{x:.1} {from:.1}V{y:.1}")),
            line(class, &format!("M{x:.1} {y:.1}l-5.5 -11h11z")),
        ]
    };
    let mut drawn = Vec::new();
    if let Some(fastest_m_s) = shown.curves.fastest_m_s.filter(|fastest_m_s| *fastest_m_s <= plot.end_m_s) {
        drawn.extend(at("strips__open", fastest_m_s));
    }
    drawn.extend(at("speed__own", shown.curves.own_m_s));
    drawn
}

fn told(shown: &Shown) -> String {
    let show = |speed_m_s: f64| shown.style.show(Kind::Speed, speed_m_s);
    let own = show(shown.curves.own_m_s);
    match shown.curves.fastest_m_s {
        Some(fastest_m_s) => format!(
            "This move: {own} (filled pointer). Every axis keeps your reserve up to {} (open pointer).",
            show(fastest_m_s)
        ),
        None => {
            format!("This move: {own} (filled pointer). No speed was found up to which every axis keeps your reserve.")
        }
    }
}

/// The same in a table.
fn listened(shown: &Shown) -> El {
    let curves = &shown.curves;
    let mut heads = vec!["Speed".to_owned()];
    heads.extend(curves.axes.iter().map(|axis| axis.name.clone()));
    let rows: Vec<Vec<String>> = curves
        .speeds_m_s
        .iter()
        .enumerate()
        .map(|(index, speed_m_s)| {
            let mut row = vec![shown.style.show(Kind::Speed, *speed_m_s)];
            let uses = curves.axes.iter().map(|axis| axis.uses.get(index).copied().unwrap_or_default());
            row.extend(uses.map(|share| shown.style.show(Kind::Share, share)));
            row
        })
        .collect();
    table::unseen("Share of the tighter limit of each axis", &heads, &rows)
}
