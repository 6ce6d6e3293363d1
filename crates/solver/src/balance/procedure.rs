//! Balancing step by step: the order of work, derived from the chain, and where a balance that is being found stands.
//!
//! Innermost axis first. On an axis that lies level: the slides that move level, then those that move upright with the
//! axis turned, then the first again. On an axis that stands upright the base is tipped and the unbalance is laid across
//! the slope. What no slide reaches is looked at all the same, so that a log never claims more than was tested.

use super::ends::found_to_m;
use super::guided::{Prior, Step, Trial, next_step};
use super::snapshot::log_balance;
use super::work_order::joint_steps;
use crate::bounds;
use crate::check::Solved;
use crate::error::InputError;
use crate::package::{Balancing, Joint, LoggedBalance, LoggedFace, Package, Seen, Slide, Tried};
use crate::validate::validate;

/// What comes before, by id and in words, in the order of the work. Common practice, no source.
pub const READY: &[(&str, &str)] = &[
    ("motors", "Motors off, drives unplugged: shorted windings brake a swing and hide it."),
    (
        "hung",
        "Head hung from its platform or a stand, base level, also when it will stand later: the steps are for a head that hangs.",
    ),
    ("on", "Everything on: filters, media, matte box, rods at their final length."),
    ("caps", "Caps off the lens and off the ports."),
    ("lens", "Zoom and focus at the middle of their range."),
    ("cables", "Cables strapped as they will run, with slack at every axis."),
    ("packs", "Packs on, also those that ride further out."),
    ("marks", "Every slide at its predicted mark, clamps closed, end keepers on."),
];

/// How a balance is found on this head, and how far it has come.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// Every step, in the order of the work.
    pub steps: Vec<ProcedureStep>,
    /// The step at hand; `None` when all is done.
    pub open: Option<usize>,
    /// Ids of the joints that were found to stay put in every way that was to be tested: what can be logged.
    pub held: Vec<String>,
    /// Of the other axes that are done, the faces that were found to stay put: they can be logged as well. Of these, the
    /// faces whose middle was found.
    pub faces: Vec<LoggedFace>,
    /// Whether lens or parts are no longer those with which it began.
    pub changed_since: bool,
}

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct ProcedureStep {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Id of the slide that is set; `None` where the axis is only looked at.
    pub slide: Option<String>,
    /// Whether that slide has been set before and is only looked at again.
    pub again: bool,
    /// The direction across the axis whose unbalance it tests.
    pub direction: [f64; 3],
    /// How the head stands for it.
    pub pose: Pose,
    /// What is seen when the joint turns positively, negatively, and when it swings back to where it was or runs away
    /// from it; the last two only where the unbalance stands upright.
    pub means: Means,
    /// How far it has come.
    pub progress: Progress,
    /// What was tried in it.
    pub trials: Vec<Trial>,
    /// How far the mark may be off and the axis still stays put in this pose, m; nought where no slide is set.
    pub hold_zone_m: f64,
    /// Mass that one metre of the slide moves across the axis, kg; nought where no slide is set.
    pub across_kg: f64,
    /// Share of the weight that the pose brings to bear: 1 where all of it pulls.
    pub share: f64,
    /// The same step with each other slide that does this one's work: the first takes over where this one is left out.
    pub stand_ins: Vec<ProcedureStep>,
}

/// How the head stands for a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pose {
    /// As at rest: every axis at its middle.
    Level,
    /// The joint turned by this angle about its axis, rad.
    Turned {
        /// The angle, rad.
        angle_rad: f64,
        /// How far the lens then points up: 1 straight up, 0 level, −1 straight down.
        lens_up: f64,
    },
    /// The base tipped, the joint turned so that the unbalance lies across the slope.
    Tipped {
        /// Angle by which the base is tipped, rad.
        tip_rad: f64,
        /// Downhill as seen from the joint: forward, left, up.
        downhill: [f64; 3],
    },
}

/// What each answer says about the mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Means {
    /// The joint turns positively.
    pub plus: Seen,
    /// The joint turns negatively.
    pub minus: Seen,
    /// Level again by itself: the centre of gravity hangs below the axis.
    pub swings_back: Option<Seen>,
}

/// How far a step has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Progress {
    /// Its turn has not come.
    Waiting,
    /// A slide is to be set.
    Set(Step),
    /// The slide stops only at holes, and no untried hole is left near the mark.
    BetweenHoles {
        /// Where the mark would be, m.
        mark_m: f64,
    },
    /// No slide reaches it: only look whether it stays put.
    Look,
    /// It stays put at this mark, m.
    Found {
        /// The mark, m.
        mark_m: f64,
    },
    /// It stays put.
    Holds,
    /// It turns, and no slide cures it.
    Turns,
    /// Nobody looked.
    LeftOut,
    /// Left where it stands: the slide of the next step does the rest.
    TakenOver,
    /// Geared: it does not turn under a small unbalance, and none of this applies to it.
    Geared,
}

impl Progress {
    /// Whether nothing is left to be done in the step.
    pub fn is_done(&self) -> bool {
        !matches!(self, Self::Waiting | Self::Set(_) | Self::BetweenHoles { .. } | Self::Look)
    }

    /// Whether the axis stays put in the way that the step tests.
    pub fn holds(&self) -> bool {
        matches!(self, Self::Found { .. } | Self::Holds)
    }
}

/// How a balance is found on the head of a package, and how far [`Package::balancing`] has come.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn procedure(package: &Package) -> Result<Procedure, Vec<InputError>> {
    validate(package)?;
    let began = package.balancing.as_ref();
    let marks = Solved::new(package).marks;
    let other_way = began.is_some_and(|began| began.other_way);
    let mut steps: Vec<ProcedureStep> = Vec::new();
    for (index, joint) in package.head.joints().enumerate().collect::<Vec<_>>().into_iter().rev() {
        steps.extend(joint_steps(package, &marks, index, joint, other_way));
    }
    let tried = began.map_or(&[][..], |began| &began.tried);
    let open = settle(&mut steps, tried);
    if let Some(open) = open {
        steps[open].progress = at_hand(package, &steps, open);
    }
    let (held, faces) = (held(package, &steps), faces_held(package, &steps));
    let changed_since = began.is_some_and(|began| !is_of(began, package));
    Ok(Procedure { steps, open, held, faces, changed_since })
}

/// The beginning of a balance on the package as it stands.
pub fn begin(package: &Package) -> Balancing {
    Balancing {
        lens: package.active_lens,
        parts: package.riding().map(|part| part.id).collect(),
        ..Balancing::default()
    }
}

/// The log of what has been found so far; it takes the place of the one made of the same balance before. `None` when no
/// axis, and no face of one, has been found to stay put.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn log_found(package: &Package) -> Result<Option<LoggedBalance>, Vec<InputError>> {
    let found = procedure(package)?;
    if found.held.is_empty() && found.faces.is_empty() {
        return Ok(None);
    }
    let before = package.balancing.as_ref().and_then(|began| began.log);
    let next = package.logs.iter().map(|log| log.id).max().unwrap_or(0).saturating_add(1);
    let mut log = log_balance(package, before.unwrap_or(next), found.held, &found_marks_m(package, &found.steps));
    log.faces = found.faces;
    Ok(Some(log))
}

fn is_of(began: &Balancing, package: &Package) -> bool {
    began.lens == package.active_lens && package.riding().map(|part| part.id).eq(began.parts.iter().copied())
}

/// Deals out what was tried, in the order of the work; gives the step at hand.
fn settle(steps: &mut Vec<ProcedureStep>, tried: &[Tried]) -> Option<usize> {
    let mut rest = tried.iter().peekable();
    let mut index = 0;
    while let Some(step) = steps.get_mut(index) {
        while !step.progress.is_done() {
            let mine = |tried: &&Tried| {
                tried.joint == step.joint && tried.at.as_ref().map(|at| &at.slide) == step.slide.as_ref()
            };
            let Some(tried) = rest.next_if(mine) else { return Some(index) };
            let mark_m = tried.at.as_ref().map(|at| at.mark_m);
            step.trials.extend(mark_m.map(|mark_m| Trial { mark_m, seen: tried.seen }));
            step.progress = match (tried.seen, mark_m) {
                (Seen::LeftOut, _) => Progress::LeftOut,
                (Seen::Stays | Seen::Ends { .. }, Some(mark_m)) => Progress::Found { mark_m },
                (Seen::Stays, None) => Progress::Holds,
                (_, None) => Progress::Turns,
                _ => Progress::Waiting,
            };
        }
        take_over(steps, index);
        index += 1;
    }
    None
}

/// Where a slide was left out and another does its work, that one comes next, and is looked at again in its place.
fn take_over(steps: &mut Vec<ProcedureStep>, index: usize) {
    let step = &mut steps[index];
    if step.progress != Progress::LeftOut || step.stand_ins.is_empty() {
        return;
    }
    step.progress = Progress::TakenOver;
    let (joint, slide) = (step.joint.clone(), step.slide.clone());
    let mut others = core::mem::take(&mut step.stand_ins);
    let next = others.remove(0);
    for again in steps[index..].iter_mut().filter(|step| step.again && step.joint == joint && step.slide == slide) {
        *again = ProcedureStep { again: true, ..next.clone() };
    }
    steps.insert(index + 1, ProcedureStep { stand_ins: others, ..next });
}

/// What is to be done in the step at hand.
fn at_hand(package: &Package, steps: &[ProcedureStep], open: usize) -> Progress {
    let step = &steps[open];
    let slide = step.slide.as_ref().and_then(|id| package.head.slides().position(|slide| slide.id == *id));
    let Some((index, slide)) = slide.and_then(|index| Some((index, package.head.slides().nth(index)?))) else {
        return Progress::Look;
    };
    let prior = prior(package, steps, open, index, slide);
    let next = next_step(&prior, &step.trials);
    let (Step::Set { mark_m, between_m, asked_again }, Some(spacing_m)) = (next, slide.hole_spacing_m) else {
        return Progress::Set(match next {
            // What a person sets is what is stored: whole steps.
            Step::Set { mark_m, between_m, asked_again } => {
                Step::Set { mark_m: bounds::MARK_M.quantise(mark_m), between_m, asked_again }
            }
            other => other,
        });
    };
    let hole = |number: f64| bounds::MARK_M.quantise(slide.range_m[0] + number * spacing_m);
    let last = libm::floor((slide.range_m[1] - slide.range_m[0]) / spacing_m + 1e-9);
    let nearest = libm::round((mark_m - slide.range_m[0]) / spacing_m).clamp(0.0, last);
    let was_tried = |mark_m: f64| step.trials.iter().any(|trial| (trial.mark_m - mark_m).abs() < 1e-6);
    if was_tried(hole(nearest)) && !asked_again {
        return Progress::BetweenHoles { mark_m };
    }
    Progress::Set(Step::Set { mark_m: hole(nearest), between_m, asked_again })
}

/// What is believed about the mark at hand: the prediction, taught by the axes further in that have been found.
fn prior(package: &Package, steps: &[ProcedureStep], open: usize, index: usize, slide: &Slide) -> Prior {
    let step = &steps[open];
    let hold_zone_m = step.hold_zone_m.max(1e-5);
    let prior = |mean_m: f64, sigma_m: f64| Prior { mean_m, sigma_m, hold_zone_m, range_m: slide.range_m };
    let found_before = steps[..open].iter().filter(|before| before.slide == step.slide);
    if let Some(Progress::Found { mark_m }) = found_before.clone().next_back().map(|before| before.progress) {
        // Where its ends were not felt for, anywhere in the hold zone was equally likely.
        return prior(mark_m, found_to_m(found_before).unwrap_or(hold_zone_m / 1.732_050_8));
    }
    let (held, faces) = (held(package, steps), faces_held(package, steps));
    let mut taught = package.clone();
    let own = package.balancing.as_ref().and_then(|began| began.log);
    taught.logs.retain(|log| Some(log.id) != own);
    let marks_m = found_marks_m(package, &steps[..open]);
    for (slide, mark_m) in taught.head.slides_mut().zip(&marks_m) {
        slide.mark_m = *mark_m;
    }
    if !(held.is_empty() && faces.is_empty()) {
        let id = taught.logs.iter().map(|log| log.id).max().unwrap_or(0).saturating_add(1);
        let mut log = log_balance(&taught, id, held, &marks_m);
        log.faces = faces;
        taught.logs.push(log);
    }
    // Slides of the axes further in stay where they are now, and so do those that could do this one's work.
    let further_in = |before: &ProcedureStep| before.joint != step.joint || before.progress == Progress::TakenOver;
    let set_before = steps[..open].iter().filter(|before| further_in(before));
    let stays: Vec<&str> = set_before.chain(&step.stand_ins).filter_map(|other| other.slide.as_deref()).collect();
    for slide in taught.head.slides_mut().filter(|slide| stays.contains(&slide.id.as_str())) {
        slide.range_m = [slide.mark_m; 2];
        slide.hole_spacing_m = None;
    }
    let mark = &Solved::new(&taught).marks.slides[index];
    prior(mark.free_m, mark.u_m)
}

/// Ids of the joints that stay put in every step of theirs.
fn held(package: &Package, steps: &[ProcedureStep]) -> Vec<String> {
    let holds = |joint: &&Joint| {
        let mut own = steps.iter().filter(|step| step.joint == joint.id).peekable();
        own.peek().is_some() && own.all(|step| step.progress.holds() || step.progress == Progress::TakenOver)
    };
    package.head.joints().filter(holds).map(|joint| joint.id.clone()).collect()
}

/// Faces that stay put in every step of theirs, of the joints that are done and not held as a whole; of those that are, the
/// faces whose middle was found.
fn faces_held(package: &Package, steps: &[ProcedureStep]) -> Vec<LoggedFace> {
    let held = held(package, steps);
    let mut faces: Vec<LoggedFace> = Vec::new();
    for joint in package.head.joints() {
        let own: Vec<&ProcedureStep> = steps.iter().filter(|step| step.joint == joint.id).collect();
        if !own.iter().all(|step| step.progress.is_done()) {
            continue;
        }
        for step in own.iter().filter(|step| !step.again && step.progress.holds()) {
            let of_slide = own.iter().copied().filter(|other| step.slide.is_some() && other.slide == step.slide);
            if !of_slide.clone().all(|other| other.progress.holds()) {
                continue;
            }
            let u_kg_m = found_to_m(of_slide).map(|u_m| bounds::UNBALANCE_U_KG_M.quantise(u_m * step.across_kg));
            if u_kg_m.is_some() || !held.contains(&joint.id) {
                faces.push(LoggedFace { joint: joint.id.clone(), direction: step.direction, u_kg_m });
            }
        }
    }
    faces
}

/// The marks as they stand: those found, the present ones elsewhere, platform first, m.
fn found_marks_m(package: &Package, steps: &[ProcedureStep]) -> Vec<f64> {
    let found = |slide: &Slide| {
        steps.iter().rev().filter(|step| step.slide.as_ref() == Some(&slide.id)).find_map(|step| match step.progress {
            Progress::Found { mark_m } => Some(mark_m),
            _ => None,
        })
    };
    package.head.slides().map(|slide| found(slide).unwrap_or(slide.mark_m)).collect()
}

/// The mark that a gauge points to: a pull of the positive sense stands for a centre of gravity that turns the joint
/// positively. `unbalance_kg_m` is what [`crate::measure::gauge()`] gives, already free of the lean.
pub fn gauge_seen(step: &ProcedureStep, tried_m: f64, unbalance_kg_m: f64, u_kg_m: f64, heavy_plus: bool) -> Seen {
    let toward = if heavy_plus { step.means.plus } else { step.means.minus };
    let sign = if toward == Seen::WantsMore { 1.0 } else { -1.0 };
    let per_metre_kg = step.across_kg.max(1e-6) * step.share;
    let mark_m = bounds::MARK_M.quantise(tried_m + sign * unbalance_kg_m / per_metre_kg);
    let mark_m = mark_m.clamp(bounds::MARK_M.min, bounds::MARK_M.max);
    // A pull by hand is never better than half a millimetre of mark.
    Seen::Gauge { mark_m, u_m: (u_kg_m / per_metre_kg).clamp(0.0005, bounds::OFFSET_U_M.max) }
}
