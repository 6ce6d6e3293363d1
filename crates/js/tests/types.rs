//! The types for TypeScript say what the module really takes and gives.

use std::collections::{BTreeMap, BTreeSet};

use codec::library;
use serde_json::Value;
use solver::explain::AnswerId;

type Names = BTreeSet<String>;

/// Field names of every interface in the file of types.
fn interfaces() -> BTreeMap<String, Names> {
    let mut found: BTreeMap<String, Names> = BTreeMap::new();
    let mut open: Option<String> = None;
    for line in include_str!("../src/types.d.ts").lines() {
        if let Some(rest) = line.strip_prefix("export interface ") {
            open = rest.split([' ', '<']).next().map(str::to_owned);
        } else if line == "}" {
            open = None;
        } else if let (Some(name), Some(field)) = (&open, line.strip_prefix("  ").and_then(field_name)) {
            found.entry(name.clone()).or_default().insert(field);
        }
    }
    found
}

/// `name` of `name?: type;` two blanks in; nothing deeper, no comment.
fn field_name(line: &str) -> Option<String> {
    let (name, _) = line.split_once(':')?;
    let name = name.trim_end_matches('?');
    name.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '_').then(|| name.to_owned())
}

fn keys(value: &Value) -> Names {
    value.as_object().unwrap_or_else(|| panic!("{value} is no object")).keys().cloned().collect()
}

#[test]
fn package_types_have_the_fields_of_the_schema() {
    let (types, schema) = (interfaces(), codec::schema::schema());
    let definitions = schema["$defs"].as_object().expect("definitions");
    let mut compared = 0;
    for (name, definition) in definitions {
        if let Some(properties) = definition.get("properties") {
            assert_eq!(types.get(name), Some(&keys(properties)), "{name}");
            compared += 1;
        }
    }
    assert!(compared > 25, "only {compared} types compared");
}

/// The demonstration with everything on one outlet.
fn rewired(demo: &solver::Package) -> solver::Package {
    let mut package = demo.clone();
    for part in &mut package.parts {
        if let Some(load) = &mut part.load {
            load.tap = Some("aux_1".to_owned());
        }
    }
    package
}

#[test]
fn answer_types_have_the_fields_of_the_answers() {
    let (types, demo) = (interfaces(), library::demo());
    let mut report = serde_json::to_value(solver::check(&demo).expect("a valid package")).expect("JSON");
    report["fit"] = serde_json::to_value(solver::fit(&demo).expect("a valid package").findings).expect("JSON");
    report["stiffness"] = serde_json::to_value(solver::stiffness(&demo).expect("a valid package")).expect("JSON");
    // A day that takes several sets, so that every list of it holds something.
    let mut long = demo.clone();
    long.day.running_h = 14.0;
    let day = serde_json::to_value(solver::day(&long).expect("a valid package")).expect("JSON");
    // A lunch before which the packs nearly run out.
    let mut lunch = demo.clone();
    lunch.day.running_h = 4.5;
    lunch.moves[0].break_after =
        Some(solver::package::Break { length_min: 45.0, kind: solver::package::BreakKind::Off });
    let lunch = serde_json::to_value(solver::day(&lunch).expect("a valid package")).expect("JSON");
    let wiring = serde_json::to_value(solver::wiring(&rewired(&demo)).expect("a valid package")).expect("JSON");
    report["day"] = serde_json::to_value(solver::day(&demo).expect("a valid package")).expect("JSON");
    report["wiring"] = serde_json::to_value(solver::wiring(&demo).expect("a valid package")).expect("JSON");
    let row = serde_json::to_value(&solver::lens_set(&demo).expect("a valid package")[0]).expect("JSON");
    let lens = demo.lenses[0].id;
    let change = solver::lens_set::change::lens_changes(&demo, demo.active_lens).expect("a valid package");
    let change = serde_json::to_value(&change[0]).expect("JSON");
    let mut seen = demo.clone();
    (seen.structure.picture_width_m, seen.structure.picture_height_m) = (Some(0.025), Some(0.019));
    let preview = solver::lens_set::preview::lens_preview(&seen, lens).expect("a valid package");
    let preview = serde_json::to_value(preview).expect("JSON");
    let view = &preview["view"]["known"];
    let common = solver::lens_set::common::common_marks(&demo, &[lens]).expect("a valid package");
    let common = serde_json::to_value(common).expect("JSON");
    let term = solver::explain(&demo, &AnswerId::CameraMass).expect("a valid package");
    let term = serde_json::to_value(term).expect("JSON");
    let torque = &report["torque"]["known"];
    let each_move = &torque["moves"][0];
    let stiff = &report["stiffness"]["known"];
    for (name, value) in [
        ("Report", &report),
        ("MassReport", &report["mass"]),
        ("MassRow", &report["mass"]["rows"][0]),
        ("Estimate", &report["mass"]["camera_kg"]),
        ("SlideReport", &report["slides"][0]),
        ("AxisReport", &report["axes"][0]),
        ("TorqueReport", torque),
        ("Tightest", &torque["tightest"]),
        ("MoveTorque", each_move),
        ("AxisTorque", &each_move["axes"][0]),
        ("Terms", &each_move["axes"][0]["peak"]),
        ("PowerReport", &report["power"]),
        ("TapReport", &report["power"]["taps"][0]),
        ("StiffnessReport", stiff),
        ("PlaneReport", &stiff["planes"][0]),
        ("DrawnLine", &stiff["planes"][0]["lines"][0]),
        ("SagReport", &stiff["sag"]),
        ("ChangeReport", &stiff["changes"][0]),
        ("DayReport", &day),
        ("DayBlock", &day["blocks"][0]),
        ("PackChange", &day["changes"][0]),
        ("BreakChange", &lunch["break_changes"][0]),
        ("ChargePoint", &day["charge"][0]),
        ("ChargingReport", &day["charging"]),
        ("FlyingPack", &day["flying"][0]),
        ("WiringReport", &wiring),
        ("Rewire", &wiring["changes"][0]),
        ("TightestTap", &wiring["tightest"]),
        ("CableAdvice", &wiring["cables"][0]),
        ("Conductor", &wiring["cables"][0]["thinnest"]),
        ("LensRow", &row),
        ("LensMark", &row["slides"][0]),
        ("LensChange", &change),
        ("SlideChange", &change["slides"][0]),
        ("Handled", &change["handled"][0]),
        ("LensPreview", &preview),
        ("MovePrice", &preview["moves"][0]),
        ("FieldOfView", view),
        ("View", &view["widest"]),
        ("CommonMarks", &common),
        ("CommonMark", &common["slides"][0]),
        ("CommonAxis", &common["axes"][0]),
        ("CommonLens", &common["lenses"][0]),
        ("Term", &term),
    ] {
        assert_eq!(types.get(name), Some(&keys(value)), "{name}");
    }
    let lists =
        [("Finding", &report["findings"]), ("FitFinding", &report["fit"]), ("StiffnessFinding", &stiff["findings"])];
    for (name, list) in lists {
        let mut finding = keys(&list[0]);
        finding.insert("text".to_owned());
        assert_eq!(types.get(name), Some(&finding), "{name}");
    }
}

/// Among the primes of the demonstration weights do it; of those and the zoom nothing does.
#[test]
fn trim_types_have_the_fields_of_the_answers() {
    let (types, demo) = (interfaces(), library::demo());
    let trim = |lenses: &[u32]| {
        let report = solver::lens_set::trim::trim_weights(&demo, lenses).expect("a valid package");
        serde_json::to_value(report).expect("JSON")
    };
    let all: Vec<u32> = demo.lenses.iter().map(|lens| lens.id).collect();
    let primes: Vec<u32> = demo.lenses.iter().filter(|lens| lens.brings.is_empty()).map(|lens| lens.id).collect();
    let (trim, none) = (trim(&primes), trim(&all));
    let nearest = &none["lenses"][0]["nearest"];
    for (name, value) in [
        ("TrimReport", &trim),
        ("LensTrim", &trim["lenses"][0]),
        ("Trim", &trim["lenses"][0]["trims"][0]),
        ("TrimWeight", &trim["lenses"][0]["trims"][0]["weights"][0]),
        ("NearestTrim", nearest),
        ("TurningAxis", &nearest["turning"][0]),
    ] {
        assert_eq!(types.get(name), Some(&keys(value)), "{name}");
    }
    let off = solver::lens_set::trim::OffInertia { joint: String::new(), axis: String::new(), inertia_change: 0.0 };
    assert_eq!(types.get("OffInertia"), Some(&keys(&serde_json::to_value(off).expect("JSON"))));
}
