//! The term tree behind one answer: formula, inputs with provenance, ±, source.

use serde::Serialize;

/// Which answer is to be opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AnswerId {
    /// Mass on the camera side.
    CameraMass,
    /// Mass on the arm.
    ArmMass,
    /// Target mark of the slide with this id.
    Mark(String),
    /// How the joint with this id hangs.
    Hang(String),
    /// Torque of one axis in one move.
    Torque {
        /// Id of the joint.
        joint: String,
        /// The move.
        move_id: crate::package::MoveId,
    },
    /// How long the packs last.
    Runtime,
    /// The current of the tap with this id.
    Tap(String),
}

/// One line of the arithmetic, with the lines that it is made of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Term {
    /// What it is, in the words of the trade.
    pub label: String,
    /// Its value; absent where the line is only a heading.
    pub value: Option<f64>,
    /// Standard uncertainty of the value.
    pub u: Option<f64>,
    /// SI unit of the value.
    pub unit: &'static str,
    /// The formula, in words and symbols, when it is computed.
    pub formula: Option<String>,
    /// Where the number or the formula comes from.
    pub source: Option<String>,
    /// What it is made of.
    pub of: Vec<Term>,
}
