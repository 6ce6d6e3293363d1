//! What the logs taught, body by body and axis by axis.

use nalgebra::Vector3;

use super::learn::{Learned, PER_BODY, tested_directions};
use super::moments::Moments;
use super::snapshot::logged_of;
use crate::answer::Estimate;
use crate::layout::Layout;
use crate::package::{DriveKind, LoggedOf, Package};

/// What was learned about one body.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Lesson {
    /// The body.
    pub of: LoggedOf,
    /// Its mass is larger than entered by this, kg, and how well that is known now.
    pub mass_error_kg: Estimate,
    /// Its centre of gravity lies further forward, left, up than entered by this, m.
    pub cg_error_m: [Estimate; 3],
    /// Whether the package already has it as learned.
    pub taken_over: bool,
}

/// What was learned about everything that one axis carries together: the combination that a balance measures.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct AxisLesson {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// At the present marks the centre of gravity of what it carries lies further forward, left, up than entered by this,
    /// m, the slides' zeros included; nothing in a direction that was not tested, as along the axis itself.
    pub cg_error_m: [Option<Estimate>; 3],
}

impl Lesson {
    /// Whether the logs tell this quantity at all: it differs from what was entered by twice what is left of its doubt.
    pub fn told(error: &Estimate) -> bool {
        error.value.abs() >= 2.0 * error.u && error.value != 0.0
    }
}

impl Learned {
    /// What was learned about every body, largest lesson first; only those that changed by a tenth of their prior.
    pub fn lessons(&self, package: &Package) -> Vec<Lesson> {
        let mut lessons: Vec<(f64, Lesson)> = Layout::of_everything(package)
            .iter()
            .filter_map(|body| {
                let at = self.index(package, body)?;
                let size = (0..PER_BODY)
                    .filter(|offset| self.sigma[at + offset] > 0.0)
                    .map(|offset| (self.mean[at + offset] / self.sigma[at + offset]).abs())
                    .fold(0.0, f64::max);
                (size > 0.1).then(|| (size, self.lesson(logged_of(package, body), at, body.mass_kg)))
            })
            .collect();
        crate::float::sort_largest_first(&mut lessons, |(size, _)| *size);
        lessons.into_iter().map(|(_, lesson)| lesson).collect()
    }

    pub(super) fn lesson(&self, of: LoggedOf, at: usize, mass_kg: f64) -> Lesson {
        let estimate = |unknown: usize, scale: f64| {
            let mut gradient = self.no_gradient();
            gradient[unknown] = scale;
            Estimate::new(self.mean[unknown] * scale, self.deviation(&gradient))
        };
        let per_kg = if mass_kg > 0.0 { 1.0 / mass_kg } else { 0.0 };
        let cg_error_m = [1, 2, 3].map(|axis| estimate(at + axis, per_kg));
        Lesson { of, mass_error_kg: estimate(at, 1.0), cg_error_m, taken_over: false }
    }

    /// What was learned about all that each logged axis carries, innermost first.
    pub fn axis_lessons(&self, package: &Package, layout: &Layout) -> Vec<AxisLesson> {
        let moments = Moments::all(layout);
        let marks_m = layout.present_marks_m();
        let tested = |id: &str, axis: &Vector3<f64>, direction: &Vector3<f64>| {
            let mut directions = package.logs.iter().flat_map(|log| tested_directions(log, id, axis));
            directions.any(|tested| tested.direction.dot(direction).abs() > 0.9)
        };
        let logged = |id: &str| {
            package
                .logs
                .iter()
                .any(|log| log.axes.iter().any(|axis| axis == id) || log.faces.iter().any(|face| face.joint == id))
        };
        let joints = package.head.joints().zip(&moments).enumerate();
        let mut lessons: Vec<AxisLesson> = joints
            .filter(|(_, (joint, moments))| {
                logged(&joint.id) && joint.drive.kind != DriveKind::Geared && moments.mass_kg > 0.0
            })
            .map(|(index, (joint, moments))| {
                let cg_error_m = [Vector3::x(), Vector3::y(), Vector3::z()].map(|direction| {
                    tested(&joint.id, &moments.axis, &direction).then(|| {
                        let row = self.row(package, layout, &marks_m, index, &moments.per_slide_kg, &direction);
                        let error: f64 = row.iter().zip(&self.mean).map(|(row, mean)| row * mean).sum();
                        Estimate::new(error / moments.mass_kg, self.deviation(&row) / moments.mass_kg)
                    })
                });
                AxisLesson { joint: joint.id.clone(), name: joint.name.clone(), cg_error_m }
            })
            .collect();
        lessons.reverse();
        lessons
    }
}
