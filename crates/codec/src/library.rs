//! Built-in heads, parts, lenses and moves: invented, typical, to be replaced by a person's own.
//!
//! The data stands in `crates/codec/library/` as JSON; the build turns it into the compact form.

use std::sync::OnceLock;

use solver::Package;
use solver::package::{Head, Lens, Move, Part};

use crate::wire::v0::Base;
use crate::wire::{Fault, Fixed, Reader, Wire};

/// Version of the library. Links name it; it rises whenever an item changes or one is added.
pub const VERSION: u32 = 2;

/// Storage steps of a metre of the picture, as the build writes the demonstration.
const PICTURE_STEPS: f64 = 1e5;

struct Library {
    heads: Vec<Head>,
    parts: Vec<Part>,
    lenses: Vec<Lens>,
    moves: Vec<Move>,
    /// A stamp of the content of every item, list after list.
    stamps: Vec<u32>,
}

/// The heads, in a fixed order.
pub fn heads() -> &'static [Head] {
    &library().heads
}

/// The parts. An id is the part's own number in the library for ever.
pub fn parts() -> &'static [Part] {
    &library().parts
}

/// The lenses. An id is the lens's own number in the library for ever.
pub fn lenses() -> &'static [Lens] {
    &library().lenses
}

/// One move for each platform, with its typical lean, acceleration and airspeed.
pub fn moves() -> &'static [Move] {
    &library().moves
}

/// The lists of the library, in the order of their stamps.
#[derive(Debug, Clone, Copy)]
pub(crate) enum List {
    /// The heads.
    Heads,
    /// The parts.
    Parts,
    /// The lenses.
    Lenses,
    /// The moves.
    Moves,
}

/// A stamp of the content of an item, by its place in its list: another content has another stamp.
pub(crate) fn stamp(list: List, index: usize) -> Option<u32> {
    let library = library();
    let before = match list {
        List::Heads => 0,
        List::Parts => library.heads.len(),
        List::Lenses => library.heads.len() + library.parts.len(),
        List::Moves => library.heads.len() + library.parts.len() + library.lenses.len(),
    };
    library.stamps.get(before + index).copied()
}

/// A library move as it suits a head: axes that the head does not have are left out.
pub fn move_for(template: &Move, head: &Head) -> Move {
    let has = |id: &str| head.joints().any(|joint| joint.id == id);
    let mut suited = template.clone();
    suited.operator.retain(|axis| has(&axis.joint));
    suited.ranges.retain(|axis| has(&axis.joint));
    suited
}

/// The demonstration: a rowing regatta, a chase boat in the morning and a telescopic crane on the quay at dusk.
///
/// # Panics
/// Never: the build has read it.
pub fn demo() -> Package {
    fn read() -> Result<Package, Fault> {
        let mut reader = Reader::new(include_bytes!(concat!(env!("OUT_DIR"), "/demo.bin")));
        let base: Base = next(&mut reader)?;
        let mut package = base.with_head(next(&mut reader)?);
        package.parts = next(&mut reader)?;
        package.lenses = next(&mut reader)?;
        package.moves = next(&mut reader)?;
        package.day = next(&mut reader)?;
        package.tune = next(&mut reader)?;
        package.structure.picture_width_m = Fixed::take(PICTURE_STEPS, &None, &mut reader)?;
        package.structure.picture_height_m = Fixed::take(PICTURE_STEPS, &None, &mut reader)?;
        Ok(package)
    }
    read().expect("the build wrote the demonstration with the same layouts")
}

fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        fn read() -> Result<Library, Fault> {
            let mut reader = Reader::new(include_bytes!(concat!(env!("OUT_DIR"), "/library.bin")));
            let (heads, parts): (Vec<Head>, Vec<Part>) = (next(&mut reader)?, next(&mut reader)?);
            let (lenses, moves): (Vec<Lens>, Vec<Move>) = (next(&mut reader)?, next(&mut reader)?);
            let items = heads.len() + parts.len() + lenses.len() + moves.len();
            let stamps = (0..items).map(|_| {
                let bytes = reader.raw(4)?;
                Ok(bytes.iter().rev().fold(0, |stamp, byte| stamp << 8 | u32::from(*byte)))
            });
            let stamps = stamps.collect::<Result<_, Fault>>()?;
            Ok(Library { heads, parts, lenses, moves, stamps })
        }
        read().expect("the build wrote the library with the same layouts")
    })
}

fn next<T: Wire>(reader: &mut Reader<'_>) -> Result<T, Fault> {
    T::take(&T::plain(), reader)
}
