//! What the first mode of one plane is made of, piece by piece, for whoever opens it.

use super::answers::Swings;
use super::framework::{Element, End};
use super::model::Plane;
use crate::float::sqrt;

/// One beam or spring in the first mode.
pub(crate) struct PieceOf<'a> {
    pub(crate) name: &'a str,
    pub(crate) element: &'a Element,
    /// What it holds of φᵀKφ.
    pub(crate) strain: f64,
    pub(crate) relative_u: f64,
    pub(crate) source: &'static str,
}

/// One mass in the first mode.
pub(crate) struct MassOf<'a> {
    pub(crate) name: &'a str,
    pub(crate) kg: f64,
    pub(crate) kg_u: f64,
    /// How far its centre of gravity shifts in φ.
    pub(crate) shift: f64,
    /// What it holds of φᵀMφ.
    pub(crate) swing: f64,
}

impl Swings {
    pub(crate) fn plane(&self) -> Plane {
        self.model.plane
    }

    /// What makes squares of the shape those of one whose largest shift of a mass is 1.
    pub(crate) fn scale(&self) -> f64 {
        let largest = self.masses().fold(0.0_f64, |largest, mass| largest.max(mass.shift));
        if largest > 0.0 { 1.0 / (largest * largest) } else { 0.0 }
    }

    pub(crate) fn pieces(&self) -> impl Iterator<Item = PieceOf<'_>> {
        let framework = self.framework();
        framework.elements.iter().zip(&self.model.pieces).map(|(element, piece)| PieceOf {
            name: &piece.name,
            element,
            strain: framework.strain(element, &self.modes[0].shape),
            relative_u: self.figures.relative_u(piece.by),
            source: self.figures.source(piece.by),
        })
    }

    pub(crate) fn masses(&self) -> impl Iterator<Item = MassOf<'_>> {
        let (framework, shape) = (self.framework(), &self.modes[0].shape);
        framework.masses.iter().zip(&self.model.riders).map(move |(mass, rider)| {
            let [u, w, _] = framework.moved(shape, &End { node: Some(mass.node), at_m: mass.at_m });
            MassOf {
                name: &rider.name,
                kg: mass.kg,
                kg_u: rider.kg_u,
                shift: sqrt(u * u + w * w),
                swing: framework.swing(mass, shape),
            }
        })
    }

    /// What the beams' own mass holds of φᵀMφ.
    pub(crate) fn beams_swing(&self) -> f64 {
        let framework = self.framework();
        framework.elements.iter().map(|element| framework.swing_of(element, &self.modes[0].shape)).sum()
    }
}
