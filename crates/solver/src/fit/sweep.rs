//! Sweeps: how far a level axis turns before a part meets an arm of the head or the platform, in closed form.
//!
//! Across the axis every corner moves on a circle. A corner within the clear radius never meets an arm; one beyond it does
//! while it points into the sector in which the arms stand. A corner reaches the platform while it stands higher than the
//! base. Both forbid an arc of angles; what is left around rest is free.

use core::f64::consts::PI;

use nalgebra::Vector3;
use serde::Serialize;

use super::{FitFinding, FitMatter, Scene};
use crate::constants::DEGREE_RAD;
use crate::finding::Severity;
use crate::float;
use crate::layout::{Body, Of};
use crate::package::{Package, Shape};

/// Half the angle that an arm takes up beyond the direction of its middle, rad. Invented, typical.
const ARM_HALF_RAD: f64 = 10.0 * DEGREE_RAD;
/// A yoke nearer to the axis than this shows no direction, m.
const NEAR_M: f64 = 0.02;

/// How far one level axis turns from rest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sweep {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Lowest and highest angle free of everything, its own limits included, rad.
    pub free_rad: [f64; 2],
    /// What stops it at either end; absent where it turns all the way round.
    pub stops: [Option<Stop>; 2],
    /// Largest distance of any corner from the axis, m.
    pub reach_m: f64,
    /// Name of the part that reaches furthest.
    pub furthest: String,
    /// Whether the axis lies across the lens rather than along it.
    pub across_lens: bool,
    /// What turns, as it is seen along the axis at rest.
    pub outlines: Vec<Outline>,
    /// The base of the head in that view, m: the platform is the plane through it, square to up.
    pub base_m: [f64; 2],
    /// Radius round the axis that stays clear of the arms, m; absent where no arm is in the way.
    pub clear_m: Option<f64>,
    /// The sector beyond that radius in which the arms stand, rad from upright; absent where there is none.
    pub arms_rad: Option<[f64; 2]>,
}

/// The outline of a part as it is seen along an axis: across and up from the axis, m. A positive turn goes from up to
/// across.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outline {
    /// Name of the part.
    pub part: String,
    /// Least across and up, m.
    pub low_m: [f64; 2],
    /// Most across and up, m.
    pub high_m: [f64; 2],
    /// A cylinder seen from its end.
    pub round: bool,
}

/// What stops an axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// Name of the part that touches; empty for the joint's own limit.
    pub part: String,
    /// What it touches.
    pub against: Obstacle,
}

/// What a part can touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Obstacle {
    /// An arm of the head.
    Arm,
    /// The platform that the head is mounted on.
    Platform,
    /// The joint's own limit.
    Limit,
}

impl Obstacle {
    /// What it is, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Arm => "an arm of the head",
            Self::Platform => "the platform",
            Self::Limit => "the axis's own limit",
        }
    }
}

/// Angles of the joint that are forbidden: `half_rad` either side of `middle_rad`.
struct Arc {
    middle_rad: f64,
    half_rad: f64,
    part: String,
    against: Obstacle,
}

/// A point of a part across the axis: direction, distance, and how far the part reaches round it.
struct Probe {
    at_rad: f64,
    radius_m: f64,
    round_m: f64,
}

pub(super) fn sweeps(scene: &Scene<'_>) -> Vec<Sweep> {
    let joints = scene.solved.layout.joints.len();
    let level = |joint: &usize| scene.solved.layout.joints[*joint].axis.z.abs() < core::f64::consts::FRAC_1_SQRT_2;
    (0..joints).rev().filter(level).map(|joint| Turning::new(scene, joint).sweep(&|_| true)).collect()
}

/// How far the innermost axis that lies across the lens turns before one body alone meets anything.
pub(super) fn across_lens(scene: &Scene<'_>, alone: &Body) -> Option<Sweep> {
    let joints = &scene.solved.layout.joints;
    let across = joints.iter().rposition(|joint| joint.axis.y.abs() > core::f64::consts::FRAC_1_SQRT_2)?;
    (alone.link > across).then(|| Turning::new(scene, across).sweep(&|body| body.of == alone.of))
}

struct Turning<'a> {
    scene: &'a Scene<'a>,
    joint: usize,
    origin_m: Vector3<f64>,
    /// Two directions across the axis; a positive turn goes from the first to the second.
    first: Vector3<f64>,
    second: Vector3<f64>,
}

impl<'a> Turning<'a> {
    fn new(scene: &'a Scene<'a>, joint: usize) -> Self {
        let axis = scene.solved.layout.joints[joint].axis;
        let first = crate::balance::across(&axis, &Vector3::z()).normalize();
        Self { scene, joint, origin_m: scene.origins_m[joint + 1], first, second: axis.cross(&first) }
    }

    /// Direction and distance of a point across the axis.
    fn polar(&self, point_m: &Vector3<f64>) -> (f64, f64) {
        let from_m = point_m - self.origin_m;
        let (x, y) = (from_m.dot(&self.first), from_m.dot(&self.second));
        (float::atan2(y, x), libm::hypot(x, y))
    }

    fn sweep(&self, turns: &dyn Fn(&Body) -> bool) -> Sweep {
        let (mut arcs, mut outlines) = (Vec::new(), Vec::new());
        let (mut reach_m, mut furthest) = (0.0, String::new());
        let inboard = |body: &&Body| body.link > self.joint && turns(body);
        for body in self.scene.camera_side().filter(inboard) {
            let name = self.scene.name(body);
            for probe in self.corners(body) {
                if probe.radius_m + probe.round_m > reach_m {
                    (reach_m, furthest) = (probe.radius_m + probe.round_m, name.clone());
                }
                arcs.extend(self.platform_arc(&probe, &name));
            }
            arcs.extend(self.arm_arcs(body, &name));
            outlines.push(self.outline(body, name));
        }
        let joint = self.scene.package.head.joints().nth(self.joint);
        let limits_rad = joint.and_then(|joint| joint.limits_rad);
        let (free_rad, stops) = free(&arcs, limits_rad);
        let (id, name) = joint.map_or_else(Default::default, |joint| (joint.id.clone(), joint.name.clone()));
        let base_m = self.flat(&Vector3::zeros());
        let arms_rad = self.clear_m().and_then(|_| self.arms_rad());
        let clear_m = self.clear_m();
        let across_lens = self.across_lens();
        Sweep { joint: id, name, free_rad, stops, reach_m, furthest, across_lens, outlines, base_m, clear_m, arms_rad }
    }

    /// A point as it is seen along the axis: across and up, m.
    fn flat(&self, point_m: &Vector3<f64>) -> [f64; 2] {
        let from_m = point_m - self.origin_m;
        [from_m.dot(&self.second), from_m.dot(&self.first)]
    }

    fn outline(&self, body: &Body, part: String) -> Outline {
        let corners = corners_m(&self.scene.centre_m(body), body.size_m).map(|corner| self.flat(&corner));
        let most = |pick: fn(f64, f64) -> f64, start: f64| {
            corners.iter().fold([start; 2], |[x, y], corner| [pick(x, corner[0]), pick(y, corner[1])])
        };
        let (low_m, high_m) = (most(f64::min, f64::INFINITY), most(f64::max, f64::NEG_INFINITY));
        Outline { part, low_m, high_m, round: body.shape == Shape::Cylinder && self.seen_from_the_end() }
    }

    /// Whether the axis runs along x, so that cylinders are seen from their end.
    fn seen_from_the_end(&self) -> bool {
        self.first.x.abs() < 1e-6 && self.second.x.abs() < 1e-6
    }

    /// Radius that stays clear of the arms: that of the tilt axis, the one that lies across the lens.
    fn clear_m(&self) -> Option<f64> {
        let opening = self.scene.package.head.opening.as_ref()?;
        self.across_lens().then_some(opening.clear_radius_m)
    }

    fn across_lens(&self) -> bool {
        let axis = self.scene.solved.layout.joints[self.joint].axis;
        axis.y.abs() > axis.x.abs()
    }

    /// The corners of an outline, as seen along the axis. A cylinder seen from its end is one round point.
    fn corners(&self, body: &Body) -> Vec<Probe> {
        let centre_m = self.scene.centre_m(body);
        if body.shape == Shape::Cylinder && self.seen_from_the_end() {
            let (at_rad, radius_m) = self.polar(&centre_m);
            return vec![Probe { at_rad, radius_m, round_m: 0.5 * body.size_m[1] }];
        }
        let probe = |corner: Vector3<f64>| {
            let (at_rad, radius_m) = self.polar(&corner);
            Probe { at_rad, radius_m, round_m: 0.0 }
        };
        corners_m(&centre_m, body.size_m).into_iter().map(probe).collect()
    }

    /// Where a point stands higher than the base of the head.
    fn platform_arc(&self, probe: &Probe, part: &str) -> Option<Arc> {
        // The platform is level through the base, wherever a slide has brought the axis.
        let [_, up_m] = self.flat(&Vector3::zeros());
        let (toward_rad, away_m) = (if up_m < 0.0 { PI } else { 0.0 }, up_m.abs());
        let level_m = away_m - probe.round_m;
        // Without distance to the base there is no platform to meet on one side of the axis.
        (away_m > NEAR_M && probe.radius_m > level_m).then(|| Arc {
            middle_rad: wrapped(toward_rad - probe.at_rad),
            half_rad: float::acos(level_m / probe.radius_m),
            part: part.to_owned(),
            against: Obstacle::Platform,
        })
    }

    /// Where what lies beyond the clear radius points into the sector of the arms.
    fn arm_arcs(&self, body: &Body, part: &str) -> Vec<Arc> {
        let Some((clear_m, [low_rad, high_rad])) = self.clear_m().zip(self.arms_rad()) else { return Vec::new() };
        let beyond = self.beyond_rad(body, clear_m);
        beyond
            .into_iter()
            .map(|at_rad| Arc {
                middle_rad: wrapped(0.5 * (low_rad + high_rad) - at_rad),
                half_rad: 0.5 * (high_rad - low_rad),
                part: part.to_owned(),
                against: Obstacle::Arm,
            })
            .collect()
    }

    /// The sector in which the arms stand, rad: from the direction of the base to those of the yokes outside.
    fn arms_rad(&self) -> Option<[f64; 2]> {
        let (base_rad, away_m) = self.polar(&Vector3::zeros());
        if away_m < NEAR_M {
            return None;
        }
        let layout = &self.scene.solved.layout;
        let outside = layout.bodies.iter().filter(|body| matches!(body.of, Of::Yoke(_)) && body.link <= self.joint);
        let [low, high] = outside.fold([0.0_f64, 0.0_f64], |[low, high], yoke| {
            let (at_rad, distance_m) = self.polar(&self.scene.centre_m(yoke));
            let aside_rad = if distance_m > NEAR_M { wrapped(at_rad - base_rad) } else { 0.0 };
            [low.min(aside_rad), high.max(aside_rad)]
        });
        Some([base_rad + low - ARM_HALF_RAD, base_rad + high + ARM_HALF_RAD])
    }

    /// Directions of an outline's corners beyond a radius, and of the points where its edges cross that radius.
    fn beyond_rad(&self, body: &Body, radius_m: f64) -> Vec<f64> {
        let corners = corners_m(&self.scene.centre_m(body), body.size_m);
        let flat = corners.map(|corner| {
            let from_m = corner - self.origin_m;
            [from_m.dot(&self.first), from_m.dot(&self.second)]
        });
        let mut found: Vec<f64> =
            flat.iter().filter(|[x, y]| libm::hypot(*x, *y) > radius_m).map(|[x, y]| float::atan2(*y, *x)).collect();
        for one in 0..8_usize {
            // Corners are numbered by three binary digits: an edge changes one of them.
            for other in [1, 2, 4].map(|digit| one | digit).into_iter().filter(|other| *other != one) {
                found.extend(crossings_rad(flat[one], flat[other], radius_m));
            }
        }
        found
    }
}

/// Directions of the points where the straight line between two points crosses a circle about the origin.
fn crossings_rad([x0, y0]: [f64; 2], [x1, y1]: [f64; 2], radius: f64) -> Vec<f64> {
    let (dx, dy) = (x1 - x0, y1 - y0);
    let (a, half_b, c) = (dx * dx + dy * dy, x0 * dx + y0 * dy, x0 * x0 + y0 * y0 - radius * radius);
    let under = half_b * half_b - a * c;
    if a <= 0.0 || under < 0.0 {
        return Vec::new();
    }
    let root = libm::sqrt(under);
    [(-half_b - root) / a, (-half_b + root) / a]
        .into_iter()
        .filter(|along| (0.0..=1.0).contains(along))
        .map(|along| float::atan2(y0 + along * dy, x0 + along * dx))
        .collect()
}

/// The eight corners of a box, numbered by which end of each edge they stand on.
fn corners_m(centre_m: &Vector3<f64>, size_m: [f64; 3]) -> [Vector3<f64>; 8] {
    core::array::from_fn(|number| {
        let end = |digit: usize| if number >> digit & 1 == 1 { 0.5 } else { -0.5 };
        centre_m + Vector3::new(end(0) * size_m[0], end(1) * size_m[1], end(2) * size_m[2])
    })
}

/// An angle between −π and π.
fn wrapped(angle_rad: f64) -> f64 {
    angle_rad - 2.0 * PI * libm::round(angle_rad / (2.0 * PI))
}

/// What the forbidden arcs and the joint's own limits leave around rest.
fn free(arcs: &[Arc], limits_rad: Option<[f64; 2]>) -> ([f64; 2], [Option<Stop>; 2]) {
    let limit = || limits_rad.map(|_| Stop { part: String::new(), against: Obstacle::Limit });
    let [mut low, mut high] = limits_rad.unwrap_or([-PI, PI]);
    let mut stops = [limit(), limit()];
    let stop = |arc: &Arc| Some(Stop { part: arc.part.clone(), against: arc.against });
    for arc in arcs {
        let (near, far) = (arc.middle_rad - arc.half_rad, arc.middle_rad + arc.half_rad);
        if near < 0.0 && far > 0.0 {
            // It touches at rest.
            return ([0.0, 0.0], [stop(arc), stop(arc)]);
        }
        // The arc comes again a whole turn away.
        for turn_rad in [-2.0 * PI, 0.0, 2.0 * PI] {
            if near + turn_rad >= 0.0 && near + turn_rad < high {
                (high, stops[1]) = (near + turn_rad, stop(arc));
            }
            if far + turn_rad <= 0.0 && far + turn_rad > low {
                (low, stops[0]) = (far + turn_rad, stop(arc));
            }
        }
    }
    ([low, high], stops)
}

pub(super) fn findings(package: &Package, sweeps: &[Sweep], found: &mut Vec<FitFinding>) {
    for sweep in sweeps {
        let Some(joint) = package.head.joints().find(|joint| joint.id == sweep.joint) else { continue };
        // An axis that its own limits hold at rest meets nothing.
        let touches = sweep.stops[0].as_ref().filter(|stop| stop.against != Obstacle::Limit);
        if let (true, Some(stop)) = (sweep.free_rad == [0.0, 0.0], touches) {
            let matter = FitMatter::MeetsAtRest { against: stop.against, axis: sweep.name.clone() };
            found.push(FitFinding { severity: Severity::NoGo, part: stop.part.clone(), matter });
            continue;
        }
        for (end, sense) in [(0, &joint.turns.minus), (1, &joint.turns.plus)] {
            let Some(stop) = sweep.stops[end].as_ref().filter(|stop| stop.against != Obstacle::Limit) else { continue };
            let reached = |each: &&crate::package::Move| {
                let range = each.ranges.iter().find(|range| range.joint == sweep.joint);
                range.is_some_and(|range| {
                    let wanted_rad = range.range_rad[end];
                    if end == 0 { wanted_rad < sweep.free_rad[0] } else { wanted_rad > sweep.free_rad[1] }
                })
            };
            let severity = match package.moves.iter().find(reached) {
                Some(_) => Severity::NoGo,
                None => Severity::Note,
            };
            let matter = FitMatter::Meets {
                against: stop.against,
                axis: sweep.name.clone(),
                sense: sense.clone(),
                at_rad: sweep.free_rad[end],
            };
            found.push(FitFinding { severity, part: stop.part.clone(), matter });
        }
    }
}
