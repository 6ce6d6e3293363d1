//! The term tree behind one answer: formula, inputs with provenance, ±, source.

mod balance;
mod how_far;
mod mass;
mod power;
mod stiffness;
mod torque;

pub(crate) use mass::name;

use serde::{Deserialize, Serialize};

use crate::check::Solved;
use crate::error::InputError;
use crate::package::{CgSource, MassSource, Package};

/// Which answer is to be opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
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
    /// How far one can go in one move before the reserve is used up.
    HowFar(crate::package::MoveId),
    /// How long the packs last.
    Runtime,
    /// The current of the tap with this id.
    Tap(String),
    /// The first mode of the package.
    Stiffness,
}

/// Unit of a share of a whole, 0 to 1: a ratio has the unit one. A plain number or a count has none.
pub const SHARE: &str = "1";

/// One line of the arithmetic, with the lines that it is made of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Term {
    /// What it is, in the words of the trade.
    pub label: String,
    /// Its value; absent where the line is only a heading.
    pub value: Option<f64>,
    /// Standard uncertainty of the value.
    pub u: Option<f64>,
    /// SI unit of the value: [`SHARE`] for a share of a whole, empty for a plain number.
    pub unit: &'static str,
    /// The formula, in words and symbols, when it is computed.
    pub formula: Option<String>,
    /// Where the number or the formula comes from.
    pub source: Option<String>,
    /// What it is made of.
    pub of: Vec<Term>,
}

/// Opens one answer down to its arithmetic. `None` when the package holds nothing of that id.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn explain(package: &Package, answer: &AnswerId) -> Result<Option<Term>, Vec<InputError>> {
    crate::validate::validate(package)?;
    let solved = Solved::new(package);
    Ok(match answer {
        AnswerId::CameraMass => Some(mass::camera(package, &solved)),
        AnswerId::ArmMass => Some(mass::on_the_arm(package, &solved)),
        AnswerId::Mark(slide) => balance::mark(package, &solved, slide),
        AnswerId::Hang(joint) => balance::hang(package, &solved, joint),
        AnswerId::Torque { joint, move_id } => torque::axis(package, &solved, joint, *move_id),
        AnswerId::HowFar(move_id) => how_far::one_move(package, &solved, *move_id),
        AnswerId::Runtime => Some(power::runtime(package, &solved)),
        AnswerId::Tap(tap) => power::tap(package, tap),
        AnswerId::Stiffness => stiffness::first_mode(package),
    })
}

impl Term {
    /// A number on a line of its own.
    pub(crate) fn value(label: impl Into<String>, value: f64, unit: &'static str) -> Self {
        Self { label: label.into(), value: Some(value), u: None, unit, formula: None, source: None, of: Vec::new() }
    }

    /// A heading over other lines.
    pub(crate) fn heading(label: impl Into<String>, of: Vec<Self>) -> Self {
        Self { label: label.into(), value: None, u: None, unit: "", formula: None, source: None, of }
    }

    pub(crate) fn u(mut self, u: f64) -> Self {
        self.u = Some(u);
        self
    }

    pub(crate) fn formula(mut self, formula: impl Into<String>) -> Self {
        self.formula = Some(formula.into());
        self
    }

    pub(crate) fn source(mut self, source: impl Into<String>) -> Self {
        self.source = Some(source.into());
        self
    }

    pub(crate) fn of(mut self, of: Vec<Self>) -> Self {
        self.of = of;
        self
    }
}

/// The provenance of a mass, in words.
pub(crate) fn mass_words(from: MassSource) -> &'static str {
    match from {
        MassSource::BenchScale => "weighed on a bench scale",
        MassSource::LuggageScale => "weighed on a luggage scale",
        MassSource::DataSheet => "data sheet",
        MassSource::Estimate => "estimate",
        MassSource::Typical => "typical: replace by your own",
        MassSource::Balance => "learned from logged balances",
    }
}

/// The provenance of a centre of gravity, in words.
pub(crate) fn cg_words(from: CgSource) -> &'static str {
    match from {
        CgSource::Measured => "measured",
        CgSource::DataSheet => "data sheet",
        CgSource::Estimate => "estimate",
        CgSource::Typical => "typical: replace by your own",
        CgSource::Balance => "learned from logged balances",
    }
}
