//! Bounded least squares in the plane across an axis, for a handful of slides.
//!
//! Minimises |**r** + A**x**| over low ≤ **x** ≤ high, and among all minimisers takes the smallest |**x**|. Every pattern of
//! unknowns at their bounds is tried (3ⁿ, n rarely above three), with the minimum-norm solution for the free ones: that
//! is exact, also for slides that do each other's work. Checked against scipy's bounded solver in the tests.

/// One unknown of the problem: a column of A and its bounds, relative to the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unknown {
    /// What one unit adds to each of the two components.
    pub column: [f64; 2],
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
}

/// Solves for the unknowns that make `start` + A**x** smallest. At most eight unknowns are expected.
pub fn solve(start: [f64; 2], unknowns: &[Unknown]) -> Vec<f64> {
    let mut best: Option<Candidate> = None;
    let scale = scale_of(start, unknowns);
    for pattern in 0..3_usize.pow(u32::try_from(unknowns.len()).unwrap_or(8).min(8)) {
        if let Some(candidate) = Candidate::from_pattern(start, unknowns, pattern)
            && best.as_ref().is_none_or(|best| candidate.beats(best, scale))
        {
            best = Some(candidate);
        }
    }
    best.map_or_else(|| vec![0.0; unknowns.len()], |best| best.x)
}

/// Row vectors that give each free unknown from an error of the two components: **x** = −A⁺ **e**; zero where not free.
pub(crate) fn pseudo_inverse(unknowns: &[Unknown], free: &[bool]) -> Vec<[f64; 2]> {
    let gram_inverse = gram_pseudo_inverse(unknowns, free);
    unknowns
        .iter()
        .zip(free)
        .map(|(unknown, free)| if *free { times(gram_inverse, unknown.column) } else { [0.0; 2] })
        .collect()
}

struct Candidate {
    x: Vec<f64>,
    residual: f64,
    length: f64,
}

impl Candidate {
    fn from_pattern(start: [f64; 2], unknowns: &[Unknown], pattern: usize) -> Option<Self> {
        let mut x = vec![0.0; unknowns.len()];
        let mut free = vec![false; unknowns.len()];
        let mut rest = start;
        let mut digits = pattern;
        for (index, unknown) in unknowns.iter().enumerate() {
            match digits % 3 {
                0 => free[index] = true,
                1 => x[index] = unknown.low,
                _ => x[index] = unknown.high,
            }
            digits /= 3;
            rest = [rest[0] + unknown.column[0] * x[index], rest[1] + unknown.column[1] * x[index]];
        }
        for (index, row) in pseudo_inverse(unknowns, &free).into_iter().enumerate() {
            if free[index] {
                x[index] = -(row[0] * rest[0] + row[1] * rest[1]);
                let slack = 1e-12 * (unknowns[index].high - unknowns[index].low);
                if x[index] < unknowns[index].low - slack || x[index] > unknowns[index].high + slack {
                    return None;
                }
                x[index] = x[index].clamp(unknowns[index].low, unknowns[index].high);
            }
        }
        let mut left = start;
        for (unknown, x) in unknowns.iter().zip(&x) {
            left = [left[0] + unknown.column[0] * x, left[1] + unknown.column[1] * x];
        }
        let residual = libm::hypot(left[0], left[1]);
        let length = libm::sqrt(x.iter().map(|x| x * x).sum());
        Some(Self { x, residual, length })
    }

    /// Smaller residual wins; where the residuals agree to rounding, the smaller move.
    fn beats(&self, other: &Self, scale: f64) -> bool {
        let same = 1e-12 * scale;
        self.residual < other.residual - same
            || (self.residual <= other.residual + same && self.length < other.length * (1.0 - 1e-12))
    }
}

fn scale_of(start: [f64; 2], unknowns: &[Unknown]) -> f64 {
    let reach: f64 = unknowns
        .iter()
        .map(|each| libm::hypot(each.column[0], each.column[1]) * each.high.abs().max(each.low.abs()))
        .sum();
    libm::hypot(start[0], start[1]) + reach
}

/// Pseudo-inverse of the symmetric 2×2 matrix A Aᵀ over the free columns, as [xx, xy, yy].
fn gram_pseudo_inverse(unknowns: &[Unknown], free: &[bool]) -> [f64; 3] {
    let mut gram = [0.0; 3];
    for (unknown, _) in unknowns.iter().zip(free).filter(|(_, free)| **free) {
        let [x, y] = unknown.column;
        gram = [gram[0] + x * x, gram[1] + x * y, gram[2] + y * y];
    }
    let [xx, xy, yy] = gram;
    let trace = xx + yy;
    if trace <= 0.0 {
        return [0.0; 3];
    }
    let determinant = xx * yy - xy * xy;
    if determinant > 1e-14 * trace * trace {
        [yy / determinant, -xy / determinant, xx / determinant]
    } else {
        // All columns in line: of rank one, and the matrix is its own pseudo-inverse but for its scale.
        let square = trace * trace;
        [xx / square, xy / square, yy / square]
    }
}

fn times([xx, xy, yy]: [f64; 3], [x, y]: [f64; 2]) -> [f64; 2] {
    [xx * x + xy * y, xy * x + yy * y]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unknown(column: [f64; 2], low: f64, high: f64) -> Unknown {
        Unknown { column, low, high }
    }

    #[test]
    fn one_slide_cancels_what_it_can_and_no_more() {
        let x = solve([2.0, 0.5], &[unknown([4.0, 0.0], -1.0, 1.0)]);
        assert!((x[0] + 0.5).abs() < 1e-15);
        let x = solve([8.0, 0.5], &[unknown([4.0, 0.0], -1.0, 1.0)]);
        assert!((x[0] + 1.0).abs() < 1e-15);
    }

    #[test]
    fn redundant_slides_share_the_smallest_move() {
        let x = solve([2.0, 0.0], &[unknown([1.0, 0.0], -9.0, 9.0), unknown([1.0, 0.0], -9.0, 9.0)]);
        assert!((x[0] + 1.0).abs() < 1e-12 && (x[1] + 1.0).abs() < 1e-12, "{x:?}");
        // The first stops at its end, the second takes the rest.
        let x = solve([2.0, 0.0], &[unknown([1.0, 0.0], -0.25, 9.0), unknown([1.0, 0.0], -9.0, 9.0)]);
        assert!((x[0] + 0.25).abs() < 1e-12 && (x[1] + 1.75).abs() < 1e-12, "{x:?}");
    }

    #[test]
    fn oblique_slides_solve_both_components() {
        let unknowns = [unknown([1.0, 0.2], -5.0, 5.0), unknown([-0.3, 2.0], -5.0, 5.0)];
        let x = solve([0.7, -0.4], &unknowns);
        let left = [0.7 + x[0] - 0.3 * x[1], -0.4 + 0.2 * x[0] + 2.0 * x[1]];
        assert!(left[0].abs() < 1e-14 && left[1].abs() < 1e-14);
    }
}
