//! Fit: does the camera go on at all: rods long enough, lens clear of them, body inside the opening, and everything clear
//! of the head's arms and of the platform through tilt and roll. Each finding names the part.

mod finding;
mod opening;
mod rods;
mod sweep;

pub use finding::{FitFinding, FitMatter};
pub use opening::OpeningFit;
pub use rods::RodFit;
pub(crate) use rods::{height_m, takes};
pub use sweep::{Obstacle, Outline, Stop, Sweep};

use nalgebra::Vector3;
use serde::Serialize;

use crate::check::Solved;
use crate::error::InputError;
use crate::layout::{Body, Of};
use crate::package::{Mounting, Package};
use crate::validate::validate;

/// How the camera fits the head, at the target marks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitReport {
    /// One row per pair of rods.
    pub rods: Vec<RodFit>,
    /// The body in the head's opening; absent without body or opening.
    pub opening: Option<OpeningFit>,
    /// How far each level axis turns before something touches, the others at rest.
    pub sweeps: Vec<Sweep>,
    /// What does not fit, gravest first.
    pub findings: Vec<FitFinding>,
    /// What this takes for granted: shown with it.
    pub assumed: [&'static str; 3],
}

/// Shown with every answer about clearance.
const ASSUMED: [&str; 3] = [
    "The arms stand outside the clear radius, between the direction of the base and that of the yokes; everything inside it is free.",
    "The platform is a flat plane through the head's base; nothing else is near.",
    "Outlines are boxes, cylinders and rods: try it by hand, motors off, before the first take.",
];

/// What [`crate::check`] leaves to this: among what it did not check, in these words.
pub const LEFT_TO_FIT: &str = "Clearance to the arms and the platform through tilt and roll";

/// What stays unchecked when this has looked, in as many words.
pub const LEFT_BY_FIT: &str = "Clearance beyond plain outlines: turn it by hand, motors off";

/// How a package fits its head.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn fit(package: &Package) -> Result<FitReport, Vec<InputError>> {
    validate(package)?;
    Ok(fit_sound(package))
}

/// The same of a package that is known to be sound.
pub(crate) fn fit_sound(package: &Package) -> FitReport {
    let scene = Scene::new(package);
    let rods = rods::rods(&scene);
    let opening = opening::opening(&scene);
    let sweeps = sweep::sweeps(&scene);
    let mut findings = Vec::new();
    rods::findings(&rods, &mut findings);
    opening::findings(opening.as_ref(), &mut findings);
    sweep::findings(package, &sweeps, &mut findings);
    crate::order::sort_short(&mut findings, |a: &FitFinding, b| a.severity < b.severity);
    FitReport { rods, opening, sweeps, findings, assumed: ASSUMED }
}

/// Where the platform is for a mounting, in words. In the head's own frame it is always on the side of the base.
pub fn platform_side(mounting: Mounting) -> &'static str {
    match mounting {
        Mounting::Hung => "above",
        Mounting::Stood => "below",
        Mounting::Side => "beside it",
    }
}

/// The package at its target marks, every joint at rest, seen from the head's base.
struct Scene<'a> {
    package: &'a Package,
    solved: Solved,
    /// Point of every link's joint from the base; the base itself first, m.
    origins_m: Vec<Vector3<f64>>,
}

impl<'a> Scene<'a> {
    fn new(package: &'a Package) -> Self {
        let solved = Solved::new(package);
        let mut origins_m = vec![Vector3::zeros()];
        for link in &solved.at_targets.links {
            let outer = origins_m.last().copied().unwrap_or_else(Vector3::zeros);
            origins_m.push(outer + link.origin_m);
        }
        Self { package, solved, origins_m }
    }

    fn shift_m(&self, link: usize, slides: usize) -> Vector3<f64> {
        self.origins_m[link] + self.solved.layout.displacement_m(link, slides, &self.solved.marks.targets_m)
    }

    /// Middle of a body's outline from the base, m.
    fn centre_m(&self, body: &Body) -> Vector3<f64> {
        self.shift_m(body.link, body.slides) + body.centre_m
    }

    /// The camera datum from the base, m.
    fn flange_m(&self) -> Vector3<f64> {
        let seat = &self.solved.layout.camera;
        self.shift_m(seat.link, seat.slides) + self.solved.layout.flange_m
    }

    /// Everything on the camera side that has an outline. A share stands for cables and has none of its own.
    fn camera_side(&self) -> impl Iterator<Item = &Body> {
        self.solved.layout.bodies.iter().filter(|body| {
            let share = matches!(body.of, Of::Part(index)
                if matches!(self.package.parts[index].mass, crate::package::PartMass::Share { .. }));
            body.camera_side && !share
        })
    }

    fn name(&self, body: &Body) -> String {
        match body.of {
            Of::Part(index) => self.package.parts[index].name.clone(),
            Of::Lens(index) => self.package.lenses[index].name.clone(),
            Of::Yoke(_) => String::new(),
        }
    }
}
