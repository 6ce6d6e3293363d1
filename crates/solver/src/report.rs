//! The answers of the first screen, in the order in which it shows them.

use serde::Serialize;

use crate::answer::{Answer, Estimate};
use crate::balance::{Agreement, AxisLesson, Lesson};
use crate::finding::Finding;
use crate::package::{LensId, MoveId, PartId};
use crate::platform::PlatformMotion;

/// Everything that [`crate::check`] answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// Mass on the camera side and on the arm.
    pub mass: MassReport,
    /// One row per slide, in balancing order: innermost joint first.
    pub slides: Vec<SlideReport>,
    /// One row per joint, in balancing order: innermost first.
    pub axes: Vec<AxisReport>,
    /// Torque in hand for every move of the day.
    pub torque: Answer<TorqueReport>,
    /// Loads, packs and hours.
    pub power: PowerReport,
    /// What the logged balances have taught; absent without any.
    pub learned: Option<LearnedReport>,
    /// What stops the job, what to watch, what to note: gravest first.
    pub findings: Vec<Finding>,
    /// What this report did not check, in words.
    pub not_checked: Vec<String>,
}

/// What the logged balances have taught.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnedReport {
    /// How many of them speak of something that is no longer in the package, and teach nothing.
    pub void: usize,
    /// Whether they agree with each other and with what was entered.
    pub agreement: Option<Agreement>,
    /// What they say about all that each axis carries together, innermost first.
    pub axes: Vec<AxisLesson>,
    /// What they say about each body, largest lesson first.
    pub lessons: Vec<Lesson>,
}

/// Mass on the camera side and on the arm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MassReport {
    /// On the camera side: everything on the place that carries the camera, lens included, kg.
    pub camera_kg: Estimate,
    /// Smallest and largest mass that the head takes on the camera side, kg.
    pub payload_kg: [f64; 2],
    /// Centre of gravity of the camera side from the flange: ahead, left, up, m. Absent without mass.
    pub camera_cg_from_flange_m: Option<[Estimate; 3]>,
    /// Head and everything on it, kg: what hangs on the arm.
    pub all_up_kg: Estimate,
    /// Centre of gravity of all of it from the head's base: forward, left, up, m, at the target marks.
    pub all_up_cg_m: Option<[f64; 3]>,
    /// Every body with its share; the masses sum to `all_up_kg`.
    pub rows: Vec<MassRow>,
}

/// One body in the mass table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MassRow {
    /// What it is.
    pub source: MassRowOf,
    /// Its name.
    pub name: String,
    /// On the camera side or not.
    pub camera_side: bool,
    /// Its mass, kg.
    pub mass_kg: Estimate,
    /// Its centre of gravity from the flange for the camera side, from the point of its joint otherwise, m.
    pub cg_m: [f64; 3],
    /// Standard uncertainty of that, along each axis, m.
    pub cg_u_m: f64,
}

/// What a row of the mass table stands for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MassRowOf {
    /// A part.
    Part(PartId),
    /// The lens that is on.
    Lens(LensId),
    /// A yoke of the head.
    Yoke,
}

/// One slide: where its mark goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlideReport {
    /// Id of the slide.
    pub slide: String,
    /// Its name.
    pub name: String,
    /// Id of the joint that it balances; absent when it balances none and stays where it is.
    pub balances: Option<String>,
    /// Present mark, m.
    pub mark_m: f64,
    /// Target mark, m, with its standard uncertainty (never below 1 mm).
    pub target_m: Estimate,
    /// Target less present mark, m; positive in the slide's `plus` word.
    pub move_m: f64,
    /// The word for the sense of that move: "back".
    pub word: String,
    /// From the target to the nearer end of travel, m.
    pub left_m: f64,
    /// Lowest and highest mark, m.
    pub range_m: [f64; 2],
    /// How far the free optimum lies beyond the end of travel, m; absent when it is within.
    pub beyond_m: Option<f64>,
    /// Probability that the true mark lies within travel.
    pub within_travel: f64,
    /// How far the mark may be off and friction still holds the joint that it balances, m; absent for a geared joint or a slide
    /// that balances none.
    pub hold_zone_m: Option<f64>,
    /// Probability that the mark at which the joint is neutral lies within the hold zone round the target.
    pub within_hold_zone: Option<f64>,
    /// Distance between holes, m, when it only stops at holes.
    pub hole_spacing_m: Option<f64>,
}

/// One joint: how it hangs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxisReport {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Mass inboard of it, kg.
    pub inboard_kg: f64,
    /// Unbalance at the present marks, kg·m: forward, left, up, without the part along the axis.
    pub now_kg_m: [f64; 3],
    /// Unbalance left at the target marks: the design residual, kg·m.
    pub residual_kg_m: [f64; 3],
    /// Largest gravity torque at the target marks over the poses and leans of today's moves, N·m.
    pub gravity_in_use_nm: f64,
    /// Largest gravity torque at the target marks in any attitude at all, N·m.
    pub gravity_any_nm: f64,
    /// The same at the present marks, N·m.
    pub gravity_any_now_nm: f64,
    /// Gravity torque that masses, centres of gravity and the zeros of the scales leave open once every slide stands at its
    /// target mark, any attitude, standard uncertainty, N·m; absent for an axis that no slide balances.
    pub gravity_u_nm: Option<f64>,
    /// Torque that friction holds, N·m.
    pub friction_nm: f64,
    /// Lean at which its balance is tested, rad: 90° for a level axis, the tip angle for an upright one.
    pub tested_lean_rad: f64,
    /// Probability that it stays put as soon as every slide stands at its target mark, the axes inside it at rest; absent for a
    /// geared axis and for one that no slide balances.
    pub within_hold_zone: Option<f64>,
    /// Whether it stays put at the target marks.
    pub hold: Hold,
    /// Whether it stays put at the present marks.
    pub hold_now: Hold,
    /// Inertia about the axis at the reference pose and target marks, motor's reflected inertia included, kg·m².
    pub inertia_kg_m2: f64,
    /// Against the build last tuned; absent when nobody has said which that was.
    pub tune: Option<TuneReport>,
    /// Force at the finger reach when the drive gives its peak torque, N.
    pub finger_force_n: f64,
}

/// Inertia against the build last tuned.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TuneReport {
    /// Inertia now ÷ inertia then − 1.
    pub change: f64,
    /// What to do.
    pub verdict: TuneVerdict,
}

/// What a change of inertia asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TuneVerdict {
    /// The tune may stay.
    Keep,
    /// Check it: listen for ringing or hunting.
    Check,
    /// Tune again.
    Redo,
}

/// Whether friction holds an axis.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Hold {
    /// It stays put; `spare_nm` of friction is left.
    Holds {
        /// Friction less gravity torque, N·m.
        spare_nm: f64,
    },
    /// It turns; gravity exceeds friction by `over_nm`.
    Turns {
        /// Gravity torque less friction, N·m.
        over_nm: f64,
    },
    /// Geared: it does not turn under a small unbalance, and this test says nothing about it.
    Geared,
}

/// Torque in hand, for every move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TorqueReport {
    /// One entry per move, in the order of the package.
    pub moves: Vec<MoveTorque>,
    /// Where torque is tightest over all moves and axes.
    pub tightest: Option<Tightest>,
}

/// The tightest axis and move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tightest {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub axis: String,
    /// The move.
    pub move_id: MoveId,
    /// Its name.
    pub move_name: String,
    /// Whether the peak or the continuous limit is meant.
    pub limit: LimitKind,
    /// 1 − demand / limit.
    pub headroom: Estimate,
    /// The largest term of the demand.
    pub cause: Cause,
}

/// Peak or continuous.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitKind {
    /// For the drive's peak seconds.
    Peak,
    /// For ever, derated for the air.
    Continuous,
    /// The voltage: the drive cannot turn that fast.
    Rate,
}

/// What takes most of the torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Unbalance under gravity and lean.
    Unbalance,
    /// The platform's accelerations.
    Platform,
    /// The operator's fastest move.
    Operator,
    /// Wind.
    Wind,
    /// Friction and cable drag.
    Friction,
}

/// One move: torque on every axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MoveTorque {
    /// The move.
    pub move_id: MoveId,
    /// Its name.
    pub name: String,
    /// One entry per joint, in balancing order: innermost first.
    pub axes: Vec<AxisTorque>,
    /// Electrical power of the motors, mean over the move, idle not included, W.
    pub motors_w: f64,
    /// Whether part of the working range lies within 10° of gimbal lock: those poses are left out of every figure.
    pub near_gimbal_lock: bool,
    /// Mean drag of the wind on everything, N.
    pub wind_force_n: f64,
    /// Density of the air, kg/m³.
    pub air_kg_m3: f64,
    /// Highest airspeed at which every axis keeps the reserve, m/s; absent when even still air does not, or no wind
    /// can take it.
    pub fastest_air_m_s: Option<f64>,
    /// By what factor the operator's rates may rise on every axis at once in the same time before an axis falls under
    /// the reserve or the motors' fastest rate; absent when there is no operator's move.
    pub operator_factor: Option<f64>,
    /// Highest speed on this road at which every axis keeps the reserve, the wind rising with the speed, m/s; absent
    /// off the road, when even a crawl does not, or when no speed can take it.
    pub fastest_road_m_s: Option<f64>,
    /// What the platform does to the base.
    pub platform: PlatformMotion,
}

/// One axis in one move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxisTorque {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// The terms of the peak demand, at the pose where their sum is largest.
    pub peak: Terms,
    /// Sum of them, N·m.
    pub peak_nm: Estimate,
    /// Root-mean-square terms of the continuous demand.
    pub continuous: Terms,
    /// Their combination √(mean² + Σ squares), N·m.
    pub continuous_nm: Estimate,
    /// Largest torque of the drive, N·m.
    pub peak_limit_nm: f64,
    /// Continuous torque of the drive in this air, N·m.
    pub continuous_limit_nm: f64,
    /// 1 − peak demand / limit.
    pub peak_headroom: Estimate,
    /// 1 − continuous demand / limit.
    pub continuous_headroom: Estimate,
    /// The largest term of the tighter of the two.
    pub cause: Cause,
    /// Joint angles of the worst pose, platform first, rad.
    pub pose_rad: Vec<f64>,
    /// Share of the drive's fastest rate that the operator's move needs.
    pub rate_use: f64,
    /// 1 − demand / what the voltage leaves of the peak torque at that rate, at its tightest during the operator's
    /// move; absent while the voltage leaves all of it.
    pub voltage_headroom: Option<f64>,
    /// The part of the operator's term at the worst pose that the moves of *other* axes cause through products of
    /// inertia, N·m.
    pub coupled_nm: f64,
    /// What the move of each other axis alone does to this one through products of inertia at the worst pose, largest
    /// first; axes that do nothing to it are left out.
    pub coupled_by: Vec<CoupledTorque>,
    /// Unbalance that could be added in the worst direction before the axis falls under the reserve, kg·m; absent when
    /// it is under it already.
    pub spare_unbalance_kg_m: Option<f64>,
}

impl AxisTorque {
    /// The tightest of its limits and the headroom there: peak, continuous, or what the voltage leaves near the fastest
    /// rate.
    #[inline(never)]
    pub fn tightest(&self) -> (LimitKind, Estimate) {
        let mut tightest = (LimitKind::Peak, self.peak_headroom);
        if self.continuous_headroom.value < tightest.1.value {
            tightest = (LimitKind::Continuous, self.continuous_headroom);
        }
        match self.voltage_headroom {
            Some(value) if value < tightest.1.value => (LimitKind::Rate, Estimate::new(value, self.peak_headroom.u)),
            _ => tightest,
        }
    }
}

/// What the operator's move of one axis does to another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoupledTorque {
    /// Id of the joint that is moved.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Torque on the disturbed axis at the steepest instant, N·m.
    pub torque_nm: f64,
}

/// The terms of a demand, N·m, none negative.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Terms {
    /// Unbalance under gravity and lean.
    pub unbalance_nm: f64,
    /// The platform's accelerations.
    pub platform_nm: f64,
    /// The operator's fastest move, reflected inertia included.
    pub operator_nm: f64,
    /// Wind.
    pub wind_nm: f64,
    /// Friction.
    pub friction_nm: f64,
    /// Cable drag.
    pub cable_nm: f64,
}

/// Loads, packs and hours.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PowerReport {
    /// What all parts draw in ordinary use, at the parts, W.
    pub loads_w: f64,
    /// What the motors draw on average over the day's moves, the head's idle draw included, W.
    pub motors_w: f64,
    /// What leaves the packs, converters and cables included, W.
    pub draw_w: f64,
    /// One row per tap.
    pub taps: Vec<TapReport>,
    /// Energy that the packs on the head can give down to cut-off, Wh.
    pub usable_wh: f64,
    /// How long the first set of packs lasts, h: move after move at the power that each draws, beyond the end of the
    /// day at the day's mean.
    pub runtime_h: Answer<Estimate>,
    /// Clock time of the first pack change, minutes after midnight of the first day; absent when the packs outlast
    /// the day or the runtime is not known.
    pub change_min: Option<Estimate>,
    /// Sets of packs that the day needs; absent when it cannot be run through.
    pub sets: Option<u32>,
    /// What the first move draws that full packs cannot feed, W; absent when they feed every move.
    pub collapsing_w: Option<f64>,
}

/// One tap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TapReport {
    /// Id of the tap.
    pub tap: String,
    /// Its name.
    pub name: String,
    /// Current in ordinary use, at the lowest voltage, A.
    pub typical_a: f64,
    /// Current with everything at its peak at once, at the lowest voltage, A.
    pub peak_a: f64,
    /// Its limit, A.
    pub limit_a: f64,
    /// Parts on it.
    pub parts: Vec<PartId>,
}
