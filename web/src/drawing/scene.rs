//! One elevation, composed: everything that does not change while a slide is dragged.
//!
//! What rides on slides is drawn at zero displacement and carries the number of slides outside it; the sheet moves it.

use solver::Package;
use solver::layout::Of;

use super::arms::arms;
use super::figure::{Figure, Subject};
use super::head::{Axis, Clear, Stroke, arm_strokes, axis, before, cases, clear, fixed, solids};
use super::projection::{Frame, Paper, View, plus};
use super::rows::{self, Rows};
use super::scale::Scale;
use super::skeleton::{Skeleton, Thing};

/// Margin of the sheet, px.
const MARGIN: f64 = 12.0;
/// Room above the drawing for the word of an upright axis, px.
const ABOVE: f64 = 30.0;
/// The same from above, where names stand over the camera.
const ABOVE_TOP: f64 = 96.0;
/// Room below it for the dimension and two rows of names, px.
const BELOW: f64 = 76.0;
/// A sheet that is narrower has its rules below, px.
const WIDE_ENOUGH: f64 = 480.0;
/// Left free at the foot of the sheet, px.
const EDGE: f64 = 8.0;
/// Highest drawing, as a share of the sheet's width.
const TALLEST: f64 = 0.82;

/// A part as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawn {
    /// What it is.
    pub(crate) of: Of,
    /// Its name.
    pub(crate) name: String,
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Whether it is only hinted at.
    pub(crate) spread: bool,
    /// Whether it sits on the camera side.
    pub(crate) camera_side: bool,
    /// Its mass, kg.
    pub(crate) mass_kg: f64,
    /// Its box on the sheet.
    pub(crate) frame: Frame,
    /// Its drawing.
    pub(crate) figure: Figure,
}

/// One elevation.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scene {
    /// How metres lie on the sheet.
    pub(crate) paper: Paper,
    /// Width and height of the sheet, px.
    pub(crate) size_px: [f64; 2],
    /// The skeleton it is drawn from.
    pub(crate) skeleton: Skeleton,
    /// Arms: the centre line of each, stroked as thick as an arm.
    pub(crate) arms: Vec<Stroke>,
    /// Thickness of an arm, px.
    pub(crate) arm_px: f64,
    /// Rails, motor cases and the base.
    pub(crate) cases: Vec<Stroke>,
    /// Motor cases between the eye and the camera: only their outline is drawn, over the parts.
    pub(crate) before: Vec<Stroke>,
    /// Hatching of what is fixed.
    pub(crate) fixed: Option<String>,
    /// Parts, the farthest first.
    pub(crate) parts: Vec<Drawn>,
    /// Centre lines.
    pub(crate) axes: Vec<Axis>,
    /// The clear radius, drawn round the tilt axis.
    pub(crate) clear: Option<Clear>,
    /// Rules of the slides that can be seen.
    pub(crate) scales: Vec<Scale>,
    /// Lower edge of the drawing proper; rules lie below it, or beside it on a low sheet.
    pub(crate) ground_px: f64,
    /// Its right edge.
    pub(crate) right_px: f64,
}

impl Scene {
    /// Composes an elevation on a sheet so many pixels wide. Where no more than `low_px` of its height would be on the
    /// screen at once, the rules stand beside the drawing and both fit.
    pub(crate) fn new(package: &Package, view: View, width_px: f64, low_px: Option<f64>) -> Self {
        let skeleton = Skeleton::new(package);
        let extent = extent(&skeleton, view);
        let above = if view == View::Top { ABOVE_TOP } else { ABOVE };
        let room = (width_px - 2.0 * MARGIN).max(80.0);
        let low = low_px.filter(|_| width_px >= WIDE_ENOUGH).map(|low_px| {
            let beside = rows::beside(&skeleton, view);
            let wide = (room - beside.words_px) / (extent.width() + beside.travel_m);
            (wide.min((low_px - above - BELOW - EDGE).max(80.0) / extent.height()), beside)
        });
        let px_per_m =
            low.map_or_else(|| (room / extent.width()).min(TALLEST * room / extent.height()), |(px_per_m, _)| px_per_m);
        let right_px = low.map_or(width_px, |(px_per_m, beside)| width_px - beside.width_px(px_per_m));
        let spare = right_px - 2.0 * MARGIN - px_per_m * extent.width();
        let paper = Paper {
            view,
            px_per_m,
            origin_px: [MARGIN + 0.5 * spare - px_per_m * extent.left, above - px_per_m * extent.top],
        };
        let ground_px = above + px_per_m * extent.height() + BELOW;
        let place = match low {
            Some(_) => Rows { top_px: 0.0, beside_px: Some(right_px), width_px },
            None => Rows { top_px: ground_px, beside_px: None, width_px },
        };
        let (scales, bottom_px) = place.scales(&skeleton, &paper);
        let box_px = Frame {
            left: MARGIN,
            top: 10.0,
            right: right_px - MARGIN,
            bottom: above + px_per_m * extent.height() + 8.0,
        };
        let parts = parts(package, &skeleton, &paper);
        let mut busy = solids(&skeleton, &paper);
        let reached = parts.iter().filter(|part| !part.spread).map(|part| {
            let frame = with_travel(&skeleton, &paper, part.frame, part.rides);
            frame.grown(3.0)
        });
        busy.extend(reached);
        Self {
            size_px: [width_px, bottom_px.max(ground_px) + EDGE],
            arms: arm_strokes(&skeleton, &paper),
            arm_px: paper.length(skeleton.build.arm_m),
            cases: cases(&skeleton, &paper),
            before: before(&skeleton, &paper),
            fixed: fixed(&skeleton, &paper),
            parts,
            axes: skeleton.bones.iter().map(|bone| axis(bone, &paper, &box_px, &busy)).collect(),
            clear: clear(&skeleton, &paper),
            scales,
            ground_px,
            right_px,
            paper,
            skeleton,
        }
    }

    /// How far what rides inboard of `rides` slides stands from where it is drawn, px.
    pub(crate) fn offset_px(&self, rides: usize, marks_m: &[f64]) -> [f64; 2] {
        self.paper.vector(self.skeleton.displacement_m(rides, marks_m))
    }

    /// The box round the camera side at the given marks, phantoms left out; the whole drawing without a camera.
    pub(crate) fn camera_px(&self, marks_m: &[f64]) -> Frame {
        self.parts
            .iter()
            .filter(|part| part.camera_side && !part.spread)
            .map(|part| part.frame.moved(self.offset_px(part.rides, marks_m)))
            .reduce(|a, b| a.union(&b))
            .unwrap_or(Frame {
                left: MARGIN,
                top: ABOVE,
                right: self.right_px - MARGIN,
                bottom: self.ground_px - BELOW,
            })
    }
}

/// Everything that must fit, in metres on the sheet (y down), with room for the slides to move.
fn extent(skeleton: &Skeleton, view: View) -> Frame {
    let unit = Paper { view, px_per_m: 1.0, origin_px: [0.0; 2] };
    let parts = skeleton
        .things
        .iter()
        .filter(|thing| !thing.spread)
        .map(|thing| with_travel(skeleton, &unit, unit.outline(thing.centre_m, thing.size_m), thing.rides));
    let arm_m = skeleton.build.arm_m;
    let arms =
        arms(&skeleton.build, &skeleton.bones, skeleton.sits_m, skeleton.floor_rides).into_iter().flat_map(|arm| {
            arm.corners_m.into_iter().map(|corner_m| Frame::round(unit.point(corner_m), [arm_m; 2])).collect::<Vec<_>>()
        });
    let base = unit.outline([0.0; 3], [4.0 * arm_m; 3]);
    parts.chain(arms).fold(base, |sum, frame| sum.union(&frame))
}

/// A frame with where the slides outside it take it. Half of what they can do either way: rarely more is used, and the
/// rest may pass over the margin.
fn with_travel(skeleton: &Skeleton, paper: &Paper, frame: Frame, rides: usize) -> Frame {
    let travel = skeleton.ways.iter().take(rides).fold([0.0, 0.0], |sum, way| {
        let reach_m = 0.25 * (way.range_m[1] - way.range_m[0]);
        plus(sum, paper.vector(way.direction.map(|share| share * reach_m)).map(f64::abs))
    });
    Frame {
        left: frame.left - travel[0],
        right: frame.right + travel[0],
        top: frame.top - travel[1],
        bottom: frame.bottom + travel[1],
    }
}

fn parts(package: &Package, skeleton: &Skeleton, paper: &Paper) -> Vec<Drawn> {
    let mut things: Vec<&Thing> = skeleton.things.iter().collect();
    // The farthest first; phantoms last, so that they are seen.
    things.sort_by(|a, b| {
        let near = |thing: &Thing| paper.view.near(thing.centre_m);
        a.spread.cmp(&b.spread).then(near(a).total_cmp(&near(b)))
    });
    things
        .into_iter()
        .map(|thing| {
            let frame = paper.outline(thing.centre_m, thing.size_m);
            let part = match thing.of {
                Of::Part(index) => package.parts.get(index),
                _ => None,
            };
            let lens = match thing.of {
                Of::Lens(index) => package.lenses.get(index).map(|lens| (&lens.rings, lens.length_m)),
                _ => None,
            };
            let figure = Figure::draw(&Subject {
                view: paper.view,
                frame,
                kind: thing.kind,
                shape: thing.shape,
                size_m: thing.size_m,
                px_per_m: paper.px_per_m,
                axis_up_m: part.and_then(|part| part.optical_axis_up_m),
                cells: part.and_then(|part| part.pack.as_ref()).map(|pack| pack.cells),
                spread: thing.spread,
                lens,
            });
            Drawn {
                of: thing.of,
                name: thing.name.clone(),
                rides: thing.rides,
                spread: thing.spread,
                camera_side: thing.camera_side,
                mass_kg: thing.mass_kg,
                frame,
                figure,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_scale_holds_along_and_across_and_everything_is_on_the_sheet() {
        let package = codec::library::demo();
        for view in View::ALL {
            for (width_px, low_px) in [(328.0, None), (700.0, None), (700.0, Some(330.0))] {
                let scene = Scene::new(&package, view, width_px, low_px);
                let marks_m: Vec<f64> = scene.skeleton.ways.iter().map(|way| way.zero_m).collect();
                let camera = scene.camera_px(&marks_m);
                assert!(camera.left >= 0.0 && camera.right <= scene.right_px, "{view:?} {camera:?}");
                assert!(camera.top >= 0.0 && camera.bottom <= scene.ground_px);
                let body = scene.parts.iter().find(|part| part.name == "Large-format body").expect("a body");
                let size_m = [0.24, 0.16, 0.17];
                let [across, up] = view.axes();
                assert!((body.frame.width() - size_m[across] * scene.paper.px_per_m).abs() < 1e-9);
                assert!((body.frame.height() - size_m[up] * scene.paper.px_per_m).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn the_word_of_a_level_axis_covers_no_part_where_the_slides_stand() {
        let mut package = codec::library::demo();
        let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
        // The scene is composed with every slide at its zero, as the sheet does.
        for slide in package.head.slides_mut() {
            slide.mark_m = slide.zero_m;
        }
        for view in View::ALL {
            for width_px in [328.0, 616.0, 700.0] {
                let scene = Scene::new(&package, view, width_px, None);
                for axis in scene.axes.iter().filter(|axis| axis.moves == [false, true]) {
                    let by = scene.offset_px(axis.rides, &marks_m);
                    let Some(word) = axis.word_at.map(|at| at.frame(&axis.word).moved([0.0, by[1]])) else { continue };
                    for part in scene.parts.iter().filter(|part| !part.spread) {
                        let frame = part.frame.moved(scene.offset_px(part.rides, &marks_m));
                        assert!(!frame.overlaps(&word), "{view:?} {width_px}: {} on {}", axis.word, part.name);
                    }
                }
            }
        }
    }

    #[test]
    fn on_a_low_sheet_head_and_rules_are_seen_at_once() {
        let package = codec::library::demo();
        for view in View::ALL {
            for (width_px, low_px) in [(560.0, 300.0), (700.0, 330.0), (900.0, 330.0)] {
                let scene = Scene::new(&package, view, width_px, Some(low_px));
                let [width, height] = scene.size_px;
                assert!(height <= low_px + 1.0, "{view:?} {width_px}: {height} of {low_px} px");
                for scale in &scene.scales {
                    let ends = scale.range_m.map(|mark_m| scale.at(mark_m));
                    for [x, y] in ends {
                        assert!(x > scene.right_px && x < width && y > 0.0 && y < height, "{view:?} {}", scale.id);
                    }
                }
            }
        }
        // Too narrow for both beside each other: as on a phone held upright.
        let narrow = Scene::new(&package, View::Side, 300.0, Some(300.0));
        assert_eq!(narrow.size_px, Scene::new(&package, View::Side, 300.0, None).size_px);
    }

    #[test]
    fn each_view_has_the_rules_that_lie_in_it() {
        let ids = |view| {
            let scene = Scene::new(&codec::library::demo(), view, 328.0, None);
            scene.scales.iter().map(|scale| scale.id.clone()).collect::<Vec<_>>()
        };
        assert_eq!(ids(View::Side), ["pan_slide", "height", "plate"]);
        assert_eq!(ids(View::Front), ["height", "side"]);
        assert_eq!(ids(View::Top), ["pan_slide", "side", "plate"]);
    }

    #[test]
    fn a_larger_mark_moves_the_pointer_and_the_part_the_same_way() {
        let scene = Scene::new(&codec::library::demo(), View::Side, 328.0, None);
        let zero: Vec<f64> = scene.skeleton.ways.iter().map(|way| way.zero_m).collect();
        for scale in &scene.scales {
            let mut marks = zero.clone();
            marks[scale.slide] += 0.01;
            let moved = scene.offset_px(scene.skeleton.camera_rides, &marks);
            let pointer = scale.along(marks[scale.slide]) - scale.along(zero[scale.slide]);
            let along = if scale.level { moved[0] } else { moved[1] };
            assert!((along - pointer).abs() < 1e-9, "{}", scale.id);
        }
    }

    #[test]
    fn what_is_nearer_to_the_eye_is_drawn_later() {
        let scene = Scene::new(&codec::library::demo(), View::Side, 328.0, None);
        let place = |name: &str| scene.parts.iter().position(|part| part.name == name).expect("a part of that name");
        // The right pack is nearer than the left one when seen from camera right.
        assert!(place("Pack left") < place("Pack right"));
    }
}
