//! A head of one's own, to begin with: axes in their order from the platform, everything else typical until it is read
//! off or measured.
//!
//! The figures are invented and mutually consistent for three sizes of head; masses and places of the yokes carry the
//! provenance *typical*, so that logged balances correct them first.

use serde::{Deserialize, Serialize};

use crate::bounds;
use crate::constants::DEGREE_RAD;
use crate::package::{
    Cg, CgSource, Drive, DriveKind, Element, Head, Joint, Mass, MassSource, Opening, Place, Slide, Turns, Yoke,
};

/// Which way an axis lies at rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AxisKind {
    /// Upright.
    Pan,
    /// Level, along the lens.
    Roll,
    /// Level, across the lens.
    Tilt,
}

/// Typical figures of one size of head. Invented.
struct Size {
    /// Largest camera mass up to which this size is meant, kg.
    up_to_kg: f64,
    base_kg: f64,
    pan: AxisFigures,
    roll: AxisFigures,
    tilt: AxisFigures,
    /// How far the pan yoke's centre of gravity lies behind its axis, and that of the yoke between pan and the innermost, m.
    behind_m: [f64; 2],
    base_inertia_kg_m2: f64,
    reflected_inertia_kg_m2: f64,
    winding_to_air_k_w: f64,
    max_rate_rad_s: f64,
    idle_w: f64,
    crossover_hz: f64,
    opening: Opening,
}

/// Typical figures of one axis.
struct AxisFigures {
    yoke_kg: f64,
    inertia_kg_m2: f64,
    continuous_nm: f64,
    peak_nm: f64,
    motor_constant: f64,
    friction_nm: f64,
}

impl AxisFigures {
    const fn new(yoke: [f64; 2], torque_nm: [f64; 2], motor_constant: f64, friction_nm: f64) -> Self {
        let ([yoke_kg, inertia_kg_m2], [continuous_nm, peak_nm]) = (yoke, torque_nm);
        Self { yoke_kg, inertia_kg_m2, continuous_nm, peak_nm, motor_constant, friction_nm }
    }
}

const SIZES: [Size; 3] = [
    Size {
        up_to_kg: 9.0,
        base_kg: 0.7,
        pan: AxisFigures::new([1.5, 0.03], [2.6, 8.0], 0.55, 0.12),
        roll: AxisFigures::new([1.4, 0.02], [2.4, 7.0], 0.5, 0.08),
        tilt: AxisFigures::new([0.9, 0.01], [2.0, 6.0], 0.45, 0.06),
        behind_m: [0.04, 0.02],
        base_inertia_kg_m2: 0.03,
        reflected_inertia_kg_m2: 0.000_5,
        winding_to_air_k_w: 4.8,
        max_rate_rad_s: 4.188_79,
        idle_w: 6.0,
        crossover_hz: 8.0,
        opening: Opening { width_m: 0.13, height_m: [0.12, 0.19], clear_radius_m: 0.21 },
    },
    Size {
        up_to_kg: 27.0,
        base_kg: 2.0,
        pan: AxisFigures::new([4.8, 0.25], [9.0, 26.0], 1.3, 0.45),
        roll: AxisFigures::new([3.6, 0.15], [8.0, 24.0], 1.2, 0.25),
        tilt: AxisFigures::new([2.6, 0.06], [7.0, 20.0], 1.1, 0.2),
        behind_m: [0.06, 0.03],
        base_inertia_kg_m2: 0.25,
        reflected_inertia_kg_m2: 0.002,
        winding_to_air_k_w: 2.3,
        max_rate_rad_s: 3.490_659,
        idle_w: 14.0,
        crossover_hz: 6.0,
        opening: Opening { width_m: 0.19, height_m: [0.17, 0.26], clear_radius_m: 0.33 },
    },
    Size {
        up_to_kg: f64::INFINITY,
        base_kg: 4.0,
        pan: AxisFigures::new([10.0, 1.0], [28.0, 80.0], 3.0, 1.2),
        roll: AxisFigures::new([8.0, 0.6], [26.0, 75.0], 2.8, 0.8),
        tilt: AxisFigures::new([6.0, 0.25], [22.0, 65.0], 2.6, 0.6),
        behind_m: [0.09, 0.04],
        base_inertia_kg_m2: 1.0,
        reflected_inertia_kg_m2: 0.008,
        winding_to_air_k_w: 1.2,
        max_rate_rad_s: 2.617_994,
        idle_w: 25.0,
        crossover_hz: 4.0,
        opening: Opening { width_m: 0.28, height_m: [0.22, 0.38], clear_radius_m: 0.43 },
    },
];

/// From the mount down to the first level axis, until it is measured, m.
const DROP_M: f64 = 0.3;
/// From the innermost level axis down to the camera plate, until it is measured, m.
const PLATE_UNDER_M: f64 = 0.12;
/// Travel of a slide until it is read off, m.
const TRAVEL_M: f64 = 0.1;

/// A head to begin a description with: the axes of `order`, platform first, for camera masses of `payload_kg`.
///
/// An axis named twice counts once; without any the head pans. The innermost axis carries height, side and plate slides,
/// pan one of its own where another axis stands inside it.
pub fn begin(name: &str, order: &[AxisKind], payload_kg: [f64; 2]) -> Head {
    let mut axes: Vec<AxisKind> = Vec::new();
    for kind in order {
        if !axes.contains(kind) {
            axes.push(*kind);
        }
    }
    if axes.is_empty() {
        axes.push(AxisKind::Pan);
    }
    let size = SIZES.iter().find(|size| payload_kg[1] <= size.up_to_kg).unwrap_or(&SIZES[2]);
    let mut chain = vec![yoke("Base", size.base_kg, [0.0; 3], size.base_inertia_kg_m2)];
    let mut level_yet = false;
    for (place, kind) in axes.iter().enumerate() {
        let inside = &axes[place + 1..];
        let drop_m = if *kind != AxisKind::Pan && !level_yet { DROP_M } else { 0.0 };
        level_yet |= *kind != AxisKind::Pan;
        chain.push(Element::Joint(joint(*kind, size, drop_m)));
        chain.extend(carried(*kind, &axes[..place], inside, size));
    }
    chain.extend(["height", "side", "plate"].map(|id| Element::Slide(slide(id))));
    chain.push(Element::Place(Place {
        id: "camera".to_owned(),
        name: "Camera plate".to_owned(),
        origin_m: [0.0, 0.0, -PLATE_UNDER_M],
        camera: true,
    }));
    Head {
        name: name.to_owned(),
        typical: true,
        payload_kg,
        chain,
        opening: Some(size.opening.clone()),
        taps: Vec::new(),
        tap_groups: Vec::new(),
        idle_w: size.idle_w,
        crossover_hz: size.crossover_hz,
    }
}

/// What an axis carries besides the axes inside it: its yoke, and for pan a place for packs and a slide.
fn carried(kind: AxisKind, outside: &[AxisKind], inside: &[AxisKind], size: &Size) -> Vec<Element> {
    let (innermost, outermost) = (inside.is_empty(), outside.is_empty());
    let [pan_m, between_m] = size.behind_m;
    let behind_m = match kind {
        _ if innermost => 0.0,
        AxisKind::Pan => pan_m,
        // The slides that move fore-aft balance pan then, and nothing would be left for this yoke.
        _ if inside.contains(&AxisKind::Pan) => 0.0,
        _ => between_m,
    };
    // A pan yoke reaches from its axis down to the level axes, unless one of them carries it: all others are level.
    let down_m = if kind == AxisKind::Pan && !innermost && outermost { 0.5 * DROP_M } else { 0.0 };
    let figures = size.figures(kind);
    let name = format!("{} yoke", kind.name());
    let mut carried = vec![yoke(&name, figures.yoke_kg, [-behind_m, 0.0, -down_m], figures.inertia_kg_m2)];
    if outermost && !innermost {
        let (id, name) = (format!("{}_yoke", kind.id()), format!("Rear of the {} yoke", kind.id()));
        carried.push(Element::Place(Place { id, name, origin_m: [0.0, 0.0, -down_m], camera: false }));
    }
    if kind == AxisKind::Pan && !innermost {
        carried.push(Element::Slide(slide("pan_slide")));
    }
    carried
}

impl Size {
    fn figures(&self, kind: AxisKind) -> &AxisFigures {
        match kind {
            AxisKind::Pan => &self.pan,
            AxisKind::Roll => &self.roll,
            AxisKind::Tilt => &self.tilt,
        }
    }
}

impl AxisKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Pan, Self::Roll, Self::Tilt];

    /// Identity of such an axis within a head.
    pub fn id(self) -> &'static str {
        match self {
            Self::Pan => "pan",
            Self::Roll => "roll",
            Self::Tilt => "tilt",
        }
    }

    /// What the crew calls it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pan => "Pan",
            Self::Roll => "Roll",
            Self::Tilt => "Tilt",
        }
    }

    fn axis(self) -> [f64; 3] {
        match self {
            Self::Pan => [0.0, 0.0, 1.0],
            Self::Roll => [1.0, 0.0, 0.0],
            Self::Tilt => [0.0, 1.0, 0.0],
        }
    }

    /// How far it turns either way until that is read off, rad; pan turns freely.
    fn limits_rad(self) -> Option<[f64; 2]> {
        let either_way_deg = match self {
            Self::Pan => return None,
            Self::Roll => 45.0,
            Self::Tilt => 100.0,
        };
        let rad = bounds::ANGLE_RAD.quantise(either_way_deg * DEGREE_RAD);
        Some([-rad, rad])
    }

    fn turns(self) -> Turns {
        let (plus, minus, shown, shown_reversed) = match self {
            Self::Pan => ("nose swings left", "nose swings right", "right", true),
            Self::Roll => ("right side drops", "left side drops", "right down", false),
            Self::Tilt => ("nose drops", "tail drops", "up", true),
        };
        Turns { plus: plus.to_owned(), minus: minus.to_owned(), shown: shown.to_owned(), shown_reversed }
    }
}

fn joint(kind: AxisKind, size: &Size, drop_m: f64) -> Joint {
    let figures = size.figures(kind);
    Joint {
        id: kind.id().to_owned(),
        name: kind.name().to_owned(),
        axis: kind.axis(),
        position_m: [0.0, 0.0, -drop_m],
        limits_rad: kind.limits_rad(),
        drive: Drive {
            kind: DriveKind::Direct,
            ratio: 1.0,
            efficiency: 1.0,
            reflected_inertia_kg_m2: size.reflected_inertia_kg_m2,
            friction_nm: figures.friction_nm,
            peak_nm: figures.peak_nm,
            peak_s: 2.0,
            continuous_nm: figures.continuous_nm,
            motor_constant: figures.motor_constant,
            winding_to_air_k_w: size.winding_to_air_k_w,
            max_rate_rad_s: size.max_rate_rad_s,
            cable_spring_nm_rad: 0.0,
            cable_hysteresis_nm: 0.0,
        },
        turns: kind.turns(),
    }
}

fn yoke(name: &str, kg: f64, offset_m: [f64; 3], inertia_kg_m2: f64) -> Element {
    Element::Yoke(Yoke {
        name: name.to_owned(),
        mass: Mass { kg, from: MassSource::Typical, u_kg: None },
        cg: Cg { offset_m, from: CgSource::Typical, u_m: None },
        inertia_kg_m2: [inertia_kg_m2; 3],
    })
}

/// A slide of that id, half its travel either way of the middle.
fn slide(id: &str) -> Slide {
    let (name, direction, [plus, minus]) = match id {
        "height" => ("Height", [0.0, 0.0, 1.0], ["up", "down"]),
        "side" => ("Side", [0.0, 1.0, 0.0], ["left", "right"]),
        "pan_slide" => ("Pan slide", [1.0, 0.0, 0.0], ["forward", "back"]),
        "plate" => ("Plate", [1.0, 0.0, 0.0], ["forward", "back"]),
        other => (other, [1.0, 0.0, 0.0], ["forward", "back"]),
    };
    Slide {
        id: id.to_owned(),
        name: name.to_owned(),
        direction,
        range_m: [0.0, TRAVEL_M],
        zero_m: 0.5 * TRAVEL_M,
        mark_m: 0.5 * TRAVEL_M,
        hole_spacing_m: None,
        plus: plus.to_owned(),
        minus: minus.to_owned(),
    }
}

/// Adds a slide that carries everything inside of the joint with this id, the innermost when there is none of it. Its id
/// is the first free one.
pub fn add_slide(head: &mut Head, joint: &str) {
    // One more number than there are slides: one of them is free.
    let mut numbers = 1..=head.slides().count() + 1;
    let free = numbers.find(|number| head.slides().all(|slide| slide.id != format!("slide_{number}")));
    let slide = Slide { name: "Slide".to_owned(), ..slide(&format!("slide_{}", free.unwrap_or_default())) };
    insert_slide(head, joint, slide);
}

/// Lets a slide carry everything inside of another joint.
pub fn move_slide(head: &mut Head, slide: &str, joint: &str) {
    let at = head.chain.iter().position(|element| matches!(element, Element::Slide(each) if each.id == slide));
    if let Some(Element::Slide(slide)) = at.map(|at| head.chain.remove(at)) {
        insert_slide(head, joint, slide);
    }
}

/// Id of the joint inside of which a slide stands; `None` when it stands outside all of them.
pub fn carrier<'a>(head: &'a Head, slide: &str) -> Option<&'a str> {
    let mut carrier = None;
    for element in &head.chain {
        match element {
            Element::Joint(joint) => carrier = Some(joint.id.as_str()),
            Element::Slide(each) if each.id == slide => return carrier,
            _ => {}
        }
    }
    None
}

/// Inside of a joint, as far in as the next joint or the camera's place.
fn insert_slide(head: &mut Head, joint: &str, slide: Slide) {
    let is_joint = |element: &Element| matches!(element, Element::Joint(each) if each.id == joint);
    let after = head.chain.iter().position(is_joint).map_or(0, |at| at + 1);
    let ends = |element: &Element| match element {
        Element::Joint(_) => true,
        Element::Place(place) => place.camera,
        Element::Slide(_) | Element::Yoke(_) => false,
    };
    let inner = head.chain[after..].iter().position(ends).map_or(head.chain.len(), |at| after + at);
    head.chain.insert(inner, Element::Slide(slide));
}
