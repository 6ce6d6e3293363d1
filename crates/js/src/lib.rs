//! The solver as a JavaScript module: plain objects in and out, types for TypeScript, faults as `PackageError`.
//!
//! A package is given as its file is: `{ format, sections }`, as `JSON.parse` reads it. Everything is in SI units.

mod fault;
mod plain;

use codec::{Document, library};
use js_sys::{Array, Reflect};
use serde::Serialize;
use solver::explain::AnswerId;
use solver::finding_words::Metric;
use solver::lens_set::change::lens_changes;
use solver::lens_set::common::common_marks;
use solver::lens_set::preview::lens_preview;
use solver::lens_set::trim::{TrimReport, trim_weights};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};

/// The types, kept in a file of their own so that an editor and a test can read them.
#[wasm_bindgen(typescript_custom_section)]
const TYPES: &str = include_str!("types.d.ts");

/// Checks a package: mass, marks, balance, torque in hand, power and hours, what to mind, what does not fit,
/// how stiff it is, how the day goes on its packs, and how the loads are best wired. Trim weights, which the command line
/// tells with these, are a search of a tenth of a second and have a call of their own.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(unchecked_return_type = "Report")]
pub fn check(#[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue) -> Result<JsValue, JsValue> {
    let package = package(file)?;
    let report = solver::check(&package).map_err(|faults| fault::inputs(&faults))?;
    let fit = solver::fit(&package).map_err(|faults| fault::inputs(&faults))?;
    let out = plain::from(&report)?;
    let unfit = plain::from(&fit.findings)?;
    let stiffness = solver::stiffness(&package).map_err(|faults| fault::inputs(&faults))?;
    let stiff = plain::from(&stiffness)?;
    with_words(&Reflect::get(&out, &"findings".into())?, report.findings.iter().map(ToString::to_string))?;
    with_words(&unfit, fit.findings.iter().map(|finding| finding.words(&Metric)))?;
    if let Some(known) = stiffness.known() {
        let findings = Reflect::get(&Reflect::get(&stiff, &"known".into())?, &"findings".into())?;
        with_words(&findings, known.findings.iter().map(|finding| finding.words(&Metric)))?;
    }
    Reflect::set(&out, &"fit".into(), &unfit)?;
    Reflect::set(&out, &"stiffness".into(), &stiff)?;
    let day = solver::day(&package).map_err(|faults| fault::inputs(&faults))?;
    Reflect::set(&out, &"day".into(), &plain::from(&day)?)?;
    let wiring = solver::wiring(&package).map_err(|faults| fault::inputs(&faults))?;
    Reflect::set(&out, &"wiring".into(), &plain::from(&wiring)?)?;
    Ok(out)
}

/// Puts the sentences that a person reads beside the data.
fn with_words(findings: &JsValue, words: impl Iterator<Item = String>) -> Result<(), JsValue> {
    for (written, words) in findings.unchecked_ref::<Array>().iter().zip(words) {
        Reflect::set(&written, &"text".into(), &words.into())?;
    }
    Ok(())
}

/// Opens one answer down to its arithmetic; `null` when the package holds nothing of that id.
///
/// # Errors
/// A `PackageError` that names every faulty field, of the package or of the id.
#[wasm_bindgen(unchecked_return_type = "Term | null")]
pub fn explain(
    #[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue,
    #[wasm_bindgen(unchecked_param_type = "AnswerId")] answer: JsValue,
) -> Result<JsValue, JsValue> {
    let answer: AnswerId = plain::into(answer, "answer")?;
    let term = solver::explain(&package(file)?, &answer).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&term)
}

/// Marks, change, torque and tune for every lens of the set.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = lensSet, unchecked_return_type = "LensRow[]")]
pub fn lens_set(#[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue) -> Result<JsValue, JsValue> {
    let rows = solver::lens_set(&package(file)?).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&rows)
}

/// Every lens change from the lens that is on to each other, the quickest first: marks, parts, minutes, torque.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = lensChanges, unchecked_return_type = "LensChange[]")]
pub fn changes(#[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue) -> Result<JsValue, JsValue> {
    let package = package(file)?;
    let changes = lens_changes(&package, package.active_lens).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&changes)
}

/// One lens of the set before it goes on: verdict and reasons, minutes, price, field of view; `null` when the set
/// does not hold it.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = lensPreview, unchecked_return_type = "LensPreview | null")]
pub fn preview(
    #[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue,
    lens: u32,
) -> Result<JsValue, JsValue> {
    let preview = lens_preview(&package(file)?, lens).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&preview)
}

/// One set of marks for these lenses, and what it leaves each; `null` when the set holds none of them.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = commonMarks, unchecked_return_type = "CommonMarks | null")]
pub fn common(
    #[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue,
    lenses: &[u32],
) -> Result<JsValue, JsValue> {
    let common = common_marks(&package(file)?, lenses).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&common)
}

/// Trim weights that make the lighter of these lenses match the heaviest; `null` when the set holds none of them.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = trimWeights, unchecked_return_type = "TrimReport | null")]
pub fn trim(
    #[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue,
    lenses: &[u32],
) -> Result<JsValue, JsValue> {
    let report = trim_weights(&package(file)?, lenses).map_err(|faults| fault::inputs(&faults))?;
    plain::from(&report)
}

/// The package as a file in which one lens brings the trim weights along that `trimWeights` found for it among these; the
/// file as it was where it found none.
///
/// # Errors
/// A `PackageError` that names every faulty field.
#[wasm_bindgen(js_name = withTrimWeights, unchecked_return_type = "PackageFile")]
pub fn with_trim(
    #[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue,
    lenses: &[u32],
    lens: u32,
) -> Result<JsValue, JsValue> {
    let mut document = document(file)?;
    let report = trim_weights(&document.package, lenses).map_err(|faults| fault::inputs(&faults))?;
    let found = report.iter().flat_map(|report: &TrimReport| &report.lenses).find(|each| each.lens == lens);
    if let Some((found, trim)) = found.and_then(|found| Some((found, found.trims.first()?))) {
        document.package = found.apply(trim, &document.package);
    }
    plain::from(&document)
}

/// The package as a link: what stands after the `#` of an address.
///
/// # Errors
/// A `PackageError` when numbers are out of range or the package is too large for a link.
#[wasm_bindgen(js_name = toLink)]
pub fn to_link(#[wasm_bindgen(unchecked_param_type = "PackageFile")] file: JsValue) -> Result<String, JsValue> {
    codec::link::encode(&document(file)?).map_err(|error| match &error {
        codec::link::Unsendable::OutOfRange(faults) => fault::inputs(faults),
        codec::link::Unsendable::TooLarge { .. } => fault::whole(&error.to_string()),
    })
}

/// The package of a link, be it a whole address or a message around it.
///
/// # Errors
/// A `PackageError` that says whether the link is incomplete, altered, newer or none at all.
#[wasm_bindgen(js_name = fromLink, unchecked_return_type = "PackageFile")]
pub fn from_link(text: &str) -> Result<JsValue, JsValue> {
    let document = codec::link::decode(text).map_err(|error| match &error {
        codec::link::LinkError::OutOfRange(faults) => fault::inputs(faults),
        _ => fault::whole(&error.to_string()),
    })?;
    plain::from(&document)
}

/// The demonstration package, every figure of it invented.
///
/// # Errors
/// Never: it is built in.
#[wasm_bindgen(unchecked_return_type = "PackageFile")]
pub fn demo() -> Result<JsValue, JsValue> {
    plain::from(&Document::from(library::demo()))
}

/// Built-in heads, parts, lenses and moves, typical and invented.
///
/// # Errors
/// Never: they are built in.
#[wasm_bindgen(js_name = library, unchecked_return_type = "Library")]
pub fn typical() -> Result<JsValue, JsValue> {
    #[derive(Serialize)]
    struct Typical {
        version: u32,
        heads: &'static [solver::package::Head],
        parts: &'static [solver::package::Part],
        lenses: &'static [solver::package::Lens],
        moves: &'static [solver::package::Move],
    }
    plain::from(&Typical {
        version: library::VERSION,
        heads: library::heads(),
        parts: library::parts(),
        lenses: library::lenses(),
        moves: library::moves(),
    })
}

/// The document of a file, its numbers rounded to their storage steps as when they are typed in.
fn document(file: JsValue) -> Result<Document, JsValue> {
    let document: Document = plain::into(file, "")?;
    Ok(Document { package: document.package.quantised(), foreign: document.foreign })
}

fn package(file: JsValue) -> Result<solver::Package, JsValue> {
    document(file).map(|document| document.package)
}
