//! What would bring the wind's torque on one axis within the reserve, each remedy solved for how much of it is needed.

use nalgebra::Vector3;
use serde::Serialize;

use super::demand::Load;
use super::limits::{continuous_limit_nm, headroom, peak_limit_nm, voltage_binds};
use super::operator::Operator;
use super::report::torque_report;
use super::scan::{rate_share, voltage_use};
use super::study::{Desk, Study};
use super::table::{Reach, Table};
use super::wind_on_axis::{PLATE_DRAG, WindOnAxis, WindShareOf, level, wind_on_axis};
use crate::check::{Solved, torque_answer};
use crate::constants::DEGREE_RAD;
use crate::error::InputError;
use crate::float;
use crate::layout::{Body, Layout, Of};
use crate::package::{MoveId, Package, PartId, Shape};
use crate::platform::PlatformMotion;
use crate::report::MoveTorque;
use crate::validate::validate;

/// The wind in one move: the axis that it presses hardest, and what would bring that axis within the reserve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindHelp {
    /// The move.
    pub move_id: MoveId,
    /// Its name.
    pub move_name: String,
    /// The axis where the wind takes the largest share of the peak limit, of those that lack torque where some do; and what
    /// each part takes of it.
    pub wind: WindOnAxis,
    /// Torque headroom of that axis, the smallest of peak, continuous and what the voltage leaves.
    pub headroom: f64,
    /// What would do by itself, cheapest first; empty when the reserve is kept or when nothing does.
    pub remedies: Vec<WindRemedy>,
}

/// One remedy against the wind, enough by itself. In the order of what each costs a crew (common practice, no source).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum WindRemedy {
    /// A part with a smaller face: another matte box, no flags; or the part sheltered.
    Smaller {
        /// The part.
        part: PartId,
        /// Its name.
        name: String,
        /// Largest face that it may keep, as a share of its own.
        share: f64,
    },
    /// A plate on the other side of the axis, square to the wind.
    CounterSail {
        /// Its area, m².
        area_m2: f64,
        /// Its distance from the axis, m.
        arm_m: f64,
        /// Where that is from the axis, in the camera's own directions.
        side: Side,
    },
    /// Less wind and speed together.
    Slower {
        /// Highest airspeed that keeps the reserve on every axis, m/s.
        airspeed_m_s: f64,
    },
    /// The lens kept along the wind, within ten degrees either way.
    Heading {
        /// Torque headroom of the axis then.
        headroom: f64,
    },
}

/// A side of an axis, as the camera looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Towards the lens.
    Ahead,
    /// Away from the lens.
    Behind,
    /// To the camera's left.
    Left,
    /// To the camera's right.
    Right,
    /// Above.
    Above,
    /// Below.
    Below,
}

/// Distance from the axis at which a counter-sail is quoted, m: a rod's length.
const SAIL_ARM_M: f64 = 0.3;

/// Largest counter-sail that is quoted, m²: a board that one person hangs.
const LARGEST_SAIL_M2: f64 = 0.3;

/// How far from the wind's own line a lens that is kept along it may look, rad.
const ALONG_RAD: f64 = 10.0 * DEGREE_RAD;

/// The wind in every move that has any, worked out at the target marks.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn wind_help(package: &Package) -> Result<Vec<WindHelp>, Vec<InputError>> {
    validate(package)?;
    let solved = Solved::new(package);
    let torque = torque_answer(package, &solved);
    let Some(torque) = torque.known() else { return Ok(Vec::new()) };
    let marks_m = &solved.marks.targets_m;
    Ok(torque.moves.iter().filter_map(|each| wind_help_of(package, &solved.layout, marks_m, each)).collect())
}

/// The wind in one move; `marks_m` and `each` belong together. `None` without axes or without wind.
pub fn wind_help_of(package: &Package, layout: &Layout, marks_m: &[f64], each: &MoveTorque) -> Option<WindHelp> {
    let wind = wind_on_axis(package, layout, marks_m, each)?;
    if wind.torque_nm <= 0.0 {
        return None;
    }
    let mut asked = package.clone();
    asked.moves.retain(|wanted| wanted.id == each.move_id);
    let case = Case { package: &asked, layout, marks_m, joint: &wind.joint };
    let headroom = case.headroom(layout)?;
    let mut remedies = Vec::new();
    if headroom < package.reserve.torque_headroom {
        remedies.extend(case.smaller(&wind));
        remedies.extend(case.counter_sail(&wind));
        let now_m_s = asked.moves.first()?.airspeed_m_s;
        let slower = each.fastest_air_m_s.filter(|fastest_m_s| *fastest_m_s < now_m_s);
        remedies.extend(slower.map(|airspeed_m_s| WindRemedy::Slower { airspeed_m_s }));
        remedies.extend(case.heading());
    }
    Some(WindHelp { move_id: each.move_id, move_name: each.name.clone(), wind, headroom, remedies })
}

/// One axis of the one move of a package.
struct Case<'a> {
    package: &'a Package,
    layout: &'a Layout,
    marks_m: &'a [f64],
    joint: &'a str,
}

impl Case<'_> {
    fn reserve(&self) -> f64 {
        self.package.reserve.torque_headroom
    }

    /// Torque headroom of the axis with the bodies of another layout.
    fn headroom(&self, layout: &Layout) -> Option<f64> {
        let report = torque_report(self.package, layout, self.marks_m);
        let axis = report.moves.first()?.axes.iter().find(|axis| axis.joint == self.joint)?;
        Some(axis.tightest().1.value)
    }

    /// The part that takes most of the wind, as small as it must be.
    fn smaller(&self, wind: &WindOnAxis) -> Option<WindRemedy> {
        let share = wind.shares.iter().find(|share| matches!(share.of, WindShareOf::Part(_)))?;
        let WindShareOf::Part(part) = share.of else { return None };
        let index = self.package.parts.iter().position(|each| each.id == part)?;
        let keeps = |face: f64| {
            let mut layout = self.layout.clone();
            for body in layout.bodies.iter_mut().filter(|body| body.of == Of::Part(index)) {
                body.drag_coefficient *= face;
            }
            self.headroom(&layout).is_some_and(|headroom| headroom >= self.reserve())
        };
        if !keeps(0.0) {
            return None;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..8 {
            let middle = 0.5 * (low + high);
            if keeps(middle) { low = middle } else { high = middle }
        }
        Some(WindRemedy::Smaller { part, name: share.name.clone(), share: low })
    }

    /// The smallest of a row of plates that is enough; one too large would turn the axis the other way.
    fn counter_sail(&self, wind: &WindOnAxis) -> Option<WindRemedy> {
        const SIZES: i32 = 24;
        let (body, side) = self.sail(wind)?;
        (1..=SIZES).find_map(|size| {
            let area_m2 = LARGEST_SAIL_M2 * f64::from(size) / f64::from(SIZES);
            let edge_m = float::sqrt(area_m2);
            let mut layout = self.layout.clone();
            layout.bodies.push(Body { size_m: body.size_m.map(|edge| edge * edge_m), ..body.clone() });
            let enough = self.headroom(&layout)? >= self.reserve();
            enough.then_some(WindRemedy::CounterSail { area_m2, arm_m: SAIL_ARM_M, side })
        })
    }

    /// A plate of unit edge without mass, facing the worst wind at the quoted distance on the side where it helps.
    fn sail(&self, wind: &WindOnAxis) -> Option<(Body, Side)> {
        let joint = self.package.head.joints().position(|joint| joint.id == self.joint)?;
        let camera = self.layout.camera;
        let axis = Vector3::from(self.package.head.joints().nth(joint)?.axis).normalize();
        let (sin, cos) = float::sin_cos(wind.heading_rad);
        let blows = Vector3::new(cos, sin, 0.0);
        // The axis sees most of a force along the wind from where lever, wind and axis are square to each other.
        let lever = blows.cross(&axis);
        let length = float::sqrt(lever.norm_squared());
        if length < 1e-3 {
            return None;
        }
        // A force along the wind at **p** turns by **p**·lever: the side that helps is the other one.
        let across = lever / length * if self.pushed(joint, &blows, &axis) > 0.0 { -1.0 } else { 1.0 };
        let facing = blows.iamax();
        let mut size_m = [1.0; 3];
        size_m[facing] = 0.0;
        let displacement_m = self.layout.displacement_m(camera.link, camera.slides, self.marks_m);
        let inner: Vector3<f64> = (joint + 1..camera.link)
            .map(|inner| {
                let frame = &self.layout.joints[inner];
                frame.origin_m + self.layout.displacement_m(inner, frame.slides, self.marks_m)
            })
            .sum();
        let centre_m = across * SAIL_ARM_M - inner - displacement_m;
        let body = Body {
            // It is in no list of the package.
            of: Of::Yoke(usize::MAX),
            link: camera.link,
            slides: camera.slides,
            camera_side: true,
            mass_kg: 0.0,
            mass_u_kg: 0.0,
            cg_m: centre_m,
            cg_u_m: 0.0,
            inertia_kg_m2: Vector3::zeros(),
            centre_m,
            size_m,
            shape: Shape::Box,
            drag_coefficient: PLATE_DRAG,
        };
        (camera.link > joint).then_some((body, side_of(&across)))
    }

    /// Torque of a wind on everything inboard of a joint at the reference pose, per pascal, with its sign, m³.
    fn pushed(&self, joint: usize, blows: &Vector3<f64>, axis: &Vector3<f64>) -> f64 {
        let study = Study::new(self.package, self.layout, self.marks_m);
        let mut desk = Desk::new(&study);
        desk.pose.set(&[0.0; crate::dynamics::MAX_JOINTS]);
        study.wind_along_m3(&desk.pose, joint, blows, axis)
    }

    /// The axis with the lens kept along the wind, over all poses.
    fn heading(&self) -> Option<WindRemedy> {
        let study = Study::new(self.package, self.layout, self.marks_m);
        let joint = study.joints.iter().position(|about| about.id == self.joint)?;
        let each = self.package.moves.first()?;
        let (motion, operator) = (PlatformMotion::of(each), Operator::new(&study, each));
        let load = Load::new(&study, each, &motion, &operator, each.airspeed_m_s, joint);
        let drive = &study.joints[joint].drive;
        let limits = [peak_limit_nm(drive, operator.longest_s), continuous_limit_nm(drive, each.air_k)];
        let rate_share = rate_share(&study, &load);
        let mut desk = Desk::new(&study);
        let reach = Reach::of(&study, each);
        let up_in_base = reach.up_in_base;
        let table = Table::new(&study, reach, &mut desk);
        let camera = self.layout.camera.link.checked_sub(1)?;
        let mut least = f64::INFINITY;
        for (_, q_rad, ats) in table.poses() {
            desk.pose.set(q_rad);
            let up = study.up(q_rad, &up_in_base);
            let forward = level(&(desk.pose.rotations[camera] * Vector3::x()), &up);
            let aside = up.cross(&forward);
            let axis = desk.pose.axes[joint];
            let along = [-ALONG_RAD, 0.0, ALONG_RAD].map(|off_rad| {
                let (sin, cos) = float::sin_cos(off_rad);
                study.wind_along_m3(&desk.pose, joint, &(forward * cos + aside * sin), &axis).abs()
            });
            let mut at = ats[joint];
            at.wind_m3 = along.into_iter().fold(0.0, f64::max);
            let demand = load.demand(&at, table.deflection_rad(joint, q_rad));
            let peak = headroom(demand.peak_nm, limits[0]);
            least = least.min(peak).min(headroom(demand.continuous_nm, limits[1]));
            if voltage_binds(rate_share) {
                least = least.min(headroom(voltage_use(&load, &at, &demand, limits[0], rate_share, 0.0), 1.0));
            }
        }
        (least.is_finite() && least >= self.reserve()).then_some(WindRemedy::Heading { headroom: least })
    }
}

fn side_of(across: &Vector3<f64>) -> Side {
    let sides = [[Side::Ahead, Side::Behind], [Side::Left, Side::Right], [Side::Above, Side::Below]];
    let largest = across.iamax();
    sides[largest][usize::from(across[largest] < 0.0)]
}
