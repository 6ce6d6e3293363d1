//! Knife edge: roll the thing over an edge until it tips.

use serde::{Deserialize, Serialize};

use super::{PROPAGATION, Readings, read, together};
use crate::answer::Estimate;
use crate::bounds;
use crate::error::InputError;
use crate::explain::Term;
use crate::path::FieldPath;

/// Where the edge stood when it tipped one way, and when it tipped the other.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct KnifeEdge {
    /// Edge ahead of the point that the centre of gravity is wanted from, when the front went down, m.
    pub front_down_m: f64,
    /// The same when the tail went down, m.
    pub tail_down_m: f64,
    /// Standard uncertainty of the rule, m.
    pub rule_u_m: f64,
}

/// What a knife edge tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KnifeEdgeResult {
    /// Centre of gravity ahead of the point that the edge was measured from, m.
    pub ahead_m: Estimate,
    /// The arithmetic.
    pub term: Term,
}

/// Centre of gravity from the two places of an edge: halfway between, and anywhere between is equally likely.
///
/// # Errors
/// Every reading that is out of range, by its field; an edge that was further forward when the front went down than when
/// the tail did (the two are the wrong way round).
///
/// # Source
/// Rectangular distribution of half width a: u = a/√3, JCGM 100:2008, 4.3.7.
pub fn knife_edge(input: &KnifeEdge) -> Result<KnifeEdgeResult, Vec<InputError>> {
    let mut readings = Readings::default();
    let root = FieldPath::root();
    readings.number(&root.field("front_down_m"), input.front_down_m, &bounds::OFFSET_M);
    readings.number(&root.field("tail_down_m"), input.tail_down_m, &bounds::OFFSET_M);
    readings.number(&root.field("rule_u_m"), input.rule_u_m, &bounds::OFFSET_U_M);
    if input.front_down_m > input.tail_down_m {
        let problem = crate::Problem::RangeReversed {
            low: input.front_down_m,
            high: input.tail_down_m,
            unit: bounds::OFFSET_M.unit,
        };
        readings.fault(&root.field("tail_down_m"), problem);
    }
    readings.done()?;
    let half_m = 0.5 * (input.tail_down_m - input.front_down_m);
    let ahead = input.front_down_m + half_m;
    let between_u_m = half_m / 3.0_f64.sqrt();
    let ahead_m = Estimate::new(ahead, together(&[between_u_m, input.rule_u_m]));
    let term = read("Centre of gravity", ahead_m, "m")
        .formula("halfway between the two edges; ± is half their distance / √3, and the rule's own")
        .source(PROPAGATION)
        .of(vec![
            Term::value("Edge when the front went down", input.front_down_m, "m").u(input.rule_u_m),
            Term::value("Edge when the tail went down", input.tail_down_m, "m").u(input.rule_u_m),
        ]);
    Ok(KnifeEdgeResult { ahead_m, term })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halfway_between() {
        let found = knife_edge(&KnifeEdge { front_down_m: 0.164, tail_down_m: 0.170, rule_u_m: 0.0 });
        let ahead_m = found.expect("readings in range").ahead_m;
        assert!((ahead_m.value - 0.167).abs() < 1e-12);
        assert!((ahead_m.u - 0.003 / 3.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn the_wrong_way_round_is_a_fault() {
        let faults = knife_edge(&KnifeEdge { front_down_m: 0.2, tail_down_m: 0.1, rule_u_m: 0.001 });
        assert_eq!(faults.expect_err("reversed")[0].field.to_string(), "tail_down_m");
    }
}
