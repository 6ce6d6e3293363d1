//! The demand of a move the slow way: every pose of a 1° grid by recursive Newton–Euler, every direction of lean and
//! wind and every unbalance tried one by one, part by part.

use std::f64::consts::PI;

use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use solver::constants::GRAVITY_M_S2;
use solver::dynamics::{BaseMotion, Mechanism};
use solver::layout::{Body, Layout};
use solver::linkage::Linkage;
use solver::package::{Move, Shape};
use solver::platform::{PlatformMotion, up_in_base};
use solver::{Package, air, balance, float};

/// Largest peak and continuous demand of every joint, platform first, N·m.
pub(crate) struct Worst {
    pub(crate) peak_nm: Vec<f64>,
    pub(crate) continuous_nm: Vec<f64>,
}

pub(crate) struct Brute<'a> {
    package: &'a Package,
    each: &'a Move,
    layout: Layout,
    linkage: Linkage,
    mechanism: Mechanism,
    marks_m: &'a [f64],
    motion: PlatformMotion,
    up: Vector3<f64>,
    /// What the chain feels with the vertical leant in any of many directions: by up to the largest lean, by up to the
    /// lasting one.
    felt: [Vec<Vector3<f64>>; 2],
}

const RADIAN: f64 = PI / 180.0;

impl<'a> Brute<'a> {
    pub(crate) fn new(package: &'a Package, marks_m: &'a [f64]) -> Self {
        let layout = Layout::new(package);
        let linkage = Linkage::new(&layout, marks_m);
        let each = &package.moves[0];
        let (motion, up) = (PlatformMotion::of(each), up_in_base(each.mounting));
        let felt = [motion.largest_lean_rad(), motion.lean_rad].map(|lean_rad| {
            let leant = |share: u8| {
                let (sin, cos) = float::sin_cos(lean_rad * f64::from(share) / 6.0);
                level_directions(&up, 120).map(move |level| (up * cos + level * sin) * GRAVITY_M_S2)
            };
            (0..=6).flat_map(leant).collect()
        });
        Self { package, each, mechanism: Mechanism::new(&linkage), layout, linkage, marks_m, motion, up, felt }
    }

    pub(crate) fn worst(&self, step_deg: f64) -> Worst {
        let joints = self.mechanism.joints();
        let mut worst = Worst { peak_nm: vec![0.0; joints], continuous_nm: vec![0.0; joints] };
        let ranges: Vec<[f64; 2]> = self
            .package
            .head
            .joints()
            .map(|joint| {
                self.each.ranges.iter().find(|range| range.joint == joint.id).map_or([0.0; 2], |range| range.range_rad)
            })
            .collect();
        for first in angles_rad(ranges[1], step_deg * RADIAN) {
            for second in angles_rad(ranges[2], step_deg * RADIAN) {
                let q = [0.0, first, second];
                for (joint, wind_m3) in self.wind_m3(&q).into_iter().enumerate() {
                    let (peak_nm, continuous_nm) = self.demand(&q, joint, wind_m3);
                    worst.peak_nm[joint] = worst.peak_nm[joint].max(peak_nm);
                    worst.continuous_nm[joint] = worst.continuous_nm[joint].max(continuous_nm);
                }
            }
        }
        worst
    }

    /// Peak and continuous demand of one joint in one pose.
    fn demand(&self, q: &[f64; 3], joint: usize, wind_m3: f64) -> (f64, f64) {
        let drive = &self.package.head.joints().nth(joint).expect("a joint").drive;
        let axis = self.axis(q, joint);
        let push = self.map(q, joint, |base, unit| base.felt_m_s2 = unit);
        let held_kg_m = self.held_kg_m(joint);
        let shift_kg_m = self.shift_kg_m(q, joint);
        let motion = &self.motion;

        // The worst unbalance across the axis lies along what of the felt acceleration lies across it.
        let static_nm = |felt: &[Vector3<f64>]| {
            let own = felt.iter().map(|felt| push.dot(felt).abs()).fold(0.0, f64::max);
            let open = felt.iter().map(|felt| (felt - axis * axis.dot(felt)).norm()).fold(0.0, f64::max);
            (own, open)
        };
        let steady = motion.steady_m_s2;
        let level = |vector: &Vector3<f64>| (vector - self.up * vector.dot(&self.up)).norm();
        let unbalance_nm = |felt: &[Vector3<f64>]| {
            let (own, open) = static_nm(felt);
            f64::max(own + level(&push) * steady, held_kg_m * (open + steady)) + shift_kg_m * (open + steady)
        };
        let mean_square = |unbalance: &Vector3<f64>| {
            let along = unbalance.dot(&self.up) * motion.rms_up_m_s2;
            let across = level(unbalance) * motion.rms_level_m_s2;
            along * along + across * across
        };
        let open_square = unbalances(&axis).map(|unbalance| mean_square(&unbalance)).fold(0.0, f64::max);
        let turn_kg_m2 = level(&self.held_turn(q, joint));
        let turn_nm = turn_kg_m2 * motion.rms_turn_rad_s2;
        let shaking = f64::max(mean_square(&push), held_kg_m * held_kg_m * open_square)
            + shift_kg_m * shift_kg_m * open_square
            + turn_nm * turn_nm;
        let bound = |unbalance: &Vector3<f64>| {
            unbalance.dot(&self.up).abs() * motion.peak_up_m_s2 + level(unbalance) * motion.peak_level_m_s2
        };
        let open_bound = unbalances(&axis).map(|unbalance| bound(&unbalance)).fold(0.0, f64::max);
        let stated = f64::max(bound(&push), held_kg_m * open_bound)
            + shift_kg_m * open_bound
            + turn_kg_m2 * motion.peak_turn_rad_s2;
        let platform_nm = f64::max(motion.peak_factor * shaking.sqrt(), stated);
        let leaning = GRAVITY_M_S2 * motion.rms_lean_rad * f64::max(level(&push), held_kg_m);

        let (operator_nm, operator_rms_nm) = self.operator(q, joint);
        let density = air::density_kg_m3(self.each.altitude_m, self.each.air_k);
        let wind_nm = wind_m3 * air::dynamic_pressure_pa(density, self.each.airspeed_m_s);
        let gust = self.each.gust_factor * self.each.gust_factor;
        let cable_nm = drive.cable_spring_nm_rad * q[joint].abs() + drive.cable_hysteresis_nm;
        let friction_nm = drive.friction_nm;

        let peak = unbalance_nm(&self.felt[0]) + platform_nm + operator_nm + gust * wind_nm + friction_nm + cable_nm;
        let mean = unbalance_nm(&self.felt[1]) + wind_nm + cable_nm;
        let passing = shaking + leaning * leaning + operator_rms_nm * operator_rms_nm + friction_nm * friction_nm;
        (peak, (mean * mean + passing).sqrt())
    }

    fn held_kg_m(&self, joint: usize) -> f64 {
        let about = self.package.head.joints().nth(joint).expect("a joint");
        let axis = Vector3::from(about.axis);
        let lean_rad = balance::tested_lean_rad(&axis, self.package.reserve.tip_rad);
        about.drive.friction_nm / (GRAVITY_M_S2 * float::sin(lean_rad))
    }

    fn shift_kg_m(&self, q: &[f64; 3], joint: usize) -> f64 {
        let lens = self.package.lens().expect("a lens");
        let along = self.rotation(q, 2) * Vector3::x();
        0.5 * lens.cg_shift_m * lens.mass.kg * self.axis(q, joint).cross(&along).norm()
    }

    /// Rotation of link `link` (0 is what the outermost joint turns) at q[0] = 0.
    fn rotation(&self, q: &[f64; 3], link: usize) -> Matrix3<f64> {
        (0..=link)
            .map(|joint| {
                Rotation3::from_axis_angle(&Unit::new_normalize(self.linkage.links[joint].axis), q[joint]).into_inner()
            })
            .product()
    }

    fn axis(&self, q: &[f64; 3], joint: usize) -> Vector3<f64> {
        let outside = if joint == 0 { Matrix3::identity() } else { self.rotation(q, joint - 1) };
        outside * self.linkage.links[joint].axis
    }

    fn map(&self, q: &[f64; 3], joint: usize, set: impl Fn(&mut BaseMotion, Vector3<f64>)) -> Vector3<f64> {
        let mut map = Vector3::zeros();
        for axis in 0..3 {
            let mut unit = Vector3::zeros();
            unit[axis] = 1.0;
            let mut base = weightless();
            set(&mut base, unit);
            map[axis] = self.mechanism.torques_nm(q, &[0.0; 3], &[0.0; 3], &base)[joint];
        }
        map
    }

    /// Torque per angular acceleration of the base while the joints hold the camera still in space.
    fn held_turn(&self, q: &[f64; 3], joint: usize) -> Vector3<f64> {
        let axes = Matrix3::from_columns(&[self.axis(q, 0), self.axis(q, 1), self.axis(q, 2)]);
        let inverse = axes.try_inverse().expect("not in gimbal lock");
        let mut map = Vector3::zeros();
        for axis in 0..3 {
            let mut unit = Vector3::zeros();
            unit[axis] = 1.0;
            let joints = -(inverse * unit);
            let base = BaseMotion { alpha_rad_s2: unit, ..weightless() };
            let torque = self.mechanism.torques_nm(q, &[0.0; 3], joints.as_slice(), &base)[joint];
            map[axis] = torque + joints[joint] * self.reflected(joint);
        }
        map
    }

    fn reflected(&self, joint: usize) -> f64 {
        self.package.head.joints().nth(joint).expect("a joint").drive.reflected_inertia_kg_m2
    }

    /// Largest torque of the operator's moves at any instant and in any senses, and its root mean square.
    fn operator(&self, q: &[f64; 3], joint: usize) -> (f64, f64) {
        let mut worst = (0.0, 0.0);
        if self.each.operator.is_empty() {
            return worst;
        }
        let longest = self.each.operator.iter().map(|axis| axis.time_s).fold(0.0, f64::max);
        let often = (self.each.repeats_per_min / 60.0).max(1.0 / self.each.take_s);
        let duty = (2.0 * longest * often).min(1.0);
        for senses in 0..8 {
            let (mut rates, mut accelerations) = ([0.0; 3], [0.0; 3]);
            for (place, about) in self.package.head.joints().enumerate() {
                if let Some(axis) = self.each.operator.iter().find(|axis| axis.joint == about.id) {
                    let sense = if senses >> place & 1 == 0 { 1.0 } else { -1.0 };
                    rates[place] = sense * axis.rate_rad_s;
                    accelerations[place] = sense * 0.5 * PI * axis.rate_rad_s / axis.time_s;
                }
            }
            let still = weightless();
            let steepest = self.mechanism.torques_nm(q, &[0.0; 3], &accelerations, &still)[joint]
                + self.reflected(joint) * accelerations[joint];
            let swinging = self.mechanism.torques_nm(q, &rates, &[0.0; 3], &still)[joint];
            for step in 0..=100 {
                let (sin, cos) = float::sin_cos(PI * f64::from(step) / 100.0);
                let share = 0.5 * (1.0 - cos);
                let torque = (steepest * sin + swinging * share * share).abs();
                if torque > worst.0 {
                    let square = 0.5 * steepest * steepest + 35.0 / 128.0 * swinging * swinging;
                    worst = (torque, (duty * square).sqrt());
                }
            }
        }
        worst
    }

    /// Largest torque of the wind about every joint per pascal over 180 headings of half a turn (the wind from behind
    /// twists as much as the one from ahead), part by part.
    fn wind_m3(&self, q: &[f64; 3]) -> [f64; 3] {
        let rotations = [0, 1, 2].map(|link| self.rotation(q, link));
        let axes = [0, 1, 2].map(|joint| self.axis(q, joint));
        let mut origins_m = [Vector3::zeros(); 3];
        for link in 1..3 {
            origins_m[link] = origins_m[link - 1] + rotations[link - 1] * self.linkage.links[link].origin_m;
        }
        let parts: Vec<(usize, Vector3<f64>, &Body)> = self
            .layout
            .bodies
            .iter()
            .filter(|body| body.link > 0 && body.drag_coefficient > 0.0)
            .map(|body| {
                let link = body.link - 1;
                let centre = body.centre_m + self.layout.displacement_m(body.link, body.slides, self.marks_m);
                (link, origins_m[link] + rotations[link] * centre, body)
            })
            .collect();
        let mut largest = [0.0_f64; 3];
        for wind in level_directions(&self.up, 360).take(180) {
            let seen = rotations.map(|rotation| rotation.tr_mul(&wind));
            let mut torques = [0.0; 3];
            for (link, centre_m, body) in &parts {
                let force = wind * (area_m2(body, &seen[*link]) * body.drag_coefficient);
                for joint in 0..=*link {
                    torques[joint] += axes[joint].dot(&(centre_m - origins_m[joint]).cross(&force));
                }
            }
            for (largest, torque) in largest.iter_mut().zip(torques) {
                *largest = largest.max(torque.abs());
            }
        }
        largest
    }
}

/// Every step over a range, and its end.
fn angles_rad([low, high]: [f64; 2], step_rad: f64) -> Vec<f64> {
    let mut angles: Vec<f64> =
        (0..100_000).map(|step| low + step_rad * f64::from(step)).take_while(|angle| *angle < high).collect();
    angles.push(high);
    angles
}

fn area_m2(body: &Body, wind: &Vector3<f64>) -> f64 {
    let [a, b, c] = body.size_m;
    let across = (wind.y * wind.y + wind.z * wind.z).sqrt();
    match body.shape {
        Shape::Box => wind.x.abs() * b * c + wind.y.abs() * a * c + wind.z.abs() * a * b,
        Shape::Cylinder => wind.x.abs() * PI * b * b / 4.0 + across * a * b,
        Shape::RodPair => 2.0 * (wind.x.abs() * PI * c * c / 4.0 + across * a * c),
    }
}

fn weightless() -> BaseMotion {
    BaseMotion { omega_rad_s: Vector3::zeros(), alpha_rad_s2: Vector3::zeros(), felt_m_s2: Vector3::zeros() }
}

/// Unit unbalances all round an axis.
fn unbalances(axis: &Vector3<f64>) -> impl Iterator<Item = Vector3<f64>> + use<> {
    level_directions(axis, 48)
}

/// Unit vectors across `up`, evenly all round.
fn level_directions(up: &Vector3<f64>, count: usize) -> impl Iterator<Item = Vector3<f64>> + use<> {
    let first = up.cross(&if up.x.abs() < 0.9 { Vector3::x() } else { Vector3::y() }).normalize();
    let second = up.cross(&first);
    (0..count).map(move |step| {
        let (sin, cos) = float::sin_cos(2.0 * PI * step as f64 / count as f64);
        first * cos + second * sin
    })
}
