//! Built-in heads, parts, lenses and moves: invented, typical, to be replaced by a person's own.
//!
//! The data stands in `crates/codec/library/` as JSON; the build turns it into the compact form.

use std::sync::OnceLock;

use solver::Package;
use solver::package::{Head, Lens, Move, Part};

use crate::wire::v0::Base;
use crate::wire::{Fault, Reader, Wire};

/// Version of the library. Links name it; it rises whenever an item changes or one is added.
pub const VERSION: u32 = 1;

struct Library {
    heads: Vec<Head>,
    parts: Vec<Part>,
    lenses: Vec<Lens>,
    moves: Vec<Move>,
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
        Ok(package)
    }
    read().expect("the build wrote the demonstration with the same layouts")
}

fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        fn read() -> Result<Library, Fault> {
            let mut reader = Reader::new(include_bytes!(concat!(env!("OUT_DIR"), "/library.bin")));
            Ok(Library {
                heads: next(&mut reader)?,
                parts: next(&mut reader)?,
                lenses: next(&mut reader)?,
                moves: next(&mut reader)?,
            })
        }
        read().expect("the build wrote the library with the same layouts")
    })
}

fn next<T: Wire>(reader: &mut Reader<'_>) -> Result<T, Fault> {
    T::take(&T::plain(), reader)
}
