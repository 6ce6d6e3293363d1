//! The modules, each made from a copy of the whole by taking out what the others have.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use anyhow::{Context, Result, bail};
use walrus::ir::{Call, CallIndirect, Const, Instr, InstrSeq, Value, VisitorMut};
use walrus::{
    ConstExpr, DataKind, ElementItems, ElementKind, ExportItem, FunctionKind, GlobalId, GlobalKind, ImportKind,
    ImportedFunction, Module, TableId,
};

use super::graph::Order;
use super::{MODULES, Plan};

/// Takes out the functions that load later, and goes through the table to reach them.
pub(super) fn shrink_first(module: &mut Module, plan: &Plan) -> Result<()> {
    let order = Order::of(module);
    let table = module.tables.main_function_table()?.context("the module has no function table")?;
    go_through_table(module, &order, plan, 0)?;
    // A slot whose function has moved traps until the module that has it fills it.
    let mut empty = walrus::FunctionBuilder::new(&mut module.types, &[], &[]);
    empty.func_body().unreachable();
    let empty = empty.finish(Vec::new(), &mut module.funcs);
    for element in module.elements.iter_mut() {
        if let ElementItems::Functions(functions) = &mut element.items {
            for id in functions {
                if order.places.get(id).is_some_and(|at| plan.level[*at] > 0) {
                    *id = empty;
                }
            }
        }
    }
    let size = module.tables.get_mut(table);
    size.initial = plan.table_size;
    size.maximum = size.maximum.map(|most| most.max(plan.table_size));

    let segments: Vec<_> = module.data.iter().map(walrus::Data::id).collect();
    for id in segments {
        let data = module.data.get_mut(id);
        let address = address(&data.kind)?;
        for stretch in plan.memory.iter().flatten() {
            let part = overlap(address, data.value.len(), stretch);
            data.value[part].fill(0);
        }
    }
    hand_out(module, &order, plan, 0);
    for (number, id) in tables(module).into_iter().enumerate() {
        module.exports.add(&format!("t{number}"), id);
    }
    for (number, id) in globals(module).into_iter().enumerate() {
        module.exports.add(&format!("g{number}"), id);
    }
    walrus::passes::gc::run(module);
    Ok(())
}

/// Keeps those exported functions that the glue calls, some under a new name.
pub(super) fn keep_exports(module: &mut Module, called: &BTreeSet<String>, renamed: &BTreeMap<String, String>) {
    let exports: Vec<_> = module.exports.iter().map(walrus::Export::id).collect();
    for id in exports {
        let export = module.exports.get_mut(id);
        if matches!(export.item, ExportItem::Function(_)) && !called.contains(&export.name) {
            module.exports.delete(id);
        } else if let Some(name) = renamed.get(&export.name) {
            export.name.clone_from(name);
        }
    }
}

/// Gives what a module imports from the glue the shortest names there are, and says which; `names` are known already.
pub(super) fn shorten_imports(
    module: &mut Module,
    from: &str,
    names: &mut BTreeMap<String, String>,
) -> BTreeMap<String, String> {
    let mut own = BTreeMap::new();
    for import in module.imports.iter_mut().filter(|import| !MODULES.contains(&import.module.as_str())) {
        let next = short_name(names.len());
        let name = names.entry(import.name.clone()).or_insert(next).clone();
        own.insert(std::mem::replace(&mut import.name, name.clone()), name);
        from.clone_into(&mut import.module);
    }
    own
}

/// The name with this number, shortest first.
fn short_name(number: usize) -> String {
    const LETTERS: &[u8; 52] = b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let last = char::from(LETTERS[number % LETTERS.len()]);
    match number / LETTERS.len() {
        0 => last.to_string(),
        before => format!("{}{last}", short_name(before - 1)),
    }
}

/// Lets the functions of one module that later ones call be imported from it.
fn hand_out(module: &mut Module, order: &Order, plan: &Plan, level: usize) {
    for at in plan.needed.iter().filter(|at| plan.level[**at] == level) {
        module.exports.add(&key(*at), order.ids[*at]);
    }
}

/// Lets the functions of one module call those of later ones through the table.
fn go_through_table(module: &mut Module, order: &Order, plan: &Plan, level: usize) -> Result<()> {
    let table = module.tables.main_function_table()?.context("the module has no function table")?;
    let signatures = signatures(module);
    for (_, id) in order.ids.iter().enumerate().filter(|(at, _)| plan.level[*at] == level) {
        if let FunctionKind::Local(function) = &mut module.funcs.get_mut(*id).kind {
            let entry = function.entry_block();
            let mut through = ThroughTable { order, plan, level, table, signatures: &signatures };
            walrus::ir::dfs_pre_order_mut(&mut through, function, entry);
        }
    }
    Ok(())
}

/// The type of every function, by its place.
fn signatures(module: &Module) -> Vec<walrus::TypeId> {
    module.funcs.iter().map(walrus::Function::ty).collect()
}

/// Turns calls of functions that load later into calls through the table.
struct ThroughTable<'a> {
    order: &'a Order,
    plan: &'a Plan,
    level: usize,
    table: TableId,
    signatures: &'a [walrus::TypeId],
}

impl VisitorMut for ThroughTable<'_> {
    fn start_instr_seq_mut(&mut self, sequence: &mut InstrSeq) {
        let mut instructions = Vec::with_capacity(sequence.instrs.len());
        for (instruction, place) in sequence.instrs.drain(..) {
            let slot = match &instruction {
                Instr::Call(Call { func }) => {
                    let at = self.order.at(*func);
                    (self.plan.level[at] > self.level).then(|| (self.plan.slot_of[&at], self.signatures[at]))
                }
                _ => None,
            };
            match slot {
                Some((slot, ty)) => {
                    let slot = i32::try_from(slot).unwrap_or(i32::MAX);
                    instructions.push((Instr::Const(Const { value: Value::I32(slot) }), place));
                    instructions.push((Instr::CallIndirect(CallIndirect { ty, table: self.table }), place));
                }
                None => instructions.push((instruction, place)),
            }
        }
        sequence.instrs = instructions;
    }
}

/// Keeps the functions of one module after the first only; all else comes from those before it.
pub(super) fn keep_level(module: &mut Module, plan: &Plan, level: usize) -> Result<()> {
    let order = Order::of(module);
    let table = module.tables.main_function_table()?.context("the module has no function table")?;
    let memory = module.get_memory_id()?;

    go_through_table(module, &order, plan, level)?;
    for at in plan.needed.iter().filter(|at| plan.level[**at] < level) {
        let id = order.ids[*at];
        let ty = module.funcs.get(id).ty();
        let import = module.imports.add(MODULES[plan.level[*at]], &key(*at), ImportKind::Function(id));
        module.funcs.get_mut(id).kind = FunctionKind::Import(ImportedFunction { import, ty });
    }
    for (number, id) in globals(module).into_iter().enumerate() {
        let import = module.imports.add(MODULES[0], &format!("g{number}"), ImportKind::Global(id));
        module.globals.get_mut(id).kind = GlobalKind::Import(import);
    }
    let import = module.imports.add(MODULES[0], "memory", ImportKind::Memory(memory));
    module.memories.get_mut(memory).import = Some(import);
    module.memories.get_mut(memory).data_segments.clear();
    for (number, id) in tables(module).into_iter().enumerate() {
        let import = module.imports.add(MODULES[0], &format!("t{number}"), ImportKind::Table(id));
        let shared = module.tables.get_mut(id);
        shared.import = Some(import);
        shared.elem_segments.clear();
    }
    let shared = module.tables.get_mut(table);
    shared.initial = plan.table_size;
    shared.maximum = shared.maximum.map(|most| most.max(plan.table_size));

    let data: Vec<_> = module.data.iter().map(walrus::Data::id).collect();
    for id in data {
        let (value, from) = (module.data.get(id).value.clone(), address(&module.data.get(id).kind)?);
        module.data.delete(id);
        for stretch in &plan.memory[level] {
            let part = overlap(from, value.len(), stretch);
            if value[part.clone()].iter().any(|byte| *byte != 0) {
                let place = i32::try_from(from as usize + part.start)?;
                let kind = DataKind::Active { memory, offset: ConstExpr::Value(Value::I32(place)) };
                let added = module.data.add(kind, value[part].to_vec());
                module.memories.get_mut(memory).data_segments.insert(added);
            }
        }
    }
    let elements: Vec<_> = module.elements.iter().map(walrus::Element::id).collect();
    for id in elements {
        module.elements.delete(id);
    }
    let exports: Vec<_> = module.exports.iter().map(walrus::Export::id).collect();
    for id in exports {
        module.exports.delete(id);
    }
    module.start = None;
    hand_out(module, &order, plan, level);

    let own = plan.slots.iter().filter(|(_, at)| plan.level[**at] == level).map(|(slot, at)| (*slot, *at)).collect();
    for (offset, functions) in runs(&own) {
        let functions = functions.into_iter().map(|at| order.ids[at]).collect();
        let offset = ConstExpr::Value(Value::I32(i32::try_from(offset)?));
        let element = module.elements.add(ElementKind::Active { table, offset }, ElementItems::Functions(functions));
        module.tables.get_mut(table).elem_segments.insert(element);
    }
    walrus::passes::gc::run(module);
    Ok(())
}

/// Slots that follow each other, together.
fn runs(slots: &BTreeMap<u64, usize>) -> Vec<(u64, Vec<usize>)> {
    let mut runs: Vec<(u64, Vec<usize>)> = Vec::new();
    for (slot, at) in slots {
        match runs.last_mut() {
            Some((start, functions)) if *start + functions.len() as u64 == *slot => functions.push(*at),
            _ => runs.push((*slot, vec![*at])),
        }
    }
    runs
}

/// Globals that both modules share, in a fixed order.
fn globals(module: &Module) -> Vec<GlobalId> {
    module.globals.iter().map(walrus::Global::id).collect()
}

/// Tables that both modules share, in a fixed order: of functions, and of what JavaScript has handed over.
fn tables(module: &Module) -> Vec<TableId> {
    module.tables.iter().map(walrus::Table::id).collect()
}

/// The name under which the first module hands out a function.
fn key(at: usize) -> String {
    format!("f{at:x}")
}

/// Where in memory a segment goes.
fn address(kind: &DataKind) -> Result<u32> {
    match kind {
        DataKind::Active { offset: ConstExpr::Value(Value::I32(address)), .. } => Ok(u32::try_from(*address)?),
        _ => bail!("a data segment of a kind that the linker does not write"),
    }
}

/// The part of a segment of `length` bytes at `address` that a stretch of memory covers.
fn overlap(address: u32, length: usize, stretch: &Range<u32>) -> Range<usize> {
    let place = |at: u32| (at.saturating_sub(address) as usize).min(length);
    place(stretch.start)..place(stretch.end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slots_in_a_row_are_one_segment() {
        let slots = BTreeMap::from([(3, 10), (4, 11), (9, 12)]);
        assert_eq!(runs(&slots), [(3, vec![10, 11]), (9, vec![12])]);
    }

    #[test]
    fn names_are_short_and_never_the_same() {
        let names: BTreeSet<String> = (0..3000).map(short_name).collect();
        assert_eq!(
            (names.len(), short_name(0), short_name(51), short_name(52)),
            (3000, "a".into(), "Z".into(), "aa".into())
        );
    }

    #[test]
    fn a_stretch_is_cut_to_the_segment() {
        assert_eq!(overlap(100, 10, &(95..104)), 0..4);
        assert_eq!(overlap(100, 10, &(104..200)), 4..10);
        assert!(overlap(100, 10, &(50..60)).is_empty());
    }
}
