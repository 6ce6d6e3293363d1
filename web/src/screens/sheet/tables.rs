//! The tables of the prep sheet.

use quantity::{day_clock, hours};
use solver::Report;
use solver::finding_words::{due_min, due_within_min, lasts_h};
use solver::lens_set::LensRow;
use solver::lens_set::change::LensChange;
use solver::lens_set::preview::{LensVerdict, Verdict};
use solver::package::Package;
use solver::report::{MoveTorque, SlideReport, TuneVerdict};

use crate::dom::{El, el, p, span};
use crate::screens::lens_set;
use crate::show::{Kind, Style};

/// Below this a mark need not be moved: scales are read to a millimetre.
const SET_WITHIN_M: f64 = 0.000_5;

/// A table with its heads; the first column names the row.
fn table(name: &str, heads: &[&str], rows: Vec<(String, Vec<String>)>) -> El {
    told_table(name, heads, rows.into_iter().map(|(name, cells)| (name, String::new(), cells)).collect())
}

/// The same, with something told of each row right after its name.
fn told_table(name: &str, heads: &[&str], rows: Vec<(String, String, Vec<String>)>) -> El {
    let head = |word: &&str| el("th").attr("scope", "col").words(word);
    let row = |(name, told, cells): (String, String, Vec<String>)| {
        let cells = cells.iter().map(|cell| el("td").words(cell));
        let told = (!told.is_empty()).then(|| span("prep__told").words(&told));
        el("tr").child(el("th").attr("scope", "row").words(&name).children(told)).children(cells)
    };
    el("table")
        .class("prep__table")
        .attr("aria-label", name)
        .child(el("thead").child(el("tr").children(heads.iter().map(head))))
        .child(el("tbody").children(rows.into_iter().map(row)))
}

/// One row for each slide.
pub(super) fn marks(style: Style, report: &Report) -> El {
    let row = |slide: &SlideReport| {
        let target = style.bare(Kind::Mark, slide.target_m.value);
        let (u, left) = (style.bare_plus_minus(Kind::Mark, slide.target_m.u), style.bare(Kind::Mark, slide.left_m));
        let left = slide.beyond_m.map_or(left, |beyond_m| format!("{} short", style.bare(Kind::Mark, beyond_m)));
        (slide.name.clone(), vec![target, u, style.bare(Kind::Mark, slide.mark_m), moved(style, slide), left])
    };
    let heads = ["Set to", "±", "Now", "Move", "Spare"].map(|head| format!("{head}, {}", style.unit(Kind::Mark)));
    let heads: Vec<&str> = ["Slide"].into_iter().chain(heads.iter().map(String::as_str)).collect();
    table("Marks", &heads, report.slides.iter().map(row).collect())
}

fn moved(style: Style, slide: &SlideReport) -> String {
    if slide.balances.is_none() {
        return "stays".to_owned();
    }
    if slide.move_m.abs() < SET_WITHIN_M {
        return "is set".to_owned();
    }
    format!("{}\u{a0}{}", slide.word, style.bare(Kind::Mark, slide.move_m.abs()))
}

/// The tightest axis in words, then every move with its axes.
pub(super) fn torque(style: Style, report: &Report) -> Vec<El> {
    let Some(torque) = report.torque.known() else { return vec![p("", "No move is given.")] };
    let tightest = torque.tightest.as_ref().map(|found| {
        let (in_hand, u) = (
            style.uncertain(Kind::Share, found.headroom.value, found.headroom.u),
            style.plus_minus(Kind::Share, found.headroom.u),
        );
        p(
            "prep__line",
            &format!("{in_hand} {u} at the tightest: {} in {}, mostly {}.", found.axis, found.move_name, found.cause),
        )
    });
    tightest.into_iter().chain(torque.moves.iter().flat_map(|each| one_move(style, each))).collect()
}

/// A move: its axes, and how fast it may go.
fn one_move(style: Style, each: &MoveTorque) -> Vec<El> {
    let [peak, continuous] = ["Peak", "Continuous"].map(|word| format!("{word}, {}", style.unit(Kind::Torque)));
    let heads = ["Axis", &peak, "In hand", &continuous, "In hand"];
    let row = |axis: &solver::report::AxisTorque| {
        let of = |used_nm: f64, limit_nm: f64| {
            format!("{} of {}", style.bare(Kind::Torque, used_nm), style.bare(Kind::Torque, limit_nm))
        };
        let cells = vec![
            of(axis.peak_nm.value, axis.peak_limit_nm),
            style.show(Kind::Share, axis.peak_headroom.value),
            of(axis.continuous_nm.value, axis.continuous_limit_nm),
            style.show(Kind::Share, axis.continuous_headroom.value),
        ];
        (axis.name.clone(), cells)
    };
    let speed = each.fastest_air_m_s.map(|speed_m_s| {
        let speed = style.show(Kind::Speed, speed_m_s);
        p("prep__line", &format!("Up to {speed} of wind and speed together keeps the reserve."))
    });
    let axes = table(&each.name, &heads, each.axes.iter().map(row).collect());
    [p("prep__move", &each.name), axes].into_iter().chain(speed).collect()
}

/// How long the packs last.
pub(super) fn runtime(report: &Report) -> String {
    report.power.runtime_h.known().map_or_else(|| "not known".to_owned(), |runtime| hours(lasts_h(*runtime)))
}

/// When the first pack change is due.
pub(super) fn change_words(report: &Report) -> String {
    match (report.power.runtime_h.known(), report.power.change_min, report.power.sets) {
        (None, ..) => "no pack rides".to_owned(),
        (_, Some(at), sets) => {
            let at =
                format!("change packs by {} ±{}\u{a0}min", day_clock(due_min(at.value, at.u)), due_within_min(at.u));
            sets.map_or_else(|| at.clone(), |sets| format!("{at}; needs {sets} sets"))
        }
        _ if report.power.collapsing_w.is_some() => "the packs cannot feed it".to_owned(),
        _ => "no pack change".to_owned(),
    }
}

/// What leaves the packs and where it goes.
pub(super) fn power_words(style: Style, report: &Report) -> String {
    let power = &report.power;
    let [draw, loads, motors, lost] =
        [power.draw_w, power.loads_w, power.motors_w, power.lost_w()].map(|watts| style.show(Kind::Power, watts));
    format!("{draw} leave the packs on average: parts {loads}, motors and head {motors}, converters and cables {lost}.")
}

/// One row for each tap.
pub(super) fn taps(style: Style, report: &Report) -> El {
    let row = |tap: &solver::report::TapReport| {
        let cells = [tap.typical_a, tap.peak_a, tap.limit_a].map(|ampere| style.show(Kind::Current, ampere));
        (tap.name.clone(), cells.to_vec())
    };
    table("Taps", &["Tap", "Ordinary", "Peak", "Limit"], report.power.taps.iter().map(row).collect())
}

/// The marks with every other lens.
pub(super) fn lenses(
    style: Style,
    package: &Package,
    rows: &[LensRow],
    changes: &[LensChange],
    verdicts: &[LensVerdict],
) -> El {
    let slides: Vec<&str> =
        rows.first().map(|row| row.slides.iter().map(|slide| slide.name.as_str()).collect()).unwrap_or_default();
    // A column in which nothing stands costs the width that a phone has not. What is told of a lens stands with its name,
    // where it folds: as the last column it would lie beyond the edge.
    let tuned = rows.iter().any(|row| row.tune.is_some());
    let marks_in = format!("Marks in {}", style.unit(Kind::Mark));
    let heads = [marks_in.as_str()].into_iter().chain(slides).chain(tuned.then_some("Tune")).chain(["Minutes"]);
    let heads: Vec<&str> = heads.collect();
    let row = |row: &LensRow| {
        let marks = row.slides.iter().map(|slide| style.bare(Kind::Mark, slide.target_m.value));
        let tune = tuned.then_some(match row.tune {
            Some(TuneVerdict::Keep) => "keep",
            Some(TuneVerdict::Check) => "check",
            Some(TuneVerdict::Redo) => "tune again",
            None => "–",
        });
        let told = verdicts.iter().find(|told| told.lens == row.lens).map(|told| told.verdict);
        let marks_words = row.stays_put.filter(|_| row.may_stay).map_or_else(
            || "new marks".to_owned(),
            |chance| format!("marks may stay (stays put: {})", lens_set::stays_put(style, chance)),
        );
        let verdict = match told {
            Some(Verdict::No) => ": no".to_owned(),
            Some(Verdict::YesIf) => format!(": yes, if; {marks_words}"),
            _ => format!(": yes, {marks_words}"),
        };
        let change = changes.iter().find(|change| change.to == row.lens);
        let minutes = change.map_or_else(String::new, |change| lens_set::minutes(style, change.minutes));
        (row.name.clone(), verdict, marks.chain(tune.map(str::to_owned)).chain([minutes]).collect())
    };
    let others = rows.iter().filter(|row| Some(row.lens) != package.active_lens);
    // A head with more slides has more columns than a phone is wide: it scrolls by itself, by finger and by key.
    el("div")
        .class("prep__scroll")
        .attr("role", "region")
        .attr("tabindex", "0")
        .attr("aria-label", "Marks of the other lenses")
        .child(told_table("After a lens change", &heads, others.map(row).collect()))
}

/// Why the other lenses cannot go on, or what is to be minded with them.
pub(super) fn lens_reasons(style: Style, package: &Package, verdicts: &[LensVerdict]) -> Vec<El> {
    let others = verdicts.iter().filter(|told| Some(told.lens) != package.active_lens && !told.reasons.is_empty());
    let line = |told: &LensVerdict| {
        let name = package.lenses.iter().find(|lens| lens.id == told.lens).map_or("", |lens| lens.name.as_str());
        let reasons: Vec<String> =
            told.reasons.iter().map(|reason| format!("{}: {}", reason.severity(), reason.words(&style))).collect();
        p("prep__line", "").child(el("strong").words(name)).words(&format!(" {}", reasons.join(" ")))
    };
    others.map(line).collect()
}
