//! Guided balancing of one slide: set the mark, say what it does, and get the next mark.
//!
//! The belief about the true mark is a normal distribution, cut off by every answer: "turns this way" says that the
//! true mark lies on the other side of the mark tried, by more than *half* the hold zone, since friction is never
//! known well. The next mark is the median of what is left. Only the result feeds [`super::Learned`], never the cut-off
//! belief: that would count the prior twice.

use serde::{Deserialize, Serialize};

use crate::float;
pub use crate::package::Seen;

/// One setting that was tried, and what was seen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// The mark that was set, m.
    pub mark_m: f64,
    /// What was seen there.
    pub seen: Seen,
}

/// What is believed about the true mark of one slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Prior {
    /// Predicted mark, m.
    pub mean_m: f64,
    /// Its standard uncertainty, m.
    pub sigma_m: f64,
    /// Hold zone: how far the mark may be off and the axis still stays, m.
    pub hold_zone_m: f64,
    /// Lowest and highest mark, m.
    pub range_m: [f64; 2],
}

/// Where guided balancing stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Set this mark next, m.
    Set {
        /// The mark, m.
        mark_m: f64,
        /// The middle 95 % of what is still believed, m.
        between_m: [f64; 2],
        /// Whether the answers so far contradict each other, so that the last ones are asked again.
        asked_again: bool,
    },
    /// It stays put at this mark, m.
    Found {
        /// The mark, m.
        mark_m: f64,
    },
    /// Every mark of the travel has been ruled out on one side: the true mark lies beyond this end, m.
    BeyondEnd {
        /// That end, m.
        end_m: f64,
    },
}

/// The next step after the trials so far. Pure: the state is the list of trials, so it survives a dead phone.
pub fn next_step(prior: &Prior, trials: &[Trial]) -> Step {
    if let Some(Trial { mark_m, seen: Seen::Stays | Seen::Ends { .. } }) = trials.last() {
        return Step::Found { mark_m: *mark_m };
    }
    let belief = Belief::after(prior, trials);
    let [low_m, high_m] = prior.range_m;
    // The end itself has been tried and the head still wants more.
    let tried_end = |end_m: f64| trials.iter().any(|trial| (trial.mark_m - end_m).abs() < 1e-9);
    if belief.low_m >= high_m && tried_end(high_m) {
        return Step::BeyondEnd { end_m: high_m };
    }
    if belief.high_m <= low_m && tried_end(low_m) {
        return Step::BeyondEnd { end_m: low_m };
    }
    Step::Set {
        mark_m: belief.quantile(0.5).clamp(low_m, high_m),
        between_m: [belief.quantile(0.025), belief.quantile(0.975)],
        asked_again: belief.reopened,
    }
}

/// A normal distribution cut off on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Mean of the uncut distribution, m.
    pub mean_m: f64,
    /// Its standard deviation, m.
    pub sigma_m: f64,
    /// Lower cut, m; −∞ when none.
    pub low_m: f64,
    /// Upper cut, m; +∞ when none.
    pub high_m: f64,
    /// Whether contradicting answers had to be dropped.
    pub reopened: bool,
}

impl Belief {
    /// The belief after all trials. When the bracket falls empty the friction is larger than believed or an answer was
    /// wrong: it reopens around its own middle by the hold zone on either side, and the question is asked again.
    pub fn after(prior: &Prior, trials: &[Trial]) -> Self {
        let margin_m = 0.5 * prior.hold_zone_m;
        let mut belief = Self {
            mean_m: prior.mean_m,
            sigma_m: prior.sigma_m.max(1e-5),
            low_m: f64::NEG_INFINITY,
            high_m: f64::INFINITY,
            reopened: false,
        };
        for trial in trials {
            match trial.seen {
                Seen::Stays | Seen::Ends { .. } | Seen::Turns | Seen::LeftOut => {}
                Seen::WantsMore => belief.low_m = belief.low_m.max(trial.mark_m + margin_m),
                Seen::WantsLess => belief.high_m = belief.high_m.min(trial.mark_m - margin_m),
                Seen::Gauge { mark_m, u_m } => belief.weigh_in(mark_m, u_m),
            }
            if belief.low_m >= belief.high_m {
                let middle_m = 0.5 * (belief.low_m + belief.high_m);
                let half_m = 0.5 * (belief.low_m - belief.high_m) + prior.hold_zone_m;
                belief.low_m = middle_m - half_m;
                belief.high_m = middle_m + half_m;
                belief.reopened = true;
            }
        }
        belief
    }

    /// Product of two normal distributions: a gauge reading is an independent measurement.
    fn weigh_in(&mut self, mark_m: f64, u_m: f64) {
        let (own, other) = (1.0 / (self.sigma_m * self.sigma_m), 1.0 / (u_m * u_m).max(1e-12));
        self.mean_m = (self.mean_m * own + mark_m * other) / (own + other);
        self.sigma_m = libm::sqrt(1.0 / (own + other));
    }

    /// Mean and standard deviation of the cut-off distribution, m.
    ///
    /// With α, β the cuts in units of σ and Z = Φ(β) − Φ(α): μ + σ(φ(α) − φ(β))/Z, and
    /// σ²[1 + (αφ(α) − βφ(β))/Z − ((φ(α) − φ(β))/Z)²].
    ///
    /// # Source
    /// Johnson, Kotz and Balakrishnan, *Continuous Univariate Distributions*, vol. 1, section 13.10.1 (from memory).
    pub fn moments(&self) -> (f64, f64) {
        let (alpha, beta) = (self.standard(self.low_m), self.standard(self.high_m));
        let log_mass = log_normal_between(alpha, beta);
        // Ratios of densities to the mass in between, by logarithms: far in a tail both underflow.
        let ratio = |x: f64| if x.is_finite() { float::exp(log_density(x) - log_mass) } else { 0.0 };
        let (at_low, at_high) = (ratio(alpha), ratio(beta));
        let shift = at_low - at_high;
        let weighted = |x: f64, ratio: f64| if x.is_finite() { x * ratio } else { 0.0 };
        let variance = 1.0 + weighted(alpha, at_low) - weighted(beta, at_high) - shift * shift;
        (self.mean_m + self.sigma_m * shift, self.sigma_m * libm::sqrt(variance.max(0.0)))
    }

    /// The reading below which the given share of the belief lies, m. Found by bisection on the logarithm of the tail,
    /// which stays exact however far out the cuts are.
    pub fn quantile(&self, share: f64) -> f64 {
        let (alpha, beta) = (self.standard(self.low_m), self.standard(self.high_m));
        let total = log_normal_between(alpha, beta);
        let target = total + float::ln(share);
        // Beyond twelve deviations past a finite cut nothing is left.
        let mut low = if alpha.is_finite() { alpha } else { beta.min(0.0) - 40.0 };
        let mut high = if beta.is_finite() { beta } else { alpha.max(0.0) + 40.0 };
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if log_normal_between(alpha, middle) < target { low = middle } else { high = middle }
        }
        self.mean_m + self.sigma_m * 0.5 * (low + high)
    }

    fn standard(&self, x_m: f64) -> f64 {
        (x_m - self.mean_m) / self.sigma_m
    }
}

fn log_density(x: f64) -> f64 {
    -0.5 * x * x - 0.918_938_533_204_672_8
}

/// ln(Φ(b) − Φ(a)) for a < b, without cancellation in either tail.
fn log_normal_between(a: f64, b: f64) -> f64 {
    if a > 0.0 {
        // Both in the upper tail: mirror.
        return log_normal_between(-b, -a);
    }
    let upper = log_below(b);
    let lower = log_below(a);
    if lower == f64::NEG_INFINITY { upper } else { upper + libm::log1p(-float::exp((lower - upper).min(0.0))) }
}

/// ln Φ(x), by a continued fraction far out in the lower tail.
fn log_below(x: f64) -> f64 {
    if x == f64::INFINITY {
        return 0.0;
    }
    if x == f64::NEG_INFINITY {
        return f64::NEG_INFINITY;
    }
    if x < -6.0 {
        // Laplace's continued fraction of Mills' ratio: Abramowitz and Stegun, 26.2.14.
        let fraction = (1..=80).rev().fold(-x, |below, term| -x + f64::from(term) / below);
        return log_density(x) - float::ln(fraction);
    }
    float::ln(0.5 * libm::erfc(-x * core::f64::consts::FRAC_1_SQRT_2))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prior() -> Prior {
        Prior { mean_m: 0.110, sigma_m: 0.004, hold_zone_m: 0.0014, range_m: [0.0, 0.220] }
    }

    #[test]
    fn first_mark_is_the_prediction() {
        assert!(matches!(next_step(&prior(), &[]), Step::Set { mark_m, .. } if (mark_m - 0.110).abs() < 1e-9));
    }

    #[test]
    fn an_answer_moves_to_the_median_of_what_is_left() {
        let trials = [Trial { mark_m: 0.110, seen: Seen::WantsMore }];
        let belief = Belief::after(&prior(), &trials);
        let median = belief.quantile(0.5);
        assert!(median > 0.1107 && median < 0.116, "{median}");
    }

    #[test]
    fn contradiction_reopens_and_asks_again() {
        let trials = [Trial { mark_m: 0.110, seen: Seen::WantsMore }, Trial { mark_m: 0.110, seen: Seen::WantsLess }];
        match next_step(&prior(), &trials) {
            Step::Set { mark_m, asked_again, .. } => {
                assert!(asked_again);
                assert!((mark_m - 0.110).abs() < 1e-6, "{mark_m}");
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn beyond_the_end_is_an_answer() {
        let trials = [Trial { mark_m: 0.220, seen: Seen::WantsMore }];
        assert_eq!(next_step(&prior(), &trials), Step::BeyondEnd { end_m: 0.220 });
    }

    #[test]
    fn truncated_moments() {
        // Source: scipy 1.17.1, scipy.stats.truncnorm(a, b): mean, standard deviation and median.
        let infinity = f64::INFINITY;
        let rows = [
            (-1.0, 2.0, 0.229_637_179_091_329_02, 0.720_945_586_859_045_8, 0.171_163_918_017_824_82),
            (0.0, infinity, 0.797_884_560_802_865_4, 0.602_810_274_989_086_9, 0.674_489_750_196_081_7),
            (6.0, 7.0, 6.157_210_903_378_302, 0.150_825_664_650_852_9, 6.111_358_215_508_885),
            (20.0, 21.0, 20.049_753_067_340_25, 0.049_631_244_392_515_46, 20.034_541_676_454_73),
            (-0.3, 0.1, -0.098_673_799_212_582_7, 0.115_157_750_876_971_76, -0.098_019_996_285_133_37),
            (-infinity, -3.0, -3.283_098_654_930_44, 0.265_629_792_709_008_2, -3.205_154_920_598_933_4),
        ];
        for (low_m, high_m, mean, deviation, median) in rows {
            let belief = Belief { mean_m: 0.0, sigma_m: 1.0, low_m, high_m, reopened: false };
            let (found_mean, found_deviation) = belief.moments();
            assert!((found_mean - mean).abs() < 1e-10, "{low_m}..{high_m}: mean {found_mean}");
            assert!((found_deviation - deviation).abs() < 1e-9, "{low_m}..{high_m}: deviation {found_deviation}");
            assert!((belief.quantile(0.5) - median).abs() < 1e-10, "{low_m}..{high_m}: {}", belief.quantile(0.5));
        }
    }
}
