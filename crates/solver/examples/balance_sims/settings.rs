//! How many settings it takes to balance one slide: guided, by bisection, and by halving round the prediction.

use solver::balance::guided::{Prior, Seen, Step, Trial, next_step};

use crate::random::{Random, mean, percentile};

/// Hold zone that is believed, m.
const BELIEVED_ZONE_M: f64 = 0.0014;
/// Travel of the slide, m.
const TRAVEL_M: [f64; 2] = [0.0, 0.2];
/// A crew gives up here; it counts.
const MOST_SETTINGS: usize = 40;

/// What is true about a slide, against what is believed: the mark to 4 mm, the hold zone 1.4 mm either way.
#[derive(Clone, Copy)]
pub(crate) struct Truth {
    /// True hold zone over the believed one.
    pub(crate) friction: f64,
    /// Deviation of the true mark over the believed one.
    pub(crate) spread: f64,
    /// Share of answers that are given the wrong way round.
    pub(crate) wrong: f64,
    /// Largest error of one gauge reading at the first setting, m; none when no gauge is at hand.
    pub(crate) gauge_m: Option<f64>,
}

/// All as believed.
pub(crate) const AS_BELIEVED: Truth = Truth { friction: 1.0, spread: 1.0, wrong: 0.0, gauge_m: None };

/// What a way of balancing costs.
pub(crate) struct Cost {
    /// Settings until it stays put, on average.
    pub(crate) mean: f64,
    /// Half of the slides need at most so many.
    pub(crate) median: f64,
    /// 95 % of the slides need at most so many.
    pub(crate) most: f64,
    /// Share of slides on which answers contradicted each other.
    pub(crate) contradicted: f64,
}

impl Cost {
    fn of(runs: &[(usize, bool)]) -> Self {
        let counts: Vec<f64> = runs.iter().map(|(count, _)| *count as f64).collect();
        let contradicted: Vec<f64> = runs.iter().map(|(_, asked_again)| f64::from(*asked_again)).collect();
        Self {
            mean: mean(&counts),
            median: percentile(&counts, 0.5),
            most: percentile(&counts, 0.95),
            contradicted: mean(&contradicted),
        }
    }
}

/// One slide with its hidden truth.
#[expect(clippy::struct_field_names, reason = "all three are metres")]
struct Hidden {
    mark_m: f64,
    zone_m: f64,
    predicted_m: f64,
}

impl Hidden {
    /// The prediction may fall anywhere in the middle eight tenths of the travel.
    fn draw(random: &mut Random, truth: Truth) -> Self {
        let [low, high] = TRAVEL_M;
        let edge_m = 0.1 * (high - low);
        let predicted_m = random.between(low + edge_m, high - edge_m);
        let off_m = 0.004 * truth.spread * random.normal();
        let mark_m = (predicted_m + off_m).clamp(low, high);
        Self { mark_m, zone_m: BELIEVED_ZONE_M * truth.friction, predicted_m }
    }

    /// What is seen at a mark.
    fn seen(&self, mark_m: f64, random: &mut Random, truth: Truth) -> Seen {
        if (mark_m - self.mark_m).abs() <= self.zone_m {
            return Seen::Stays;
        }
        let wants_more = (self.mark_m > mark_m) ^ (random.unit() < truth.wrong);
        if wants_more { Seen::WantsMore } else { Seen::WantsLess }
    }

    fn guided(&self, random: &mut Random, truth: Truth) -> (usize, bool) {
        let prior = Prior { mean_m: self.predicted_m, sigma_m: 0.004, hold_zone_m: BELIEVED_ZONE_M, range_m: TRAVEL_M };
        let mut trials: Vec<Trial> = Vec::new();
        let (mut settings, mut contradicted) = (0, false);
        while settings < MOST_SETTINGS {
            let Step::Set { mark_m, asked_again, .. } = next_step(&prior, &trials) else { break };
            contradicted |= asked_again;
            settings += 1;
            let seen = self.seen(mark_m, random, truth);
            if let (false, Some(error_m), true) = (seen == Seen::Stays, truth.gauge_m, settings == 1) {
                let reading_m = self.mark_m + random.between(-error_m, error_m);
                // Evenly spread over ± the largest error.
                let u_m = error_m / 3.0_f64.sqrt();
                trials.push(Trial { mark_m, seen: Seen::Gauge { mark_m: reading_m, u_m } });
            } else {
                trials.push(Trial { mark_m, seen });
            }
        }
        (settings, contradicted)
    }

    /// Bisection between two marks; it widens when the true mark proves to lie outside.
    fn bisection(&self, [mut low, mut high]: [f64; 2], random: &mut Random, truth: Truth) -> (usize, bool) {
        let width_m = high - low;
        for settings in 1..=MOST_SETTINGS {
            let middle_m = 0.5 * (low + high);
            match self.seen(middle_m, random, truth) {
                Seen::Stays => return (settings, false),
                Seen::WantsMore => low = middle_m,
                _ => high = middle_m,
            }
            if high - low < 1e-4 {
                (low, high) = (low - 0.5 * width_m, high + 0.5 * width_m);
            }
        }
        (MOST_SETTINGS, false)
    }
}

fn cost(slides: usize, seed: u64, truth: Truth, way: impl Fn(&Hidden, &mut Random) -> (usize, bool)) -> Cost {
    let mut random = Random::new(seed);
    let runs: Vec<(usize, bool)> = (0..slides)
        .map(|_| {
            let hidden = Hidden::draw(&mut random, truth);
            way(&hidden, &mut random)
        })
        .collect();
    Cost::of(&runs)
}

/// Guided balancing.
pub(crate) fn guided(slides: usize, seed: u64, truth: Truth) -> Cost {
    cost(slides, seed, truth, |hidden, random| hidden.guided(random, truth))
}

/// Bisection of the whole travel: no prediction is needed.
pub(crate) fn bisection(slides: usize, seed: u64, truth: Truth) -> Cost {
    cost(slides, seed, truth, |hidden, random| hidden.bisection(TRAVEL_M, random, truth))
}

/// Halving three deviations either side of the prediction.
pub(crate) fn halving(slides: usize, seed: u64, truth: Truth) -> Cost {
    let half_m = 3.0 * 0.004;
    cost(slides, seed, truth, |hidden, random| {
        hidden.bisection([hidden.predicted_m - half_m, hidden.predicted_m + half_m], random, truth)
    })
}
