//! Every lens of the set: where its marks go, what changing to it costs, and whether torque is in hand.
//!
//! [`lens_set()`] is the list; [`change`] has every lens change of it, [`preview`] one lens for the director of
//! photography, [`common`] one set of marks for many lenses, [`room`] what gives all of them travel, [`trim`] weights that
//! make lighter lenses match the heaviest.

pub mod change;
pub mod common;
mod minimax;
pub mod preview;
pub mod room;
pub(crate) mod stays_put;
mod step_minutes;
pub mod trim;

pub use stays_put::StaysPut;
pub use step_minutes::typical;

use serde::Serialize;

use crate::answer::Estimate;
use crate::check::{Solved, hold_of, tune_report};
use crate::error::InputError;
use crate::linkage::Linkage;
use crate::package::{LensId, Package};
use crate::report::{Hold, Tightest, TuneVerdict};
use crate::torque::tightest_of_all;
use crate::validate::validate;

/// What [`crate::check`] leaves to the lens set: among what it did not check, in these words.
pub const LEFT_TO_LENS_SET: &str = "The other lenses: choose one to see its marks";

/// What stays unchecked where the marks of the others are told, in as many words.
pub const LEFT_BY_LENS_SET: &str = "Stiffness with the other lenses: put one on to see it";

/// One lens of the set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensRow {
    /// The lens.
    pub lens: LensId,
    /// Its name.
    pub name: String,
    /// Mass on the camera side with it, kg.
    pub camera_kg: Estimate,
    /// Whether that is within the head's payload.
    pub within_payload: bool,
    /// Target mark of every slide, in balancing order.
    pub slides: Vec<LensMark>,
    /// Whether every axis holds with it.
    pub hangs: bool,
    /// Where torque is tightest with it; absent without moves.
    pub tightest: Option<Tightest>,
    /// The gravest verdict on the tune; absent when nobody has said what was tuned.
    pub tune: Option<TuneVerdict>,
    /// Whether the marks of the lens that is on may stay with this one, no rebalancing at all: best estimates say that every
    /// axis holds there, and it stays put more often than not, or no better marks are known.
    pub may_stay: bool,
    /// Where best estimates say so: probability that every axis then stays put, as it did with the lens that is on. Absent
    /// for that lens.
    pub stays_put: Option<f64>,
}

/// One slide's mark for one lens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensMark {
    /// Id of the slide.
    pub slide: String,
    /// Its name.
    pub name: String,
    /// Target mark with this lens, m.
    pub target_m: Estimate,
    /// How far that is from the target with the lens that is on, m.
    pub change_m: f64,
    /// The word for the sense of that change.
    pub word: String,
    /// From the target to the nearer end of travel, m.
    pub left_m: f64,
    /// How far the free optimum lies beyond the end of travel, m.
    pub beyond_m: Option<f64>,
}

/// Solves the package for each of its lenses.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn lens_set(package: &Package) -> Result<Vec<LensRow>, Vec<InputError>> {
    validate(package)?;
    let now = Solved::new(package);
    Ok(package.lenses.iter().map(|lens| row(package, lens.id, &lens.name, &now)).collect())
}

fn row(package: &Package, lens: LensId, name: &str, now: &Solved) -> LensRow {
    let mut changed = package.clone();
    changed.active_lens = Some(lens);
    let solved = Solved::new(&changed);
    let camera_kg = solved.mass_kg(&changed, true);
    let [least_kg, most_kg] = package.head.payload_kg;
    let changes = package.active_lens != Some(lens);
    let left = changes.then(|| stays_put::left((package, now), (&changed, &solved)));
    LensRow {
        lens,
        name: name.to_owned(),
        camera_kg,
        within_payload: (least_kg..=most_kg).contains(&camera_kg.value),
        slides: marks(&changed, &solved, now),
        hangs: holds(&changed, &solved.at_targets),
        tightest: tightest_of_all(&changed, &solved.layout, &solved.marks.targets_m),
        tune: tune(&changed, &solved),
        may_stay: left.as_ref().is_none_or(|left| left.may_stay),
        stays_put: left.and_then(|left| left.stays_put).map(|found| found.chance),
    }
}

/// Whether every joint of a linkage holds, or is geared.
fn holds(package: &Package, linkage: &Linkage) -> bool {
    hold_of(package, linkage).iter().all(|hold| !matches!(hold, Hold::Turns { .. }))
}

/// Whether every axis holds at the given marks.
fn worst_holds(package: &Package, solved: &Solved, marks_m: &[f64]) -> bool {
    holds(package, &Linkage::new(&solved.layout, marks_m))
}

fn marks(package: &Package, solved: &Solved, now: &Solved) -> Vec<LensMark> {
    let slides: Vec<_> = package.head.slides().collect();
    solved
        .marks
        .order
        .iter()
        .map(|index| {
            let (slide, mark) = (slides[*index], &solved.marks.slides[*index]);
            let [low_m, high_m] = slide.range_m;
            let change_m = mark.target_m - now.marks.targets_m[*index];
            let beyond_m = (low_m - mark.free_m).max(mark.free_m - high_m);
            LensMark {
                slide: slide.id.clone(),
                name: slide.name.clone(),
                target_m: Estimate::new(mark.target_m, mark.u_m.max(0.001)),
                change_m,
                word: if change_m < 0.0 { slide.minus.clone() } else { slide.plus.clone() },
                left_m: (mark.target_m - low_m).min(high_m - mark.target_m),
                beyond_m: (beyond_m > 0.0).then_some(beyond_m),
            }
        })
        .collect()
}

fn tune(package: &Package, solved: &Solved) -> Option<TuneVerdict> {
    let inboard = solved.at_targets.inboard();
    package
        .head
        .joints()
        .zip(&inboard)
        .filter_map(|(joint, inboard)| {
            let axis = nalgebra::Vector3::from(joint.axis);
            let inertia_kg_m2 = inboard.about_axis_kg_m2(&axis) + joint.drive.reflected_inertia_kg_m2;
            tune_report(package, joint, inertia_kg_m2).map(|report| report.verdict)
        })
        .max()
}
