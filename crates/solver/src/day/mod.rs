//! The day: moves as blocks with clock times, the charge along it, every pack change, chargers, and flying the packs.

mod charging;
mod flying;
mod in_breaks;

pub use crate::power::{CHARGE_H, CHARGER_PLACES};
pub use charging::ChargingReport;
pub use flying::{CARGO, CELL_V, EDITION, FlyRule, FlyingPack, PASSENGER_WH, SPARES, flying_words};
pub use in_breaks::BreakChange;

use serde::Serialize;

use crate::answer::Estimate;
use crate::check::{Solved, motors_w, torque_answer};
use crate::error::InputError;
use crate::package::{BreakKind, MoveId, Package};
use crate::power::{
    Bank, Block, BlockOf, Charger, Timeline, blocks, change_estimate_min, else_w, follow_day, sets, tap_uses,
};
use crate::validate::validate;

/// The charge is told at least so often, h.
const SLICE_H: f64 = 0.25;

/// A day on its packs. All times are minutes after midnight of its first day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayReport {
    /// When the head is switched on.
    pub start_min: f64,
    /// When it is switched off.
    pub end_min: f64,
    /// The moves in their order, each with its share of the running hours, and the breaks between them.
    pub blocks: Vec<DayBlock>,
    /// Every pack change, in order.
    pub changes: Vec<PackChange>,
    /// Changes that a break can take, so that fewer fall into the middle of a move, in order.
    pub break_changes: Vec<BreakChange>,
    /// Every pack change of the day with these in their breaks, a planned one without ±, for it is made by the clock,
    /// and those after it with the ± that has grown since; empty without them.
    pub changes_then: Vec<PackChange>,
    /// The charge along the day; empty when no pack rides.
    pub charge: Vec<ChargePoint>,
    /// Sets of packs that it takes with packs changed as they run out, the first included; absent without packs, or when the day cannot be run through.
    pub sets: Option<u32>,
    /// Packs in one set.
    pub packs_in_set: u32,
    /// Place of the block that full packs cannot feed; absent when they feed all.
    pub collapses_in: Option<usize>,
    /// Whether the sets come round in time; absent without a pack change.
    pub charging: Option<ChargingReport>,
    /// Each kind of pack as air transport sees it.
    pub flying: Vec<FlyingPack>,
}

/// One move of the day, or one break.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayBlock {
    /// The move; that before it for a break; absent when no move has a share of the day.
    pub move_id: Option<MoveId>,
    /// Its name.
    pub name: String,
    /// When it begins.
    pub from_min: f64,
    /// When it ends.
    pub to_min: f64,
    /// What leaves the packs during it, W.
    pub power_w: f64,
    /// What head and packs do in a break; absent for a move.
    pub in_break: Option<BreakKind>,
}

/// One pack change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PackChange {
    /// Clock time. Its ± grows with the running time, for loads and capacity are off in one way all day.
    pub at_min: Estimate,
    /// Place of the block in which it falls.
    pub block: usize,
    /// Name of that move.
    pub name: String,
    /// What is left in the set that comes off, 0 to 1.
    pub left: f64,
    /// When that set is full again.
    pub full_again_min: f64,
}

/// The charge at one time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChargePoint {
    /// When.
    pub at_min: f64,
    /// Share of the usable charge of the set that is on, 0 to 1.
    pub share: f64,
}

/// The day of a package.
///
/// Every move takes its share of the running hours in the order of the package; during it loads and motors draw a
/// constant power; the state of charge is integrated from block to block. Breaks come on top of the running hours:
/// nothing or the idle draw is drawn, and chargers go on.
///
/// # Errors
/// Every fault of the input, each with its field.
///
/// # Source
/// Cell voltage: Chen et al., J. Electrochem. Soc. 167 (2020) 080534. That moves follow each other in the order of the
/// package is an assumption.
pub fn day(package: &Package) -> Result<DayReport, Vec<InputError>> {
    validate(package).map(|()| day_sound(package))
}

fn day_sound(package: &Package) -> DayReport {
    let solved = Solved::new(package);
    let motors_w = motors_w(package, torque_answer(package, &solved).known());
    let blocks = blocks(package, &motors_w, else_w(package, &tap_uses(package)));
    let bank = Bank::of(package);
    let start_min = package.day.start_min;
    let packs_in_set = u32::try_from(bank.packs.len()).unwrap_or(u32::MAX);
    let mut report = DayReport {
        start_min,
        end_min: start_min + 60.0 * package.day_h(),
        blocks: day_blocks(package, &blocks),
        changes: Vec::new(),
        break_changes: Vec::new(),
        changes_then: Vec::new(),
        charge: Vec::new(),
        sets: None,
        packs_in_set,
        collapses_in: None,
        charging: None,
        flying: Vec::new(),
    };
    if packs_in_set == 0 {
        return report;
    }
    let charge = &mut report.charge;
    let timeline = follow_day(&bank, &blocks, &[], Charger::of(&package.day), SLICE_H, &mut |at_h, share| {
        charge.push(ChargePoint { at_min: start_min + 60.0 * at_h, share });
    });
    report.sets = sets(&timeline);
    report.collapses_in = timeline.collapses_in;
    report.changes = changes(package, &timeline, &report.blocks);
    let follow = |fresh_at: &[usize]| {
        follow_day(&bank, &blocks, fresh_at, Charger::of(&package.day), f64::INFINITY, &mut |_, _| {})
    };
    let (break_changes, then) = in_breaks::in_breaks(package, &report.blocks, &timeline, follow);
    report.changes_then = in_breaks::changes_then(package, then.as_ref(), &break_changes, &report.blocks);
    report.break_changes = break_changes;
    report.charging = report.sets.and_then(|_| charging::report(&package.day, &report.changes, &report.changes_then));
    let sets = report.charging.as_ref().map(|charging| charging.sets);
    report.flying = flying::packs(package, sets.or(report.sets).unwrap_or(1));
    report
}

fn day_blocks(package: &Package, blocks: &[Block]) -> Vec<DayBlock> {
    let mut from_min = package.day.start_min;
    let day_block = |block: &Block| {
        let each = block.of.move_index().map(|index| &package.moves[index]);
        let begun_min = from_min;
        from_min += 60.0 * block.hours;
        let name = each.map_or("All day", |each| each.name.as_str());
        let (name, in_break) = match block.of {
            BlockOf::Break(_, kind) => (format!("Break after {name}"), Some(kind)),
            BlockOf::Move(_) | BlockOf::AllDay => (name.to_owned(), None),
        };
        DayBlock {
            move_id: each.map(|each| each.id),
            name,
            from_min: begun_min,
            to_min: from_min,
            power_w: block.power_w,
            in_break,
        }
    };
    blocks.iter().map(day_block).collect()
}

fn changes(package: &Package, timeline: &Timeline, blocks: &[DayBlock]) -> Vec<PackChange> {
    let change = |change: &crate::power::Change| PackChange {
        at_min: change_estimate_min(package, change),
        block: change.block,
        name: blocks[change.block].name.clone(),
        left: change.left,
        full_again_min: package.day.start_min + 60.0 * change.full_again_h,
    };
    timeline.changes.iter().map(change).collect()
}
