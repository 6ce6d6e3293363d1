//! Two-scale weighing: mass and centre of gravity from two reactions, and its height from tilting the thing.

use serde::{Deserialize, Serialize};

use super::{PROPAGATION, Readings, read, together};
use crate::answer::Estimate;
use crate::bounds;
use crate::error::InputError;
use crate::explain::Term;
use crate::float;
use crate::path::FieldPath;

/// One of the two supports: what its scale reads, and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Support {
    /// Reading without the tare of what stands on the scale, kg.
    pub reading_kg: Estimate,
    /// Place of the support ahead of the point that the centre of gravity is wanted from, m.
    pub ahead_m: Estimate,
}

/// Something that lies level on two supports, a scale under each.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TwoScales {
    /// One support.
    pub first: Support,
    /// The other.
    pub second: Support,
}

/// What two scales tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TwoScalesResult {
    /// Sum of the readings, kg.
    pub mass_kg: Estimate,
    /// Centre of gravity ahead of the point that the places were measured from, m.
    pub ahead_m: Estimate,
    /// The arithmetic.
    pub term: Term,
}

/// Mass and centre of gravity from two reactions: x = (R₁x₁ + R₂x₂)/(R₁ + R₂).
///
/// # Errors
/// Every reading that is out of range, by its field; two supports at the same place; no weight at all.
///
/// # Source
/// Statics of a beam on two supports. With the first support as origin it is R₂L/(R₁ + R₂), as in FAA-H-8083-1B,
/// chapter 3 (from memory).
pub fn two_scales(input: &TwoScales) -> Result<TwoScalesResult, Vec<InputError>> {
    check(input)?;
    let TwoScales { first, second } = input;
    let (r1, r2) = (first.reading_kg.value, second.reading_kg.value);
    let (x1, x2) = (first.ahead_m.value, second.ahead_m.value);
    let mass = r1 + r2;
    let ahead = (r1 * x1 + r2 * x2) / mass;
    let mass_kg = Estimate::new(mass, together(&[first.reading_kg.u, second.reading_kg.u]));
    let u = together(&[
        (x1 - ahead) / mass * first.reading_kg.u,
        (x2 - ahead) / mass * second.reading_kg.u,
        r1 / mass * first.ahead_m.u,
        r2 / mass * second.ahead_m.u,
    ]);
    let ahead_m = Estimate::new(ahead, u);
    let term = Term::value("Centre of gravity", ahead, "m")
        .u(u)
        .formula("x = (R₁x₁ + R₂x₂) / (R₁ + R₂)")
        .source(PROPAGATION)
        .of(vec![
            read("R₁, first scale", first.reading_kg, "kg"),
            read("x₁, first support", first.ahead_m, "m"),
            read("R₂, second scale", second.reading_kg, "kg"),
            read("x₂, second support", second.ahead_m, "m"),
            read("Mass", mass_kg, "kg").formula("R₁ + R₂"),
        ]);
    Ok(TwoScalesResult { mass_kg, ahead_m, term })
}

fn check(input: &TwoScales) -> Result<(), Vec<InputError>> {
    let mut readings = Readings::default();
    for (name, support) in [("first", &input.first), ("second", &input.second)] {
        let at = FieldPath::root().field(name);
        readings.reading(&at.field("reading_kg"), support.reading_kg, &bounds::MASS_KG);
        readings.reading(&at.field("ahead_m"), support.ahead_m, &bounds::OFFSET_M);
    }
    let span_m = input.second.ahead_m.value - input.first.ahead_m.value;
    if span_m.abs() < LEAST_SPAN_M {
        let least = bounds::Bounds { min: LEAST_SPAN_M, max: 6.0, ..bounds::OFFSET_M };
        readings.number(&FieldPath::root().field("second").field("ahead_m"), span_m.abs(), &least);
    }
    let mass_kg = input.first.reading_kg.value + input.second.reading_kg.value;
    if mass_kg < LEAST_KG {
        let least = bounds::Bounds { min: LEAST_KG, ..bounds::MASS_KG };
        readings.number(&FieldPath::root().field("second").field("reading_kg"), mass_kg, &least);
    }
    readings.done()
}

/// Two supports closer than this tell nothing.
const LEAST_SPAN_M: f64 = 0.01;
/// Less than this is no weight.
const LEAST_KG: f64 = 0.001;

/// The same thing weighed level, then with its front raised, still on the same two supports.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TiltedScales {
    /// Weighed level.
    pub level: TwoScales,
    /// Reading of the *rear* scale with the front raised, kg.
    pub rear_raised_kg: Estimate,
    /// Angle by which the front was raised, rad.
    pub raised_rad: Estimate,
}

/// Height of the centre of gravity above the plane of the supports: h = ΔR·L/(W tan θ), m.
///
/// # Errors
/// As for [`two_scales`], and an angle outside 1° to 60°.
///
/// # Source
/// Standard statics: the rear reaction of a beam on two pivots rises by W·h·tan θ / L (from memory).
pub fn tilted_scales(input: &TiltedScales) -> Result<Estimate, Vec<InputError>> {
    let level = two_scales(&input.level)?;
    let mut readings = Readings::default();
    readings.reading(&FieldPath::root().field("rear_raised_kg"), input.rear_raised_kg, &bounds::MASS_KG);
    let angles = bounds::Bounds { min: 0.017, max: 1.05, ..bounds::ANGLE_RAD };
    readings.reading(&FieldPath::root().field("raised_rad"), input.raised_rad, &angles);
    readings.done()?;

    let (first, second) = (&input.level.first, &input.level.second);
    let rear = if first.ahead_m.value < second.ahead_m.value { first } else { second };
    let span_m = (first.ahead_m.value - second.ahead_m.value).abs();
    let rise_kg = input.rear_raised_kg.value - rear.reading_kg.value;
    let (sin, cos) = float::sin_cos(input.raised_rad.value);
    let per_rise = span_m * cos / (level.mass_kg.value * sin);
    let height_m = rise_kg * per_rise;
    // The level reading of the rear stands in the rise and in the mass; tan θ varies by 1/(sin θ cos θ).
    let other = if core::ptr::eq(rear, first) { second } else { first };
    let per_mass = height_m / level.mass_kg.value;
    let u = together(&[
        per_rise * input.rear_raised_kg.u,
        (per_rise + per_mass) * rear.reading_kg.u,
        per_mass * other.reading_kg.u,
        height_m / span_m * together(&[first.ahead_m.u, second.ahead_m.u]),
        height_m / (sin * cos) * input.raised_rad.u,
    ]);
    Ok(Estimate::new(height_m, u))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn support(kg: f64, ahead_m: f64, u_kg: f64) -> Support {
        Support { reading_kg: Estimate::new(kg, u_kg), ahead_m: Estimate::new(ahead_m, 0.0) }
    }

    #[test]
    fn two_reactions() {
        // Computed by hand: L 0.600 m, 4.8 and 7.2 kg, 5 g each: x = 0.36 m, u = (L/W²)√(R₂²u₁² + R₁²u₂²) = 0.18028 mm.
        let found = two_scales(&TwoScales { first: support(4.8, 0.0, 0.005), second: support(7.2, 0.6, 0.005) })
            .expect("readings in range");
        assert!((found.ahead_m.value - 0.36).abs() < 1e-12);
        assert!((found.ahead_m.u - 1.8028e-4).abs() < 1e-8, "{}", found.ahead_m.u);
        assert!((found.mass_kg.u - 0.005 * core::f64::consts::SQRT_2).abs() < 1e-12);
    }

    #[test]
    fn aircraft_weighing_forms() {
        // Source: FAA-H-8083-1B, chapter 3, and AC 43.13-1B, figure 10-4: weights in lb, arms in inches (values from
        // memory, recomputed). Here a pound is 0.01 kg and an inch 0.01 m.
        let rows = [
            // Other wheel's weight and arm; mains' weight and arm; centre of gravity.
            (340.0, 128.0 - 78.0, 1666.0, 128.0, 114.78),
            (340.0, -75.0 - 78.0, 1666.0, -75.0, -88.22),
            (67.0, 7.5 + 222.0, 1151.0, 7.5, 19.71),
            (67.0, -80.0 + 222.0, 1151.0, -80.0, -67.79),
        ];
        for (weight, arm, mains, mains_arm, printed) in rows {
            let found = two_scales(&TwoScales {
                first: support(0.01 * weight, 0.01 * arm, 0.0),
                second: support(0.01 * mains, 0.01 * mains_arm, 0.0),
            })
            .expect("readings in range");
            assert!((100.0 * found.ahead_m.value - printed).abs() < 0.05, "{} against {printed}", found.ahead_m.value);
        }
    }

    #[test]
    fn a_raised_front_tells_the_height() {
        // 12 kg, centre of gravity 0.36 m along and 0.15 m up, supports 0.6 m apart, front raised by 20°: moments about
        // the front support give the rear reaction.
        let (angle, up, along) = (20.0_f64.to_radians(), 0.15, 0.36);
        let (sin, cos) = float::sin_cos(angle);
        let rear_raised = 12.0 * ((0.6 - along) * cos + up * sin) / (0.6 * cos);
        let level = TwoScales { first: support(4.8, 0.0, 0.005), second: support(7.2, 0.6, 0.005) };
        let found = tilted_scales(&TiltedScales {
            level,
            rear_raised_kg: Estimate::new(rear_raised, 0.005),
            raised_rad: Estimate::new(angle, 0.005),
        })
        .expect("readings in range");
        assert!((found.value - up).abs() < 1e-12, "{}", found.value);
        // Numerical derivatives would give the same: the angle and the two rear readings dominate.
        assert!(found.u > 0.002 && found.u < 0.004, "{}", found.u);
    }

    #[test]
    fn faults_name_their_field() {
        let faults = two_scales(&TwoScales { first: support(f64::NAN, 0.0, 0.0), second: support(7.2, 0.0, -1.0) })
            .expect_err("three faults");
        let fields: Vec<String> = faults.iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(fields, ["first.reading_kg.value", "second.reading_kg.u", "second.ahead_m"]);
        assert!(two_scales(&TwoScales { first: support(0.0, 0.0, 0.0), second: support(0.0, 0.6, 0.0) }).is_err());
    }
}
