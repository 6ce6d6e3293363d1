//! The chance that every axis stays put when the marks are left where they are in a lens change, or when a part goes on or
//! off.
//!
//! What is left to chance is the difference of the two. The head stayed put with the lens that comes off, so
//! whatever both have in common has been balanced away by hand, be it guessed ever so badly. With δ**u** the difference of
//! the first moments about an axis at the kept marks, normal with the covariance that masses, centres of gravity and logs
//! leave it, and the unbalance before anywhere in the circle of radius *h* that friction holds, the axis stays put with
//! the share of that circle that lies in it when it is shifted by δ**u**. What one lens changes about several axes is
//! the same error: the shares are multiplied point by point and then averaged.

use nalgebra::{DMatrix, Vector3};
use serde::Serialize;

use super::change::SET_WITHIN_M;
use crate::balance::{Learned, Moments, arm_m, as_entered, held_unbalance_kg_m, plane, tested_lean_rad};
use crate::check::{Solved, friction_holds};
use crate::explain::{SHARE, Term, name};
use crate::float;
use crate::layout::{Body, Layout};
use crate::linkage::Linkage;
use crate::order::sort_short;
use crate::package::{DriveKind, Joint, Package};

/// The chance that the marks can be left.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StaysPut {
    /// Probability that every axis stays put with what is on then, at the marks at which every axis stayed put before.
    pub chance: f64,
    /// The arithmetic.
    pub arithmetic: Term,
}

/// What comes of leaving the marks.
pub(crate) struct Left {
    /// The chance, where best estimates say that friction holds every axis.
    pub(crate) stays_put: Option<StaysPut>,
    /// Whether they may stay: that chance is at least even, or no better marks are known.
    pub(crate) may_stay: bool,
}

/// What comes of leaving the target marks of the first package.
pub(crate) fn left(from: (&Package, &Solved), to: (&Package, &Solved)) -> Left {
    let [left_m, set_m] = [from, to].map(|(_, solved)| &solved.marks.targets_m);
    if !friction_holds(to.0, &Linkage::new(&to.1.layout, left_m)) {
        return Left { stays_put: None, may_stay: false };
    }
    let found = stays_put(from, to);
    let nothing_moves = left_m.iter().zip(set_m).all(|(left_m, set_m)| (set_m - left_m).abs() < SET_WITHIN_M);
    Left { may_stay: nothing_moves || found.chance >= 0.5, stays_put: Some(found) }
}

/// Points at which the difference of two lenses is tried: their mean is good to a per cent.
const POINTS: u32 = 1024;

/// The chance at the target marks of the first package, both of one set with another lens on.
fn stays_put(from: (&Package, &Solved), to: (&Package, &Solved)) -> StaysPut {
    let change = Change::new(from, to);
    let axes: Vec<Axis<'_>> = to.0.head.joints().enumerate().map(|(index, joint)| change.axis(index, joint)).collect();
    let spread = change.spread(&axes);
    let mut chance = 0.0;
    let mut alone = vec![0.0; axes.len()];
    let steps = even_steps(2 * axes.len());
    for number in 1..=POINTS {
        let normal = normal_point(number, &steps);
        let mut every = 1.0;
        for (index, axis) in axes.iter().enumerate() {
            let off = [0, 1].map(|way| {
                let row = spread.row(2 * index + way);
                axis.mean_kg_m[way] + row.iter().zip(&normal).map(|(share, normal)| share * normal).sum::<f64>()
            });
            let share = axis.share(float::sqrt(off[0] * off[0] + off[1] * off[1]));
            alone[index] += share / f64::from(POINTS);
            every *= share;
        }
        chance += every / f64::from(POINTS);
    }
    let axes = axes.iter().zip(alone).rev().map(|(axis, alone)| change.axis_term(axis, alone)).collect();
    let arithmetic = Term::value("Every axis stays put with the marks left", chance, SHARE)
        .formula("mean of the product of the shares below, over everything that the two lenses leave open: what one error does about several axes it does to all of them at once")
        .source("propagation of distributions, JCGM 101:2008, with evenly spread points in place of random ones")
        .of(axes);
    StaysPut { chance, arithmetic }
}

/// A lens change with the marks left.
struct Change<'a> {
    package: &'a Package,
    from: &'a Layout,
    to: &'a Layout,
    marks_m: &'a [f64],
    moments: [Vec<Moments>; 2],
    learned: Learned,
}

/// One axis in it.
struct Axis<'a> {
    joint: &'a Joint,
    /// Whether it stayed put before, anywhere within what friction holds; else no test by hand has balanced it, and all that
    /// is carried counts in place of the difference.
    tested: bool,
    held_kg_m: f64,
    /// Two directions across the axis.
    ways: [Vector3<f64>; 2],
    /// The difference along each by best estimates, kg·m.
    mean_kg_m: [f64; 2],
    /// How it answers to every unknown, along each.
    rows: [Vec<f64>; 2],
}

impl Axis<'_> {
    /// Share of where the axis may have stood before at which it stays put `off_kg_m` from there.
    fn share(&self, off_kg_m: f64) -> f64 {
        if self.tested {
            overlap(off_kg_m, self.held_kg_m)
        } else if off_kg_m <= self.held_kg_m {
            1.0
        } else {
            0.0
        }
    }
}

impl<'a> Change<'a> {
    fn new((before, from): (&'a Package, &'a Solved), (package, to): (&'a Package, &'a Solved)) -> Self {
        let entered = as_entered(package);
        let both = [Layout::new(&entered), Layout::new(&as_entered(before))];
        Self {
            package,
            from: &from.layout,
            to: &to.layout,
            marks_m: &from.marks.targets_m,
            moments: [from.moments.clone(), to.moments.clone()],
            learned: Learned::of_layouts(&entered, &[&both[0], &both[1]]),
        }
    }

    fn axis(&self, index: usize, joint: &'a Joint) -> Axis<'a> {
        let [before, after] = [(&self.moments[0], self.from), (&self.moments[1], self.to)]
            .map(|(moments, layout)| moments[index].unbalance_kg_m(layout, self.marks_m));
        let axis = self.to.joints[index].axis;
        let lean_rad = tested_lean_rad(&axis, self.package.reserve.tip_rad);
        let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
        let tested = joint.drive.kind != DriveKind::Geared && before.norm() <= held_kg_m;
        let plane = plane(&axis);
        let ways = [0, 1].map(|way| turned_forward(plane.row(way).transpose()));
        let mean_kg_m = ways.map(|way| way.dot(&(if tested { after - before } else { after })));
        Axis { joint, tested, held_kg_m, rows: ways.map(|way| self.row(index, &way, tested)), ways, mean_kg_m }
    }

    /// Gradient of the difference of the two first moments along a direction, or of the second alone.
    fn row(&self, joint: usize, way: &Vector3<f64>, difference: bool) -> Vec<f64> {
        let mut row = self.learned.no_gradient();
        self.add(&mut row, joint, way, self.to, 1.0);
        if difference {
            self.add(&mut row, joint, way, self.from, -1.0);
        }
        let [before, after] = [0, 1].map(|which| &self.moments[which][joint].per_slide_kg);
        for (slide, (before, after)) in before.iter().zip(after).enumerate() {
            let moved_kg = if difference { after - before } else { *after };
            row[self.learned.zero_index(slide)] = -way.dot(&moved_kg);
        }
        row
    }

    fn add(&self, row: &mut [f64], joint: usize, way: &Vector3<f64>, layout: &Layout, sign: f64) {
        for body in layout.bodies.iter().filter(|body| body.link > joint) {
            let Some(at) = self.learned.index(self.package, body) else { continue };
            let sign = sign * self.scale(body);
            row[at] += sign * way.dot(&arm_m(layout, joint, body, self.marks_m));
            for axis in 0..3 {
                row[at + 1 + axis] += sign * way[axis];
            }
        }
    }

    /// A share of what rides, like cables, is another mass with each lens and as badly known: its error grows with it.
    fn scale(&self, body: &Body) -> f64 {
        let now = self.to.bodies.iter().find(|now| now.of == body.of);
        now.filter(|now| now.mass_u_kg > 0.0).map_or(1.0, |now| body.mass_u_kg / now.mass_u_kg)
    }

    /// A root of the covariance of all differences, two rows an axis.
    fn spread(&self, axes: &[Axis<'_>]) -> DMatrix<f64> {
        let rows: Vec<&Vec<f64>> = axes.iter().flat_map(|axis| &axis.rows).collect();
        let count = rows.len();
        let covariance = DMatrix::from_fn(count, count, |one, other| self.learned.covariance(rows[one], rows[other]));
        root(&covariance)
    }

    fn axis_term(&self, axis: &Axis<'_>, alone: f64) -> Term {
        let held = Term::value("Unbalance that friction holds", axis.held_kg_m, "kg·m")
            .formula("friction ÷ (g × sin(lean of the test))");
        let ways = axis.ways.iter().zip(axis.mean_kg_m).zip(&axis.rows);
        let ways = ways.map(|((way, mean_kg_m), row)| self.way_term(axis.tested, way, mean_kg_m, row));
        let formula = if axis.tested {
            "share of the circle that friction holds which stays in it when the difference shifts it"
        } else {
            "share of all that is left open which lies within what friction holds: no test by hand has balanced this axis, so everything counts and not the difference alone"
        };
        // Without a lean friction holds anything.
        let held = axis.held_kg_m.is_finite().then_some(held);
        Term::value(format!("{} stays put", axis.joint.name), alone, SHARE)
            .formula(formula)
            .of(held.into_iter().chain(ways).collect())
    }

    fn way_term(&self, tested: bool, way: &Vector3<f64>, mean_kg_m: f64, row: &[f64]) -> Term {
        let what = if tested { "Difference at the kept marks" } else { "Unbalance at the kept marks" };
        let u_kg_m = self.learned.deviation(row);
        let mut shares: Vec<Term> = self.bodies().filter_map(|body| self.share_term(body, row)).collect();
        sort_short(&mut shares, |a, b| a.value > b.value);
        let zeros_kg_m = self.learned.prior_of(row, self.learned.zero_index(0)..row.len());
        let prior_kg_m = self.learned.prior_of(row, 0..row.len());
        let taught = float::sqrt((prior_kg_m * prior_kg_m - u_kg_m * u_kg_m).max(0.0));
        shares.push(Term::value("Zeros of the scales", zeros_kg_m, "kg·m"));
        if taught > 1e-6 {
            shares.push(Term::value("Taken off by the logged balances", taught, "kg·m"));
        }
        Term::value(format!("{what}, {}", way_words(way)), mean_kg_m, "kg·m").u(u_kg_m).of(vec![
            Term::value("±", u_kg_m, "kg·m")
                .formula("root of the sum of squares of what differs, less what logged balances take off")
                .source("JCGM 100:2008, equation (10)")
                .of(shares),
        ])
    }

    /// What rides with either lens.
    fn bodies(&self) -> impl Iterator<Item = &Body> {
        let before = self.from.bodies.iter();
        self.to.bodies.iter().chain(before.filter(|body| !self.to.bodies.iter().any(|now| now.of == body.of)))
    }

    fn share_term(&self, body: &Body, row: &[f64]) -> Option<Term> {
        let at = self.learned.index(self.package, body)?;
        let [by_mass, by_place] = [at..at + 1, at + 1..at + 4].map(|unknowns| self.learned.prior_of(row, unknowns));
        let both = float::sqrt(by_mass * by_mass + by_place * by_place);
        (both > 1e-5).then(|| {
            Term::value(name(self.package, body), both, "kg·m").of(vec![
                Term::value("through its mass", by_mass, "kg·m"),
                Term::value("through its centre of gravity", by_place, "kg·m"),
            ])
        })
    }
}

/// Of the two senses of a direction the one that is told: forward, left or up.
fn turned_forward(way: Vector3<f64>) -> Vector3<f64> {
    if way[way.iamax()] < 0.0 { -way } else { way }
}

fn way_words(way: &Vector3<f64>) -> &'static str {
    ["forward", "left", "up"][way.iamax()]
}

/// Share of a circle that another one of the same radius covers whose centre is `off` away.
///
/// # Source
/// Area of a symmetric lens: any table of plane figures (from memory); tested against counted points.
fn overlap(off: f64, radius: f64) -> f64 {
    if radius.is_infinite() || off <= 0.0 {
        return 1.0;
    }
    let half = 0.5 * off / radius;
    if half >= 1.0 {
        return 0.0;
    }
    2.0 * core::f64::consts::FRAC_1_PI * (float::acos(half) - half * float::sqrt(1.0 - half * half))
}

/// A lower triangular root of a covariance, which may be singular: where nothing is left, nothing is spread.
fn root(covariance: &DMatrix<f64>) -> DMatrix<f64> {
    let count = covariance.nrows();
    let mut root = DMatrix::<f64>::zeros(count, count);
    for column in 0..count {
        let sum = |one: usize, other: usize, root: &DMatrix<f64>| -> f64 {
            covariance[(one, other)] - (0..column).map(|k| root[(one, k)] * root[(other, k)]).sum::<f64>()
        };
        let left = sum(column, column, &root);
        if left <= 1e-12 * covariance[(column, column)] {
            continue;
        }
        let diagonal = float::sqrt(left);
        for row in column..count {
            root[(row, column)] = sum(row, column, &root) / diagonal;
        }
    }
    root
}

/// Steps of an additive recurrence that fills a cube of so many dimensions evenly: powers of the generalised golden ratio.
///
/// # Source
/// M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018 (from memory).
fn even_steps(dimensions: usize) -> Vec<f64> {
    let mut ratio = 1.0;
    for _ in 0..40 {
        ratio = float::pow(1.0 + ratio, 1.0 / (dimensions as f64 + 1.0));
    }
    let mut step = 1.0;
    let powers = (0..dimensions).map(|_| {
        step /= ratio;
        step
    });
    powers.collect()
}

/// A point of a normal distribution of an even number of dimensions, one of a row that fills it evenly.
///
/// # Source
/// Box and Muller, 1958.
fn normal_point(number: u32, steps: &[f64]) -> Vec<f64> {
    let pairs = steps.chunks_exact(2).flat_map(|pair| {
        let even = [pair[0], pair[1]].map(|step| {
            let at = 0.5 + f64::from(number) * step;
            at - libm::floor(at)
        });
        let radius = float::sqrt(-2.0 * float::ln(even[0].max(1e-12)));
        let (sin, cos) = float::sin_cos(2.0 * core::f64::consts::PI * even[1]);
        [radius * cos, radius * sin]
    });
    pairs.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted on a grid of ten thousand points and more.
    #[test]
    fn circles_cover_each_other_as_counted() {
        for off in [0.0, 0.3, 1.0, 1.7, 1.99, 2.5] {
            let steps = -200..=200;
            let points = steps.clone().flat_map(|x| steps.clone().map(move |y| [x, y].map(|at| f64::from(at) / 200.0)));
            let inside: Vec<[f64; 2]> = points.filter(|[x, y]| x * x + y * y <= 1.0).collect();
            let covered = inside.iter().filter(|[x, y]| (x + off) * (x + off) + y * y <= 1.0).count();
            let counted = covered as f64 / inside.len() as f64;
            assert!((overlap(off, 1.0) - counted).abs() < 3e-3, "{off}: {counted}");
        }
        // By hand at one radius: 2/π·(π/3 − √3/4).
        assert!((overlap(0.02, 0.02) - 0.391_002).abs() < 1e-6);
    }

    #[test]
    fn points_have_the_moments_of_a_normal_distribution() {
        let points: Vec<Vec<f64>> = (1..=POINTS).map(|number| normal_point(number, &even_steps(6))).collect();
        let mean = |of: &dyn Fn(&[f64]) -> f64| points.iter().map(|point| of(point)).sum::<f64>() / f64::from(POINTS);
        for one in 0..6 {
            assert!(mean(&|point| point[one]).abs() < 0.02, "{one}");
            for other in 0..6 {
                let expected = if one == other { 1.0 } else { 0.0 };
                assert!((mean(&|point| point[one] * point[other]) - expected).abs() < 0.03, "{one} {other}");
            }
        }
    }

    #[test]
    fn a_root_gives_its_covariance_back_though_it_is_singular() {
        // The third is the sum of the first two.
        let covariance = DMatrix::from_row_slice(3, 3, &[4.0, 1.0, 5.0, 1.0, 9.0, 10.0, 5.0, 10.0, 15.0]);
        let found = root(&covariance);
        assert!((&found * found.transpose() - covariance).amax() < 1e-12);
    }
}
