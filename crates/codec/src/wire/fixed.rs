//! Numbers as whole storage steps.

use super::{Fault, Reader, Writer};

/// A number, or a small array, list or option of numbers, that shares one storage step.
pub(crate) trait Fixed: Clone + PartialEq {
    /// Zero, or nothing.
    fn zero() -> Self;
    /// Writes the difference from `base` in steps of 1 / `steps_per_unit`.
    fn put(&self, steps_per_unit: f64, base: &Self, out: &mut Writer);
    /// The inverse of [`Fixed::put`].
    fn take(steps_per_unit: f64, base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault>;
}

/// Whole steps in `value`. Saturates: numbers that have passed validation are far from the ends.
#[expect(clippy::cast_possible_truncation, reason = "saturation is meant; validated numbers never reach it")]
fn steps(value: f64, steps_per_unit: f64) -> i64 {
    (value * steps_per_unit).round() as i64
}

impl Fixed for f64 {
    fn zero() -> Self {
        0.0
    }
    fn put(&self, steps_per_unit: f64, base: &Self, out: &mut Writer) {
        out.signed(steps(*self, steps_per_unit).wrapping_sub(steps(*base, steps_per_unit)));
    }
    fn take(steps_per_unit: f64, base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        Ok(steps(*base, steps_per_unit).wrapping_add(from.signed()?) as f64 / steps_per_unit)
    }
}

impl<T: Fixed> Fixed for Option<T> {
    fn zero() -> Self {
        None
    }
    fn put(&self, steps_per_unit: f64, base: &Self, out: &mut Writer) {
        match self {
            None => out.byte(0),
            Some(value) => {
                out.byte(1);
                value.put(steps_per_unit, &base.clone().unwrap_or_else(T::zero), out);
            }
        }
    }
    fn take(steps_per_unit: f64, base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => Ok(None),
            1 => T::take(steps_per_unit, &base.clone().unwrap_or_else(T::zero), from).map(Some),
            _ => Err(Fault::Unknown),
        }
    }
}

/// How many, then every number from nothing.
impl Fixed for Vec<f64> {
    fn zero() -> Self {
        Self::new()
    }
    fn put(&self, steps_per_unit: f64, _base: &Self, out: &mut Writer) {
        out.count(self.len());
        for value in self {
            value.put(steps_per_unit, &0.0, out);
        }
    }
    fn take(steps_per_unit: f64, _base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        (0..from.count()?).map(|_| f64::take(steps_per_unit, &0.0, from)).collect()
    }
}

/// A mask of the numbers that differ, then those.
impl<const N: usize> Fixed for [f64; N] {
    fn zero() -> Self {
        [0.0; N]
    }
    fn put(&self, steps_per_unit: f64, base: &Self, out: &mut Writer) {
        put_each(self, base, &[steps_per_unit; N], out);
    }
    fn take(steps_per_unit: f64, base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        take_each(base, &[steps_per_unit; N], from)
    }
}

/// Several numbers, each with steps of its own: a mask of those that differ, then those.
pub(super) fn put_each<const N: usize>(values: &[f64; N], base: &[f64; N], per_unit: &[f64; N], out: &mut Writer) {
    let each = || values.iter().zip(base).zip(per_unit).enumerate();
    let differs = |value: f64, base: f64, per_unit: f64| steps(value, per_unit) != steps(base, per_unit);
    let mask = each().fold(0_u64, |mask, (bit, ((value, base), per_unit))| {
        mask | u64::from(differs(*value, *base, *per_unit)) << bit
    });
    out.unsigned(mask);
    for (_, ((value, base), per_unit)) in each() {
        if differs(*value, *base, *per_unit) {
            value.put(*per_unit, base, out);
        }
    }
}

/// The inverse of [`put_each`].
pub(super) fn take_each<const N: usize>(
    base: &[f64; N],
    per_unit: &[f64; N],
    from: &mut Reader<'_>,
) -> Result<[f64; N], Fault> {
    let mask = from.unsigned()?;
    if mask >> N != 0 {
        return Err(Fault::Unknown);
    }
    let mut values = *base;
    for (bit, (value, per_unit)) in values.iter_mut().zip(per_unit).enumerate() {
        if mask >> bit & 1 == 1 {
            *value = f64::take(*per_unit, value, from)?;
        }
    }
    Ok(values)
}
