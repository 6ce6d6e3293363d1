//! What each filter, close-up lens, pack or accessory does to every mark when it comes on or goes off.

use codec::library;
use solver::Package;
use solver::ladder::{Rung, ladder};
use solver::package::PartKind;

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::lens_set::stays_put;
use crate::screens::shared::{line, section};
use crate::show::{Kind, Style};

/// Below this a mark need not be moved: scales are read to a millimetre.
const SEEN_M: f64 = 0.000_5;
/// Kinds of which the typical ones stand on the ladder as well.
const TYPICAL_KINDS: [PartKind; 2] = [PartKind::Front, PartKind::Pack];

/// The three heaps of rungs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Heap {
    /// Parts of the package that ride.
    On,
    /// Parts of the package that do not.
    Off,
    /// Typical ones that are not in the package.
    Typical,
}

impl Heap {
    const ALL: [(Self, &'static str, &'static str); 3] = [
        (Self::Off, "Put on", "ladder-off"),
        (Self::On, "Take off", "ladder-on"),
        (Self::Typical, "Put on, not on your list yet (typical figures)", "ladder-typical"),
    ];
}

/// The ladder.
pub(super) fn view(app: App) -> El {
    let body = div("ladders").live(move || {
        let style = app.style();
        let (rungs, own) = app.document.with(|package| (rungs(package), package.parts.len()));
        if rungs.is_empty() {
            return vec![p("quiet", "Nothing on the list can come on or go off.")];
        }
        Heap::ALL.into_iter().filter_map(|(heap, title, test)| heap_of(style, &rungs, heap, title, test, own)).collect()
    });
    section("ladder-title", "What each thing does to the marks")
        .child(p("quiet", "How far each mark moves when this one thing comes on or goes off. It must follow, unless the marks may stay."))
        .child(body)
}

/// Rungs of the package and of the typical things that it lacks, each with its place in that longer list of parts.
fn rungs(package: &Package) -> Vec<(usize, Rung)> {
    let mut longer = package.clone();
    for typical in library::parts().iter().filter(|part| TYPICAL_KINDS.contains(&part.kind)) {
        if !package.parts.iter().any(|part| part.name.starts_with(&typical.name)) {
            solver::entering::put_part(&mut longer, typical);
            if let Some(part) = longer.parts.last_mut() {
                part.on = false;
                part.load = None;
            }
        }
    }
    let place = |rung: &Rung| longer.parts.iter().position(|part| part.id == rung.part).unwrap_or_default();
    ladder(&longer).unwrap_or_default().into_iter().map(|rung| (place(&rung), rung)).collect()
}

fn heap_of(style: Style, rungs: &[(usize, Rung)], heap: Heap, title: &str, test: &str, own: usize) -> Option<El> {
    let belongs = |(place, rung): &&(usize, Rung)| match heap {
        Heap::Typical => *place >= own,
        Heap::On => *place < own && rung.rides,
        Heap::Off => *place < own && !rung.rides,
    };
    let rows: Vec<El> = rungs.iter().filter(belongs).map(|(_, rung)| row(style, rung)).collect();
    let heading = el("summary").class("row__summary").child(span("row__name").words(title));
    let fold = el("details").class("row").test(test);
    let fold = if heap == Heap::Off { fold.attr("open", "") } else { fold };
    (!rows.is_empty()).then(|| fold.child(heading).child(div("row__inside table").children(rows)))
}

/// A thing and what it does to every mark, on one line where there is room.
fn row(style: Style, rung: &Rung) -> El {
    let seen = rung.marks.iter().filter(|mark| mark.change_m.abs() >= SEEN_M);
    let changes: Vec<String> = seen
        .map(|mark| {
            let change = format!("{} {} {}", mark.name, style.show(Kind::Mark, mark.change_m.abs()), mark.word);
            if mark.within_travel { change } else { format!("{change} (out of travel)") }
        })
        .collect();
    let rest = match (rung.stays_put, changes.is_empty()) {
        (Some(chance), _) => Some(left_words(style, rung.may_stay, chance)),
        (None, true) => Some("less than a millimetre".to_owned()),
        (None, false) => None,
    };
    let words: Vec<String> = changes.into_iter().chain(rest).collect();
    let name = format!("{}, {}", rung.name, style.fine(Kind::Mass, rung.mass_kg, 2));
    line(&format!("rung-{}", rung.part), &name, &words.join(", "))
}

/// Whether the marks may stay, and how likely it is that every axis then stays put.
fn left_words(style: Style, may_stay: bool, chance: f64) -> String {
    let chance = stays_put(style, chance);
    if may_stay {
        format!("the marks may stay (every axis stays put: {chance})")
    } else {
        format!("with the marks left, every axis stays put: {chance}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typical_filters_stand_on_the_ladder_and_leave_the_package_alone() {
        let package = library::demo();
        let found = rungs(&package);
        let typical: Vec<&Rung> =
            found.iter().filter(|(place, _)| *place >= package.parts.len()).map(|(_, rung)| rung).collect();
        assert!(!typical.is_empty());
        assert!(typical.iter().all(|rung| !rung.rides));
        assert_eq!(package, library::demo());
    }
}
