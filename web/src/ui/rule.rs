//! A slide drawn as a printed rule: what the technician sees on the head, with the pointer where it stands and the one
//! where it goes.

use std::fmt::Write as _;
use std::rc::Rc;

use crate::app::App;
use crate::dom::{El, svg};
use crate::show::{Kind, Style};

/// The drawing is this wide and high, in its own units.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 49.0;
/// From either edge to the end of travel.
const MARGIN: f64 = 12.0;
/// Height of the edge of the rule that the ticks stand on.
const EDGE: f64 = 18.0;
/// Most ticks that stay apart on a phone.
const MOST_TICKS: f64 = 48.0;

/// What one rule shows, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rule {
    /// Lowest and highest mark.
    pub(crate) range_m: [f64; 2],
    /// Present mark.
    pub(crate) mark_m: f64,
    /// Target mark.
    pub(crate) target_m: f64,
    /// Standard uncertainty of the target.
    pub(crate) u_m: f64,
}

impl Rule {
    /// Where a mark stands in the drawing; beyond the travel it stops just outside the end.
    fn at(&self, mark_m: f64) -> f64 {
        let [low, high] = self.range_m;
        let span = (high - low).max(1e-4);
        MARGIN + (WIDTH - 2.0 * MARGIN) * ((mark_m - low) / span).clamp(-0.02, 1.02)
    }
}

/// The drawing of a rule that follows what it shows.
pub(crate) fn view(app: App, rule: impl Fn() -> Option<Rule> + 'static) -> El {
    let rule: Rc<dyn Fn() -> Option<Rule>> = Rc::new(rule);
    let path = |class: &str, draw: fn(&Rule) -> String| {
        let rule = rule.clone();
        svg("path").class(class).live_attr("d", move || rule().map(|rule| draw(&rule)))
    };
    let scale = {
        let (shown, drawn) = (rule.clone(), rule.clone());
        // Drawn anew for another travel or other units, not for every mark.
        let keys = move || shown().map(|rule| key(app.style(), rule.range_m)).into_iter().collect();
        svg("g").each(keys, move |_| {
            svg("g").children(drawn().map(|rule| ticks(app.style(), rule.range_m)).unwrap_or_default())
        })
    };
    svg("svg")
        .class("rule")
        .attr("viewBox", &format!("0 0 {WIDTH} {HEIGHT}"))
        .attr("aria-hidden", "true")
        .attr("focusable", "false")
        .child(path("rule__doubt", |rule| {
            let (from, to) = (rule.at(rule.target_m - rule.u_m), rule.at(rule.target_m + rule.u_m));
            format!("M{from:.1} {EDGE}V{}H{to:.1}V{EDGE}z", EDGE - 9.0)
        }))
        .child(scale)
        .child(path("rule__target", |rule| format!("M{:.1} {EDGE}l-6 -14h12z", rule.at(rule.target_m))))
        .child(path("rule__present", |rule| {
            let at = rule.at(rule.mark_m);
            format!("M{at:.1} 1V{}M{at:.1} {EDGE}l-5 -11h10z", EDGE + 13.0)
        }))
}

/// What the scale depends on.
fn key(style: Style, [low, high]: [f64; 2]) -> String {
    format!("{} {} {}", low.to_bits(), high.to_bits(), style.bare(Kind::Length, 1.234_5))
}

/// Fine, middle and numbered divisions, as rules are printed.
fn divisions(style: Style, span_m: f64) -> (f64, [f64; 3]) {
    const MILLIMETRES: [[f64; 3]; 4] = [[1.0, 5.0, 10.0], [2.0, 10.0, 20.0], [5.0, 10.0, 50.0], [10.0, 50.0, 100.0]];
    const INCHES: [[f64; 3]; 4] = [[0.0625, 0.25, 0.5], [0.125, 0.5, 1.0], [0.25, 1.0, 2.0], [0.5, 1.0, 4.0]];
    let (unit_m, steps) = if style.imperial() { (0.0254, INCHES) } else { (0.001, MILLIMETRES) };
    let fits = steps.into_iter().find(|[fine, ..]| span_m / unit_m / fine <= MOST_TICKS);
    (unit_m, fits.unwrap_or(steps[3]))
}

fn ticks(style: Style, range_m: [f64; 2]) -> Vec<El> {
    let rule = Rule { range_m, mark_m: 0.0, target_m: 0.0, u_m: 0.0 };
    let [low, high] = range_m;
    let (unit_m, [fine, middle, numbered]) = divisions(style, high - low);
    let mut path = format!("M{:.1} {EDGE}H{:.1}", rule.at(low), rule.at(high));
    let mut drawn = Vec::new();
    let mut at = (low / unit_m / fine).ceil() * fine;
    while at <= high / unit_m + 1e-6 {
        let x = rule.at(at * unit_m);
        let on = |step: f64| (at / step - (at / step).round()).abs() < 1e-6;
        let length = if on(numbered) {
            let label = style.plain(at, usize::from(numbered < 1.0));
            let text = svg("text").class("rule__label").attr("x", &format!("{x:.1}"));
            drawn.push(text.attr("y", &format!("{}", EDGE + 27.0)).words(&label));
            13
        } else if on(middle) {
            9
        } else {
            5
        };
        // Writing into a string cannot fail.
        let _ = write!(path, "M{x:.1} {EDGE}v{length}");
        at += fine;
    }
    drawn.push(svg("path").class("rule__ticks").attr("d", &path));
    drawn
}
