//! Where the rules of an elevation stand: below it, or beside it where the screen is low.

use super::projection::{Paper, View};
use super::scale::Scale;
use super::skeleton::{Skeleton, Way};

/// Height of the row of a level rule: a finger's target and the gap to the next.
const RULE_ROW: f64 = 60.0;
/// Width of an upright rule with its name and mark.
const UPRIGHT: f64 = 96.0;
/// From one upright rule to the next.
const UPRIGHT_STEP: f64 = 70.0;
/// Room for the name before a level rule, px.
const NAME: f64 = 96.0;
/// Left free after a rule, px: half of what a finger takes.
const AFTER: f64 = 26.0;
/// Where the first level rule has its edge below the top of its row.
const EDGE_DOWN: f64 = 30.0;

/// The column that rules need beside a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Beside {
    /// What does not grow with the drawing, px.
    pub(crate) words_px: f64,
    /// The longest travel of a level rule, m of the sheet.
    pub(crate) travel_m: f64,
}

impl Beside {
    /// Its width at a scale.
    pub(crate) fn width_px(self, px_per_m: f64) -> f64 {
        self.words_px + self.travel_m * px_per_m
    }
}

/// The column for the slides that can be seen in a view.
pub(crate) fn beside(skeleton: &Skeleton, view: View) -> Beside {
    let unit = Paper { view, px_per_m: 1.0, origin_px: [0.0; 2] };
    let (mut travel_m, mut uprights) = (0.0_f64, 0.0);
    for (_, way, [across, down]) in seen(skeleton, &unit) {
        if across.abs() >= down.abs() {
            travel_m = travel_m.max(across.abs() * (way.range_m[1] - way.range_m[0]));
        } else {
            uprights += 1.0;
        }
    }
    Beside { words_px: (NAME + AFTER).max(UPRIGHT_STEP * uprights + UPRIGHT - UPRIGHT_STEP + AFTER), travel_m }
}

/// The slides that lie in the sheet, each with its place in the chain and where it goes on the sheet.
fn seen<'a>(skeleton: &'a Skeleton, paper: &Paper) -> impl Iterator<Item = (usize, &'a Way, [f64; 2])> {
    let paper = *paper;
    let goes = move |(slide, way): (usize, &'a Way)| (slide, way, paper.vector(way.direction));
    let lies =
        move |(_, _, [across, down]): &(usize, &Way, [f64; 2])| across.abs().max(down.abs()) >= 0.5 * paper.px_per_m;
    skeleton.ways.iter().enumerate().map(goes).filter(lies)
}

/// Where rules are placed on a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rows {
    /// Top of the first row, px.
    pub(crate) top_px: f64,
    /// Left edge of the column beside the drawing; none where rules lie below it.
    pub(crate) beside_px: Option<f64>,
    /// Width of the sheet, px.
    pub(crate) width_px: f64,
}

impl Rows {
    /// The rules, level ones one under the other, upright ones in a column on the right; and where the last one ends.
    pub(crate) fn scales(self, skeleton: &Skeleton, paper: &Paper) -> (Vec<Scale>, f64) {
        let (mut row_px, mut column_px) = (self.top_px, self.width_px - 46.0);
        let mut bottom_px = self.top_px;
        let mut scales = Vec::new();
        let uprights_px = self.uprights_px(skeleton, paper, column_px);
        for (slide, way, [across, down]) in seen(skeleton, paper) {
            let level = across.abs() >= down.abs();
            let px_per_m = if level { across } else { down };
            let moved = paper.point(way.moves_m);
            let travel_px = px_per_m.abs() * (way.range_m[1] - way.range_m[0]);
            // Upright rules cannot stand beside what they move without covering it, and level ones not below it on a
            // low sheet: they stand apart, to scale.
            let shift = px_per_m * (0.5 * (way.range_m[0] + way.range_m[1]) - way.zero_m);
            let (zero_px, edge_px, moved_px) = if level {
                let edge = row_px + EDGE_DOWN;
                row_px += RULE_ROW;
                bottom_px = bottom_px.max(row_px);
                let beside = self.beside_px.map(|left| left + NAME + 0.5 * travel_px - shift);
                (beside.unwrap_or(moved[0]), edge, moved[1])
            } else {
                let edge = column_px;
                column_px -= UPRIGHT_STEP;
                let middle = uprights_px + 28.0 + 0.5 * travel_px.max(40.0);
                bottom_px = bottom_px.max(middle + 0.5 * travel_px.max(40.0) + 14.0);
                (middle - shift, edge, moved[0])
            };
            scales.push(Scale {
                slide,
                id: way.id.clone(),
                name: way.name.clone(),
                level,
                zero_px,
                px_per_m,
                zero_m: way.zero_m,
                range_m: way.range_m,
                hole_spacing_m: way.hole_spacing_m,
                edge_px,
                moved_px,
                apart: self.beside_px.is_some(),
            });
        }
        (scales, bottom_px)
    }

    /// Top of the upright rules: a level one that reaches under their column pushes them down, below the last level row.
    fn uprights_px(self, skeleton: &Skeleton, paper: &Paper, column_px: f64) -> f64 {
        let levels = seen(skeleton, paper).filter_map(|(_, way, [across, down])| {
            let ends = way.range_m.map(|mark_m| paper.point(way.moves_m)[0] + across * (mark_m - way.zero_m));
            (across.abs() >= down.abs()).then(|| ends[0].max(ends[1]))
        });
        let (rows, reach_px) = levels.fold((0.0, 0.0_f64), |(rows, reach), end| (rows + 1.0, reach.max(end)));
        let under = self.beside_px.is_some() || reach_px > column_px - UPRIGHT;
        if under { self.top_px + RULE_ROW * rows } else { self.top_px }
    }
}
