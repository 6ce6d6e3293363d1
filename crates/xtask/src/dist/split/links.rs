//! What the linker knows and the finished module does not say: which function refers to which constants, and which
//! constants refer to which functions.
//!
//! Read from the relocations that the linker leaves when it is asked to (`--emit-relocs`): the tool conventions of
//! WebAssembly, <https://github.com/WebAssembly/tool-conventions/blob/main/Linking.md>. A constant is known by its place
//! in memory, a function by its name: wasm-bindgen moves neither.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use anyhow::{Context, Result, bail, ensure};
use wasmparser::RelocationType::{MemoryAddrI32, MemoryAddrLeb, MemoryAddrSleb, TableIndexI32, TableIndexSleb};
use wasmparser::{
    Data, DataKind, KnownCustom, Linking, LinkingSectionReader, Name, NameSectionReader, Operator, Parser, Payload,
    RelocSectionReader, RelocationType, SymbolInfo,
};

/// The relocations that stand for an address: of a function in the table, or in memory.
const TO_SYMBOLS: [RelocationType; 5] = [TableIndexSleb, TableIndexI32, MemoryAddrLeb, MemoryAddrSleb, MemoryAddrI32];

/// Something that a piece of code or data refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Target {
    /// The address of a function, by index.
    Function(u32),
    /// A constant, by its place in [`Links::data`].
    Data(usize),
}

/// A piece of memory that the linker treats as one.
#[derive(Debug, Default)]
struct Constant {
    addresses: Range<u32>,
    refers: BTreeSet<Target>,
}

/// Who refers to what.
#[derive(Debug, Default)]
pub(super) struct Links {
    names: BTreeMap<u32, String>,
    /// By name: two functions of one name are taken for one, which keeps more than need be.
    functions: BTreeMap<String, BTreeSet<Target>>,
    data: Vec<Constant>,
}

/// What can be reached from some functions.
#[derive(Debug, Default)]
pub(super) struct Reached<'a> {
    /// Functions whose addresses are taken.
    pub(super) functions: BTreeSet<&'a str>,
    data: BTreeSet<usize>,
}

impl Links {
    /// Whether the linker knew a function of this name.
    pub(super) fn knows(&self, function: &str) -> bool {
        self.functions.contains_key(function)
    }

    /// Adds whatever `function` refers to, directly and through constants; returns the functions whose addresses it
    /// takes and that were not known before.
    pub(super) fn follow<'a>(&'a self, function: &str, reached: &mut Reached<'a>) -> Vec<&'a str> {
        let mut found = Vec::new();
        let mut waiting: Vec<Target> = self.functions.get(function).into_iter().flatten().copied().collect();
        while let Some(target) = waiting.pop() {
            match target {
                Target::Function(index) => {
                    let name = self.names.get(&index).map(String::as_str);
                    found.extend(name.filter(|name| reached.functions.insert(name)));
                }
                Target::Data(at) => {
                    if reached.data.insert(at) {
                        waiting.extend(&self.data[at].refers);
                    }
                }
            }
        }
        found
    }

    /// The stretches of memory that hold only constants which have not been reached.
    pub(super) fn others(&self, reached: &Reached<'_>) -> Vec<Range<u32>> {
        let of = |is: bool| {
            let chosen = self.data.iter().enumerate().filter(move |(at, _)| reached.data.contains(at) == is);
            union(chosen.map(|(_, constant)| constant.addresses.clone()).collect())
        };
        without(of(false), &of(true))
    }

    /// Reads the module that the linker wrote.
    pub(super) fn read(wasm: &[u8]) -> Result<Self> {
        let mut links = Self::default();
        let mut bodies: Vec<(Range<usize>, u32)> = Vec::new();
        let mut segments: Vec<Segment> = Vec::new();
        let mut symbols: Vec<Option<Target>> = Vec::new();
        let (mut imports, mut code, mut data, mut relocations) = (0, (0, 0), (0, 0), Vec::new());
        let mut number = 0;
        for payload in Parser::new(0).parse_all(wasm) {
            let payload = payload?;
            let counted = payload.as_section().is_some();
            match payload {
                Payload::ImportSection(section) => {
                    for import in section.into_imports() {
                        imports += u32::from(matches!(import?.ty, wasmparser::TypeRef::Func(_)));
                    }
                }
                Payload::CodeSectionStart { range, .. } => code = (number, range.start),
                Payload::CodeSectionEntry(body) => {
                    let index = imports + u32::try_from(bodies.len())?;
                    bodies.push((body.range(), index));
                }
                Payload::DataSection(section) => {
                    data = (number, section.range().start);
                    segments = section.into_iter().map(|data| Segment::of(&data?)).collect::<Result<_>>()?;
                }
                Payload::CustomSection(section) => match section.as_known() {
                    KnownCustom::Name(names) => links.read_names(names)?,
                    KnownCustom::Linking(linking) => symbols = links.read_symbols(&linking, &segments)?,
                    KnownCustom::Reloc(section) => {
                        // Debugging sections have relocations of their own, which tell nothing here.
                        let of = [code, data].into_iter().find(|(number, _)| *number == section.section_index());
                        relocations.extend(of.map(|(_, start)| (start, section)));
                    }
                    _ => {}
                },
                _ => {}
            }
            number += u32::from(counted);
        }
        ensure!(!relocations.is_empty(), "the linker has left no relocations");
        for name in links.names.values() {
            links.functions.entry(name.clone()).or_default();
        }
        let mut in_memory = BTreeMap::new();
        for (at, symbol) in places(relocations)? {
            let Some(target) = symbols.get(symbol as usize).copied().flatten() else { continue };
            if let Some(index) = function_at(&bodies, at) {
                let name = links.names.get(&index).with_context(|| format!("function {index} has no name"))?;
                links.functions.entry(name.clone()).or_default().insert(target);
            } else if let Some(address) = segments.iter().find_map(|segment| segment.address_of(at)) {
                in_memory.insert(address, target);
            }
        }
        for constant in &mut links.data {
            constant.refers.extend(in_memory.range(constant.addresses.clone()).map(|(_, target)| *target));
        }
        Ok(links)
    }

    fn read_names(&mut self, names: NameSectionReader<'_>) -> Result<()> {
        for part in names {
            if let Name::Function(map) = part? {
                for naming in map {
                    let naming = naming?;
                    self.names.insert(naming.index, naming.name.to_owned());
                }
            }
        }
        Ok(())
    }

    fn read_symbols(
        &mut self,
        linking: &LinkingSectionReader<'_>,
        segments: &[Segment],
    ) -> Result<Vec<Option<Target>>> {
        let mut symbols = Vec::new();
        for part in linking.subsections() {
            let Linking::SymbolTable(table) = part? else { continue };
            for symbol in table {
                symbols.push(match symbol? {
                    SymbolInfo::Func { index, .. } => Some(Target::Function(index)),
                    SymbolInfo::Data { symbol: Some(found), .. } => {
                        let segment = segments.get(found.index as usize).context("a constant of no segment")?;
                        let start = segment.address + found.offset;
                        self.data.push(Constant { addresses: start..start + found.size, ..Constant::default() });
                        Some(Target::Data(self.data.len() - 1))
                    }
                    _ => None,
                });
            }
        }
        Ok(symbols)
    }
}

/// A stretch of memory that the module fills as it starts.
struct Segment {
    /// Where in the file its bytes stand.
    bytes: Range<usize>,
    /// Where in memory they go.
    address: u32,
}

impl Segment {
    fn of(data: &Data<'_>) -> Result<Self> {
        let DataKind::Active { offset_expr, .. } = &data.kind else { bail!("a data segment without a place") };
        let Operator::I32Const { value } = offset_expr.get_operators_reader().read()? else {
            bail!("a data segment whose place is not a number")
        };
        Ok(Self { bytes: data.range.end - data.data.len()..data.range.end, address: u32::try_from(value)? })
    }

    /// The address in memory of a place in the file.
    fn address_of(&self, at: usize) -> Option<u32> {
        self.bytes.contains(&at).then(|| self.address + u32::try_from(at - self.bytes.start).unwrap_or(u32::MAX))
    }
}

/// Where in the file each relocation is applied, and which symbol stands there. Calls and types tell nothing here.
fn places(sections: Vec<(usize, RelocSectionReader<'_>)>) -> Result<Vec<(usize, u32)>> {
    let mut places = Vec::new();
    for (start, section) in sections {
        for entry in section.entries() {
            let entry = entry?;
            if TO_SYMBOLS.contains(&entry.ty) {
                places.push((start + entry.offset as usize, entry.index));
            }
        }
    }
    Ok(places)
}

/// The function whose body stands at a place in the file.
fn function_at(bodies: &[(Range<usize>, u32)], at: usize) -> Option<u32> {
    let next = bodies.partition_point(|(range, _)| range.start <= at);
    let (range, index) = bodies.get(next.checked_sub(1)?)?;
    range.contains(&at).then_some(*index)
}

/// The union of some stretches, in order and apart.
fn union(mut stretches: Vec<Range<u32>>) -> Vec<Range<u32>> {
    stretches.sort_by_key(|stretch| stretch.start);
    let mut union: Vec<Range<u32>> = Vec::new();
    for stretch in stretches.into_iter().filter(|stretch| !stretch.is_empty()) {
        match union.last_mut() {
            Some(last) if stretch.start <= last.end => last.end = last.end.max(stretch.end),
            _ => union.push(stretch),
        }
    }
    union
}

/// What of `stretches` is not in `holes`; both in order and apart.
pub(super) fn without(stretches: Vec<Range<u32>>, holes: &[Range<u32>]) -> Vec<Range<u32>> {
    let mut left = Vec::new();
    for stretch in stretches {
        let mut start = stretch.start;
        for hole in holes.iter().filter(|hole| hole.end > stretch.start && hole.start < stretch.end) {
            if hole.start > start {
                left.push(start..hole.start);
            }
            start = start.max(hole.end);
        }
        if start < stretch.end {
            left.push(start..stretch.end);
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_are_joined_and_cut() {
        assert_eq!(union(vec![8..10, 0..3, 2..5, 10..12, 7..7]), [0..5, 8..12]);
        assert_eq!(without(vec![0..10, 20..30], &[2..4, 8..22]), [0..2, 4..8, 22..30]);
        assert_eq!(without(vec![5..6, 7..8], &[0..9, 12..13]), []);
    }

    #[test]
    fn what_is_referred_to_through_a_constant_is_reached() {
        // `a` refers to a table of functions in memory that holds `b`; nothing refers to the other constant.
        let constant = |addresses, refers: &[Target]| Constant { addresses, refers: refers.iter().copied().collect() };
        let links = Links {
            names: BTreeMap::from([(0, "a".to_owned()), (1, "b".to_owned())]),
            functions: BTreeMap::from([
                ("a".to_owned(), BTreeSet::from([Target::Data(0)])),
                ("b".to_owned(), BTreeSet::new()),
            ]),
            data: vec![constant(16..24, &[Target::Function(1)]), constant(24..40, &[])],
        };
        let mut reached = Reached::default();
        assert_eq!(links.follow("a", &mut reached), ["b"]);
        let others = links.others(&reached);
        assert!(others.len() == 1 && others[0] == (24..40), "{others:?}");
    }
}
