//! Measuring with what a crew has: two scales, a knife edge, a spring gauge, a trial slide, a stopwatch.
//!
//! Every door takes readings with their standard uncertainties and gives values with theirs, by the law of propagation
//! of uncertainty (JCGM 100:2008, equation (10): u²(y) = Σ(∂f/∂x)²u²(x) for independent readings), the arithmetic as a
//! [`Term`] tree, and a value that [`fn@write`] puts into the package with its provenance.

mod advice;
mod gauge;
mod knife_edge;
mod scales;
mod swing;
mod trial_slide;
mod use_value;

pub use advice::{Advice, Measurement, advice};
pub use gauge::{Gauge, GaugeResult, PULL_N, TIP_U_RAD, gauge};
pub use knife_edge::{KnifeEdge, KnifeEdgeResult, knife_edge};
pub use scales::{Support, TiltedScales, TwoScales, TwoScalesResult, tilted_scales, two_scales};
pub use swing::{AMPLITUDE_RAD, INERTIA_KG_M2, SWINGS, Swing, SwingKnown, SwingResult, swing};
pub use trial_slide::{TrialMark, TrialSlide, TrialSlideResult, trial_slide};
pub use use_value::{Target, Value, write};

use crate::answer::Estimate;
use crate::bounds::Bounds;
use crate::error::{InputError, Problem};
use crate::explain::Term;
use crate::path::FieldPath;

/// Collects every fault of the readings, so that a screen can mark all of them at once.
#[derive(Default)]
struct Readings(Vec<InputError>);

impl Readings {
    /// A reading with its uncertainty: both finite, the reading within `bounds`, the uncertainty not negative and no
    /// larger than the whole range.
    fn reading(&mut self, path: &FieldPath, reading: Estimate, bounds: &Bounds) {
        self.number(&path.field("value"), reading.value, bounds);
        let spread = Bounds { min: 0.0, max: bounds.max - bounds.min, ..*bounds };
        self.number(&path.field("u"), reading.u, &spread);
    }

    fn number(&mut self, path: &FieldPath, value: f64, bounds: &Bounds) {
        self.0.extend(InputError::of_number(path.clone(), value, bounds));
    }

    fn fault(&mut self, path: &FieldPath, problem: Problem) {
        self.0.push(InputError { field: path.clone(), problem });
    }

    fn done(self) -> Result<(), Vec<InputError>> {
        if self.0.is_empty() { Ok(()) } else { Err(self.0) }
    }
}

/// Root of the sum of squares: independent contributions to one uncertainty.
fn together(contributions: &[f64]) -> f64 {
    libm::sqrt(contributions.iter().map(|each| each * each).sum())
}

/// One reading on a line of the arithmetic.
fn read(label: &str, reading: Estimate, unit: &'static str) -> Term {
    Term::value(label, reading.value, unit).u(reading.u)
}

const PROPAGATION: &str = "± by JCGM 100:2008, equation (10)";
