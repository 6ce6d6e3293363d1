//! Every fault of a package at once.

use std::collections::BTreeSet;

use crate::bounds;
use crate::error::{InputError, Problem};
use crate::numbers::Numbers;
use crate::package::{Element, Head, Package, PartMass};
use crate::path::FieldPath;

/// Checks every number against its bounds, and every name, id, direction and reference.
///
/// # Errors
/// All faults that were found, in the order of the package.
pub fn validate(package: &Package) -> Result<(), Vec<InputError>> {
    let mut faults = Faults::default();
    package.see_numbers(&mut FieldPath::root(), &mut |path, value, bounds| {
        if let Some(problem) = Problem::of_number(value, bounds) {
            faults.add(path, problem);
        }
    });
    let root = FieldPath::root();
    faults.name(&root.field("name"), &package.name);
    faults.text(&root.field("note"), &package.note, bounds::MAX_NOTE_BYTES);
    head(&package.head, &root.field("head"), &mut faults);
    lists(package, &root, &mut faults);
    moves(package, &root, &mut faults);
    arm(package, &root, &mut faults);
    at_hand(package, &root, &mut faults);
    learned(package, &root, &mut faults);
    if faults.0.is_empty() { Ok(()) } else { Err(faults.0) }
}

fn arm(package: &Package, root: &FieldPath, faults: &mut Faults) {
    let Some(arm) = &package.arm else { return };
    let at = root.field("arm");
    faults.count(&at.field("plates"), arm.plates.len(), bounds::MAX_PLATES, "kinds of plates");
    if let Some(weighted) = &arm.weighted {
        faults.name(&at.field("weighted").field("name"), &weighted.name);
    }
}

fn at_hand(package: &Package, root: &FieldPath, faults: &mut Faults) {
    let Some(kit) = &package.at_hand else { return };
    let at = root.field("at_hand");
    for (name, count) in
        [("risers_m", kit.risers_m.len()), ("rods_m", kit.rods_m.len()), ("weights_kg", kit.weights_kg.len())]
    {
        faults.count(&at.field(name), count, bounds::MAX_AT_HAND, "kinds");
    }
}

#[derive(Default)]
struct Faults(Vec<InputError>);

impl Faults {
    fn add(&mut self, path: &FieldPath, problem: Problem) {
        self.0.push(InputError { field: path.clone(), problem });
    }

    fn name(&mut self, path: &FieldPath, name: &str) {
        if name.trim().is_empty() {
            self.add(path, Problem::Empty);
        }
        self.text(path, name, bounds::MAX_NAME_BYTES);
    }

    fn text(&mut self, path: &FieldPath, text: &str, max: usize) {
        self.count(path, text.len(), max, "bytes of text");
    }

    fn count(&mut self, path: &FieldPath, count: usize, max: usize, what: &'static str) {
        if count > max {
            self.add(path, Problem::TooMany { count, max, what });
        }
    }

    fn range(&mut self, path: &FieldPath, [low, high]: [f64; 2], unit: &'static str) {
        if low > high {
            self.add(path, Problem::RangeReversed { low, high, unit });
        }
    }

    fn direction(&mut self, path: &FieldPath, [x, y, z]: [f64; 3]) {
        let length = libm::sqrt(x * x + y * y + z * z);
        if length.is_finite() && (length - 1.0).abs() > 1e-3 {
            self.add(path, Problem::NotUnitLength { length });
        }
    }

    fn unique<T: Ord + ToString>(&mut self, ids: impl Iterator<Item = (FieldPath, T)>) {
        let mut seen = BTreeSet::new();
        for (path, id) in ids {
            if seen.contains(&id) {
                self.add(&path, Problem::DuplicateId { id: id.to_string() });
            } else {
                seen.insert(id);
            }
        }
    }

    fn known(&mut self, path: &FieldPath, known: bool, what: &'static str, id: &str) {
        if !known {
            self.add(path, Problem::Unknown { what, id: id.to_owned() });
        }
    }
}

fn head(head: &Head, at: &FieldPath, faults: &mut Faults) {
    faults.name(&at.field("name"), &head.name);
    faults.range(&at.field("payload_kg"), head.payload_kg, "kg");
    if let Some(opening) = &head.opening {
        faults.range(&at.field("opening").field("height_m"), opening.height_m, "m");
    }
    let chain = at.field("chain");
    faults.count(&chain, head.chain.len(), bounds::MAX_ELEMENTS, "elements");
    faults.count(&chain, head.joints().count(), bounds::MAX_JOINTS, "joints");
    faults.count(&chain, head.slides().count(), bounds::MAX_SLIDES, "slides");
    for (index, element) in head.chain.iter().enumerate() {
        self::element(element, &chain.index(index), faults);
    }
    let of = |pick: fn(&Element) -> Option<&str>| {
        let chain = &chain;
        head.chain
            .iter()
            .enumerate()
            .filter_map(move |(index, element)| pick(element).map(|id| (chain.index(index).field("id"), id)))
    };
    faults.unique(of(|element| if let Element::Joint(joint) = element { Some(&joint.id) } else { None }));
    faults.unique(of(|element| if let Element::Slide(slide) = element { Some(&slide.id) } else { None }));
    faults.unique(of(|element| if let Element::Place(place) = element { Some(&place.id) } else { None }));
    taps(head, at, faults);
}

fn element(element: &Element, at: &FieldPath, faults: &mut Faults) {
    match element {
        Element::Joint(joint) => {
            faults.name(&at.field("id"), &joint.id);
            faults.name(&at.field("name"), &joint.name);
            faults.direction(&at.field("axis"), joint.axis);
            if let Some(limits_rad) = joint.limits_rad {
                faults.range(&at.field("limits_rad"), limits_rad, "rad");
            }
            let turns = at.field("turns");
            for (name, word) in
                [("plus", &joint.turns.plus), ("minus", &joint.turns.minus), ("shown", &joint.turns.shown)]
            {
                faults.name(&turns.field(name), word);
            }
        }
        Element::Slide(slide) => {
            faults.name(&at.field("id"), &slide.id);
            faults.name(&at.field("name"), &slide.name);
            faults.name(&at.field("plus"), &slide.plus);
            faults.name(&at.field("minus"), &slide.minus);
            faults.direction(&at.field("direction"), slide.direction);
            faults.range(&at.field("range_m"), slide.range_m, "m");
            let [low, high] = slide.range_m;
            for (name, value) in [("zero_m", slide.zero_m), ("mark_m", slide.mark_m)] {
                if low <= high && value.is_finite() && !(low..=high).contains(&value) {
                    faults.add(&at.field(name), Problem::OutOfRange { value, min: low, max: high, unit: "m" });
                }
            }
        }
        Element::Yoke(yoke) => {
            faults.name(&at.field("name"), &yoke.name);
            let [x, y, z] = yoke.inertia_kg_m2;
            // The slack allows for moments rounded to a few digits.
            let slack = 1e-6 + 1e-3 * (x + y + z);
            if x > y + z + slack || y > x + z + slack || z > x + y + slack {
                faults.add(&at.field("inertia_kg_m2"), Problem::ImpossibleInertia { moments_kg_m2: [x, y, z] });
            }
        }
        Element::Place(place) => {
            faults.name(&at.field("id"), &place.id);
            faults.name(&at.field("name"), &place.name);
        }
    }
}

fn taps(head: &Head, at: &FieldPath, faults: &mut Faults) {
    let (taps, groups) = (at.field("taps"), at.field("tap_groups"));
    faults.count(&taps, head.taps.len(), bounds::MAX_TAPS, "taps");
    faults.count(&groups, head.tap_groups.len(), bounds::MAX_TAPS, "tap groups");
    faults.unique(head.taps.iter().enumerate().map(|(index, tap)| (taps.index(index).field("id"), tap.id.as_str())));
    faults.unique(
        head.tap_groups.iter().enumerate().map(|(index, group)| (groups.index(index).field("id"), group.id.as_str())),
    );
    for (index, group) in head.tap_groups.iter().enumerate() {
        if let Some(name) = &group.name {
            faults.name(&groups.index(index).field("name"), name);
        }
    }
    for (index, tap) in head.taps.iter().enumerate() {
        faults.name(&taps.index(index).field("id"), &tap.id);
        faults.name(&taps.index(index).field("name"), &tap.name);
        if let Some(id) = &tap.group {
            let known = head.tap_groups.iter().any(|group| group.id == *id);
            faults.known(&taps.index(index).field("group"), known, "tap group", id);
        }
    }
}

fn lists(package: &Package, root: &FieldPath, faults: &mut Faults) {
    let (parts, lenses) = (root.field("parts"), root.field("lenses"));
    faults.count(&parts, package.parts.len(), bounds::MAX_PARTS, "parts");
    faults.count(&lenses, package.lenses.len(), bounds::MAX_LENSES, "lenses");
    faults.unique(package.parts.iter().enumerate().map(|(index, part)| (parts.index(index).field("id"), part.id)));
    faults.unique(package.lenses.iter().enumerate().map(|(index, lens)| (lenses.index(index).field("id"), lens.id)));
    for (index, part) in package.parts.iter().enumerate() {
        let at = parts.index(index);
        faults.name(&at.field("name"), &part.name);
        let known = package.head.places().any(|place| place.id == part.at.place);
        faults.known(&at.field("at").field("place"), known, "place", &part.at.place);
        if let Some(load) = &part.load {
            if let Some(window_v) = load.window_v {
                faults.range(&at.field("load").field("window_v"), window_v, "V");
            }
            if let Some(id) = &load.tap {
                let known = package.head.taps.iter().any(|tap| tap.id == *id);
                faults.known(&at.field("load").field("tap"), known, "tap", id);
            }
        }
        if matches!(part.mass, PartMass::Share { .. }) && !camera_place(&package.head, &part.at.place) {
            faults.known(&at.field("at").field("place"), false, "camera place for a share", &part.at.place);
        }
    }
    for (index, lens) in package.lenses.iter().enumerate() {
        let at = lenses.index(index);
        faults.name(&at.field("name"), &lens.name);
        if let Some(focal_length_m) = lens.focal_length_m {
            faults.range(&at.field("focal_length_m"), focal_length_m, "m");
        }
        for (list, ids) in [("brings", &lens.brings), ("leaves_off", &lens.leaves_off)] {
            for (place, id) in ids.iter().enumerate() {
                let known = package.parts.iter().any(|part| part.id == *id);
                faults.known(&at.field(list).index(place), known, "part", &id.to_string());
            }
        }
    }
    if let Some(id) = package.active_lens {
        let known = package.lenses.iter().any(|lens| lens.id == id);
        faults.known(&root.field("active_lens"), known, "lens", &id.to_string());
    }
}

fn camera_place(head: &Head, id: &str) -> bool {
    head.places().any(|place| place.id == id && place.camera)
}

fn moves(package: &Package, root: &FieldPath, faults: &mut Faults) {
    let moves = root.field("moves");
    faults.count(&moves, package.moves.len(), bounds::MAX_MOVES, "moves");
    faults.unique(package.moves.iter().enumerate().map(|(index, each)| (moves.index(index).field("id"), each.id)));
    for (index, each) in package.moves.iter().enumerate() {
        let at = moves.index(index);
        faults.name(&at.field("name"), &each.name);
        faults.count(&at.field("operator"), each.operator.len(), bounds::MAX_JOINTS, "axis moves");
        faults.count(&at.field("ranges"), each.ranges.len(), bounds::MAX_JOINTS, "working ranges");
        faults.unique(
            each.operator
                .iter()
                .enumerate()
                .map(|(place, axis)| (at.field("operator").index(place).field("joint"), axis.joint.as_str())),
        );
        for (place, range) in each.ranges.iter().enumerate() {
            faults.range(&at.field("ranges").index(place).field("range_rad"), range.range_rad, "rad");
        }
    }
}

fn learned(package: &Package, root: &FieldPath, faults: &mut Faults) {
    if let Some(tune) = &package.tune {
        let at = root.field("tune");
        faults.name(&at.field("name"), &tune.name);
        faults.count(&at.field("axes"), tune.axes.len(), bounds::MAX_JOINTS, "tuned axes");
    }
    let logs = root.field("logs");
    faults.count(&logs, package.logs.len(), bounds::MAX_LOGS, "logged balances");
    faults.unique(package.logs.iter().enumerate().map(|(index, log)| (logs.index(index).field("id"), log.id)));
    for (index, log) in package.logs.iter().enumerate() {
        let at = logs.index(index);
        faults.text(&at.field("note"), &log.note, bounds::MAX_NOTE_BYTES);
        faults.count(&at.field("bodies"), log.bodies.len(), bounds::MAX_PARTS + bounds::MAX_ELEMENTS, "bodies");
        faults.count(&at.field("marks"), log.marks.len(), bounds::MAX_SLIDES, "marks");
        faults.count(&at.field("axes"), log.axes.len(), bounds::MAX_JOINTS, "axes");
        faults.count(&at.field("faces"), log.faces.len(), 2 * bounds::MAX_JOINTS, "faces");
    }
    if let Some(balancing) = &package.balancing {
        let at = root.field("balancing");
        faults.count(&at.field("tried"), balancing.tried.len(), bounds::MAX_TRIED, "settings tried");
        faults.count(&at.field("parts"), balancing.parts.len(), bounds::MAX_PARTS, "parts");
        faults.count(&at.field("ready"), balancing.ready.len(), bounds::MAX_PARTS, "ticks");
    }
}
