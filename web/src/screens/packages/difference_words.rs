//! The words of a difference: where it is, and both values as this person reads numbers.

use wasm_bindgen::JsValue;

use crate::show::{Kind, Style};

/// Endings of field names, longest first, and what they measure.
const ENDINGS: [(&str, Kind); 22] = [
    ("inertia_kg_m2", Kind::Inertia),
    ("_m_s2", Kind::Acceleration),
    ("_rad_s", Kind::Rate),
    ("_m_s", Kind::Speed),
    ("_nm", Kind::Torque),
    ("_kg", Kind::Mass),
    ("kg", Kind::Mass),
    ("_rad", Kind::Angle),
    ("_wh", Kind::Energy),
    ("_ah", Kind::Capacity),
    ("_hz", Kind::Frequency),
    ("_ohm", Kind::Resistance),
    ("_m", Kind::Length),
    ("_k", Kind::Temperature),
    ("_w", Kind::Power),
    ("_v", Kind::Voltage),
    ("_a", Kind::Current),
    ("_s", Kind::Seconds),
    ("_h", Kind::Hours),
    ("share", Kind::Share),
    ("fraction", Kind::Share),
    ("efficiency", Kind::Share),
];

/// Digits after the decimal mark at most.
const FINEST: usize = 6;

/// A field name in words, its unit left out.
pub(super) fn key_word(key: &str) -> String {
    let bare =
        ENDINGS.iter().filter(|(ending, _)| ending.starts_with('_')).find_map(|(ending, _)| key.strip_suffix(ending));
    match bare.unwrap_or(key) {
        "package" | "kg" => String::new(),
        "cg" => "centre of gravity".to_owned(),
        "at" => "position".to_owned(),
        "u" => "uncertainty".to_owned(),
        "from" => "source".to_owned(),
        "on" => "in use".to_owned(),
        "active_lens" => "lens that is on".to_owned(),
        other => other.replace('_', " "),
    }
}

/// A place from the whole to the part, with a capital letter.
pub(super) fn place_words(place: &[String]) -> String {
    let joined = place.iter().filter(|word| !word.is_empty()).cloned().collect::<Vec<_>>().join(", ");
    let mut letters = joined.chars();
    letters.next().map_or_else(|| "Package".to_owned(), |first| first.to_uppercase().chain(letters).collect())
}

/// Both values as a person reads them, with as many digits as it takes to tell them apart.
pub(super) fn value_words(key: &str, before: &JsValue, after: &JsValue, style: Style) -> (String, String) {
    let kind = ENDINGS.iter().find(|(ending, _)| key.ends_with(ending)).map_or(Kind::Plain, |(_, kind)| *kind);
    // What is counted has no decimals.
    let usual = |value: f64| match kind {
        Kind::Plain if value.fract() == 0.0 => style.fine(kind, value, 0),
        kind => style.show(kind, value),
    };
    if let (Some(before), Some(after)) = (before.as_f64(), after.as_f64()) {
        let usual = (usual(before), usual(after));
        let finer =
            (0..=FINEST).map(|decimals| (style.fine(kind, before, decimals), style.fine(kind, after, decimals)));
        return if usual.0 == usual.1 {
            finer.clone().find(|(one, other)| one != other).unwrap_or(usual)
        } else {
            usual
        };
    }
    let words = |value: &JsValue| match (value.as_f64(), value.as_bool(), value.as_string()) {
        (Some(number), ..) => usual(number),
        (_, Some(yes), _) => if yes { "yes" } else { "no" }.to_owned(),
        (.., Some(text)) if text.is_empty() => "empty".to_owned(),
        (.., Some(text)) => text.replace('_', " "),
        _ if value.is_object() => "set".to_owned(),
        _ => "none".to_owned(),
    };
    (words(before), words(after))
}
