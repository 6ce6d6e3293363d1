//! Minutes of each step of a lens change: the crew's own, or else typical.

use crate::package::ChangeMinutes;

/// Minutes that a practised crew of two takes for each thing. Common practice, no source.
pub mod typical {
    /// The lens itself: off, the other on, pins and locks.
    pub const LENS_MIN: f64 = 2.0;
    /// One slide: hold the camera, loosen, set the mark, tighten.
    pub const SLIDE_MIN: f64 = 0.5;
    /// Trying the balance once marks were moved.
    pub const TRY_MIN: f64 = 1.0;
    /// One part put on or taken off.
    pub const ON_OR_OFF_MIN: f64 = 1.0;
    /// What follows one ring or the front of the lens, moved along the rods.
    pub const MOVED_MIN: f64 = 0.5;
    /// Checking the tune: listen for ringing and hunting.
    pub const CHECK_TUNE_MIN: f64 = 1.0;
    /// Tuning again.
    pub const TUNE_MIN: f64 = 3.0;
}

/// Minutes of each step, and whether they are the crew's own.
#[derive(Debug, Clone, Copy)]
pub(super) struct StepMinutes {
    pub(super) lens: (f64, bool),
    pub(super) slide: (f64, bool),
    pub(super) trying: (f64, bool),
    pub(super) on_or_off: (f64, bool),
    pub(super) moved: (f64, bool),
    pub(super) check_tune: (f64, bool),
    pub(super) tune: (f64, bool),
}

/// What holds for a package.
pub(super) fn each_min(own: &ChangeMinutes) -> StepMinutes {
    let or = |own: Option<f64>, typical| (own.unwrap_or(typical), own.is_some());
    StepMinutes {
        lens: or(own.lens_min, typical::LENS_MIN),
        slide: or(own.slide_min, typical::SLIDE_MIN),
        trying: or(own.try_min, typical::TRY_MIN),
        on_or_off: or(own.on_or_off_min, typical::ON_OR_OFF_MIN),
        moved: or(own.moved_min, typical::MOVED_MIN),
        check_tune: or(own.check_tune_min, typical::CHECK_TUNE_MIN),
        tune: or(own.tune_min, typical::TUNE_MIN),
    }
}
