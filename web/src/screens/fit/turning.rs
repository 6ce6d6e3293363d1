//! What turns about one axis, drawn as it is seen along it: the arms, the platform, and what meets them at either end.

use core::f64::consts::PI;

use solver::fit::{Obstacle, Outline, Sweep, platform_side};
use solver::float;
use solver::package::Mounting;

use crate::dom::{El, svg};
use crate::drawing::pen::Pen;

/// Half the width and height of the sheet, in its own units.
const HALF: f64 = 160.0;
/// Margin of the sheet.
const MARGIN: f64 = 14.0;
/// Between two points of an arc, rad.
const STEP_RAD: f64 = PI / 36.0;
/// How far the arms are drawn beyond the clear radius, as a share of it.
const ARM_BEYOND: f64 = 1.18;

/// How metres about the axis lie on the sheet.
struct Sheet {
    per_m: f64,
    /// What a step across and a step up are on the sheet, for a head that is hung, stood or on its side.
    across: [f64; 2],
    up: [f64; 2],
}

impl Sheet {
    fn new(sweep: &Sweep, mounting: Mounting) -> Self {
        let base_m = length(sweep.base_m);
        let arms_m = sweep.clear_m.map_or(0.0, |clear_m| clear_m * ARM_BEYOND);
        let far_m = sweep.reach_m.max(base_m).max(arms_m).max(0.05);
        let (across, up) = turned(sweep.across_lens, mounting);
        Self { per_m: (HALF - MARGIN) / far_m, across, up }
    }

    /// A point of the view, across and up from the axis in metres.
    fn at(&self, [across_m, up_m]: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|along| HALF + self.per_m * (across_m * self.across[along] + up_m * self.up[along]))
    }

    /// A point at a distance in a direction counted from up towards across.
    fn polar(&self, radius_m: f64, angle_rad: f64) -> [f64; 2] {
        let (sin, cos) = float::sin_cos(angle_rad);
        self.at([radius_m * sin, radius_m * cos])
    }

    fn arc(&self, radius_m: f64, [from_rad, to_rad]: [f64; 2]) -> Vec<[f64; 2]> {
        let steps = ((to_rad - from_rad).abs() / STEP_RAD).ceil().max(1.0);
        let mut points = Vec::new();
        let mut step = 0.0;
        while step <= steps {
            points.push(self.polar(radius_m, from_rad + (to_rad - from_rad) * step / steps));
            step += 1.0;
        }
        points
    }

    /// An outline turned about the axis.
    fn outline(&self, outline: &Outline, angle_rad: f64) -> String {
        let mut pen = Pen::default();
        let ([left, low], [right, high]) = (outline.low_m, outline.high_m);
        if outline.round {
            let middle = rotated([0.5 * (left + right), 0.5 * (low + high)], angle_rad);
            pen.circle(self.at(middle), 0.5 * self.per_m * (right - left));
        } else {
            let corners = [[left, low], [right, low], [right, high], [left, high]];
            pen.outline(&corners.map(|corner| self.at(rotated(corner, angle_rad))));
        }
        pen.done()
    }
}

/// The length of a step across and up.
fn length([across, up]: [f64; 2]) -> f64 {
    (across * across + up * up).sqrt()
}

/// What across and up are on the sheet. Turned over about the line of the lens, up is down and right is left; on its side
/// what was up points to the right, and an axis that lay across the lens stands upright: it is seen from above.
fn turned(across_lens: bool, mounting: Mounting) -> ([f64; 2], [f64; 2]) {
    match (mounting, across_lens) {
        (Mounting::Hung, _) => ([1.0, 0.0], [0.0, -1.0]),
        (Mounting::Stood | Mounting::Side, true) => ([1.0, 0.0], [0.0, 1.0]),
        (Mounting::Stood, false) => ([-1.0, 0.0], [0.0, 1.0]),
        (Mounting::Side, false) => ([0.0, 1.0], [1.0, 0.0]),
    }
}

/// A positive turn carries what is up across.
fn rotated([across, up]: [f64; 2], angle_rad: f64) -> [f64; 2] {
    let (sin, cos) = float::sin_cos(angle_rad);
    [across * cos + up * sin, up * cos - across * sin]
}

/// From where it is seen, and where the platform is.
pub(super) fn caption(sweep: &Sweep, mounting: Mounting) -> &'static str {
    match (sweep.across_lens, mounting) {
        (true, Mounting::Hung) => "From camera right: the lens looks to the right, the platform is above.",
        (true, Mounting::Stood) => "From the side, the head turned over and the camera with it: the platform is below.",
        (true, Mounting::Side) => "From above: the lens looks to the right, the platform is beside the head.",
        (false, Mounting::Hung) => "From behind the camera: the platform is above.",
        (false, Mounting::Stood) => "From behind, the head turned over and the camera with it: the platform is below.",
        (false, Mounting::Side) => "From behind: the platform is beside the head.",
    }
}

/// The drawing.
pub(super) fn view(sweep: &Sweep, mounting: Mounting) -> El {
    let sheet = Sheet::new(sweep, mounting);
    let stopped = |end: usize| {
        sweep.stops[end].as_ref().filter(|stop| stop.against != Obstacle::Limit).map(|stop| stop.part.as_str())
    };
    let hits = |outline: &Outline| (0..2).any(|end| stopped(end) == Some(outline.part.as_str()));
    let path = |class: &str, data: &str| svg("path").class(class).attr("d", data);
    let side = 2.0 * HALF;
    let mut layers = Vec::new();
    layers.extend(arms(&sheet, sweep).map(|data| path("turning__arms", &data)));
    layers.push(path("turning__platform", &platform(&sheet, sweep)));
    if let Some(clear_m) = sweep.clear_m {
        let mut pen = Pen::default();
        pen.circle([HALF, HALF], sheet.per_m * clear_m);
        layers.push(path("turning__clear", &pen.done()));
    }
    // What meets something is drawn last, on top of the rest, and again where it meets it.
    let (hit, free): (Vec<&Outline>, Vec<&Outline>) = sweep.outlines.iter().partition(|outline| hits(outline));
    layers.extend(free.iter().map(|outline| path("turning__part", &sheet.outline(outline, 0.0))));
    layers.extend(hit.iter().map(|outline| path("turning__part turning__part--hit", &sheet.outline(outline, 0.0))));
    for end in 0..2 {
        let shown = stopped(end).unwrap_or(sweep.furthest.as_str());
        let class = if stopped(end).is_some() { "turning__ghost turning__ghost--hit" } else { "turning__ghost" };
        let turned = sweep.outlines.iter().filter(|outline| outline.part == shown);
        layers.extend(turned.map(|outline| path(class, &sheet.outline(outline, sweep.free_rad[end]))));
    }
    layers.push(path("turning__axis", &format!("M{HALF} {}v16M{} {HALF}h16", HALF - 8.0, HALF - 8.0)));
    svg("svg")
        .class("turning")
        .attr("viewBox", &format!("0 0 {side} {side}"))
        .attr("role", "img")
        .attr("aria-label", &format!("{}: platform {}", sweep.name, platform_side(mounting)))
        .attr("data-test", &format!("turning-{}", sweep.joint))
        .children(layers)
}

/// The sector of the arms, from the clear radius outwards.
fn arms(sheet: &Sheet, sweep: &Sweep) -> Option<String> {
    let (clear_m, sector_rad) = sweep.clear_m.zip(sweep.arms_rad)?;
    let mut points = sheet.arc(clear_m, sector_rad);
    let mut outer = sheet.arc(clear_m * ARM_BEYOND, sector_rad);
    outer.reverse();
    points.extend(outer);
    let mut pen = Pen::default();
    pen.outline(&points);
    Some(pen.done())
}

/// The platform: a line through the base, with the hatching of what is fixed.
fn platform(sheet: &Sheet, sweep: &Sweep) -> String {
    let [base_across_m, base_up_m] = sweep.base_m;
    let mut pen = Pen::default();
    if base_up_m.abs() < 0.02 {
        return pen.done();
    }
    let toward = base_up_m.signum();
    let half_m = HALF / sheet.per_m;
    let point = |by_m: f64, out_m: f64| sheet.at([base_across_m + by_m, base_up_m + toward * out_m]);
    pen.line(&[point(-half_m, 0.0), point(half_m, 0.0)]);
    let gap_m = 9.0 / sheet.per_m;
    let mut by_m = -half_m;
    while by_m < half_m {
        pen.line(&[point(by_m, 0.0), point(by_m + 0.8 * gap_m, 0.8 * gap_m)]);
        by_m += gap_m;
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tilt() -> Sweep {
        let report = solver::fit(&codec::library::demo()).expect("valid");
        report.sweeps.into_iter().find(|sweep| sweep.joint == "tilt").expect("it tilts")
    }

    #[test]
    fn forward_is_to_the_right_and_the_platform_where_the_mounting_puts_it() {
        let sweep = tilt();
        for (mounting, above) in [(Mounting::Hung, true), (Mounting::Stood, false)] {
            let sheet = Sheet::new(&sweep, mounting);
            assert!(sheet.at([0.1, 0.0])[0] > HALF, "{mounting:?}");
            assert_eq!(sheet.at(sweep.base_m)[1] < HALF, above, "{mounting:?}");
        }
    }

    #[test]
    fn a_positive_tilt_lowers_the_nose() {
        let [across, up] = rotated([0.3, 0.0], 0.2);
        assert!(across > 0.0 && up < 0.0);
    }

    #[test]
    fn everything_drawn_lies_on_the_sheet() {
        let sweep = tilt();
        let sheet = Sheet::new(&sweep, Mounting::Hung);
        for outline in &sweep.outlines {
            for corner in [outline.low_m, outline.high_m] {
                let [x, y] = sheet.at(corner);
                assert!((0.0..=2.0 * HALF).contains(&x) && (0.0..=2.0 * HALF).contains(&y), "{outline:?}");
            }
        }
    }
}
