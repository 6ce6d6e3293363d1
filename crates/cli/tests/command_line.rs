//! The command line as a person has it: exit status, sheet, data, and what it says of broken files.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

fn packages() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/packages")
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_counterpoise")).args(arguments).output().expect("the command line starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text in UTF-8")
}

fn demo() -> String {
    packages().join("demo.json").display().to_string()
}

#[test]
fn sheet_of_the_demo_has_a_mark_for_every_slide_and_nothing_stops_the_job() {
    let output = run(&["check", &demo()]);
    assert_eq!(output.status.code(), Some(0));
    let sheet = text(&output.stdout);
    for line in
        ["NOTHING HERE STOPS THE JOB", "Plate", "Height", "Side", "Pan slide", "TORQUE IN HAND", "The first set lasts"]
    {
        assert!(sheet.contains(line), "{line} is missing from\n{sheet}");
    }
    assert_eq!(sheet.to_lowercase().matches("invented").count(), 1, "that all is invented is said once:\n{sheet}");
}

#[test]
fn sheet_of_the_demo_says_what_every_lens_change_takes() {
    let sheet = text(&run(&["check", &demo()]).stdout);
    let after = sheet.split("AFTER A LENS CHANGE").nth(1).expect("the section");
    let lines: Vec<&str> = after.lines().collect();
    let minutes_of = |line: &str| -> f64 {
        let (before, _) = line.split_once(" min,").expect("minutes");
        before.rsplit(' ').next().and_then(|word| word.parse().ok()).expect("a number")
    };
    // The last row of the table is the zoom that is on: the same minutes as in the lines above it.
    let listed: Vec<f64> = lines.iter().filter(|line| line.contains(" min,")).map(|line| minutes_of(line)).collect();
    let zoom = lines.iter().find(|line| line.starts_with("  Long zoom")).expect("a row of the table");
    let table: Vec<f64> = zoom.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert_eq!(listed.len(), 5);
    assert_eq!(listed, table, "{after}");
}

/// Nearly the lens that is on: nothing need be set anew by best estimates. How likely that goes well is told, and they may
/// stay only where it is more likely than not: of a twin known to half a millimetre, and not of one as well known as the zoom.
#[test]
fn sheet_tells_the_chance_that_the_marks_may_stay() {
    let twin = |name: &str, known: Option<f64>| {
        let (status, sheet) = checked(name, |sections| {
            let lenses = sections["lenses"]["data"].as_array_mut().expect("lenses");
            let zoom = lenses.iter_mut().find(|lens| lens["id"] == 6).expect("the zoom");
            if let Some(u) = known {
                (zoom["cg_u_m"], zoom["mass"]["u_kg"]) = (u.into(), u.into());
            }
            let mut twin = zoom.clone();
            // A shade further forward: its own marks are a millimetre off, and friction holds that.
            twin["cg_ahead_m"] = (twin["cg_ahead_m"].as_f64().expect("a length") + 0.002).into();
            (twin["id"], twin["name"]) = (99.into(), "Twin".into());
            lenses.push(twin);
        });
        assert_eq!(status, Some(0));
        let line = sheet.lines().find(|line| line.contains("Twin") && line.contains(" stays put: ")).expect("a line");
        let chance = line.split("every axis stays put: ").nth(1).expect("a chance");
        let percent: f64 = chance.trim_end_matches('%').trim().parse().expect("per cent");
        (line.contains("marks may stay"), line.contains("marks left"), percent)
    };
    let (may_stay, left, percent) = twin("twin", None);
    assert!(!may_stay && left && percent > 0.0 && percent < 50.0, "{percent}");
    let (may_stay, left, percent) = twin("known-twin", Some(0.000_5));
    assert!(may_stay && !left && percent > 50.0 && percent < 100.0, "{percent}");
}

#[test]
fn sheet_in_pounds_and_with_commas() {
    let sheet = text(&run(&["check", &demo(), "--imperial", "--comma"]).stdout);
    assert!(sheet.contains(" lb,") && sheet.contains("lbf·ft") && sheet.contains("34,5"), "{sheet}");
    // A name is the crew's own.
    let sheet = sheet.replace("Rods 19 mm, 600 long", "");
    assert!(!sheet.contains(" kg") && !sheet.contains(" mm"), "{sheet}");
}

#[test]
fn a_file_from_standard_input_gives_the_same_sheet() {
    let file = std::fs::File::open(demo()).expect("the demo");
    let output = Command::new(env!("CARGO_BIN_EXE_counterpoise")).args(["check", "-"]).stdin(file).output();
    assert_eq!(output.expect("it starts").stdout, run(&["check", &demo()]).stdout);
}

#[test]
fn a_misspelt_command_is_named_and_is_bad_input() {
    let output = run(&["chekc", &demo()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).starts_with("there is no command \"chekc\""));
}

#[test]
fn data_and_sheet_say_the_same() {
    let data: Value = serde_json::from_slice(&run(&["check", &demo(), "--json"]).stdout).expect("JSON");
    let sheet = text(&run(&["check", &demo()]).stdout);
    for slide in data["slides"].as_array().expect("slides") {
        let target_mm = 1e3 * slide["target_m"]["value"].as_f64().expect("a number");
        let name = slide["name"].as_str().expect("a name");
        let line = sheet.lines().find(|line| line.trim_start().starts_with(name)).expect("a line for the slide");
        assert!(line.contains(&format!("{target_mm:.0} mm")), "{name}: {target_mm} is not in {line}");
    }
}

/// The first mode stands on the sheet with the digits that its ± leaves, and stiffness is no longer among what was not checked.
#[test]
fn sheet_and_data_say_how_stiff_the_package_is() {
    let data: Value = serde_json::from_slice(&run(&["check", &demo(), "--json"]).stdout).expect("JSON");
    let report = &data["stiffness"]["known"];
    let hz = report["first_hz"]["value"].as_f64().expect("a number");
    let sheet = text(&run(&["check", &demo()]).stdout);
    assert!(sheet.contains(&format!("First mode {hz:.0} ± ")), "{hz} is not in\n{sheet}");
    let bends = report["planes"][0]["bends"][0]["name"].as_str().expect("a name");
    assert!(sheet.contains(&format!("of the bending: {bends}")), "{bends} is not in\n{sheet}");
    assert!(!sheet.contains("Stiffness from plate to lens front"), "{sheet}");
}

/// What the sheet says of a lens is the sentence of the data; in the demonstration nothing makes a prime match the zoom.
#[test]
fn sheet_and_data_say_which_trim_weights_make_the_lenses_match() {
    let data: Value = serde_json::from_slice(&run(&["check", &demo(), "--json"]).stdout).expect("JSON");
    let lenses = data["trim"]["lenses"].as_array().expect("lenses");
    assert!(lenses.len() == 5 && lenses.iter().all(|lens| lens["trims"].as_array().is_some_and(Vec::is_empty)));
    let sheet = text(&run(&["check", &demo()]).stdout);
    let trim = |sheet: &str| sheet.split("TRIM WEIGHTS").nth(1).expect("the section").to_owned();
    assert!(trim(&sheet).contains("Nothing at hand makes Anamorphic 32, "), "{sheet}");
    assert!(trim(&sheet).contains("Nearest: hang ") && trim(&sheet).contains("Not checked: "), "{sheet}");
    let (_, primes) = checked("primes", |sections| {
        let lenses = sections["lenses"]["data"].as_array_mut().expect("lenses");
        lenses.retain(|lens| lens["name"] != "Long zoom");
        sections["package"]["data"]["active_lens"] = 5.into();
    });
    assert!(
        trim(&primes).contains("Anamorphic 32: hang 0.1 kg on the front of the rods; inertia then off by +"),
        "{primes}"
    );
}

#[test]
fn sheet_says_in_which_break_the_packs_are_changed() {
    let (_, sheet) = checked("lunch", |sections| {
        sections["day"]["data"]["running_h"] = 4.5.into();
        sections["moves"]["data"][0]["break_after"] = serde_json::json!({ "length_min": 45.0, "kind": "off" });
    });
    let said = "  Change the packs in the break after Chase boat, morning, at 08:42: they would run out about ";
    assert!(sheet.contains(said) && sheet.contains(" min into Crane on the quay, dusk, ±20 min."), "{sheet}");
    assert!(sheet.contains("  Packs are then changed at 08:42 in the break after Chase boat, morning."), "{sheet}");
}

#[test]
fn every_broken_file_gets_a_message_to_act_on() {
    let broken = packages().join("broken");
    let messages: Value =
        serde_json::from_str(&std::fs::read_to_string(broken.join("messages.json")).expect("messages")).expect("JSON");
    let messages = messages.as_object().expect("one entry a file");
    assert!(messages.len() >= 10);
    for (name, expected) in messages {
        let output = run(&["check", &broken.join(format!("{name}.json")).display().to_string()]);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{name}: {said}");
        for words in expected.as_array().expect("a list of words") {
            let words = words.as_str().expect("words");
            assert!(said.contains(words), "{name}: \"{words}\" is not in\n{said}");
        }
    }
}

/// The sheet of a changed demonstration, and its exit status.
fn checked(name: &str, change: impl FnOnce(&mut Value)) -> (Option<i32>, String) {
    let mut file: Value = serde_json::from_str(&std::fs::read_to_string(demo()).expect("the demo")).expect("JSON");
    change(&mut file["sections"]);
    let path = std::env::temp_dir().join(format!("counterpoise-{}-{name}.json", std::process::id()));
    std::fs::write(&path, file.to_string()).expect("a scratch file");
    let output = run(&["check", &path.display().to_string()]);
    std::fs::remove_file(&path).expect("the scratch file goes");
    (output.status.code(), text(&output.stdout))
}

#[test]
fn a_package_too_heavy_is_a_no_go_with_status_1() {
    let (status, sheet) =
        checked("heavy", |sections| sections["head"]["data"]["payload_kg"] = serde_json::json!([1.0, 5.0]));
    assert_eq!(status, Some(1));
    assert!(sheet.contains("NO-GO"), "{sheet}");
}

#[test]
fn what_does_not_fit_is_a_no_go_with_status_1() {
    let (status, sheet) = checked("short", |sections| {
        let parts = sections["parts"]["data"].as_array_mut().expect("parts");
        let rods = parts.iter_mut().find(|part| part["kind"] == "rods").expect("rods");
        rods["size_m"][0] = 0.2.into();
    });
    assert_eq!(status, Some(1));
    let no_go = sheet.split("NO-GO").nth(1).expect("a no-go");
    assert!(no_go.lines().nth(1).is_some_and(|line| line.contains("Rods") && line.contains("short of")), "{sheet}");
    assert!(!sheet.contains("Clearance to the arms"), "it was looked at: {sheet}");
}

#[test]
fn link_and_back_is_the_same_package() {
    let link = text(&run(&["link", &demo()]).stdout);
    let opened = run(&["open", link.trim()]);
    assert_eq!(opened.status.code(), Some(0), "{}", text(&opened.stderr));
    let path = std::env::temp_dir().join(format!("counterpoise-{}-opened.json", std::process::id()));
    std::fs::write(&path, &opened.stdout).expect("a scratch file");
    let again = run(&["check", &path.display().to_string(), "--json"]);
    std::fs::remove_file(&path).expect("the scratch file goes");
    assert_eq!(text(&again.stdout), text(&run(&["check", &demo(), "--json"]).stdout));
}

#[test]
fn a_cut_link_says_that_it_is_incomplete() {
    let link = text(&run(&["link", &demo()]).stdout);
    let link = link.trim();
    let output = run(&["open", &link[..link.len() - 20]]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("incomplete"), "{}", text(&output.stderr));
}

#[test]
fn dynamics_at_rest_is_gravity_and_names_a_faulty_field() {
    let directory = std::env::temp_dir();
    let states = directory.join(format!("counterpoise-{}-states.json", std::process::id()));
    let state = |q: &str| format!("{{\"samples\":[{{\"q_rad\":{q},\"qd_rad_s\":[0,0,0],\"qdd_rad_s2\":[0,0,0]}}]}}");
    std::fs::write(&states, state("[0,0,0]")).expect("a scratch file");
    let output = run(&["dynamics", &demo(), &states.display().to_string(), "--bodies"]);
    let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(data["bodies"].as_array().map(Vec::len), Some(3));
    // At rest the tilt drive holds g times the unbalance ahead of the axis, as the check reports it.
    let report: Value = serde_json::from_slice(&run(&["check", &demo(), "--json"]).stdout).expect("JSON");
    let tilt = &report["axes"][0];
    let ahead_kg_m = tilt["now_kg_m"][0].as_f64().expect("a number");
    let held_nm = data["torque_nm"][0][2].as_f64().expect("a number");
    assert!((held_nm + 9.806_65 * ahead_kg_m).abs() < 1e-9, "{held_nm} against {ahead_kg_m}");

    std::fs::write(&states, state("[0,0]")).expect("a scratch file");
    let output = run(&["dynamics", &demo(), &states.display().to_string()]);
    std::fs::remove_file(&states).expect("the scratch file goes");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("samples[0].q_rad"), "{}", text(&output.stderr));
}

/// A sheet that a full disk has cut off must not pass for one that says that nothing stops the job.
#[cfg(target_os = "linux")]
#[test]
fn what_cannot_be_written_is_told() {
    let full = std::fs::File::options().write(true).open("/dev/full").expect("the device that is always full");
    let output = Command::new(env!("CARGO_BIN_EXE_counterpoise"))
        .args(["check", &demo()])
        .stdout(full)
        .output()
        .expect("the command line starts");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).starts_with("standard output: "), "{}", text(&output.stderr));
}

/// Whoever has read enough of the sheet closes the pipe, and what it says stays true.
#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_fault() {
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let output = Command::new(env!("CARGO_BIN_EXE_counterpoise"))
        .args(["check", &demo()])
        .stdout(writer)
        .output()
        .expect("the command line starts");
    assert_eq!((output.status.code(), text(&output.stderr).as_str()), (Some(0), ""));
}

#[cfg(unix)]
#[test]
fn a_name_that_is_no_text_is_a_file_that_is_not_there() {
    use std::os::unix::ffi::OsStrExt as _;

    let output = Command::new(env!("CARGO_BIN_EXE_counterpoise"))
        .arg("check")
        .arg(std::ffi::OsStr::from_bytes(b"caf\xe9.json"))
        .output()
        .expect("the command line starts");
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
    assert!(text(&output.stderr).contains("caf\u{fffd}.json: "), "{}", text(&output.stderr));
}
