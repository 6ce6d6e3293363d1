//! The body, the plates and risers under it, in the head's opening.

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
    /// Clear width that the body needs at the target marks, m: twice its further side from the middle of the opening.
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
    let off_m = (scene.centre_m(body).y - middle_m).abs();
    Some(OpeningFit {
        part: scene.name(body),
        width_needed_m: 2.0 * off_m + body.size_m[1],
        width_m: opening.width_m,
        height_needed_m,
        height_m: opening.height_m,
    })
}

pub(super) fn findings(opening: Option<&OpeningFit>, found: &mut Vec<FitFinding>) {
    let Some(fit) = opening else { return };
    let mut add =
        |matter: FitMatter| found.push(FitFinding { severity: Severity::NoGo, part: fit.part.clone(), matter });
    if fit.width_needed_m > fit.width_m + 1e-9 {
        add(FitMatter::TooWide { over_m: fit.width_needed_m - fit.width_m });
    }
    if fit.height_needed_m > fit.height_m[1] + 1e-9 {
        add(FitMatter::TooHigh { over_m: fit.height_needed_m - fit.height_m[1] });
    }
}
