//! Random packages that a person could have entered: every number on its storage step, every reference to something.

use std::ops::Range;

use checks::build;
use proptest::prelude::*;
use serde_json::{Value, json};
use solver::Package;
use solver::package::{Drive, DriveKind, Element, Material, Mounting, Move, Part, SensorOn, Slide, Structure};

/// Any package at all: some joints, some slides, parts anywhere, a lens or none, moves, packs, loads.
pub(crate) fn package() -> impl Strategy<Value = Package> {
    package_on(USUAL_JOINTS)
}

/// The joints of heads that are met with.
const USUAL_JOINTS: Range<usize> = 1..4;

/// Any package on a head with so many joints.
pub(crate) fn package_on(joints: Range<usize>) -> impl Strategy<Value = Package> {
    chain(direction().boxed(), joints)
        .prop_flat_map(|chain| {
            let places = places(&chain);
            let joints = chain.iter().filter(|element| matches!(element, Element::Joint(_))).count();
            (Just(chain), parts(places), camera(), moves(joints), power(), structure())
        })
        .prop_map(|(chain, parts, camera, moves, power, structure)| {
            let mut package = build::package(chain);
            package.parts = parts;
            package.moves = moves;
            camera.put_on(&mut package);
            power.put_on(&mut package);
            package.structure = structure;
            package.quantised()
        })
}

/// A package that looks the same from all sides but for its places: bodies without size, yokes like balls, no lens, no
/// wind. What such a package answers cannot depend on which way the axes of its frame point.
pub(crate) fn of_points() -> impl Strategy<Value = Package> {
    chain(direction().boxed(), USUAL_JOINTS)
        .prop_flat_map(|chain| {
            let places = places(&chain);
            let joints = chain.iter().filter(|element| matches!(element, Element::Joint(_))).count();
            (Just(chain), points(places), moves(joints))
        })
        .prop_map(|(chain, parts, mut moves)| {
            let mut package = build::package(chain);
            for element in &mut package.head.chain {
                if let Element::Yoke(yoke) = element {
                    yoke.inertia_kg_m2 = [yoke.inertia_kg_m2[0]; 3];
                }
            }
            for each in &mut moves {
                each.airspeed_m_s = 0.0;
                // On its side a head stands on one of its sides: then it matters which.
                if each.mounting == Mounting::Side {
                    each.mounting = Mounting::Hung;
                }
            }
            package.parts = parts;
            package.moves = moves;
            package.quantised()
        })
}

/// A unit vector: along an axis as often as not.
fn direction() -> impl Strategy<Value = [f64; 3]> {
    let along = prop_oneof![Just([1.0, 0.0, 0.0]), Just([0.0, 1.0, 0.0]), Just([0.0, 0.0, 1.0])];
    let any =
        (-1.0..1.0, -1.0..1.0, -1.0..1.0).prop_filter_map("too short for a direction", |(x, y, z): (f64, f64, f64)| {
            let length = (x * x + y * y + z * z).sqrt();
            (length > 0.2).then(|| [x / length, y / length, z / length])
        });
    prop_oneof![along, any]
}

fn point(reach_m: f64) -> impl Strategy<Value = [f64; 3]> {
    [-reach_m..reach_m, -reach_m..reach_m, -reach_m..reach_m]
}

fn chain(axes: BoxedStrategy<[f64; 3]>, joints: Range<usize>) -> impl Strategy<Value = Vec<Element>> {
    let stage = (axes.clone(), point(0.15), prop::collection::vec(slide(axes), 0..3), yoke(), drive());
    prop::collection::vec(stage, joints).prop_map(|stages| {
        let mut chain = Vec::new();
        let mut slides = 0;
        for (number, (axis, position_m, own_slides, yoke, drive)) in stages.into_iter().enumerate() {
            let mut joint = build::joint(&format!("joint {number}"), axis, position_m);
            joint.drive = drive;
            chain.push(Element::Joint(joint));
            chain.push(yoke);
            for mut slide in own_slides {
                slide.id = format!("slide {slides}");
                chain.push(Element::Slide(slide));
                slides += 1;
            }
            chain.push(build::place(&format!("place {number}"), [0.0; 3]));
        }
        chain.push(build::camera_place());
        chain
    })
}

/// A slide whose id is still to be given.
fn slide(axes: BoxedStrategy<[f64; 3]>) -> impl Strategy<Value = Slide> {
    let spacing_m = prop_oneof![4 => Just(None), 1 => prop_oneof![Just(0.005), Just(0.0254)].prop_map(Some)];
    (axes, 0.02..0.25_f64, 0.0..1.0, spacing_m).prop_map(|(direction, travel_m, at, hole_spacing_m)| Slide {
        id: String::new(),
        name: "slide".to_owned(),
        direction,
        range_m: [0.0, travel_m],
        zero_m: 0.5 * travel_m,
        mark_m: at * travel_m,
        hole_spacing_m,
        plus: "up the scale".to_owned(),
        minus: "down the scale".to_owned(),
    })
}

fn yoke() -> impl Strategy<Value = Element> {
    (0.2..6.0, point(0.1), 0.005..0.2_f64)
        .prop_map(|(mass_kg, cg_m, inertia)| build::yoke(mass_kg, cg_m, [inertia, 0.9 * inertia, 0.8 * inertia]))
}

fn drive() -> impl Strategy<Value = Drive> {
    let kind = prop_oneof![Just(DriveKind::Direct), Just(DriveKind::Belt), Just(DriveKind::Geared)];
    (kind, 0.0..1.5, 1.0..40.0, 0.0..0.3, 0.0..0.5).prop_map(|(kind, friction_nm, peak_nm, reflected, cable)| {
        let mut drive = build::joint("any", [0.0, 0.0, 1.0], [0.0; 3]).drive;
        drive.kind = kind;
        if kind == DriveKind::Geared {
            (drive.ratio, drive.efficiency) = (60.0, 0.7);
        }
        drive.friction_nm = friction_nm;
        drive.peak_nm = peak_nm;
        drive.continuous_nm = 0.4 * peak_nm;
        drive.reflected_inertia_kg_m2 = reflected;
        drive.cable_spring_nm_rad = cable;
        drive.cable_hysteresis_nm = 0.2 * cable;
        drive
    })
}

fn places(chain: &[Element]) -> Vec<String> {
    let ids = chain.iter().filter_map(|element| match element {
        Element::Place(place) => Some(place.id.clone()),
        _ => None,
    });
    ids.collect()
}

fn parts(places: Vec<String>) -> impl Strategy<Value = Vec<Part>> {
    let size_m = [0.02..0.3, 0.02..0.2, 0.02..0.2];
    let shape = prop_oneof![Just("box"), Just("cylinder"), Just("rod_pair")];
    let part = (prop::sample::select(places), shape, 0.05..5.0, point(0.25), size_m, any::<bool>(), any::<bool>());
    prop::collection::vec(part, 0..9).prop_map(|parts| {
        (1..)
            .zip(parts)
            .map(|(id, (place, shape, mass_kg, at_m, size_m, on, sheltered))| {
                let mut part = build::solid(id, &place, shape, mass_kg, at_m, size_m);
                (part.on, part.drag.sheltered) = (on, sheltered);
                // Known as well as a person knows it, not exactly.
                part.cg.u_m = None;
                if let solver::package::PartMass::Own(mass) = &mut part.mass {
                    mass.u_kg = None;
                }
                part
            })
            .collect()
    })
}

fn points(places: Vec<String>) -> impl Strategy<Value = Vec<Part>> {
    let part = (prop::sample::select(places), 0.05..5.0, point(0.25));
    prop::collection::vec(part, 1..9).prop_map(|parts| {
        (1..).zip(parts).map(|(id, (place, mass_kg, at_m))| build::point(id, &place, mass_kg, at_m)).collect()
    })
}

/// Body, stack and lens, or nothing.
#[derive(Debug, Clone)]
struct Camera {
    flange_ahead_m: f64,
    parts: Vec<Part>,
    lens: Option<solver::package::Lens>,
}

impl Camera {
    fn put_on(mut self, package: &mut Package) {
        package.mount.flange_ahead_m = self.flange_ahead_m;
        package.parts.append(&mut self.parts);
        package.active_lens = self.lens.as_ref().map(|lens| lens.id);
        package.lenses.extend(self.lens);
    }
}

fn camera() -> impl Strategy<Value = Camera> {
    let lens = (0.4..6.0, 0.03..0.2, 0.05..0.4, 0.05..0.16).prop_map(|(kg, cg_m, length_m, diameter_m)| {
        let mut lens = build::lens(1, kg, cg_m, length_m, diameter_m);
        lens.rings.focus_m = Some(0.3 * length_m);
        lens
    });
    (-0.1..0.1, 0.5..5.0, prop::option::of(lens), 0.0..0.1).prop_map(|(flange_ahead_m, body_kg, lens, share)| {
        let part = |id: u32, kind: &str, mass: Value, from: &str, size_m: [f64; 3]| -> Part {
            build::typed(json!({
                "id": id, "name": kind, "kind": kind, "mass": mass, "size_m": size_m,
                "cg": { "offset_m": [0.0, 0.0, 0.0], "from": "data_sheet" },
                "at": { "place": "camera", "from": from },
            }))
        };
        let own = |kg: f64| json!({ "own": { "kg": kg, "from": "luggage_scale" } });
        let mut body = part(101, "body", own(body_kg), "flange", [0.2, 0.15, 0.16]);
        body.at.offset_m = [-0.1, 0.0, 0.0];
        body.optical_axis_up_m = Some(0.08);
        let lower = |mut part: Part| {
            part.at.offset_m[2] = -0.09;
            part
        };
        Camera {
            flange_ahead_m,
            parts: vec![
                part(102, "plate", own(0.6), "stack", [0.2, 0.1, 0.02]),
                part(103, "plate", own(0.3), "stack", [0.1, 0.1, 0.03]),
                body,
                part(104, "front", own(0.5), "lens_front", [0.09, 0.15, 0.13]),
                part(105, "control", own(0.2), "focus_ring", [0.08, 0.04, 0.06]),
                lower(part(107, "rods", own(0.2), "flange", [0.4, 0.12, 0.019])),
                lower(part(108, "support", own(0.3), "focus_ring", [0.04, 0.1, 0.08])),
                part(106, "other", json!({ "share": { "fraction": share } }), "body_top", [0.3, 0.1, 0.1]),
            ],
            lens,
        }
    })
}

/// What is known of the stiffness: anything or nothing.
fn structure() -> impl Strategy<Value = Structure> {
    let some = |from: f64, to: f64| prop::option::of(from..to);
    let material = || {
        prop::option::of(prop_oneof![
            Just(Material::Aluminium),
            Just(Material::Steel),
            Just(Material::CarbonWrapped),
            Just(Material::CarbonDrawn),
        ])
    };
    let sensor = prop_oneof![Just(SensorOn::Head), Just(SensorOn::Plate), Just(SensorOn::Body)];
    let figures = (
        some(0.0005, 0.004),
        some(2e3, 2e5),
        some(1e3, 1e5),
        some(1e4, 5e6),
        some(0.01, 0.06),
        some(0.01, 0.03),
        some(0.01, 0.04),
    );
    (material(), material(), sensor, figures).prop_map(|(rod_material, plate_material, sensor_on, figures)| {
        let (
            rod_wall_m,
            fastening_nm_rad,
            lens_mount_nm_rad,
            support_n_m,
            flange_depth_m,
            picture_height_m,
            picture_width_m,
        ) = figures;
        Structure {
            rod_material,
            rod_wall_m,
            plate_material,
            fastening_nm_rad,
            lens_mount_nm_rad,
            support_n_m,
            sensor_on,
            flange_depth_m,
            picture_height_m,
            picture_width_m,
        }
    })
}

fn moves(joints: usize) -> impl Strategy<Value = Vec<Move>> {
    let axis = (0.0..3.0, 0.1..2.0_f64, -0.8..0.0, 0.0..0.8);
    let base = (0.0..0.6, 0.0..3.0, 0.0..8.0, 0.0..0.15);
    let mounting = prop_oneof![Just("hung"), Just("stood"), Just("side")];
    let one = (prop::collection::vec(axis, joints), base, mounting, 0.0..40.0, 0.1..1.0_f64);
    prop::collection::vec(one, 0..3).prop_map(|moves| {
        (1..)
            .zip(moves)
            .map(|(id, (axes, (lean_rad, rms_m_s2, peak_m_s2, turn_rad_s), mounting, airspeed_m_s, share))| {
                let named = |number: usize| format!("joint {number}");
                let operator: Vec<Value> = axes
                    .iter()
                    .enumerate()
                    .map(|(n, axis)| json!({ "joint": named(n), "rate_rad_s": axis.0, "time_s": axis.1 }))
                    .collect();
                let ranges: Vec<Value> = axes
                    .iter()
                    .enumerate()
                    .map(|(n, axis)| json!({ "joint": named(n), "range_rad": [axis.2, axis.3] }))
                    .collect();
                build::typed(json!({
                    "id": id, "name": format!("move {id}"), "platform": "crane", "mounting": mounting,
                    "motion": { "own": {
                        "lean_rad": lean_rad, "rms_m_s2": rms_m_s2, "peak_m_s2": peak_m_s2,
                        "slam_m_s2": peak_m_s2, "band_hz": 2.0, "turn_rms_rad_s": turn_rad_s,
                        "turn_peak_rad_s": 3.0 * turn_rad_s,
                    }},
                    "operator": operator, "ranges": ranges, "repeats_per_min": 6.0, "take_s": 60.0,
                    "airspeed_m_s": airspeed_m_s, "gust_factor": 1.3, "altitude_m": 400.0, "air_k": 298.15,
                    "share": share,
                }))
            })
            .collect()
    })
}

/// Packs on the head and a load on a tap.
#[derive(Debug, Clone)]
struct Power {
    packs: u32,
    capacity_ah: f64,
    load_w: f64,
}

impl Power {
    fn put_on(self, package: &mut Package) {
        package.head.taps = build::typed(json!([
            { "id": "a", "name": "tap", "voltage": { "regulated": { "volts": 15.0 } }, "limit_a": 8.0, "efficiency": 0.93 },
            { "id": "b", "name": "pack tap", "voltage": "follows_pack", "limit_a": 10.0, "efficiency": 1.0 },
        ]));
        for (number, part) in package.parts.iter_mut().take(2).enumerate() {
            part.load = Some(build::typed(json!({
                "typical_w": self.load_w, "peak_w": 1.4 * self.load_w, "tap": if number == 0 { "a" } else { "b" },
                "cable": { "length_m": 1.5, "conductor_mm2": 0.5 },
            })));
        }
        for number in 0..self.packs {
            let mut part = build::solid(201 + number, "place 0", "box", 1.1, [-0.15, 0.0, 0.0], [0.06, 0.1, 0.14]);
            part.pack = Some(build::typed(json!({
                "cells": 6.0, "capacity_ah": self.capacity_ah, "resistance_ohm": 0.09, "usable_share": 0.9,
                "cutoff_v_cell": 3.0,
            })));
            package.parts.push(part);
        }
    }
}

fn power() -> impl Strategy<Value = Power> {
    (0..3_u32, 2.0..15.0, 1.0..80.0).prop_map(|(packs, capacity_ah, load_w)| Power { packs, capacity_ah, load_w })
}
