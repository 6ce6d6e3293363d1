//! The worst unbalance of a joint while the joints inside it turn.

use nalgebra::{Matrix3, Vector3};

use super::moments::across;
use crate::float;
use crate::linkage::Linkage;

/// Largest |(E − aaᵀ) Σ m(**r** − **p**)| of every joint over the travel of the joints inside it, platform first, kg·m.
///
/// `limits_rad` holds each joint's travel; a joint without limits turns all the way round. When the joints inside are
/// neutral the value is that of the reference pose. Searched on a grid of 15° and refined to a millionth.
pub fn worst_unbalance_kg_m(linkage: &Linkage, limits_rad: &[Option<[f64; 2]>]) -> Vec<f64> {
    (0..linkage.links.len()).map(|joint| Search { linkage, limits_rad, joint }.largest()).collect()
}

/// Steps over a joint's travel: 15° when it turns all the way round.
const STEPS: usize = 24;

struct Search<'a> {
    linkage: &'a Linkage,
    limits_rad: &'a [Option<[f64; 2]>],
    joint: usize,
}

impl Search<'_> {
    fn largest(&self) -> f64 {
        let inner = self.joint + 1..self.linkage.links.len();
        let travels: Vec<[f64; 2]> = inner.clone().map(|joint| self.travel(joint)).collect();
        // A joint whose inboard side is neutral about it changes nothing when it turns: leave it where it is.
        let inboard = self.linkage.inboard();
        let live: Vec<usize> = inner
            .filter(|joint| {
                let moment = across(&self.linkage.links[*joint].axis, &inboard[*joint].moment_kg_m);
                moment.norm() > 1e-12 * (inboard[*joint].mass_kg + 1e-3)
            })
            .map(|joint| joint - self.joint - 1)
            .collect();
        let mut angles = vec![0.0; travels.len()];
        let mut best = (self.value(&angles), angles.clone());
        self.grid(&live, &travels, &mut angles, &mut best);
        self.refine(&live, &travels, best)
    }

    fn travel(&self, joint: usize) -> [f64; 2] {
        use core::f64::consts::PI;
        self.limits_rad.get(joint).copied().flatten().unwrap_or([-PI, PI])
    }

    fn grid(&self, live: &[usize], travels: &[[f64; 2]], angles: &mut Vec<f64>, best: &mut (f64, Vec<f64>)) {
        let Some((first, rest)) = live.split_first() else {
            let value = self.value(angles);
            if value > best.0 {
                *best = (value, angles.clone());
            }
            return;
        };
        let [low, high] = travels[*first];
        for step in 0..=STEPS {
            angles[*first] = low + (high - low) * step as f64 / STEPS as f64;
            self.grid(rest, travels, angles, best);
        }
        angles[*first] = 0.0;
    }

    /// Coordinate search with a shrinking step: the value is smooth and the grid has found its hill.
    fn refine(&self, live: &[usize], travels: &[[f64; 2]], (mut value, mut angles): (f64, Vec<f64>)) -> f64 {
        let mut step_rad = 0.13;
        while step_rad > 1e-6 && !live.is_empty() {
            let before = value;
            for index in live {
                for sign in [-1.0, 1.0] {
                    let mut trial = angles.clone();
                    trial[*index] = (trial[*index] + sign * step_rad).clamp(travels[*index][0], travels[*index][1]);
                    let found = self.value(&trial);
                    if found > value {
                        (value, angles) = (found, trial);
                    }
                }
            }
            if value <= before {
                step_rad *= 0.5;
            }
        }
        value
    }

    fn value(&self, inner_angles: &[f64]) -> f64 {
        let links = &self.linkage.links;
        let mut moment = Vector3::zeros();
        let mut mass_kg = 0.0;
        for joint in (self.joint..links.len()).rev() {
            if joint + 1 < links.len() {
                let inner = &links[joint + 1];
                moment = turn(&inner.axis, inner_angles[joint - self.joint]) * moment + inner.origin_m * mass_kg;
            }
            moment += links[joint].body.moment_kg_m;
            mass_kg += links[joint].body.mass_kg;
        }
        across(&links[self.joint].axis, &moment).norm()
    }
}

/// Rotation by `angle_rad` about a unit axis (Rodrigues).
pub(crate) fn turn(axis: &Vector3<f64>, angle_rad: f64) -> Matrix3<f64> {
    let (sin, cos) = float::sin_cos(angle_rad);
    let cross = axis.cross_matrix();
    Matrix3::identity() + cross * sin + cross * cross * (1.0 - cos)
}
