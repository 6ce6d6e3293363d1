//! The door of the first screen: a package in, every answer out.

use nalgebra::{Matrix2, Vector3};

use crate::answer::{Answer, Estimate};
use crate::balance::{
    Learned, Marks, Moments, as_entered, chance_within, held_unbalance_kg_m, is_taken_over, left_open, normal_between,
    plane, solve_marks, tested_lean_rad, worst_unbalance_kg_m,
};
use crate::constants::GRAVITY_M_S2;
use crate::error::InputError;
use crate::findings::findings;
use crate::float;
use crate::layout::{Body, Layout, Of};
use crate::linkage::Linkage;
use crate::package::{DriveKind, Joint, Move, Package, Slide};
use crate::path::FieldPath;
use crate::power::power_report;
use crate::report::{
    AxisReport, Hold, LearnedReport, MassReport, MassRow, MassRowOf, Report, SlideReport, TorqueReport, TuneReport,
    TuneVerdict,
};
use crate::torque::{gravity_in_use_nm, torque_report};
use crate::validate::validate;

/// Checks a package: mass, marks, balance, torque in hand, power and hours, and what to mind.
///
/// # Errors
/// Every fault of the input, each with its field, when there is any.
///
/// # Example
/// ```
/// # use solver::package::*;
/// # let head = Head { name: "h".into(), typical: true, payload_kg: [1.0, 9.0], chain: vec![], opening: None,
/// #     taps: vec![], tap_groups: vec![], idle_w: 0.0, crossover_hz: 5.0 };
/// let package = Package {
///     name: "Empty head".into(), note: String::new(), demo: false, head,
///     mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
///     parts: vec![], lenses: vec![], active_lens: None, moves: vec![],
///     day: Day::default(), reserve: Reserve::default(), tune: None, arm: None, at_hand: None, logs: vec![],
///     balancing: None, structure: Structure::default(),
///     change_minutes: ChangeMinutes::default(),
/// };
/// let report = solver::check(&package).expect("a valid package");
/// assert_eq!(report.mass.camera_kg.value, 0.0);
/// ```
#[inline(never)]
pub fn check(package: &Package) -> Result<Report, Vec<InputError>> {
    validate(package).map(|()| check_sound(package))
}

/// As [`check`], for a package that is known to have no faults: looking for them is code of its own, which a page need
/// not have before anything has been entered.
pub fn check_sound(package: &Package) -> Report {
    let solved = Solved::new(package);
    let torque = torque_answer(package, &solved);
    let power = power_report(package, &motors_w(package, torque.known()));
    let mass = mass_report(package, &solved);
    let slides = slide_reports(package, &solved);
    let axes = axis_reports(package, &solved, &slides);
    let learned = solved.learned.as_ref().map(|learned| learned_report(package, learned));
    let not_checked = not_checked(package);
    let mut report = Report { mass, slides, axes, torque, power, learned, findings: Vec::new(), not_checked };
    report.findings = findings(package, &report, &solved);
    report
}

/// The package solved for its marks, shared by every answer.
pub(crate) struct Solved {
    /// Laid out as believed: as entered, and as the logged balances have corrected it.
    pub(crate) layout: Layout,
    pub(crate) moments: Vec<Moments>,
    pub(crate) marks: Marks,
    /// Composited at the target marks.
    pub(crate) at_targets: Linkage,
    /// Composited at the present marks.
    pub(crate) now: Linkage,
    /// What the logged balances have taught; `None` without any.
    pub(crate) learned: Option<Learned>,
}

impl Solved {
    pub(crate) fn new(package: &Package) -> Self {
        let (learned, layout) = if package.logs.is_empty() { (None, Layout::new(package)) } else { learn(package) };
        let moments = Moments::all(&layout);
        let mut marks = solve_marks(&layout, &moments);
        if let Some(learned) = &learned {
            learned.narrow(package, &layout, &mut marks);
        }
        let at_targets = Linkage::new(&layout, &marks.targets_m);
        let now = Linkage::new(&layout, &layout.present_marks_m());
        Self { layout, moments, marks, at_targets, now, learned }
    }

    /// Mass on the camera side, or of everything; its ± is what the logged balances have left of it, where there are any.
    pub(crate) fn mass_kg(&self, package: &Package, camera_only: bool) -> Estimate {
        let bodies = self.layout.bodies.iter().filter(|body| body.camera_side || !camera_only);
        let (kg, variance) =
            bodies.fold((0.0, 0.0), |(kg, var), body| (kg + body.mass_kg, var + body.mass_u_kg * body.mass_u_kg));
        let learned = self.learned.as_ref().map(|learned| learned.mass_u_kg(package, &self.layout, camera_only));
        Estimate::new(kg, learned.unwrap_or_else(|| libm::sqrt(variance)))
    }

    /// Covariance of a joint's first moment across its axis at the target marks, (kg·m)².
    fn left_open(&self, package: &Package, joint: usize) -> Matrix2<f64> {
        let (layout, marks_m, moment) = (&self.layout, &self.marks.targets_m, &self.moments[joint]);
        match &self.learned {
            Some(learned) => learned.left_open(package, layout, marks_m, joint, moment),
            None => left_open(layout, marks_m, joint, moment),
        }
    }
}

/// What the logged balances teach, and the layout as it is believed with that. Only for packages with logs: the page
/// loads it after its first answer.
#[inline(never)]
fn learn(package: &Package) -> (Option<Learned>, Layout) {
    let before = as_entered(package);
    let entered = Layout::new(&before);
    let learned = Learned::new(&before, &entered);
    let layout = learned.believed(package, &entered);
    (Some(learned), layout)
}

pub(crate) fn torque_answer(package: &Package, solved: &Solved) -> Answer<TorqueReport> {
    if package.moves.is_empty() {
        return Answer::Needs(vec![FieldPath::root().field("moves")]);
    }
    Answer::Known(torque_report(package, &solved.layout, &solved.marks.targets_m))
}

/// What the motors draw in each move, W, the head's idle draw on top.
pub(crate) fn motors_w(package: &Package, torque: Option<&TorqueReport>) -> Vec<f64> {
    let moves = torque.map_or(&[][..], |torque| &torque.moves);
    moves.iter().map(|each| package.head.idle_w + each.motors_w).collect()
}

fn mass_report(package: &Package, solved: &Solved) -> MassReport {
    let layout = &solved.layout;
    let camera_kg = solved.mass_kg(package, true);
    let whole = solved.at_targets.inboard().first().map_or(solved.at_targets.base, |inboard| {
        let mut whole = solved.at_targets.base;
        whole += inboard.shifted(&solved.at_targets.links[0].origin_m);
        whole
    });
    MassReport {
        camera_kg,
        payload_kg: package.head.payload_kg,
        camera_cg_from_flange_m: camera_cg(package, solved, camera_kg.value),
        all_up_kg: solved.mass_kg(package, false),
        all_up_cg_m: whole.cg_m().map(Into::into),
        rows: layout.bodies.iter().map(|body| mass_row(package, layout, body)).collect(),
    }
}

/// Centre of gravity of the camera side from the flange, with its standard uncertainty along each axis.
///
/// u²(x̄) = Σ[(xᵢ − x̄)²u²(mᵢ) + mᵢ²u²(xᵢ)]/M², or what the logged balances have left of it.
///
/// # Source
/// JCGM 100:2008, equation (10), on x̄ = Σmx/Σm.
fn camera_cg(package: &Package, solved: &Solved, camera_kg: f64) -> Option<[Estimate; 3]> {
    if camera_kg <= 0.0 {
        return None;
    }
    let layout = &solved.layout;
    let bodies = || layout.bodies.iter().filter(|body| body.camera_side);
    let from_flange = |body: &Body| body.cg_m - layout.flange_m;
    let cg_m: Vector3<f64> = bodies().map(|body| from_flange(body) * body.mass_kg).sum::<Vector3<f64>>() / camera_kg;
    if let Some(learned) = &solved.learned {
        let u_m = learned.camera_cg_u_m(package, layout, &(cg_m + layout.flange_m), camera_kg);
        return Some([0, 1, 2].map(|axis| Estimate::new(cg_m[axis], u_m[axis])));
    }
    Some([0, 1, 2].map(|axis| {
        let variance: f64 = bodies()
            .map(|body| {
                let by_mass = (from_flange(body)[axis] - cg_m[axis]) * body.mass_u_kg;
                let by_place = body.mass_kg * body.cg_u_m;
                by_mass * by_mass + by_place * by_place
            })
            .sum();
        Estimate::new(cg_m[axis], libm::sqrt(variance) / camera_kg)
    }))
}

fn mass_row(package: &Package, layout: &Layout, body: &Body) -> MassRow {
    let (source, name) = match body.of {
        Of::Part(index) => (MassRowOf::Part(package.parts[index].id), package.parts[index].name.clone()),
        Of::Lens(index) => (MassRowOf::Lens(package.lenses[index].id), package.lenses[index].name.clone()),
        Of::Yoke(index) => (MassRowOf::Yoke, yoke_name(package, index)),
    };
    let origin_m = if body.camera_side { layout.flange_m } else { Vector3::zeros() };
    MassRow {
        source,
        name,
        camera_side: body.camera_side,
        mass_kg: Estimate::new(body.mass_kg, body.mass_u_kg),
        cg_m: (body.cg_m - origin_m).into(),
        cg_u_m: body.cg_u_m,
    }
}

fn yoke_name(package: &Package, index: usize) -> String {
    match package.head.chain.get(index) {
        Some(crate::package::Element::Yoke(yoke)) => yoke.name.clone(),
        _ => String::new(),
    }
}

fn slide_reports(package: &Package, solved: &Solved) -> Vec<SlideReport> {
    let slides: Vec<&Slide> = package.head.slides().collect();
    let joints: Vec<&Joint> = package.head.joints().collect();
    solved.marks.order.iter().map(|index| slide_report(package, solved, slides[*index], *index, &joints)).collect()
}

fn slide_report(package: &Package, solved: &Solved, slide: &Slide, index: usize, joints: &[&Joint]) -> SlideReport {
    let mark = &solved.marks.slides[index];
    let [low_m, high_m] = slide.range_m;
    let move_m = mark.target_m - slide.mark_m;
    let beyond_m = (low_m - mark.free_m).max(mark.free_m - high_m);
    let joint = mark.joint.map(|joint| joints[joint]);
    let hold_zone_m = joint.filter(|joint| joint.drive.kind != DriveKind::Geared).and_then(|joint| {
        let lean_rad = tested_lean_rad(&Vector3::from(joint.axis), package.reserve.tip_rad);
        let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
        (mark.across_kg > 0.0 && held_kg_m.is_finite()).then(|| held_kg_m / mark.across_kg)
    });
    SlideReport {
        slide: slide.id.clone(),
        name: slide.name.clone(),
        balances: joint.map(|joint| joint.id.clone()),
        mark_m: slide.mark_m,
        target_m: Estimate::new(mark.target_m, mark.u_m.max(0.001)),
        move_m,
        word: if move_m < 0.0 { slide.minus.clone() } else { slide.plus.clone() },
        left_m: (mark.target_m - low_m).min(high_m - mark.target_m),
        range_m: slide.range_m,
        beyond_m: (beyond_m > 0.0).then_some(beyond_m),
        within_travel: normal_between(low_m, high_m, mark.free_m, mark.u_m),
        hold_zone_m,
        within_hold_zone: hold_zone_m.map(|zone_m| {
            let off_m = mark.target_m - mark.free_m;
            normal_between(off_m - zone_m, off_m + zone_m, 0.0, mark.u_m)
        }),
        hole_spacing_m: slide.hole_spacing_m,
    }
}

fn axis_reports(package: &Package, solved: &Solved, slides: &[SlideReport]) -> Vec<AxisReport> {
    let limits_rad: Vec<Option<[f64; 2]>> = package.head.joints().map(|joint| joint.limits_rad).collect();
    let worst = worst_unbalance_kg_m(&solved.at_targets, &limits_rad);
    let worst_now = worst_unbalance_kg_m(&solved.now, &limits_rad);
    let in_use_nm = gravity_in_use_nm(package, &solved.at_targets);
    let inboard = solved.at_targets.inboard();
    let now_m = solved.layout.present_marks_m();
    let joints: Vec<&Joint> = package.head.joints().collect();
    joints
        .into_iter()
        .enumerate()
        .rev()
        .map(|(index, joint)| {
            let axis = Vector3::from(joint.axis);
            let inertia_kg_m2 = inboard[index].about_axis_kg_m2(&axis) + joint.drive.reflected_inertia_kg_m2;
            let lean_rad = tested_lean_rad(&axis, package.reserve.tip_rad);
            let is_balanced = slides.iter().any(|slide| slide.balances.as_ref() == Some(&joint.id));
            let open = is_balanced.then(|| solved.left_open(package, index));
            AxisReport {
                joint: joint.id.clone(),
                name: joint.name.clone(),
                inboard_kg: solved.moments[index].mass_kg,
                now_kg_m: solved.moments[index].unbalance_kg_m(&solved.layout, &now_m).into(),
                residual_kg_m: solved.marks.residuals_kg_m[index].into(),
                gravity_in_use_nm: in_use_nm[index],
                gravity_any_nm: GRAVITY_M_S2 * worst[index],
                gravity_any_now_nm: GRAVITY_M_S2 * worst_now[index],
                gravity_u_nm: open.map(|open| GRAVITY_M_S2 * float::sqrt(open.trace())),
                friction_nm: joint.drive.friction_nm,
                tested_lean_rad: lean_rad,
                within_hold_zone: open.and_then(|open| stays_put(solved, index, joint, &open, lean_rad)),
                hold: hold(joint, worst[index], lean_rad),
                hold_now: hold(joint, worst_now[index], lean_rad),
                inertia_kg_m2,
                tune: tune_report(package, joint, inertia_kg_m2),
                finger_force_n: joint.drive.peak_nm / package.reserve.finger_reach_m,
            }
        })
        .collect()
}

/// Probability that friction holds a joint at the target marks, the axes inside at rest; absent for gears, which no test by
/// hand tries.
fn stays_put(solved: &Solved, index: usize, joint: &Joint, open: &Matrix2<f64>, lean_rad: f64) -> Option<f64> {
    let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad);
    let left = plane(&solved.moments[index].axis) * solved.marks.residuals_kg_m[index];
    (joint.drive.kind != DriveKind::Geared).then(|| chance_within(&left, open, held_kg_m))
}

/// Inertia about a joint against the build last tuned.
pub(crate) fn tune_report(package: &Package, joint: &Joint, inertia_kg_m2: f64) -> Option<TuneReport> {
    let tune = package.tune.as_ref()?;
    let then_kg_m2 = tune.axes.iter().find(|axis| axis.joint == joint.id)?.inertia_kg_m2;
    if then_kg_m2 <= 0.0 {
        return None;
    }
    let change = inertia_kg_m2 / then_kg_m2 - 1.0;
    let verdict = if change.abs() > tune.again_share {
        TuneVerdict::Redo
    } else if change.abs() > tune.check_share {
        TuneVerdict::Check
    } else {
        TuneVerdict::Keep
    };
    Some(TuneReport { change, verdict })
}

/// Whether every joint holds at the marks of a linkage, platform first.
pub(crate) fn hold_of(package: &Package, linkage: &Linkage) -> Vec<Hold> {
    let limits_rad: Vec<Option<[f64; 2]>> = package.head.joints().map(|joint| joint.limits_rad).collect();
    package
        .head
        .joints()
        .zip(worst_unbalance_kg_m(linkage, &limits_rad))
        .map(|(joint, worst_kg_m)| {
            hold(joint, worst_kg_m, tested_lean_rad(&Vector3::from(joint.axis), package.reserve.tip_rad))
        })
        .collect()
}

/// Whether friction alone holds every joint at the marks of a linkage, geared ones as well: of gears nobody has said what
/// they hold.
pub(crate) fn friction_holds(package: &Package, linkage: &Linkage) -> bool {
    let limits_rad: Vec<Option<[f64; 2]>> = package.head.joints().map(|joint| joint.limits_rad).collect();
    let worst_kg_m = worst_unbalance_kg_m(linkage, &limits_rad);
    package.head.joints().zip(worst_kg_m).all(|(joint, worst_kg_m)| {
        let lean_rad = tested_lean_rad(&Vector3::from(joint.axis), package.reserve.tip_rad);
        spare_nm(joint, worst_kg_m, lean_rad) >= -NOTHING_NM
    })
}

fn spare_nm(joint: &Joint, unbalance_kg_m: f64, lean_rad: f64) -> f64 {
    joint.drive.friction_nm - GRAVITY_M_S2 * unbalance_kg_m * float::sin(lean_rad)
}

/// Gravity torque that is none, N·m: a microgram at a metre.
const NOTHING_NM: f64 = 1e-8;

/// g·|u|·sin β against friction.
fn hold(joint: &Joint, unbalance_kg_m: f64, lean_rad: f64) -> Hold {
    if joint.drive.kind == DriveKind::Geared {
        return Hold::Geared;
    }
    let spare_nm = spare_nm(joint, unbalance_kg_m, lean_rad);
    // Of a drive without friction the last digits of a sum are no unbalance.
    if spare_nm >= -NOTHING_NM {
        Hold::Holds { spare_nm: spare_nm.max(0.0) }
    } else {
        Hold::Turns { over_nm: -spare_nm }
    }
}

/// What the logged balances have taught, and whether they agree.
#[inline(never)]
fn learned_report(package: &Package, learned: &Learned) -> LearnedReport {
    let before = as_entered(package);
    let mut lessons = learned.lessons(&before);
    for lesson in &mut lessons {
        lesson.taken_over = is_taken_over(package, &lesson.of);
    }
    LearnedReport {
        void: learned.void,
        agreement: learned.agreement.clone(),
        axes: learned.axis_lessons(&before, &Layout::new(&before)),
        lessons,
    }
}

/// What "within limits" leaves open, in words.
fn not_checked(package: &Package) -> Vec<String> {
    let mut left_out = vec![
        crate::stiffness::LEFT_TO_STIFFNESS.to_owned(),
        crate::fit::LEFT_TO_FIT.to_owned(),
        "The platform's own limits and the rating of its fixings".to_owned(),
    ];
    if package.moves.is_empty() {
        left_out.push("Torque: no move is given".to_owned());
    }
    if package.moves.iter().any(|each| each.airspeed_m_s > 0.0) {
        left_out.push("Wind on the head itself".to_owned());
    }
    if package.moves.iter().any(Move::is_carried) {
        let unknown = package.moves.iter().any(Move::turns_unknown);
        let words = if unknown {
            "How fast the platform turns: a move gives no rate"
        } else {
            "The platform's turning about the upright, which pan follows"
        };
        left_out.push(words.to_owned());
    }
    if package.riding().any(|part| part.pack.is_some()) {
        left_out.push("How many amperes the packs themselves allow".to_owned());
    }
    if package.lenses.len() > 1 {
        left_out.push(crate::lens_set::LEFT_TO_LENS_SET.to_owned());
    }
    left_out
}
