//! What the rig has taught.

use solver::package::{LoggedBalance, LoggedBody, LoggedMark, LoggedOf, Tune, TunedAxis};

use crate::wire::structure::layout;
use crate::wire::{Fault, Reader, Wire, Writer};

layout!(Tune { axes, name, check_share @ 1e4, again_share @ 1e4 });

layout!(TunedAxis { inertia_kg_m2 @ 1e6, joint });

layout!(LoggedBalance { marks, bodies, axes, note, tip_rad @ 1e6, id });

layout!(LoggedMark { mark_m @ 1e4, slide });

layout!(LoggedBody { of, cg_m @ 1e4 });

/// A number for the kind, then the identity.
impl Wire for LoggedOf {
    fn plain() -> Self {
        Self::Part(0)
    }

    fn put(&self, _base: &Self, out: &mut Writer) {
        match self {
            Self::Part(id) => {
                out.byte(0);
                out.unsigned(u64::from(*id));
            }
            Self::Lens(id) => {
                out.byte(1);
                out.unsigned(u64::from(*id));
            }
            Self::Yoke(place) => {
                out.byte(2);
                out.count(*place);
            }
        }
    }

    fn take(_base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => from.small().map(Self::Part),
            1 => from.small().map(Self::Lens),
            2 => usize::try_from(from.small()?).map(Self::Yoke).or(Err(Fault::Unknown)),
            _ => Err(Fault::Unknown),
        }
    }
}
