//! A number with its uncertainty, and an answer that may need more input.

use serde::{Deserialize, Serialize};

use crate::path::FieldPath;

/// A value with its standard uncertainty, both in the unit of the name that holds it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Standard uncertainty.
    pub u: f64,
}

impl Estimate {
    /// A value and its standard uncertainty.
    pub const fn new(value: f64, u: f64) -> Self {
        Self { value, u }
    }
}

/// An answer, or the fields without which there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer<T> {
    /// The answer.
    Known(T),
    /// What must be entered first.
    Needs(Vec<FieldPath>),
}

impl<T> Answer<T> {
    /// The answer, if there is one.
    pub fn known(&self) -> Option<&T> {
        match self {
            Self::Known(value) => Some(value),
            Self::Needs(_) => None,
        }
    }
}
