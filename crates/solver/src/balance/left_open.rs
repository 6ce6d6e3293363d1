//! What is left open about an axis once every slide stands at its target mark, and the chance that it stays put there.

use nalgebra::{Matrix2, Vector2};

use super::learn::Learned;
use super::marks::plane;
use super::moments::{Moments, arm_m};
use crate::constants::SCALE_ZERO_U_M;
use crate::float;
use crate::layout::Layout;
use crate::package::Package;

/// Covariance of a joint's first moment, across its axis in the frame of [`plane`], with every slide read at `marks_m`,
/// (kg·m)², before any log: errors of masses at their arms, of centres of gravity, and of the zeros of the scales.
///
/// # Source
/// JCGM 100:2008, equation (13).
pub(crate) fn left_open(layout: &Layout, marks_m: &[f64], joint: usize, moment: &Moments) -> Matrix2<f64> {
    let plane = plane(&moment.axis);
    let mut covariance = Matrix2::zeros();
    for body in layout.bodies.iter().filter(|body| body.link > joint) {
        let arm_m = plane * arm_m(layout, joint, body, marks_m);
        let (mass_variance, cg_variance) = (body.mass_u_kg * body.mass_u_kg, body.cg_u_m * body.cg_u_m);
        let by_place = cg_variance * (body.mass_kg * body.mass_kg + mass_variance);
        covariance += arm_m * arm_m.transpose() * mass_variance + Matrix2::identity() * by_place;
    }
    for per_slide_kg in &moment.per_slide_kg {
        let by_zero = plane * per_slide_kg * SCALE_ZERO_U_M;
        covariance += by_zero * by_zero.transpose();
    }
    covariance
}

impl Learned {
    /// The same as [`left_open`] after the logs.
    #[inline(never)]
    pub(crate) fn left_open(
        &self,
        package: &Package,
        layout: &Layout,
        marks_m: &[f64],
        joint: usize,
        moment: &Moments,
    ) -> Matrix2<f64> {
        let plane = plane(&moment.axis);
        let rows = [0, 1].map(|way| {
            let direction = plane.row(way).transpose();
            self.row(package, layout, marks_m, joint, &moment.per_slide_kg, &direction)
        });
        Matrix2::from_fn(|one, other| self.covariance(&rows[one], &rows[other]))
    }
}

/// Pieces of a chord over which the density is integrated: a few parts in ten thousand of the whole.
const PIECES: u32 = 32;
/// An unbalance that is known better than this is known, kg·m.
const KNOWN_KG_M: f64 = 1e-9;

/// Probability that a normal first moment lies in the circle that friction holds: `mean` and `covariance` across the axis.
/// One along the axis where the circle has no end.
pub(crate) fn chance_within(mean_kg_m: &Vector2<f64>, covariance: &Matrix2<f64>, held_kg_m: f64) -> f64 {
    if held_kg_m.is_infinite() {
        return 1.0;
    }
    // Along the wider of the two directions in which errors are not correlated, chord by chord.
    let (middle, half, mixed) = (0.5 * covariance.trace(), 0.5 * (covariance.m11 - covariance.m22), covariance.m12);
    let (sin, cos) = float::sin_cos(0.5 * float::atan2(mixed, half));
    let off = float::sqrt(half * half + mixed * mixed);
    let [wide, narrow] = [middle + off, middle - off].map(|square| float::sqrt(square.max(0.0)).max(KNOWN_KG_M));
    let along = cos * mean_kg_m.x + sin * mean_kg_m.y;
    let beside = cos * mean_kg_m.y - sin * mean_kg_m.x;

    let reach = 8.0 * wide;
    let [low, high] = [along - reach, along + reach].map(|at| {
        let sin = (at / held_kg_m).clamp(-1.0, 1.0);
        float::atan2(sin, float::sqrt(1.0 - sin * sin))
    });
    let step = (high - low) / f64::from(PIECES);
    // By the angle that a chord is seen under the integrand is smooth up to the ends of the circle.
    let density = |piece: u32| {
        let (sin, cos) = float::sin_cos(low + step * f64::from(piece));
        let [at, chord] = [held_kg_m * sin, held_kg_m * cos];
        let standard = (at - along) / wide;
        let inside = normal_between(-chord, chord, beside, narrow);
        inside * chord * float::exp(-0.5 * standard * standard) / (wide * float::sqrt(core::f64::consts::TAU))
    };
    // Simpson's rule.
    let weighed = (0..=PIECES).map(|piece| {
        let weight = if piece == 0 || piece == PIECES { 1.0 } else { f64::from(2 + 2 * (piece % 2)) };
        weight * density(piece)
    });
    (weighed.sum::<f64>() * step / 3.0).clamp(0.0, 1.0)
}

/// Probability that a normal quantity lies between two values.
pub(crate) fn normal_between(low: f64, high: f64, mean: f64, sigma: f64) -> f64 {
    let below = |x: f64| 0.5 * (1.0 + float::erf((x - mean) / (sigma * core::f64::consts::SQRT_2)));
    (below(high) - below(low)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chance(mean: [f64; 2], [m11, m12, m22]: [f64; 3], held: f64) -> f64 {
        chance_within(&Vector2::from(mean), &Matrix2::new(m11, m12, m12, m22), held)
    }

    /// Two errors alike have a length that is distributed as Rayleigh's: 1 − exp(−r²/2σ²).
    #[test]
    fn alike_both_ways_it_is_rayleigh_s_distribution() {
        for held in [0.001, 0.3, 1.0, 2.5, 30.0] {
            let expected = 1.0 - float::exp(-0.5 * held * held);
            assert!((chance([0.0; 2], [1.0, 0.0, 1.0], held) - expected).abs() < 2e-6, "{held}");
        }
    }

    /// Where nothing is left open to one side, it is the normal distribution of the other.
    #[test]
    fn known_to_one_side_it_is_the_normal_distribution() {
        for (mean, held) in [([0.0, 0.0], 1.0), ([0.4, 0.0], 0.7), ([-3.0, 0.0], 1.0), ([0.0, 0.6], 1.0)] {
            let chord = f64::sqrt(held * held - mean[1] * mean[1]);
            let expected = normal_between(-chord, chord, mean[0], 0.5);
            assert!((chance(mean, [0.25, 0.0, 0.0], held) - expected).abs() < 2e-2, "{mean:?}");
        }
        assert!(chance([0.3, 0.2], [0.0; 3], 0.5) > 0.999_9);
        assert!(chance([0.3, 0.5], [0.0; 3], 0.5) < 0.000_1);
        assert!((chance([3.0, 0.5], [1.0; 3], f64::INFINITY) - 1.0).abs() < 1e-12);
    }

    /// Added up over a fine grid.
    #[test]
    fn askew_and_correlated_it_is_what_a_grid_says() {
        for (mean, [m11, m12, m22], held) in [
            ([0.0, 0.0], [1.0, 0.6, 0.7], 0.8),
            ([0.5, -0.8], [0.04, -0.05, 0.3], 1.0),
            ([1.4, 0.2], [2.0, 0.9, 0.5], 1.0),
        ] {
            let determinant: f64 = m11 * m22 - m12 * m12;
            let cell = held / 400.0;
            let places = || (-400..400).map(|index| (f64::from(index) + 0.5) * cell);
            let mut sum = 0.0;
            for (x, y) in places().flat_map(|x| places().map(move |y| (x, y))) {
                if x * x + y * y <= held * held {
                    let [x, y] = [x - mean[0], y - mean[1]];
                    sum += float::exp(-0.5 * (m22 * x * x - 2.0 * m12 * x * y + m11 * y * y) / determinant);
                }
            }
            let counted = sum * cell * cell / (core::f64::consts::TAU * determinant.sqrt());
            let found = chance(mean, [m11, m12, m22], held);
            assert!((found - counted).abs() < 5e-4, "{found} for {counted}");
        }
    }
}
