//! What a logged balance teaches, and whether the ± can be believed, on rigs with a hidden truth.

use solver::Package;
use solver::balance::ends::{END_READ_TO_M, SENSES_DIFFER, middle_u_m};
use solver::balance::{
    Learned, Marks, Moments, across, held_unbalance_kg_m, log_balance, logged_of, solve_marks, tested_lean_rad,
    worst_unbalance_kg_m,
};
use solver::constants::SCALE_ZERO_U_M;
use solver::layout::{Body, Layout};
use solver::lens_set::change::lens_changes;
use solver::linkage::Linkage;
use solver::package::{LoggedBalance, LoggedFace, LoggedOf};

use crate::random::{Random, mean, percentile};

/// How the hidden truth is drawn from what is stated.
#[derive(Clone, Copy)]
pub(crate) struct Draw {
    /// Masses and centres of gravity are off by so many times what is stated.
    pub(crate) spread: f64,
    /// True friction over believed friction.
    pub(crate) friction: f64,
    /// Whether both ends of the hold zone were felt for and the middle was set; else a found mark lies anywhere in it.
    pub(crate) ends: bool,
}

/// All as stated.
pub(crate) const AS_STATED: Draw = Draw { spread: 1.0, friction: 1.0, ends: false };

/// What is true of a rig: an error for every body, every lens included, and for every slide's zero.
struct Hidden {
    of: Vec<LoggedOf>,
    /// In standard uncertainties: what is a share of the rest is another mass with every lens, and as badly known.
    mass_errors: Vec<f64>,
    cg_errors_m: Vec<[f64; 3]>,
    zero_errors_m: Vec<f64>,
}

impl Hidden {
    fn draw(package: &Package, random: &mut Random, draw: Draw) -> Self {
        let everything = Layout::of_everything(package);
        let mut normal = |u: f64| draw.spread * u * random.normal();
        Self {
            of: everything.iter().map(|body| logged_of(package, body)).collect(),
            mass_errors: everything.iter().map(|_| normal(1.0)).collect(),
            cg_errors_m: everything.iter().map(|body| [(); 3].map(|()| normal(body.cg_u_m))).collect(),
            zero_errors_m: package.head.slides().map(|_| normal(SCALE_ZERO_U_M)).collect(),
        }
    }

    /// The layout of the true rig.
    fn layout(&self, package: &Package) -> Layout {
        let mut layout = Layout::new(package);
        for body in &mut layout.bodies {
            if let Some(index) = self.of.iter().position(|of| *of == logged_of(package, body)) {
                self.spoil(body, index);
            }
        }
        for (slide, error_m) in layout.slides.iter_mut().zip(&self.zero_errors_m) {
            slide.zero_m += error_m;
        }
        layout
    }

    fn spoil(&self, body: &mut Body, index: usize) {
        body.mass_kg += self.mass_errors[index] * body.mass_u_kg;
        for (axis, error_m) in self.cg_errors_m[index].iter().enumerate() {
            body.cg_m[axis] += error_m;
        }
    }
}

fn with_lens(package: &Package, lens: u32) -> Package {
    let mut changed = package.clone();
    changed.active_lens = Some(lens);
    changed
}

/// The marks at which the true rig is neutral, free of travel.
fn true_marks(layout: &Layout) -> Marks {
    solve_marks(layout, &Moments::all(layout))
}

/// What a crew finds on the true rig.
struct Found {
    marks_m: Vec<f64>,
    axes: Vec<String>,
    faces: Vec<LoggedFace>,
}

/// The marks that a crew finds on the true rig, innermost joint first, and the joints that hold there: each slide comes
/// to stand anywhere in the true hold zone, or where its ends were felt for in the middle of what was read.
fn found(package: &Package, layout: &Layout, random: &mut Random, draw: Draw) -> Found {
    let joints: Vec<_> = package.head.joints().collect();
    let moments = Moments::all(layout);
    let truth = true_marks(layout);
    let mut marks_m: Vec<f64> = truth.slides.iter().map(|mark| mark.free_m).collect();
    let (mut axes, mut faces) = (Vec::new(), Vec::new());
    for (index, joint) in joints.iter().enumerate().rev() {
        let lean_rad = tested_lean_rad(&layout.joints[index].axis, package.reserve.tip_rad);
        let held_kg_m = draw.friction * held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
        for (slide, mark) in truth.slides.iter().enumerate().filter(|(_, mark)| mark.joint == Some(index)) {
            // What the slides further in have left over goes into this one; the slides of a joint stand square.
            let column = across(&moments[index].axis, &moments[index].per_slide_kg[slide]);
            let left = moments[index].unbalance_kg_m(layout, &marks_m).dot(&column) / column.norm_squared();
            let half_m = held_kg_m / mark.across_kg;
            marks_m[slide] -= left;
            if !draw.ends {
                marks_m[slide] += random.between(-half_m, half_m);
                continue;
            }
            let [low_m, high_m] = [-half_m, half_m].map(|end_m| end_m + END_READ_TO_M * random.normal());
            marks_m[slide] += 0.5 * (low_m + high_m) + half_m * SENSES_DIFFER * random.normal();
            let u_kg_m = Some(mark.across_kg * middle_u_m(low_m, high_m));
            faces.push(LoggedFace { joint: joint.id.clone(), direction: column.normalize().into(), u_kg_m });
        }
        // An axis that turns all the same is not logged, but those of its slides that stay put where they bear are.
        let left = moments[index].unbalance_kg_m(layout, &marks_m);
        if left.amax() <= held_kg_m {
            axes.push(joint.id.clone());
            continue;
        }
        for slide in (0..truth.slides.len()).filter(|slide| !draw.ends && truth.slides[*slide].joint == Some(index)) {
            let direction = across(&moments[index].axis, &layout.slides[slide].direction).normalize();
            if left.dot(&direction).abs() <= held_kg_m {
                faces.push(LoggedFace { joint: joint.id.clone(), direction: direction.into(), u_kg_m: None });
            }
        }
    }
    Found { marks_m, axes, faces }
}

/// The package with one more balance logged for every joint, found on the true rig with the given lens.
fn logged(package: &Package, hidden: &Hidden, lens: u32, random: &mut Random, draw: Draw) -> Package {
    let with = with_lens(package, lens);
    let Found { marks_m, axes, faces } = found(&with, &hidden.layout(&with), random, draw);
    let mut taught = package.clone();
    let id = u32::try_from(taught.logs.len()).unwrap_or(u32::MAX).saturating_add(1);
    taught.logs.push(LoggedBalance { faces, ..log_balance(&with, id, axes, &marks_m) });
    taught
}

/// The marks as predicted from what is entered and what was logged, with their ±.
fn predicted(package: &Package) -> Marks {
    let entered = Layout::new(package);
    if package.logs.is_empty() {
        return true_marks(&entered);
    }
    let learned = Learned::new(package, &entered);
    let believed = learned.believed(package, &entered);
    let mut marks = true_marks(&believed);
    learned.narrow(package, &believed, &mut marks);
    marks
}

/// 95 % of the predictions of a slide's mark are at most so far off, m.
pub(crate) struct Transfer {
    /// Id of the slide.
    pub(crate) slide: String,
    /// Before any log.
    pub(crate) before_m: f64,
    /// After one balance logged with another lens.
    pub(crate) after_m: f64,
}

/// What one balance logged with one lens is worth for the marks of another, slide by slide.
pub(crate) fn transfer(package: &Package, [from, to]: [u32; 2], rigs: usize, seed: u64, draw: Draw) -> Vec<Transfer> {
    let mut random = Random::new(seed);
    let slides: Vec<String> = package.head.slides().map(|slide| slide.id.clone()).collect();
    let mut errors: Vec<[Vec<f64>; 2]> = slides.iter().map(|_| [Vec::new(), Vec::new()]).collect();
    for _ in 0..rigs {
        let hidden = Hidden::draw(package, &mut random, draw);
        let target = with_lens(package, to);
        let truth = true_marks(&hidden.layout(&target));
        let taught = with_lens(&logged(package, &hidden, from, &mut random, draw), to);
        for (when, predicted) in [predicted(&target), predicted(&taught)].iter().enumerate() {
            for (slide, errors) in errors.iter_mut().enumerate() {
                errors[when].push((predicted.slides[slide].free_m - truth.slides[slide].free_m).abs());
            }
        }
    }
    slides
        .into_iter()
        .zip(&errors)
        .map(|(slide, [before, after])| Transfer {
            slide,
            before_m: percentile(before, 0.95),
            after_m: percentile(after, 0.95),
        })
        .collect()
}

/// How often the truth lies where the ± says.
pub(crate) struct Coverage {
    /// Share within one standard uncertainty; 0.683 when the ± is right.
    pub(crate) one: f64,
    /// Share within 1.96 of them; 0.950 when the ± is right.
    pub(crate) two: f64,
    /// Mean square of error over ±; 1 when the ± is right.
    pub(crate) mean_square: f64,
}

/// Coverage over all slides of many rigs with any lens, before logs or after one with the lens given.
pub(crate) fn coverage(package: &Package, log: Option<u32>, rigs: usize, seed: u64, draw: Draw) -> Coverage {
    let mut random = Random::new(seed);
    let mut z: Vec<f64> = Vec::new();
    for rig in 0..rigs {
        let hidden = Hidden::draw(package, &mut random, draw);
        let lens = package.lenses[rig % package.lenses.len()].id;
        let with = with_lens(package, lens);
        let truth = true_marks(&hidden.layout(&with));
        let taught = match log {
            Some(from) => with_lens(&logged(package, &hidden, from, &mut random, draw), lens),
            None => with,
        };
        let marks = predicted(&taught);
        z.extend(marks.slides.iter().zip(&truth.slides).map(|(mark, truth)| (mark.free_m - truth.free_m) / mark.u_m));
    }
    let share = |within: f64| mean(&z.iter().map(|z| f64::from(z.abs() <= within)).collect::<Vec<_>>());
    let squares: Vec<f64> = z.iter().map(|z| z * z).collect();
    Coverage { one: share(1.0), two: share(1.96), mean_square: mean(&squares) }
}

/// Settings after which a crew gives a true rig up.
/// What was told of an axis once every slide stands at its mark, and what became of it.
pub(crate) struct AtOnce {
    /// Its id.
    pub(crate) joint: String,
    /// Mean of the chances that were told.
    pub(crate) told: f64,
    /// Share of the rigs on which it stayed put, the axes inside at rest.
    pub(crate) stayed: f64,
}

/// Every axis, innermost first, on many true rigs that are set to the marks of the sheet. `log` is a lens with which a
/// balance was logged before; rigs on which the axis could not be balanced then do not count: that it turned is not logged.
pub(crate) fn at_once(package: &Package, log: Option<u32>, rigs: usize, seed: u64) -> Vec<AtOnce> {
    let mut random = Random::new(seed);
    let mut seen: Vec<(String, Vec<f64>, Vec<f64>)> = Vec::new();
    for _ in 0..rigs {
        let hidden = Hidden::draw(package, &mut random, AS_STATED);
        let teach = |lens: u32| logged(package, &hidden, lens, &mut random, AS_STATED);
        let taught = log.map_or_else(|| package.clone(), teach);
        let report = solver::check(&taught).expect("a valid package");
        let mark_m = |id: &str| report.slides.iter().find(|row| row.slide == id).expect("a row").target_m.value;
        let marks_m: Vec<f64> = package.head.slides().map(|slide| mark_m(&slide.id)).collect();
        let stayed = each_holds(package, &hidden.layout(package), &marks_m);
        seen.resize_with(report.axes.len(), Default::default);
        for ((each, axis), stayed) in seen.iter_mut().zip(&report.axes).zip(stayed.into_iter().rev()) {
            each.0.clone_from(&axis.joint);
            if taught.logs.iter().all(|log| log.axes.contains(&axis.joint)) {
                each.1.push(axis.within_hold_zone.expect("slides balance it"));
                each.2.push(f64::from(stayed));
            }
        }
    }
    seen.into_iter().map(|(joint, told, stayed)| AtOnce { joint, told: mean(&told), stayed: mean(&stayed) }).collect()
}

const TRIES: usize = 40;

/// What was told of leaving the marks in a lens change, and what became of it.
pub(crate) struct Left {
    /// Rigs of which a chance was told.
    pub(crate) told: usize,
    /// Mean of the chances that were told.
    pub(crate) chance: f64,
    /// Share of the rigs on which every axis did stay put, the axes inside at rest.
    pub(crate) stayed: f64,
    /// Share of the rigs on which every axis did stay put however the axes inside turn.
    pub(crate) stayed_turned: f64,
}

/// Many true rigs balanced by hand with one lens until every axis stays put; then another lens goes on and the marks are
/// left. `log` is a lens with which a balance was logged before.
pub(crate) fn left(package: &Package, [from, to]: [u32; 2], log: &[u32], rigs: usize, seed: u64) -> Left {
    let mut random = Random::new(seed);
    let (mut told, mut chance, mut stayed, mut stayed_turned) = (0, 0.0, 0.0, 0.0);
    let [before, after] = [from, to].map(|lens| with_lens(package, lens));
    let mut untaught = None;
    for _ in 0..rigs {
        let hidden = Hidden::draw(package, &mut random, AS_STATED);
        let teach = |taught: Package, lens: &u32| logged(&taught, &hidden, *lens, &mut random, AS_STATED);
        let taught = log.iter().fold(package.clone(), teach);
        let ask = || {
            let changes = lens_changes(&taught, Some(from)).expect("a valid package");
            changes.into_iter().find(|change| change.to == to).and_then(|change| change.stays_put)
        };
        let said = if log.is_empty() { untaught.get_or_insert_with(ask).clone() } else { ask() };
        let Some(said) = said else { continue };
        let [before_m, after_m] = [&before, &after].map(|with| hidden.layout(with));
        // A crew tries again until every axis stays put; a head that no slide can balance is another story.
        let mut tries = (0..TRIES).map(|_| found(&before, &before_m, &mut random, AS_STATED).marks_m);
        let Some(marks_m) = tries.find(|marks_m| holds(&before, &before_m, marks_m)[0]) else { continue };
        let [at_rest, turned] = holds(&after, &after_m, &marks_m);
        told += 1;
        chance += said.chance;
        stayed += f64::from(at_rest);
        stayed_turned += f64::from(turned);
    }
    let share = |sum: f64| sum / told as f64;
    Left { told, chance: share(chance), stayed: share(stayed), stayed_turned: share(stayed_turned) }
}

/// Whether friction holds every axis: the axes inside at rest, and wherever they turn.
fn holds(package: &Package, layout: &Layout, marks_m: &[f64]) -> [bool; 2] {
    let joints: Vec<_> = package.head.joints().collect();
    let limits_rad: Vec<Option<[f64; 2]>> = joints.iter().map(|joint| joint.limits_rad).collect();
    let worst_kg_m = worst_unbalance_kg_m(&Linkage::new(layout, marks_m), &limits_rad);
    let held = |(index, worst_kg_m): (usize, f64)| worst_kg_m <= held_kg_m(package, layout, index);
    let at_rest = each_holds(package, layout, marks_m).into_iter().all(|holds| holds);
    [at_rest, worst_kg_m.into_iter().enumerate().all(held)]
}

/// Whether friction holds each axis with those inside it at rest, platform first.
fn each_holds(package: &Package, layout: &Layout, marks_m: &[f64]) -> Vec<bool> {
    let left_kg_m = Moments::all(layout).into_iter().map(|moments| moments.unbalance_kg_m(layout, marks_m).norm());
    left_kg_m.enumerate().map(|(index, left_kg_m)| left_kg_m <= held_kg_m(package, layout, index)).collect()
}

fn held_kg_m(package: &Package, layout: &Layout, joint: usize) -> f64 {
    let lean_rad = tested_lean_rad(&layout.joints[joint].axis, package.reserve.tip_rad);
    let friction_nm = package.head.joints().nth(joint).map_or(0.0, |joint| joint.drive.friction_nm);
    held_unbalance_kg_m(friction_nm, lean_rad)
}
