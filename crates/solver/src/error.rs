//! What is wrong with an input, in a form that a screen and a terminal can both show.

use core::fmt;

use serde::Serialize;

use crate::bounds::Bounds;
use crate::path::FieldPath;

/// One fault of a package: which field, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputError {
    /// The field at fault.
    pub field: FieldPath,
    /// What is wrong.
    pub problem: Problem,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Problem {
    /// Not a finite number.
    NotFinite,
    /// A number outside its range.
    OutOfRange {
        /// The value found.
        value: f64,
        /// Smallest allowed.
        min: f64,
        /// Largest allowed.
        max: f64,
        /// Unit of all three; empty for a ratio.
        unit: &'static str,
    },
    /// A range whose lower end lies above its upper end.
    RangeReversed {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// A direction that is not of unit length.
    NotUnitLength {
        /// The length found.
        length: f64,
    },
    /// An inertia that no body can have: one moment is larger than the other two together.
    ImpossibleInertia {
        /// The principal moments, kg·m².
        moments_kg_m2: [f64; 3],
    },
    /// A list or a text that is too long.
    TooMany {
        /// How many were found.
        count: usize,
        /// How many are allowed.
        max: usize,
        /// What is counted.
        what: &'static str,
    },
    /// A name that must not be empty.
    Empty,
    /// A second item with an id that is already taken.
    DuplicateId {
        /// The id.
        id: String,
    },
    /// A reference to something that is not there.
    Unknown {
        /// What kind of thing is meant.
        what: &'static str,
        /// The id looked for.
        id: String,
    },
}

impl InputError {
    /// What is wrong with a number that its bounds do not allow; `None` where they do.
    pub(crate) fn of_number(field: FieldPath, value: f64, bounds: &Bounds) -> Option<Self> {
        Problem::of_number(value, bounds).map(|problem| Self { field, problem })
    }
}

impl Problem {
    /// What is wrong with a number that its bounds do not allow; `None` where they do.
    pub(crate) fn of_number(value: f64, bounds: &Bounds) -> Option<Self> {
        if !value.is_finite() {
            return Some(Self::NotFinite);
        }
        let Bounds { min, max, unit, .. } = *bounds;
        (!bounds.contains(value)).then_some(Self::OutOfRange { value, min, max, unit })
    }
}

impl fmt::Display for InputError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.field, self.problem)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite => write!(out, "is not a number"),
            Self::OutOfRange { value, min, max, unit } => {
                write!(out, "{} is outside {min} to {}", with_unit(*value, unit), with_unit(*max, unit))
            }
            Self::RangeReversed { low, high, unit } => write!(
                out,
                "runs from {} to {}: the first must not be the larger",
                with_unit(*low, unit),
                with_unit(*high, unit)
            ),
            Self::NotUnitLength { length } => {
                write!(out, "is a direction of length {length:.4}: it must be 1 (within 0.001)")
            }
            Self::ImpossibleInertia { moments_kg_m2: [x, y, z] } => write!(
                out,
                "({x}, {y}, {z}) kg·m² is no real body: each moment must be at most the sum of the other two"
            ),
            Self::TooMany { count, max, what } => {
                write!(out, "{count} {what}: at most {max} are allowed")
            }
            Self::Empty => write!(out, "must not be empty"),
            Self::DuplicateId { id } => write!(out, "\"{id}\" is already taken by another item"),
            Self::Unknown { what, id } => {
                write!(out, "there is no {what} \"{id}\" in this package")
            }
        }
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    if unit.is_empty() { format!("{value}") } else { format!("{value} {unit}") }
}

impl std::error::Error for InputError {}
