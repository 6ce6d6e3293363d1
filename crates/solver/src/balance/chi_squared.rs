//! The χ² distribution.

/// Probability that χ² with `degrees` exceeds `value`, by the regularised incomplete gamma function.
///
/// # Source
/// Abramowitz and Stegun, 26.4.19; series and continued fraction 6.5.29 and 6.5.31.
pub(super) fn tail(value: f64, degrees: usize) -> f64 {
    let (shape, x) = (0.5 * degrees as f64, 0.5 * value.max(0.0));
    let scale = crate::float::exp(shape * crate::float::ln(x.max(1e-300)) - x - libm::lgamma(shape));
    if x < shape + 1.0 {
        let (mut term, mut sum, mut n) = (1.0 / shape, 1.0 / shape, shape);
        while term > sum * 1e-15 {
            n += 1.0;
            term *= x / n;
            sum += term;
        }
        (1.0 - sum * scale).clamp(0.0, 1.0)
    } else {
        // Lentz's method.
        let mut b = x + 1.0 - shape;
        let mut c = 1e300;
        let mut d = 1.0 / b;
        let mut h = d;
        for step in 1..500 {
            let a = -f64::from(step) * (f64::from(step) - shape);
            b += 2.0;
            d = 1.0 / (a * d + b);
            c = b + a / c;
            h *= c * d;
            if (c * d - 1.0).abs() < 1e-15 {
                break;
            }
        }
        (scale * h).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::tail;

    #[test]
    fn chi_squared_quantiles() {
        // Abramowitz and Stegun, table 26.8: 95 % points (values from memory).
        for (degrees, value) in [(1, 3.841_459), (2, 5.991_465), (6, 12.591_587), (30, 43.772_972)] {
            assert!((tail(value, degrees) - 0.05).abs() < 1e-6, "{degrees}");
        }
    }
}
