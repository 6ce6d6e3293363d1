//! The headings of the wind that are tried, and what is found over them.

use nalgebra::Vector3;

use crate::float;

/// Headings that are tried over half a turn; the wind from behind twists as much as the wind from ahead.
pub(super) const HEADINGS: usize = 16;

/// Most hills of torque over the headings that are climbed to their top.
const HILLS: usize = 3;

/// Cosine and sine of the tried headings, a sixteenth of half a turn apart.
pub(super) const TRIED: [[f64; 2]; HEADINGS] = {
    const A: f64 = 0.980_785_280_403_230_4;
    const B: f64 = 0.923_879_532_511_286_7;
    const C: f64 = 0.831_469_612_302_545_2;
    const D: f64 = core::f64::consts::FRAC_1_SQRT_2;
    const E: f64 = 0.555_570_233_019_602_2;
    const F: f64 = 0.382_683_432_365_089_8;
    const G: f64 = 0.195_090_322_016_128_27;
    [
        [1.0, 0.0],
        [A, G],
        [B, F],
        [C, E],
        [D, D],
        [E, C],
        [F, B],
        [G, A],
        [0.0, 1.0],
        [-G, A],
        [-F, B],
        [-E, C],
        [-D, D],
        [-C, E],
        [-B, F],
        [-A, G],
    ]
};

/// The cosines of the tried headings, and their sines, in single precision.
pub(super) const COSINES: [f32; HEADINGS] = column(0);
pub(super) const SINES: [f32; HEADINGS] = column(1);

#[expect(clippy::cast_possible_truncation, reason = "a choice among headings needs no more digits")]
const fn column(which: usize) -> [f32; HEADINGS] {
    let mut column = [0.0; HEADINGS];
    let mut heading = 0;
    while heading < HEADINGS {
        column[heading] = TRIED[heading][which] as f32;
        heading += 1;
    }
    column
}

/// Two level unit vectors, square to each other, for a vertical along the unit vector `up`.
pub(super) fn level_axes(up: &Vector3<f64>) -> [Vector3<f64>; 2] {
    let mut ahead = Vector3::zeros();
    ahead[up.iamin()] = 1.0;
    let ahead = ahead - up * up.dot(&ahead);
    let ahead = ahead / float::sqrt(ahead.norm_squared());
    [ahead, up.cross(&ahead)]
}

/// Level directions over half a turn, unit vectors.
pub fn level_directions(up: &Vector3<f64>) -> impl Iterator<Item = Vector3<f64>> + use<> {
    let [ahead, aside] = level_axes(up);
    TRIED.iter().map(move |[cos, sin]| ahead * *cos + aside * *sin)
}

/// Angle between two tried headings, rad.
pub(super) const STEP_RAD: f64 = core::f64::consts::PI / HEADINGS as f64;

/// Height, as a share of the highest, below which a hill over the tried headings cannot be the highest after all.
pub(super) const LOWEST_HILL: f64 = 0.9;

/// Cosine and sine of a quarter of a step, of half of that, and so on.
pub(super) const SHORTER: [[f64; 2]; 4] = [
    [0.998_795_456_205_172_4, 0.049_067_674_327_418_015],
    [0.999_698_818_696_204_2, 0.024_541_228_522_912_288],
    [0.999_924_701_839_144_5, 0.012_271_538_285_719_925],
    [0.999_981_175_282_601_1, 0.006_135_884_649_154_475],
];

/// A heading turned by an angle, both as cosine and sine.
pub(super) fn turned([a, b]: [f64; 2], [cos, sin]: [f64; 2]) -> [f64; 2] {
    [a * cos - b * sin, a * sin + b * cos]
}

/// The torque about one joint at every tried heading, with its sign.
#[derive(Debug, Clone, Copy)]
pub struct Tried(pub(super) [f32; HEADINGS]);

impl Tried {
    fn at(&self, heading: usize) -> f64 {
        f64::from(self.0[heading % HEADINGS].abs())
    }

    /// Height of the highest tried heading, at the top of the parabola through its neighbours.
    pub fn top(&self) -> f64 {
        let (mut best, mut most) = (0, self.0[0].abs());
        for (heading, torque) in self.0.iter().enumerate() {
            if torque.abs() > most {
                (best, most) = (heading, torque.abs());
            }
        }
        self.hill(best).1
    }

    /// Top of the parabola through a tried heading and its neighbours: shift in steps, and height.
    pub(super) fn hill(&self, heading: usize) -> (f64, f64) {
        let here = self.at(heading);
        let (before, after) = (self.at(heading + HEADINGS - 1), self.at(heading + 1));
        let (bend, slope) = (2.0 * here - before - after, after - before);
        if bend > 0.0 { (0.5 * slope / bend, here + 0.125 * slope * slope / bend) } else { (0.0, here) }
    }

    /// The headings that stand above their neighbours, highest first; filled up with the first heading.
    pub(super) fn hills(&self) -> [(usize, f64); HILLS] {
        let mut hills = [(0, self.at(0)); HILLS];
        hills[1..].fill((0, 0.0));
        for heading in 1..HEADINGS {
            let height = self.at(heading);
            if height >= self.at(heading + HEADINGS - 1) && height > self.at(heading + 1) && height > hills[HILLS - 1].1
            {
                hills[HILLS - 1] = (heading, height);
                float::sort_largest_first(&mut hills, |(_, height)| *height);
            }
        }
        hills
    }
}
