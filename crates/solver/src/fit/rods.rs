//! Rods: long enough for everything that clamps on them, and clear of the lens.

use serde::Serialize;

use super::{FitFinding, FitMatter, Scene, Sweep};
use crate::finding::Severity;
use crate::layout::{Body, Of};
use crate::package::{Anchor, PartId, PartKind};

/// Rod that must stand out beyond the furthest clamp, m. Common practice, no source.
const BEYOND_CLAMP_M: f64 = 0.010;
/// Width of the bracket of a matte box, m. Common practice, no source.
const BRACKET_M: f64 = 0.025;
/// Air between lens and rods, m. Common practice, no source.
const LENS_AIR_M: f64 = 0.005;

/// One pair of rods.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RodFit {
    /// The rods.
    pub part: PartId,
    /// Their name.
    pub name: String,
    /// Front end of the rods ahead of the flange, m.
    pub front_m: f64,
    /// Where it must reach at least: furthest clamp, half its width, and 10 mm, m; absent when nothing clamps on them.
    pub needed_m: Option<f64>,
    /// The furthest clamp.
    pub furthest: Option<String>,
    /// Length at which they reach just far enough, their tail where it is, m.
    pub length_needed_m: Option<f64>,
    /// Air between the lens and the rods, m; negative when they cross; absent without a lens above them.
    pub lens_air_m: Option<f64>,
    /// The lens.
    pub lens: Option<String>,
    /// How far the axis across the lens turns before the rods themselves, tails and all, meet anything; absent when no axis
    /// lies across it.
    pub turning: Option<Sweep>,
}

pub(super) fn rods(scene: &Scene<'_>) -> Vec<RodFit> {
    let is_rods = |body: &&Body| kind(scene, body) == Some(PartKind::Rods);
    scene.camera_side().filter(is_rods).filter_map(|body| row(scene, body)).collect()
}

fn kind(scene: &Scene<'_>, body: &Body) -> Option<PartKind> {
    match body.of {
        Of::Part(index) => Some(scene.package.parts[index].kind),
        _ => None,
    }
}

fn row(scene: &Scene<'_>, rods: &Body) -> Option<RodFit> {
    let Of::Part(index) = rods.of else { return None };
    let flange_m = scene.flange_m();
    let ahead_m = |body: &Body| scene.centre_m(body).x - flange_m.x;
    let front_m = ahead_m(rods) + 0.5 * rods.size_m[0];
    let tail_m = ahead_m(rods) - 0.5 * rods.size_m[0];
    let reach_m = |body: &Body| ahead_m(body) + clamp_ahead_m(scene, body) + BEYOND_CLAMP_M;
    let furthest = scene
        .camera_side()
        .filter(|body| clamps_on(scene, body, rods))
        .max_by(|a, b| reach_m(a).total_cmp(&reach_m(b)));
    let rod_top_m = scene.centre_m(rods).z + 0.5 * rods.size_m[2];
    let lens = scene.camera_side().find(|body| matches!(body.of, Of::Lens(_)));
    // Rods that stand above the axis, as on a top rail, have no lens above them.
    let lens = lens.filter(|_| rod_top_m < flange_m.z);
    Some(RodFit {
        part: scene.package.parts[index].id,
        name: scene.name(rods),
        front_m,
        needed_m: furthest.map(reach_m),
        furthest: furthest.map(|body| scene.name(body)),
        length_needed_m: furthest.map(|body| reach_m(body) - tail_m),
        lens_air_m: lens.map(|lens| flange_m.z - rod_top_m - 0.5 * lens.size_m[1]),
        lens: lens.map(|lens| scene.name(lens)),
        turning: super::sweep::across_lens(scene, rods),
    })
}

/// Front edge of what clamps on the rods, ahead of a body's middle, m: a matte box has its bracket at its rear.
fn clamp_ahead_m(scene: &Scene<'_>, body: &Body) -> f64 {
    let half_m = 0.5 * body.size_m[0];
    match kind(scene, body) {
        Some(PartKind::Front) => (BRACKET_M - half_m).min(half_m),
        _ => half_m,
    }
}

/// Supports and motors at a gear ring on the pair of rods that takes them, and whatever stands before the lens and reaches
/// the rods.
fn clamps_on(scene: &Scene<'_>, body: &Body, rods: &Body) -> bool {
    let Of::Part(index) = body.of else { return false };
    let part = &scene.package.parts[index];
    // What is measured from the end of the rods goes wherever they end.
    if part.at.from == Anchor::RodsFront {
        return false;
    }
    let height_m = |of: &Body| height_m(scene.centre_m(of).z, of.size_m[2]);
    let taken = || {
        let pairs = scene.camera_side().filter(|each| kind(scene, each) == Some(PartKind::Rods)).map(height_m);
        takes(height_m(rods), height_m(body), pairs)
    };
    match part.kind {
        PartKind::Support => taken(),
        PartKind::Control => part.at.from.is_ring() && taken(),
        PartKind::Front => body.size_m[0] > 0.02 && apart_m(height_m(rods), height_m(body)) <= 0.0,
        _ => false,
    }
}

/// Lowest and highest point of something, m, from its middle and its height.
pub(crate) fn height_m(middle_m: f64, size_m: f64) -> [f64; 2] {
    [middle_m - 0.5 * size_m, middle_m + 0.5 * size_m]
}

/// Air between two things one above the other, m; none or less where their heights overlap.
fn apart_m([low_m, high_m]: [f64; 2], [other_low_m, other_high_m]: [f64; 2]) -> f64 {
    (low_m - other_high_m).max(other_low_m - high_m)
}

/// Whether one of several pairs of rods takes a thing that clamps on rods: the thing reaches it, or it is the nearest of
/// them. All are told by their lowest and highest point, m.
pub(crate) fn takes(pair_m: [f64; 2], thing_m: [f64; 2], pairs_m: impl Iterator<Item = [f64; 2]>) -> bool {
    let off_m = apart_m(pair_m, thing_m);
    off_m <= 0.0 || pairs_m.map(|other_m| apart_m(other_m, thing_m)).all(|other_m| off_m <= other_m)
}

pub(super) fn findings(rods: &[RodFit], found: &mut Vec<FitFinding>) {
    for each in rods {
        if let (Some(needed_m), Some(furthest)) = (each.needed_m, &each.furthest)
            && needed_m > each.front_m + 1e-9
        {
            let matter = FitMatter::RodsShort { furthest: furthest.clone(), short_m: needed_m - each.front_m };
            found.push(FitFinding { severity: Severity::NoGo, part: each.name.clone(), matter });
        }
        if let (Some(air_m), Some(lens)) = (each.lens_air_m, &each.lens)
            && air_m < LENS_AIR_M
        {
            let severity = if air_m < 0.0 { Severity::NoGo } else { Severity::Watch };
            let matter = FitMatter::LensNearRods { rods: each.name.clone(), air_m, raise_m: LENS_AIR_M - air_m };
            found.push(FitFinding { severity, part: lens.clone(), matter });
        }
    }
}
