//! Packages for the tests: a round one, and random ones from a seed.

use solver::Package;
use solver::package::{
    Anchor, AxisMove, AxisRange, Cg, CgSource, Day, Drag, Drive, DriveKind, Element, Head, Joint, Lens, Mass,
    MassSource, Motion, Mount, Mounting, Move, Part, PartKind, PartMass, Place, PlatformKind, Position, Reserve, Rings,
    RoadClass, Shape, Slide, Turns, Yoke,
};

/// SplitMix64: Steele, Lea and Flood, OOPSLA 2014 (from memory). The same numbers on every machine.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    /// Evenly spread from 0 to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below `count`.
    fn below(&mut self, count: usize) -> usize {
        let unit = self.unit();
        (0..count).rev().find(|index| unit * count as f64 >= *index as f64).unwrap_or(0)
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }
}

/// A package and marks at which to ask for its torque.
pub(crate) struct Build {
    pub(crate) package: Package,
    pub(crate) marks_m: Vec<f64>,
}

fn mass(kg: f64) -> Mass {
    Mass { kg, from: MassSource::DataSheet, u_kg: None }
}

fn cg(offset_m: [f64; 3]) -> Cg {
    Cg { offset_m, from: CgSource::Measured, u_m: None }
}

pub(crate) fn drive(friction_nm: f64, peak_nm: f64, continuous_nm: f64, motor_constant: f64) -> Drive {
    Drive {
        kind: DriveKind::Direct,
        ratio: 1.0,
        efficiency: 1.0,
        reflected_inertia_kg_m2: 0.003,
        friction_nm,
        peak_nm,
        peak_s: 2.0,
        continuous_nm,
        motor_constant,
        winding_to_air_k_w: 2.3,
        max_rate_rad_s: 3.5,
        cable_spring_nm_rad: 0.04,
        cable_hysteresis_nm: 0.05,
    }
}

fn joint(id: &str, axis: [f64; 3], position_m: [f64; 3], drive: Drive) -> Element {
    Element::Joint(Joint {
        id: id.into(),
        name: id.into(),
        axis,
        position_m,
        limits_rad: None,
        drive,
        turns: Turns { plus: "plus".into(), minus: "minus".into(), shown: "plus".into(), shown_reversed: false },
    })
}

fn yoke(kg: f64, cg_m: [f64; 3], inertia: f64) -> Element {
    Element::Yoke(Yoke {
        name: "yoke".into(),
        mass: mass(kg),
        cg: cg(cg_m),
        inertia_kg_m2: [inertia, 1.1 * inertia, inertia],
    })
}

fn part(id: u32, kg: f64, size_m: [f64; 3], shape: Shape, offset_m: [f64; 3]) -> Part {
    Part {
        id,
        name: format!("part {id}"),
        kind: PartKind::Other,
        on: true,
        mass: PartMass::Own(mass(kg)),
        size_m,
        shape,
        cg: cg([0.0; 3]),
        at: Position { place: "camera".into(), from: Anchor::Place, offset_m },
        drag: Drag::default(),
        optical_axis_up_m: None,
        load: None,
        pack: None,
    }
}

fn package(chain: Vec<Element>, parts: Vec<Part>, lens: Lens, moves: Vec<Move>) -> Package {
    Package {
        name: "test build".into(),
        note: String::new(),
        demo: false,
        head: Head {
            name: "test head".into(),
            typical: false,
            payload_kg: [1.0, 40.0],
            chain,
            opening: None,
            taps: vec![],
            tap_groups: vec![],
            idle_w: 14.0,
            crossover_hz: 6.0,
        },
        mount: Mount { flange_ahead_m: 0.05, flange_left_m: 0.0 },
        parts,
        active_lens: Some(lens.id),
        lenses: vec![lens],
        moves,
        day: Day::default(),
        reserve: Reserve::default(),
        tune: None,
        arm: None,
        at_hand: None,
        logs: vec![],
        balancing: None,
        structure: solver::package::Structure::default(),
        change_minutes: solver::package::ChangeMinutes::default(),
    }
}

fn lens(kg: f64, length_m: f64, diameter_m: f64, cg_shift_m: f64) -> Lens {
    Lens {
        id: 1,
        name: "lens".into(),
        mass: mass(kg),
        length_m,
        diameter_m,
        cg_ahead_m: 0.45 * length_m,
        cg_from: CgSource::DataSheet,
        cg_u_m: None,
        cg_shift_m,
        rings: Rings::default(),
        focal_length_m: None,
        squeeze: None,
        brings: vec![],
        leaves_off: vec![],
    }
}

/// A move on a smooth jib; tests change what they are about.
pub(crate) fn quiet_move() -> Move {
    Move {
        id: 1,
        name: "move".into(),
        platform: PlatformKind::Jib,
        mounting: Mounting::Hung,
        motion: Motion::Own {
            lean_rad: 0.052_36,
            rms_m_s2: 0.3,
            peak_m_s2: 0.98,
            slam_m_s2: 0.0,
            band_hz: 0.7,
            turn_rms_rad_s: 0.0,
            turn_peak_rad_s: 0.0,
        },
        operator: vec![],
        ranges: vec![range("tilt", -0.8, 0.5), range("roll", -0.174_533, 0.174_533)],
        repeats_per_min: 2.0,
        take_s: 60.0,
        airspeed_m_s: 3.0,
        gust_factor: 1.5,
        altitude_m: 0.0,
        air_k: 293.15,
        isolator: None,
        break_after: None,
        share: 1.0,
    }
}

pub(crate) fn axis_move(joint: &str, rate_rad_s: f64, time_s: f64) -> AxisMove {
    AxisMove { joint: joint.into(), rate_rad_s, time_s }
}

pub(crate) fn range(joint: &str, low: f64, high: f64) -> AxisRange {
    AxisRange { joint: joint.into(), range_rad: [low, high] }
}

/// The marks of a package as a check finds them, platform first.
pub(crate) fn targets_m(package: &Package) -> Vec<f64> {
    let report = solver::check(package).expect("a valid package");
    package
        .head
        .slides()
        .map(|slide| {
            report.slides.iter().find(|found| found.slide == slide.id).map_or(0.0, |found| found.target_m.value)
        })
        .collect()
}

/// A round medium package with nothing odd about it.
pub(crate) fn medium() -> Package {
    let chain = vec![
        joint("pan", [0.0, 0.0, 1.0], [0.0; 3], drive(0.45, 26.0, 9.0, 1.3)),
        yoke(4.8, [-0.06, 0.0, -0.18], 0.25),
        slide("pan_slide", [1.0, 0.0, 0.0], 0.07),
        joint("roll", [1.0, 0.0, 0.0], [0.0, 0.0, -0.36], drive(0.25, 24.0, 8.0, 1.2)),
        yoke(3.6, [-0.03, 0.0, 0.0], 0.15),
        joint("tilt", [0.0, 1.0, 0.0], [0.0; 3], drive(0.2, 20.0, 7.0, 1.1)),
        yoke(2.6, [0.0; 3], 0.06),
        slide("height", [0.0, 0.0, 1.0], 0.045),
        slide("side", [0.0, 1.0, 0.0], 0.025),
        slide("plate", [1.0, 0.0, 0.0], 0.11),
        Element::Place(Place {
            id: "camera".into(),
            name: "Camera plate".into(),
            origin_m: [0.0, 0.0, -0.1],
            camera: true,
        }),
    ];
    let parts = vec![
        part(1, 3.9, [0.24, 0.16, 0.17], Shape::Box, [-0.06, 0.0, 0.1]),
        part(2, 1.6, [0.18, 0.26, 0.20], Shape::Box, [0.3, 0.0, 0.12]),
        part(3, 0.9, [0.2, 0.11, 0.03], Shape::Box, [0.0, 0.0, 0.02]),
        part(4, 0.35, [0.12, 0.03, 0.07], Shape::Box, [-0.1, 0.1, 0.12]),
    ];
    package(chain, parts, lens(2.6, 0.19, 0.114, 0.008), vec![quiet_move()])
}

fn slide(id: &str, direction: [f64; 3], half_m: f64) -> Element {
    Element::Slide(Slide {
        id: id.into(),
        name: id.into(),
        direction,
        range_m: [-half_m, half_m],
        zero_m: 0.0,
        mark_m: 0.0,
        hole_spacing_m: None,
        plus: "plus".into(),
        minus: "minus".into(),
    })
}

/// A random package on a random three-axis head: axes a little askew, parts anywhere, any platform, marks solved or
/// anyhow.
pub(crate) fn random(seed: u64) -> Build {
    let mut random = Random(seed);
    let inner = if random.unit() < 0.5 { ["roll", "tilt"] } else { ["tilt", "roll"] };
    let mut chain = vec![
        askew(&mut random, "pan", [0.0, 0.0, 1.0], [0.0; 3], drive(0.45, 26.0, 9.0, 1.3)),
        yoke(random.between(2.0, 8.0), [random.between(-0.1, 0.0), 0.02, -0.15], 0.3),
        slide("pan_slide", [1.0, 0.0, 0.0], 0.08),
    ];
    for (place, name) in inner.into_iter().enumerate() {
        let axis = if name == "roll" { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
        let position_m = if place == 0 { [0.0, 0.0, -0.36] } else { [random.between(-0.02, 0.02), 0.0, 0.01] };
        let friction_nm = random.between(0.1, 0.4);
        chain.push(askew(&mut random, name, axis, position_m, drive(friction_nm, 22.0, 7.5, 1.15)));
        chain.push(yoke(random.between(1.0, 4.0), [random.between(-0.05, 0.02), 0.0, 0.01], 0.1));
    }
    chain.push(slide("height", [0.0, 0.0, 1.0], 0.05));
    chain.push(slide("side", [0.0, 1.0, 0.0], 0.03));
    chain.push(slide("plate", [1.0, 0.0, 0.0], 0.12));
    chain.push(Element::Place(Place {
        id: "camera".into(),
        name: "Camera plate".into(),
        origin_m: [0.0, 0.0, -0.1],
        camera: true,
    }));
    let parts = (1..=7)
        .map(|id| {
            let size_m = [random.between(0.02, 0.3), random.between(0.02, 0.25), random.between(0.02, 0.25)];
            let shape = [Shape::Box, Shape::Box, Shape::Cylinder, Shape::RodPair][random.below(4)];
            let offset_m = [random.between(-0.25, 0.35), random.between(-0.1, 0.1), random.between(0.0, 0.25)];
            part(id, random.between(0.1, 3.0), size_m, shape, offset_m)
        })
        .collect();
    let lens = lens(random.between(0.8, 5.0), random.between(0.08, 0.4), 0.12, random.between(0.0, 0.02));
    let package = package(chain, parts, lens, vec![random_move(&mut random)]);
    let marks_m = if random.unit() < 0.5 {
        targets_m(&package)
    } else {
        package.head.slides().map(|slide| random.between(slide.range_m[0], slide.range_m[1])).collect()
    };
    Build { package, marks_m }
}

fn askew(random: &mut Random, id: &str, [x, y, z]: [f64; 3], position_m: [f64; 3], drive: Drive) -> Element {
    // The outermost axis stays true, so that its angle drops out of every other figure.
    let mut off = || if id == "pan" { 0.0 } else { random.between(-0.05, 0.05) };
    let axis = [x + off(), y + off(), z + off()];
    let length = axis.iter().map(|part| part * part).sum::<f64>().sqrt();
    joint(id, axis.map(|part| part / length), position_m, drive)
}

fn random_move(random: &mut Random) -> Move {
    let mut each = quiet_move();
    each.motion = match random.below(3) {
        0 => Motion::Own {
            lean_rad: random.between(0.0, 0.3),
            rms_m_s2: random.between(0.0, 2.0),
            peak_m_s2: random.between(0.0, 6.0),
            slam_m_s2: random.between(0.0, 15.0),
            band_hz: random.between(0.2, 3.0),
            turn_rms_rad_s: random.between(0.0, 0.1),
            turn_peak_rad_s: random.between(0.0, 0.3),
        },
        1 => Motion::Road {
            class: [RoadClass::A, RoadClass::C, RoadClass::E][random.below(3)],
            speed_m_s: random.between(3.0, 40.0),
            wheelbase_m: random.between(2.0, 3.5),
            lateral_share: 0.4,
            fore_aft_share: 0.3,
            lean_rad: random.between(0.0, 0.2),
            steady_m_s2: random.between(0.0, 4.0),
        },
        _ => Motion::Sea {
            height_m: random.between(0.2, 3.0),
            period_s: random.between(4.0, 9.0),
            lean_rad: random.between(0.0, 0.2),
            slam_m_s2: random.between(0.0, 10.0),
        },
    };
    for joint in ["pan", "tilt", "roll"] {
        if random.unit() < 0.7 {
            let (rate_rad_s, time_s) = (random.between(0.2, 4.0), random.between(0.25, 1.5));
            each.operator.push(axis_move(joint, rate_rad_s, time_s));
        }
    }
    each.ranges = vec![
        range("tilt", random.between(-1.2, -0.2), random.between(0.0, 1.2)),
        range("roll", random.between(-0.4, 0.0), random.between(0.05, 0.4)),
    ];
    each.airspeed_m_s = random.between(0.0, 35.0);
    each.mounting = [Mounting::Hung, Mounting::Hung, Mounting::Stood, Mounting::Side][random.below(4)];
    each
}
