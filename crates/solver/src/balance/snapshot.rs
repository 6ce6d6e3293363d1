//! What a log keeps of the package, and the package as it was in a log.

use nalgebra::Vector3;

use super::as_entered;
use super::taken_over::values;
use crate::layout::{Body, Layout, Of};
use crate::package::{Element, LoggedBalance, LoggedBody, LoggedMark, LoggedOf, Package, Place};

/// A log of the package as it stands: the given axes stay put at the given marks (m, platform first).
pub fn log_balance(package: &Package, id: u32, axes: Vec<String>, marks_m: &[f64]) -> LoggedBalance {
    let entered = as_entered(package);
    let before = |of: &LoggedOf| {
        package
            .logs
            .iter()
            .flat_map(|log| &log.bodies)
            .find(|body| body.of == *of)
            .and_then(|body| body.taken_over.clone())
    };
    let logged = |body: &Body| {
        let of = logged_of(package, body);
        let place = match body.of {
            Of::Part(index) => Some(package.parts[index].at.place.clone()),
            _ => None,
        };
        let cg_offset_m = values(&entered, &of).map(|(_, cg)| cg.offset_m);
        LoggedBody { taken_over: before(&of), of, cg_m: body.cg_m.into(), place, cg_offset_m }
    };
    LoggedBalance {
        id,
        note: String::new(),
        axes,
        faces: Vec::new(),
        marks: package
            .head
            .slides()
            .zip(marks_m)
            .map(|(slide, mark_m)| LoggedMark { slide: slide.id.clone(), mark_m: *mark_m })
            .collect(),
        bodies: Layout::new(&entered).bodies.iter().map(logged).collect(),
        tip_rad: package.reserve.tip_rad,
        weighed: None,
    }
}

/// The identity of a body across edits.
pub fn logged_of(package: &Package, body: &Body) -> LoggedOf {
    match body.of {
        Of::Part(index) => LoggedOf::Part(package.parts[index].id),
        Of::Lens(index) => LoggedOf::Lens(package.lenses[index].id),
        Of::Yoke(index) => LoggedOf::Yoke(index),
    }
}

/// The layout as it was in a log: bodies where they were, marks as they were, masses as entered now. `None` when
/// something that was on the head is no longer in the package: what it weighed is then not known, and without it the
/// moments of that day do not add up.
pub(super) fn snapshot(package: &Package, layout: &Layout, log: &LoggedBalance) -> Option<Layout> {
    let everything = Layout::of_everything(package);
    let mut then = layout.clone();
    then.bodies = log.bodies.iter().map(|logged| body_then(package, &everything, logged)).collect::<Option<_>>()?;
    if !has_every_yoke(package, log) {
        return None;
    }
    for (slide, frame) in package.head.slides().zip(&mut then.slides) {
        if let Some(mark) = log.marks.iter().find(|mark| mark.slide == slide.id) {
            frame.mark_m = mark.mark_m;
        }
    }
    Some(then)
}

/// A body as a log has it, with the mass that is entered now.
fn body_then(package: &Package, everything: &[Body], logged: &LoggedBody) -> Option<Body> {
    let mut body = everything.iter().find(|body| logged_of(package, body) == logged.of)?.clone();
    body.cg_m = Vector3::from(logged.cg_m);
    if let (Some(then_m), Some((_, cg))) = (logged.cg_offset_m, values(package, &logged.of)) {
        body.cg_m += Vector3::from(cg.offset_m) - Vector3::from(then_m);
    }
    if let Some(place) = &logged.place {
        let (seat, link, slides) = seat(package, place)?;
        (body.link, body.slides, body.camera_side) = (link, slides, seat.camera);
    }
    Some(body)
}

/// A place of the head, with how many joints and slides stand outside it.
fn seat<'a>(package: &'a Package, id: &str) -> Option<(&'a Place, usize, usize)> {
    let (mut link, mut slides) = (0, 0);
    for element in &package.head.chain {
        match element {
            Element::Joint(_) => link += 1,
            Element::Slide(_) => slides += 1,
            Element::Place(place) if place.id == id => return Some((place, link, slides)),
            Element::Place(_) | Element::Yoke(_) => {}
        }
    }
    None
}

/// Whether the yokes are those of the log. Yokes go by their place in the chain: after an element has come or gone
/// before them, a log would speak of others.
fn has_every_yoke(package: &Package, log: &LoggedBalance) -> bool {
    let logged = |index: usize| log.bodies.iter().any(|body| body.of == LoggedOf::Yoke(index));
    let mut yokes = package.head.chain.iter().enumerate().filter(|(_, each)| matches!(each, Element::Yoke(_)));
    yokes.all(|(index, _)| logged(index))
}
