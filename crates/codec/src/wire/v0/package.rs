//! What is left of the package when head, parts, lenses, moves and day have sections of their own.

use solver::Package;
use solver::package::{Arm, AtHand, ChangeMinutes, Day, Head, LensId, Mount, Plate, Reserve, WeightedFor};

use crate::wire::structure::layout;

/// The section that names the package and says how the camera sits on the head.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Base {
    name: String,
    note: String,
    demo: bool,
    mount: Mount,
    active_lens: Option<LensId>,
    reserve: Reserve,
    arm: Option<Arm>,
    at_hand: Option<AtHand>,
    change_minutes: ChangeMinutes,
}

layout!(Base { name, mount, active_lens, note, reserve, demo, arm, at_hand, change_minutes });

layout!(Mount { flange_ahead_m @ 1e4, flange_left_m @ 1e4 });

layout!(Reserve { torque_headroom @ 1e4, tip_rad @ 1e6, finger_limit_n @ 1.0, finger_reach_m @ 1e3 });

layout!(Arm { weighted, head_length_m @ 1e3, weight_length_m @ 1e3, empty_kg @ 1e3, plates });

layout!(AtHand {
    weights_kg @ 1e4, risers_m @ 1e4, rods_m @ 1e4, pieces @ 1.0, holes_each_way @ 1.0, hole_spacing_m @ 1e5,
});

layout!(ChangeMinutes {
    lens_min @ 100.0, slide_min @ 100.0, try_min @ 100.0, on_or_off_min @ 100.0, moved_min @ 100.0,
    check_tune_min @ 100.0, tune_min @ 100.0,
});

layout!(Plate { count @ 1.0, kg @ 1e3 });

layout!(WeightedFor { all_up_kg @ 1e3, name });

impl Base {
    /// What differs in an ordinary package is written; the usual reserve is not.
    pub(crate) fn usual() -> Self {
        Self {
            name: String::new(),
            note: String::new(),
            demo: false,
            mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
            active_lens: None,
            reserve: Reserve::default(),
            arm: None,
            at_hand: None,
            change_minutes: ChangeMinutes::default(),
        }
    }

    /// This section of a package.
    pub(crate) fn of(package: &Package) -> Self {
        Self {
            name: package.name.clone(),
            note: package.note.clone(),
            demo: package.demo,
            mount: package.mount.clone(),
            active_lens: package.active_lens,
            reserve: package.reserve.clone(),
            arm: package.arm.clone(),
            at_hand: package.at_hand.clone(),
            change_minutes: package.change_minutes.clone(),
        }
    }

    /// A package of this section and a head; the other sections are still empty.
    pub(crate) fn with_head(self, head: Head) -> Package {
        let Self { name, note, demo, mount, active_lens, reserve, arm, at_hand, change_minutes } = self;
        let (parts, lenses, moves, logs) = Default::default();
        Package {
            name,
            note,
            demo,
            head,
            mount,
            parts,
            lenses,
            active_lens,
            moves,
            day: Day::default(),
            reserve,
            tune: None,
            arm,
            at_hand,
            logs,
            balancing: None,
            structure: solver::package::Structure::default(),
            change_minutes,
        }
    }
}
