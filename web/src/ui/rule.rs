//! A slide drawn as a printed rule: what the technician sees on the head, with the pointer where it stands and the one
//! where it goes.

use leptos::prelude::*;

use crate::app::App;
use crate::show::Style;
use crate::state::prefs::Units;

/// The drawing is this wide and high, in its own units.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 46.0;
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

    /// The drawing.
    pub(crate) fn view(app: App, rule: Signal<Option<Rule>>) -> AnyView {
        let scale = Memo::new(move |_| rule.get().map(|rule| rule.range_m));
        view! {
            <svg class="rule" viewBox=format!("0 0 {WIDTH} {HEIGHT}") aria-hidden="true" focusable="false">
                {move || scale.get().map(|range_m| ticks(app.style(), range_m))}
                <rect
                    class="rule__doubt" y=EDGE - 9.0 height="9"
                    x=move || rule.get().map(|rule| rule.at(rule.target_m - rule.u_m))
                    width=move || rule.get().map(|rule| (rule.at(rule.target_m + rule.u_m) - rule.at(rule.target_m - rule.u_m)).max(1.0))
                />
                <path
                    class="rule__target"
                    d=move || rule.get().map(|rule| format!("M{:.1} {EDGE}l-6 -14h12z", rule.at(rule.target_m)))
                />
                <path
                    class="rule__present"
                    d=move || rule.get().map(|rule| format!("M{0:.1} {1}V{2}M{0:.1} {EDGE}l-5 -11h10z", rule.at(rule.mark_m), EDGE, EDGE + 13.0))
                />
            </svg>
        }
        .into_any()
    }
}

fn ticks(style: Style, range_m: [f64; 2]) -> AnyView {
    let rule = Rule { range_m, mark_m: 0.0, target_m: 0.0, u_m: 0.0 };
    let [low, high] = range_m;
    // Fine, middle and numbered divisions, as rules are printed: 1-5-10 in millimetres, eighths and halves in inches.
    let (unit_m, steps): (f64, &[[f64; 3]]) = match style.units {
        Units::Metric => (0.001, &[[1.0, 5.0, 10.0], [2.0, 10.0, 20.0], [5.0, 10.0, 50.0], [10.0, 50.0, 100.0]]),
        Units::Imperial => (0.0254, &[[0.0625, 0.25, 0.5], [0.125, 0.5, 1.0], [0.25, 1.0, 2.0], [0.5, 1.0, 4.0]]),
    };
    let span = (high - low) / unit_m;
    let [fine, middle, numbered] = *steps.iter().find(|step| span / step[0] <= MOST_TICKS).unwrap_or(&steps[3]);
    let first = (low / unit_m / fine).ceil();
    let mut path = format!("M{:.1} {EDGE}H{:.1}", rule.at(low), rule.at(high));
    let mut labels = Vec::new();
    let mut at = first * fine;
    while at <= high / unit_m + 1e-6 {
        let x = rule.at(at * unit_m);
        let on = |step: f64| (at / step - (at / step).round()).abs() < 1e-6;
        let length = if on(numbered) { 13.0 } else if on(middle) { 9.0 } else { 5.0 };
        path.push_str(&format!("M{x:.1} {EDGE}v{length}"));
        if on(numbered) {
            let decimals = usize::from(numbered < 1.0);
            labels.push(view! { <text class="rule__label" x=format!("{x:.1}") y=EDGE + 25.0>{style.decimal(at, decimals)}</text> });
        }
        at += fine;
    }
    view! { <path class="rule__ticks" d=path/>{labels} }.into_any()
}
