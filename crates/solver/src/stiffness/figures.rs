//! The figures that the model bends by: what the person has stated, or what is typical.

use super::beam::{Beam, Section};
use crate::float::sqrt;
use crate::package::{Material, Structure};

/// A figure and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    /// Its value, SI.
    pub(super) value: f64,
    /// Standard uncertainty over value.
    pub(super) relative_u: f64,
    /// Whether it is typical, and not the person's own.
    pub(super) typical: bool,
}

/// Which figure an element bends by: one stands for all elements of its kind, and is wrong for all of them at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Modulus and section of the plates.
    Plates,
    /// The fastenings, plate on plate and body on plate.
    Fastenings,
    /// The lens mount.
    LensMount,
    /// Modulus and section of the rods.
    Rods,
    /// The lens supports.
    Supports,
}

impl By {
    pub(super) const ALL: [Self; 5] = [Self::Plates, Self::Fastenings, Self::LensMount, Self::Rods, Self::Supports];
}

/// Everything that is not an outline or a mass.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    pub(super) rod_material: Material,
    pub(super) rod_wall_m: Figure,
    pub(super) plate_material: Material,
    pub(super) fastening_nm_rad: Figure,
    pub(super) lens_mount_nm_rad: Figure,
    pub(super) support_n_m: Figure,
    /// How many times as stiff as the others the fastening of the body is.
    pub(super) body_fastening_times: f64,
    rod_material_typical: bool,
    plate_material_typical: bool,
}

/// Stiffness against rocking of one fastening, N·m/rad: invented and typical, no source. Two screws of a plate on plates.
pub const FASTENING_NM_RAD: f64 = 40_000.0;
/// Stiffness of a lens mount against tipping, N·m/rad: invented and typical, no source.
pub const LENS_MOUNT_NM_RAD: f64 = 15_000.0;
/// Stiffness of one lens support, N/m: invented and typical, no source.
pub const SUPPORT_N_M: f64 = 500_000.0;
/// Such typical figures are known to this share of themselves.
const TYPICAL_U: f64 = 0.4;
/// A figure that a person states is as good as an estimate.
const STATED_U: f64 = 0.15;
/// Half the distance between the screws of a fastening, m: what rocks by k gives way by k/r². Common practice, no source.
const FASTENING_RADIUS_M: f64 = 0.03;
/// Radius of a lens mount's flange, m. Common practice, no source.
const MOUNT_RADIUS_M: f64 = 0.027;
/// Thinnest section that the model bends, m: an outline may have no size yet.
const THINNEST_M: f64 = 0.001;
/// Rods of this diameter and more are usually carbon, thinner ones aluminium, m. Common practice, no source.
const CARBON_FROM_M: f64 = 0.017;

impl Material {
    /// Young's modulus along the part, Pa, and its relative standard uncertainty.
    ///
    /// # Source
    /// Aluminium 6061-T6 68.9 GPa: ASM material data sheet. Steel 200 GPa: Gere and Timoshenko, appendix H (from memory).
    /// Drawn carbon rods: about 130 GPa of a tube supplier's published specification (60 % fibre, tension at least 134,
    /// bending at least 127). Wrapped carbon is 50 to 90 GPa according to its layers (from memory).
    pub fn modulus_pa(self) -> (f64, f64) {
        match self {
            Self::Aluminium => (68.9e9, 0.01),
            Self::Steel => (200e9, 0.02),
            Self::CarbonWrapped => (70e9, 0.17),
            Self::CarbonDrawn => (130e9, 0.05),
        }
    }

    /// Density, kg/m³: ASM data sheets for aluminium and steel; carbon 1500 as the supplier above.
    pub fn density_kg_m3(self) -> f64 {
        match self {
            Self::Aluminium => 2_700.0,
            Self::Steel => 7_850.0,
            Self::CarbonWrapped | Self::CarbonDrawn => 1_500.0,
        }
    }

    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Aluminium => "aluminium",
            Self::Steel => "steel",
            Self::CarbonWrapped => "carbon, wrapped",
            Self::CarbonDrawn => "carbon, drawn",
        }
    }
}

impl Structure {
    /// What rods of a diameter are made of: as stated, or what is usual.
    pub fn rod_material_or_usual(&self, outer_m: f64) -> Material {
        let usual = if outer_m < CARBON_FROM_M { Material::Aluminium } else { Material::CarbonWrapped };
        self.rod_material.unwrap_or(usual)
    }

    /// Wall of rods of a diameter, m: as stated, or 1.5 mm for aluminium and 2 mm for others (typical, invented).
    pub fn rod_wall_or_usual_m(&self, outer_m: f64) -> f64 {
        let usual_m = if self.rod_material_or_usual(outer_m) == Material::Aluminium { 0.001_5 } else { 0.002 };
        self.rod_wall_m.unwrap_or(usual_m)
    }
}

impl Figures {
    /// Of a package whose rods have that outer diameter.
    pub(super) fn new(known: &Structure, rod_outer_m: f64) -> Self {
        let figure = |stated: Option<f64>, typical: f64| match stated {
            Some(value) => Figure { value, relative_u: STATED_U, typical: false },
            None => Figure { value: typical, relative_u: TYPICAL_U, typical: true },
        };
        Self {
            rod_material: known.rod_material_or_usual(rod_outer_m),
            rod_wall_m: Figure {
                value: known.rod_wall_or_usual_m(rod_outer_m),
                relative_u: if known.rod_wall_m.is_some() { 0.05 } else { 0.2 },
                typical: known.rod_wall_m.is_none(),
            },
            plate_material: known.plate_material.unwrap_or(Material::Aluminium),
            fastening_nm_rad: figure(known.fastening_nm_rad, FASTENING_NM_RAD),
            lens_mount_nm_rad: figure(known.lens_mount_nm_rad, LENS_MOUNT_NM_RAD),
            support_n_m: figure(known.support_n_m, SUPPORT_N_M),
            body_fastening_times: 1.0,
            rod_material_typical: known.rod_material.is_none(),
            plate_material_typical: known.plate_material.is_none(),
        }
    }

    /// Two rods of an outer diameter and mass for each metre of the pair.
    pub(super) fn rods(&self, outer_m: f64, kg_m: f64) -> Beam {
        let outer_m = outer_m.max(THINNEST_M);
        let (modulus_pa, _) = self.rod_material.modulus_pa();
        Section::tube(outer_m, self.rod_wall_m.value).times(2.0).beam(modulus_pa, kg_m)
    }

    /// A plate that bends across `thick_m`; its mass counts where it is fastened.
    pub(super) fn plate(&self, wide_m: f64, thick_m: f64) -> Beam {
        let (modulus_pa, _) = self.plate_material.modulus_pa();
        Section::bar(wide_m.max(THINNEST_M), thick_m.max(THINNEST_M)).beam(modulus_pa, 0.0)
    }

    /// Relative standard uncertainty of what an element bends by. A plate has holes and pockets: a fifth of its stiffness.
    /// The second moment of a thin tube goes with its wall.
    pub(super) fn relative_u(&self, by: By) -> f64 {
        let root = |a: f64, b: f64| sqrt(a * a + b * b);
        match by {
            By::Plates => root(self.plate_material.modulus_pa().1, 0.2),
            By::Fastenings => self.fastening_nm_rad.relative_u,
            By::LensMount => self.lens_mount_nm_rad.relative_u,
            By::Rods => root(self.rod_material.modulus_pa().1, self.rod_wall_m.relative_u),
            By::Supports => self.support_n_m.relative_u,
        }
    }

    /// Where a figure comes from, in words.
    pub(super) fn source(&self, by: By) -> &'static str {
        let typical = match by {
            By::Plates => self.plate_material_typical,
            By::Fastenings => self.fastening_nm_rad.typical,
            By::LensMount => self.lens_mount_nm_rad.typical,
            By::Rods => self.rod_material_typical || self.rod_wall_m.typical,
            By::Supports => self.support_n_m.typical,
        };
        if typical { "typical: replace by your own" } else { "as entered" }
    }
}

/// What rocks by so much gives way along both axes as its screws stretch and shear.
pub(super) fn fastening(turning_nm_rad: f64) -> super::Spring {
    round(turning_nm_rad, FASTENING_RADIUS_M)
}

/// A lens mount: a ring that is pressed on.
pub(super) fn lens_mount(turning_nm_rad: f64) -> super::Spring {
    round(turning_nm_rad, MOUNT_RADIUS_M)
}

fn round(turning_nm_rad: f64, radius_m: f64) -> super::Spring {
    let across_n_m = turning_nm_rad / (radius_m * radius_m);
    super::Spring { first_n_m: across_n_m, second_n_m: across_n_m, turning_nm_rad }
}
