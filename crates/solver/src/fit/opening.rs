//! The body with what hangs beside it, and the plates and risers under it, in the head's opening.

use serde::Serialize;

use super::{FitFinding, FitMatter, Scene};
use crate::finding::Severity;
use crate::layout::{Body, Of};
use crate::package::{Anchor, PartKind};

/// The camera in the opening of the head.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningFit {
    /// The body.
    pub part: String,
    /// What reaches furthest to a side: the body, or something that hangs beside it.
    pub widest: String,
    /// Clear width that it needs at the target marks, m: twice its further side from the middle of the opening.
    pub width_needed_m: f64,
    /// Clear width of the opening, m.
    pub width_m: f64,
    /// Clear height that plates, risers and body need together, m.
    pub height_needed_m: f64,
    /// Lowest and highest clear height that the opening can be set to, m.
    pub height_m: [f64; 2],
}

pub(super) fn opening(scene: &Scene<'_>) -> Option<OpeningFit> {
    let opening = scene.package.head.opening.as_ref()?;
    let part_of = |body: &Body| match body.of {
        Of::Part(index) => scene.package.parts.get(index),
        _ => None,
    };
    let body = scene.camera_side().find(|body| part_of(body).is_some_and(|part| part.kind == PartKind::Body))?;
    let stacked = |body: &&Body| part_of(body).is_some_and(|part| part.at.from == Anchor::Stack);
    let height_needed_m = scene.camera_side().filter(stacked).map(|body| body.size_m[2]).sum();
    // The arms of the opening ride on the link that carries the innermost joint: its point is their middle.
    let middle_m = scene.origins_m.last().map_or(0.0, |origin_m| origin_m.y);
    let needed_m = |other: &Body| 2.0 * (scene.centre_m(other).y - middle_m).abs() + other.size_m[1];
    let beside = scene.camera_side().filter(|other| is_beside(scene, body, other));
    // The body itself where nothing is wider.
    let widest =
        beside.fold(body, |widest, other| if needed_m(other) > needed_m(widest) + 1e-9 { other } else { widest });
    Some(OpeningFit {
        part: scene.name(body),
        widest: scene.name(widest),
        width_needed_m: needed_m(widest),
        width_m: opening.width_m,
        height_needed_m,
        height_m: opening.height_m,
    })
}

/// Whether something stands to the left or right of the body, in its length and its height: it goes between the arms too.
fn is_beside(scene: &Scene<'_>, body: &Body, other: &Body) -> bool {
    let (middle_m, other_m) = (scene.centre_m(body), scene.centre_m(other));
    let overlaps =
        |way: usize| (other_m[way] - middle_m[way]).abs() < 0.5 * (body.size_m[way] + other.size_m[way]) - 1e-9;
    matches!(other.of, Of::Part(_)) && overlaps(0) && overlaps(2)
}

pub(super) fn findings(opening: Option<&OpeningFit>, found: &mut Vec<FitFinding>) {
    let Some(fit) = opening else { return };
    let mut add = |part: &str, matter: FitMatter| {
        found.push(FitFinding { severity: Severity::NoGo, part: part.to_owned(), matter });
    };
    if fit.width_needed_m > fit.width_m + 1e-9 {
        add(&fit.widest, FitMatter::TooWide { over_m: fit.width_needed_m - fit.width_m });
    }
    if fit.height_needed_m > fit.height_m[1] + 1e-9 {
        add(&fit.part, FitMatter::TooHigh { over_m: fit.height_needed_m - fit.height_m[1] });
    }
}
