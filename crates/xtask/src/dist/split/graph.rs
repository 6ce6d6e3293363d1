//! Which function calls which, and what the function table holds.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result, bail};
use walrus::ir::{Call, RefFunc, Value, Visitor};
use walrus::{ConstExpr, ElementId, ElementItems, ElementKind, FunctionId, FunctionKind, Module, TableId};

/// The places of functions, there and back.
pub(super) struct Order {
    pub(super) ids: Vec<FunctionId>,
    pub(super) places: BTreeMap<FunctionId, usize>,
}

impl Order {
    pub(super) fn of(module: &Module) -> Self {
        let ids: Vec<FunctionId> = module.funcs.iter().map(walrus::Function::id).collect();
        let places = ids.iter().enumerate().map(|(at, id)| (*id, at)).collect();
        Self { ids, places }
    }

    pub(super) fn at(&self, id: FunctionId) -> usize {
        self.places[&id]
    }
}

/// The functions that a function calls.
pub(super) fn calls_of(kind: &FunctionKind, order: &Order) -> BTreeSet<usize> {
    struct Calls<'a> {
        order: &'a Order,
        found: BTreeSet<usize>,
    }
    impl Visitor<'_> for Calls<'_> {
        fn visit_call(&mut self, call: &Call) {
            self.found.insert(self.order.at(call.func));
        }
        fn visit_ref_func(&mut self, reference: &RefFunc) {
            self.found.insert(self.order.at(reference.func));
        }
    }
    let mut calls = Calls { order, found: BTreeSet::new() };
    if let FunctionKind::Local(function) = kind {
        walrus::ir::dfs_in_order(&mut calls, function, function.entry_block());
    }
    calls.found
}

/// The function table, and which function each of its slots holds at the start.
pub(super) fn held_functions(module: &Module, order: &Order) -> Result<(TableId, BTreeMap<u64, usize>)> {
    let table = module.tables.main_function_table()?.context("the module has no function table")?;
    let mut held = BTreeMap::new();
    for element in module.elements.iter() {
        let (offset, functions) = active(element.id(), module, table)?;
        held.extend(functions.iter().enumerate().map(|(at, id)| (offset + at as u64, order.at(*id))));
    }
    Ok((table, held))
}

/// Offset and functions of a segment of the function table.
fn active(id: ElementId, module: &Module, main: TableId) -> Result<(u64, &[FunctionId])> {
    let element = module.elements.get(id);
    match (&element.kind, &element.items) {
        (
            ElementKind::Active { table, offset: ConstExpr::Value(Value::I32(offset)) },
            ElementItems::Functions(functions),
        ) if *table == main => Ok((u64::try_from(*offset)?, functions)),
        (ElementKind::Declared, ElementItems::Functions(_)) => Ok((0, &[])),
        _ => bail!("a table segment of a kind that the linker does not write"),
    }
}
