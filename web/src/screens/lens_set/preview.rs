//! One lens for the director of photography: the verdict, the minutes, the price, and what it sees.

use core::cmp::Ordering;

use leptos::prelude::*;
use quantity::hours;
use solver::answer::Answer;
use solver::finding_words::due_min;
use solver::lens_set::preview::{LensPreview, MovePrice, Verdict, View, lens_preview};
use solver::package::LensId;

use super::ways::ways;
use super::{arithmetic, chance, fault, minutes, opens, short_words, stays_put, tune_words, work};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::route::Screen;
use crate::screens::answers::of_severity;
use crate::screens::picture;
use crate::screens::shared::{back, button, line, link, section};
use crate::show::{Kind, Style};
use crate::words::WHO_DECIDES;

/// The screen.
pub(crate) fn view(app: App, id: LensId) -> El {
    let found = Memo::new(move |_| app.document.with(|package| lens_preview(package, id)).ok());
    let out = move || {
        let on = app.document.with(|package| package.active_lens == Some(id));
        found.with(|found| ways(app, id, on, &found.as_ref()?.as_ref()?.reasons)).into_iter().collect()
    };
    let read = move |show: fn(Style, &LensPreview) -> Vec<El>| {
        found.with(|found| match found {
            Some(Some(preview)) => show(app.style(), preview),
            Some(None) => vec![p("quiet", "That lens is not in this package any more.")],
            None => fault(),
        })
    };
    let name = move || found.with(|found| found.as_ref()?.as_ref().map(|preview| preview.name.clone()));
    let size = move || app.document.with(|package| picture::size(app.style(), package));
    let on = move || app.document.with(|package| package.active_lens == Some(id));
    let put = button("preview-on", "Put it on", move || {
        app.document.edit(|package| package.active_lens = Some(id));
    });
    let verdict_value = move || {
        let word = |preview: &LensPreview| verdict_word(preview.verdict).to_owned();
        found.with(|found| found.as_ref()?.as_ref().map(word))
    };
    let answers = link(Screen::Answers, "preview-answers", "To the answers").hidden(move || !on());
    let buttons = div("buttons").child(put.class("button--main").hidden(on)).child(answers).child(link(
        Screen::Lens(id),
        "preview-lens",
        "The lens itself",
    ));
    div("screen")
        .child(back(Screen::Lenses, "to-lenses", "All lenses"))
        .child(
            section("preview-verdict", "Can it go on")
                .child(p("list__name", "").live_words(move || name().unwrap_or_default()))
                .child(
                    div("fit")
                        .test("preview-verdict")
                        .live_attr("data-value", verdict_value)
                        .live(move || read(verdict)),
                )
                .child(div("").live(out))
                .child(buttons),
        )
        .child(section("preview-minutes", "How long it takes").child(div("rows").live(move || read(takes))))
        .child(section("preview-price", "What it costs").child(div("table").live(move || read(price))))
        .child(
            section("preview-view", "What it sees")
                .child(div("rows").test("preview-view").live(move || read(sees)))
                .child(div("table").live(move || size().into_iter().collect()))
                .child(div("fields").child(picture::width(app)).child(picture::height(app))),
        )
        .child(
            section("preview-unchecked", "Not looked at here")
                .child(p("", "Whether it is stiff enough: put it on, and the answers say so. Distortion, close focus and covering the picture."))
                .child(p("quiet", WHO_DECIDES)),
        )
}

fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Yes => "yes",
        Verdict::YesIf => "yes-if",
        Verdict::No => "no",
    }
}

fn verdict(style: Style, preview: &LensPreview) -> Vec<El> {
    let change = preview.change.as_ref();
    let stays = change.and_then(|change| Some((change.may_stay, change.stays_put.as_ref()?.chance)));
    let said = match (preview.verdict, stays) {
        (Verdict::Yes, _) if change.is_none() => "Yes: it is on.".to_owned(),
        (Verdict::Yes, Some((may_stay, chance))) => yes(style, may_stay, chance),
        (Verdict::Yes, None) => "Yes, with its own marks.".to_owned(),
        (Verdict::YesIf, _) => "Yes, if this is minded:".to_owned(),
        (Verdict::No, _) => "No, because of this:".to_owned(),
    };
    let reasons = preview.reasons.iter().map(|reason| of_severity(reason.severity(), &reason.words(&style)));
    std::iter::once(p("cost__verdict", &said))
        .chain(reasons)
        .chain(preview.moves.iter().filter_map(|each| remains(style, each)).map(|words| p("", &words)))
        .collect()
}

/// Whether nothing need be set anew, and how likely that is to go well.
pub(in crate::screens) fn yes(style: Style, may_stay: bool, chance: f64) -> String {
    let chance = stays_put(style, chance);
    if may_stay {
        format!("Yes, and the marks may stay where they are; every axis stays put: {chance}.")
    } else {
        format!("Yes, with its own marks. With the marks left, every axis stays put: {chance}.")
    }
}

/// What a move that is too much for the motors can still be.
fn remains(style: Style, each: &MovePrice) -> Option<String> {
    if each.in_hand[1] >= 0.0 {
        return None;
    }
    let factor = each.operator_factor[1].filter(|factor| *factor < 1.0);
    let whip = factor.map(|factor| format!("the operator's moves at most {} times as fast", style.plain(factor, 1)));
    let road = each.road_m_s[1].map(|speed_m_s| format!("at most {}", style.show(Kind::Speed, speed_m_s)));
    let ways: Vec<String> = [whip, road].into_iter().flatten().collect();
    (!ways.is_empty()).then(|| format!("{}: {}.", each.name, ways.join(", or ")))
}

fn takes(style: Style, preview: &LensPreview) -> Vec<El> {
    let Some(change) = &preview.change else { return vec![p("quiet", "Nothing: it is on.")] };
    let took = minutes(style, change.minutes);
    let minutes = arithmetic(style, "Minutes, typical", &took, &change.arithmetic)
        .test("preview-minutes")
        .attr("data-value", &format!("{}", change.minutes));
    let to_do = opens("What there is to do", &short_words(style, change), work(style, change));
    std::iter::once(minutes).chain(chance(style, change)).chain([to_do]).collect()
}

fn price(style: Style, preview: &LensPreview) -> Vec<El> {
    let mut lines: Vec<El> = preview
        .moves
        .iter()
        .map(|each| {
            line(&format!("preview-move-{}", each.move_id), &each.name, &move_words(style, each))
                .attr("data-value", &format!("{}", each.in_hand[1]))
        })
        .collect();
    if let [Some(now), Some(then)] = preview.hours {
        lines.push(line("preview-hours", "Packs last", &lasting(now, then)));
    }
    if let Some(tune) = preview.change.as_ref().and_then(|change| change.tune) {
        lines.push(line("preview-tune", "Tune", tune_words(tune)));
    }
    if lines.is_empty() {
        lines.push(p("quiet", "Nothing is known without moves."));
    }
    lines
}

/// Hours of the packs in the words of the first screen, and how that differs from now.
fn lasting(now: f64, then: f64) -> String {
    let told = |hours: f64| due_min(60.0 * hours, f64::INFINITY);
    let (now_min, then_min) = (told(now), told(then));
    let [lasts, off] = [then_min, (now_min - then_min).abs()].map(|minutes| hours(minutes / 60.0));
    match then_min.total_cmp(&now_min) {
        Ordering::Equal => format!("{lasts}, as now"),
        Ordering::Less => format!("{lasts}, {off} less"),
        Ordering::Greater => format!("{lasts}, {off} more"),
    }
}

/// Torque in hand with this lens and, where it differs, with the one that is on; then how far the move can go.
fn move_words(style: Style, each: &MovePrice) -> String {
    let [now, then] = each.in_hand.map(|share| style.show(Kind::Share, share));
    let was = if now == then { String::new() } else { format!(", {now} now") };
    let whip = each.operator_factor[1].map(|factor| format!("; whips up to {} × as fast", style.plain(factor, 1)));
    let road = each.road_m_s[1].map(|speed_m_s| format!("; up to {}", style.show(Kind::Speed, speed_m_s)));
    format!("{then} in hand{was}{}{}", whip.unwrap_or_default(), road.unwrap_or_default())
}

fn sees(style: Style, preview: &LensPreview) -> Vec<El> {
    match &preview.view {
        Answer::Known(seen) => {
            let views: Vec<String> =
                [Some(seen.widest), seen.longest].into_iter().flatten().map(|view| view_words(style, &view)).collect();
            vec![
                arithmetic(style, "Across × upright", &views.join("; "), &seen.arithmetic)
                    .attr("data-value", &format!("{}", seen.widest.across_rad)),
            ]
        }
        Answer::Needs(paths) => {
            let lens = paths.iter().any(|path| path.to_string().starts_with("lenses"));
            let words = if lens {
                "Known once the lens has its focal length, and the picture its width and height."
            } else {
                "Known once the picture has its width and height."
            };
            vec![p("quiet", words)]
        }
    }
}

fn view_words(style: Style, view: &View) -> String {
    // Focal lengths are good to a per cent or two: a tenth of a degree is something for long lenses alone.
    const NARROW_RAD: f64 = 0.175;
    let angle = |rad: f64| style.fine(Kind::Angle, rad, usize::from(rad < NARROW_RAD));
    let focal = style.show(Kind::Length, view.focal_m);
    format!("{focal}: {} × {}", angle(view.across_rad), angle(view.upright_rad))
}
