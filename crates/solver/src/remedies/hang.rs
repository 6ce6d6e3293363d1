//! Whether a package hangs.

use nalgebra::Vector3;

use crate::balance::{Marks, held_unbalance_kg_m, tested_lean_rad};
use crate::check::{Solved, hold_of};
use crate::layout::Layout;
use crate::package::{DriveKind, Package};
use crate::report::Hold;

/// What must be met, independent of marks and masses.
pub(super) struct Needs {
    /// Unbalance that each joint's friction holds, platform first, kg·m; `None` for a geared one.
    held_kg_m: Vec<Option<f64>>,
    limit_kg: f64,
}

impl Needs {
    pub(super) fn of(package: &Package) -> Self {
        let held = |joint: &crate::package::Joint| {
            let lean_rad = tested_lean_rad(&Vector3::from(joint.axis).normalize(), package.reserve.tip_rad);
            (joint.drive.kind != DriveKind::Geared).then(|| held_unbalance_kg_m(joint.drive.friction_nm, lean_rad))
        };
        Self { held_kg_m: package.head.joints().map(held).collect(), limit_kg: package.head.payload_kg[1] }
    }

    /// Whether the camera side is heavier than the head takes.
    pub(super) fn too_heavy(&self, layout: &Layout) -> bool {
        let camera_kg: f64 = layout.bodies.iter().filter(|body| body.camera_side).map(|body| body.mass_kg).sum();
        camera_kg > self.limit_kg
    }

    /// A cheap test that every package which hangs passes: the joints hold at the reference pose, and no free mark lies
    /// beyond its travel by more than the hold zone.
    pub(super) fn may_hang(&self, layout: &Layout, marks: &Marks) -> bool {
        let holds = marks.residuals_kg_m.iter().zip(&self.held_kg_m).all(|(residual, held_kg_m)| {
            // A hair of slack, also for a head without friction: the full test decides.
            held_kg_m.is_none_or(|held_kg_m| residual.norm() <= held_kg_m * (1.0 + 1e-9) + 1e-9)
        });
        holds
            && marks.slides.iter().zip(&layout.slides).all(|(mark, slide)| {
                let Some(joint) = mark.joint else { return true };
                let beyond_m = (slide.range_m[0] - mark.free_m).max(mark.free_m - slide.range_m[1]);
                let zone_m = self.held_kg_m[joint].map_or(0.0, |held_kg_m| held_kg_m / mark.across_kg);
                beyond_m <= zone_m.max(0.0)
            })
    }

    /// The whole test: mass, travel, and every joint over the travel of those inside it.
    pub(super) fn hangs(&self, package: &Package, solved: &Solved) -> bool {
        !self.too_heavy(&solved.layout)
            && self.may_hang(&solved.layout, &solved.marks)
            && hold_of(package, &solved.at_targets).iter().all(|hold| !matches!(hold, Hold::Turns { .. }))
    }
}
