//! What rides on the camera side, sorted by what it stiffens or what it sits on.

use nalgebra::Vector3;

use crate::fit::{height_m, takes};
use crate::layout::{Body, Layout, Of};
use crate::package::{Anchor, Package, Part, PartKind};

/// One thing with its places from the camera datum.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thing<'a> {
    pub(super) body: &'a Body,
    /// The part; `None` for the lens.
    pub(super) part: Option<&'a Part>,
    pub(super) name: &'a str,
    /// Centre of gravity, m.
    pub(super) cg_m: Vector3<f64>,
    /// Middle of the outline, m.
    pub(super) centre_m: Vector3<f64>,
    /// Length, width, height, m.
    pub(super) size_m: [f64; 3],
}

/// Everything on the camera side.
pub(super) struct Things<'a> {
    /// Plates and risers under the body, from the head upwards.
    pub(super) plates: Vec<Thing<'a>>,
    /// The camera body.
    pub(super) body: Thing<'a>,
    /// The lens that is on.
    pub(super) lens: Option<Thing<'a>>,
    /// The pair of rods that runs under the lens.
    pub(super) rods: Option<Thing<'a>>,
    /// Lowest and highest point of every pair of rods, m.
    pairs_m: Vec<[f64; 2]>,
    /// Lens supports and ties on those rods.
    pub(super) supports: Vec<Thing<'a>>,
    /// What else rides on the rods.
    pub(super) on_rods: Vec<Thing<'a>>,
    /// What rides on the lens.
    pub(super) on_lens: Vec<Thing<'a>>,
    /// What rides on the body.
    pub(super) on_body: Vec<Thing<'a>>,
    /// What rides on the topmost plate.
    pub(super) on_plate: Vec<Thing<'a>>,
}

/// What a thing is for the load path.
enum Role {
    Plate,
    Body,
    Lens,
    Rods,
    Support,
    OnRods,
    OnLens,
    OnBody,
    OnPlate,
    /// Screwed to the head itself: it bends nothing.
    OnHead,
}

impl<'a> Things<'a> {
    /// Sorted; `None` without a body.
    pub(super) fn new(package: &'a Package, layout: &'a Layout) -> Option<Self> {
        let all: Vec<Thing<'a>> = layout.bodies.iter().filter_map(|body| Thing::new(package, layout, body)).collect();
        let is_body = |thing: &&Thing<'a>| thing.part.is_some_and(|part| part.kind == PartKind::Body);
        let body = *all.iter().find(is_body)?;
        let lens = all.iter().find(|thing| thing.part.is_none()).copied();
        let is_rods = |thing: &&Thing<'a>| thing.part.is_some_and(|part| part.kind == PartKind::Rods);
        // Rods above the axis, as on a top rail, carry no lens.
        let under_lens = |thing: &&Thing<'a>| is_rods(thing) && thing.centre_m.z < 0.0 && thing.size_m[0] > 0.0;
        let rods = all.iter().find(under_lens).copied();
        let pairs_m = all.iter().filter(is_rods).map(Thing::height_m).collect();
        let mut things = Self {
            plates: Vec::new(),
            body,
            lens,
            rods,
            pairs_m,
            supports: Vec::new(),
            on_rods: Vec::new(),
            on_lens: Vec::new(),
            on_body: Vec::new(),
            on_plate: Vec::new(),
        };
        for thing in all {
            match things.role(&thing) {
                Role::Plate => things.plates.push(thing),
                Role::Support => things.supports.push(thing),
                Role::OnRods => things.on_rods.push(thing),
                Role::OnLens => things.on_lens.push(thing),
                Role::OnBody => things.on_body.push(thing),
                Role::OnPlate => things.on_plate.push(thing),
                Role::Body | Role::Lens | Role::Rods | Role::OnHead => {}
            }
        }
        Some(things)
    }

    fn role(&self, thing: &Thing<'_>) -> Role {
        let Some(part) = thing.part else { return Role::Lens };
        let is = |other: &Thing<'_>| other.part.is_some_and(|other| other.id == part.id);
        let rods = self.rods.as_ref();
        if is(&self.body) {
            return Role::Body;
        }
        if rods.is_some_and(is) {
            return Role::Rods;
        }
        // What clamps on another pair rides with that, on the body.
        let takes = |rods: &Thing<'_>| takes(rods.height_m(), thing.height_m(), self.pairs_m.iter().copied());
        let clamps = part.kind == PartKind::Support || (part.kind == PartKind::Control && part.at.from.is_ring());
        let elsewhere = clamps && rods.is_some_and(|rods| !takes(rods));
        match (part.at.from, part.kind) {
            (Anchor::Stack, kind) if kind != PartKind::Body => Role::Plate,
            (Anchor::Place, _) => Role::OnHead,
            _ if elsewhere => Role::OnBody,
            (_, PartKind::Support) if rods.is_some() => Role::Support,
            (Anchor::RodsFront, _) if rods.is_some() => Role::OnRods,
            (Anchor::PlateFront, _) => Role::OnPlate,
            (from, PartKind::Control) if from.is_ring() && rods.is_some() => Role::OnRods,
            (_, PartKind::Front) if rods.is_some_and(|rods| thing.reaches(rods)) => Role::OnRods,
            (from, _) if (from == Anchor::LensFront || from.is_ring()) && self.lens.is_some() => Role::OnLens,
            _ => Role::OnBody,
        }
    }
}

impl<'a> Thing<'a> {
    fn new(package: &'a Package, layout: &Layout, body: &'a Body) -> Option<Self> {
        if !body.camera_side {
            return None;
        }
        let (part, name) = match body.of {
            Of::Part(index) => (Some(&package.parts[index]), package.parts[index].name.as_str()),
            Of::Lens(index) => (None, package.lenses[index].name.as_str()),
            Of::Yoke(_) => return None,
        };
        let (cg_m, centre_m) = (body.cg_m - layout.flange_m, body.centre_m - layout.flange_m);
        Some(Self { body, part, name, cg_m, centre_m, size_m: body.size_m })
    }

    /// Whether it stands deep enough to ride on the rods: a matte box with a bracket, but no filter.
    fn reaches(&self, rods: &Self) -> bool {
        let low_m = self.centre_m.z - 0.5 * self.size_m[2];
        low_m <= rods.centre_m.z + 0.5 * rods.size_m[2] && self.size_m[0] > 0.02
    }

    /// Its lowest and highest point from the flange, m.
    fn height_m(&self) -> [f64; 2] {
        height_m(self.centre_m.z, self.size_m[2])
    }

    /// Its rear and front end ahead of the flange, m.
    pub(super) fn span_m(&self) -> [f64; 2] {
        [self.centre_m.x - 0.5 * self.size_m[0], self.centre_m.x + 0.5 * self.size_m[0]]
    }

    /// Middle of where it lies over another, or of the gap between them, ahead of the flange, m.
    pub(super) fn over_m(&self, other: &Self) -> f64 {
        let ([a, b], [c, d]) = (self.span_m(), other.span_m());
        0.5 * (a.max(c) + b.min(d))
    }
}
