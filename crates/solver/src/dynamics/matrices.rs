//! Rotations, and second moments under them.

use nalgebra::{Matrix3, Vector3};

use crate::float;
use crate::mass::MassProperties;

/// R·S·Rᵀ of a symmetric matrix.
pub(super) fn turned(symmetric: &Matrix3<f64>, rotation: &Matrix3<f64>) -> Matrix3<f64> {
    let half = rotation * symmetric;
    mirrored(|row, column| {
        half[(row, 0)] * rotation[(column, 0)]
            + half[(row, 1)] * rotation[(column, 1)]
            + half[(row, 2)] * rotation[(column, 2)]
    })
}

/// **a**·**b**ᵀ + **b**·**a**ᵀ.
pub(super) fn both_ways(a: &Vector3<f64>, b: &Vector3<f64>) -> Matrix3<f64> {
    mirrored(|row, column| a[row] * b[column] + b[row] * a[column])
}

/// A symmetric matrix from its upper half.
fn mirrored(of: impl Fn(usize, usize) -> f64) -> Matrix3<f64> {
    let (xy, xz, yz) = (of(0, 1), of(0, 2), of(1, 2));
    Matrix3::new(of(0, 0), xy, xz, xy, of(1, 1), yz, xz, yz, of(2, 2))
}

/// Second moment ½·tr(I)·E − I of a body about the origin of its link, kg·m².
pub(super) fn second_kg_m2(body: &MassProperties) -> Matrix3<f64> {
    let mut second = -body.inertia_kg_m2;
    let half = 0.5 * body.inertia_kg_m2.trace();
    for axis in 0..3 {
        second[(axis, axis)] += half;
    }
    second
}

/// The rotation by `angle_rad` about a unit vector (Rodrigues).
pub(super) fn turn_about(axis: &Vector3<f64>, angle_rad: f64) -> Matrix3<f64> {
    let (sin, cos) = float::sin_cos(angle_rad);
    let [x, y, z] = (*axis).into();
    let rest = 1.0 - cos;
    Matrix3::new(
        cos + rest * x * x,
        rest * x * y - sin * z,
        rest * x * z + sin * y,
        rest * x * y + sin * z,
        cos + rest * y * y,
        rest * y * z - sin * x,
        rest * x * z - sin * y,
        rest * y * z + sin * x,
        cos + rest * z * z,
    )
}
