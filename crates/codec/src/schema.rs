//! JSON Schema of the package file, generated from the types, with ranges from the one table of bounds.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};
use solver::bounds::{self, Bounds};
use solver::package::{
    Arm, AtHand, AxisMove, AxisRange, Balancing, Break, Cable, Cg, ChangeMinutes, Day, Drag, Drive, Head, Isolator,
    Joint, Lens, Load, LoggedBalance, LoggedBody, LoggedFace, LoggedMark, Mass, Mount, Move, Opening, Pack, Part,
    Place, Plate, Position, Reserve, Rings, Slide, Structure, TakenOver, Tap, TapGroup, Tune, TunedAxis, WeightedFor,
    Yoke,
};

use crate::file::form::PackageData;
use crate::file::{FORMAT, REQUIRED, SECTION_VERSION};

/// Fields of one type with their bounds.
type Fields = [(&'static str, &'static Bounds)];

/// Types whose numbers are listed by their own `BOUNDS`.
const STRUCTS: [(&str, &Fields); 39] = [
    ("Arm", Arm::BOUNDS),
    ("AtHand", AtHand::BOUNDS),
    ("AxisMove", AxisMove::BOUNDS),
    ("AxisRange", AxisRange::BOUNDS),
    ("Break", Break::BOUNDS),
    ("Cable", Cable::BOUNDS),
    ("Cg", Cg::BOUNDS),
    ("ChangeMinutes", ChangeMinutes::BOUNDS),
    ("Day", Day::BOUNDS),
    ("Drag", Drag::BOUNDS),
    ("Drive", Drive::BOUNDS),
    ("Head", Head::BOUNDS),
    ("Isolator", Isolator::BOUNDS),
    ("Joint", Joint::BOUNDS),
    ("Lens", Lens::BOUNDS),
    ("Load", Load::BOUNDS),
    ("LoggedBalance", LoggedBalance::BOUNDS),
    ("LoggedBody", LoggedBody::BOUNDS),
    ("LoggedFace", LoggedFace::BOUNDS),
    ("LoggedMark", LoggedMark::BOUNDS),
    ("Mass", Mass::BOUNDS),
    ("Mount", Mount::BOUNDS),
    ("Move", Move::BOUNDS),
    ("Opening", Opening::BOUNDS),
    ("Pack", Pack::BOUNDS),
    ("Part", Part::BOUNDS),
    ("Place", Place::BOUNDS),
    ("Plate", Plate::BOUNDS),
    ("Position", Position::BOUNDS),
    ("Reserve", Reserve::BOUNDS),
    ("Rings", Rings::BOUNDS),
    ("Slide", Slide::BOUNDS),
    ("Structure", Structure::BOUNDS),
    ("TakenOver", TakenOver::BOUNDS),
    ("Tap", Tap::BOUNDS),
    ("TapGroup", TapGroup::BOUNDS),
    ("Tune", Tune::BOUNDS),
    ("TunedAxis", TunedAxis::BOUNDS),
    ("WeightedFor", WeightedFor::BOUNDS),
];

/// Enums whose variants hold numbers, and the yokes' own.
const OTHERS: [(&str, &Fields); 5] = [
    ("Yoke", Yoke::BOUNDS),
    (
        "Seen",
        &[
            ("mark_m", &bounds::MARK_M),
            ("u_m", &bounds::OFFSET_U_M),
            ("low_m", &bounds::MARK_M),
            ("high_m", &bounds::MARK_M),
        ],
    ),
    ("PartMass", &[("fraction", &bounds::SHARE)]),
    ("TapVoltage", &[("volts", &bounds::VOLTS)]),
    (
        "Motion",
        &[
            ("lean_rad", &bounds::LEAN_RAD),
            ("rms_m_s2", &bounds::ACCELERATION_M_S2),
            ("peak_m_s2", &bounds::ACCELERATION_M_S2),
            ("slam_m_s2", &bounds::ACCELERATION_M_S2),
            ("steady_m_s2", &bounds::ACCELERATION_M_S2),
            ("band_hz", &bounds::FREQUENCY_HZ),
            ("turn_rms_rad_s", &bounds::RATE_RAD_S),
            ("turn_peak_rad_s", &bounds::RATE_RAD_S),
            ("speed_m_s", &bounds::SPEED_M_S),
            ("wheelbase_m", &bounds::CABLE_M),
            ("lateral_share", &bounds::SHARE),
            ("fore_aft_share", &bounds::SHARE),
            ("height_m", &bounds::WAVE_HEIGHT_M),
            ("period_s", &bounds::WAVE_PERIOD_S),
        ],
    ),
];

/// The schema of the package file.
pub fn schema() -> Value {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let sections = json!({
        "package": section::<PackageData>(&mut generator),
        "head": section::<Head>(&mut generator),
        "parts": section::<Vec<Part>>(&mut generator),
        "lenses": section::<Vec<Lens>>(&mut generator),
        "moves": section::<Vec<Move>>(&mut generator),
        "day": section::<Day>(&mut generator),
        "tune": section::<Tune>(&mut generator),
        "logs": section::<Vec<LoggedBalance>>(&mut generator),
        "balancing": section::<Balancing>(&mut generator),
        "structure": section::<Structure>(&mut generator),
    });
    let mut definitions: Map<String, Value> = generator.take_definitions(true);
    for (name, fields) in STRUCTS.iter().chain(&OTHERS) {
        if let Some(definition) = definitions.get_mut(*name) {
            limit(definition, fields);
        }
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Counterpoise package file",
        "type": "object",
        "required": ["format", "sections"],
        "properties": {
            "format": { "type": "integer", "minimum": 0, "maximum": FORMAT },
            "sections": {
                "type": "object",
                "required": REQUIRED,
                "properties": sections,
                "additionalProperties": { "type": "object", "required": ["version"] }
            }
        },
        "$defs": definitions
    })
}

fn section<T: JsonSchema>(generator: &mut SchemaGenerator) -> Value {
    json!({
        "type": "object",
        "required": ["version", "data"],
        "properties": {
            "version": { "type": "integer", "minimum": 0, "maximum": SECTION_VERSION },
            "data": generator.subschema_for::<T>()
        },
        "additionalProperties": false
    })
}

/// Writes the ranges into every property of these names, however deep in the definition it stands.
fn limit(schema: &mut Value, fields: &Fields) {
    match schema {
        Value::Object(object) => {
            if let Some(Value::Object(properties)) = object.get_mut("properties") {
                for (name, bounds) in fields {
                    if let Some(property) = properties.get_mut(*name) {
                        limit_number(property, bounds);
                    }
                }
            }
            object.values_mut().for_each(|inner| limit(inner, fields));
        }
        Value::Array(items) => items.iter_mut().for_each(|inner| limit(inner, fields)),
        _ => {}
    }
}

/// A number, an optional number, or a list of numbers.
fn limit_number(property: &mut Value, bounds: &Bounds) {
    let Some(object) = property.as_object_mut() else { return };
    if let Some(items) = object.get_mut("items") {
        limit_number(items, bounds);
    } else {
        object.insert("minimum".to_owned(), json!(bounds.min));
        object.insert("maximum".to_owned(), json!(bounds.max));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_type_with_bounds_is_in_the_schema_and_limited() {
        let schema = schema();
        for (name, fields) in STRUCTS.iter().chain(&OTHERS) {
            let definition = schema["$defs"][*name].to_string();
            for (field, bounds) in *fields {
                assert!(definition.contains(&format!("\"{field}\"")), "{name}.{field} is not in the schema");
                assert!(definition.contains(&format!("\"maximum\":{:?}", bounds.max)), "{name}.{field} is not limited");
            }
        }
    }
}
