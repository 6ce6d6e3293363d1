//! The head itself, as simple arms: from the base through every joint to the camera, drawn from the chain alone.
//!
//! The chain says where joints are, not what the metal between them looks like. So each yoke is an arm that leaves its
//! joint, goes round the clear space of the camera along the main directions and arrives at the next joint's bearings.

use solver::package::Opening;

use super::projection::plus;

/// A joint where the drawing needs it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bone {
    /// Id of the joint.
    pub(crate) id: String,
    /// Name of the joint.
    pub(crate) name: String,
    /// Unit axis.
    pub(crate) axis: [f64; 3],
    /// Origin in the head's frame at zero displacement, m.
    pub(crate) origin_m: [f64; 3],
    /// How many slides stand outside it.
    pub(crate) rides: usize,
}

impl Bone {
    /// Which of x, y and z its axis lies along most.
    pub(crate) fn along(&self) -> usize {
        main_axis(self.axis)
    }
}

/// Which of x, y and z a direction lies along most.
pub(crate) fn main_axis(direction: [f64; 3]) -> usize {
    let [x, y, z] = direction.map(f64::abs);
    if x >= y && x >= z {
        0
    } else if y >= z {
        1
    } else {
        2
    }
}

/// How large the head is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Build {
    /// Half the clear width, m.
    pub(crate) half_width_m: f64,
    /// Radius that stays clear, m.
    pub(crate) clear_m: f64,
    /// Thickness of an arm, m.
    pub(crate) arm_m: f64,
}

impl Build {
    /// From the head's opening, or round a camera of the given size when it states none.
    pub(crate) fn new(opening: Option<&Opening>, camera_m: [f64; 3]) -> Self {
        let (width_m, clear_m) = opening
            .map_or((camera_m[1].max(0.08) + 0.04, 0.55 * camera_m[0].max(camera_m[2]).max(0.2)), |opening| {
                (opening.width_m, opening.clear_radius_m)
            });
        Self { half_width_m: 0.5 * width_m, clear_m, arm_m: (0.13 * width_m).clamp(0.014, 0.05) }
    }

    /// Radius of a motor's case, m.
    pub(crate) fn motor_m(&self) -> f64 {
        1.5 * self.arm_m
    }

    /// Where the bearings of a joint sit: on both sides of the camera, behind it, or above it.
    pub(crate) fn bearings_m(&self, bone: &Bone, outermost: bool) -> Vec<[f64; 3]> {
        let at = |axis: usize, off_m: f64| {
            let mut by_m = [0.0; 3];
            by_m[axis] = off_m;
            plus(bone.origin_m, by_m)
        };
        match bone.along() {
            0 => vec![at(0, -self.clear_m - self.arm_m)],
            1 => [1.0, -1.0].map(|side| at(1, side * (self.half_width_m + self.arm_m))).to_vec(),
            _ if outermost => vec![bone.origin_m],
            _ => vec![at(2, self.clear_m + self.arm_m)],
        }
    }
}

/// One arm: corners from outside to inside, at zero displacement, m.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Arm {
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Its corners.
    pub(crate) corners_m: Vec<[f64; 3]>,
}

/// The arms of a head, outermost first: between its joints, and from the innermost to where the camera sits.
///
/// `sits_m` is the place of the camera, `floor_rides` how many slides stand outside the floor that it slides on.
pub(crate) fn arms(build: &Build, bones: &[Bone], sits_m: [f64; 3], floor_rides: usize) -> Vec<Arm> {
    let mut arms = Vec::new();
    for (index, bone) in bones.iter().enumerate() {
        let from = build.bearings_m(bone, index == 0);
        let (to, rides) = match bones.get(index + 1) {
            Some(inner) => (build.bearings_m(inner, false), inner.rides),
            None => (vec![sits_m], floor_rides),
        };
        for start in &from {
            // A fork meets a fork side by side; everything else meets at every bearing.
            let ends = to.iter().filter(|end| from.len() == 1 || to.len() == 1 || end[1] * start[1] > 0.0);
            for end in ends {
                arms.push(Arm { rides, corners_m: route(*start, *end, bone.along()) });
            }
        }
    }
    arms
}

/// From one point to another along the main directions, the joint's own axis last: so the arm goes round, not through.
fn route(from_m: [f64; 3], to_m: [f64; 3], own: usize) -> Vec<[f64; 3]> {
    let order = match own {
        0 => [1, 2, 0],
        1 => [2, 0, 1],
        _ => [0, 1, 2],
    };
    let mut at_m = from_m;
    let mut corners = vec![at_m];
    for axis in order {
        if (to_m[axis] - at_m[axis]).abs() > 1e-6 {
            at_m[axis] = to_m[axis];
            corners.push(at_m);
        }
    }
    corners
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bone(axis: [f64; 3], origin_m: [f64; 3]) -> Bone {
        Bone { id: "j".into(), name: "J".into(), axis, origin_m, rides: 0 }
    }

    fn build() -> Build {
        Build { half_width_m: 0.1, clear_m: 0.3, arm_m: 0.02 }
    }

    #[test]
    fn arms_join_up_from_the_base_to_the_camera() {
        let bones = [
            bone([0.0, 0.0, 1.0], [0.0; 3]),
            bone([1.0, 0.0, 0.0], [0.0, 0.0, -0.36]),
            bone([0.0, 1.0, 0.0], [0.0, 0.0, -0.36]),
        ];
        let sits = [0.0, 0.0, -0.5];
        let arms = arms(&build(), &bones, sits, 0);
        // One down from pan, two forks from roll to tilt, two sides of the cradle.
        assert_eq!(arms.len(), 5);
        assert_eq!(arms[0].corners_m.first(), Some(&[0.0; 3]));
        for arm in &arms[1..3] {
            assert_eq!(arm.corners_m.first(), arms[0].corners_m.last());
        }
        for arm in &arms[3..] {
            assert_eq!(arm.corners_m.last(), Some(&sits));
        }
    }

    #[test]
    fn arms_keep_out_of_the_clear_space_until_they_reach_a_bearing() {
        let bones = [bone([0.0, 0.0, 1.0], [0.0; 3]), bone([1.0, 0.0, 0.0], [0.0, 0.0, -0.36])];
        let arms = arms(&build(), &bones, [0.0, 0.0, -0.5], 0);
        let down = &arms[0].corners_m;
        // Down from the pan axis only once it is behind the clear radius.
        assert!(down.windows(2).all(|pair| pair[0][2] == pair[1][2] || pair[0][0] <= -0.3));
    }

    #[test]
    fn an_axis_between_main_directions_counts_as_the_nearest() {
        assert_eq!(main_axis([0.1, -0.9, 0.3]), 1);
        assert_eq!(main_axis([-0.8, 0.5, 0.3]), 0);
        assert_eq!(main_axis([0.0, 0.0, -1.0]), 2);
    }
}
