//! What the crew has at hand to mend a balance.

use serde::{Deserialize, Serialize};

use crate::bounds::{self, Bounds};
use crate::error::InputError;
use crate::package::{AtHand, Package};
use crate::path::FieldPath;

/// Holes, risers, trim weights, and how far a part may be moved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Kit {
    /// Distance between the plate holes that the body can be screwed to, m.
    pub hole_spacing_m: f64,
    /// How many holes forward and back of the present one can be reached.
    pub holes_each_way: u32,
    /// Heights of the risers at hand, m.
    pub risers_m: Vec<f64>,
    /// Mass of a riser per metre of its height, kg/m.
    pub riser_kg_m: f64,
    /// Lengths of rods at hand, m.
    pub rods_m: Vec<f64>,
    /// Masses of trim weights, kg.
    pub weights_kg: Vec<f64>,
    /// How many of them can go on one place.
    pub pieces: u32,
    /// By what steps a part is moved fore-aft or sideways, m.
    pub move_step_m: f64,
    /// How many steps either way.
    pub move_steps: u32,
    /// Parts lighter than this are not worth moving, kg.
    pub least_moved_kg: f64,
    /// How many remedies are wanted.
    pub most: usize,
}

impl Default for Kit {
    /// The usual kit of [`AtHand`]; a 20 mm riser weighs 0.25 kg, parts are moved by up to 150 mm. Invented, typical.
    fn default() -> Self {
        let AtHand { hole_spacing_m, risers_m, rods_m, weights_kg, .. } = AtHand::default();
        Self {
            hole_spacing_m,
            holes_each_way: 10,
            risers_m,
            riser_kg_m: 12.5,
            rods_m,
            weights_kg,
            pieces: 3,
            move_step_m: 0.010,
            move_steps: 15,
            least_moved_kg: 0.2,
            most: 12,
        }
    }
}

impl Kit {
    /// What the package says is at hand; the usual kit where it says nothing.
    pub fn of(package: &Package) -> Self {
        let Some(at_hand) = &package.at_hand else { return Self::default() };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded to a few dozen")]
        let whole = |count: f64| libm::round(count.clamp(0.0, 100.0)) as u32;
        Self {
            hole_spacing_m: at_hand.hole_spacing_m,
            holes_each_way: whole(at_hand.holes_each_way),
            risers_m: at_hand.risers_m.clone(),
            rods_m: at_hand.rods_m.clone(),
            weights_kg: at_hand.weights_kg.clone(),
            pieces: whole(at_hand.pieces),
            ..Self::default()
        }
    }

    pub(super) fn validate(&self) -> Result<(), Vec<InputError>> {
        const COUNT: Bounds = bounds::HOLES;
        const KINDS: Bounds = Bounds { max: bounds::MAX_AT_HAND as f64, ..COUNT };
        const KG_M: Bounds = Bounds { min: 0.0, max: 200.0, steps_per_unit: 100.0, unit: "kg/m" };
        let root = FieldPath::root();
        let mut rows = vec![
            (root.field("hole_spacing_m"), self.hole_spacing_m, bounds::HOLE_SPACING_M),
            (root.field("holes_each_way"), f64::from(self.holes_each_way), COUNT),
            (root.field("risers_m"), self.risers_m.len() as f64, KINDS),
            (root.field("riser_kg_m"), self.riser_kg_m, KG_M),
            (root.field("rods_m"), self.rods_m.len() as f64, KINDS),
            (root.field("weights_kg"), self.weights_kg.len() as f64, KINDS),
            (root.field("pieces"), f64::from(self.pieces), bounds::TRIM_PIECES),
            (root.field("move_step_m"), self.move_step_m, bounds::HOLE_SPACING_M),
            (root.field("move_steps"), f64::from(self.move_steps), COUNT),
            (root.field("least_moved_kg"), self.least_moved_kg, bounds::MASS_KG),
        ];
        rows.extend(
            self.risers_m.iter().enumerate().map(|(at, m)| (root.field("risers_m").index(at), *m, bounds::RISER_M)),
        );
        rows.extend(self.rods_m.iter().enumerate().map(|(at, m)| (root.field("rods_m").index(at), *m, bounds::ROD_M)));
        rows.extend(
            self.weights_kg
                .iter()
                .enumerate()
                .map(|(at, kg)| (root.field("weights_kg").index(at), *kg, bounds::TRIM_KG)),
        );
        let fault = |(field, value, bounds)| InputError::of_number(field, value, &bounds);
        let faults: Vec<InputError> = rows.into_iter().filter_map(fault).collect();
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }

    /// Every mass that up to `pieces` trim weights on one place make, lightest first, each once.
    pub(super) fn totals_kg(&self) -> Vec<f64> {
        // In storage steps, so that equal sums are equal.
        let each: Vec<i64> = self.weights_kg.iter().filter_map(|kg| bounds::MASS_KG.to_steps(*kg)).collect();
        let mut sums = std::collections::BTreeSet::from([0]);
        for _ in 0..self.pieces {
            let longer: Vec<i64> = sums.iter().flat_map(|sum| each.iter().map(move |kg| sum + kg)).collect();
            sums.extend(longer);
        }
        sums.into_iter().filter(|sum| *sum > 0).map(|sum| bounds::MASS_KG.from_steps(sum)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn totals_of_up_to_two_pieces() {
        let kit = Kit { pieces: 2, ..Kit::default() };
        assert_eq!(kit.totals_kg(), [0.1, 0.2, 0.25, 0.35, 0.5, 0.6, 0.75, 1.0]);
    }

    #[test]
    fn a_kit_without_sense_is_named() {
        let kit = Kit { hole_spacing_m: f64::NAN, weights_kg: vec![0.1, -1.0], ..Kit::default() };
        let fields: Vec<String> =
            kit.validate().expect_err("two faults").iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(fields, ["hole_spacing_m", "weights_kg[1]"]);
    }
}
