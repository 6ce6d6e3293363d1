//! Parts.

use solver::package::{Anchor, Drag, Mass, Part, PartKind, PartMass, Position, Shape};

use crate::wire::choice::choice;
use crate::wire::structure::layout;
use crate::wire::{Fault, Fixed, Reader, Wire, Writer};

layout!(Part {
    mass, at, load, name, on, size_m @ 1e4, cg, id, kind, shape, drag, optical_axis_up_m @ 1e4, pack,
});

choice!(PartKind { Other, Body, Plate, Rods, Support, Control, Picture, Front, Pack, Weight });

choice!(Shape { Box, Cylinder, RodPair });

layout!(Position { offset_m @ 1e4, from, place });

choice!(Anchor {
    Flange,
    Place,
    Stack,
    LensFront,
    FocusRing,
    IrisRing,
    ZoomRing,
    BodyTop,
    BodyRear,
    RodsFront,
    PlateFront
});

layout!(Drag { coefficient @ 1e3, sheltered });

/// Storage steps of a share.
const SHARE: f64 = 1e4;

/// 0 and a mass of its own, or 1 and a share.
impl Wire for PartMass {
    fn plain() -> Self {
        Self::Own(Mass::plain())
    }

    fn put(&self, base: &Self, out: &mut Writer) {
        match self {
            Self::Own(mass) => {
                out.byte(0);
                mass.put(&own(base), out);
            }
            Self::Share { fraction } => {
                out.byte(1);
                fraction.put(SHARE, &0.0, out);
            }
        }
    }

    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => Mass::take(&own(base), from).map(Self::Own),
            1 => f64::take(SHARE, &0.0, from).map(|fraction| Self::Share { fraction }),
            _ => Err(Fault::Unknown),
        }
    }
}

fn own(base: &PartMass) -> Mass {
    if let PartMass::Own(mass) = base { mass.clone() } else { Mass::plain() }
}
