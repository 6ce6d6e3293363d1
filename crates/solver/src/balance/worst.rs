//! The worst unbalance of a joint while the joints inside it turn.

use nalgebra::{Matrix3, Vector3};

use super::moments::across;
use crate::float;
use crate::linkage::Linkage;

/// Largest |(E − aaᵀ) Σ m(**r** − **p**)| of every joint over the travel of the joints inside it, platform first, kg·m.
///
/// `limits_rad` holds each joint's travel; a joint without limits turns all the way round. When the joints inside are
/// neutral the value is that of the reference pose. Every hill of a grid that might hold the highest peak is climbed to a
/// millionth of a radian: the highest point of a grid need not stand on the highest hill.
pub fn worst_unbalance_kg_m(linkage: &Linkage, limits_rad: &[Option<[f64; 2]>]) -> Vec<f64> {
    (0..linkage.links.len()).map(|joint| Search { linkage, limits_rad, joint }.largest()).collect()
}

struct Search<'a> {
    linkage: &'a Linkage,
    limits_rad: &'a [Option<[f64; 2]>],
    joint: usize,
}

/// Where the joints inside the one that is searched stand: their angles, and the rotations that these make.
#[derive(Clone)]
struct Stand {
    angles_rad: Vec<f64>,
    turns: Vec<Matrix3<f64>>,
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
        let rest = Stand { angles_rad: vec![0.0; travels.len()], turns: vec![Matrix3::identity(); travels.len()] };
        let mut highest = self.value(&rest.turns);
        for hill in self.hills(&live, &travels, &rest) {
            highest = highest.max(self.climb(&live, &travels, hill));
        }
        highest
    }

    fn travel(&self, joint: usize) -> [f64; 2] {
        use core::f64::consts::PI;
        self.limits_rad.get(joint).copied().flatten().unwrap_or([-PI, PI])
    }

    fn axis(&self, inner: usize) -> &Vector3<f64> {
        &self.linkage.links[self.joint + 1 + inner].axis
    }

    /// The points of a grid over the live joints that no neighbour along one joint overtops, and that come near enough
    /// to the highest to hide the highest peak beside them.
    fn hills(&self, live: &[usize], travels: &[[f64; 2]], rest: &Stand) -> Vec<Stand> {
        if live.is_empty() {
            return Vec::new();
        }
        let steps = match live.len() {
            1 | 2 => 24,
            3 => 16,
            _ => 8,
        };
        let per_joint = steps + 1;
        // Every angle of the grid is turned once, not once for every point.
        let grid: Vec<Vec<(f64, Matrix3<f64>)>> = live
            .iter()
            .map(|index| {
                let [low, high] = travels[*index];
                let angle_rad = |step: usize| low + (high - low) * step as f64 / steps as f64;
                (0..per_joint).map(|step| (angle_rad(step), turn(self.axis(*index), angle_rad(step)))).collect()
            })
            .collect();
        let count = (0..live.len()).fold(1, |count, _| count * per_joint);
        let stand_at = |number: usize, stand: &mut Stand| {
            let mut digits = number;
            for (index, turned) in live.iter().zip(&grid) {
                (stand.angles_rad[*index], stand.turns[*index]) = turned[digits % per_joint];
                digits /= per_joint;
            }
        };
        let mut stand = rest.clone();
        let values: Vec<f64> = (0..count)
            .map(|number| {
                stand_at(number, &mut stand);
                self.value(&stand.turns)
            })
            .collect();
        let near_highest = 0.9 * values.iter().copied().fold(0.0, f64::max);
        let overtopped = |number: usize| {
            let mut stride = 1;
            (0..live.len()).any(|_| {
                let digit = number / stride % per_joint;
                let below = digit > 0 && values[number - stride] > values[number];
                let above = digit < steps && values[number + stride] > values[number];
                stride *= per_joint;
                below || above
            })
        };
        (0..count)
            .filter(|number| values[*number] >= near_highest && !overtopped(*number))
            .map(|number| {
                let mut hill = rest.clone();
                stand_at(number, &mut hill);
                hill
            })
            .collect()
    }

    /// Coordinate search with a shrinking step: the value is smooth, and the grid has found the hill.
    fn climb(&self, live: &[usize], travels: &[[f64; 2]], mut stand: Stand) -> f64 {
        let mut value = self.value(&stand.turns);
        let mut step_rad = 0.13;
        while step_rad > 1e-6 {
            let before = value;
            for index in live {
                for sign in [-1.0, 1.0] {
                    let old = (stand.angles_rad[*index], stand.turns[*index]);
                    let [low, high] = travels[*index];
                    let angle_rad = (old.0 + sign * step_rad).clamp(low, high);
                    stand.turns[*index] = turn(self.axis(*index), angle_rad);
                    let found = self.value(&stand.turns);
                    if found > value {
                        (value, stand.angles_rad[*index]) = (found, angle_rad);
                    } else {
                        stand.turns[*index] = old.1;
                    }
                }
            }
            if value <= before {
                step_rad *= 0.5;
            }
        }
        value
    }

    fn value(&self, turns: &[Matrix3<f64>]) -> f64 {
        let links = &self.linkage.links;
        let mut moment = Vector3::zeros();
        let mut mass_kg = 0.0;
        for joint in (self.joint..links.len()).rev() {
            if let Some(inner) = links.get(joint + 1) {
                moment = turns[joint - self.joint] * moment + inner.origin_m * mass_kg;
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
