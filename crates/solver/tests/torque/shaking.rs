//! A platform's random motion in time, seeded, through inverse dynamics: its root mean square torque against the one
//! that the report adds up.

use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use solver::dynamics::{BaseMotion, Mechanism};
use solver::float;
use solver::layout::Layout;
use solver::linkage::Linkage;
use solver::package::{Element, Motion, RoadClass};
use solver::platform::PlatformMotion;
use solver::torque::torque_report;

use super::builds::{Random, medium, range};

/// A Gaussian motion as a sum of many sinusoids of random phase and frequency.
struct Noise(Vec<[f64; 3]>);

const WAVES: usize = 60;

impl Noise {
    fn new(random: &mut Random, rms: f64, band_hz: f64) -> Self {
        let amplitude = rms * (2.0 / WAVES as f64).sqrt();
        Self(
            (0..WAVES)
                .map(|_| {
                    let hz = band_hz * random.between(0.6, 1.4);
                    [amplitude, 2.0 * std::f64::consts::PI * hz, random.between(0.0, 2.0 * std::f64::consts::PI)]
                })
                .collect(),
        )
    }

    fn at(&self, t: f64) -> f64 {
        self.0.iter().map(|[amplitude, omega, phase]| amplitude * float::cos(omega * t + phase)).sum()
    }

    /// The motion of which [`Self::at`] is the second derivative, and its first derivative.
    fn integrals(&self, t: f64) -> (f64, f64) {
        self.0.iter().fold((0.0, 0.0), |(twice, once), [amplitude, omega, phase]| {
            let (sin, cos) = float::sin_cos(omega * t + phase);
            (twice - amplitude * cos / (omega * omega), once + amplitude * sin / omega)
        })
    }
}

/// One pose, so that the worst pose is this one; friction none, so that the chain's own unbalance counts.
fn off_balance() -> (solver::Package, Vec<f64>) {
    let mut package = medium();
    package.moves[0].ranges = vec![range("tilt", -0.3, -0.3), range("roll", 0.1, 0.1)];
    package.lenses[0].cg_shift_m = 0.0;
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.drive.friction_nm = 0.0;
        }
    }
    let marks_m = vec![0.05, 0.02, -0.01, 0.08];
    (package, marks_m)
}

/// Pushed along all three axes at once: independent, equal in every direction.
#[test]
fn a_shaken_base() {
    let (mut package, marks_m) = off_balance();
    package.moves[0].motion = Motion::Own {
        lean_rad: 0.0,
        rms_m_s2: 1.7,
        peak_m_s2: 0.0,
        slam_m_s2: 0.0,
        band_hz: 1.5,
        turn_rms_rad_s: 0.0,
        turn_peak_rad_s: 0.0,
    };
    let layout = Layout::new(&package);
    let report = torque_report(&package, &layout, &marks_m);
    let mechanism = Mechanism::new(&Linkage::new(&layout, &marks_m));

    let mut random = Random(2026);
    let pushes = [0, 1, 2].map(|_| Noise::new(&mut random, 1.7, 1.5));
    let q = [0.0, 0.1, -0.3];
    let still = mechanism.torques_nm(&q, &[0.0; 3], &[0.0; 3], &BaseMotion::at_rest());
    let (mut squares, mut largest) = ([0.0; 3], [0.0_f64; 3]);
    for step in 0..SAMPLES {
        let t = STEP_S * f64::from(step);
        let acceleration = Vector3::from([0, 1, 2].map(|axis: usize| pushes[axis].at(t)));
        let base = BaseMotion::in_world(&Matrix3::identity(), &Vector3::zeros(), &Vector3::zeros(), &acceleration);
        let torques = mechanism.torques_nm(&q, &[0.0; 3], &[0.0; 3], &base);
        for joint in 0..3 {
            let passing = torques[joint] - still[joint];
            squares[joint] += passing * passing;
            largest[joint] = largest[joint].max(passing.abs());
        }
    }
    let motion = PlatformMotion::of(&package.moves[0]);
    for (place, axis) in report.moves[0].axes.iter().enumerate() {
        let joint = 2 - place;
        let simulated = (squares[joint] / f64::from(SAMPLES)).sqrt();
        assert!(
            (simulated / axis.continuous.platform_nm - 1.0).abs() < STATISTICAL,
            "{}: {simulated} {}",
            axis.joint,
            axis.continuous.platform_nm
        );
        // The largest of many takes lies above that of one take, and not by much.
        let peak = axis.peak.platform_nm;
        assert!(
            largest[joint] > 0.8 * peak && largest[joint] < 1.6 * peak,
            "{}: {} {peak}",
            axis.joint,
            largest[joint]
        );
    }
    assert!(motion.peak_factor > 2.9);
}

/// A pitching and heaving car, the camera held in space by the joints: exact kinematics in time against the linear sum.
#[test]
fn a_pitching_base_under_a_held_camera() {
    let (mut package, marks_m) = off_balance();
    package.moves[0].motion = Motion::Road {
        class: RoadClass::D,
        speed_m_s: 20.0,
        wheelbase_m: 2.6,
        lateral_share: 0.0,
        fore_aft_share: 0.0,
        lean_rad: 0.0,
        steady_m_s2: 0.0,
    };
    pitched_and_heaved(&package, &marks_m);
}

/// The same by a person's own figures: acceleration, rate of turn, and the frequency that makes one the other.
#[test]
fn a_base_that_turns_by_ones_own_figures() {
    let (mut package, marks_m) = off_balance();
    let (turn_rms_rad_s, band_hz) = (0.12, 0.9);
    package.moves[0].motion = Motion::Own {
        lean_rad: 0.0,
        rms_m_s2: 0.0,
        peak_m_s2: 0.0,
        slam_m_s2: 0.0,
        band_hz,
        turn_rms_rad_s,
        turn_peak_rad_s: 0.0,
    };
    pitched_and_heaved(&package, &marks_m);

    // A motion of that angular acceleration in that band turns at the rate that was entered, within what a band as wide
    // as this one leaves open.
    let motion = PlatformMotion::of(&package.moves[0]);
    let noise = Noise::new(&mut Random(11), motion.rms_turn_rad_s2, band_hz);
    let squares: f64 =
        (0..SAMPLES).map(|step| noise.integrals(STEP_S * f64::from(step)).1).map(|rate| rate * rate).sum();
    let rate_rad_s = (squares / f64::from(SAMPLES)).sqrt();
    assert!((rate_rad_s / turn_rms_rad_s - 1.0).abs() < 0.15, "{rate_rad_s}");

    // A largest rate that somebody has stated takes over where it asks for more.
    let mut stated = package.clone();
    if let Motion::Own { turn_peak_rad_s, .. } = &mut stated.moves[0].motion {
        *turn_peak_rad_s = 10.0 * turn_rms_rad_s;
    }
    let platform_nm = |package: &solver::Package| {
        let report = torque_report(package, &Layout::new(package), &marks_m);
        report.moves[0].axes.iter().map(|axis| axis.peak.platform_nm).collect::<Vec<f64>>()
    };
    for (random, stated) in platform_nm(&package).into_iter().zip(platform_nm(&stated)) {
        assert!((stated / random - 10.0 / motion.peak_factor).abs() < 1e-3, "{random} {stated}");
    }
}

/// Simulates a base that heaves and pitches under a held camera, and compares every axis with the report.
fn pitched_and_heaved(package: &solver::Package, marks_m: &[f64]) {
    let layout = Layout::new(package);
    let report = torque_report(package, &layout, marks_m);
    let motion = PlatformMotion::of(&package.moves[0]);
    let mechanism = Mechanism::new(&Linkage::new(&layout, marks_m));
    let axes = [Vector3::z(), Vector3::x(), Vector3::y()];
    let reflected = 0.003;

    let mut random = Random(7);
    let heave = Noise::new(&mut random, motion.rms_up_m_s2, motion.crossing_hz);
    let pitch = Noise::new(&mut random, motion.rms_turn_rad_s2, motion.crossing_hz);
    // The report takes the worst level direction of the pitch for every joint: here each joint is asked about its own.
    let mut worst = [0.0_f64; 3];
    for direction in 0..12 {
        let (sin, cos) = float::sin_cos(std::f64::consts::PI * f64::from(direction) / 12.0);
        let about = Unit::new_normalize(Vector3::new(cos, sin, 0.0));
        let mut squares = [0.0; 3];
        for step in 0..SAMPLES / 4 {
            let t = STEP_S * f64::from(step);
            let (angle, rate) = pitch.integrals(t);
            let base_rotation = Rotation3::from_axis_angle(&about, angle).into_inner();
            let camera = pose_of(&axes, &[0.0, 0.1, -0.3]);
            let (q, qd, qdd) = held(&axes, &base_rotation, &camera, &about, rate, pitch.at(t));
            let base = BaseMotion::in_world(
                &base_rotation,
                &(about.into_inner() * rate),
                &(about.into_inner() * pitch.at(t)),
                &Vector3::new(0.0, 0.0, heave.at(t)),
            );
            let level = BaseMotion::in_world(&base_rotation, &Vector3::zeros(), &Vector3::zeros(), &Vector3::zeros());
            let moving = mechanism.torques_nm(&q, &qd, &qdd, &base);
            let still = mechanism.torques_nm(&q, &[0.0; 3], &[0.0; 3], &level);
            for joint in 0..3 {
                let passing = moving[joint] + reflected * qdd[joint] - still[joint];
                squares[joint] += passing * passing;
            }
        }
        for joint in 0..3 {
            worst[joint] = worst[joint].max((squares[joint] / f64::from(SAMPLES / 4)).sqrt());
        }
    }
    for (place, axis) in report.moves[0].axes.iter().enumerate() {
        let joint = 2 - place;
        assert!(
            (worst[joint] / axis.continuous.platform_nm - 1.0).abs() < 2.0 * STATISTICAL,
            "{}: {} {}",
            axis.joint,
            worst[joint],
            axis.continuous.platform_nm
        );
    }
}

/// Samples, and the time between two of them: many minutes of motion.
const SAMPLES: i32 = 80_000;
const STEP_S: f64 = 0.031;

/// Statistical error of a root mean square over this time: about 1/√(2·band·time) with a band of 1 Hz and 2,480 s is
/// 1.4 %; three times that.
const STATISTICAL: f64 = 0.042;

fn pose_of(axes: &[Vector3<f64>; 3], q: &[f64; 3]) -> Matrix3<f64> {
    (0..3).map(|joint| Rotation3::from_axis_angle(&Unit::new_unchecked(axes[joint]), q[joint]).into_inner()).product()
}

/// Joint angles, rates and accelerations that hold the camera's attitude, by Newton's method on the attitude and by
/// differentiating ω_base + Σ axis·rate = 0 once more.
fn held(
    axes: &[Vector3<f64>; 3],
    base: &Matrix3<f64>,
    camera: &Matrix3<f64>,
    about: &Unit<Vector3<f64>>,
    rate: f64,
    acceleration: f64,
) -> ([f64; 3], [f64; 3], [f64; 3]) {
    let wanted = base.transpose() * camera;
    let mut q = [0.0, 0.1, -0.3];
    let columns = |q: &[f64; 3]| {
        let first = axes[0];
        let turned = Rotation3::from_axis_angle(&Unit::new_unchecked(axes[0]), q[0]).into_inner();
        let second = turned * axes[1];
        let further = turned * Rotation3::from_axis_angle(&Unit::new_unchecked(axes[1]), q[1]).into_inner();
        Matrix3::from_columns(&[first, second, further * axes[2]])
    };
    for _ in 0..8 {
        let off = wanted * pose_of(axes, &q).transpose();
        let step = Vector3::new(off.m32 - off.m23, off.m13 - off.m31, off.m21 - off.m12) * 0.5;
        let change = columns(&q).try_inverse().expect("not in gimbal lock") * step;
        for joint in 0..3 {
            q[joint] += change[joint];
        }
    }
    let jacobian = columns(&q);
    let inverse = jacobian.try_inverse().expect("not in gimbal lock");
    let omega = base.tr_mul(&(about.into_inner() * rate));
    let alpha = base.tr_mul(&(about.into_inner() * acceleration));
    let qd = -(inverse * omega);
    // In the base's axes the camera's angular acceleration is α + Σ axis·q̈ + Σ (rate of what is outside) × axis·q̇.
    let mut outside = omega;
    let mut swung = Vector3::zeros();
    for joint in 0..3 {
        let turning = jacobian.column(joint) * qd[joint];
        swung += outside.cross(&turning);
        outside += turning;
    }
    let qdd = -(inverse * (alpha + swung));
    (q, qd.into(), qdd.into())
}
