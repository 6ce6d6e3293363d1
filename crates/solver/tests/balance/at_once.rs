//! The chance that an axis stays put as soon as its slides stand at the marks that were told.

use solver::Package;

use crate::learning::at_once;
use crate::rigs;

/// True rigs with hidden masses, centres of gravity and zeros, set to the marks of the sheet: three standard errors of a
/// share over so many are 3 %.
#[test]
fn it_can_be_believed() {
    for axis in at_once(&rigs::medium(), None, 3000, 5) {
        assert!((axis.told - axis.stayed).abs() < 0.03, "{}: {} for {}", axis.joint, axis.told, axis.stayed);
    }
}

/// A logged balance teaches: the chance grows several times. A mark at which it stayed lies anywhere in the hold zone, which
/// the normal distribution of as wide a spread puts a little too far out: what is told is early rather than late.
#[test]
fn it_grows_with_a_log_and_promises_no_more_than_that() {
    let package = Package { active_lens: Some(rigs::PRIME), ..rigs::medium() };
    let [bare, logged] = [(None, 1), (Some(rigs::PRIME), 700)].map(|(log, rigs)| at_once(&package, log, rigs, 6));
    for (axis, bare) in logged.iter().zip(&bare) {
        let over = axis.told - axis.stayed;
        assert!(over < 0.03 && over > -0.12, "{}: {} for {}", axis.joint, axis.told, axis.stayed);
        assert!(axis.told > 1.5 * bare.told || axis.told > 0.95, "{}: {} before", axis.joint, bare.told);
    }
}
