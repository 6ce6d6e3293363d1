//! The page's module in three: what the first answer needs, what reads what is kept or sent, and the rest.
//!
//! Whatever can be reached only through the [`DOORS`] moves into a module that loads later, functions and constants
//! alike. All share memory, table and stack. Where a module goes through a door to one that loads after it, it calls a
//! slot of the table that the other fills as it starts; until then that slot traps, so the app asks before it goes there
//! (`web/src/later.rs`). Rust compiles and links the app as one program and knows nothing of this.

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

/// The modules, in the order in which they load: under these names a later one imports from them.
pub(crate) const MODULES: [&str; 3] = ["first", "reader", "later"];

/// The functions that modules which load earlier call only after they have asked whether the module is there in which
/// they stand, or for a package that cannot be on the screen before: the demo has no logged balances. By module, the
/// first of which needs none. Each is marked `#[inline(never)]`, or the build fails because it does not find it.
const DOORS: [&[&str]; MODULES.len()] = [
    &[],
    &[
        "counterpoise_web::begin",
        "counterpoise_web::open_link",
        "solver::check::check",
        "solver::check::learn",
        "solver::check::learned_report",
        "<solver::balance::learn::Learned>::left_open",
        "<solver::balance::learn::Learned>::narrow",
        "<solver::balance::learn::Learned>::mass_u_kg",
        "<solver::balance::learn::Learned>::camera_cg_u_m",
    ],
    &[
        "counterpoise_web::rehearsal::begin",
        "counterpoise_web::screens::view",
        "counterpoise_web::screens::inside::view",
        "counterpoise_web::screens::fit::follow",
        "counterpoise_web::screens::stiffness::follow",
        "counterpoise_web::dom::list::heir",
        "counterpoise_web::dom::list::focus",
        "<counterpoise_web::state::document::Document>::sketch_by",
        "<counterpoise_web::state::document::Document>::settle_now",
        "<counterpoise_web::state::document::Document>::back",
        "<counterpoise_web::state::document::Document>::forward",
        "<counterpoise_web::storage::keeper::Keeper>::committed",
        "<counterpoise_web::storage::keeper::Keeper>::keep_changed_now",
        "<counterpoise_web::storage::keeper::Keeper>::mirror",
        "<counterpoise_web::storage::queue::Queue>::run_now",
        "<counterpoise_web::storage::record::Record>::to_object",
    ],
];

/// A module of the page.
pub(crate) struct Part {
    /// The module; instantiated with the exports of those before it under their names.
    pub(crate) wasm: Vec<u8>,
    /// What it imports from the glue, by the names that wasm-bindgen gave it, and its new name.
    pub(crate) imports: BTreeMap<String, String>,
}

/// Splits the module that wasm-bindgen has made of the linker's. Both still have their names, and the linker's has its
/// relocations.
///
/// # Errors
/// A module is none, or is built in a way that this does not understand; a door is missing.
pub(crate) fn split(linked: &[u8], bound: &[u8], glue: &Glue) -> Result<[Part; MODULES.len()]> {
    let mut whole = parse(bound)?;
    rewrite::keep_exports(&mut whole, &glue.called(), glue.renamed());
    let plan = Plan::of(&whole, &Links::read(linked)?)?;
    rewrite::shrink_first(&mut whole, &plan)?;
    let mut names = BTreeMap::new();
    let mut part = |mut module: Module| {
        let imports = rewrite::shorten_imports(&mut module, FROM_GLUE, &mut names);
        Part { wasm: module.emit_wasm(), imports }
    };
    let first = part(whole);
    let mut rest = Vec::new();
    for level in 1..MODULES.len() {
        let mut module = parse(bound)?;
        rewrite::keep_level(&mut module, &plan, level)?;
        rest.push(part(module));
    }
    [first].into_iter().chain(rest).collect::<Vec<_>>().try_into().or(Err(anyhow::anyhow!("a module is missing")))
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

/// What goes where. Functions are known by their place in the module, which all copies share.
struct Plan {
    /// The module of each function, by its number in [`MODULES`].
    level: Vec<usize>,
    /// Slots of the table that hold functions of the modules after the first.
    slots: BTreeMap<u64, usize>,
    /// A slot for each function that an earlier module calls.
    slot_of: BTreeMap<usize, u64>,
    /// Functions that a later module calls.
    needed: BTreeSet<usize>,
    /// Slots that the table needs in all.
    table_size: u64,
    /// Stretches of memory that the modules after the first fill.
    memory: [Vec<Range<u32>>; MODULES.len()],
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
        let (found, reached) = (BTreeMap::new(), Reached::default());
        let mut walk = Walk { names, by_name, calls: &calls, doors: &doors, links, found, reached };
        let exported = module.exports.iter().filter_map(|export| match export.item {
            ExportItem::Function(id) => Some(order.at(id)),
            _ => None,
        });
        // What wasm-bindgen has put into the table, the linker knows nothing of.
        let unknown = held.values().copied().filter(|at| !walk.names[*at].is_some_and(|name| links.knows(name)));
        let mut roots: Vec<usize> = exported.chain(unknown).chain(module.start.map(|id| order.at(id))).collect();
        let mut memory: [Vec<Range<u32>>; MODULES.len()] = Default::default();
        for level in 0..MODULES.len() - 1 {
            walk.from(roots, level);
            let left = links.others(&walk.reached);
            memory[level] = links::without(std::mem::take(&mut memory[level]), &left);
            memory[level + 1] = left;
            roots = doors.iter().filter(|(_, of)| **of == level + 1).map(|(at, _)| *at).collect();
        }

        let is_own = |at: usize| matches!(module.funcs.get(order.ids[at]).kind, FunctionKind::Local(_));
        let last = MODULES.len() - 1;
        let level: Vec<usize> = (0..order.ids.len())
            .map(|at| if is_own(at) { walk.found.get(&at).copied().unwrap_or(last) } else { 0 })
            .collect();
        let mut slots: BTreeMap<u64, usize> = held.into_iter().filter(|(_, at)| level[*at] > 0).collect();
        let mut slot_of: BTreeMap<usize, u64> = slots.iter().map(|(slot, at)| (*at, *slot)).collect();
        let mut table_size = module.tables.get(table).initial;
        let mut needed = BTreeSet::new();
        for (from, to) in calls.iter().enumerate().flat_map(|(from, to)| to.iter().map(move |to| (from, *to))) {
            if level[to] > level[from] {
                slot_of.entry(to).or_insert_with(|| {
                    slots.insert(table_size, to);
                    table_size += 1;
                    table_size - 1
                });
            } else if level[to] < level[from] && is_own(to) {
                needed.insert(to);
            }
        }
        Ok(Self { level, slots, slot_of, needed, table_size, memory })
    }
}

/// The way through everything that one module after the other needs.
struct Walk<'a> {
    names: Vec<Option<&'a str>>,
    by_name: BTreeMap<&'a str, Vec<usize>>,
    calls: &'a [BTreeSet<usize>],
    doors: &'a BTreeMap<usize, usize>,
    links: &'a Links,
    /// The module in which each function has been found to be needed first.
    found: BTreeMap<usize, usize>,
    reached: Reached<'a>,
}

impl Walk<'_> {
    fn from(&mut self, mut waiting: Vec<usize>, level: usize) {
        while let Some(at) = waiting.pop() {
            if self.doors.get(&at).is_some_and(|of| *of > level) || self.found.contains_key(&at) {
                continue;
            }
            self.found.insert(at, level);
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

/// The places of the doors, and the module that each leads to.
fn doors(module: &Module) -> Result<BTreeMap<usize, usize>> {
    let all = || DOORS.into_iter().enumerate().flat_map(|(level, doors)| doors.iter().map(move |door| (*door, level)));
    let mut doors = BTreeMap::new();
    let mut missing: BTreeSet<&str> = all().map(|(door, _)| door).collect();
    for (at, name) in names(module).into_iter().enumerate() {
        let name = name.map(|name| format!("{:#}", rustc_demangle::demangle(name)));
        if let Some((door, level)) = name.and_then(|name| all().find(|(door, _)| *door == name)) {
            missing.remove(door);
            doors.insert(at, level);
        }
    }
    ensure!(missing.is_empty(), "the module has no function called {missing:?}: was it inlined or renamed?");
    Ok(doors)
}
