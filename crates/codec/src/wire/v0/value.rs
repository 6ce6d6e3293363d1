//! Masses and centres of gravity.

use solver::package::{Cg, CgSource, Mass, MassSource};

use crate::wire::choice::choice;
use crate::wire::structure::layout;

choice!(MassSource { BenchScale, LuggageScale, DataSheet, Estimate, Typical, Balance });
layout!(Mass { kg @ 1e4, from, u_kg @ 1e4 });

choice!(CgSource { Measured, DataSheet, Estimate, Typical, Balance });
layout!(Cg { offset_m @ 1e4, from, u_m @ 1e4 });
