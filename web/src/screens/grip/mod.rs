//! For the grip: what hangs on the arm, its counterweight, side wind, lifting by hand, the tether, the wrap.

mod arm;
mod lift;
mod tether;

use solver::grip::{Load, WRAP_ORDER, load};
use solver::package::{Mounting, Package};

use super::shared::{back, line, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::words::{MOUNTINGS, OVERHEAD, WHO_DECIDES, word};

/// Square feet in a square metre. Source: the international foot, 0.3048 m exactly.
const FT2_IN_M2: f64 = 1.0 / (0.3048 * 0.3048);

/// The grip's screen.
pub(crate) fn view(app: App) -> El {
    div("screen")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(hanging(app))
        .child(arm::view(app))
        .child(lift::view(app))
        .child(tether::view(app))
        .child(wrap())
}

/// Mass, its place, and the wind on it.
fn hanging(app: App) -> El {
    let lines = move || match app.document.with(|package| load(package).map(|load| (load, mountings(package)))) {
        Ok((load, mountings)) => load_lines(app.style(), &load, &mountings),
        Err(_) => vec![p("quiet", "Not worked out while the package has a fault.")],
    };
    section("grip-load", "On the arm")
        .child(div("table").test("grip-load").live(lines))
        .child(p("quiet", "The area from the side is the sum over parts and lens, none hiding behind another. The head itself comes on top: its yokes have no outline here."))
        .child(p("caution", OVERHEAD))
        .child(p("quiet", WHO_DECIDES))
}

/// How the head is mounted today, each way once; hung when no move says.
fn mountings(package: &Package) -> Vec<Mounting> {
    let mut found: Vec<Mounting> = Vec::new();
    for each in &package.moves {
        if !found.contains(&each.mounting) {
            found.push(each.mounting);
        }
    }
    if found.is_empty() { vec![Mounting::Hung] } else { found }
}

/// A place of the head's own frame as the platform sees it, the head turned about the line of the lens.
fn from_the_platform([ahead, left, up]: [f64; 3], mounting: Mounting) -> [f64; 3] {
    match mounting {
        Mounting::Hung => [ahead, left, up],
        Mounting::Stood => [ahead, -left, -up],
        Mounting::Side => [ahead, -up, left],
    }
}

fn load_lines(style: Style, load: &Load, mountings: &[Mounting]) -> Vec<El> {
    let mass = format!(
        "{} {}",
        style.uncertain(Kind::Mass, load.all_up_kg.value, load.all_up_kg.u),
        style.plus_minus(Kind::Mass, load.all_up_kg.u)
    );
    let mut lines = vec![
        line("grip-mass", "Head and everything on it", &mass).attr("data-value", &format!("{}", load.all_up_kg.value)),
    ];
    if let Some(cg_m) = load.cg_m {
        lines.extend(mountings.iter().map(|mounting| {
            let name = format!("Its centre of gravity, from the mount, {}", word(MOUNTINGS, mounting).to_lowercase());
            line("grip-cg", &name, &place_words(style, from_the_platform(cg_m, *mounting)))
        }));
    }
    let area = line("grip-area", "Area from the side", &area_words(style, load.side_area_m2));
    lines.push(area.attr("data-value", &format!("{}", load.side_area_m2)));
    lines.extend(load.side_winds.iter().map(|wind| {
        let name = format!("Side wind, {}", wind.move_name);
        let gust = style.show(Kind::Speed, wind.gust_m_s);
        line("grip-wind", &name, &format!("{} in gusts of {gust}", style.show(Kind::Force, wind.force_n)))
    }));
    lines
}

/// A place in words, the largest figures first as a rule: forward, left, up.
fn place_words(style: Style, cg_m: [f64; 3]) -> String {
    let words = [["forward", "back"], ["left", "right"], ["above", "below"]];
    let along = |(m, [plus, minus]): (f64, [&str; 2])| {
        format!("{} {}", style.show(Kind::Mark, m.abs()), if m < 0.0 { minus } else { plus })
    };
    let seen = cg_m.into_iter().zip(words).filter(|(m, _)| m.abs() >= 0.000_5).map(along).collect::<Vec<_>>();
    if seen.is_empty() { "at it".to_owned() } else { seen.join(", ") }
}

fn area_words(style: Style, area_m2: f64) -> String {
    if style.imperial() {
        format!("{}\u{a0}ft²", style.plain(area_m2 * FT2_IN_M2, 1))
    } else {
        format!("{}\u{a0}m²", style.plain(area_m2, 2))
    }
}

fn wrap() -> El {
    let steps = WRAP_ORDER.iter().map(|step| el("li").words(step));
    section("grip-wrap", "At wrap, in this order").child(el("ol").class("ordered").test("wrap-order").children(steps))
}

/// The cautions of a list, each with its sign.
fn cautions(list: &'static [&'static str]) -> impl Iterator<Item = El> {
    list.iter().map(|words| p("caution", words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_hangs_below_a_hung_head_stands_above_a_stood_one_and_beside_one_on_its_side() {
        let below = [0.01, 0.0, -0.3];
        assert_eq!(from_the_platform(below, Mounting::Hung), below);
        assert_eq!(from_the_platform(below, Mounting::Stood), [0.01, 0.0, 0.3]);
        assert_eq!(from_the_platform(below, Mounting::Side), [0.01, 0.3, 0.0]);
    }
}
