//! Single changes that a crew can make, each put on the package and solved again.

use serde::Serialize;

use super::figures::Figures;
use super::model::{Model, Plane};
use super::report::ChangeReport;
use super::things::Things;
use crate::finding_words::Units;
use crate::layout::Layout;
use crate::package::{
    Anchor, Cg, CgSource, Drag, Mass, MassSource, Material, Package, Part, PartId, PartKind, PartMass, Position, Shape,
};

/// A change is told when it lifts the first mode by this share.
const WORTH_TELLING: f64 = 0.02;
/// A support stands this far behind the front of the lens, or of the rods, m. Common practice, no source.
const BEHIND_FRONT_M: f64 = 0.02;
/// Rods that a crew changes to, m: outer diameter and spacing of the thicker standard (common practice, no source).
const THICK_OUTER_M: f64 = 0.019;
const THICK_SPACING_M: f64 = 0.104;
/// A front part lighter than this is not worth leaving off for stiffness, kg.
const HEAVY_FRONT_KG: f64 = 0.1;
/// So many of a kind are tried: plates, front parts, supports.
const TRIED: usize = 4;
/// A second support must stand this far from the first, and a moved one go this far, m.
const APART_M: f64 = 0.03;
/// Mass, length, width and height of a support or a pair of rods to be added: typical, invented.
const SUPPORT_KG: f64 = 0.3;
const SUPPORT_SIZE_M: [f64; 3] = [0.04, 0.11, 0.08];

/// A single change to the package.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum StiffnessChange {
    /// A support that is in the package, put under the lens there.
    SupportTo {
        /// The support.
        part: PartId,
        /// Its name.
        name: String,
        /// Whether it rides already.
        rides: bool,
        /// Its middle ahead of the flange, m.
        ahead_m: f64,
    },
    /// One more lens support, a typical one.
    SupportAdded {
        /// Its middle ahead of the flange, m.
        ahead_m: f64,
    },
    /// Rods and a lens support where there are no rods, typical ones.
    RodsAndSupport {
        /// The middle of the support ahead of the flange, m.
        ahead_m: f64,
    },
    /// Rods of the same size and another material.
    RodMaterial {
        /// Their name.
        name: String,
        /// The material.
        material: Material,
    },
    /// Rods of the thicker standard, typical ones.
    ThickerRods {
        /// The rods that go.
        name: String,
        /// Their outer diameter, m.
        outer_m: f64,
    },
    /// A riser or plate between others left out.
    PlateOff {
        /// The plate.
        part: PartId,
        /// Its name.
        name: String,
    },
    /// Something at the front left off.
    FrontOff {
        /// The part.
        part: PartId,
        /// Its name.
        name: String,
    },
    /// Twice the screws between the body and what it stands on.
    BodyScrews,
}

impl StiffnessChange {
    /// What to do, in words.
    pub fn words(&self, units: &dyn Units) -> String {
        match self {
            Self::SupportTo { name, rides: true, ahead_m, .. } => {
                format!("Move \"{name}\" to {} ahead of the flange", units.length(*ahead_m))
            }
            Self::SupportTo { name, ahead_m, .. } => {
                format!("Put \"{name}\" on, {} ahead of the flange", units.length(*ahead_m))
            }
            Self::SupportAdded { ahead_m } => {
                format!("Put one more lens support on, {} ahead of the flange", units.length(*ahead_m))
            }
            Self::RodsAndSupport { ahead_m } => {
                format!("Put rods and a lens support on, {} ahead of the flange", units.length(*ahead_m))
            }
            Self::RodMaterial { name, material } => format!("\"{name}\" of {}", material.words()),
            Self::ThickerRods { name, outer_m } => format!("{} rods in place of \"{name}\"", units.length(*outer_m)),
            Self::PlateOff { name, .. } => format!("Leave \"{name}\" out"),
            Self::FrontOff { name, .. } => format!("Leave \"{name}\" off"),
            Self::BodyScrews => "Twice the screws under the body".to_owned(),
        }
    }

    /// The package with this change. The screws under the body are nothing that a package holds.
    #[must_use]
    pub fn applied(&self, package: &Package) -> Package {
        let mut changed = package.clone();
        match self {
            Self::SupportTo { part, ahead_m, .. } => {
                if let Some(part) = on(&mut changed, *part, true) {
                    put_under(part, *ahead_m);
                }
            }
            Self::SupportAdded { ahead_m } => add_support(&mut changed, *ahead_m),
            Self::RodsAndSupport { ahead_m } => {
                add_rods(&mut changed, *ahead_m);
                add_support(&mut changed, *ahead_m);
            }
            Self::RodMaterial { material, .. } => of_material(&mut changed, *material),
            Self::ThickerRods { outer_m, .. } => thicker(&mut changed, *outer_m),
            Self::PlateOff { part, .. } | Self::FrontOff { part, .. } => {
                on(&mut changed, *part, false);
            }
            Self::BodyScrews => {}
        }
        changed
    }

    /// First mode with this change, Hz.
    fn first_hz(&self, package: &Package) -> Option<f64> {
        let changed = self.applied(package);
        let layout = Layout::new(&changed);
        let things = Things::new(&changed, &layout)?;
        let mut figures = figures(&changed, &things);
        if *self == Self::BodyScrews {
            figures.body_fastening_times = 2.0;
        }
        let hz = |plane| Model::new(&things, &figures, plane).framework.lowest_hz();
        Some(hz(Plane::Upright)?.min(hz(Plane::Sideways)?))
    }
}

/// The figures for what is on.
pub(super) fn figures(package: &Package, things: &Things<'_>) -> Figures {
    Figures::new(&package.structure, things.rods.as_ref().map_or(0.0, |rods| rods.size_m[2]))
}

/// Every change that is worth telling, the one that helps most first.
pub(super) fn changes(package: &Package, things: &Things<'_>, now_hz: f64) -> Vec<ChangeReport> {
    let crossover_hz = package.head.crossover_hz;
    let mut told: Vec<ChangeReport> = candidates(package, things)
        .into_iter()
        .filter_map(|change| {
            let first_hz = change.first_hz(package)?;
            let gain = first_hz / now_hz - 1.0;
            let ratio = first_hz / crossover_hz;
            (gain > WORTH_TELLING).then_some(ChangeReport { change, first_hz, ratio, gain })
        })
        .collect();
    crate::float::sort_largest_first(&mut told, |each| each.first_hz);
    told
}

fn candidates(package: &Package, things: &Things<'_>) -> Vec<StiffnessChange> {
    let mut tried = supports(package, things);
    if let Some(rods) = &things.rods {
        rods_of(package, rods, &mut tried);
    }
    let name = |name: &str| name.to_owned();
    // The lowest plate goes on the head, and the one at the height of the rods holds them.
    let holds = things.rods.as_ref().and_then(|rods| {
        let off_m = |plate: &&super::things::Thing<'_>| (plate.centre_m.z - rods.centre_m.z).abs();
        things.plates.iter().min_by(|a, b| off_m(a).total_cmp(&off_m(b))).and_then(|plate| plate.part)
    });
    for plate in things.plates.iter().skip(1).take(TRIED) {
        if let Some(part) = plate.part.filter(|part| holds.is_none_or(|holds| holds.id != part.id)) {
            tried.push(StiffnessChange::PlateOff { part: part.id, name: name(plate.name) });
        }
    }
    let mut fronts: Vec<(f64, &Part)> = things
        .on_lens
        .iter()
        .chain(&things.on_rods)
        .filter_map(|thing| Some((thing.body.mass_kg, thing.part?)))
        .filter(|(kg, part)| part.kind == PartKind::Front && *kg > HEAVY_FRONT_KG)
        .collect();
    crate::float::sort_largest_first(&mut fronts, |(kg, _)| *kg);
    for (_, part) in fronts.into_iter().take(TRIED) {
        tried.push(StiffnessChange::FrontOff { part: part.id, name: name(&part.name) });
    }
    tried.push(StiffnessChange::BodyScrews);
    tried
}

/// Supports: one that lies in the case, one that stands elsewhere, one more.
fn supports(package: &Package, things: &Things<'_>) -> Vec<StiffnessChange> {
    let Some(lens) = &things.lens else { return Vec::new() };
    let front_m = |end_m: f64| ((end_m - BEHIND_FRONT_M).max(0.5 * end_m) * 1e3).floor() / 1e3;
    let Some(rods) = &things.rods else {
        return vec![StiffnessChange::RodsAndSupport { ahead_m: front_m(lens.size_m[0]) }];
    };
    let reach_m = lens.size_m[0].min(rods.span_m()[1]);
    if reach_m <= APART_M {
        return Vec::new();
    }
    let ahead_m = front_m(reach_m);
    let mut tried = Vec::new();
    for support in things.supports.iter().take(TRIED) {
        if let Some(part) = support.part.filter(|_| (support.centre_m.x - ahead_m).abs() > APART_M) {
            tried.push(StiffnessChange::SupportTo { part: part.id, name: part.name.clone(), rides: true, ahead_m });
        }
    }
    if things.supports.iter().all(|support| (support.centre_m.x - ahead_m).abs() > APART_M) {
        let spare = package.parts.iter().find(|part| part.kind == PartKind::Support && !package.rides(part));
        tried.push(match spare {
            Some(part) => StiffnessChange::SupportTo { part: part.id, name: part.name.clone(), rides: false, ahead_m },
            None => StiffnessChange::SupportAdded { ahead_m },
        });
    }
    tried
}

fn rods_of(package: &Package, rods: &super::things::Thing<'_>, tried: &mut Vec<StiffnessChange>) {
    let outer_m = rods.size_m[2];
    if package.structure.rod_material_or_usual(outer_m) != Material::Steel {
        let material = Material::Steel;
        tried.push(StiffnessChange::RodMaterial { name: rods.name.to_owned(), material });
    }
    if outer_m < THICK_OUTER_M - 0.001 {
        tried.push(StiffnessChange::ThickerRods { name: rods.name.to_owned(), outer_m: THICK_OUTER_M });
    }
}

/// Switches a part on or off, whatever the lens that is on says of it.
fn on(package: &mut Package, id: PartId, rides: bool) -> Option<&mut Part> {
    let active = package.active_lens;
    if let Some(lens) = package.lenses.iter_mut().find(|lens| Some(lens.id) == active) {
        lens.brings.retain(|part| *part != id);
        lens.leaves_off.retain(|part| *part != id);
    }
    let part = package.parts.iter_mut().find(|part| part.id == id)?;
    part.on = rides;
    Some(part)
}

/// A support's place along the lens; its height stays, where it was measured from the axis.
fn put_under(part: &mut Part, ahead_m: f64) {
    let up_m = if part.at.from == Anchor::Flange { part.at.offset_m[2] } else { -0.5 * part.size_m[2] };
    part.at.from = Anchor::Flange;
    part.at.offset_m = [ahead_m, 0.0, up_m];
}

fn camera_place(package: &Package) -> String {
    let mut places = package.head.chain.iter().filter_map(|element| match element {
        crate::package::Element::Place(place) if place.camera => Some(place.id.clone()),
        _ => None,
    });
    places.next_back().unwrap_or_default()
}

fn add(package: &mut Package, name: &str, kind: PartKind, kg: f64, size_m: [f64; 3], offset_m: [f64; 3]) {
    let id = package.parts.iter().map(|part| part.id).max().unwrap_or(0).saturating_add(1);
    package.parts.push(Part {
        id,
        name: name.to_owned(),
        kind,
        on: true,
        mass: PartMass::Own(Mass { kg, from: MassSource::Typical, u_kg: None }),
        size_m,
        shape: if kind == PartKind::Rods { Shape::RodPair } else { Shape::Box },
        cg: Cg { offset_m: [0.0; 3], from: CgSource::Typical, u_m: None },
        at: Position { place: camera_place(package), from: Anchor::Flange, offset_m },
        drag: Drag::default(),
        optical_axis_up_m: None,
        load: None,
        pack: None,
    });
}

fn add_support(package: &mut Package, ahead_m: f64) {
    let radius_m = package.lens().map_or(0.0, |lens| 0.5 * lens.diameter_m);
    let up_m = -radius_m - 0.25 * SUPPORT_SIZE_M[2];
    add(package, "Lens support", PartKind::Support, SUPPORT_KG, SUPPORT_SIZE_M, [ahead_m, 0.0, up_m]);
}

/// A pair of the thicker rods from the plate to just before the support.
fn add_rods(package: &mut Package, ahead_m: f64) {
    let radius_m = package.lens().map_or(0.0, |lens| 0.5 * lens.diameter_m);
    let (tail_m, front_m) = (-0.15, ahead_m + 0.03);
    let length_m = front_m - tail_m;
    let kg = pair_kg(package, THICK_OUTER_M, length_m);
    let size_m = [length_m, THICK_SPACING_M + THICK_OUTER_M, THICK_OUTER_M];
    let up_m = -radius_m - 0.03;
    add(package, "Rods 19 mm", PartKind::Rods, kg, size_m, [0.5 * (front_m + tail_m), 0.0, up_m]);
}

/// Mass of a pair of rods from their section, kg.
fn pair_kg(package: &Package, outer_m: f64, length_m: f64) -> f64 {
    let section = super::Section::tube(outer_m, package.structure.rod_wall_or_usual_m(outer_m)).times(2.0);
    section.area_m2 * length_m * package.structure.rod_material_or_usual(outer_m).density_kg_m3()
}

/// The pair of rods that runs under the lens, if one does.
pub fn carrying_rods(package: &Package) -> Option<PartId> {
    let layout = Layout::new(package);
    Things::new(package, &layout)?.rods?.part.map(|part| part.id)
}

fn of_material(package: &mut Package, material: Material) {
    let Some(id) = carrying_rods(package) else { return };
    let Some(part) = package.parts.iter_mut().find(|part| part.id == id) else { return };
    let before = package.structure.rod_material_or_usual(part.size_m[2]);
    // The wall is that of the rods as they are.
    package.structure.rod_wall_m = Some(package.structure.rod_wall_or_usual_m(part.size_m[2]));
    package.structure.rod_material = Some(material);
    if let PartMass::Own(mass) = &mut part.mass {
        // Whoever weighed the rods weighed others.
        let kg = mass.kg * material.density_kg_m3() / before.density_kg_m3();
        *mass = Mass { kg, from: MassSource::Typical, u_kg: None };
    }
}

fn thicker(package: &mut Package, outer_m: f64) {
    let Some(id) = carrying_rods(package) else { return };
    package.structure.rod_wall_m = None;
    package.structure.rod_material = None;
    let Some(length_m) = package.parts.iter().find(|part| part.id == id).map(|part| part.size_m[0]) else { return };
    let kg = pair_kg(package, outer_m, length_m);
    if let Some(part) = package.parts.iter_mut().find(|part| part.id == id) {
        part.size_m = [length_m, THICK_SPACING_M + outer_m, outer_m];
        part.mass = PartMass::Own(Mass { kg, from: MassSource::Typical, u_kg: None });
    }
}
