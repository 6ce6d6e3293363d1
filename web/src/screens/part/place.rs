//! Where a part is, as a crew measures it: from something that can be touched, to an edge or the middle of the part, so
//! many millimetres one way or the other. Nobody is asked for a coordinate, and no minus has to be typed.

use std::rc::Rc;

use leptos::prelude::*;
use solver::Package;
use solver::bounds;
use solver::layout::{Layout, Of};
use solver::package::{Anchor, Part, PartId, PartKind};

use super::{change, part_of};
use crate::app::App;
use crate::dom::{El, p};
use crate::screens::shared::section;
use crate::show::{Kind, Style};
use crate::ui::choice::{radios, select};
use crate::ui::help::help;
use crate::ui::number::number;
use crate::words::{ANCHORS, word};

/// To which of its ends a part is measured, as a share of its length from its middle.
const ENDS: [(f64, &str); 3] = [(-0.5, "Its rear"), (0.0, "Its middle"), (0.5, "Its front")];

/// Along each axis: what it is called, and the words for plus and minus.
pub(super) const WAYS: [(&str, [&str; 2]); 3] =
    [("fore and aft", ["ahead", "behind"]), ("sideways", ["left", "right"]), ("up and down", ["above", "below"])];

/// Where the part is.
pub(super) fn view(app: App, id: PartId) -> El {
    let kind = app.document.now(|package| part_of(package, id).map(|part| part.kind));
    // A crew measures to the face of a body, and to the back of what hangs on the lens.
    let end = RwSignal::new(match kind {
        Some(PartKind::Body) => 2,
        Some(PartKind::Front) => 0,
        _ => 1,
    });
    let stacked =
        move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.at.from == Anchor::Stack));
    section("part-place", "Where it is")
        .child(help("places", "Measure from something you can touch; what is measured from the lens, its rings or the rods follows them when they change."))
        .child(p("part__fact", "").test("part-where").live_words(move || app.document.with(|package| sentence(app.style(), package, id))))
        .child(rides_on(app, id))
        .child(measured_from(app, id))
        .child(to_end(end))
        .child(distance(app, id, 0, end))
        .child(distance(app, id, 1, end))
        .child(distance(app, id, 2, end).hidden(stacked))
        .child(p("quiet", "A stacked part takes its height from what it stands on.").hidden(move || !stacked()))
}

fn rides_on(app: App, id: PartId) -> El {
    let places = |package: &Package| {
        package.head.places().map(|place| (place.id.clone(), place.name.clone())).collect::<Vec<(String, String)>>()
    };
    let only = move || app.document.with(|package| package.head.places().count() < 2);
    let choice = select(
        app,
        "It rides on",
        "part-place-id",
        places,
        move |package| part_of(package, id).map(|part| part.at.place.clone()).unwrap_or_default(),
        move |package, place| change(package, id, |part| part.at.place = place),
    );
    choice.hidden(only)
}

fn measured_from(app: App, id: PartId) -> El {
    select(
        app,
        "Measured from",
        "part-anchor",
        move |package| {
            let now = part_of(package, id).map(|part| part.at.from);
            let offered =
                ANCHORS.iter().enumerate().filter(|(_, (anchor, _))| Some(*anchor) == now || exists(package, *anchor));
            offered.map(|(index, (_, word))| (index.to_string(), (*word).to_owned())).collect()
        },
        move |package| {
            let from = part_of(package, id).map(|part| part.at.from);
            ANCHORS.iter().position(|(anchor, _)| Some(*anchor) == from).unwrap_or_default().to_string()
        },
        move |package, chosen| {
            let anchor = chosen.parse().ok().and_then(|index: usize| ANCHORS.get(index));
            if let Some((anchor, _)) = anchor {
                measure_from(package, id, *anchor);
            }
        },
    )
}

/// Whether there is such a thing to measure from.
fn exists(package: &Package, anchor: Anchor) -> bool {
    let riding = |wanted: fn(&Part) -> bool| package.riding().any(wanted);
    let ring = |read: fn(&solver::package::Rings) -> Option<f64>| {
        package.lens().is_some_and(|lens| read(&lens.rings).is_some())
    };
    match anchor {
        Anchor::Place | Anchor::Flange | Anchor::Stack => true,
        Anchor::LensFront => package.lens().is_some(),
        Anchor::FocusRing => ring(|rings| rings.focus_m),
        Anchor::IrisRing => ring(|rings| rings.iris_m),
        Anchor::ZoomRing => ring(|rings| rings.zoom_m),
        Anchor::BodyTop | Anchor::BodyRear => riding(|part| part.kind == PartKind::Body),
        Anchor::RodsFront => riding(|part| part.kind == PartKind::Rods),
        Anchor::PlateFront => riding(|part| part.kind != PartKind::Body && part.at.from == Anchor::Stack),
    }
}

/// Measures from another point. The part stays where it is: only the distances change.
fn measure_from(package: &mut Package, id: PartId, anchor: Anchor) {
    let before_m = from_mount_m(package, id);
    change(package, id, |part| part.at.from = anchor);
    let (Some(before_m), Some(after_m)) = (before_m, from_mount_m(package, id)) else { return };
    change(package, id, |part| {
        for axis in 0..3 {
            part.at.offset_m[axis] += before_m[axis] - after_m[axis];
        }
        if anchor == Anchor::Stack {
            part.at.offset_m[2] = 0.0;
        }
    });
}

/// Middle of a part that rides on the camera's own link, from the lens mount, m.
fn from_mount_m(package: &Package, id: PartId) -> Option<[f64; 3]> {
    let layout = Layout::new(package);
    let index = package.parts.iter().position(|part| part.id == id)?;
    let body = layout.bodies.iter().find(|body| body.of == Of::Part(index) && body.link == layout.camera.link)?;
    Some((body.centre_m - layout.flange_m).into())
}

fn to_end(end: RwSignal<usize>) -> El {
    radios(
        "Measured to",
        "part-to",
        ENDS.map(|(_, word)| word).to_vec(),
        Rc::new(move || Some(end.get())),
        Rc::new(move |choice| end.set(choice)),
    )
}

/// From the point to the end that is chosen, along one axis, m.
fn along_m(part: &Part, axis: usize, end: usize) -> f64 {
    let share = if axis == 0 { ENDS.get(end).map_or(0.0, |(share, _)| *share) } else { 0.0 };
    part.at.offset_m[axis] + share * part.size_m[0]
}

/// A distance without a sign and, beside it, which way it goes.
fn distance(app: App, id: PartId, axis: usize, end: RwSignal<usize>) -> El {
    let (name, ways) = WAYS[axis];
    number(
        format!("Distance {name}"),
        Kind::Length,
        &bounds::OFFSET_M,
        format!("part-offset-{axis}"),
        move |package| {
            end.track();
            part_of(package, id).map(|part| along_m(part, axis, end.get_untracked()))
        },
        move |package, m| {
            let end = end.get_untracked();
            change(package, id, |part| part.at.offset_m[axis] += m - along_m(part, axis, end));
        },
    )
    .sided(app, &format!("Which way {name}"), ways)
}

/// The place in words: where from, and where that is with the lens that is on.
fn sentence(style: Style, package: &Package, id: PartId) -> String {
    let Some(part) = part_of(package, id) else { return String::new() };
    let from = word(ANCHORS, &part.at.from).to_lowercase();
    let sideways = side(style, part.at.offset_m[1], WAYS[1].1).map(|words| format!(", {words}")).unwrap_or_default();
    let along = side(style, part.at.offset_m[0], WAYS[0].1).unwrap_or_else(|| "level with".to_owned());
    let up = side(style, part.at.offset_m[2], WAYS[2].1).map(|words| format!(", {words} it")).unwrap_or_default();
    let own = match part.at.from {
        Anchor::Stack => format!("{from}; its middle is {}{sideways}.", from_mount_words(style, part.at.offset_m[0])),
        _ => format!("Its middle is {along} {from}{sideways}{up}."),
    };
    let far = match (part.at.from, from_mount_m(package, id)) {
        (Anchor::Stack | Anchor::Flange, _) | (_, None) => None,
        (_, Some([ahead_m, ..])) => Some(format!(" Now {}.", from_mount_words(style, ahead_m))),
    };
    let missing = (!exists(package, part.at.from)).then_some(" There is none now: it is taken as at the lens mount.");
    capital(&format!("{own}{}{}", far.unwrap_or_default(), missing.unwrap_or_default()))
}

fn from_mount_words(style: Style, ahead_m: f64) -> String {
    match side(style, ahead_m, WAYS[0].1) {
        Some(words) => format!("{words} the lens mount"),
        None => "at the lens mount".to_owned(),
    }
}

/// "38 mm ahead"; none for nothing.
fn side(style: Style, m: f64, [plus, minus]: [&str; 2]) -> Option<String> {
    let way = if m < 0.0 { minus } else { plus };
    let way = match way {
        "ahead" => "ahead of",
        other => other,
    };
    (m.abs() >= 0.000_5).then(|| format!("{} {way}", style.show(Kind::Length, m.abs())))
}

fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measuring_from_elsewhere_moves_nothing() {
        let mut package = codec::library::demo();
        let id = package.riding().find(|part| part.at.from == Anchor::BodyTop).expect("something sits on top").id;
        let before_m = from_mount_m(&package, id).expect("it rides");
        for (anchor, _) in ANCHORS.iter().filter(|(anchor, _)| *anchor != Anchor::Stack) {
            measure_from(&mut package, id, *anchor);
            let after_m = from_mount_m(&package, id).expect("it rides");
            for axis in 0..3 {
                assert!((after_m[axis] - before_m[axis]).abs() < 1e-9, "{anchor:?}: {before_m:?} {after_m:?}");
            }
        }
    }
}
