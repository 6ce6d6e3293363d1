//! What each move takes of each axis, as shares of the limit.

use solver::report::{Report, Terms};

/// A term of the demand, in the order in which they are stacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Term {
    /// Unbalance under gravity and lean.
    Unbalance,
    /// The platform's accelerations.
    Platform,
    /// The operator's fastest move.
    Operator,
    /// Wind.
    Wind,
    /// Friction and cables.
    Friction,
}

impl Term {
    /// All of them, as stacked.
    pub(crate) const ALL: [Self; 5] = [Self::Unbalance, Self::Platform, Self::Operator, Self::Wind, Self::Friction];

    /// Its word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Unbalance => "Unbalance",
            Self::Platform => "Platform",
            Self::Operator => "Operator",
            Self::Wind => "Wind",
            Self::Friction => "Friction, cables",
        }
    }

    /// Its share of a demand, N·m.
    pub(crate) fn of(self, terms: &Terms) -> f64 {
        match self {
            Self::Unbalance => terms.unbalance_nm,
            Self::Platform => terms.platform_nm,
            Self::Operator => terms.operator_nm,
            Self::Wind => terms.wind_nm,
            Self::Friction => terms.friction_nm + terms.cable_nm,
        }
    }
}

/// One axis: its limits, and a strip for each move.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AxisStrips {
    /// Name of the joint.
    pub(crate) name: String,
    /// Largest torque, N·m.
    pub(crate) peak_limit_nm: f64,
    /// One strip for each move.
    pub(crate) strips: Vec<Strip>,
}

/// One axis in one move.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Strip {
    /// Name of the move.
    pub(crate) name: String,
    /// Share of the peak limit that each term takes, in the order of [`Term::ALL`].
    pub(crate) shares: [f64; 5],
    /// Their sum.
    pub(crate) peak_use: f64,
    /// Share of the continuous limit.
    pub(crate) continuous_use: f64,
}

impl Strip {
    /// The tighter of the two uses.
    pub(crate) fn worst_use(&self) -> f64 {
        self.peak_use.max(self.continuous_use)
    }
}

/// A strip for every axis and move, in balancing order; `None` while there is no answer on torque.
pub(crate) fn strips(report: &Report) -> Option<Vec<AxisStrips>> {
    let torque = report.torque.known()?;
    let axes = torque.moves.first()?.axes.iter().enumerate().map(|(index, first)| AxisStrips {
        name: first.name.clone(),
        peak_limit_nm: first.peak_limit_nm,
        strips: torque
            .moves
            .iter()
            .filter_map(|each| {
                let axis = each.axes.get(index)?;
                Some(Strip {
                    name: each.name.clone(),
                    shares: Term::ALL.map(|term| term.of(&axis.peak) / axis.peak_limit_nm),
                    peak_use: axis.peak_nm.value / axis.peak_limit_nm,
                    continuous_use: axis.continuous_nm.value / axis.continuous_limit_nm,
                })
            })
            .collect(),
    });
    Some(axes.collect())
}

/// How much of the limit a strip has room for: a little past the stop, more when a demand goes beyond it, twice at most.
pub(crate) fn room(axes: &[AxisStrips]) -> f64 {
    let most = axes.iter().flat_map(|axis| &axis.strips).map(Strip::worst_use).fold(0.0, f64::max);
    (1.04 * most).clamp(1.12, 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> (Report, Vec<AxisStrips>) {
        let report = solver::check(&codec::library::demo()).expect("the demonstration is valid");
        let axes = strips(&report).expect("it has moves");
        (report, axes)
    }

    #[test]
    fn the_terms_of_a_strip_add_up_to_its_use() {
        for axis in demo().1 {
            for strip in axis.strips {
                let sum: f64 = strip.shares.iter().sum();
                assert!((sum - strip.peak_use).abs() < 1e-9, "{} {}: {sum}", axis.name, strip.name);
            }
        }
    }

    #[test]
    fn the_worst_strip_is_the_tightest_answer() {
        let (report, axes) = demo();
        let tightest = report.torque.known().and_then(|torque| torque.tightest.clone()).expect("something is tightest");
        let axis = axes.iter().find(|axis| axis.name == tightest.axis).expect("its axis");
        let strip = axis.strips.iter().find(|strip| strip.name == tightest.move_name).expect("its move");
        assert!((1.0 - strip.worst_use() - tightest.headroom.value).abs() < 1e-9);
    }

    #[test]
    fn a_strip_beyond_the_stop_still_fits_up_to_twice_the_limit() {
        let (_, mut axes) = demo();
        axes[0].strips[0].peak_use = 1.5;
        assert!(room(&axes) > 1.5);
        axes[0].strips[0].peak_use = 40.0;
        assert_eq!(room(&axes), 2.0);
    }
}
