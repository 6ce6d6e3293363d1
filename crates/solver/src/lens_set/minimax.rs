//! The smallest worst unbalance of many lenses about one axis, over slides within their travel.
//!
//! Minimises max |**r**ₗ + Aₗ**x**| over low ≤ **x** ≤ high: a norm of an affine map is convex, so the smallest is the one
//! that there is. Squared, it is a linear objective under convex quadratic constraints, solved by a primal-dual interior
//! point method; its multipliers prove how far from the smallest the answer can be at most.
//!
//! # Source
//! Boyd and Vandenberghe, Convex Optimization, 2004, section 11.7 (from memory).

use nalgebra::{DMatrix, DVector};

use crate::float;

/// One lens: what is there with every unknown at nothing, and what one unit of each unknown adds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) start: [f64; 2],
    pub(super) columns: Vec<[f64; 2]>,
}

impl Row {
    pub(super) fn at(&self, x: &[f64]) -> [f64; 2] {
        self.columns.iter().zip(x).fold(self.start, |u, (column, x)| [u[0] + column[0] * x, u[1] + column[1] * x])
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Smallest {
    pub(super) x: Vec<f64>,
    /// Largest norm of a row at `x`.
    pub(super) worst: f64,
    /// No `x` within the bounds has a smaller largest norm than this.
    pub(super) at_least: f64,
}

/// Solves for the unknowns within `bounds`; among equals those nearest to `present`.
pub(super) fn solve(rows: &[Row], bounds: &[[f64; 2]], present: &[f64]) -> Smallest {
    let free: Vec<usize> = (0..bounds.len()).filter(|k| bounds[*k][1] > bounds[*k][0]).collect();
    let mut x: Vec<f64> = bounds.iter().map(|[low, _]| *low).collect();
    let problem = Scaled::new(rows, bounds, &free);
    if free.is_empty() || problem.scale <= 0.0 {
        for k in &free {
            x[*k] = present[*k].clamp(bounds[*k][0], bounds[*k][1]);
        }
        let worst = worst_of(rows, &x);
        return Smallest { x, worst, at_least: worst };
    }
    let point = problem.smallest();
    let (mut best, at_least) = (point.x.clone(), problem.at_least(&point));
    if problem.may_tie() {
        let wanted: Vec<f64> =
            free.iter().map(|k| (present[*k] - bounds[*k][0]) / (bounds[*k][1] - bounds[*k][0])).collect();
        best = problem.nearest(&best, &wanted);
    }
    for (k, share) in free.iter().zip(best.iter()) {
        x[*k] = bounds[*k][0] + share.clamp(0.0, 1.0) * (bounds[*k][1] - bounds[*k][0]);
    }
    let worst = worst_of(rows, &x);
    Smallest { x, worst, at_least: (at_least * problem.scale).min(worst) }
}

fn worst_of(rows: &[Row], x: &[f64]) -> f64 {
    rows.iter().map(|row| row.at(x)).map(|[a, b]| libm::hypot(a, b)).fold(0.0, f64::max)
}

/// The problem with every unknown from 0 to 1 and unbalances of the size of one.
struct Scaled {
    rows: Vec<Row>,
    scale: f64,
    unknowns: usize,
}

/// Where the search stands: unknowns, bound on the squares, and the multipliers of rows, low and high ends.
#[derive(Clone)]
struct Point {
    x: DVector<f64>,
    square: f64,
    multipliers: DVector<f64>,
}

/// What is made smallest.
enum Goal<'a> {
    /// The bound on the squares.
    Square,
    /// The distance from here, while the squares keep their bound.
    Distance(&'a [f64]),
}

/// Rounds after which the search ends in any case; it takes about twenty.
const ROUNDS: usize = 120;

impl Scaled {
    fn new(rows: &[Row], bounds: &[[f64; 2]], free: &[usize]) -> Self {
        let low: Vec<f64> = bounds.iter().map(|[low, _]| *low).collect();
        let mut rows: Vec<Row> = rows
            .iter()
            .map(|row| Row {
                start: row.at(&low),
                columns: free
                    .iter()
                    .map(|k| row.columns[*k].map(|each| each * (bounds[*k][1] - bounds[*k][0])))
                    .collect(),
            })
            .collect();
        let sizes =
            |row: &Row| row.columns.iter().chain([&row.start]).map(|[a, b]| libm::hypot(*a, *b)).fold(0.0, f64::max);
        let scale = rows.iter().map(sizes).fold(0.0, f64::max);
        if scale > 0.0 {
            for each in rows.iter_mut().flat_map(|row| row.columns.iter_mut().chain([&mut row.start])) {
                *each = each.map(|value| value / scale);
            }
        }
        // The same lens twice is one lens.
        let mut unlike: Vec<Row> = Vec::new();
        for row in rows {
            if !unlike.contains(&row) {
                unlike.push(row);
            }
        }
        Self { rows: unlike, scale, unknowns: free.len() }
    }

    /// Whether some slides can do each other's work for one lens.
    fn may_tie(&self) -> bool {
        let unlike = |row: &Row| {
            let mut gram = [0.0; 3];
            for [a, b] in &row.columns {
                gram = [gram[0] + a * a, gram[1] + a * b, gram[2] + b * b];
            }
            let rank_two = gram[0] * gram[2] - gram[1] * gram[1] > 1e-12 * (gram[0] + gram[2]) * (gram[0] + gram[2]);
            1 + usize::from(rank_two)
        };
        self.rows.iter().any(|row| unlike(row) < self.unknowns)
    }

    fn smallest(&self) -> Point {
        let x = DVector::from_element(self.unknowns, 0.5);
        let square = 1.1 * self.largest_square(&x) + 0.01;
        self.descend(x, square, &Goal::Square)
    }

    /// The point nearest to `wanted` whose squares are as small as those of `best`, to rounding.
    fn nearest(&self, best: &DVector<f64>, wanted: &[f64]) -> DVector<f64> {
        let square = self.largest_square(best) * (1.0 + 1e-10) + 1e-22;
        let found = self.descend(best.clone(), square, &Goal::Distance(wanted)).x;
        if self.largest_square(&found) <= square { found } else { best.clone() }
    }

    fn largest_square(&self, x: &DVector<f64>) -> f64 {
        self.rows.iter().map(|row| square(row.at(x.as_slice()))).fold(0.0, f64::max)
    }

    fn descend(&self, x: DVector<f64>, square: f64, goal: &Goal<'_>) -> Point {
        let count = self.rows.len() + 2 * self.unknowns;
        let slacks = self.slacks(&x, square);
        let mut at = Point { x, square, multipliers: slacks.map(|slack| (0.1 / slack).min(1e3)) };
        let mut length = 1.0;
        for _ in 0..ROUNDS {
            let slacks = self.slacks(&at.x, at.square);
            let gap = slacks.dot(&at.multipliers);
            let enough = match goal {
                Goal::Square => 1e-15 * at.square + 1e-26,
                Goal::Distance(_) => 1e-14,
            };
            if gap <= enough {
                break;
            }
            // After a short step the point hugs a constraint: back towards the middle first.
            let share = if length < 0.5 { 0.8 } else { 0.1 };
            let Some((next, went)) = self.step(&at, &slacks, share * gap / count as f64, goal) else { break };
            (at, length) = (next, went);
        }
        at
    }

    /// How far inside every constraint a point is.
    fn slacks(&self, x: &DVector<f64>, bound: f64) -> DVector<f64> {
        let rows = self.rows.iter().map(|row| bound - square(row.at(x.as_slice())));
        let ends = x.iter().copied().chain(x.iter().map(|x| 1.0 - x));
        DVector::from_iterator(self.rows.len() + 2 * self.unknowns, rows.chain(ends))
    }

    /// Gradients of the constraints, one a row, by the unknowns and, last, the bound on the squares.
    fn gradients(&self, x: &DVector<f64>, goal: &Goal<'_>) -> DMatrix<f64> {
        let (rows, unknowns) = (self.rows.len(), self.unknowns);
        let width = unknowns + usize::from(matches!(goal, Goal::Square));
        let mut all = DMatrix::zeros(rows + 2 * unknowns, width);
        for (place, row) in self.rows.iter().enumerate() {
            let u = row.at(x.as_slice());
            for (k, column) in row.columns.iter().enumerate() {
                all[(place, k)] = 2.0 * (column[0] * u[0] + column[1] * u[1]);
            }
            if width > unknowns {
                all[(place, unknowns)] = -1.0;
            }
        }
        for k in 0..unknowns {
            all[(rows + k, k)] = -1.0;
            all[(rows + unknowns + k, k)] = 1.0;
        }
        all
    }

    /// Gradient of what is made smallest.
    fn wish(&self, x: &DVector<f64>, goal: &Goal<'_>) -> DVector<f64> {
        match goal {
            Goal::Square => DVector::from_fn(self.unknowns + 1, |k, _| if k == self.unknowns { 1.0 } else { 0.0 }),
            Goal::Distance(wanted) => DVector::from_fn(self.unknowns, |k, _| 2.0 * (x[k] - wanted[k])),
        }
    }

    /// One Newton step on the conditions of optimality, shortened to stay inside; `None` when it leads nowhere.
    fn step(&self, at: &Point, slacks: &DVector<f64>, centre: f64, goal: &Goal<'_>) -> Option<(Point, f64)> {
        let gradients = self.gradients(&at.x, goal);
        let width = gradients.ncols();
        let mut hessian = DMatrix::zeros(width, width);
        for (row, weight) in self.rows.iter().zip(at.multipliers.iter()) {
            for (i, a) in row.columns.iter().enumerate() {
                for (j, b) in row.columns.iter().enumerate() {
                    hessian[(i, j)] += 2.0 * weight * (a[0] * b[0] + a[1] * b[1]);
                }
            }
        }
        if matches!(goal, Goal::Distance(_)) {
            hessian += DMatrix::identity(width, width) * 2.0;
        }
        // Both together, step and multipliers: to eliminate the multipliers first would square what is nearly singular.
        let count = gradients.nrows();
        let mut both = DMatrix::zeros(width + count, width + count);
        both.view_mut((0, 0), (width, width)).copy_from(&hessian);
        both.view_mut((width, 0), (count, width)).copy_from(&gradients);
        both.view_mut((0, width), (width, count)).copy_from(&gradients.transpose());
        let mut right = DVector::zeros(width + count);
        right.rows_mut(0, width).copy_from(&-self.wish(&at.x, goal));
        for row in 0..count {
            both[(width + row, width + row)] = -slacks[row] / at.multipliers[row];
            right[width + row] = -centre / at.multipliers[row];
        }
        let solved = both.lu().solve(&right)?;
        let step = solved.rows(0, width).into_owned();
        let turn = solved.rows(width, count) - &at.multipliers;
        self.shortened(at, &step, &turn, centre, goal)
    }

    fn shortened(
        &self,
        at: &Point,
        step: &DVector<f64>,
        turn: &DVector<f64>,
        centre: f64,
        goal: &Goal<'_>,
    ) -> Option<(Point, f64)> {
        let room = at.multipliers.iter().zip(turn.iter()).filter(|(_, turn)| **turn < 0.0);
        let mut length = room.map(|(multiplier, turn)| -multiplier / turn).fold(1.0, f64::min) * 0.99;
        let before = self.unrest(at, centre, goal);
        for _ in 0..60 {
            let x = &at.x + step.rows(0, self.unknowns) * length;
            let square = at.square + step.get(self.unknowns).map_or(0.0, |rise| rise * length);
            let next = Point { x, square, multipliers: &at.multipliers + turn * length };
            let inside = self.slacks(&next.x, next.square).iter().all(|slack| *slack > 0.0);
            // Near the end rounding keeps the unrest from falling: being inside is enough there.
            if inside && (self.unrest(&next, centre, goal) <= (1.0 - 0.01 * length) * before || before < 1e-13) {
                return Some((next, length));
            }
            length *= 0.5;
        }
        None
    }

    /// How far from the conditions of optimality a point is.
    fn unrest(&self, at: &Point, centre: f64, goal: &Goal<'_>) -> f64 {
        let slacks = self.slacks(&at.x, at.square);
        let dual = self.wish(&at.x, goal) + self.gradients(&at.x, goal).transpose() * &at.multipliers;
        let off = slacks.component_mul(&at.multipliers).map(|product| product - centre);
        float::sqrt(dual.norm_squared() + off.norm_squared())
    }

    /// No point within the bounds has a smaller largest norm than this. For weights that sum to one Σ wₗ|**u**ₗ|² lies
    /// below the largest square everywhere, and, being convex, above its tangent.
    fn at_least(&self, at: &Point) -> f64 {
        let weights = at.multipliers.rows(0, self.rows.len());
        let total: f64 = weights.iter().map(|weight| weight.max(0.0)).sum();
        if total <= 0.0 {
            return 0.0;
        }
        let mut least = 0.0;
        let mut slope = vec![0.0; self.unknowns];
        for (row, weight) in self.rows.iter().zip(weights.iter()) {
            let (u, share) = (row.at(at.x.as_slice()), weight.max(0.0) / total);
            least += share * square(u);
            for (slope, column) in slope.iter_mut().zip(&row.columns) {
                *slope += 2.0 * share * (column[0] * u[0] + column[1] * u[1]);
            }
        }
        for (slope, x) in slope.iter().zip(at.x.iter()) {
            least += (slope * (0.0 - x)).min(slope * (1.0 - x));
        }
        float::sqrt(least.max(0.0))
    }
}

fn square([a, b]: [f64; 2]) -> f64 {
    a * a + b * b
}

#[cfg(test)]
mod tests;
