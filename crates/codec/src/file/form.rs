//! The shape of the file, for any serde format.

use core::fmt;

use serde::de::{DeserializeOwned, Error, MapAccess, Visitor};
use serde::ser::SerializeMap;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use solver::Package;
use solver::package::{
    Arm, AtHand, Balancing, ChangeMinutes, Day, Head, Lens, LensId, LoggedBalance, Mount, Move, Part, Reserve,
    Structure, Tune,
};

use super::{FORMAT, SECTION_VERSION};
use crate::document::{Body, Document, Foreign};
use crate::json::Json;

/// What is left of the package when the other sections are taken out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(crate) struct PackageData {
    /// What the crew calls it.
    name: String,
    /// Free text.
    #[serde(default)]
    note: String,
    /// Whether this is the built-in demonstration.
    #[serde(default)]
    demo: bool,
    /// How the camera sits on the head.
    mount: Mount,
    /// The lens that is on, if any.
    #[serde(default)]
    active_lens: Option<LensId>,
    /// What the person wants kept in hand.
    #[serde(default)]
    reserve: Reserve,
    /// The counterweighted arm that carries the head, if the grip has stated it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    arm: Option<Arm>,
    /// What is at hand to mend a balance, where the person has told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at_hand: Option<AtHand>,
    /// How long the steps of a lens change take this crew.
    #[serde(default, skip_serializing_if = "ChangeMinutes::is_empty")]
    change_minutes: ChangeMinutes,
}

/// One section.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(crate) struct Section<T> {
    /// Version of its layout.
    version: u32,
    /// What is in it.
    data: T,
}

/// A section of a link's bytes in a file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ByteSection {
    version: u32,
    bytes: Vec<u8>,
}

/// The sections read so far, each where it was given.
#[derive(Debug, Default)]
pub(crate) struct Sections {
    pub(crate) package: Option<PackageData>,
    pub(crate) head: Option<Head>,
    pub(crate) parts: Vec<Part>,
    pub(crate) lenses: Vec<Lens>,
    pub(crate) moves: Vec<Move>,
    pub(crate) day: Day,
    pub(crate) tune: Option<Tune>,
    pub(crate) logs: Vec<LoggedBalance>,
    pub(crate) balancing: Option<Balancing>,
    pub(crate) structure: Structure,
    pub(crate) foreign: Vec<Foreign>,
}

impl Sections {
    /// The document; `None` without a package and a head section.
    pub(crate) fn into_document(self) -> Option<Document> {
        let Self { package, head, parts, lenses, moves, day, tune, logs, balancing, structure, foreign } = self;
        let PackageData { name, note, demo, mount, active_lens, reserve, arm, at_hand, change_minutes } = package?;
        let head = head?;
        let package = Package {
            name,
            note,
            demo,
            head,
            mount,
            parts,
            lenses,
            active_lens,
            moves,
            day,
            reserve,
            tune,
            arm,
            at_hand,
            change_minutes,
            logs,
            balancing,
            structure,
        };
        Some(Document { package, foreign })
    }
}

impl Serialize for Document {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut file = serializer.serialize_map(Some(2))?;
        file.serialize_entry("format", &FORMAT)?;
        file.serialize_entry("sections", &SectionsOf(self))?;
        file.end()
    }
}

struct SectionsOf<'a>(&'a Document);

impl Serialize for SectionsOf<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Document { package, foreign } = self.0;
        let mut map = serializer.serialize_map(None)?;
        let data = PackageData {
            name: package.name.clone(),
            note: package.note.clone(),
            demo: package.demo,
            mount: package.mount.clone(),
            active_lens: package.active_lens,
            reserve: package.reserve.clone(),
            arm: package.arm.clone(),
            at_hand: package.at_hand.clone(),
            change_minutes: package.change_minutes.clone(),
        };
        map.serialize_entry("package", &section(&data))?;
        map.serialize_entry("head", &section(&package.head))?;
        map.serialize_entry("parts", &section(&package.parts))?;
        map.serialize_entry("lenses", &section(&package.lenses))?;
        map.serialize_entry("moves", &section(&package.moves))?;
        map.serialize_entry("day", &section(&package.day))?;
        if let Some(tune) = &package.tune {
            map.serialize_entry("tune", &section(tune))?;
        }
        if !package.logs.is_empty() {
            map.serialize_entry("logs", &section(&package.logs))?;
        }
        if let Some(balancing) = &package.balancing {
            map.serialize_entry("balancing", &section(balancing))?;
        }
        if !package.structure.is_empty() {
            map.serialize_entry("structure", &section(&package.structure))?;
        }
        for Foreign { name, version, body } in foreign {
            match body {
                Body::Json(data) => map.serialize_entry(name, &Section { version: *version, data })?,
                Body::Bytes(bytes) => {
                    map.serialize_entry(name, &ByteSection { version: *version, bytes: bytes.clone() })?;
                }
            }
        }
        map.end()
    }
}

fn section<T>(data: &T) -> Section<&T> {
    Section { version: SECTION_VERSION, data }
}

impl<'de> Deserialize<'de> for Document {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        struct File {
            format: u32,
            sections: Sections,
        }
        let file = File::deserialize(deserializer)?;
        if file.format > FORMAT {
            return Err(D::Error::custom(format_args!(
                "made by a newer version (format {}; this one opens up to {FORMAT})",
                file.format
            )));
        }
        file.sections.into_document().ok_or_else(|| D::Error::custom("a package needs the sections package and head"))
    }
}

impl<'de> Deserialize<'de> for Sections {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(SectionsVisitor)
    }
}

struct SectionsVisitor;

impl<'de> Visitor<'de> for SectionsVisitor {
    type Value = Sections;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("the sections of a package")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Sections, A::Error> {
        let mut sections = Sections::default();
        while let Some(name) = map.next_key::<String>()? {
            match name.as_str() {
                "package" => sections.package = Some(known(&mut map)?),
                "head" => sections.head = Some(known(&mut map)?),
                "parts" => sections.parts = known(&mut map)?,
                "lenses" => sections.lenses = known(&mut map)?,
                "moves" => sections.moves = known(&mut map)?,
                "day" => sections.day = known(&mut map)?,
                "tune" => sections.tune = Some(known(&mut map)?),
                "logs" => sections.logs = known(&mut map)?,
                "balancing" => sections.balancing = Some(known(&mut map)?),
                "structure" => sections.structure = known(&mut map)?,
                _ => sections.foreign.extend(unknown(name, map.next_value()?)),
            }
        }
        Ok(sections)
    }
}

fn known<'de, T: DeserializeOwned, A: MapAccess<'de>>(map: &mut A) -> Result<T, A::Error> {
    let section: Section<T> = map.next_value()?;
    if section.version > SECTION_VERSION {
        return Err(A::Error::custom(format_args!(
            "made by a newer version (section version {}; this one opens up to {SECTION_VERSION})",
            section.version
        )));
    }
    Ok(section.data)
}

/// A section of another version. `None` when it is not shaped like a section at all.
pub(crate) fn unknown(name: String, section: Json) -> Option<Foreign> {
    let Json::Map(entries) = section else { return None };
    let find = |key: &str| entries.iter().find(|(name, _)| name == key).map(|(_, value)| value);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates; versions are small")]
    let version = match find("version") {
        Some(Json::Number(version)) => *version as u32,
        _ => return None,
    };
    if let Some(data) = find("data") {
        return Some(Foreign { name, version, body: Body::Json(data.clone()) });
    }
    let Some(Json::List(items)) = find("bytes") else { return None };
    let byte = |item: &Json| match item {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the range is checked first")]
        Json::Number(value) if (0.0..=255.0).contains(value) => Some(*value as u8),
        _ => None,
    };
    let bytes = items.iter().map(byte).collect::<Option<Vec<u8>>>()?;
    Some(Foreign { name, version, body: Body::Bytes(bytes) })
}
