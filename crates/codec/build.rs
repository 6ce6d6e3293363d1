//! Turns the library and the demonstration from JSON into the compact form, so that the page carries no JSON reader.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs};

use serde::de::DeserializeOwned;
use solver::Package;
use solver::package::{Head, Lens, Move, Part, Structure};

#[path = "src/wire/mod.rs"]
#[allow(dead_code, reason = "only the writing half is needed here")]
mod wire;

#[path = "src/link/crc.rs"]
mod crc;

use wire::{Fixed, Wire, Writer};

/// Storage steps of a metre of the picture, as the reader of the demonstration has them.
const PICTURE_STEPS: f64 = 1e5;

/// The heads in the order in which links number them: new ones come last.
const HEADS: [&str; 4] = ["small", "medium", "large", "two_axis"];

fn main() -> Result<(), Box<dyn Error>> {
    let here = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let library = here.join("library");
    let demo = here.join("../../tests/packages/demo.json");
    println!("cargo::rerun-if-changed={}", library.display());
    println!("cargo::rerun-if-changed={}", demo.display());
    println!("cargo::rerun-if-changed={}", here.join("src/wire").display());

    let mut writer = Writer::new();
    let mut stamps = Vec::new();
    let heads = HEADS.map(|name| read::<Head>(&library.join(format!("heads/{name}.json"))));
    put_list(heads.into_iter().collect::<Result<Vec<Head>, _>>()?, &mut writer, &mut stamps);
    put_list(read::<Vec<Part>>(&library.join("parts.json"))?, &mut writer, &mut stamps);
    put_list(read::<Vec<Lens>>(&library.join("lenses.json"))?, &mut writer, &mut stamps);
    put_list(read::<Vec<Move>>(&library.join("moves.json"))?, &mut writer, &mut stamps);
    for stamp in stamps {
        writer.raw(&stamp.to_le_bytes());
    }
    fs::write(out.join("library.bin"), writer.into_bytes())?;

    let mut writer = Writer::new();
    put_package(read_package(&demo)?.quantised(), &mut writer);
    fs::write(out.join("demo.bin"), writer.into_bytes())?;
    Ok(())
}

fn read<T: DeserializeOwned>(path: &Path) -> Result<T, Box<dyn Error>> {
    let text = fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))?;
    serde_json::from_str(&text).map_err(|error| format!("{}: {error}", path.display()).into())
}

/// Reads a package file without the checks that a stranger's file would need.
fn read_package(path: &Path) -> Result<Package, Box<dyn Error>> {
    let mut file: serde_json::Value = read(path)?;
    let mut whole = serde_json::Map::new();
    let sections = file["sections"].as_object_mut().ok_or("the demonstration has no sections")?;
    for (name, section) in sections {
        match section["data"].take() {
            serde_json::Value::Object(data) if name == "package" => whole.extend(data),
            data => {
                whole.insert(name.clone(), data);
            }
        }
    }
    serde_json::from_value(whole.into()).map_err(|error| format!("{}: {error}", path.display()).into())
}

fn put_package(package: Package, writer: &mut Writer) {
    put(wire::v0::Base::of(&package), writer);
    put(package.head, writer);
    put(package.parts, writer);
    put(package.lenses, writer);
    put(package.moves, writer);
    put(package.day, writer);
    put(package.tune, writer);
    // All that the demonstration has of its section: a page that begins needs no reader of the whole.
    let Structure { picture_width_m, picture_height_m, .. } = package.structure;
    for m in [picture_width_m, picture_height_m] {
        Fixed::put(&m, PICTURE_STEPS, &None, writer);
    }
}

/// Writes a list of the library, and a stamp of the content of each of its items: links carry a hash of the stamps of
/// those that they refer to, and a page need not write an item to know its own.
fn put_list<T: Wire>(list: Vec<T>, writer: &mut Writer, stamps: &mut Vec<u32>) {
    stamps.extend(list.iter().map(|item| {
        let mut alone = Writer::new();
        item.put(&T::plain(), &mut alone);
        crc::crc32(&alone.into_bytes())
    }));
    put(list, writer);
}

#[expect(clippy::needless_pass_by_value, reason = "each value is read, written and done with")]
fn put<T: Wire>(value: T, writer: &mut Writer) {
    value.put(&T::plain(), writer);
}
