//! First moments about every joint at the reference pose, affine in the marks.

use nalgebra::Vector3;

use crate::layout::{Body, Layout};

/// First moment Σ m(**r** − **p**) of everything inboard of one joint, as a function of the marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Moments {
    /// Unit axis of the joint.
    pub axis: Vector3<f64>,
    /// Mass inboard of the joint, kg.
    pub mass_kg: f64,
    /// First moment with every slide at zero displacement, kg·m.
    pub at_zero_kg_m: Vector3<f64>,
    /// What one metre of each slide adds, kg: direction × mass that moves with it; zero for slides outside the joint.
    pub per_slide_kg: Vec<Vector3<f64>>,
}

/// The part of `vector` across the unit vector `axis`: (E − aaᵀ)v.
pub fn across(axis: &Vector3<f64>, vector: &Vector3<f64>) -> Vector3<f64> {
    vector - axis * axis.dot(vector)
}

impl Moments {
    /// The moments of every joint, platform first.
    pub fn all(layout: &Layout) -> Vec<Self> {
        (0..layout.joints.len()).map(|joint| Self::of(layout, joint)).collect()
    }

    fn of(layout: &Layout, joint: usize) -> Self {
        let mut moments = Self {
            axis: layout.joints[joint].axis,
            mass_kg: 0.0,
            at_zero_kg_m: Vector3::zeros(),
            per_slide_kg: vec![Vector3::zeros(); layout.slides.len()],
        };
        for body in layout.bodies.iter().filter(|body| body.link > joint) {
            moments.mass_kg += body.mass_kg;
            moments.at_zero_kg_m += arm_at_zero_m(layout, joint, body) * body.mass_kg;
            for slide in layout.joints[joint].slides..body.slides {
                moments.per_slide_kg[slide] += layout.slides[slide].direction * body.mass_kg;
            }
        }
        moments
    }

    /// First moment at the given marks, kg·m.
    pub fn at_kg_m(&self, layout: &Layout, marks_m: &[f64]) -> Vector3<f64> {
        let moved: Vector3<f64> = self
            .per_slide_kg
            .iter()
            .zip(&layout.slides)
            .zip(marks_m)
            .map(|((per_slide_kg, slide), mark_m)| per_slide_kg * (mark_m - slide.zero_m))
            .sum();
        self.at_zero_kg_m + moved
    }

    /// Unbalance at the given marks, kg·m: the first moment without its part along the axis.
    pub fn unbalance_kg_m(&self, layout: &Layout, marks_m: &[f64]) -> Vector3<f64> {
        across(&self.axis, &self.at_kg_m(layout, marks_m))
    }
}

/// Centre of gravity of a body from the point of a joint outside it, every slide at zero displacement, m.
pub(super) fn arm_at_zero_m(layout: &Layout, joint: usize, body: &Body) -> Vector3<f64> {
    let between: Vector3<f64> = layout.joints[joint + 1..body.link].iter().map(|inner| inner.origin_m).sum();
    between + body.cg_m
}

/// The same at the given marks, m.
pub(crate) fn arm_m(layout: &Layout, joint: usize, body: &Body, marks_m: &[f64]) -> Vector3<f64> {
    let moved: Vector3<f64> = (layout.joints[joint].slides..body.slides)
        .map(|slide| layout.slides[slide].direction * (marks_m[slide] - layout.slides[slide].zero_m))
        .sum();
    arm_at_zero_m(layout, joint, body) + moved
}
