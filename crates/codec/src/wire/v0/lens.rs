//! Lenses.

use solver::package::{Lens, Rings};

use crate::wire::structure::layout;

layout!(Lens {
    mass, name, cg_ahead_m @ 1e4, cg_from, length_m @ 1e4, focal_length_m @ 1e4, rings, id, brings, leaves_off,
    diameter_m @ 1e4, cg_shift_m @ 1e4, cg_u_m @ 1e4, squeeze @ 1e3,
});

layout!(Rings { focus_m @ 1e4, iris_m @ 1e4, zoom_m @ 1e4 });
