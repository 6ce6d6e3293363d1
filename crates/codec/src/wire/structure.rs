//! Structs: a mask of the fields that differ from the base, then those fields.

/// Lays out a struct: its fields in the order of their bits, those that change most often first, so that the mask of
/// an ordinary edit fits one byte. A number is followed by `@` and its storage steps in one unit.
macro_rules! layout {
    ($type:ty { $($field:ident $(@ $steps:literal)?),* $(,)? }) => {
        impl $crate::wire::Wire for $type {
            fn plain() -> Self {
                Self { $($field: $crate::wire::structure::plain_field!($($steps)?)),* }
            }
            fn put(&self, base: &Self, out: &mut $crate::wire::Writer) {
                let (mut mask, mut bit) = (0_u64, 1_u64);
                $(
                    if $crate::wire::differs(&self.$field, &base.$field) {
                        mask |= bit;
                    }
                    bit <<= 1;
                )*
                out.unsigned(mask);
                bit = 1;
                $(
                    if mask & bit != 0 {
                        $crate::wire::structure::put_field!(self.$field, base.$field, out $(, $steps)?);
                    }
                    bit <<= 1;
                )*
                debug_assert!(mask < bit);
            }
            fn take(base: &Self, from: &mut $crate::wire::Reader<'_>) -> Result<Self, $crate::wire::Fault> {
                let mask = from.unsigned()?;
                let mut value = base.clone();
                let mut bit = 1_u64;
                $(
                    if mask & bit != 0 {
                        value.$field = $crate::wire::structure::take_field!(base.$field, from $(, $steps)?);
                    }
                    bit <<= 1;
                )*
                if mask < bit { Ok(value) } else { Err($crate::wire::Fault::Unknown) }
            }
        }
    };
}

/// The plain value of a field.
macro_rules! plain_field {
    () => {
        $crate::wire::Wire::plain()
    };
    ($steps:literal) => {
        $crate::wire::Fixed::zero()
    };
}

/// Writes a field.
macro_rules! put_field {
    ($value:expr, $base:expr, $out:expr) => {
        $crate::wire::Wire::put(&$value, &$base, $out)
    };
    ($value:expr, $base:expr, $out:expr, $steps:literal) => {
        $crate::wire::Fixed::put(&$value, $steps, &$base, $out)
    };
}

/// Reads a field.
macro_rules! take_field {
    ($base:expr, $from:expr) => {
        $crate::wire::Wire::take(&$base, $from)?
    };
    ($base:expr, $from:expr, $steps:literal) => {
        $crate::wire::Fixed::take($steps, &$base, $from)?
    };
}

pub(crate) use {layout, plain_field, put_field, take_field};
