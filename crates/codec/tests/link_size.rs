//! How long a link may be: it must survive messengers, and fit a code that a phone can scan.

use codec::{Document, library, link};
use solver::package::{
    Anchor, Cable, Cg, CgSource, Drag, Element, Head, Load, Mass, MassSource, Package, Part, PartKind, PartMass,
    Position, Shape,
};

/// Characters after the `#`; the link must come back the same.
fn length(package: Package) -> usize {
    let document = Document::from(package);
    let text = link::encode(&document).expect("numbers are in range");
    assert_eq!(link::decode(&text), Ok(document));
    text.len()
}

fn find(name: &str) -> Part {
    library::parts().iter().find(|part| part.name == name).expect("a library part").clone()
}

/// The medium head with its marks set, one lens, one move, no parts.
fn rig() -> Package {
    let mut package = library::demo();
    "Tuesday, unit 2".clone_into(&mut package.name);
    package.note = String::new();
    package.demo = false;
    package.parts = Vec::new();
    package.lenses = vec![library::lenses()[1].clone()];
    package.active_lens = Some(package.lenses[0].id);
    package.moves = vec![library::moves()[1].clone()];
    package
}

/// Fifteen parts of the library, seven of them on a bench scale.
fn usual_parts() -> Vec<Part> {
    let names = [
        "Sliding plate",
        "Bridge plate",
        "Standard body",
        "Rods 15 mm, 300 long",
        "Rod tie",
        "Focus motor",
        "Iris motor",
        "Lens-control receiver",
        "Video transmitter",
        "5-inch monitor",
        "Clip-on matte box",
        "Filter, 4 mm",
        "Cables, clamps, screws",
        "Pack 173 Wh",
        "Pack 173 Wh",
    ];
    let mut parts: Vec<Part> = (1..).zip(names).map(|(id, name)| Part { id, ..find(name) }).collect();
    for (part, kg) in parts.iter_mut().zip([0.512, 0.934, 3.0125, 0.118, 0.236, 0.2044, 0.2051]) {
        part.mass = PartMass::Own(Mass { kg, from: MassSource::BenchScale, u_kg: None });
    }
    parts
}

/// Fifteen parts that are in no library.
fn own_parts() -> Vec<Part> {
    /// Name, kind, mass in kg, size in m, where from, offset from there in m, watts.
    type Row = (&'static str, PartKind, f64, [f64; 3], Anchor, [f64; 3], f64);
    let kit: [Row; 15] = [
        ("Main body", PartKind::Body, 3.412, [0.201, 0.152, 0.166], Anchor::Stack, [-0.101, 0.0, 0.0], 58.0),
        ("Dovetail", PartKind::Plate, 0.744, [0.252, 0.104, 0.022], Anchor::Stack, [-0.09, 0.0, 0.0], 0.0),
        ("Quick plate", PartKind::Plate, 0.391, [0.118, 0.082, 0.018], Anchor::Stack, [-0.08, 0.0, 0.0], 0.0),
        ("Cheese bar", PartKind::Plate, 0.163, [0.16, 0.04, 0.012], Anchor::BodyTop, [0.01, 0.0, 0.006], 0.0),
        ("Short rods", PartKind::Rods, 0.204, [0.22, 0.075, 0.015], Anchor::Flange, [0.04, 0.0, -0.085], 0.0),
        ("Motor right", PartKind::Control, 0.187, [0.09, 0.042, 0.06], Anchor::FocusRing, [0.0, -0.1, 0.0], 3.5),
        ("Motor left", PartKind::Control, 0.188, [0.09, 0.042, 0.06], Anchor::IrisRing, [0.0, 0.1, 0.0], 3.5),
        ("Radio box", PartKind::Control, 0.266, [0.105, 0.07, 0.033], Anchor::BodyTop, [-0.05, 0.03, 0.03], 4.2),
        ("Sender", PartKind::Picture, 0.338, [0.122, 0.066, 0.031], Anchor::BodyRear, [-0.02, 0.0, 0.02], 10.5),
        ("Onboard screen", PartKind::Picture, 0.487, [0.148, 0.029, 0.095], Anchor::BodyTop, [0.02, 0.13, 0.05], 13.0),
        ("Sunshade", PartKind::Front, 0.522, [0.095, 0.155, 0.131], Anchor::LensFront, [0.03, 0.0, 0.0], 0.0),
        ("Grad filter", PartKind::Front, 0.149, [0.004, 0.144, 0.102], Anchor::LensFront, [0.02, 0.0, 0.0], 0.0),
        ("Handle", PartKind::Other, 0.298, [0.19, 0.03, 0.07], Anchor::BodyTop, [0.0, 0.0, 0.06], 0.0),
        ("Splitter", PartKind::Other, 0.142, [0.08, 0.06, 0.03], Anchor::BodyRear, [-0.03, 0.0, -0.05], 0.0),
        ("Slate light", PartKind::Other, 0.088, [0.05, 0.03, 0.03], Anchor::BodyTop, [0.09, 0.05, 0.02], 1.5),
    ];
    (1..)
        .zip(kit)
        .map(|(id, (name, kind, kg, size_m, from, offset_m, typical_w))| Part {
            id,
            name: name.to_owned(),
            kind,
            on: true,
            mass: PartMass::Own(Mass { kg, from: MassSource::BenchScale, u_kg: None }),
            size_m,
            shape: if kind == PartKind::Rods { Shape::RodPair } else { Shape::Box },
            cg: Cg { offset_m: [0.004, 0.0, 0.0], from: CgSource::Measured, u_m: None },
            at: Position { place: "camera".to_owned(), from, offset_m },
            drag: Drag::default(),
            optical_axis_up_m: (kind == PartKind::Body).then_some(0.0725),
            load: (typical_w > 0.0).then(|| Load {
                typical_w,
                peak_w: 1.4 * typical_w,
                window_v: Some([10.5, 17.0]),
                tap: Some("aux_1".to_owned()),
                cable: Some(Cable { length_m: 0.45, conductor_mm2: 0.5 }),
            }),
            pack: None,
        })
        .collect()
}

/// The medium head's layout with every number and every name a person's own.
fn own_head() -> Head {
    let mut head = library::heads()[1].clone();
    "The old faithful".clone_into(&mut head.name);
    head.typical = false;
    head.payload_kg = [5.5, 21.0];
    let mut stretch = 1.0;
    for element in &mut head.chain {
        stretch += 0.013;
        match element {
            Element::Joint(joint) => {
                joint.position_m = joint.position_m.map(|m| m * stretch);
                joint.limits_rad = joint.limits_rad.map(|_| [-1.658_063, 1.518_436]);
                let drive = &mut joint.drive;
                for number in [
                    &mut drive.friction_nm,
                    &mut drive.peak_nm,
                    &mut drive.continuous_nm,
                    &mut drive.motor_constant,
                    &mut drive.max_rate_rad_s,
                    &mut drive.reflected_inertia_kg_m2,
                    &mut drive.winding_to_air_k_w,
                    &mut drive.cable_spring_nm_rad,
                    &mut drive.cable_hysteresis_nm,
                ] {
                    *number *= stretch;
                }
            }
            Element::Slide(slide) => {
                slide.range_m = [0.01, 0.2];
                slide.zero_m = 0.105;
                slide.mark_m = 0.0932;
                slide.name = format!("{} rail", slide.name);
            }
            Element::Yoke(yoke) => {
                yoke.mass = Mass { kg: yoke.mass.kg * stretch, from: MassSource::BenchScale, u_kg: None };
                yoke.cg = Cg { offset_m: [-0.0213, 0.0031, -0.0107], from: CgSource::Measured, u_m: None };
                yoke.inertia_kg_m2 = yoke.inertia_kg_m2.map(|inertia| inertia * stretch);
            }
            Element::Place(place) => place.origin_m = [0.0, 0.0, place.origin_m[2] * stretch],
        }
    }
    for tap in &mut head.taps {
        tap.limit_a *= 1.25;
        tap.name = format!("{} (new)", tap.name);
    }
    Package { head, ..rig() }.quantised().head
}

#[test]
fn library_parts_of_which_seven_are_weighed() {
    let length = length(Package { parts: usual_parts(), ..rig() });
    assert!(length <= 300, "{length} characters");
}

#[test]
fn a_kit_of_ones_own() {
    let length = length(Package { parts: own_parts(), ..rig() }.quantised());
    assert!(length <= 900, "{length} characters");
}

#[test]
fn a_head_of_ones_own_on_top() {
    let on = |head: Head| length(Package { head, parts: usual_parts(), ..rig() });
    let more = on(own_head()).saturating_sub(on(library::heads()[1].clone()));
    assert!(more <= 420, "{more} characters more");
    assert!(more > 150, "{more}: the head is hardly a different one");
}

#[test]
fn the_demonstration() {
    let length = length(library::demo());
    assert!(length <= 1_000, "{length} characters");
}
