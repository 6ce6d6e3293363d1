//! A typical medium build, in code: all figures invented.

use solver::Package;
use solver::package::{
    Anchor, Cg, CgSource, Day, Drag, Drive, DriveKind, Element, Head, Joint, Lens, Mass, MassSource, Mount, Opening,
    Part, PartKind, PartMass, Place, Position, Reserve, Rings, Shape, Slide, Turns, Yoke,
};

use MassSource::{BenchScale, LuggageScale, Typical};

fn joint(id: &str, axis: [f64; 3], position_m: [f64; 3], limits_rad: Option<[f64; 2]>, friction_nm: f64) -> Element {
    Element::Joint(Joint {
        id: id.into(),
        name: id.into(),
        axis,
        position_m,
        limits_rad,
        drive: Drive {
            kind: DriveKind::Direct,
            ratio: 1.0,
            efficiency: 1.0,
            reflected_inertia_kg_m2: 0.002,
            friction_nm,
            peak_nm: 20.0,
            peak_s: 2.0,
            continuous_nm: 7.0,
            motor_constant: 1.1,
            winding_to_air_k_w: 2.3,
            max_rate_rad_s: 3.5,
            cable_spring_nm_rad: 0.03,
            cable_hysteresis_nm: 0.04,
        },
        turns: Turns { plus: "plus".into(), minus: "minus".into(), shown: "plus".into(), shown_reversed: false },
    })
}

fn yoke(name: &str, kg: f64, offset_m: [f64; 3], inertia: f64) -> Element {
    Element::Yoke(Yoke {
        name: name.into(),
        mass: Mass { kg, from: Typical, u_kg: None },
        cg: Cg { offset_m, from: CgSource::Typical, u_m: None },
        inertia_kg_m2: [inertia; 3],
    })
}

fn slide(id: &str, direction: [f64; 3], travel_m: f64) -> Element {
    Element::Slide(Slide {
        id: id.into(),
        name: id.into(),
        direction,
        range_m: [0.0, travel_m],
        zero_m: 0.5 * travel_m,
        mark_m: 0.5 * travel_m,
        hole_spacing_m: None,
        plus: "up the scale".into(),
        minus: "down the scale".into(),
    })
}

fn place(id: &str, origin_m: [f64; 3], camera: bool) -> Element {
    Element::Place(Place { id: id.into(), name: id.into(), origin_m, camera })
}

/// The typical medium head: pan, roll, tilt.
fn head() -> Head {
    Head {
        name: "Typical medium head".into(),
        typical: true,
        payload_kg: [6.0, 18.0],
        chain: vec![
            yoke("Base", 2.0, [0.0; 3], 0.25),
            joint("pan", [0.0, 0.0, 1.0], [0.0; 3], None, 0.45),
            yoke("Pan yoke", 4.8, [-0.06, 0.0, -0.18], 0.25),
            place("pan_yoke", [0.0, 0.0, -0.18], false),
            slide("pan_slide", [1.0, 0.0, 0.0], 0.14),
            joint("roll", [1.0, 0.0, 0.0], [0.0, 0.0, -0.36], Some([-0.79, 0.79]), 0.25),
            yoke("Roll yoke", 3.6, [-0.03, 0.0, 0.0], 0.15),
            joint("tilt", [0.0, 1.0, 0.0], [0.0; 3], Some([-1.75, 1.75]), 0.2),
            yoke("Tilt yoke", 2.6, [0.0; 3], 0.06),
            slide("height", [0.0, 0.0, 1.0], 0.09),
            slide("side", [0.0, 1.0, 0.0], 0.05),
            slide("plate", [1.0, 0.0, 0.0], 0.22),
            place("camera", [0.0, 0.0, -0.13], true),
        ],
        opening: Some(Opening { width_m: 0.19, height_m: [0.17, 0.26], clear_radius_m: 0.33 }),
        taps: vec![],
        tap_groups: vec![],
        idle_w: 14.0,
        crossover_hz: 6.0,
    }
}

/// What a part is: name, kind, mass and its source, size, place, anchor and offset.
struct Item(&'static str, PartKind, f64, MassSource, [f64; 3], &'static str, Anchor, [f64; 3]);

fn part(id: u32, item: &Item) -> Part {
    let Item(name, kind, kg, from, size_m, place, anchor, offset_m) = item;
    Part {
        id,
        name: (*name).into(),
        kind: *kind,
        on: true,
        mass: PartMass::Own(Mass { kg: *kg, from: *from, u_kg: None }),
        size_m: *size_m,
        shape: Shape::Box,
        cg: Cg { offset_m: [0.0; 3], from: CgSource::Typical, u_m: None },
        at: Position { place: (*place).into(), from: *anchor, offset_m: *offset_m },
        drag: Drag::default(),
        optical_axis_up_m: None,
        load: None,
        pack: None,
    }
}

fn parts() -> Vec<Part> {
    use Anchor::{BodyTop, Flange, FocusRing, IrisRing, LensFront, Stack};
    use PartKind::{Body, Control, Front, Other, Pack, Picture, Plate, Rods};
    let items = [
        Item("Sliding plate", Plate, 0.5, Typical, [0.14, 0.08, 0.015], "camera", Stack, [-0.08, 0.0, 0.0]),
        Item("Bridge plate", Plate, 0.912, BenchScale, [0.2, 0.11, 0.03], "camera", Stack, [-0.08, 0.0, 0.0]),
        Item("Body", Body, 3.94, BenchScale, [0.24, 0.16, 0.17], "camera", Stack, [-0.12, 0.0, 0.0]),
        Item("Rods", Rods, 0.15, Typical, [0.45, 0.123, 0.019], "camera", Flange, [0.09, 0.0, -0.09]),
        Item("Focus motor", Control, 0.204, BenchScale, [0.085, 0.04, 0.06], "camera", FocusRing, [0.0, -0.095, 0.0]),
        Item("Iris motor", Control, 0.204, BenchScale, [0.085, 0.04, 0.06], "camera", IrisRing, [0.0, 0.095, 0.0]),
        Item("Receiver", Control, 0.25, Typical, [0.1, 0.07, 0.035], "camera", BodyTop, [-0.05, 0.04, 0.0425]),
        Item("Rangefinder", Control, 0.4, Typical, [0.13, 0.06, 0.05], "camera", BodyTop, [0.09, 0.0, 0.05]),
        Item("Transmitter", Picture, 0.362, BenchScale, [0.12, 0.07, 0.03], "camera", BodyTop, [-0.06, -0.05, 0.04]),
        Item("Monitor", Picture, 0.45, Typical, [0.14, 0.03, 0.09], "camera", BodyTop, [0.0, 0.12, 0.045]),
        Item("Matte box", Front, 0.45, Typical, [0.09, 0.15, 0.13], "camera", LensFront, [0.025, 0.0, 0.0]),
        Item("Filter", Front, 0.15, Typical, [0.004, 0.102, 0.144], "camera", LensFront, [0.02, 0.0, 0.0]),
        Item("Top handle", Other, 0.31, BenchScale, [0.18, 0.03, 0.03], "camera", BodyTop, [-0.02, 0.0, 0.055]),
        Item("Pack left", Pack, 1.15, Typical, [0.08, 0.1, 0.14], "pan_yoke", Anchor::Place, [-0.18, 0.06, 0.0]),
        Item("Pack right", Pack, 1.15, Typical, [0.08, 0.1, 0.14], "pan_yoke", Anchor::Place, [-0.18, -0.06, 0.0]),
    ];
    let mut parts: Vec<Part> = (1..).zip(&items).map(|(id, item)| part(id, item)).collect();
    for part in &mut parts {
        match part.kind {
            PartKind::Body => {
                part.optical_axis_up_m = Some(0.08);
                part.cg = Cg { offset_m: [0.01, 0.0, 0.0], from: CgSource::Measured, u_m: None };
            }
            PartKind::Rods => part.shape = Shape::RodPair,
            _ => {}
        }
    }
    let cables =
        Item("Cables, clamps, screws", Other, 0.0, Typical, [0.3, 0.16, 0.2], "camera", Flange, [-0.03, 0.0, 0.0]);
    let mut cables = part(99, &cables);
    cables.mass = PartMass::Share { fraction: 0.05 };
    parts.push(cables);
    parts
}

/// A lens with its flange at the mount: mass and its source, length, centre of gravity ahead of the flange.
fn lens(id: u32, name: &str, kg: f64, from: MassSource, length_m: f64, cg_ahead_m: f64) -> Lens {
    Lens {
        id,
        name: name.into(),
        mass: Mass { kg, from, u_kg: None },
        length_m,
        diameter_m: 0.114,
        cg_ahead_m,
        cg_from: CgSource::Measured,
        cg_u_m: None,
        cg_shift_m: 0.008,
        rings: Rings { focus_m: Some(0.4 * length_m), iris_m: Some(0.7 * length_m), zoom_m: None },
        focal_length_m: None,
        squeeze: None,
        brings: vec![],
        leaves_off: vec![],
    }
}

/// Id of the light prime, under a tenth of what tilts.
pub(crate) const LIGHT: u32 = 1;
/// Id of the prime, an eighth of what tilts.
pub(crate) const PRIME: u32 = 4;
/// Id of the anamorphic prime, a fifth of what tilts.
pub(crate) const ANAMORPHIC: u32 = 2;
/// Id of the long zoom, a third of what tilts.
pub(crate) const LONG_ZOOM: u32 = 3;
/// The lenses of the set, with their names.
pub(crate) const LENSES: [(u32, &str); 4] =
    [(LIGHT, "light prime"), (PRIME, "prime"), (ANAMORPHIC, "anamorphic"), (LONG_ZOOM, "long zoom")];

/// The typical medium head with a large-format build and four weighed lenses of measured centre of gravity.
pub(crate) fn medium() -> Package {
    Package {
        name: "Simulated build".into(),
        note: String::new(),
        demo: false,
        head: head(),
        mount: Mount { flange_ahead_m: -0.02, flange_left_m: 0.0 },
        parts: parts(),
        lenses: vec![
            lens(LIGHT, "Light prime", 0.9, BenchScale, 0.085, 0.038),
            lens(PRIME, "Prime", 1.7, BenchScale, 0.125, 0.06),
            lens(ANAMORPHIC, "Anamorphic", 2.62, BenchScale, 0.19, 0.09),
            lens(LONG_ZOOM, "Long zoom", 5.6, LuggageScale, 0.38, 0.17),
        ],
        active_lens: Some(ANAMORPHIC),
        moves: vec![],
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

/// The same with the cables on a luggage scale: they are what nobody has weighed.
pub(crate) fn with_weighed_cables() -> Package {
    let mut package = medium();
    for part in &mut package.parts {
        if let PartMass::Share { .. } = part.mass {
            part.mass = PartMass::Own(Mass { kg: 0.6, from: LuggageScale, u_kg: None });
        }
    }
    package
}
