//! A JSON value, so that sections of other versions can be kept without knowing them.

use core::fmt;

use serde::de::{Deserialize, DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};

use crate::wire::{Fault, Reader, Wire, Writer};

/// Deepest nesting of a section's content: what a file may hold can go into a link and come out again, and nothing that is
/// read uses up the stack.
const MAX_DEPTH: usize = 32;

/// A JSON value. Objects keep the order in which their reader gives them.
#[derive(Debug, Clone, PartialEq)]
pub enum Json {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// An array.
    List(Vec<Json>),
    /// An object.
    Map(Vec<(String, Json)>),
}

impl Serialize for Json {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => serializer.serialize_unit(),
            Self::Bool(value) => serializer.serialize_bool(*value),
            Self::Number(value) => match whole(*value) {
                Some(whole) => serializer.serialize_i64(whole),
                None => serializer.serialize_f64(*value),
            },
            Self::Text(value) => serializer.serialize_str(value),
            Self::List(items) => {
                let mut list = serializer.serialize_seq(Some(items.len()))?;
                for item in items {
                    list.serialize_element(item)?;
                }
                list.end()
            }
            Self::Map(entries) => {
                let mut map = serializer.serialize_map(Some(entries.len()))?;
                for (key, value) in entries {
                    map.serialize_entry(key, value)?;
                }
                map.end()
            }
        }
    }
}

/// The integer that `value` is, if it is one that both ends agree on. Minus zero is none.
fn whole(value: f64) -> Option<i64> {
    const MOST: f64 = 9_007_199_254_740_992.0;
    #[expect(clippy::cast_possible_truncation, reason = "the range is checked first")]
    let integer = (value.abs() <= MOST).then_some(value as i64)?;
    ((integer as f64).to_bits() == value.to_bits()).then_some(integer)
}

impl<'de> Deserialize<'de> for Json {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        // One more for the section itself, which a file holds together with its content.
        Within(MAX_DEPTH + 1).deserialize(deserializer)
    }
}

/// A value that is nested in so many levels at most.
struct Within(usize);

impl<'de> DeserializeSeed<'de> for Within {
    type Value = Json;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Json, D::Error> {
        let levels = self.0.checked_sub(1).ok_or_else(|| D::Error::custom("nested too deeply"))?;
        deserializer.deserialize_any(JsonVisitor { levels })
    }
}

struct JsonVisitor {
    /// How many levels what is inside may have.
    levels: usize,
}

impl<'de> Visitor<'de> for JsonVisitor {
    type Value = Json;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("any value")
    }
    fn visit_unit<E>(self) -> Result<Json, E> {
        Ok(Json::Null)
    }
    fn visit_none<E>(self) -> Result<Json, E> {
        Ok(Json::Null)
    }
    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<Json, D::Error> {
        inner.deserialize_any(self)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Json, E> {
        Ok(Json::Bool(value))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Json, E> {
        Ok(Json::Number(value as f64))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Json, E> {
        Ok(Json::Number(value as f64))
    }
    fn visit_f64<E>(self, value: f64) -> Result<Json, E> {
        Ok(Json::Number(value))
    }
    fn visit_str<E>(self, value: &str) -> Result<Json, E> {
        Ok(Json::Text(value.to_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Json, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element_seed(Within(self.levels))? {
            items.push(item);
        }
        Ok(Json::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Json, A::Error> {
        let mut entries = Vec::new();
        while let Some(key) = map.next_key()? {
            entries.push((key, map.next_value_seed(Within(self.levels))?));
        }
        Ok(Json::Map(entries))
    }
}

impl Json {
    /// Writes the value for a link.
    pub(crate) fn put(&self, out: &mut Writer) {
        match self {
            Self::Null => out.byte(0),
            Self::Bool(false) => out.byte(1),
            Self::Bool(true) => out.byte(2),
            Self::Number(value) => {
                if let Some(whole) = whole(*value) {
                    out.byte(3);
                    out.signed(whole);
                } else {
                    out.byte(4);
                    out.raw(&value.to_le_bytes());
                }
            }
            Self::Text(value) => {
                out.byte(5);
                out.text(value);
            }
            Self::List(items) => {
                out.byte(6);
                out.count(items.len());
                for item in items {
                    item.put(out);
                }
            }
            Self::Map(entries) => {
                out.byte(7);
                out.count(entries.len());
                for (key, value) in entries {
                    out.text(key);
                    value.put(out);
                }
            }
        }
    }

    /// The inverse of [`Json::put`].
    pub(crate) fn take(from: &mut Reader<'_>) -> Result<Self, Fault> {
        Self::take_within(from, MAX_DEPTH)
    }

    fn take_within(from: &mut Reader<'_>, depth: usize) -> Result<Self, Fault> {
        let depth = depth.checked_sub(1).ok_or(Fault::TooLarge)?;
        Ok(match from.byte()? {
            0 => Self::Null,
            1 => Self::Bool(false),
            2 => Self::Bool(true),
            3 => Self::Number(from.signed()? as f64),
            4 => {
                let bytes = from.raw(8)?.try_into().or(Err(Fault::Short))?;
                let number = f64::from_le_bytes(bytes);
                // JSON has no word for the others.
                if !number.is_finite() {
                    return Err(Fault::Unknown);
                }
                Self::Number(number)
            }
            5 => Self::Text(String::take(&String::new(), from)?),
            6 => {
                let count = from.length()?;
                Self::List((0..count).map(|_| Self::take_within(from, depth)).collect::<Result<_, _>>()?)
            }
            7 => {
                let count = from.length()?;
                let entry = |_| Ok((from.text()?, Self::take_within(from, depth)?));
                Self::Map((0..count).map(entry).collect::<Result<_, _>>()?)
            }
            _ => return Err(Fault::Unknown),
        })
    }
}
