//! The chain of one pose in a wind from anywhere.

use nalgebra::{Matrix3, Vector3, Vector4};

use super::headings::{COSINES, HEADINGS, LOWEST_HILL, SHORTER, SINES, STEP_RAD, TRIED, Tried, level_axes, turned};
use super::{Sail, facing};
use crate::bounds::MAX_JOINTS;
use crate::float;

/// One link in the wind: where it stands and how it is turned.
#[derive(Debug, Clone, Copy)]
pub struct Standing<'a> {
    /// What the wind finds on it.
    pub sail: &'a Sail,
    /// Its axes in the axes of the outermost link.
    pub rotation: &'a Matrix3<f64>,
    /// Its joint's axis in the same axes.
    pub axis: &'a Vector3<f64>,
    /// Its joint's origin in the same axes, m.
    pub origin_m: &'a Vector3<f64>,
}

/// The chain of one pose in a level wind from anywhere. Entries beyond its joints and links mean nothing.
///
/// What every link shows the wind, its lever and the axis of a joint are folded into two vectors of four numbers for
/// each link and joint, so that one more heading costs a few multiplications.
#[derive(Debug, Clone)]
pub struct Exposure {
    joints: usize,
    up: Vector3<f64>,
    level: [Vector3<f64>; 2],
    faces: [Face; MAX_JOINTS],
    shown: [Shown; MAX_JOINTS],
    count: usize,
}

/// One link that shows the wind anything at all.
#[derive(Debug, Clone, Copy)]
struct Face {
    link: usize,
    /// The two level axes in the link's own axes.
    level: [Vector3<f64>; 2],
    /// Torque about each joint outside it per unit of what the wind sees, along the two level axes.
    about: [[Vector4<f64>; 2]; MAX_JOINTS],
}

/// What one face shows the wind at every tried heading: one row for each of the four areas. In single precision, of which
/// twice as many go through a processor at a time: the tried headings choose, and what is chosen is worked out anew.
type Shown = [[f32; HEADINGS]; 4];

impl Exposure {
    /// Room for one pose; [`Exposure::set`] fills it.
    pub fn new() -> Self {
        let level = [Vector3::zeros(); 2];
        let face = Face { link: 0, level, about: [[Vector4::zeros(); 2]; MAX_JOINTS] };
        Self {
            joints: 0,
            up: Vector3::zeros(),
            level,
            faces: [face; MAX_JOINTS],
            shown: [[[0.0; HEADINGS]; 4]; MAX_JOINTS],
            count: 0,
        }
    }

    /// Takes the chain in one pose, links platform first, with the vertical along the unit vector `up`, for the joints
    /// from `outermost` inwards.
    pub fn set(&mut self, links: &[Standing<'_>], up: &Vector3<f64>, outermost: usize) {
        self.joints = links.len().min(MAX_JOINTS);
        if self.up != *up {
            (self.up, self.level) = (*up, level_axes(up));
        }
        self.count = 0;
        let mut levers = [[Vector3::zeros(); 2]; MAX_JOINTS];
        for (lever, link) in levers.iter_mut().zip(links) {
            *lever = self.level.map(|level| level.cross(link.axis));
        }
        for (place, link) in links.iter().take(MAX_JOINTS).enumerate().skip(outermost) {
            if link.sail.area_m2 == Vector4::zeros() {
                continue;
            }
            let face = &mut self.faces[self.count];
            face.link = place;
            let level = self.level.map(|level| link.rotation.tr_mul(&level));
            // From one pose to the next only what is inside the joint that has turned looks another way.
            if face.level != level {
                face.level = level;
                show(&face.level, &mut self.shown[self.count]);
            }
            self.count += 1;
            let moment_m3 = link.rotation * link.sail.moment_m3;
            for (joint, outer) in links.iter().enumerate().take(place + 1).skip(outermost) {
                let arm_m = link.origin_m - outer.origin_m;
                // **a**·(**r** × **w**) = **r**·(**w** × **a**), with **r** from the joint.
                face.about[joint] =
                    levers[joint].map(|lever| moment_m3.tr_mul(&lever) + link.sail.area_m2 * arm_m.dot(&lever));
            }
        }
    }

    /// Torque about a joint of a wind `cos` along the first and `sin` along the second level axis, per pascal of
    /// dynamic pressure, m³.
    fn torque_m3(&self, joint: usize, cos: f64, sin: f64) -> f64 {
        let mut torque = 0.0;
        for face in &self.faces[..self.count] {
            if face.link >= joint {
                torque += face.torque_m3(&face.seen(cos, sin), joint, cos, sin);
            }
        }
        torque
    }

    /// Largest torque about every joint, per pascal, m³: the top of the parabola through the best of the tried headings
    /// and its neighbours.
    pub fn largest_m3(&self, largest: &mut [f64]) {
        for (joint, largest) in largest.iter_mut().enumerate() {
            *largest = self.tried(joint).top();
        }
    }

    /// The torque about one joint at every tried heading.
    pub fn tried(&self, joint: usize) -> Tried {
        let mut tried = [0.0; HEADINGS];
        for (face, [ahead, aside, up, round]) in self.faces[..self.count].iter().zip(&self.shown) {
            if face.link < joint {
                continue;
            }
            let [cosine, sine] = face.about[joint].map(single);
            for (heading, tried) in tried.iter_mut().enumerate() {
                let [a, b, c, d] = [ahead[heading], aside[heading], up[heading], round[heading]];
                *tried += (a * cosine[0] + b * cosine[1] + c * cosine[2] + d * cosine[3]) * COSINES[heading]
                    + (a * sine[0] + b * sine[1] + c * sine[2] + d * sine[3]) * SINES[heading];
            }
        }
        Tried(tried)
    }

    /// Largest torque about one joint over every heading, per pascal, m³, and the direction of the wind that does it.
    /// The highest hills over the tried headings are climbed: what the wind sees has creases, so the highest heading
    /// that was tried need not stand on the highest hill.
    pub fn worst_m3(&self, joint: usize, tried: &Tried) -> (f64, Vector3<f64>) {
        let hills = tried.hills();
        let mut worst = (0.0, TRIED[hills[0].0]);
        for (heading, _) in hills.into_iter().filter(|hill| hill.1 > LOWEST_HILL * hills[0].1) {
            let [cos, sin] = TRIED[heading];
            let mut top = (self.torque_m3(joint, cos, sin).abs(), TRIED[heading]);
            let mut ask = |[cos, sin]: [f64; 2]| {
                let torque = self.torque_m3(joint, cos, sin).abs();
                if torque > top.0 {
                    top = (torque, [cos, sin]);
                }
                top.1
            };
            let (sin, cos) = float::sin_cos(tried.hill(heading).0 * STEP_RAD);
            let mut here = ask(turned(TRIED[heading], [cos, sin]));
            for [cos, sin] in SHORTER {
                ask(turned(here, [cos, sin]));
                here = ask(turned(here, [cos, -sin]));
            }
            if top.0 > worst.0 {
                worst = top;
            }
        }
        let [cos, sin] = worst.1;
        (worst.0, self.level[0] * cos + self.level[1] * sin)
    }
}

impl Default for Exposure {
    fn default() -> Self {
        Self::new()
    }
}

/// The same numbers in single precision.
#[expect(clippy::cast_possible_truncation, reason = "a choice among headings needs no more digits")]
fn single(of: Vector4<f64>) -> [f32; 4] {
    [of.x as f32, of.y as f32, of.z as f32, of.w as f32]
}

/// What a face whose level axes are given in its own axes shows at every tried heading.
fn show(level: &[Vector3<f64>; 2], [ahead, aside, up, round]: &mut Shown) {
    let [first, second] = level.map(|axis| single(axis.push(0.0)));
    for heading in 0..HEADINGS {
        let (cos, sin) = (COSINES[heading], SINES[heading]);
        let y = first[1] * cos + second[1] * sin;
        let z = first[2] * cos + second[2] * sin;
        ahead[heading] = (first[0] * cos + second[0] * sin).abs();
        aside[heading] = y.abs();
        up[heading] = z.abs();
        round[heading] = float::sqrt_single(y * y + z * z);
    }
}

impl Face {
    fn seen(&self, cos: f64, sin: f64) -> Vector4<f64> {
        facing(&(self.level[0] * cos + self.level[1] * sin))
    }

    fn torque_m3(&self, seen: &Vector4<f64>, joint: usize, cos: f64, sin: f64) -> f64 {
        let [ahead, aside] = &self.about[joint];
        seen.dot(ahead) * cos + seen.dot(aside) * sin
    }
}
