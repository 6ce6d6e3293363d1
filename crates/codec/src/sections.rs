//! The body of a link: sections, each with an id, a version and a length.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use solver::package::{Balancing, Day, Head, Lens, LoggedBalance, Move, Part, Structure, Tune};

use crate::document::{Body, Document, Foreign};
use crate::file;
use crate::json::Json;
use crate::library::{self, List};
use crate::link::crc::crc32;
use crate::wire::v0::Base;
use crate::wire::{Fault, Reader, Wire, Writer, differs};

/// Version of every section that this program writes.
pub(crate) const VERSION: u32 = 0;

/// Section ids. 0 and 1 spell out a name: the content is bytes, or a JSON value.
mod id {
    pub(super) const SPELT_BYTES: u32 = 0;
    pub(super) const SPELT_JSON: u32 = 1;
    pub(super) const PACKAGE: u32 = 2;
    pub(super) const HEAD: u32 = 3;
    pub(super) const PARTS: u32 = 4;
    pub(super) const LENSES: u32 = 5;
    pub(super) const MOVES: u32 = 6;
    pub(super) const DAY: u32 = 7;
    pub(super) const TUNE: u32 = 8;
    pub(super) const LOGS: u32 = 9;
    pub(super) const BALANCING: u32 = 10;
    pub(super) const STRUCTURE: u32 = 11;
    pub(super) const LAST: u32 = STRUCTURE;
}

/// Name and id of every section that a stranger may fill.
pub(crate) const NAMED: [(&str, u32); 10] = [
    ("spelt", id::SPELT_JSON),
    ("package", id::PACKAGE),
    ("head", id::HEAD),
    ("parts", id::PARTS),
    ("lenses", id::LENSES),
    ("moves", id::MOVES),
    ("day", id::DAY),
    ("tune", id::TUNE),
    ("logs", id::LOGS),
    ("structure", id::STRUCTURE),
];

/// Why the body of a link cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BodyFault {
    /// It does not mean anything.
    Bad(Fault),
    /// A section that must be understood is newer than this program.
    TooNew(u32),
    /// It refers to items of a library that this program does not have.
    OtherLibrary(u32),
}

impl From<Fault> for BodyFault {
    fn from(fault: Fault) -> Self {
        Self::Bad(fault)
    }
}

/// Which built-in items a body may refer to instead of spelling them out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shelf {
    /// All of the library.
    Library,
    /// None: the body opens whatever becomes of the library.
    Empty,
}

impl Shelf {
    fn of<T>(self, items: &'static [T]) -> &'static [T] {
        match self {
            Self::Library => items,
            Self::Empty => &[],
        }
    }
}

/// Writes a document; its numbers must already be whole storage steps.
pub(crate) fn write(document: &Document, shelf: Shelf) -> Vec<u8> {
    let package = &document.package;
    let mut used = Used::default();
    let mut sections = Writer::new();
    let mut section = |id: u32, write: &mut dyn FnMut(&mut Writer)| {
        let mut content = Writer::new();
        write(&mut content);
        put_section(id, VERSION, &content.into_bytes(), &mut sections);
    };
    section(id::PACKAGE, &mut |out| Base::of(package).put(&Base::usual(), out));
    section(id::HEAD, &mut |out| put_item(&package.head, None, shelf.of(library::heads()), &mut used, out));
    section(id::PARTS, &mut |out| put_items(&package.parts, shelf.of(library::parts()), &mut used, out));
    section(id::LENSES, &mut |out| put_items(&package.lenses, shelf.of(library::lenses()), &mut used, out));
    section(id::MOVES, &mut |out| put_items(&package.moves, shelf.of(library::moves()), &mut used, out));
    section(id::DAY, &mut |out| package.day.put(&Day::default(), out));
    if let Some(tune) = &package.tune {
        section(id::TUNE, &mut |out| tune.put(&Tune::plain(), out));
    }
    if !package.logs.is_empty() {
        section(id::LOGS, &mut |out| package.logs.put(&Vec::new(), out));
    }
    if let Some(balancing) = &package.balancing {
        section(id::BALANCING, &mut |out| balancing.put(&Balancing::default(), out));
    }
    if !package.structure.is_empty() {
        section(id::STRUCTURE, &mut |out| package.structure.put(&Structure::default(), out));
    }
    for foreign in &document.foreign {
        put_foreign(foreign, &mut sections);
    }

    let mut out = Writer::new();
    out.unsigned(u64::from(library::VERSION));
    out.raw(&used.hash().to_le_bytes());
    out.raw(&sections.into_bytes());
    out.into_bytes()
}

/// The inverse of [`write`].
pub(crate) fn read(bytes: &[u8]) -> Result<Document, BodyFault> {
    let mut reader = Reader::new(bytes);
    let library_version = reader.small()?;
    let library_hash = reader.raw(4)?;
    if library_version > library::VERSION {
        return Err(BodyFault::OtherLibrary(library_version));
    }
    let found = read_sections(&mut reader)?;
    if found.used.hash().to_le_bytes() != library_hash {
        return Err(BodyFault::OtherLibrary(library_version));
    }
    Ok(found.into_document().ok_or(Fault::Short)?)
}

fn read_sections(reader: &mut Reader<'_>) -> Result<Found, BodyFault> {
    let mut found = Found::default();
    while !reader.is_empty() {
        found.add(Section::take(reader)?)?;
    }
    Ok(found)
}

/// The content of a document's first section of that id, for fuzzers to start from.
pub(crate) fn content_of(document: &Document, id: u32) -> Option<Vec<u8>> {
    let body = write(document, Shelf::Library);
    let mut reader = after_head(&body).ok()?;
    while !reader.is_empty() {
        let section = Section::take(&mut reader).ok()?;
        if section.id == id {
            return Some(section.content.to_vec());
        }
    }
    None
}

/// The demonstration with the content of one section replaced, whatever library items that refers to: fuzzers come in
/// here.
pub(crate) fn read_with(id: u32, content: &[u8]) -> Result<Document, BodyFault> {
    static DEMO: OnceLock<Vec<u8>> = OnceLock::new();
    let mut reader = after_head(DEMO.get_or_init(|| write(&library::demo().into(), Shelf::Empty)))?;
    let mut sections = Writer::new();
    while !reader.is_empty() {
        let section = Section::take(&mut reader)?;
        if section.id != id {
            put_section(section.id, section.version, section.content, &mut sections);
        }
    }
    if id == id::SPELT_JSON {
        sections.unsigned(u64::from(id));
        sections.text("a");
        sections.unsigned(0);
        sections.count(content.len());
        sections.raw(content);
    } else {
        put_section(id, VERSION, content, &mut sections);
    }
    let sections = sections.into_bytes();
    Ok(read_sections(&mut Reader::new(&sections))?.into_document().ok_or(Fault::Short)?)
}

/// A reader of the sections of a body.
fn after_head(body: &[u8]) -> Result<Reader<'_>, Fault> {
    let mut reader = Reader::new(body);
    reader.small()?;
    reader.raw(4)?;
    Ok(reader)
}

/// A section as it lies in the bytes.
struct Section<'a> {
    id: u32,
    name: String,
    version: u32,
    content: &'a [u8],
}

impl<'a> Section<'a> {
    fn take(reader: &mut Reader<'a>) -> Result<Self, Fault> {
        let id = reader.small()?;
        let name = match id {
            id::SPELT_BYTES | id::SPELT_JSON => {
                let length = reader.length()?;
                String::from_utf8(reader.raw(length)?.to_vec()).or(Err(Fault::Unknown))?
            }
            _ => format!("#{id}"),
        };
        let version = reader.small()?;
        let length = reader.length()?;
        Ok(Self { id, name, version, content: reader.raw(length)? })
    }
}

/// The sections read so far.
#[derive(Default)]
struct Found {
    used: Used,
    base: Option<Base>,
    head: Option<Head>,
    parts: Option<Vec<Part>>,
    lenses: Option<Vec<Lens>>,
    moves: Option<Vec<Move>>,
    day: Option<Day>,
    tune: Option<Tune>,
    logs: Option<Vec<LoggedBalance>>,
    balancing: Option<Balancing>,
    structure: Option<Structure>,
    foreign: Vec<Foreign>,
    foreign_names: BTreeSet<String>,
}

impl Found {
    fn add(&mut self, section: Section<'_>) -> Result<(), BodyFault> {
        let Section { id, name, version, content } = section;
        if (id::PACKAGE..=id::LAST).contains(&id) && version > VERSION {
            return Err(BodyFault::TooNew(version));
        }
        let mut inside = Reader::new(content);
        let from = &mut inside;
        let used = &mut self.used;
        match id {
            id::PACKAGE => once(&mut self.base, Base::take(&Base::usual(), from)?)?,
            id::HEAD => once(&mut self.head, take_item(None, library::heads(), used, from)?)?,
            id::PARTS => once(&mut self.parts, take_items(library::parts(), used, from)?)?,
            id::LENSES => once(&mut self.lenses, take_items(library::lenses(), used, from)?)?,
            id::MOVES => once(&mut self.moves, take_items(library::moves(), used, from)?)?,
            id::DAY => once(&mut self.day, Day::take(&Day::default(), from)?)?,
            id::TUNE => once(&mut self.tune, Tune::take(&Tune::plain(), from)?)?,
            id::LOGS => once(&mut self.logs, Wire::take(&Vec::new(), from)?)?,
            id::BALANCING => once(&mut self.balancing, Balancing::take(&Balancing::default(), from)?)?,
            id::STRUCTURE => once(&mut self.structure, Structure::take(&Structure::default(), from)?)?,
            id::SPELT_JSON => {
                let body = Body::Json(Json::take(from)?);
                self.keep(Foreign { name, version, body })?;
            }
            _ => return Ok(self.keep(Foreign { name, version, body: Body::Bytes(content.to_vec()) })?),
        }
        if inside.is_empty() { Ok(()) } else { Err(Fault::Unknown.into()) }
    }

    /// Keeps a section that this version does not know. A file has one place for a name: a second one, or one with the
    /// name of a section that is known, would take another's.
    fn keep(&mut self, foreign: Foreign) -> Result<(), Fault> {
        let known = file::SECTIONS.contains(&foreign.name.as_str());
        if known || !self.foreign_names.insert(foreign.name.clone()) {
            return Err(Fault::Unknown);
        }
        self.foreign.push(foreign);
        Ok(())
    }

    /// The document; `None` when a section that every package has is not there.
    fn into_document(self) -> Option<Document> {
        let mut package = self.base?.with_head(self.head?);
        package.parts = self.parts?;
        package.lenses = self.lenses?;
        package.moves = self.moves?;
        package.day = self.day?;
        package.tune = self.tune;
        package.logs = self.logs.unwrap_or_default();
        package.balancing = self.balancing;
        package.structure = self.structure.unwrap_or_default();
        Some(Document { package, foreign: self.foreign })
    }
}

/// Keeps the first section of a kind and refuses a second.
fn once<T>(slot: &mut Option<T>, value: T) -> Result<(), Fault> {
    match slot.replace(value) {
        None => Ok(()),
        Some(_) => Err(Fault::Unknown),
    }
}

fn put_section(id: u32, version: u32, content: &[u8], out: &mut Writer) {
    out.unsigned(u64::from(id));
    out.unsigned(u64::from(version));
    out.count(content.len());
    out.raw(content);
}

fn put_foreign(foreign: &Foreign, out: &mut Writer) {
    let (id, content) = match &foreign.body {
        Body::Json(value) => {
            let mut content = Writer::new();
            value.put(&mut content);
            (id::SPELT_JSON, content.into_bytes())
        }
        Body::Bytes(bytes) => (id::SPELT_BYTES, bytes.clone()),
    };
    // A section that came with a number only goes on under that number.
    match foreign.name.strip_prefix('#').and_then(|number| number.parse().ok()) {
        Some(number) if number > id::LAST && id == id::SPELT_BYTES => {
            put_section(number, foreign.version, &content, out);
        }
        _ => {
            out.unsigned(u64::from(id));
            out.count(foreign.name.len());
            out.raw(foreign.name.as_bytes());
            out.unsigned(u64::from(foreign.version));
            out.count(content.len());
            out.raw(&content);
        }
    }
}

/// The number of the base that is the library's first item.
const FIRST_OF_LIBRARY: usize = 2;

/// Stamps of the library items that a link refers to.
#[derive(Debug, Default)]
struct Used(Vec<u8>);

impl Used {
    /// The item that a base stands for, if it is one of the library.
    fn add<T: Item>(&mut self, base: usize) {
        let stamp = base.checked_sub(FIRST_OF_LIBRARY).and_then(|index| library::stamp(T::LIST, index));
        self.0.extend(stamp.iter().flat_map(|stamp| stamp.to_le_bytes()));
    }

    /// A hash of the stamps of every library item used, in the order of use.
    fn hash(&self) -> u32 {
        crc32(&self.0)
    }
}

/// An item of a list with an identity of its own.
trait Item: Wire + 'static {
    /// Its list in the library.
    const LIST: List;
    /// This item with another identity.
    fn numbered(&self, id: u32) -> Self;
    /// Its identity.
    fn id(&self) -> u32;
}

macro_rules! item {
    ($type:ty, $list:ident) => {
        impl Item for $type {
            const LIST: List = List::$list;
            fn numbered(&self, id: u32) -> Self {
                Self { id, ..self.clone() }
            }
            fn id(&self) -> u32 {
                self.id
            }
        }
    };
}
item!(Part, Parts);
item!(Lens, Lenses);
item!(Move, Moves);

/// A head has no number: one is on.
impl Item for Head {
    const LIST: List = List::Heads;
    fn numbered(&self, _id: u32) -> Self {
        self.clone()
    }
    fn id(&self) -> u32 {
        0
    }
}

fn put_items<T: Item>(items: &[T], library: &'static [T], used: &mut Used, out: &mut Writer) {
    out.count(items.len());
    let mut previous: Option<&T> = None;
    for item in items {
        put_item(item, previous, library, used, out);
        previous = Some(item);
    }
}

fn take_items<T: Item>(library: &'static [T], used: &mut Used, from: &mut Reader<'_>) -> Result<Vec<T>, Fault> {
    let count = from.count()?;
    let mut items: Vec<T> = Vec::new();
    for _ in 0..count {
        let item = take_item(items.last(), library, used, from)?;
        items.push(item);
    }
    Ok(items)
}

/// Number of the base: 0 the plain value, 1 the item before, from 2 the library.
fn base_of<T: Item>(number: usize, previous: Option<&T>, library: &'static [T]) -> Option<T> {
    let id = previous.map_or(1, |previous| previous.id().wrapping_add(1));
    let base = match number {
        0 => T::plain(),
        1 => previous?.clone(),
        _ => library.get(number - FIRST_OF_LIBRARY)?.clone(),
    };
    Some(base.numbered(id))
}

/// Writes an item against whichever base makes it shortest.
fn put_item<T: Item>(item: &T, previous: Option<&T>, library: &'static [T], used: &mut Used, out: &mut Writer) {
    let start = out.mark();
    let mut best: Option<(usize, usize, T)> = None;
    for number in 0..library.len() + FIRST_OF_LIBRARY {
        let Some(base) = base_of(number, previous, library) else { continue };
        let before = out.len();
        item.put(&base, out);
        let length = out.len() - before;
        out.back_to(start);
        if best.as_ref().is_none_or(|(shortest, ..)| length < *shortest) {
            best = Some((length, number, base));
        }
    }
    let (_, number, base) = best.unwrap_or_else(|| (0, 0, T::plain()));
    used.add::<T>(number);
    out.count(number);
    item.put(&base, out);
}

fn take_item<T: Item>(
    previous: Option<&T>,
    library: &'static [T],
    used: &mut Used,
    from: &mut Reader<'_>,
) -> Result<T, Fault> {
    let number = usize::try_from(from.unsigned()?).or(Err(Fault::Unknown))?;
    let base = base_of(number, previous, library).ok_or(Fault::Unknown)?;
    used.add::<T>(number);
    let item = T::take(&base, from)?;
    debug_assert!(!differs(&item, &item), "numbers are finite by construction");
    Ok(item)
}
