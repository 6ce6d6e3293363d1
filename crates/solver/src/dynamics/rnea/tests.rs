use super::*;
use crate::linkage::{Link, Linkage};
use crate::mass::MassProperties;

fn link(axis: Vector3<f64>, origin_m: Vector3<f64>, mass_kg: f64, cg_m: Vector3<f64>, diagonal: [f64; 3]) -> Link {
    let inertia = Matrix3::from_diagonal(&Vector3::from(diagonal));
    Link { axis, origin_m, body: MassProperties::new(mass_kg, cg_m, inertia) }
}

fn linkage(links: Vec<Link>) -> Linkage {
    Linkage { base: MassProperties::zero(), links }
}

/// Axes askew on purpose, every link with its centre of gravity off the axis.
fn askew() -> Linkage {
    let axis = |x: f64, y: f64, z: f64| Vector3::new(x, y, z).normalize();
    linkage(vec![
        link(
            axis(0.1, -0.2, 1.0),
            Vector3::new(0.03, 0.01, 0.2),
            5.0,
            Vector3::new(-0.06, 0.01, -0.1),
            [0.2, 0.25, 0.3],
        ),
        link(
            axis(1.0, 0.15, -0.1),
            Vector3::new(-0.1, 0.02, -0.3),
            3.0,
            Vector3::new(-0.03, 0.02, 0.04),
            [0.1, 0.12, 0.15],
        ),
        link(
            axis(-0.1, 1.0, 0.2),
            Vector3::new(0.05, -0.02, 0.01),
            9.0,
            Vector3::new(0.02, -0.01, 0.03),
            [0.1, 0.3, 0.35],
        ),
    ])
}

/// Two-link arm in a vertical plane. The angles of the published arm are between its links, counted from the
/// horizontal; about +y a positive angle dips, so the arm is laid out along x and turned about −y.
///
/// # Source
/// Closed form: Spong, *Robot Dynamics and Control*, and Craig, *Introduction to Robotics*, chapter 6 (formulas
/// from memory); the numbers were computed by two rigid-body programs and the closed form, to 8 decimals.
#[test]
fn two_link_arm_of_the_textbooks() {
    let axis = Vector3::new(0.0, -1.0, 0.0);
    let arm = linkage(vec![
        link(axis, Vector3::zeros(), 1.2, Vector3::new(0.25, 0.0, 0.0), [0.0, 0.025, 0.0]),
        link(axis, Vector3::new(0.5, 0.0, 0.0), 0.8, Vector3::new(0.2, 0.0, 0.0), [0.0, 0.011, 0.0]),
    ]);
    let torques = Mechanism::new(&arm).torques_nm(&[0.3, 0.7], &[1.1, -0.6], &[2.0, 1.5], &BaseMotion::at_rest());
    assert!((torques[0] - 8.542_330_78).abs() < 1e-8, "{torques:?}");
    assert!((torques[1] - 1.183_003_92).abs() < 1e-8, "{torques:?}");
    assert!(torques[2..].iter().all(|torque| *torque == 0.0));
}

/// A rod about its end, level: m·g·L/2 holds it, and it starts to fall at 3g/2L.
#[test]
fn rod_about_its_end() {
    let (mass_kg, length_m) = (2.0, 0.9);
    let across = mass_kg * length_m * length_m / 12.0;
    let rod = linkage(vec![link(
        Vector3::y(),
        Vector3::zeros(),
        mass_kg,
        Vector3::new(0.5 * length_m, 0.0, 0.0),
        [0.0, across, across],
    )]);
    let mechanism = Mechanism::new(&rod);
    // About +y the tip dips: gravity pulls it positively, the drive holds it negatively.
    let held = mechanism.torques_nm(&[0.0], &[0.0], &[0.0], &BaseMotion::at_rest())[0];
    assert!((held + 0.5 * mass_kg * GRAVITY_M_S2 * length_m).abs() < 1e-12);
    let falling = mechanism.torques_nm(&[0.0], &[0.0], &[1.5 * GRAVITY_M_S2 / length_m], &BaseMotion::at_rest())[0];
    assert!(falling.abs() < 1e-12);
}

/// What the drives put in is what the chain gains: power equals the rate of kinetic and potential energy along
/// q(t) = a sin(ωt), base at rest.
#[test]
fn power_of_the_drives_is_the_rate_of_energy() {
    let linkage = askew();
    let mechanism = Mechanism::new(&linkage);
    let energy = |t: f64| {
        let (q, qd, _) = swinging(t);
        energy_j(&linkage, &q, &qd)
    };
    for step in 0..20 {
        let t = 0.37 * f64::from(step);
        let (q, qd, qdd) = swinging(t);
        let torques = mechanism.torques_nm(&q, &qd, &qdd, &BaseMotion::at_rest());
        let power: f64 = torques.iter().zip(&qd).map(|(torque, rate)| torque * rate).sum();
        let h = 1e-3;
        // Fourth-order difference of the energy.
        let rate = (8.0 * (energy(t + h) - energy(t - h)) - (energy(t + 2.0 * h) - energy(t - 2.0 * h))) / (12.0 * h);
        assert!((power - rate).abs() < 1e-8 * (1.0 + power.abs()), "{power} {rate}");
    }
}

/// Angles, rates and accelerations of q(t) = a·sin(ωt + phase).
fn swinging(t: f64) -> ([f64; 3], [f64; 3], [f64; 3]) {
    let mut q = [0.0; 3];
    let mut qd = [0.0; 3];
    let mut qdd = [0.0; 3];
    for joint in 0..3 {
        let (amplitude, rate) = ([0.8, -0.5, 0.9][joint], [1.3, 2.1, 0.7][joint]);
        let (sin, cos) = float::sin_cos(rate * t + joint as f64);
        q[joint] = amplitude * sin;
        qd[joint] = amplitude * rate * cos;
        qdd[joint] = -amplitude * rate * rate * sin;
    }
    (q, qd, qdd)
}

/// Kinetic and potential energy from positions alone, an independent route: velocities of every link by the chain
/// rule in the world.
fn energy_j(linkage: &Linkage, q: &[f64], qd: &[f64]) -> f64 {
    let mut rotation = Matrix3::identity();
    let (mut origin, mut velocity, mut omega) = (Vector3::zeros(), Vector3::zeros(), Vector3::zeros());
    let mut sum = 0.0;
    for (joint, link) in linkage.links.iter().enumerate() {
        let arm = rotation * link.origin_m;
        velocity += omega.cross(&arm);
        origin += arm;
        omega += rotation * link.axis * qd[joint];
        rotation *= nalgebra::Rotation3::new(link.axis * q[joint]).into_inner();
        let body = link.body.turned(&rotation);
        sum += 0.5 * body.mass_kg * velocity.norm_squared()
            + velocity.dot(&omega.cross(&body.moment_kg_m))
            + 0.5 * omega.dot(&(body.inertia_kg_m2 * omega))
            + GRAVITY_M_S2 * (body.mass_kg * origin.z + body.moment_kg_m.z);
    }
    sum
}

/// Gravity does not twist an upright axis: what its drive puts in is the rate of the angular momentum about it.
#[test]
fn the_upright_drive_feeds_the_angular_momentum() {
    let mut linkage = askew();
    linkage.links[0].axis = Vector3::z();
    linkage.links[0].origin_m = Vector3::zeros();
    let mechanism = Mechanism::new(&linkage);
    for step in 0..20 {
        let t = 0.41 * f64::from(step);
        let (q, qd, qdd) = swinging(t);
        let torque = mechanism.torques_nm(&q, &qd, &qdd, &BaseMotion::at_rest())[0];
        let momentum = |t: f64| {
            let (q, qd, _) = swinging(t);
            momentum_kg_m2_s(&linkage, &q, &qd).z
        };
        let h = 1e-3;
        let rate =
            (8.0 * (momentum(t + h) - momentum(t - h)) - (momentum(t + 2.0 * h) - momentum(t - 2.0 * h))) / (12.0 * h);
        assert!((torque - rate).abs() < 1e-8 * (1.0 + torque.abs()), "{torque} {rate}");
    }
}

/// Angular momentum about the base origin, from velocities by the chain rule in the world.
fn momentum_kg_m2_s(linkage: &Linkage, q: &[f64], qd: &[f64]) -> Vector3<f64> {
    let mut rotation = Matrix3::identity();
    let (mut origin, mut velocity, mut omega) = (Vector3::zeros(), Vector3::zeros(), Vector3::zeros());
    let mut sum = Vector3::zeros();
    for (joint, link) in linkage.links.iter().enumerate() {
        let arm = rotation * link.origin_m;
        velocity += omega.cross(&arm);
        origin += arm;
        omega += rotation * link.axis * qd[joint];
        rotation *= nalgebra::Rotation3::new(link.axis * q[joint]).into_inner();
        let body = link.body.turned(&rotation);
        // Σ m (o + r) × (v + ω × r).
        let momentum = velocity * body.mass_kg + omega.cross(&body.moment_kg_m);
        sum += origin.cross(&momentum) + body.moment_kg_m.cross(&velocity) + body.inertia_kg_m2 * omega;
    }
    sum
}

/// The same motion seen from a world turned about the vertical asks for the same torques; so does a base that is
/// carried along at any speed.
#[test]
fn the_world_may_be_turned() {
    let mechanism = Mechanism::new(&askew());
    let base = nalgebra::Rotation3::from_euler_angles(0.2, -0.3, 0.4).into_inner();
    let (omega, alpha, acceleration) =
        (Vector3::new(0.3, -0.2, 0.5), Vector3::new(1.0, 2.0, -1.0), Vector3::new(0.5, 3.0, -2.0));
    let state = ([0.4, -0.6, 0.9], [1.0, -0.5, 2.0], [3.0, 1.0, -2.0]);
    let here =
        mechanism.torques_nm(&state.0, &state.1, &state.2, &BaseMotion::in_world(&base, &omega, &alpha, &acceleration));
    let turn = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), 1.234).into_inner();
    let there = mechanism.torques_nm(
        &state.0,
        &state.1,
        &state.2,
        &BaseMotion::in_world(&(turn * base), &(turn * omega), &(turn * alpha), &(turn * acceleration)),
    );
    for joint in 0..3 {
        assert!((here[joint] - there[joint]).abs() < 1e-12 * (1.0 + here[joint].abs()));
    }
}

/// Free fall: a base that falls with g feels nothing, and a chain at rest in it needs no torque.
#[test]
fn nothing_is_felt_in_free_fall() {
    let falling = BaseMotion::in_world(
        &Matrix3::identity(),
        &Vector3::zeros(),
        &Vector3::zeros(),
        &Vector3::new(0.0, 0.0, -GRAVITY_M_S2),
    );
    let torques = Mechanism::new(&askew()).torques_nm(&[0.4, -0.6, 0.9], &[0.0; 3], &[0.0; 3], &falling);
    assert!(torques.iter().all(|torque| torque.abs() < 1e-14));
}

/// A base that turns about the outermost axis is the same as that joint turning faster.
#[test]
fn a_turning_base_is_a_turning_joint() {
    let mut chain = askew();
    chain.links[0].axis = Vector3::z();
    chain.links[0].origin_m = Vector3::zeros();
    let mechanism = Mechanism::new(&chain);
    let q = [0.7, -0.4, 0.3];
    let joint = mechanism.torques_nm(&q, &[1.9, -0.5, 0.8], &[4.0, 1.0, -2.0], &BaseMotion::at_rest());
    let base =
        BaseMotion { omega_rad_s: Vector3::z() * 1.2, alpha_rad_s2: Vector3::z() * 3.0, ..BaseMotion::at_rest() };
    let turned = mechanism.torques_nm(&q, &[0.7, -0.5, 0.8], &[1.0, 1.0, -2.0], &base);
    for index in 0..3 {
        assert!((joint[index] - turned[index]).abs() < 1e-12 * (1.0 + joint[index].abs()));
    }
}

/// A rod along the axis of a joint may be bolted to either side of it: every drive has the same torque. On the other side
/// of a joint that it is not on, it makes a difference.
#[test]
fn what_lies_on_an_axis_may_hang_on_either_side_of_the_joint() {
    let (q, qd, qdd) = ([0.4, -0.6, 0.9], [1.0, -0.5, 2.0], [3.0, 1.0, -2.0]);
    let base = BaseMotion {
        omega_rad_s: Vector3::new(0.3, -0.2, 0.5),
        alpha_rad_s2: Vector3::new(1.0, 2.0, -1.0),
        felt_m_s2: Vector3::new(0.5, 3.0, 8.0),
    };
    let torques = |linkage: &Linkage| Mechanism::new(linkage).torques_nm(&q, &qd, &qdd, &base);
    // Thin: its second moment is all along the axis.
    let rod = |axis: &Vector3<f64>, middle_m: Vector3<f64>| {
        let across = Matrix3::identity() - axis * axis.transpose();
        MassProperties::new(4.0, middle_m, across * (4.0 * 0.6 * 0.6 / 12.0))
    };
    for inner in 1..3 {
        let plain = askew();
        let joint = plain.links[inner].clone();
        let (mut inside, mut outside, mut astray) = (plain.clone(), plain.clone(), plain);
        let middle_m = joint.axis * 0.17;
        inside.links[inner].body += rod(&joint.axis, middle_m);
        outside.links[inner - 1].body += rod(&joint.axis, joint.origin_m + middle_m);
        astray.links[inner - 1].body += rod(&joint.axis, joint.origin_m + middle_m + Vector3::new(0.01, 0.02, -0.01));
        let (inside, outside, astray) = (torques(&inside), torques(&outside), torques(&astray));
        let apart = |other: [f64; MAX_JOINTS]| (0..3).map(|of| (inside[of] - other[of]).abs()).fold(0.0, f64::max);
        assert!(apart(outside) < 1e-13 * inside[0].abs().max(1.0), "{inside:?} {outside:?}");
        assert!(apart(astray) > 1e-2, "{inside:?} {astray:?}");
    }
}
