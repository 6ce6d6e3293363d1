//! What the rig has taught.

use solver::package::{
    Balancing, LoggedBalance, LoggedBody, LoggedFace, LoggedMark, LoggedOf, Seen, TakenOver, Tried, Tune, TunedAxis,
};

use crate::wire::structure::layout;
use crate::wire::{Fault, Fixed, Reader, Wire, Writer};

layout!(Tune { axes, name, check_share @ 1e4, again_share @ 1e4 });

layout!(TunedAxis { inertia_kg_m2 @ 1e6, joint });

layout!(LoggedBalance { marks, bodies, axes, note, tip_rad @ 1e6, id, faces, weighed });

layout!(LoggedFace { direction @ 1e6, joint, u_kg_m @ 1e5 });

layout!(LoggedMark { mark_m @ 1e4, slide });

layout!(LoggedBody { of, cg_m @ 1e4, taken_over, place, cg_offset_m @ 1e4 });

layout!(TakenOver { mass, cg, then_kg @ 1e4, then_cg_m @ 1e4 });

layout!(Balancing { tried, ready, parts, lens, log, other_way });

layout!(Tried { seen, at, joint });

/// Storage steps of a mark and of its uncertainty.
const MARK: f64 = 1e4;

/// A number for the kind, then what was read.
impl Wire for Seen {
    fn plain() -> Self {
        Self::Stays
    }

    fn put(&self, _base: &Self, out: &mut Writer) {
        match self {
            Self::Stays => out.byte(0),
            Self::WantsMore => out.byte(1),
            Self::WantsLess => out.byte(2),
            Self::Gauge { mark_m, u_m } => {
                out.byte(3);
                mark_m.put(MARK, &0.0, out);
                u_m.put(MARK, &0.0, out);
            }
            Self::Turns => out.byte(4),
            Self::LeftOut => out.byte(5),
            Self::Ends { low_m, high_m } => {
                out.byte(6);
                low_m.put(MARK, &0.0, out);
                high_m.put(MARK, &0.0, out);
            }
        }
    }

    fn take(_base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        Ok(match from.byte()? {
            0 => Self::Stays,
            1 => Self::WantsMore,
            2 => Self::WantsLess,
            3 => Self::Gauge { mark_m: f64::take(MARK, &0.0, from)?, u_m: f64::take(MARK, &0.0, from)? },
            4 => Self::Turns,
            5 => Self::LeftOut,
            6 => Self::Ends { low_m: f64::take(MARK, &0.0, from)?, high_m: f64::take(MARK, &0.0, from)? },
            _ => return Err(Fault::Unknown),
        })
    }
}

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
