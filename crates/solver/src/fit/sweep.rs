//! Sweeps: how far a level axis turns before a part meets an arm of the head or the platform, in closed form.
//!
//! Across the axis every corner moves on a circle. A corner within the clear radius never meets an arm; one beyond it does
//! while it points into the sector in which the arms stand. A corner reaches the platform while it stands higher than the
//! base. Both forbid an arc of angles; what is left around rest is free.

use core::f64::consts::PI;

use nalgebra::Vector3;
use serde::Serialize;

use super::{FitFinding, Scene};
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
    (0..joints).rev().filter(level).map(|joint| Turning::new(scene, joint).sweep()).collect()
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

    fn sweep(&self) -> Sweep {
        let mut arcs = Vec::new();
        let (mut reach_m, mut furthest) = (0.0, String::new());
        let inboard = |body: &&Body| body.link > self.joint;
        for body in self.scene.camera_side().filter(inboard) {
            let name = self.scene.name(body);
            for probe in self.corners(body) {
                if probe.radius_m + probe.round_m > reach_m {
                    (reach_m, furthest) = (probe.radius_m + probe.round_m, name.clone());
                }
                arcs.extend(self.platform_arc(&probe, &name));
            }
            arcs.extend(self.arm_arcs(body, &name));
        }
        let joint = self.scene.package.head.joints().nth(self.joint);
        let limits_rad = joint.and_then(|joint| joint.limits_rad);
        let (free_rad, stops) = free(&arcs, limits_rad);
        let (id, name) = joint.map_or_else(Default::default, |joint| (joint.id.clone(), joint.name.clone()));
        Sweep { joint: id, name, free_rad, stops, reach_m, furthest }
    }

    /// The corners of an outline, as seen along the axis. A cylinder seen from its end is one round point.
    fn corners(&self, body: &Body) -> Vec<Probe> {
        let centre_m = self.scene.centre_m(body);
        let seen_from_its_end = self.first.x.abs() < 1e-6 && self.second.x.abs() < 1e-6;
        if body.shape == Shape::Cylinder && seen_from_its_end {
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
        let (toward_rad, away_m) = self.polar(&Vector3::zeros());
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
        // The clear radius is that of the tilt axis: the one that lies across the lens.
        let axis = self.scene.solved.layout.joints[self.joint].axis;
        let (Some(opening), true) = (&self.scene.package.head.opening, axis.y.abs() > axis.x.abs()) else {
            return Vec::new();
        };
        let Some([low_rad, high_rad]) = self.arms_rad() else { return Vec::new() };
        let beyond = self.beyond_rad(body, opening.clear_radius_m);
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
        for (end, sense) in [(0, &joint.turns.minus), (1, &joint.turns.plus)] {
            let Some(stop) = sweep.stops[end].as_ref().filter(|stop| stop.against != Obstacle::Limit) else { continue };
            let what = if stop.against == Obstacle::Arm { "an arm of the head" } else { "the platform" };
            let at_deg = sweep.free_rad[end].abs() / DEGREE_RAD;
            let reached = |each: &&crate::package::Move| {
                let range = each.ranges.iter().find(|range| range.joint == sweep.joint);
                range.is_some_and(|range| {
                    let wanted_rad = range.range_rad[end];
                    if end == 0 { wanted_rad < sweep.free_rad[0] } else { wanted_rad > sweep.free_rad[1] }
                })
            };
            let severity = match package.moves.iter().find(reached) {
                Some(_) => Severity::NoGo,
                None if sweep.free_rad == [0.0, 0.0] => Severity::NoGo,
                None => Severity::Note,
            };
            let text = format!("\"{}\" meets {what} at {at_deg:.0}° of {} ({sense}).", stop.part, sweep.name);
            found.push(FitFinding { severity, part: stop.part.clone(), text });
        }
    }
}
