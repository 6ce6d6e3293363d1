//! The compact form of the package: integers of storage steps, each value written as its difference from a base.
//!
//! Every struct is a mask of the fields that differ from a base of the same type, then those fields. The base is a
//! library item, the item before it in the list, or the plain value: all zero and empty. So a weighed library part
//! costs a handful of bytes, and a part of a person's own is written with the very same code.
//!
//! The layouts in [`v0`] name their own steps and orders and never change once links of that version are about: a
//! change of the package is a new version beside them.

mod choice;
mod fixed;
mod list;
mod reader;
mod structure;
mod text;
pub(crate) mod v0;
mod writer;

pub(crate) use fixed::Fixed;
pub(crate) use reader::Reader;
pub(crate) use writer::Writer;

/// Why bytes cannot be read as the thing they should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// The bytes end too early.
    Short,
    /// A number stands where no meaning is defined for it.
    Unknown,
    /// More items or text than any package may hold.
    TooLarge,
}

/// Something with a compact form.
pub(crate) trait Wire: Clone + PartialEq {
    /// All zero and empty: the base of a value that has no better one.
    fn plain() -> Self;
    /// Writes what differs from `base`. Called only when something does, or when the caller's layout says so.
    fn put(&self, base: &Self, out: &mut Writer);
    /// Reads what [`Wire::put`] wrote, against the same base.
    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault>;
}

/// `a` is not the same as `b`.
pub(crate) fn differs<T: PartialEq>(a: &T, b: &T) -> bool {
    a != b
}

/// A field of a mask that stands for the flag itself: that it differs is all there is to say.
impl Wire for bool {
    fn plain() -> Self {
        false
    }
    fn put(&self, _base: &Self, _out: &mut Writer) {}
    fn take(base: &Self, _from: &mut Reader<'_>) -> Result<Self, Fault> {
        Ok(!base)
    }
}

impl Wire for u32 {
    fn plain() -> Self {
        0
    }
    fn put(&self, base: &Self, out: &mut Writer) {
        out.signed(i64::from(*self) - i64::from(*base));
    }
    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        let value = i64::from(*base).checked_add(from.signed()?).ok_or(Fault::Unknown)?;
        Self::try_from(value).or(Err(Fault::Unknown))
    }
}

impl Wire for String {
    fn plain() -> Self {
        Self::new()
    }
    fn put(&self, _base: &Self, out: &mut Writer) {
        out.text(self);
    }
    fn take(_base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        from.text()
    }
}

impl<T: Wire> Wire for Option<T> {
    fn plain() -> Self {
        None
    }
    fn put(&self, base: &Self, out: &mut Writer) {
        match self {
            None => out.byte(0),
            Some(value) => {
                out.byte(1);
                match base {
                    Some(base) => value.put(base, out),
                    None => value.put(&T::plain(), out),
                }
            }
        }
    }
    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match (from.byte()?, base) {
            (0, _) => Ok(None),
            (1, Some(base)) => T::take(base, from).map(Some),
            (1, None) => T::take(&T::plain(), from).map(Some),
            _ => Err(Fault::Unknown),
        }
    }
}
