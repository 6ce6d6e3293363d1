//! One change to a package, and its words.

use serde::{Deserialize, Serialize};

use crate::bounds;
use crate::finding_words::Units;
use crate::package::{
    Anchor, Cg, CgSource, Drag, LoggedOf, Mass, MassSource, Package, Part, PartId, PartKind, PartMass, Position, Shape,
};

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "change")]
pub enum Change {
    /// Another plate hole: the whole camera goes forward or back on the head's camera place.
    Hole {
        /// Forward, m; negative back.
        ahead_m: f64,
        /// How many holes that is.
        holes: u32,
    },
    /// One more riser in the stack under the body.
    Riser {
        /// Its height, m.
        height_m: f64,
        /// Its mass, kg.
        kg: f64,
    },
    /// Other rods: their tail stays where it is, their mass grows with their length.
    Rods {
        /// The rods.
        part: PartId,
        /// Their name.
        name: String,
        /// Their new length, m.
        length_m: f64,
        /// Mass that they add, kg.
        added_kg: f64,
    },
    /// A part moved on its own.
    Move {
        /// The part.
        part: PartId,
        /// Its name.
        name: String,
        /// Fore-aft or sideways.
        side: Side,
        /// Forward or to the left, m; negative the other way.
        by_m: f64,
    },
    /// Trim weights.
    Weight {
        /// Their mass together, kg.
        kg: f64,
        /// Where they hang.
        at: WeightPlace,
    },
    /// A part taken off.
    TakeOff {
        /// The part.
        part: PartId,
        /// Its name.
        name: String,
        /// Its mass, kg.
        kg: f64,
    },
}

/// Along which line a part is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Forward or back.
    ForeAft,
    /// Left or right.
    Sideways,
}

impl Side {
    /// Index of its axis: x or y.
    pub(super) fn axis(self) -> usize {
        match self {
            Self::ForeAft => 0,
            Self::Sideways => 1,
        }
    }
}

/// Where a trim weight hangs. All but the last are on the camera.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WeightPlace {
    /// Behind the body.
    BehindBody,
    /// On the front end of the rods; under the front of the lens where there are none.
    RodFront,
    /// On the left of the body.
    Left,
    /// On the right of the body.
    Right,
    /// On top of the body.
    Top,
    /// Under the stack of plates.
    Under,
    /// On another place of the head, ahead of its middle or behind it.
    Head {
        /// Id of the place.
        place: String,
        /// Its name.
        name: String,
        /// Ahead of its middle rather than behind.
        ahead: bool,
    },
}

/// Edge of the cube that a trim weight takes up, m.
const WEIGHT_M: f64 = 0.04;
/// How far from the middle of another place of the head a weight hangs, m.
const HEAD_ARM_M: f64 = 0.2;
/// Length and width of a riser, m.
const RISER_M: [f64; 2] = [0.11, 0.09];

impl Change {
    /// Mass that it adds, kg.
    pub fn added_kg(&self) -> f64 {
        match self {
            Self::Hole { .. } | Self::Move { .. } => 0.0,
            Self::Riser { kg, .. } | Self::Weight { kg, .. } => *kg,
            Self::Rods { added_kg, .. } => *added_kg,
            Self::TakeOff { kg, .. } => -kg,
        }
    }

    /// The package with this change.
    #[must_use]
    pub fn apply(&self, package: &Package) -> Package {
        let mut changed = package.clone();
        match self {
            Self::Hole { ahead_m, .. } => {
                changed.mount.flange_ahead_m = bounds::OFFSET_M.quantise(changed.mount.flange_ahead_m + ahead_m);
            }
            Self::Riser { height_m, kg } => {
                let size_m = [RISER_M[0], RISER_M[1], *height_m];
                let name = format!("Riser {:.0} mm", 1e3 * height_m);
                let at = position(&changed, Anchor::Stack, [-0.5 * RISER_M[0], 0.0, 0.0]);
                add(&mut changed, name, PartKind::Plate, *kg, size_m, at);
            }
            Self::Rods { part, length_m, added_kg, .. } => {
                if let Some(rods) = changed.parts.iter_mut().find(|each| each.id == *part) {
                    let longer_m = length_m - rods.size_m[0];
                    rods.size_m[0] = *length_m;
                    rods.at.offset_m[0] = bounds::OFFSET_M.quantise(rods.at.offset_m[0] + 0.5 * longer_m);
                    if let PartMass::Own(mass) = &mut rods.mass {
                        mass.kg = bounds::MASS_KG.quantise(mass.kg + added_kg);
                    }
                }
            }
            Self::Move { part, side, by_m, .. } => {
                if let Some(part) = changed.parts.iter_mut().find(|each| each.id == *part) {
                    let offset_m = &mut part.at.offset_m[side.axis()];
                    *offset_m = bounds::OFFSET_M.quantise(*offset_m + by_m);
                }
            }
            Self::Weight { kg, at } => {
                let name = format!("Trim weight {kg} kg");
                let position = at.position(&changed);
                add(&mut changed, name, PartKind::Weight, *kg, [WEIGHT_M; 3], position);
            }
            Self::TakeOff { part, .. } => {
                if let Some(part) = changed.parts.iter_mut().find(|each| each.id == *part) {
                    part.on = false;
                }
                for lens in &mut changed.lenses {
                    if Some(lens.id) == package.active_lens {
                        lens.brings.retain(|brought| brought != part);
                    }
                }
            }
        }
        changed
    }

    /// What to do, in the words of the trade and in a person's own units.
    pub fn words(&self, units: &dyn Units) -> String {
        let mm = |m: f64| units.length(m);
        match self {
            Self::Hole { ahead_m, holes } => {
                let (word, plural) = (toward(*ahead_m, "forward", "back"), if *holes == 1 { "" } else { "s" });
                format!("Mount the body {holes} hole{plural} {word} ({})", mm(ahead_m.abs()))
            }
            Self::Riser { height_m, .. } => format!("Add a {} riser under the body", mm(*height_m)),
            Self::Rods { name, length_m, .. } => format!("Put rods of {} in place of \"{name}\"", mm(*length_m)),
            Self::Move { name, side, by_m, .. } => {
                let word = match side {
                    Side::ForeAft => toward(*by_m, "forward", "back"),
                    Side::Sideways => toward(*by_m, "to the left", "to the right"),
                };
                format!("Move \"{name}\" {} {word}", mm(by_m.abs()))
            }
            Self::Weight { kg, at } => format!("Hang {} {}", units.weight(*kg), at.words(units)),
            Self::TakeOff { name, kg, .. } => format!("Take \"{name}\" off ({})", units.mass_fine(*kg)),
        }
    }
}

fn toward(value: f64, plus: &'static str, minus: &'static str) -> &'static str {
    if value < 0.0 { minus } else { plus }
}

impl WeightPlace {
    /// Where that is, after the word for what hangs there.
    pub fn words(&self, units: &dyn Units) -> String {
        match self {
            Self::BehindBody => "behind the body".to_owned(),
            Self::RodFront => "on the front of the rods".to_owned(),
            Self::Left => "on the left of the body".to_owned(),
            Self::Right => "on the right of the body".to_owned(),
            Self::Top => "on top of the body".to_owned(),
            Self::Under => "under the plates".to_owned(),
            Self::Head { name, ahead, .. } => {
                let side = if *ahead { "ahead of" } else { "behind" };
                format!("{} {side} \"{name}\"", units.length(HEAD_ARM_M))
            }
        }
    }

    fn position(&self, package: &Package) -> Position {
        let riding = |kind: PartKind| package.riding().find(|part| part.kind == kind);
        let (half_width_m, height_m) =
            riding(PartKind::Body).map_or((0.0, 0.0), |body| (0.5 * body.size_m[1], body.size_m[2]));
        let aside_m = half_width_m + 0.5 * WEIGHT_M;
        match self {
            Self::BehindBody => position(package, Anchor::BodyRear, [-0.5 * WEIGHT_M, 0.0, 0.0]),
            Self::Left => position(package, Anchor::BodyTop, [0.0, aside_m, -0.5 * height_m]),
            Self::Right => position(package, Anchor::BodyTop, [0.0, -aside_m, -0.5 * height_m]),
            Self::Top => position(package, Anchor::BodyTop, [0.0, 0.0, 0.5 * WEIGHT_M]),
            Self::Under => position(package, Anchor::Place, [0.0, 0.0, -0.5 * WEIGHT_M]),
            Self::RodFront => match riding(PartKind::Rods) {
                Some(rods) => {
                    let [x, y, z] = rods.at.offset_m;
                    let offset_m = [x + 0.5 * (rods.size_m[0] + WEIGHT_M), y, z];
                    Position { place: rods.at.place.clone(), from: rods.at.from, offset_m }
                }
                None => position(package, Anchor::LensFront, [0.0, 0.0, -0.1]),
            },
            Self::Head { place, ahead, .. } => {
                let x = if *ahead { HEAD_ARM_M } else { -HEAD_ARM_M };
                Position { place: place.clone(), from: Anchor::Place, offset_m: [x, 0.0, 0.0] }
            }
        }
    }
}

/// A position on the place that carries the camera.
fn position(package: &Package, from: Anchor, offset_m: [f64; 3]) -> Position {
    let place = package.head.places().find(|place| place.camera).map_or_else(String::new, |place| place.id.clone());
    Position { place, from, offset_m: offset_m.map(|offset_m| bounds::OFFSET_M.quantise(offset_m)) }
}

fn add(package: &mut Package, name: String, kind: PartKind, kg: f64, size_m: [f64; 3], at: Position) {
    let id = next_id(package);
    package.parts.push(Part {
        id,
        name,
        kind,
        on: true,
        mass: PartMass::Own(Mass { kg, from: MassSource::BenchScale, u_kg: None }),
        size_m,
        shape: Shape::Box,
        cg: Cg { offset_m: [0.0; 3], from: CgSource::Measured, u_m: None },
        at,
        drag: Drag::default(),
        optical_axis_up_m: None,
        load: None,
        pack: None,
    });
}

/// An id that no part has and no log speaks of.
fn next_id(package: &Package) -> PartId {
    let logged = package.logs.iter().flat_map(|log| &log.bodies).filter_map(|body| match body.of {
        LoggedOf::Part(id) => Some(id),
        _ => None,
    });
    package.parts.iter().map(|part| part.id).chain(logged).max().unwrap_or(0).saturating_add(1)
}
