//! The secondary tether: what it must stand.

use solver::bounds::Bounds;
use solver::constants::GRAVITY_M_S2;
use solver::grip::{SLACK_M, STIFFNESS_N_M, TETHER_CAUTIONS, Tether, tether_force_n};

use super::cautions;
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::reading::reading;
use crate::screens::shared::{line, section};
use crate::show::Kind;

/// The stiffness is entered in N/mm, as what ropes are made of is rated in kilonewtons.
const N_M_PER_N_MM: f64 = 1e3;
const STIFFNESS_N_MM: Bounds = Bounds {
    min: STIFFNESS_N_M.min / N_M_PER_N_MM,
    max: STIFFNESS_N_M.max / N_M_PER_N_MM,
    steps_per_unit: STIFFNESS_N_M.steps_per_unit * N_M_PER_N_MM,
    unit: "N/mm",
};

/// A rope is not known better than this.
fn two_digits(force_n: f64) -> f64 {
    let step = [1.0, 10.0, 100.0].into_iter().rfind(|step| force_n >= 10.0 * step).unwrap_or(1.0);
    (force_n / step).round() * step
}

/// The tether.
pub(super) fn view(app: App) -> El {
    let slack = reading("Slack in it", Kind::Length, &SLACK_M, "tether-slack").usual(0.05);
    let stiffness = reading("Stiffness with its fixings", Kind::Plain, &STIFFNESS_N_MM, "tether-stiffness")
        .usual(200.0)
        .unit("N/mm")
        .help("Force over stretch. A short steel rope is stiffer than a long one, and pulls harder. Typical: ask who rates it.");
    let answer = move || {
        let mass_kg = app.document.report(|report| report.mass.all_up_kg.value)?;
        let tether = Tether { mass_kg, slack_m: slack.get()?, stiffness_n_m: N_M_PER_N_MM * stiffness.get()? };
        Some((tether_force_n(&tether).ok()?, GRAVITY_M_S2 * mass_kg))
    };
    let lines = move || match answer() {
        Some((force_n, weight_n)) => {
            let style = app.style();
            let times = style.plain(force_n / weight_n, 1);
            let words = format!("{}: {times} times the weight", style.show(Kind::Force, two_digits(force_n)));
            vec![
                line("tether-force", "When it catches the head and all on it", &words)
                    .attr("data-value", &format!("{force_n}")),
            ]
        }
        None => vec![p("quiet", "Fill in both fields.")],
    };
    section("grip-tether", "Secondary tether")
        .child(div("table").live(lines))
        .child(p("quiet", "Energy of the fall into an elastic rope, nothing lost on the way: the safe side."))
        .children(cautions(&TETHER_CAUTIONS))
        .child(div("fields").child(slack.view(app)).child(stiffness.view(app)))
}
