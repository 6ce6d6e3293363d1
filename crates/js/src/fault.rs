//! What is wrong, as an `Error` with the fields at fault.

use js_sys::{Array, Error, Object, Reflect};
use solver::InputError;
use wasm_bindgen::JsValue;

/// The name of every error thrown here.
const NAME: &str = "PackageError";

/// Faults of a package: all at once.
pub(crate) fn inputs(faults: &[InputError]) -> JsValue {
    let listed: Vec<(String, String)> =
        faults.iter().map(|fault| (fault.field.to_string(), fault.problem.to_string())).collect();
    error(&listed)
}

/// The fault of one field.
pub(crate) fn one(field: &str, problem: &str) -> JsValue {
    error(&[(field.to_owned(), problem.to_owned())])
}

/// A fault of the whole, with no field to point at.
pub(crate) fn whole(problem: &str) -> JsValue {
    error(&[(String::new(), problem.to_owned())])
}

/// `sections.parts.data[3].mass` of a file is `parts[3].mass` of the package.
pub(crate) fn package_field(path: &str) -> String {
    let Some(inside) = path.strip_prefix("sections.") else { return path.to_owned() };
    let Some((section, rest)) = inside.split_once(".data") else { return path.to_owned() };
    if section == "package" { rest.trim_start_matches('.').to_owned() } else { format!("{section}{rest}") }
}

fn error(faults: &[(String, String)]) -> JsValue {
    let sentence = |(field, problem): &(String, String)| {
        if field.is_empty() { problem.clone() } else { format!("{field}: {problem}") }
    };
    let error = Error::new(&faults.iter().map(sentence).collect::<Vec<String>>().join("\n"));
    error.set_name(NAME);
    let listed = Array::new();
    for (field, problem) in faults {
        let entry = Object::new();
        set(&entry, "field", field);
        set(&entry, "problem", problem);
        listed.push(&entry);
    }
    set(&error, "field", faults.first().map_or("", |(field, _)| field));
    // Setting a new property on an object of our own making cannot fail.
    let _ = Reflect::set(&error, &"faults".into(), &listed);
    error.into()
}

fn set(object: &JsValue, key: &str, value: &str) {
    // As above.
    let _ = Reflect::set(object, &key.into(), &value.into());
}

#[cfg(test)]
mod tests {
    use super::package_field;

    #[test]
    fn paths_are_those_of_the_package() {
        assert_eq!(package_field("sections.parts.data[3].mass.own.kg"), "parts[3].mass.own.kg");
        assert_eq!(package_field("sections.head.data.chain[1].joint.axis"), "head.chain[1].joint.axis");
        assert_eq!(package_field("sections.package.data.mount"), "mount");
        assert_eq!(package_field("sections.beams"), "sections.beams");
        assert_eq!(package_field("format"), "format");
    }
}
