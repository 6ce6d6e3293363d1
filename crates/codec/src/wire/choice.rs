//! Enums without fields: one byte.

/// Numbers the variants of an enum in the order given; the first is its plain value.
macro_rules! choice {
    ($type:ident { $first:ident $(, $other:ident)* $(,)? }) => {
        impl $crate::wire::Wire for $type {
            fn plain() -> Self {
                Self::$first
            }
            fn put(&self, _base: &Self, out: &mut $crate::wire::Writer) {
                const ORDER: &[$type] = &[$type::$first $(, $type::$other)*];
                // Exhaustive, so that a new variant cannot be forgotten here.
                match self {
                    Self::$first $(| Self::$other)* => {
                        out.count(ORDER.iter().position(|variant| variant == self).unwrap_or(0));
                    }
                }
            }
            fn take(_base: &Self, from: &mut $crate::wire::Reader<'_>) -> Result<Self, $crate::wire::Fault> {
                const ORDER: &[$type] = &[$type::$first $(, $type::$other)*];
                usize::try_from(from.unsigned()?)
                    .ok()
                    .and_then(|index| ORDER.get(index).copied())
                    .ok_or($crate::wire::Fault::Unknown)
            }
        }
    };
}

pub(crate) use choice;
