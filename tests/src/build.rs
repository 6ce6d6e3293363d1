//! Packages in a few words. Whatever is not named has the plainest value there is.

use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use solver::Package;
use solver::package::{Element, Joint, Lens, Move, Part};

/// A package with this chain and nothing on it.
#[expect(clippy::needless_pass_by_value, reason = "a chain is written out at every call and used nowhere else")]
pub fn package(chain: Vec<Element>) -> Package {
    typed(json!({
        "name": "Check",
        "head": { "name": "Head", "payload_kg": [0.0, 200.0], "chain": chain, "idle_w": 0.0, "crossover_hz": 5.0 },
        "mount": { "flange_ahead_m": 0.0 },
    }))
}

/// A direct-driven joint, strong and without friction, about `axis` through `position_m` from the joint outside it.
pub fn joint(id: &str, axis: [f64; 3], position_m: [f64; 3]) -> Joint {
    typed(json!({
        "id": id, "name": id, "axis": axis, "position_m": position_m,
        "drive": {
            "kind": "direct", "ratio": 1.0, "efficiency": 1.0, "reflected_inertia_kg_m2": 0.0, "friction_nm": 0.0,
            "peak_nm": 500.0, "peak_s": 2.0, "continuous_nm": 200.0, "motor_constant": 2.0,
            "winding_to_air_k_w": 1.0, "max_rate_rad_s": 10.0,
        },
        "turns": { "plus": "plus", "minus": "minus", "shown": "plus" },
    }))
}

/// A slide along `direction`: lowest and highest mark, mark of zero displacement and present mark, m.
pub fn slide(id: &str, direction: [f64; 3], range_m: [f64; 2], zero_m: f64, mark_m: f64) -> Element {
    typed(json!({ "slide": {
        "id": id, "name": id, "direction": direction, "range_m": range_m, "zero_m": zero_m, "mark_m": mark_m,
        "plus": "up the scale", "minus": "down the scale",
    }}))
}

/// A yoke of known mass; moments of inertia about its own centre of gravity.
pub fn yoke(mass_kg: f64, cg_m: [f64; 3], inertia_kg_m2: [f64; 3]) -> Element {
    typed(json!({ "yoke": {
        "name": "yoke", "mass": mass(mass_kg), "cg": cg(cg_m), "inertia_kg_m2": inertia_kg_m2,
    }}))
}

/// The place that carries the camera, at the point of the joint outside it.
pub fn camera_place() -> Element {
    typed(json!({ "place": { "id": "camera", "name": "camera", "camera": true } }))
}

/// A place without a camera.
pub fn place(id: &str, origin_m: [f64; 3]) -> Element {
    typed(json!({ "place": { "id": id, "name": id, "origin_m": origin_m } }))
}

/// A part without size on a place, `at_m` from the place's origin, of exactly known mass and place.
pub fn point(id: u32, place: &str, mass_kg: f64, at_m: [f64; 3]) -> Part {
    solid(id, place, "box", mass_kg, at_m, [0.0; 3])
}

/// A homogeneous part of the given outline ("box", "cylinder", "rod_pair") centred `at_m` from the place's origin.
pub fn solid(id: u32, place: &str, shape: &str, mass_kg: f64, at_m: [f64; 3], size_m: [f64; 3]) -> Part {
    typed(json!({
        "id": id, "name": format!("part {id}"), "kind": "other", "mass": { "own": mass(mass_kg) },
        "size_m": size_m, "shape": shape, "cg": cg([0.0; 3]),
        "at": { "place": place, "from": "place", "offset_m": at_m },
        "drag": { "coefficient": 1.1, "sheltered": true },
    }))
}

/// A lens of the given mass, centre of gravity ahead of the flange, length and diameter, all in m.
pub fn lens(id: u32, mass_kg: f64, cg_ahead_m: f64, length_m: f64, diameter_m: f64) -> Lens {
    typed(json!({
        "id": id, "name": format!("lens {id}"), "mass": mass(mass_kg), "length_m": length_m,
        "diameter_m": diameter_m, "cg_ahead_m": cg_ahead_m, "cg_from": "measured",
    }))
}

/// A move on which nothing moves: upright, locked off, in still air of 15 °C at sea level.
pub fn still(id: u32) -> Move {
    typed(json!({
        "id": id, "name": format!("move {id}"), "platform": "locked_off", "mounting": "hung",
        "motion": { "own": {
            "lean_rad": 0.0, "rms_m_s2": 0.0, "peak_m_s2": 0.0, "slam_m_s2": 0.0, "band_hz": 1.0,
        }},
        "repeats_per_min": 0.0, "take_s": 60.0, "airspeed_m_s": 0.0, "gust_factor": 1.0, "air_k": 288.15, "share": 1.0,
    }))
}

/// A value of the package's own types from its JSON form.
pub fn typed<T: DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).expect("the JSON form of a package's own type")
}

fn mass(kg: f64) -> Value {
    json!({ "kg": kg, "from": "bench_scale", "u_kg": 0.0 })
}

fn cg(offset_m: [f64; 3]) -> Value {
    json!({ "offset_m": offset_m, "from": "measured", "u_m": 0.0 })
}
