//! Words that several screens share: names of things, findings in the person's units, and the cautions.

use solver::finding_words::Units;
use solver::package::{Anchor, CgSource, MassSource, Mounting, PartKind, PlatformKind, Shape};

use crate::show::{Kind, Style};

/// What stands on a trim weight is told to the gram.
const GRAMS_PER_KG: f64 = 1e3;

impl Units for Style {
    fn mass(&self, kg: f64) -> String {
        self.show(Kind::Mass, kg)
    }
    fn mass_known(&self, kg: f64, u_kg: f64) -> String {
        self.uncertain(Kind::Mass, kg, u_kg)
    }
    fn mass_fine(&self, kg: f64) -> String {
        self.fine(Kind::Mass, kg, 2)
    }
    fn weight(&self, kg: f64) -> String {
        format!("{}\u{a0}{}", self.0.edit(kg, Kind::Mass, GRAMS_PER_KG), self.unit(Kind::Mass))
    }
    fn length(&self, m: f64) -> String {
        self.show(Kind::Length, m)
    }
    fn unbalance(&self, kg_m: f64) -> String {
        self.show(Kind::Unbalance, kg_m)
    }
    fn plain(&self, value: f64, decimals: usize) -> String {
        Self::plain(*self, value, decimals)
    }
}

/// Kinds of parts in the order of a build, with the word for a list.
pub(crate) const PART_KINDS: &[(PartKind, &str)] = &[
    (PartKind::Body, "Camera bodies"),
    (PartKind::Plate, "Plates and risers"),
    (PartKind::Rods, "Rods"),
    (PartKind::Support, "Supports and ties"),
    (PartKind::Control, "Lens control"),
    (PartKind::Picture, "Picture"),
    (PartKind::Front, "Matte box and filters"),
    (PartKind::Pack, "Packs"),
    (PartKind::Weight, "Trim weights"),
    (PartKind::Other, "Cables and the rest"),
];

/// Where a mass came from.
pub(crate) const MASS_SOURCES: &[(MassSource, &str)] = &[
    (MassSource::BenchScale, "Bench scale"),
    (MassSource::LuggageScale, "Luggage scale"),
    (MassSource::DataSheet, "Data sheet"),
    (MassSource::Estimate, "Estimate"),
    (MassSource::Typical, "Typical"),
    (MassSource::Balance, "Logged balance"),
];

/// Where a centre of gravity came from.
pub(crate) const CG_SOURCES: &[(CgSource, &str)] = &[
    (CgSource::Measured, "Measured"),
    (CgSource::DataSheet, "Data sheet"),
    (CgSource::Estimate, "Estimate"),
    (CgSource::Typical, "Typical"),
    (CgSource::Balance, "Logged balance"),
];

/// Outlines.
pub(crate) const SHAPES: &[(Shape, &str)] =
    &[(Shape::Box, "Box"), (Shape::Cylinder, "Cylinder"), (Shape::RodPair, "Pair of rods")];

/// What a position is measured from.
pub(crate) const ANCHORS: &[(Anchor, &str)] = &[
    (Anchor::Stack, "Stacked on the plate, under the body"),
    (Anchor::Flange, "The lens mount"),
    (Anchor::LensFront, "The front of the lens"),
    (Anchor::FocusRing, "The focus ring"),
    (Anchor::IrisRing, "The iris ring"),
    (Anchor::ZoomRing, "The zoom ring"),
    (Anchor::BodyTop, "The middle of the body's top"),
    (Anchor::BodyRear, "The middle of the body's rear"),
    (Anchor::RodsFront, "The front end of the rods"),
    (Anchor::PlateFront, "The front edge of the plate"),
    (Anchor::Place, "The place that it rides on"),
];

/// What carries the head.
pub(crate) const PLATFORMS: &[(PlatformKind, &str)] = &[
    (PlatformKind::LockedOff, "Locked off"),
    (PlatformKind::Dolly, "Dolly"),
    (PlatformKind::Jib, "Jib"),
    (PlatformKind::Crane, "Telescopic crane"),
    (PlatformKind::RoadVehicle, "Road vehicle"),
    (PlatformKind::OffRoad, "Off-road vehicle"),
    (PlatformKind::Boat, "Boat"),
    (PlatformKind::Cable, "Cable"),
    (PlatformKind::SideMount, "Side mount"),
];

/// How the head is mounted.
pub(crate) const MOUNTINGS: &[(Mounting, &str)] =
    &[(Mounting::Hung, "Hung"), (Mounting::Stood, "Stood"), (Mounting::Side, "On its side")];

/// The word for one of a list.
pub(crate) fn word<T: PartialEq>(words: &[(T, &'static str)], item: &T) -> &'static str {
    words.iter().find(|(known, _)| known == item).map_or("", |(_, word)| *word)
}

/// Said beside the marks.
pub(crate) const HOLD_THE_CAMERA: &str =
    "Motors off. Hold the camera before a clamp is loosened; end keepers back on before you let go.";
/// Said beside the torque.
pub(crate) const BEFORE_MOTORS: &str =
    "Before motors are enabled: locks off, hands, straps and cables clear, and everyone told.";
/// Said beside the mass on the arm.
pub(crate) const OVERHEAD: &str = "Overhead: a secondary tether, and fixings that are rated for this mass.";
/// Said where the camera is heavy to lift.
pub(crate) const LIFTING: &str =
    "Heavy to lift by hand: lower the arm, use a stand or a hoist. The lifting equation does not cover team lifts.";
/// Said beside the packs.
pub(crate) const PACKS: &str = "A damaged, swollen or hot pack comes off and goes outside, away from people.";
/// Said at wrap.
pub(crate) const WRAP: &str =
    "At wrap: motors off, locks on, hold the arm. Counterweights come off before the head does.";
/// Who decides.
pub(crate) const WHO_DECIDES: &str =
    "Counterpoise advises. The maker's limits, local codes and the licensed practitioner on site decide.";

/// Mass above which lifting by hand is worth a caution, kg. Source: the load constant of the revised NIOSH lifting
/// equation, Waters et al. 1993 (value from memory).
pub(crate) const LIFT_KG: f64 = 23.0;

/// How long ago everything was last saved as a file.
pub(crate) fn last_backup(at_ms: Option<f64>) -> String {
    let Some(at_ms) = at_ms else { return "no backup yet".to_owned() };
    match ((crate::browser::now_ms() - at_ms) / 86_400_000.0).floor() {
        days if days < 1.0 => "backup today".to_owned(),
        days if days < 2.0 => "backup yesterday".to_owned(),
        days => format!("backup {days:.0} days ago"),
    }
}
