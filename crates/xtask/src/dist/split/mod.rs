//! The page's module in two: what the first answer needs, and the rest, which loads right after it.
//!
//! Whatever can be reached only through the [`DOORS`] moves into a second module, functions and constants alike. It shares
//! memory, table and stack with the first. Where the first goes through a door, it calls a slot of the table that the
//! second fills as it starts; until then that slot traps, so the app asks before it goes there (`web/src/later.rs`). Rust
//! compiles and links the app as one program and knows nothing of this.

mod graph;
mod links;
mod rewrite;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use anyhow::{Context, Result, ensure};
use walrus::{ExportItem, FunctionKind, Module, ModuleConfig};

use super::glue::{FROM_GLUE, Glue};
use graph::{Order, calls_of, held_functions};
use links::{Links, Reached};

/// The functions that the first module calls only after it has asked whether the second is there, or for a package that
/// cannot be on the screen before: the demo has no logged balances. Each is marked `#[inline(never)]`, or the build fails
/// because it does not find it.
const DOORS: [&str; 16] = [
    "counterpoise_web::begin",
    "counterpoise_web::open_link",
    "counterpoise_web::screens::view",
    "counterpoise_web::screens::inside::view",
    "<counterpoise_web::state::document::Document>::sketch_by",
    "<counterpoise_web::state::document::Document>::settle_now",
    "<counterpoise_web::state::document::Document>::back",
    "<counterpoise_web::state::document::Document>::forward",
    "<counterpoise_web::storage::keeper::Keeper>::committed",
    "<counterpoise_web::storage::keeper::Keeper>::mirror",
    "<counterpoise_web::storage::queue::Queue>::run_now",
    "<counterpoise_web::storage::record::Record>::to_object",
    "solver::check::check",
    "solver::check::learn",
    "solver::check::learned_report",
    "<solver::balance::learn::Learned>::narrow",
];

/// A module in two.
pub(crate) struct Split {
    /// What loads first.
    pub(crate) first: Vec<u8>,
    /// What loads after it; instantiated with the exports of the first as `first`.
    pub(crate) later: Vec<u8>,
    /// What each imports from the glue, by the names that wasm-bindgen gave it, and its new name.
    pub(crate) first_imports: BTreeMap<String, String>,
    pub(crate) later_imports: BTreeMap<String, String>,
}

/// Splits the module that wasm-bindgen has made of the linker's. Both still have their names, and the linker's has its
/// relocations.
///
/// # Errors
/// A module is none, or is built in a way that this does not understand; a door is missing.
pub(crate) fn split(linked: &[u8], bound: &[u8], glue: &Glue) -> Result<Split> {
    let mut first = parse(bound)?;
    rewrite::keep_exports(&mut first, &glue.called(), glue.renamed());
    let mut later = parse(bound)?;
    let plan = Plan::of(&first, &Links::read(linked)?)?;
    rewrite::shrink_first(&mut first, &plan)?;
    rewrite::keep_later(&mut later, &plan)?;
    let mut names = BTreeMap::new();
    let first_imports = rewrite::shorten_imports(&mut first, FROM_GLUE, &mut names);
    let later_imports = rewrite::shorten_imports(&mut later, FROM_GLUE, &mut names);
    Ok(Split { first: first.emit_wasm(), later: later.emit_wasm(), first_imports, later_imports })
}

fn parse(wasm: &[u8]) -> Result<Module> {
    let mut config = ModuleConfig::new();
    config.generate_name_section(false).generate_producers_section(false);
    let mut module = config.parse(wasm).context("this is not a WebAssembly module")?;
    // What the linker and wasm-bindgen have left for tools like this one is not for the page.
    let notes: Vec<_> = module.customs.iter().map(|(id, _)| id).collect();
    for id in notes {
        module.customs.delete(id);
    }
    Ok(module)
}

/// What goes where. Functions are known by their place in the module, which both copies share.
struct Plan {
    /// Functions that move.
    moved: BTreeSet<usize>,
    /// Slots of the table that hold moved functions.
    slots: BTreeMap<u64, usize>,
    /// A slot for each door.
    slot_of: BTreeMap<usize, u64>,
    /// Functions of the first module that moved ones call.
    needed: BTreeSet<usize>,
    /// Slots that the table needs in all.
    table_size: u64,
    /// Stretches of memory that move.
    memory: Vec<Range<u32>>,
}

impl Plan {
    fn of(module: &Module, links: &Links) -> Result<Self> {
        let order = Order::of(module);
        let doors = doors(module)?;
        let calls: Vec<BTreeSet<usize>> =
            module.funcs.iter().map(|function| calls_of(&function.kind, &order)).collect();
        let (table, held) = held_functions(module, &order)?;

        let names = names(module);
        let mut by_name: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (at, name) in names.iter().enumerate() {
            by_name.entry(name.unwrap_or_default()).or_default().push(at);
        }
        let (stays, reached) = (BTreeSet::new(), Reached::default());
        let mut walk = Walk { names, by_name, calls: &calls, doors: &doors, links, stays, reached };
        let exported = module.exports.iter().filter_map(|export| match export.item {
            ExportItem::Function(id) => Some(order.at(id)),
            _ => None,
        });
        // What wasm-bindgen has put into the table, the linker knows nothing of.
        let unknown = held.values().copied().filter(|at| !walk.names[*at].is_some_and(|name| links.knows(name)));
        let roots = exported.chain(unknown).chain(module.start.map(|id| order.at(id))).collect();
        walk.from(roots);

        let own =
            module.funcs.iter().enumerate().filter(|(_, function)| matches!(function.kind, FunctionKind::Local(_)));
        let moved: BTreeSet<usize> = own.map(|(at, _)| at).filter(|at| !walk.stays.contains(at)).collect();
        let mut slots: BTreeMap<u64, usize> = held.into_iter().filter(|(_, at)| moved.contains(at)).collect();
        let mut slot_of: BTreeMap<usize, u64> = slots.iter().map(|(slot, at)| (*at, *slot)).collect();
        let mut table_size = module.tables.get(table).initial;
        for at in walk.stays.iter().flat_map(|at| &calls[*at]).filter(|at| moved.contains(at)) {
            slot_of.entry(*at).or_insert_with(|| {
                slots.insert(table_size, *at);
                table_size += 1;
                table_size - 1
            });
        }
        let is_own = |at: usize| matches!(module.funcs.get(order.ids[at]).kind, FunctionKind::Local(_));
        let called = moved.iter().flat_map(|at| &calls[*at]).copied();
        let needed = called.filter(|at| !moved.contains(at) && is_own(*at)).collect();
        let memory = links.others(&walk.reached);
        Ok(Self { moved, slots, slot_of, needed, table_size, memory })
    }
}

/// The way through everything that the first module needs.
struct Walk<'a> {
    names: Vec<Option<&'a str>>,
    by_name: BTreeMap<&'a str, Vec<usize>>,
    calls: &'a [BTreeSet<usize>],
    doors: &'a BTreeSet<usize>,
    links: &'a Links,
    stays: BTreeSet<usize>,
    reached: Reached<'a>,
}

impl Walk<'_> {
    fn from(&mut self, mut waiting: Vec<usize>) {
        while let Some(at) = waiting.pop() {
            if self.doors.contains(&at) || !self.stays.insert(at) {
                continue;
            }
            waiting.extend(&self.calls[at]);
            if let Some(name) = self.names[at] {
                for taken in self.links.follow(name, &mut self.reached) {
                    waiting.extend(self.by_name.get(taken).into_iter().flatten());
                }
            }
        }
    }
}

fn names(module: &Module) -> Vec<Option<&str>> {
    module.funcs.iter().map(|function| function.name.as_deref()).collect()
}

/// The places of the doors.
fn doors(module: &Module) -> Result<BTreeSet<usize>> {
    let mut doors = BTreeSet::new();
    let mut missing = BTreeSet::from(DOORS);
    for (at, name) in names(module).into_iter().enumerate() {
        let name = name.map(|name| format!("{:#}", rustc_demangle::demangle(name)));
        if let Some(door) = name.and_then(|name| DOORS.into_iter().find(|door| *door == name)) {
            missing.remove(door);
            doors.insert(at);
        }
    }
    ensure!(missing.is_empty(), "the module has no function called {missing:?}: was it inlined or renamed?");
    Ok(doors)
}
