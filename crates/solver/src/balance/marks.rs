//! Where the marks go: inside out, one joint at a time, with the uncertainty of every mark.

use nalgebra::{Matrix2x3, Vector2, Vector3};

use super::least_squares::{Unknown, pseudo_inverse, solve};
use super::moments::{Moments, across, arm_m};
use crate::constants::SCALE_ZERO_U_M;
use crate::layout::{Body, Layout, SlideFrame};
use crate::order::sort_short;

/// The marks that balance a package, and what remains.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    /// One entry per slide, platform first.
    pub slides: Vec<SlideMark>,
    /// Indices of the slides in balancing order: innermost joint first, level slides before upright ones, then the
    /// slides that balance nothing.
    pub order: Vec<usize>,
    /// Target marks, platform first, m.
    pub targets_m: Vec<f64>,
    /// Unbalance left at the targets, one per joint, platform first, kg·m: the design residual.
    pub residuals_kg_m: Vec<Vector3<f64>>,
}

/// One slide's mark.
#[derive(Debug, Clone, PartialEq)]
pub struct SlideMark {
    /// Joint that it balances, by index; `None` when it changes no joint's balance.
    pub joint: Option<usize>,
    /// Mark to set, within travel and on a hole where it stops at holes, m.
    pub target_m: f64,
    /// The best mark if travel had no end and no holes, m; where another slide within its travel makes up for the end of
    /// this one as well as ever, that end.
    pub free_m: f64,
    /// Standard uncertainty of the free mark: masses, centres of gravity and the scale's zero, m.
    pub u_m: f64,
    /// Mass that one metre of this slide moves across the axis of its joint, kg.
    pub across_kg: f64,
    /// Whether travel ends before it has done its work: it stays at that end, whatever turns out to be true.
    pub at_end: bool,
    /// Sensitivity of the mark to the first moment of every joint, m per kg·m; platform first. Of a slide at its end that
    /// of the free mark, of any other with those at their ends held there.
    pub per_moment: Vec<Vector3<f64>>,
    /// Sensitivity of the mark to the zero of every slide's scale, m per m, platform first: its own, and of those that
    /// stand at their ends. One that is set for its axis stands where the axis wants it, whatever it reads.
    pub per_zero: Vec<f64>,
}

impl SlideMark {
    /// Sensitivities of the mark to a body's mass, m/kg, and to its first moment about its nominal place, m per kg·m.
    pub(crate) fn per_body(&self, layout: &Layout, marks_m: &[f64], body: &Body) -> (f64, Vector3<f64>) {
        let (mut per_mass, mut per_moment) = (0.0, Vector3::zeros());
        for (joint, sensitivity) in self.per_moment.iter().enumerate().take(body.link) {
            per_mass += sensitivity.dot(&arm_m(layout, joint, body, marks_m));
            per_moment += sensitivity;
        }
        (per_mass, per_moment)
    }
}

/// Solves the marks of a layout: the innermost joint to its bounded optimum with the smallest move from the present
/// marks, then the next with those slides held, and so on outwards. An offset that no slide can cure never spoils one
/// that a slide can.
pub fn solve_marks(layout: &Layout, moments: &[Moments]) -> Marks {
    let mut solution = Solution::new(layout);
    for (joint, moment) in moments.iter().enumerate().rev() {
        solution.solve_joint(layout, joint, moment);
    }
    solution.finish(layout, moments)
}

/// Components across an axis: two unit vectors that span the plane, as rows.
pub(crate) fn plane(axis: &Vector3<f64>) -> Matrix2x3<f64> {
    // Start from the coordinate axis that is most nearly across, so that the basis is never degenerate.
    let start = if axis.x.abs() < 0.5 { Vector3::x() } else { Vector3::z() };
    let first = across(axis, &start).normalize();
    let second = axis.cross(&first);
    Matrix2x3::from_rows(&[first.transpose(), second.transpose()])
}

struct Solution {
    slides: Vec<SlideMark>,
    order: Vec<usize>,
    targets_m: Vec<f64>,
}

impl Solution {
    fn new(layout: &Layout) -> Self {
        let joints = layout.joints.len();
        let slides = layout
            .slides
            .iter()
            .map(|slide| SlideMark {
                joint: None,
                target_m: slide.mark_m,
                free_m: slide.mark_m,
                u_m: 0.0,
                across_kg: 0.0,
                at_end: false,
                per_moment: vec![Vector3::zeros(); joints],
                per_zero: vec![0.0; layout.slides.len()],
            })
            .collect();
        Self { slides, order: Vec::new(), targets_m: layout.present_marks_m() }
    }

    fn solve_joint(&mut self, layout: &Layout, joint: usize, moment: &Moments) {
        let plane = plane(&moment.axis);
        let columns: Vec<Vector2<f64>> = moment.per_slide_kg.iter().map(|per_slide_kg| plane * per_slide_kg).collect();
        let mut free: Vec<usize> = (0..layout.slides.len())
            .filter(|slide| self.slides[*slide].joint.is_none())
            .filter(|slide| columns[*slide].norm() > 1e-9 * moment.mass_kg.max(1e-9))
            .collect();
        let upright = |slide: &usize| layout.slides[*slide].direction.z.abs();
        sort_short(&mut free, |a, b| upright(a) < upright(b));
        if free.is_empty() {
            return;
        }
        let start = plane * moment.at_kg_m(layout, &self.targets_m);
        let start = [start.x, start.y];
        let column = |slide: usize| [columns[slide].x, columns[slide].y];

        let within = within_travel(layout, &free, &column);
        let continuous = solve(start, &within);
        let bounded = bounded_move(layout, &free, start, &within, continuous.clone());
        let unbounded: Vec<Unknown> =
            free.iter().map(|slide| Unknown { column: column(*slide), low: -1e6, high: 1e6 }).collect();
        let everywhere = vec![true; free.len()];
        let rows = pseudo_inverse(&unbounded, &everywhere);
        let anywhere: Vec<f64> = rows.iter().map(|[first, second]| -(first * start[0] + second * start[1])).collect();
        // Of slides that do each other's work one may end where the other still goes on: nothing is beyond travel then.
        let as_good = left(start, &within, &continuous) <= left(start, &within, &anywhere) + 1e-12 * moment.mass_kg;
        let moved_free = if as_good { &continuous } else { &anywhere };
        for ((slide, moved_m), (within, ended_m)) in free.iter().zip(moved_free).zip(within.iter().zip(&continuous)) {
            let mark = &mut self.slides[*slide];
            mark.joint = Some(joint);
            mark.across_kg = columns[*slide].norm();
            mark.free_m = layout.slides[*slide].mark_m + moved_m;
            mark.at_end = *ended_m <= within.low || *ended_m >= within.high;
        }
        let goes_on: Vec<bool> = free.iter().map(|slide| !self.slides[*slide].at_end).collect();
        let set_rows = pseudo_inverse(&unbounded, &goes_on);
        for (index, slide) in free.iter().enumerate() {
            let [first, second] = if goes_on[index] { set_rows[index] } else { rows[index] };
            self.set_sensitivities(*slide, moment, -(plane.transpose() * Vector2::new(first, second)));
        }
        for (slide, moved_m) in free.iter().zip(bounded) {
            self.targets_m[*slide] = layout.slides[*slide].mark_m + moved_m;
            self.slides[*slide].target_m = self.targets_m[*slide];
        }
        self.order.extend(free);
    }

    /// How a slide's mark answers to errors: to those of its own joint's first moment by `row`, to those of inner joints
    /// through the slides that were set for them and are held here. A slide at its end follows no error, and stands
    /// where its scale's zero says; the free mark of one at its end knows of no ends beside it.
    fn set_sensitivities(&mut self, of: usize, moment: &Moments, row: Vector3<f64>) {
        let SlideMark { joint, at_end, .. } = self.slides[of];
        let mut per_moment = core::mem::take(&mut self.slides[of].per_moment);
        let mut per_zero = core::mem::take(&mut self.slides[of].per_zero);
        if let Some(own) = joint.and_then(|joint| per_moment.get_mut(joint)) {
            *own = row;
        }
        for (slide, held) in self.slides.iter().enumerate().filter(|(_, held)| held.joint.is_some()) {
            let through = row.dot(&moment.per_slide_kg[slide]);
            let same = held.joint == joint;
            if same && (at_end || !held.at_end) {
                continue;
            }
            // What its zero moves it by, it makes good itself unless it stands at its end.
            per_zero[slide] -= through;
            if !held.at_end {
                for (own, inner) in per_moment.iter_mut().zip(&held.per_moment) {
                    *own += inner * through;
                }
                for (own, inner) in per_zero.iter_mut().zip(&held.per_zero) {
                    *own += inner * through;
                }
            }
        }
        per_zero[of] = 1.0;
        let mark = &mut self.slides[of];
        (mark.per_moment, mark.per_zero) = (per_moment, per_zero);
    }

    fn finish(mut self, layout: &Layout, moments: &[Moments]) -> Marks {
        for slide in &mut self.slides {
            slide.u_m = mark_uncertainty_m(layout, &self.targets_m, slide);
        }
        for slide in 0..self.slides.len() {
            if self.slides[slide].joint.is_none() {
                self.order.push(slide);
            }
        }
        let residuals_kg_m = moments.iter().map(|moment| moment.unbalance_kg_m(layout, &self.targets_m)).collect();
        Marks { slides: self.slides, order: self.order, targets_m: self.targets_m, residuals_kg_m }
    }
}

/// The free slides with their travel, from their present marks.
fn within_travel(layout: &Layout, free: &[usize], column: &dyn Fn(usize) -> [f64; 2]) -> Vec<Unknown> {
    let within = |slide: &usize| {
        let SlideFrame { range_m: [low, high], mark_m, .. } = layout.slides[*slide];
        Unknown { column: column(*slide), low: low - mark_m, high: high - mark_m }
    };
    free.iter().map(within).collect()
}

/// Unbalance that some moves leave, kg·m.
fn left(start: [f64; 2], unknowns: &[Unknown], moved_m: &[f64]) -> f64 {
    let [x, y] = unknowns
        .iter()
        .zip(moved_m)
        .fold(start, |left, (unknown, x)| [left[0] + unknown.column[0] * x, left[1] + unknown.column[1] * x]);
    libm::hypot(x, y)
}

/// Best moves of the free slides from their present marks, m: within travel, on holes where there are holes; `continuous`
/// are those without holes.
fn bounded_move(
    layout: &Layout,
    free: &[usize],
    start: [f64; 2],
    unknowns: &[Unknown],
    continuous: Vec<f64>,
) -> Vec<f64> {
    let choices: Vec<Vec<f64>> =
        free.iter().zip(&continuous).map(|(slide, moved_m)| holes_near(&layout.slides[*slide], *moved_m)).collect();
    if choices.iter().all(Vec::is_empty) {
        return continuous;
    }
    let mut best = Holes { residual: f64::INFINITY, length: f64::INFINITY, moved: continuous };
    choose_holes(start, unknowns, &choices, &mut Vec::new(), &mut best);
    best.moved
}

/// Moves to the holes around a wanted move, three to either side, in ascending order; empty for a continuous scale.
/// Slides that lean on each other can trade a whole hole, hence more than the two neighbours.
pub(crate) fn holes_near(slide: &SlideFrame, moved_m: f64) -> Vec<f64> {
    let Some(spacing_m) = slide.hole_spacing_m else { return Vec::new() };
    let [low_m, high_m] = slide.range_m;
    let last = libm::floor((high_m - low_m) / spacing_m + 1e-9);
    let nearest = libm::round((slide.mark_m + moved_m - low_m) / spacing_m);
    (-3..=3)
        .map(|step| nearest + f64::from(step))
        .filter(|hole| (0.0..=last).contains(hole))
        .map(|hole| low_m + hole * spacing_m - slide.mark_m)
        .collect()
}

/// The best combination of holes so far.
struct Holes {
    residual: f64,
    length: f64,
    moved: Vec<f64>,
}

/// Tries every combination of holes, with the continuous slides solved for each.
fn choose_holes(start: [f64; 2], unknowns: &[Unknown], choices: &[Vec<f64>], chosen: &mut Vec<f64>, best: &mut Holes) {
    let index = chosen.len();
    if index < unknowns.len() {
        if choices[index].is_empty() {
            // Continuous: pinned at nothing here, solved at the end of the recursion.
            chosen.push(f64::NAN);
            choose_holes(start, unknowns, choices, chosen, best);
            chosen.pop();
        }
        for hole in &choices[index] {
            chosen.push(*hole);
            choose_holes(start, unknowns, choices, chosen, best);
            chosen.pop();
        }
        return;
    }
    let pinned: Vec<Unknown> = unknowns
        .iter()
        .zip(chosen.iter())
        .map(|(unknown, hole)| if hole.is_nan() { *unknown } else { Unknown { low: *hole, high: *hole, ..*unknown } })
        .collect();
    let moved = solve(start, &pinned);
    let residual = left(start, unknowns, &moved);
    let length = libm::sqrt(moved.iter().map(|x| x * x).sum());
    // Where another slide makes up for the hole, several do equally well: the smallest move, as on a continuous scale.
    let reach: f64 = unknowns
        .iter()
        .zip(&moved)
        .map(|(unknown, x)| libm::hypot(unknown.column[0], unknown.column[1]) * x.abs())
        .sum();
    let same = 1e-12 * (libm::hypot(start[0], start[1]) + reach);
    if residual < best.residual - same || (residual <= best.residual + same && length < best.length * (1.0 - 1e-12)) {
        *best = Holes { residual, length, moved };
    }
}

/// Standard uncertainty of a mark, m: linear propagation of every body's mass and centre of gravity, of the zero of the
/// slide's own scale, and of the zeros of those that stand at their ends.
///
/// An error δm of a mass at arm **r** and δ**r** of its centre of gravity change the first moment of each joint outside
/// it by **r**·δm + m·δ**r**; var(m**r**) carries the second-order term σ_m²σ_r² as well.
///
/// # Source
/// JCGM 100:2008, equation (10).
fn mark_uncertainty_m(layout: &Layout, marks_m: &[f64], slide: &SlideMark) -> f64 {
    if slide.joint.is_none() {
        return SCALE_ZERO_U_M;
    }
    let zeros: f64 = slide.per_zero.iter().map(|per_zero| per_zero * per_zero).sum();
    let mut variance = zeros * SCALE_ZERO_U_M * SCALE_ZERO_U_M;
    for body in &layout.bodies {
        let (per_mass, per_moment) = slide.per_body(layout, marks_m, body);
        let (mass_variance, cg_variance) = (body.mass_u_kg * body.mass_u_kg, body.cg_u_m * body.cg_u_m);
        variance += per_mass * per_mass * mass_variance
            + per_moment.norm_squared() * cg_variance * (body.mass_kg * body.mass_kg + mass_variance);
    }
    libm::sqrt(variance)
}
