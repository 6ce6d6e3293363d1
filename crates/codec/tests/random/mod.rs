//! Packages of every shape from a seed: each option present and absent, each variant, each number anywhere in its range.

use codec::json::Json;
use codec::{Body, Document, Foreign, library};
use solver::FieldPath;
use solver::numbers::Numbers;
use solver::package::{
    Arm, AtHand, Balancing, Break, BreakKind, Cg, CgSource, Element, Isolator, LoggedBalance, LoggedBody, LoggedFace,
    LoggedMark, LoggedOf, Mass, MassSource, Material, Motion, Mounting, Package, PartMass, Plate, RoadClass, Seen,
    SensorOn, Structure, TakenOver, TapVoltage, Tried, Tune, TunedAxis, WeightedFor,
};

/// A generator of numbers that is the same everywhere.
pub(crate) struct Random(u64);

impl Random {
    /// From a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits. Source: Steele, Lea and Flood, `SplitMix64`, 2014 (constants from memory).
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % end.max(1) as u64).expect("below a usize")
    }

    /// True once in `times`.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A name with letters of several bytes, sometimes one of the usual words.
    fn name(&mut self) -> String {
        const WORDS: [&str; 8] = ["Plate", "camera", "Größe", "雨", "Filter", "b", "", "Riser 20 mm"];
        (0..=self.below(3)).map(|_| WORDS[self.below(WORDS.len())]).collect::<Vec<_>>().join(" ")
    }
}

/// A document of any shape, its numbers on their storage steps and within their ranges.
pub(crate) fn document(seed: u64) -> Document {
    let random = &mut Random::new(seed);
    let mut package = if random.once_in(2) { library::demo() } else { on_library_head(random) };
    shake_lists(&mut package, random);
    shake_options(&mut package, random);
    if random.once_in(2) {
        package.change_numbers(&mut FieldPath::root(), &mut |_, value, bounds| {
            if random.once_in(3) {
                let anywhere = bounds.min + random.share() * (bounds.max - bounds.min);
                *value = bounds.quantise([anywhere, bounds.min, bounds.max, 0.0][random.below(4)]);
                *value = value.clamp(bounds.min, bounds.max);
            }
        });
    }
    shake_later(&mut package);
    // The ends of a few ranges are no whole steps: what is stored is the step next to them, inside.
    package.change_numbers(&mut FieldPath::root(), &mut |_, value, bounds| {
        *value = bounds.quantise(*value);
        if !bounds.contains(*value) {
            *value = bounds.quantise(0.5 * (bounds.min + bounds.max));
        }
    });
    let mut foreign: Vec<Foreign> = (0..random.below(3)).map(|place| foreign(place, random)).collect();
    // A JSON object has no order of its own; its reader sorts the names.
    foreign.sort_by(|one, other| one.name.cmp(&other.name));
    Document { package, foreign }
}

fn on_library_head(random: &mut Random) -> Package {
    let head = library::heads()[random.below(library::heads().len())].clone();
    let moves = library::moves().iter().map(|each| library::move_for(each, &head)).collect();
    Package {
        head,
        moves,
        parts: library::parts().to_vec(),
        lenses: library::lenses().to_vec(),
        active_lens: None,
        ..library::demo()
    }
}

fn shake_lists(package: &mut Package, random: &mut Random) {
    fn shake<T: Clone>(list: &mut Vec<T>, random: &mut Random) {
        list.retain(|_| !random.once_in(4));
        for _ in 0..random.below(4) {
            if !list.is_empty() {
                let item = list[random.below(list.len())].clone();
                list.insert(random.below(list.len()), item);
            }
        }
    }
    shake(&mut package.parts, random);
    shake(&mut package.lenses, random);
    shake(&mut package.moves, random);
    shake(&mut package.head.chain, random);
    shake(&mut package.head.taps, random);
    for part in &mut package.parts {
        if random.once_in(6) {
            part.id = u32::try_from(random.below(1 << 32)).expect("32 bits");
        }
        if random.once_in(4) {
            part.name = random.name();
        }
    }
}

/// Fields that came later take their turn from what is there: so the packages of the golden shapes stay what they were.
fn shake_later(package: &mut Package) {
    let kinds = [BreakKind::Off, BreakKind::HeadOn, BreakKind::Charging];
    for ((index, each), kind) in package.moves.iter_mut().enumerate().zip(kinds.into_iter().cycle()) {
        each.break_after = (index % 2 == 0).then_some(Break { length_min: 45.0, kind });
    }
    if package.demo {
        package.change_minutes.slide_min = Some(0.75);
        package.change_minutes.tune_min = Some(4.25);
        for group in &mut package.head.tap_groups {
            group.name = Some("Plate".to_owned());
        }
    }
}

fn shake_options(package: &mut Package, random: &mut Random) {
    package.note = random.name();
    package.demo = random.once_in(2);
    for part in &mut package.parts {
        part.on ^= random.once_in(5);
        part.drag.sheltered ^= random.once_in(5);
        if random.once_in(5) {
            part.cg.u_m = Some(0.0123);
        }
        if random.once_in(8) {
            part.mass = PartMass::Share { fraction: 0.07 };
        }
        if random.once_in(5) {
            part.load = None;
        }
        if let Some(load) = &mut part.load {
            load.tap = (!random.once_in(3)).then(|| random.name());
            load.window_v = (!random.once_in(3)).then_some([9.5, 16.25]);
        }
    }
    for each in &mut package.moves {
        each.mounting = [Mounting::Hung, Mounting::Stood, Mounting::Side][random.below(3)];
        if random.once_in(3) {
            each.isolator = Some(Isolator { natural_hz: 4.5, damping: 0.2, rated_kg: 40.0 });
        }
        match random.below(4) {
            0 => {
                each.motion = Motion::Sea { height_m: 0.4, period_s: 3.25, lean_rad: 0.123_456, slam_m_s2: 5.0 };
            }
            1 => {
                each.motion = Motion::Road {
                    class: [RoadClass::A, RoadClass::C, RoadClass::E][random.below(3)],
                    speed_m_s: 16.7,
                    wheelbase_m: 2.9,
                    lateral_share: 0.4,
                    fore_aft_share: 0.25,
                    lean_rad: 0.05,
                    steady_m_s2: 2.0,
                };
            }
            _ => {}
        }
    }
    for element in &mut package.head.chain {
        match element {
            Element::Slide(slide) if random.once_in(3) => slide.hole_spacing_m = Some(0.012_7),
            Element::Joint(joint) if random.once_in(3) => joint.limits_rad = None,
            _ => {}
        }
    }
    for tap in &mut package.head.taps {
        if random.once_in(3) {
            tap.voltage = TapVoltage::FollowsPack;
            tap.group = None;
        }
    }
    if random.once_in(3) {
        package.head.opening = None;
    }
    if random.once_in(3) {
        let axes = vec![TunedAxis { joint: "tilt".to_owned(), inertia_kg_m2: 0.7 }];
        package.tune = Some(Tune { name: random.name(), axes, check_share: 0.15, again_share: 0.3 });
    }
    if random.once_in(3) {
        let weighted = random.once_in(2).then(|| WeightedFor { name: random.name(), all_up_kg: 31.25 });
        let plates = vec![Plate { kg: 12.5, count: 8.0 }, Plate { kg: 1.0, count: 4.0 }];
        package.arm = Some(Arm { head_length_m: 3.0, weight_length_m: 1.2, empty_kg: 14.5, plates, weighted });
    }
    if random.once_in(3) {
        let weights_kg = (0..random.below(4)).map(|_| 0.125).collect();
        package.at_hand = Some(AtHand { weights_kg, holes_each_way: 7.0, ..AtHand::default() });
    }
    package.logs = (0..random.below(3)).map(|id| log(id, random)).collect();
    package.balancing = random.once_in(2).then(|| balancing(random));
    if random.once_in(2) {
        package.structure = structure(random);
    }
    if random.once_in(2) {
        package.day.charger_places = Some(4.0);
        package.day.charge_h = Some(2.25);
    }
    for pack in package.parts.iter_mut().filter_map(|part| part.pack.as_mut()) {
        pack.rated_wh = random.once_in(2).then_some(97.5);
    }
}

fn structure(random: &mut Random) -> Structure {
    let mut sometimes = |value: f64| (!random.once_in(3)).then_some(value);
    Structure {
        rod_wall_m: sometimes(0.001_75),
        fastening_nm_rad: sometimes(30_000.0),
        lens_mount_nm_rad: sometimes(8_500.0),
        support_n_m: sometimes(400_000.0),
        flange_depth_m: sometimes(0.051_99),
        picture_height_m: sometimes(0.021_6),
        picture_width_m: sometimes(0.025_1),
        rod_material: (!random.once_in(3)).then_some(material(random)),
        plate_material: (!random.once_in(3)).then_some(material(random)),
        sensor_on: [SensorOn::Head, SensorOn::Plate, SensorOn::Body][random.below(3)],
    }
}

fn material(random: &mut Random) -> Material {
    [Material::Aluminium, Material::Steel, Material::CarbonWrapped, Material::CarbonDrawn][random.below(4)]
}

fn face(random: &mut Random) -> LoggedFace {
    LoggedFace { joint: random.name(), direction: [0.6, 0.0, -0.8], u_kg_m: random.once_in(2).then_some(0.004_2) }
}

fn log(id: usize, random: &mut Random) -> LoggedBalance {
    let body = |random: &mut Random| LoggedBody {
        of: match random.below(3) {
            0 => LoggedOf::Part(7),
            1 => LoggedOf::Lens(300),
            _ => LoggedOf::Yoke(2),
        },
        cg_m: [0.1, -0.2, 0.0],
        place: random.once_in(2).then(|| "camera".to_owned()),
        cg_offset_m: random.once_in(2).then_some([0.02, 0.0, -0.01]),
        taken_over: random.once_in(3).then(|| TakenOver {
            mass: PartMass::Share { fraction: 0.05 },
            cg: Cg { offset_m: [0.01, 0.0, 0.0], from: CgSource::Estimate, u_m: None },
            then_kg: 0.9,
            then_cg_m: [0.012, 0.0, -0.003],
        }),
    };
    LoggedBalance {
        id: u32::try_from(id).expect("a small number"),
        note: random.name(),
        axes: vec!["tilt".to_owned(), random.name()],
        faces: (0..random.below(3)).map(|_| face(random)).collect(),
        marks: vec![LoggedMark { slide: "plate".to_owned(), mark_m: 0.142 }],
        bodies: (0..random.below(5)).map(|_| body(random)).collect(),
        tip_rad: 0.261_799,
        weighed: random.once_in(2).then_some(Mass { kg: 14.2, from: MassSource::LuggageScale, u_kg: None }),
    }
}

fn balancing(random: &mut Random) -> Balancing {
    let tried = |random: &mut Random| Tried {
        joint: random.name(),
        at: random.once_in(2).then(|| LoggedMark { slide: "plate".to_owned(), mark_m: 0.142 }),
        seen: match random.below(7) {
            0 => Seen::Stays,
            1 => Seen::WantsMore,
            2 => Seen::WantsLess,
            3 => Seen::Gauge { mark_m: 0.101, u_m: 0.0015 },
            4 => Seen::Turns,
            5 => Seen::Ends { low_m: 0.1402, high_m: 0.1436 },
            _ => Seen::LeftOut,
        },
    };
    Balancing {
        lens: random.once_in(2).then_some(3),
        parts: vec![1, 4, 300],
        ready: (0..random.below(3)).map(|_| random.name()).collect(),
        other_way: random.once_in(2),
        tried: (0..random.below(5)).map(|_| tried(random)).collect(),
        log: random.once_in(2).then_some(7),
    }
}

fn foreign(place: usize, random: &mut Random) -> Foreign {
    if random.once_in(2) {
        let bytes = (0..random.below(20)).map(|_| random.next().to_le_bytes()[0]).collect();
        return Foreign { name: format!("#{}", 40 + place), version: 3, body: Body::Bytes(bytes) };
    }
    let list = vec![Json::Null, Json::Bool(true), Json::Number(-1.5e-3), Json::Number(1e9), Json::Text(random.name())];
    let map = vec![("empty".to_owned(), Json::Map(Vec::new())), ("list".to_owned(), Json::List(list))];
    Foreign { name: format!("structure{place}"), version: 7, body: Body::Json(Json::Map(map)) }
}
