//! One walk over every number of a package, each with its path and its bounds.
//!
//! Validation, rounding to the storage step, the schema and the generators of the tests are all one walk, so a new
//! field is bounded everywhere as soon as it is listed once.

use crate::bounds::Bounds;
use crate::path::{FieldPath, Segment};

/// A reader of numbers: called with path, value and bounds.
pub type See<'a> = dyn FnMut(&FieldPath, f64, &'static Bounds) + 'a;
/// A changer of numbers: called with path, value to change and bounds.
pub type Change<'a> = dyn FnMut(&FieldPath, &mut f64, &'static Bounds) + 'a;

/// Something that holds numbers a person entered.
pub trait Numbers {
    /// Shows every number, in a fixed order.
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>);
    /// Lets every number be changed, in the same order.
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>);
}

/// A number, or a small array, list or option of numbers, that shares one set of bounds.
pub(crate) trait Bounded {
    fn see(&self, bounds: &'static Bounds, at: &mut FieldPath, see: &mut See<'_>);
    fn change(&mut self, bounds: &'static Bounds, at: &mut FieldPath, change: &mut Change<'_>);
}

impl Bounded for f64 {
    fn see(&self, bounds: &'static Bounds, at: &mut FieldPath, see: &mut See<'_>) {
        see(at, *self, bounds);
    }
    fn change(&mut self, bounds: &'static Bounds, at: &mut FieldPath, change: &mut Change<'_>) {
        change(at, self, bounds);
    }
}

impl<T: Bounded> Bounded for Option<T> {
    fn see(&self, bounds: &'static Bounds, at: &mut FieldPath, see: &mut See<'_>) {
        if let Some(value) = self {
            value.see(bounds, at, see);
        }
    }
    fn change(&mut self, bounds: &'static Bounds, at: &mut FieldPath, change: &mut Change<'_>) {
        if let Some(value) = self {
            value.change(bounds, at, change);
        }
    }
}

impl<T: Bounded> Bounded for Vec<T> {
    fn see(&self, bounds: &'static Bounds, at: &mut FieldPath, see: &mut See<'_>) {
        for (index, value) in self.iter().enumerate() {
            at.push(Segment::Index(index));
            value.see(bounds, at, see);
            at.pop();
        }
    }
    fn change(&mut self, bounds: &'static Bounds, at: &mut FieldPath, change: &mut Change<'_>) {
        for (index, value) in self.iter_mut().enumerate() {
            at.push(Segment::Index(index));
            value.change(bounds, at, change);
            at.pop();
        }
    }
}

impl<T: Bounded, const N: usize> Bounded for [T; N] {
    fn see(&self, bounds: &'static Bounds, at: &mut FieldPath, see: &mut See<'_>) {
        for (index, value) in self.iter().enumerate() {
            at.push(Segment::Index(index));
            value.see(bounds, at, see);
            at.pop();
        }
    }
    fn change(&mut self, bounds: &'static Bounds, at: &mut FieldPath, change: &mut Change<'_>) {
        for (index, value) in self.iter_mut().enumerate() {
            at.push(Segment::Index(index));
            value.change(bounds, at, change);
            at.pop();
        }
    }
}

impl<T: Numbers> Numbers for Option<T> {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        if let Some(inner) = self {
            inner.see_numbers(at, see);
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        if let Some(inner) = self {
            inner.change_numbers(at, change);
        }
    }
}

impl<T: Numbers> Numbers for Vec<T> {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        for (index, item) in self.iter().enumerate() {
            at.push(Segment::Index(index));
            item.see_numbers(at, see);
            at.pop();
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        for (index, item) in self.iter_mut().enumerate() {
            at.push(Segment::Index(index));
            item.change_numbers(at, change);
            at.pop();
        }
    }
}

/// Lists the numbers of a struct: `own` fields with their bounds, `nested` fields that hold numbers themselves.
macro_rules! numbers {
    ($type:ty { own { $($field:ident : $bounds:ident),* $(,)? } nested { $($inner:ident),* $(,)? } }) => {
        impl $type {
            /// Bounds of its own numbers, by field name.
            pub const BOUNDS: &'static [(&'static str, &'static $crate::bounds::Bounds)] =
                &[$((stringify!($field), &$crate::bounds::$bounds)),*];
        }

        impl $crate::numbers::Numbers for $type {
            fn see_numbers(&self, at: &mut $crate::path::FieldPath, see: &mut $crate::numbers::See<'_>) {
                let _ = (&at, &see);
                $(
                    at.push($crate::path::Segment::Field(stringify!($field)));
                    $crate::numbers::Bounded::see(&self.$field, &$crate::bounds::$bounds, at, see);
                    at.pop();
                )*
                $(
                    at.push($crate::path::Segment::Field(stringify!($inner)));
                    self.$inner.see_numbers(at, see);
                    at.pop();
                )*
            }
            fn change_numbers(&mut self, at: &mut $crate::path::FieldPath, change: &mut $crate::numbers::Change<'_>) {
                let _ = (&at, &change);
                $(
                    at.push($crate::path::Segment::Field(stringify!($field)));
                    $crate::numbers::Bounded::change(&mut self.$field, &$crate::bounds::$bounds, at, change);
                    at.pop();
                )*
                $(
                    at.push($crate::path::Segment::Field(stringify!($inner)));
                    self.$inner.change_numbers(at, change);
                    at.pop();
                )*
            }
        }
    };
}
pub(crate) use numbers;
