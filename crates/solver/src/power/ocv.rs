//! Open-circuit voltage of one lithium-ion cell against its state of charge.

/// State of charge and open-circuit voltage, V. One documented shape, not the truth about every cell.
///
/// # Source
/// Chen et al., J. Electrochem. Soc. 167 (2020) 080534: an NMC 811 cell with graphite and silicon anode of 5 Ah, as
/// evaluated from the parameter set of that paper in a public battery model.
pub(crate) const KNOTS: [(f64, f64); 13] = [
    (0.0, 2.5),
    (0.05, 3.1094),
    (0.1, 3.2959),
    (0.2, 3.4852),
    (0.3, 3.5814),
    (0.4, 3.6670),
    (0.5, 3.7509),
    (0.6, 3.8406),
    (0.7, 3.9479),
    (0.8, 4.0421),
    (0.9, 4.0967),
    (0.95, 4.1236),
    (1.0, 4.2),
];

/// Open-circuit voltage of one cell, V, at a state of charge from 0 to 1: straight lines between the knots.
pub fn open_circuit_v(state_of_charge: f64) -> f64 {
    let charge = state_of_charge.clamp(0.0, 1.0);
    let upper = KNOTS.iter().position(|(knot, _)| *knot >= charge).unwrap_or(KNOTS.len() - 1).max(1);
    let ((low, low_v), (high, high_v)) = (KNOTS[upper - 1], KNOTS[upper]);
    low_v + (high_v - low_v) * (charge - low) / (high - low)
}
