//! Lifting by hand: the revised NIOSH lifting equation, and the reference masses of ISO 11228-1.

use serde::{Deserialize, Serialize};

use crate::bounds::{self, Bounds};
use crate::error::InputError;
use crate::explain::Term;
use crate::path::FieldPath;

/// What the equation does not cover: always shown with its result.
pub const NOT_COVERED: [&str; 5] = [
    "It does not cover lifts by two or more people: for those use a stand or a hoist, or ask a competent person.",
    "It does not cover one hand, sitting, kneeling, a narrow space, ladders, slippery floors or a load that swings.",
    "It is for healthy adults who lift smoothly, for at most eight hours.",
    "It says nothing about what hangs above people.",
    "Local rules and the competent person on site decide.",
];

/// How long lifting goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Duration {
    /// Up to an hour, with rest of at least 1.2 times as long after it.
    UpToOneHour,
    /// Up to two hours, with rest of at least 0.3 times as long after it.
    UpToTwoHours,
    /// Up to eight hours.
    UpToEightHours,
}

/// How well the hands hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Coupling {
    /// Handles or hand-holds.
    Good,
    /// Handles that are less than ideal, or fingers bent under a right angle.
    Fair,
    /// Bulky, sharp, sagging, nothing to hold.
    Poor,
}

/// One person's lift, at one end of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Lift {
    /// What is lifted, kg.
    pub mass_kg: f64,
    /// Hands ahead of the middle between the ankles, m.
    pub hands_ahead_m: f64,
    /// Hands above the floor, m.
    pub hands_up_m: f64,
    /// Vertical way of the lift, m.
    pub travel_m: f64,
    /// How far the load is turned out of the middle plane of the body, rad.
    pub twist_rad: f64,
    /// Lifts a minute.
    pub lifts_per_min: f64,
    /// For how long.
    pub duration: Duration,
    /// How well the hands hold it.
    pub coupling: Coupling,
}

/// What the lifting equation says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LiftReport {
    /// Recommended weight limit, kg; 0 when the lift is out of reach of the equation.
    pub limit_kg: f64,
    /// Mass over limit; absent when the limit is 0. Up to 1 is acceptable for nearly all healthy workers.
    pub index: Option<f64>,
    /// The arithmetic: every multiplier on its own line.
    pub term: Term,
    /// What this does not cover.
    pub not_covered: [&'static str; 5],
}

/// Load constant, kg.
const LOAD_KG: f64 = 23.0;

/// How often a minute something is lifted.
pub const LIFTS_PER_MIN: Bounds = Bounds { min: 0.0, max: 60.0, steps_per_unit: 100.0, unit: "1/min" };
/// A distance of the hands.
pub const LIFT_REACH_M: Bounds = Bounds { min: 0.0, max: 2.5, ..bounds::SIZE_M };
/// A turn of the body.
pub const TWIST_RAD: Bounds = Bounds { min: 0.0, max: 3.15, ..bounds::ANGLE_RAD };

/// The recommended weight limit 23 kg × HM × VM × DM × AM × FM × CM, and the lifting index.
///
/// # Errors
/// Every input that is out of range, by its field.
///
/// # Source
/// Waters, Putz-Anderson and Garg, *Applications Manual for the Revised NIOSH Lifting Equation*, DHHS (NIOSH) 94-110,
/// 1994 (multipliers and table from memory).
pub fn lifting(lift: &Lift) -> Result<LiftReport, Vec<InputError>> {
    validate(lift)?;
    let multipliers = [
        ("Horizontal: 25 cm / H", horizontal(100.0 * lift.hands_ahead_m)),
        ("Vertical: 1 − 0.003 |V − 75 cm|", vertical(100.0 * lift.hands_up_m)),
        ("Distance: 0.82 + 4.5 cm / D", distance(100.0 * lift.travel_m)),
        ("Twist: 1 − 0.0032 A", twist(lift.twist_rad.to_degrees())),
        ("Frequency, from the table", frequency(lift)),
        ("Coupling", coupling(lift)),
    ];
    let limit_kg = multipliers.iter().fold(LOAD_KG, |limit, (_, factor)| limit * factor);
    let mut lines = vec![Term::value("Load constant", LOAD_KG, "kg")];
    lines.extend(multipliers.map(|(label, factor)| Term::value(label, factor, "")));
    let term = Term::value("Recommended weight limit", limit_kg, "kg")
        .formula("the product of all lines")
        .source("Revised NIOSH lifting equation, DHHS (NIOSH) 94-110, 1994 (values from memory)")
        .of(lines);
    let index = (limit_kg > 0.0).then(|| lift.mass_kg / limit_kg);
    Ok(LiftReport { limit_kg, index, term, not_covered: NOT_COVERED })
}

fn validate(lift: &Lift) -> Result<(), Vec<InputError>> {
    let rows = [
        ("mass_kg", lift.mass_kg, bounds::MASS_KG),
        ("hands_ahead_m", lift.hands_ahead_m, LIFT_REACH_M),
        ("hands_up_m", lift.hands_up_m, LIFT_REACH_M),
        ("travel_m", lift.travel_m, LIFT_REACH_M),
        ("twist_rad", lift.twist_rad, TWIST_RAD),
        ("lifts_per_min", lift.lifts_per_min, LIFTS_PER_MIN),
    ];
    let fault = |(name, value, bounds)| InputError::of_number(FieldPath::root().field(name), value, &bounds);
    let faults: Vec<InputError> = rows.into_iter().filter_map(fault).collect();
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

fn horizontal(ahead_cm: f64) -> f64 {
    if ahead_cm > 63.0 { 0.0 } else { 25.0 / ahead_cm.max(25.0) }
}

fn vertical(up_cm: f64) -> f64 {
    if up_cm > 175.0 { 0.0 } else { 1.0 - 0.003 * (up_cm - 75.0).abs() }
}

fn distance(travel_cm: f64) -> f64 {
    if travel_cm > 175.0 { 0.0 } else { (0.82 + 4.5 / travel_cm.max(25.0)).min(1.0) }
}

fn twist(twist_deg: f64) -> f64 {
    if twist_deg > 135.0 { 0.0 } else { 1.0 - 0.0032 * twist_deg }
}

fn coupling(lift: &Lift) -> f64 {
    match lift.coupling {
        Coupling::Fair if lift.hands_up_m < 0.75 => 0.95,
        Coupling::Good | Coupling::Fair => 1.0,
        Coupling::Poor => 0.9,
    }
}

/// Lifts a minute; multiplier for one, two and eight hours; whether each holds only with the hands at 75 cm or above.
const FREQUENCY: [(f64, [f64; 3], [bool; 3]); 18] = [
    (0.2, [1.0, 0.95, 0.85], [false; 3]),
    (0.5, [0.97, 0.92, 0.81], [false; 3]),
    (1.0, [0.94, 0.88, 0.75], [false; 3]),
    (2.0, [0.91, 0.84, 0.65], [false; 3]),
    (3.0, [0.88, 0.79, 0.55], [false; 3]),
    (4.0, [0.84, 0.72, 0.45], [false; 3]),
    (5.0, [0.80, 0.60, 0.35], [false; 3]),
    (6.0, [0.75, 0.50, 0.27], [false; 3]),
    (7.0, [0.70, 0.42, 0.22], [false; 3]),
    (8.0, [0.60, 0.35, 0.18], [false; 3]),
    (9.0, [0.52, 0.30, 0.15], [false, false, true]),
    (10.0, [0.45, 0.26, 0.13], [false, false, true]),
    (11.0, [0.41, 0.23, 0.0], [false, true, true]),
    (12.0, [0.37, 0.21, 0.0], [false, true, true]),
    (13.0, [0.34, 0.0, 0.0], [true; 3]),
    (14.0, [0.31, 0.0, 0.0], [true; 3]),
    (15.0, [0.28, 0.0, 0.0], [true; 3]),
    (60.0, [0.0, 0.0, 0.0], [true; 3]),
];

/// Between two rows of the table the more frequent one counts: the safe side.
fn frequency(lift: &Lift) -> f64 {
    let column = match lift.duration {
        Duration::UpToOneHour => 0,
        Duration::UpToTwoHours => 1,
        Duration::UpToEightHours => 2,
    };
    let row = FREQUENCY.iter().find(|(most, _, _)| lift.lifts_per_min <= *most);
    row.map_or(
        0.0,
        |(_, factors, high_only)| {
            if high_only[column] && lift.hands_up_m < 0.75 { 0.0 } else { factors[column] }
        },
    )
}

/// Who lifts, for the reference mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LiftingPerson {
    /// A man between 18 and 45.
    ManOf18To45,
    /// A woman between 18 and 45.
    WomanOf18To45,
    /// A younger or older man.
    OtherMan,
    /// A younger or older woman.
    OtherWoman,
}

/// Mass that a person should not lift above even in the best posture, kg.
///
/// # Source
/// ISO 11228-1, reference masses (values from memory; the clause and the edition's wording not verified).
pub fn reference_mass_kg(person: LiftingPerson) -> f64 {
    match person {
        LiftingPerson::ManOf18To45 => 25.0,
        LiftingPerson::WomanOf18To45 | LiftingPerson::OtherMan => 20.0,
        LiftingPerson::OtherWoman => 15.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The manual's metric form takes 25 cm for 10 in and 23 kg for 51 lb: with its own rounding both forms are one.
    const INCH_M: f64 = 0.025;
    const POUND_KG: f64 = 23.0 / 51.0;

    fn once(mass_kg: f64, ahead_m: f64, up_m: f64, travel_m: f64) -> Lift {
        Lift {
            mass_kg,
            hands_ahead_m: ahead_m,
            hands_up_m: up_m,
            travel_m,
            twist_rad: 0.0,
            lifts_per_min: 0.2,
            duration: Duration::UpToOneHour,
            coupling: Coupling::Fair,
        }
    }

    fn limit_lb(lift: &Lift) -> f64 {
        lifting(lift).expect("inputs in range").limit_kg / POUND_KG
    }

    #[test]
    fn worked_examples_of_the_manual() {
        // Source: DHHS (NIOSH) 94-110, section 3 (values from memory). The manual works with multipliers of two
        // decimals (0.44 for 10/23): within 3 %.
        let press = |up: f64| once(44.0 * POUND_KG, 23.0 * INCH_M, up * INCH_M, 49.0 * INCH_M);
        let hopper = Lift {
            twist_rad: 45.0_f64.to_radians(),
            ..once(40.0 * POUND_KG, 18.0 * INCH_M, 15.0 * INCH_M, 21.0 * INCH_M)
        };
        for (name, lift, printed_lb, printed_index) in [
            ("loading punch press stock, origin", press(15.0), 16.3, 2.7),
            ("loading punch press stock, destination", press(64.0), 14.5, 3.0),
            ("loading bags into a hopper, origin", hopper, 18.9, 2.1),
        ] {
            let found_lb = limit_lb(&lift);
            assert!((found_lb / printed_lb - 1.0).abs() < 0.03, "{name}: {found_lb} against {printed_lb}");
            let index = lifting(&lift).expect("inputs in range").index.expect("within reach");
            assert!((index / printed_index - 1.0).abs() < 0.05, "{name}: {index} against {printed_index}");
        }
    }

    #[test]
    fn metric_multipliers() {
        // Computed: 23 × 0.625 × 0.925 × 0.895 × 1 × 0.97 × 1 = 11.544 kg.
        let lift = Lift { lifts_per_min: 0.5, coupling: Coupling::Good, ..once(10.0, 0.40, 1.00, 0.60) };
        let report = lifting(&lift).expect("inputs in range");
        assert!((report.limit_kg - 11.544).abs() < 5e-4, "{}", report.limit_kg);
        let product: f64 = report.term.of.iter().filter_map(|line| line.value).product();
        assert!((product - report.limit_kg).abs() < 1e-12);
    }

    #[test]
    fn out_of_reach_has_no_index() {
        for lift in [once(10.0, 0.64, 1.0, 0.3), once(10.0, 0.3, 1.76, 0.3), once(10.0, 0.3, 1.0, 1.76)] {
            let report = lifting(&lift).expect("inputs in range");
            assert_eq!((report.limit_kg, report.index), (0.0, None));
        }
    }

    #[test]
    fn frequent_lifts_from_the_floor_are_barred_first() {
        let at = |up_m, lifts_per_min, duration| {
            let lift = Lift { lifts_per_min, duration, ..once(5.0, 0.25, up_m, 0.25) };
            lifting(&lift).expect("inputs in range").limit_kg
        };
        assert!(at(0.8, 9.0, Duration::UpToEightHours) > 0.0);
        assert!(at(0.5, 9.0, Duration::UpToEightHours).abs() < 1e-12);
        assert!(at(0.5, 11.0, Duration::UpToOneHour) > at(0.5, 12.0, Duration::UpToOneHour));
        assert!(at(0.8, 16.0, Duration::UpToOneHour).abs() < 1e-12);
    }

    #[test]
    fn reference_masses() {
        // ISO 11228-1 (values from memory).
        for (person, kg) in [
            (LiftingPerson::ManOf18To45, 25.0),
            (LiftingPerson::WomanOf18To45, 20.0),
            (LiftingPerson::OtherMan, 20.0),
            (LiftingPerson::OtherWoman, 15.0),
        ] {
            assert!((reference_mass_kg(person) - kg).abs() < 1e-12, "{person:?}");
        }
    }

    #[test]
    fn faults_name_their_field() {
        let faults = lifting(&Lift { hands_up_m: -1.0, ..once(f64::NAN, 0.3, 1.0, 0.3) }).expect_err("two faults");
        let fields: Vec<String> = faults.iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(fields, ["mass_kg", "hands_up_m"]);
    }
}
