//! The worst unbalance of a joint while the joints inside it turn.

use nalgebra::{Matrix3, Vector3};

use super::moments::across;
use crate::float;
use crate::linkage::Linkage;
use crate::mass::MassProperties;

/// Largest |(E − aaᵀ) Σ m(**r** − **p**)| of every joint over the travel of the joints inside it, platform first, kg·m.
///
/// `limits_rad` holds each joint's travel; a joint without limits turns all the way round. When the joints inside are
/// neutral the value is that of the reference pose. Every hill of a grid that might hold the highest peak is climbed: the
/// highest point of a grid need not stand on the highest hill.
pub fn worst_unbalance_kg_m(linkage: &Linkage, limits_rad: &[Option<[f64; 2]>]) -> Vec<f64> {
    let inboard = linkage.inboard();
    (0..linkage.links.len()).map(|joint| Search::new(linkage, &inboard, limits_rad, joint).largest()).collect()
}

/// Widest step of the grid along one joint, rad, for so many joints that matter: a turn in 24, 16 or 8 steps. The square
/// of an unbalance is a trigonometric polynomial of the second degree in each angle.
fn widest_step_rad(live: usize) -> f64 {
    let steps = match live {
        1 | 2 => 24.0,
        3 => 16.0,
        _ => 8.0,
    };
    2.0 * core::f64::consts::PI / steps
}

/// Steps that every joint's travel has at least.
const LEAST_STEPS: f64 = 4.0;

/// Share of the highest point of the grid, squared, from which a hill may hold the highest peak.
const NEAR_HIGHEST: f64 = 0.81;

/// Two values this near to each other, as a share, stand level: what turns nothing leaves a plateau, not many hills.
const LEVEL: f64 = 1e-12;

/// Rounds over the joints after which a climb ends in any case.
const ROUNDS: usize = 60;

struct Search<'a> {
    linkage: &'a Linkage,
    joint: usize,
    /// The joints inside that change anything when they turn, outermost first, with their travel.
    live: Vec<(usize, [f64; 2])>,
}

impl<'a> Search<'a> {
    fn new(linkage: &'a Linkage, inboard: &[MassProperties], limits_rad: &[Option<[f64; 2]>], joint: usize) -> Self {
        use core::f64::consts::PI;
        // A joint whose inboard side is neutral about it changes nothing when it turns: leave it where it is. Neutral at
        // rest is not enough: what turns further in and is not neutral brings its moment across every joint outside it.
        let neutral = |inner: &usize| {
            let moment = across(&linkage.links[*inner].axis, &inboard[*inner].moment_kg_m);
            moment.norm() <= 1e-12 * (inboard[*inner].mass_kg + 1e-3)
        };
        let innermost_live = (joint + 1..linkage.links.len()).rev().find(|inner| !neutral(inner));
        let live = innermost_live
            .map_or(0..0, |innermost| joint + 1..innermost + 1)
            .map(|inner| (inner, limits_rad.get(inner).copied().flatten().unwrap_or([-PI, PI])))
            .collect();
        Self { linkage, joint, live }
    }

    fn largest(&self) -> f64 {
        let rest = vec![0.0; self.live.len()];
        let mut highest = self.squared(&rest);
        for hill in self.hills() {
            highest = highest.max(self.climb(hill));
        }
        float::sqrt(highest)
    }

    /// The points of a grid over the live joints that no neighbour along one joint overtops, and that come near enough
    /// to the highest to hide the highest peak beside them: the angles of the live joints.
    fn hills(&self) -> Vec<Vec<f64>> {
        if self.live.is_empty() {
            return Vec::new();
        }
        let widest_rad = widest_step_rad(self.live.len());
        let angles_rad: Vec<Vec<f64>> = self.live.iter().map(|(_, travel)| spread(*travel, widest_rad)).collect();
        // Every angle of the grid is turned once, not once for every point.
        let grid: Vec<Vec<Matrix3<f64>>> = self
            .live
            .iter()
            .zip(&angles_rad)
            .map(|((inner, _), angles)| angles.iter().map(|angle| turn(self.axis(*inner), *angle)).collect())
            .collect();
        let mut values = Vec::with_capacity(grid.iter().map(Vec::len).product());
        self.fill(&grid, self.linkage.links.len(), Vector3::zeros(), 0.0, &mut values);
        let near_highest = NEAR_HIGHEST * values.iter().copied().fold(0.0, f64::max);
        let overtopped = |number: usize| {
            let mut stride = 1;
            angles_rad.iter().any(|angles| {
                let digit = number / stride % angles.len();
                // Of neighbours that stand level the first counts.
                let below = digit > 0 && values[number - stride] >= values[number] * (1.0 - LEVEL);
                let above = digit + 1 < angles.len() && values[number + stride] > values[number] * (1.0 + LEVEL);
                stride *= angles.len();
                below || above
            })
        };
        (0..values.len())
            .filter(|number| values[*number] >= near_highest && !overtopped(*number))
            .map(|number| {
                let mut rest = number;
                let angle = |angles: &Vec<f64>| {
                    let angle_rad = angles[rest % angles.len()];
                    rest /= angles.len();
                    angle_rad
                };
                angles_rad.iter().map(angle).collect()
            })
            .collect()
    }

    /// Squares of the unbalance at every point of the grid, the outermost live joint turning fastest. `moment_kg_m` and
    /// `mass_kg` are those of everything from link `from` inwards, in that link's frame.
    fn fill(
        &self,
        grid: &[Vec<Matrix3<f64>>],
        from: usize,
        moment_kg_m: Vector3<f64>,
        mass_kg: f64,
        values: &mut Vec<f64>,
    ) {
        let links = &self.linkage.links;
        let Some(joint) = from.checked_sub(1) else { return };
        let link = &links[joint];
        let carried = links.get(from).map_or_else(Vector3::zeros, |inner| inner.origin_m * mass_kg);
        let (moment_kg_m, mass_kg) = (moment_kg_m + carried + link.body.moment_kg_m, mass_kg + link.body.mass_kg);
        if joint == self.joint {
            values.push(across(&link.axis, &moment_kg_m).norm_squared());
            return;
        }
        match self.live.iter().position(|(inner, _)| *inner == joint) {
            Some(place) => {
                for turned in &grid[place] {
                    self.fill(grid, joint, turned * moment_kg_m, mass_kg, values);
                }
            }
            None => self.fill(grid, joint, moment_kg_m, mass_kg, values),
        }
    }

    /// Climbs to the top, one joint after the other to the top along it, until no joint gains anything.
    fn climb(&self, mut angles_rad: Vec<f64>) -> f64 {
        let mut highest = self.squared(&angles_rad);
        for _ in 0..ROUNDS {
            let before = highest;
            for place in 0..self.live.len() {
                let (_, travel) = self.live[place];
                (angles_rad[place], highest) = self.arc(&angles_rad, place).climbed(angles_rad[place], travel);
            }
            if highest <= before * (1.0 + 1e-15) {
                break;
            }
        }
        highest
    }

    fn squared(&self, angles_rad: &[f64]) -> f64 {
        let links = &self.linkage.links;
        let (mut moment_kg_m, mut mass_kg) = (Vector3::zeros(), 0.0);
        for joint in (self.joint..links.len()).rev() {
            if let Some(inner) = links.get(joint + 1) {
                moment_kg_m = self.turned(joint + 1, angles_rad, &moment_kg_m) + inner.origin_m * mass_kg;
            }
            moment_kg_m += links[joint].body.moment_kg_m;
            mass_kg += links[joint].body.mass_kg;
        }
        across(&links[self.joint].axis, &moment_kg_m).norm_squared()
    }

    /// The unbalance as one joint turns and the others stay.
    fn arc(&self, angles_rad: &[f64], place: usize) -> Arc {
        let links = &self.linkage.links;
        let turning = self.live[place].0;
        let (mut moment_kg_m, mut mass_kg) = (Vector3::zeros(), 0.0);
        for joint in (turning..links.len()).rev() {
            if let Some(inner) = links.get(joint + 1) {
                moment_kg_m = self.turned(joint + 1, angles_rad, &moment_kg_m) + inner.origin_m * mass_kg;
            }
            moment_kg_m += links[joint].body.moment_kg_m;
            mass_kg += links[joint].body.mass_kg;
        }
        let axis = links[turning].axis;
        let along = axis * axis.dot(&moment_kg_m);
        let (mut still, mut cosine, mut sine) = (along, moment_kg_m - along, axis.cross(&moment_kg_m));
        for joint in (self.joint..turning).rev() {
            still += links[joint + 1].origin_m * mass_kg + links[joint].body.moment_kg_m;
            mass_kg += links[joint].body.mass_kg;
            if joint > self.joint {
                [still, cosine, sine] = [still, cosine, sine].map(|each| self.turned(joint, angles_rad, &each));
            }
        }
        let across = |vector: &Vector3<f64>| across(&links[self.joint].axis, vector);
        Arc { still: across(&still), cosine: across(&cosine), sine: across(&sine) }
    }

    fn turned(&self, joint: usize, angles_rad: &[f64], vector: &Vector3<f64>) -> Vector3<f64> {
        match self.live.iter().position(|(inner, _)| *inner == joint) {
            Some(place) => rotated(self.axis(joint), angles_rad[place], vector),
            None => *vector,
        }
    }

    fn axis(&self, joint: usize) -> &Vector3<f64> {
        &self.linkage.links[joint].axis
    }
}

/// Angles over a travel, ends included, no further apart than `widest_rad`.
fn spread([low, high]: [f64; 2], widest_rad: f64) -> Vec<f64> {
    let count = libm::ceil((high - low) / widest_rad - 1e-9).max(LEAST_STEPS);
    let mut angles_rad = Vec::new();
    let mut step = 0.0;
    while step <= count {
        angles_rad.push(low + (high - low) * step / count);
        step += 1.0;
    }
    angles_rad
}

/// |**s** + **c**·cos q + **d**·sin q|² along one joint.
struct Arc {
    still: Vector3<f64>,
    cosine: Vector3<f64>,
    sine: Vector3<f64>,
}

impl Arc {
    /// Value, slope and bend.
    fn at(&self, angle_rad: f64) -> [f64; 3] {
        let (sin, cos) = float::sin_cos(angle_rad);
        let swung = self.cosine * cos + self.sine * sin;
        let (here, ahead) = (self.still + swung, self.sine * cos - self.cosine * sin);
        [here.norm_squared(), 2.0 * here.dot(&ahead), 2.0 * (ahead.norm_squared() - here.dot(&swung))]
    }

    /// Angle and value at the top of the hill that stands at an angle, within the travel: Newton's steps where the arc
    /// is a hill, fixed ones uphill where it is not, halved until they gain.
    fn climbed(&self, start_rad: f64, [low, high]: [f64; 2]) -> (f64, f64) {
        const UPHILL_RAD: f64 = 0.13;
        let mut angle_rad = start_rad;
        let [mut value, mut slope, mut bend] = self.at(angle_rad);
        for _ in 0..12 {
            let newton = if bend < 0.0 { -slope / bend } else { UPHILL_RAD.copysign(slope) };
            let mut step_rad = newton.clamp(-UPHILL_RAD, UPHILL_RAD);
            let found = loop {
                let tried_rad = (angle_rad + step_rad).clamp(low, high);
                if (tried_rad - angle_rad).abs() < 1e-9 {
                    return (angle_rad, value);
                }
                let found = self.at(tried_rad);
                if found[0] > value {
                    break (tried_rad, found);
                }
                step_rad *= 0.5;
            };
            angle_rad = found.0;
            [value, slope, bend] = found.1;
        }
        (angle_rad, value)
    }
}

/// A vector turned by `angle_rad` about a unit axis (Rodrigues).
fn rotated(axis: &Vector3<f64>, angle_rad: f64, vector: &Vector3<f64>) -> Vector3<f64> {
    let (sin, cos) = float::sin_cos(angle_rad);
    vector * cos + axis.cross(vector) * sin + axis * (axis.dot(vector) * (1.0 - cos))
}

/// Rotation by `angle_rad` about a unit axis (Rodrigues).
fn turn(axis: &Vector3<f64>, angle_rad: f64) -> Matrix3<f64> {
    let (sin, cos) = float::sin_cos(angle_rad);
    let cross = axis.cross_matrix();
    Matrix3::identity() + cross * sin + cross * cross * (1.0 - cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::linkage::Link;

    /// Against every pose of a fine grid over the travel, on random chains of two to four joints.
    #[test]
    fn no_pose_of_a_fine_grid_is_worse() {
        let mut random = 0.377_123;
        let mut next = move || {
            // A chaotic map is random enough to leave no symmetry.
            random = 3.99 * random * (1.0 - random);
            2.0 * random - 1.0
        };
        for case in 0..24 {
            let joints = 2 + case % 3;
            let links = (0..joints)
                .map(|_| {
                    let mut vector = |scale: f64| Vector3::new(next(), next(), next()) * scale;
                    let (axis, origin_m, cg_m) = (vector(1.0).normalize(), vector(0.2), vector(0.1));
                    Link { axis, origin_m, body: MassProperties::new(3.0, cg_m, Matrix3::identity() * 0.01) }
                })
                .collect();
            let linkage = Linkage { base: MassProperties::zero(), links };
            let limits_rad: Vec<Option<[f64; 2]>> =
                (0..joints).map(|joint| if joint % 2 == 0 { Some([-0.8 + next(), 0.9]) } else { None }).collect();
            let found = worst_unbalance_kg_m(&linkage, &limits_rad);
            for (joint, found) in found.into_iter().enumerate() {
                let fine = fine(&linkage, &limits_rad, joint);
                assert!(found >= fine - 1e-12 && found < fine * 1.002, "case {case}, {joint}: {found} {fine}");
            }
        }
    }

    /// The slow way: every combination of some fifty angles a joint.
    fn fine(linkage: &Linkage, limits_rad: &[Option<[f64; 2]>], joint: usize) -> f64 {
        use core::f64::consts::PI;
        let inner: Vec<usize> = (joint + 1..linkage.links.len()).collect();
        let steps: usize = if inner.len() > 2 { 48 } else { 120 };
        let mut largest = 0.0_f64;
        for number in 0..inner.iter().fold(1, |count, _| count * (steps + 1)) {
            let mut rest = number;
            let (mut moment, mut mass_kg) = (Vector3::zeros(), 0.0);
            for at in (joint..linkage.links.len()).rev() {
                let link = &linkage.links[at];
                moment += link.body.moment_kg_m;
                mass_kg += link.body.mass_kg;
                if at > joint {
                    let [low, high] = limits_rad[at].unwrap_or([-PI, PI]);
                    let angle_rad = low + (high - low) * (rest % (steps + 1)) as f64 / steps as f64;
                    rest /= steps + 1;
                    moment = rotated(&link.axis, angle_rad, &moment) + link.origin_m * mass_kg;
                }
            }
            largest = largest.max(across(&linkage.links[joint].axis, &moment).norm());
        }
        largest
    }

    /// By hand: 1 kg·m ahead of tilt, 1 kg·m to the left of pan. Roll is neutral at rest, but with the lens straight down
    /// and rolled by φ the moment about pan is 1 + sin φ, more than the √2 of the rest pose.
    #[test]
    fn a_joint_that_is_neutral_at_rest_counts_where_one_inside_it_is_not() {
        let link = |axis: Vector3<f64>, cg_m: Vector3<f64>| Link {
            axis,
            origin_m: Vector3::zeros(),
            body: MassProperties::new(1.0, cg_m, Matrix3::zeros()),
        };
        let links = vec![
            link(Vector3::z(), Vector3::y()),
            link(Vector3::x(), Vector3::zeros()),
            link(Vector3::y(), Vector3::x()),
        ];
        let quarter = core::f64::consts::FRAC_PI_2;
        let limits_rad = [None, Some([-0.5 * quarter, 0.5 * quarter]), Some([-quarter, quarter])];
        let worst = worst_unbalance_kg_m(&Linkage { base: MassProperties::zero(), links }, &limits_rad);
        assert!((worst[0] - (1.0 + core::f64::consts::FRAC_1_SQRT_2)).abs() < 1e-9, "{worst:?}");
        assert!((worst[1] - 1.0).abs() < 1e-9 && (worst[2] - 1.0).abs() < 1e-12, "{worst:?}");
    }

    /// What is neutral inside leaves the reference pose's value.
    #[test]
    fn neutral_inner_joints_change_nothing() {
        let link = |axis: Vector3<f64>, cg_m: Vector3<f64>| Link {
            axis,
            origin_m: Vector3::zeros(),
            body: MassProperties::new(2.0, cg_m, Matrix3::zeros()),
        };
        let links = vec![
            link(Vector3::z(), Vector3::x() * 0.1),
            link(Vector3::x(), Vector3::zeros()),
            link(Vector3::y(), Vector3::zeros()),
        ];
        let worst = worst_unbalance_kg_m(&Linkage { base: MassProperties::zero(), links }, &[None, None, None]);
        assert!((worst[0] - 0.2).abs() < 1e-15 && worst[1].abs() < 1e-15 && worst[2].abs() < 1e-15);
    }
}
