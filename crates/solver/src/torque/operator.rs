//! The operator's moves on all axes at once: from rest to a rate as a raised cosine, and back.

use super::study::{AtJoint, MAX_PAIRS, Study};
use crate::dynamics::MAX_JOINTS;
use crate::float;
use crate::package::Move;

/// Mean of sin² over a ramp.
pub(super) const MEAN_SQUARE_OF_SINE: f64 = 0.5;
/// Mean of ((1 − cos)/2)⁴ over a ramp; its product with the sine cancels between speeding up and slowing down.
pub(super) const MEAN_FOURTH_OF_RATE: f64 = 35.0 / 128.0;

/// Sine of the phase and share of the rate at the instants that are tried where the voltage falls off during the move:
/// every 7.5° from the steepest to the end.
pub(super) static INSTANTS: [(f64, f64); 13] = [
    (1.0, 0.5),
    (0.991_444_861_373_810_5, 0.565_263_096_110_025_7),
    (0.965_925_826_289_068_3, 0.629_409_522_551_260_4),
    (0.923_879_532_511_286_7, 0.691_341_716_182_544_8),
    (0.866_025_403_784_438_7, 0.749_999_999_999_999_9),
    (0.793_353_340_291_235_2, 0.804_380_714_504_360_3),
    (core::f64::consts::FRAC_1_SQRT_2, 0.853_553_390_593_273_7),
    (0.608_761_429_008_720_4, 0.896_676_670_145_617_7),
    (0.500_000_000_000_000_3, 0.933_012_701_892_219_2),
    (0.382_683_432_365_089_9, 0.961_939_766_255_643_4),
    (0.258_819_045_102_520_6, 0.982_962_913_144_534_1),
    (0.130_526_192_220_052, 0.995_722_430_686_905_2),
    (0.0, 1.0),
];

/// Combinations of senses that are summed side by side.
const LANES: usize = 4;

/// One axis that the operator moves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axis {
    pub(super) joint: usize,
    /// Acceleration at the steepest instant, (π/2)·rate/time, rad/s².
    pub(super) steepest_rad_s2: f64,
    /// Rate at the end, rad/s.
    pub(super) rate_rad_s: f64,
    /// Time from rest to it, s.
    pub(super) time_s: f64,
}

/// Product of the rates of two axes at the end of the move.
#[derive(Debug, Clone, Copy)]
struct Pair {
    /// Place among the study's pairs.
    index: usize,
    product_rad2_s2: f64,
    /// Places of the two among the axes.
    places: [usize; 2],
}

/// The operator's moves on all axes at once.
pub(super) struct Operator {
    pub(super) axes: Vec<Axis>,
    pairs: Vec<Pair>,
    /// For every block of combinations of senses of the axes: the signs of the axes' accelerations, then those of the
    /// pairs' products of rates.
    signs: Vec<[f64; LANES]>,
    /// Share of the time in which a rate is building up or dying down.
    pub(super) duty: f64,
    /// Moves a second.
    pub(super) moves_per_s: f64,
    /// Longest time to a rate, s.
    pub(super) longest_s: f64,
}

/// The operator's torque about one joint, N·m, each without sign.
#[derive(Debug, Clone, Copy)]
pub(super) struct Whip {
    /// By acceleration, at the steepest instant.
    pub(super) acceleration_nm: f64,
    /// By rates, at the end.
    pub(super) rates_nm: f64,
    /// The largest of both together during the move.
    pub(super) largest_nm: f64,
    /// Senses of the axes in which it is found.
    pub(super) senses: usize,
}

impl Operator {
    pub(super) fn new(study: &Study<'_>, each: &Move) -> Self {
        let mut axes: Vec<Axis> = Vec::with_capacity(study.joints.len());
        for (joint, about) in study.joints.iter().enumerate() {
            if let Some(wanted) = each.operator.iter().find(|axis| axis.joint == about.id && axis.rate_rad_s > 0.0) {
                axes.push(Axis {
                    joint,
                    steepest_rad_s2: core::f64::consts::FRAC_PI_2 * wanted.rate_rad_s / wanted.time_s,
                    rate_rad_s: wanted.rate_rad_s,
                    time_s: wanted.time_s,
                });
            }
        }
        let place = |joint: usize| axes.iter().position(|axis| axis.joint == joint);
        let pairs: Vec<Pair> = study
            .pairs
            .iter()
            .enumerate()
            .filter_map(|(index, (first, second))| {
                let places = [place(*first)?, place(*second)?];
                let [first, second] = places.map(|place| axes[place].rate_rad_s);
                Some(Pair { index, product_rad2_s2: first * second, places })
            })
            .collect();
        // Turning all of the axes over changes nothing, so the last one keeps its sense. A block that is not full
        // repeats itself.
        let combinations: usize = if axes.is_empty() { 0 } else { 1 << (axes.len() - 1) };
        let mut signs = Vec::with_capacity((axes.len() + pairs.len()) * combinations.div_ceil(LANES));
        for block in (0..combinations).step_by(LANES) {
            let lanes = core::array::from_fn(|lane| (block + lane) % combinations);
            signs.extend((0..axes.len()).map(|place| lanes.map(|senses| sense(senses, place))));
            signs.extend(pairs.iter().map(|pair| {
                let [first, second] = pair.places;
                lanes.map(|senses| sense(senses, first) * sense(senses, second))
            }));
        }
        let longest_s = axes.iter().map(|axis| axis.time_s).fold(0.0, f64::max);
        // At least one move in a take, if there is a move at all: every move speeds up once and slows down once.
        let moves_per_s = if axes.is_empty() { 0.0 } else { each.repeats_per_min / 60.0 };
        let often = if axes.is_empty() { 0.0 } else { f64::max(moves_per_s, 1.0 / each.take_s) };
        Self { axes, pairs, signs, duty: f64::min(1.0, 2.0 * longest_s * often), moves_per_s, longest_s }
    }

    /// The move on one joint, if there is one.
    pub(super) fn on(&self, joint: usize) -> Option<&Axis> {
        self.axes.iter().find(|axis| axis.joint == joint)
    }

    /// Acceleration torque about a joint, with its sign, for one combination of senses.
    #[inline(never)]
    pub(super) fn acceleration_nm(&self, at: &AtJoint, joint: usize, reflected_kg_m2: f64, senses: usize) -> f64 {
        let mut sum = 0.0;
        for (place, axis) in self.axes.iter().enumerate() {
            let own = if axis.joint == joint { reflected_kg_m2 } else { 0.0 };
            sum += sense(senses, place) * (at.inertia_kg_m2[axis.joint] + own) * axis.steepest_rad_s2;
        }
        sum
    }

    /// Torque of the rates at the end of the move, with its sign, for one combination of senses.
    #[inline(never)]
    pub(super) fn rates_nm(&self, at: &AtJoint, senses: usize) -> f64 {
        let mut sum = 0.0;
        for pair in &self.pairs {
            let [first, second] = pair.places;
            sum += sense(senses, first) * sense(senses, second) * pair.product_rad2_s2 * at.rates_kg_m2[pair.index];
        }
        sum
    }

    /// The largest torque about a joint during the move, over every combination of senses of the axes.
    pub(super) fn worst(&self, at: &AtJoint, joint: usize, reflected_kg_m2: f64) -> Whip {
        let mut worst = Whip { acceleration_nm: 0.0, rates_nm: 0.0, largest_nm: 0.0, senses: 0 };
        self.combinations(at, joint, reflected_kg_m2, |senses, acceleration_nm, rates_nm| {
            if no_more_than(acceleration_nm, rates_nm) > worst.largest_nm {
                let largest_nm = largest_nm(acceleration_nm, rates_nm);
                if largest_nm > worst.largest_nm {
                    worst = Whip { acceleration_nm, rates_nm, largest_nm, senses };
                }
            }
        });
        worst
    }

    /// Every combination of senses: its number, torque by acceleration at its steepest and by rates at the end of the
    /// ramp, without sign. The one with the largest torque of all need not be the worst where the voltage falls off: late
    /// in the ramp only the rates are left.
    #[inline]
    pub(super) fn combinations(
        &self,
        at: &AtJoint,
        joint: usize,
        reflected_kg_m2: f64,
        mut see: impl FnMut(usize, f64, f64),
    ) {
        if self.axes.is_empty() {
            return;
        }
        let (mut accelerations, mut rates) = ([0.0; MAX_JOINTS], [0.0; MAX_PAIRS]);
        for (value, axis) in accelerations.iter_mut().zip(&self.axes) {
            let own = if axis.joint == joint { reflected_kg_m2 } else { 0.0 };
            *value = (at.inertia_kg_m2[axis.joint] + own) * axis.steepest_rad_s2;
        }
        for (value, pair) in rates.iter_mut().zip(&self.pairs) {
            *value = pair.product_rad2_s2 * at.rates_kg_m2[pair.index];
        }
        let terms = self.axes.len() + self.pairs.len();
        for (block, signs) in self.signs.chunks_exact(terms).enumerate() {
            let (of_axes, of_pairs) = signs.split_at(self.axes.len());
            // Speeding up and slowing down take the same rates with opposite accelerations: the two add in one of them.
            let (by_acceleration, by_rates) = (sums(of_axes, &accelerations), sums(of_pairs, &rates));
            for (lane, (acceleration_nm, rates_nm)) in by_acceleration.into_iter().zip(by_rates).enumerate() {
                see(LANES * block + lane, acceleration_nm.abs(), rates_nm.abs());
            }
        }
    }

    /// The same at its most: every acceleration and every pair of rates in the worst sense at once.
    pub(super) fn bound(&self, at: &AtJoint, joint: usize, reflected_kg_m2: f64) -> Whip {
        let (mut acceleration_nm, mut rates_nm) = (0.0, 0.0);
        for axis in &self.axes {
            let own = if axis.joint == joint { reflected_kg_m2 } else { 0.0 };
            acceleration_nm += (at.inertia_kg_m2[axis.joint].abs() + own) * axis.steepest_rad_s2;
        }
        for pair in &self.pairs {
            rates_nm += pair.product_rad2_s2.abs() * at.rates_kg_m2[pair.index].abs();
        }
        Whip { acceleration_nm, rates_nm, largest_nm: no_more_than(acceleration_nm, rates_nm), senses: 0 }
    }

    /// Root mean square of the operator's torque over a take: ½·A² + (35/128)·C² while rates change.
    pub(super) fn rms_nm(&self, whip: &Whip) -> f64 {
        let square = MEAN_SQUARE_OF_SINE * whip.acceleration_nm * whip.acceleration_nm
            + MEAN_FOURTH_OF_RATE * whip.rates_nm * whip.rates_nm;
        float::sqrt(self.duty * square)
    }
}

/// +1 or −1: the sense of the axis at `place` in a combination.
pub(super) fn sense(senses: usize, place: usize) -> f64 {
    if senses >> place & 1 == 1 { -1.0 } else { 1.0 }
}

/// Sums of the values with the signs of a block of combinations.
#[inline]
fn sums(signs: &[[f64; LANES]], values: &[f64]) -> [f64; LANES] {
    let mut sums = [0.0; LANES];
    for (signs, value) in signs.iter().zip(values) {
        for (sum, sign) in sums.iter_mut().zip(signs) {
            *sum += sign * value;
        }
    }
    sums
}

/// A bound of what [`largest_nm`] gives, without a division: A + C, and A + C/2 where C ≤ A.
pub(super) fn no_more_than(acceleration_nm: f64, rates_nm: f64) -> f64 {
    if rates_nm <= acceleration_nm { acceleration_nm + 0.5 * rates_nm } else { acceleration_nm + rates_nm }
}

/// Largest of A·sin u + C·((1 − cos u)/2)² over a ramp, u from 0 to π.
fn largest_nm(acceleration_nm: f64, rates_nm: f64) -> f64 {
    if rates_nm < FEW_RATES * acceleration_nm {
        // One division: the first terms of the series in C/A.
        let ratio = rates_nm / acceleration_nm;
        return acceleration_nm + rates_nm * (0.25 + ratio * (0.125 + 0.0625 * ratio));
    }
    let (sin, share) = steepest_instant(acceleration_nm, rates_nm);
    acceleration_nm * sin + rates_nm * share * share
}

/// C/A below which the series holds to 1e-4.
const FEW_RATES: f64 = 0.25;

/// Sine of the phase and share of the rate at the instant where A·sin u + C·((1 − cos u)/2)² is largest.
///
/// With t = tan(u/2) its slope is nil where t⁴ − 2(C/A)t³ − 1 = 0, which has one positive root, within a tenth of
/// max(1 + C/A, 2C/A). One step of Newton's method from there gives the torque, which is flat at its top, to 1e-4.
pub(super) fn steepest_instant(acceleration_nm: f64, rates_nm: f64) -> (f64, f64) {
    if rates_nm > 1e6 * acceleration_nm {
        return (0.0, 1.0);
    }
    let ratio = if acceleration_nm > 0.0 { rates_nm / acceleration_nm } else { 0.0 };
    let start = f64::max(1.0 + ratio, 2.0 * ratio);
    let (square, cube) = (start * start, start * start * start);
    let t = start - (square * square - 2.0 * ratio * cube - 1.0) / (4.0 * cube - 6.0 * ratio * square);
    let whole = 1.0 / (1.0 + t * t);
    (2.0 * t * whole, t * t * whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_instants_are_spread_over_the_second_half() {
        for (step, (sin, share)) in (0..).zip(INSTANTS) {
            let phase = core::f64::consts::FRAC_PI_2 * (1.0 + f64::from(step) / 12.0);
            let (there_sin, cos) = float::sin_cos(phase);
            assert!((sin - there_sin).abs() < 1e-15 && (share - 0.5 * (1.0 - cos)).abs() < 1e-15);
        }
    }

    #[test]
    fn the_steepest_instant_is_the_best_of_many() {
        for (acceleration_nm, rates_nm) in [
            (1.0, 0.0),
            (3.0, 0.5),
            (4.0, 0.999),
            (4.0, 1.001),
            (2.0, 1.9),
            (1.0, 3.0),
            (0.2, 5.0),
            (0.0, 2.0),
            (1e-9, 2.0),
            (0.0, 0.0),
        ] {
            let tried = (0..=10_000)
                .map(|step| {
                    let (sin, cos) = float::sin_cos(core::f64::consts::PI * f64::from(step) / 10_000.0);
                    let share = 0.5 * (1.0 - cos);
                    acceleration_nm * sin + rates_nm * share * share
                })
                .fold(0.0, f64::max);
            let found = largest_nm(acceleration_nm, rates_nm);
            assert!((found - tried).abs() <= 1e-4 * tried, "{acceleration_nm} {rates_nm}: {found} {tried}");
            assert!(tried <= no_more_than(acceleration_nm, rates_nm) + 1e-12);
        }
    }
}
