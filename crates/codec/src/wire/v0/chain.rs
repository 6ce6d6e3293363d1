//! The head.

use solver::package::{Drive, DriveKind, Element, Head, Joint, Opening, Place, Slide, Turns, Yoke};

use crate::wire::choice::choice;
use crate::wire::structure::layout;
use crate::wire::{Fault, Reader, Wire, Writer};

layout!(Head {
    chain, name, typical, payload_kg @ 1e3, taps, tap_groups, opening, idle_w @ 100.0, crossover_hz @ 1e3,
});

layout!(Joint { drive, position_m @ 1e4, limits_rad @ 1e6, name, id, turns, axis @ 1e6 });

layout!(Turns { plus, minus, shown, shown_reversed });

choice!(DriveKind { Direct, Belt, Geared });

layout!(Drive {
    friction_nm @ 1e4, peak_nm @ 1e4, continuous_nm @ 1e4, motor_constant @ 1e4, max_rate_rad_s @ 1e6,
    reflected_inertia_kg_m2 @ 1e6, winding_to_air_k_w @ 1e3, cable_spring_nm_rad @ 1e4, cable_hysteresis_nm @ 1e4,
    peak_s @ 1e3, kind, ratio @ 1e3, efficiency @ 1e4,
});

layout!(Slide {
    mark_m @ 1e4, range_m @ 1e4, zero_m @ 1e4, hole_spacing_m @ 1e5, name, id, plus, minus, direction @ 1e6,
});

layout!(Yoke { mass, cg, inertia_kg_m2 @ 1e6, name });

layout!(Place { origin_m @ 1e4, name, id, camera });

layout!(Opening { width_m @ 1e4, height_m @ 1e4, clear_radius_m @ 1e4 });

/// A number for the kind of element, then the element against the base where that is of the same kind.
impl Wire for Element {
    fn plain() -> Self {
        Self::Place(Place::plain())
    }

    fn put(&self, base: &Self, out: &mut Writer) {
        match (self, base) {
            (Self::Joint(joint), base) => {
                out.byte(0);
                joint.put(&joint_of(base), out);
            }
            (Self::Slide(slide), base) => {
                out.byte(1);
                slide.put(&slide_of(base), out);
            }
            (Self::Yoke(yoke), base) => {
                out.byte(2);
                yoke.put(&yoke_of(base), out);
            }
            (Self::Place(place), base) => {
                out.byte(3);
                place.put(&place_of(base), out);
            }
        }
    }

    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => Joint::take(&joint_of(base), from).map(Self::Joint),
            1 => Slide::take(&slide_of(base), from).map(Self::Slide),
            2 => Yoke::take(&yoke_of(base), from).map(Self::Yoke),
            3 => Place::take(&place_of(base), from).map(Self::Place),
            _ => Err(Fault::Unknown),
        }
    }
}

fn joint_of(base: &Element) -> Joint {
    if let Element::Joint(joint) = base { joint.clone() } else { Joint::plain() }
}

fn slide_of(base: &Element) -> Slide {
    if let Element::Slide(slide) = base { slide.clone() } else { Slide::plain() }
}

fn yoke_of(base: &Element) -> Yoke {
    if let Element::Yoke(yoke) = base { yoke.clone() } else { Yoke::plain() }
}

fn place_of(base: &Element) -> Place {
    if let Element::Place(place) = base { place.clone() } else { Place::plain() }
}
