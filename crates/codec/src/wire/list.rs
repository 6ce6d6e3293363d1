//! Lists: how many, which of those that the base has too differ, then the items.

use super::{Fault, Reader, Wire, Writer, differs};

impl<T: Wire> Wire for Vec<T> {
    fn plain() -> Self {
        Self::new()
    }

    fn put(&self, base: &Self, out: &mut Writer) {
        out.count(self.len());
        let shared = self.iter().zip(base);
        let mut byte = 0_u8;
        let count = shared.len();
        for (index, (item, base)) in shared.enumerate() {
            byte |= u8::from(differs(item, base)) << (index % 8);
            if index % 8 == 7 || index + 1 == count {
                out.byte(byte);
                byte = 0;
            }
        }
        for (index, item) in self.iter().enumerate() {
            match base.get(index) {
                Some(base) if differs(item, base) => item.put(base, out),
                Some(_) => {}
                None => item.put(&T::plain(), out),
            }
        }
    }

    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        let count = from.count()?;
        let mask = from.raw(count.min(base.len()).div_ceil(8))?;
        let mut items = Self::new();
        for index in 0..count {
            let differs = || mask.get(index / 8).is_some_and(|byte| byte >> (index % 8) & 1 == 1);
            items.push(match base.get(index) {
                Some(base) if differs() => T::take(base, from)?,
                Some(base) => base.clone(),
                None => T::take(&T::plain(), from)?,
            });
        }
        Ok(items)
    }
}
