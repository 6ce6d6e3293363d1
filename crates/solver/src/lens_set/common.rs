//! One set of marks for many lenses: nobody touches a slide between them.
//!
//! Inside out, as marks are found: the slides of the innermost axis go where the worst lens is least unbalanced about it,
//! then those of the next with these held, and so on. An offset that no slide can cure never spoils one that a slide can.

use nalgebra::Vector2;
use serde::Serialize;

use super::change::Fitted;
use super::minimax::{Row, Smallest, solve};
use super::worst_holds;
use crate::balance::{held_unbalance_kg_m, holes_near, plane, tested_lean_rad};
use crate::error::InputError;
use crate::explain::Term;
use crate::layout::SlideFrame;
use crate::package::{DriveKind, Joint, LensId, Package};
use crate::report::Tightest;
use crate::validate::validate;

/// One set of marks for many lenses.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CommonMarks {
    /// Every slide, in balancing order.
    pub slides: Vec<CommonMark>,
    /// Every axis, innermost first.
    pub axes: Vec<CommonAxis>,
    /// Every chosen lens, in the order of the set.
    pub lenses: Vec<CommonLens>,
}

/// One slide's mark for all of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CommonMark {
    /// Id of the slide.
    pub slide: String,
    /// Its name.
    pub name: String,
    /// The mark, m.
    pub mark_m: f64,
    /// From the present mark, m.
    pub move_m: f64,
    /// The word for the sense of that move.
    pub word: String,
    /// From the mark to the nearer end of travel, m.
    pub left_m: f64,
}

/// One axis over all of them, at rest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CommonAxis {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Largest unbalance of any chosen lens at these marks, kg·m.
    pub worst_kg_m: f64,
    /// No other marks within travel, those of the axes inside held, make that smaller than this, kg·m.
    pub at_least_kg_m: f64,
    /// The lens that has it.
    pub worst_lens: LensId,
    /// Unbalance that friction holds, kg·m; absent for a geared axis.
    pub held_kg_m: Option<f64>,
    /// The unbalance of every chosen lens.
    pub arithmetic: Term,
}

/// One lens at these marks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CommonLens {
    /// The lens.
    pub lens: LensId,
    /// Its name.
    pub name: String,
    /// Whether every axis holds.
    pub hangs: bool,
    /// Where torque is tightest at these marks; absent without moves.
    pub tightest: Option<Tightest>,
    /// Where it is tightest at the lens's own marks.
    pub tightest_own: Option<Tightest>,
}

/// The marks at which the worst of these lenses is least unbalanced, axis by axis, and what that leaves each. `None` when
/// none of them is in the set.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn common_marks(package: &Package, lenses: &[LensId]) -> Result<Option<CommonMarks>, Vec<InputError>> {
    validate(package)?;
    let chosen = package.lenses.iter().filter(|lens| lenses.contains(&lens.id));
    let fitted: Vec<(LensId, String, Fitted)> =
        chosen.map(|lens| (lens.id, lens.name.clone(), Fitted::new(package, Some(lens.id)))).collect();
    let Some((_, _, first)) = fitted.first() else { return Ok(None) };
    let mut search = Search {
        slides: &first.solved.layout.slides,
        marks_m: first.solved.layout.present_marks_m(),
        order: Vec::new(),
        fitted: &fitted,
    };
    let joints: Vec<&Joint> = package.head.joints().collect();
    let axes = (0..joints.len()).rev().map(|joint| search.axis(package, joint, joints[joint])).collect();
    let marks_m = search.marks_m.clone();
    let order = search.in_order();
    let lenses = fitted
        .iter()
        .map(|(lens, name, fitted)| CommonLens {
            lens: *lens,
            name: name.clone(),
            hangs: worst_holds(&fitted.package, &fitted.solved, &marks_m),
            tightest: fitted.tightest_at(&marks_m),
            tightest_own: fitted.tightest_at(&fitted.solved.marks.targets_m),
        })
        .collect();
    Ok(Some(CommonMarks { slides: slides(package, &marks_m, &order), axes, lenses }))
}

fn slides(package: &Package, marks_m: &[f64], order: &[usize]) -> Vec<CommonMark> {
    let slides: Vec<_> = package.head.slides().collect();
    order
        .iter()
        .map(|index| {
            let (slide, mark_m) = (slides[*index], marks_m[*index]);
            let move_m = mark_m - slide.mark_m;
            CommonMark {
                slide: slide.id.clone(),
                name: slide.name.clone(),
                mark_m,
                move_m,
                word: if move_m < 0.0 { slide.minus.clone() } else { slide.plus.clone() },
                left_m: (mark_m - slide.range_m[0]).min(slide.range_m[1] - mark_m),
            }
        })
        .collect()
}

struct Search<'a> {
    slides: &'a [SlideFrame],
    marks_m: Vec<f64>,
    /// Slides that are set, in balancing order.
    order: Vec<usize>,
    fitted: &'a [(LensId, String, Fitted)],
}

impl Search<'_> {
    /// Slides in balancing order, those that balance nothing last.
    fn in_order(&self) -> Vec<usize> {
        let rest = (0..self.slides.len()).filter(|slide| !self.order.contains(slide));
        self.order.iter().copied().chain(rest).collect()
    }

    /// Sets the slides of one axis, and says what they leave.
    fn axis(&mut self, package: &Package, index: usize, joint: &Joint) -> CommonAxis {
        let across = |slide: usize| {
            self.fitted.iter().any(|(_, _, fitted)| {
                let moments = &fitted.solved.moments[index];
                (plane(&moments.axis) * moments.per_slide_kg[slide]).norm() > 1e-9 * moments.mass_kg.max(1e-9)
            })
        };
        let upright = |slide: &usize| self.slides[*slide].direction.z.abs();
        let mut free: Vec<usize> =
            (0..self.slides.len()).filter(|slide| !self.order.contains(slide) && across(*slide)).collect();
        crate::order::sort_short(&mut free, |a, b| upright(a) < upright(b));
        let rows: Vec<Row> = self.fitted.iter().map(|(_, _, fitted)| self.row(fitted, index, &free)).collect();
        let found = self.on_holes(&rows, &free);
        for (slide, moved_m) in free.iter().zip(&found.x) {
            self.marks_m[*slide] += moved_m;
        }
        self.order.extend(free);
        let left = rows.iter().map(|row| row.at(&found.x)).map(|[a, b]| libm::hypot(a, b));
        let left: Vec<(&(LensId, String, Fitted), f64)> = self.fitted.iter().zip(left).collect();
        let worst = left.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |((lens, _, _), _)| *lens);
        let lean_rad = tested_lean_rad(&joint.axis.into(), package.reserve.tip_rad);
        let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
        CommonAxis {
            joint: joint.id.clone(),
            name: joint.name.clone(),
            worst_kg_m: found.worst,
            at_least_kg_m: found.at_least,
            worst_lens: worst,
            held_kg_m: (joint.drive.kind != DriveKind::Geared && held_kg_m.is_finite()).then_some(held_kg_m),
            arithmetic: Term::value(format!("{}, the worst of them", joint.name), found.worst, "kg·m")
                .formula("the largest; the marks make it as small as it gets, Σ m r of each lens across the axis")
                .of(left.iter().map(|((_, name, _), kg_m)| Term::value(name.clone(), *kg_m, "kg·m")).collect()),
        }
    }

    fn row(&self, fitted: &Fitted, joint: usize, free: &[usize]) -> Row {
        let moments = &fitted.solved.moments[joint];
        let plane = plane(&moments.axis);
        let flat = |vector: Vector2<f64>| [vector.x, vector.y];
        Row {
            start: flat(plane * moments.at_kg_m(&fitted.solved.layout, &self.marks_m)),
            columns: free.iter().map(|slide| flat(plane * moments.per_slide_kg[*slide])).collect(),
        }
    }

    /// The best moves of the free slides: on holes where there are holes, by trying those around the best place.
    fn on_holes(&self, rows: &[Row], free: &[usize]) -> Smallest {
        let bounds: Vec<[f64; 2]> = free
            .iter()
            .map(|slide| self.slides[*slide].range_m.map(|end_m| end_m - self.slides[*slide].mark_m))
            .collect();
        let present = vec![0.0; free.len()];
        let mut best = solve(rows, &bounds, &present);
        let holed: Vec<(usize, Vec<f64>)> = free
            .iter()
            .enumerate()
            .map(|(place, slide)| (place, holes_near(&self.slides[*slide], best.x[place])))
            .filter(|(_, holes)| !holes.is_empty())
            .collect();
        if holed.is_empty() {
            return best;
        }
        let combinations: usize = holed.iter().map(|(_, holes)| holes.len()).product();
        let mut found: Option<Smallest> = None;
        for number in 0..combinations {
            let (mut pinned, mut rest) = (bounds.clone(), number);
            for (place, holes) in &holed {
                pinned[*place] = [holes[rest % holes.len()]; 2];
                rest /= holes.len();
            }
            let tried = solve(rows, &pinned, &present);
            if found.as_ref().is_none_or(|found| tried.worst < found.worst) {
                found = Some(tried);
            }
        }
        if let Some(found) = found {
            // Marks between holes prove a bound for those on holes too.
            best = Smallest { at_least: best.at_least.min(found.worst), ..found };
        }
        best
    }
}
