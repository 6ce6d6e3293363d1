//! The day on its packs: block after block at the power that each draws, a fresh set wherever one runs out.

use super::charger::Charger;
use super::discharge::{Bank, Charge, feed_h};
use crate::package::{Break, BreakKind, Package};

/// Less than this is no time at all, h.
const INSTANT_H: f64 = 1e-7;
/// After so many pack changes the day is not followed further: no crew changes that often.
const MAX_CHANGES: usize = 99;

/// A stretch of the day during which the draw stays the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// What it is.
    pub of: BlockOf,
    /// Its share of the running hours, 0 to 1; none for a break.
    pub share: f64,
    /// How long it lasts, h.
    pub hours: f64,
    /// What it draws from the packs, W.
    pub power_w: f64,
}

/// What a stretch of the day is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockOf {
    /// The move at this place of the package.
    Move(usize),
    /// The break after that move.
    Break(usize, BreakKind),
    /// All of it, where no move has a share.
    AllDay,
}

impl BlockOf {
    /// Whether the packs that were on are on the charger.
    fn charges(self) -> bool {
        matches!(self, Self::Break(_, BreakKind::Charging))
    }

    /// Place of its move, or of the move before the break.
    pub fn move_index(self) -> Option<usize> {
        match self {
            Self::Move(index) | Self::Break(index, _) => Some(index),
            Self::AllDay => None,
        }
    }
}

/// The moves of a package as blocks of its day, in their order, each by its share, with the breaks between them.
///
/// `motors_w` is what the motors draw in each move, the head's idle draw included; `else_w` what everything else draws.
pub fn blocks(package: &Package, motors_w: &[f64], else_w: f64) -> Vec<Block> {
    let idle_w = package.head.idle_w + else_w;
    let shares: f64 = package.moves.iter().map(|each| each.share).sum();
    if shares <= 0.0 || motors_w.len() != package.moves.len() {
        return vec![Block { of: BlockOf::AllDay, share: 1.0, hours: package.day.running_h, power_w: idle_w }];
    }
    let mut blocks = Vec::new();
    for (index, (each, motors_w)) in package.moves.iter().zip(motors_w).enumerate() {
        let share = each.share / shares;
        let hours = package.day.running_h * share;
        blocks.push(Block { of: BlockOf::Move(index), share, hours, power_w: motors_w + else_w });
        if let Some(Break { length_min, kind }) = each.break_after {
            let power_w = if kind.draws() { idle_w } else { 0.0 };
            blocks.push(Block { of: BlockOf::Break(index, kind), share: 0.0, hours: length_min / 60.0, power_w });
        }
    }
    blocks
}

impl Package {
    /// From switching on to switching off, h: the running hours and every break. Where no move has a share there is
    /// nothing to break.
    pub fn day_h(&self) -> f64 {
        self.day.running_h + self.breaks_h(|_| true)
    }

    /// For how long of the day packs feed, h: the running hours and every break with the head on.
    pub(crate) fn fed_h(&self) -> f64 {
        self.day.running_h + self.breaks_h(BreakKind::draws)
    }

    fn breaks_h(&self, counts: impl Fn(BreakKind) -> bool) -> f64 {
        let whole = self.moves.iter().map(|each| each.share).sum::<f64>() > 0.0;
        let breaks = self.moves.iter().filter(|_| whole).filter_map(|each| each.break_after);
        breaks.filter(|each| counts(each.kind)).map(|each| each.length_min / 60.0).sum()
    }
}

/// Mean draw over the running hours, W.
pub fn mean_w(blocks: &[Block]) -> f64 {
    blocks.iter().map(|block| block.share * block.power_w).sum()
}

/// Where a set of packs is taken off and the next one put on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Time since the head was switched on, breaks included, h.
    pub at_h: f64,
    /// For how long packs have fed until then, h.
    pub fed_h: f64,
    /// When the set that comes off is full again, h since the head was switched on.
    pub full_again_h: f64,
    /// The block in which it falls.
    pub block: usize,
    /// What is left in the set that comes off, 0 to 1: more than nothing where it stands too low for what is drawn.
    pub left: f64,
}

/// A day followed from one end to the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Every pack change, in order.
    pub changes: Vec<Change>,
    /// How long the first set feeds, h; beyond the end of the day at the day's mean draw. `None` when nothing is drawn.
    pub first_set_h: Option<f64>,
    /// The block that full packs cannot feed: the day ends there.
    pub collapses_in: Option<usize>,
    /// More pack changes than anybody makes: the day was not followed to its end.
    pub endless: bool,
}

/// Follows the day. A full set is put on at the start of the blocks `fresh_at`, by choice and not because the packs are
/// empty. `seen` is told time and share of charge at every step, and a step is `slice_h` at most. Sets that
/// come off go on the charger, and so do those of a break that says so.
pub fn follow_day(
    bank: &Bank,
    blocks: &[Block],
    fresh_at: &[usize],
    mut charger: Charger,
    slice_h: f64,
    seen: &mut dyn FnMut(f64, f64),
) -> Timeline {
    let mut day = Timeline { changes: Vec::new(), first_set_h: None, collapses_in: None, endless: false };
    let mut charge = Charge::full(bank);
    let mut fresh = true;
    let (mut now_h, mut fed_h) = (0.0, 0.0);
    seen(now_h, charge.share(bank));
    for (index, block) in blocks.iter().enumerate() {
        if fresh_at.contains(&index) && !fresh {
            let full_again_h = charger.full_again_h(now_h, bank.packs.len());
            day.changes.push(Change { at_h: now_h, fed_h, full_again_h, block: index, left: charge.share(bank) });
            charge = Charge::full(bank);
            fresh = true;
            seen(now_h, 1.0);
        }
        if let BlockOf::Break(_, BreakKind::Off | BreakKind::Charging) = block.of {
            if block.of.charges() {
                charger.top_up(now_h, block.hours, &mut charge.0);
                fresh = charge.0.iter().all(|share| *share >= 1.0);
            }
            now_h += block.hours;
            seen(now_h, charge.share(bank));
            continue;
        }
        let mut left_h = block.hours;
        while left_h > INSTANT_H {
            let asked_h = left_h.min(slice_h);
            let step_h = feed_h(bank, &mut charge, block.power_w, asked_h);
            now_h += step_h;
            fed_h += step_h;
            left_h -= step_h;
            seen(now_h, charge.share(bank));
            if asked_h - step_h <= INSTANT_H {
                fresh = false;
                continue;
            }
            if fresh && step_h <= INSTANT_H {
                day.collapses_in = Some(index);
                day.first_set_h = Some(day.changes.first().map_or(fed_h, |change| change.fed_h));
                return day;
            }
            if day.changes.len() == MAX_CHANGES {
                day.endless = true;
                day.first_set_h = day.changes.first().map(|change| change.fed_h);
                return day;
            }
            let full_again_h = charger.full_again_h(now_h, bank.packs.len());
            day.changes.push(Change { at_h: now_h, fed_h, full_again_h, block: index, left: charge.share(bank) });
            charge = Charge::full(bank);
            fresh = true;
            seen(now_h, 1.0);
        }
    }
    day.first_set_h = if let Some(change) = day.changes.first() {
        Some(change.fed_h)
    } else {
        let mean_w = mean_w(blocks);
        let further_h = (mean_w > 0.0).then(|| feed_h(bank, &mut charge, mean_w, f64::INFINITY));
        if fresh && further_h == Some(0.0) {
            day.collapses_in = Some(0);
        }
        further_h.map(|further_h| fed_h + further_h)
    };
    day
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::package::Pack;
    use crate::power::{open_circuit_v, runtime_h};

    /// Hours in which the charger of these tests fills an empty pack.
    const CHARGE_H: f64 = 2.0;

    fn rest(hours: f64, kind: BreakKind, power_w: f64) -> Block {
        Block { of: BlockOf::Break(0, kind), share: 0.0, hours, power_w }
    }

    fn bank(packs: usize, capacity_ah: f64) -> Bank {
        let pack = Pack {
            cells: 6.0,
            capacity_ah,
            resistance_ohm: 0.1,
            usable_share: 0.9,
            cutoff_v_cell: 3.0,
            rated_wh: None,
        };
        Bank { packs: vec![pack; packs] }
    }

    fn block(hours: f64, power_w: f64) -> Block {
        Block { of: BlockOf::AllDay, share: 0.5, hours, power_w }
    }

    fn follow(bank: &Bank, blocks: &[Block]) -> Timeline {
        follow_day(bank, blocks, &[], Charger::new(4, CHARGE_H), f64::INFINITY, &mut |_, _| {})
    }

    fn same(one: &Timeline, other: &Timeline, slack_h: f64) {
        assert_eq!(one.changes.len(), other.changes.len(), "{one:?}\n{other:?}");
        for (one, other) in one.changes.iter().zip(&other.changes) {
            assert!((one.at_h - other.at_h).abs() < slack_h, "{one:?} {other:?}");
        }
    }

    /// Euler's method in steps of a second, one pack at a time: nothing of the solver's but the curve of a cell.
    fn by_seconds(bank: &Bank, blocks: &[Block]) -> Vec<f64> {
        let pack = &bank.packs[0];
        let step_h = 1.0 / 3_600.0;
        let (mut charge, mut now_h, mut changes) = (1.0, 0.0, Vec::new());
        for block in blocks {
            let each_w = block.power_w / bank.packs.len() as f64;
            let end_h = now_h + block.hours;
            match block.of {
                BlockOf::Break(_, BreakKind::Off) => now_h = end_h,
                BlockOf::Break(_, BreakKind::Charging) => {
                    charge = 1.0_f64.min(charge + block.hours / CHARGE_H);
                    now_h = end_h;
                }
                _ => {}
            }
            while now_h < end_h {
                let open_v = pack.cells * open_circuit_v(charge);
                let square = open_v * open_v - 4.0 * pack.resistance_ohm * each_w;
                let bus_v = 0.5 * (open_v + libm::sqrt(square.max(0.0)));
                if square < 0.0 || bus_v < pack.cells * pack.cutoff_v_cell || charge <= 0.0 {
                    changes.push(now_h);
                    charge = 1.0;
                    continue;
                }
                charge -= each_w / bus_v * step_h / (pack.capacity_ah * pack.usable_share);
                now_h += step_h;
            }
        }
        changes
    }

    #[test]
    fn a_day_of_blocks_agrees_with_steps_of_a_second() {
        let bank = bank(2, 8.0);
        let blocks = [block(1.7, 140.0), block(0.8, 310.0), block(2.6, 90.0), block(3.1, 205.0)];
        let (day, expected) = (follow(&bank, &blocks), by_seconds(&bank, &blocks));
        assert!(expected.len() >= 3, "{expected:?}");
        assert_eq!(day.changes.len(), expected.len());
        for (change, expected) in day.changes.iter().zip(&expected) {
            // Euler's error over a set is of the order of a step.
            assert!((change.at_h - expected).abs() < 10.0 / 3_600.0, "{change:?} {expected}");
        }
    }

    #[test]
    fn a_day_with_breaks_agrees_with_steps_of_a_second() {
        let bank = bank(2, 8.0);
        // The second charge fills the set: what would go in after that is lost. No charger place is taken before it.
        let blocks = [
            block(0.6, 140.0),
            rest(0.5, BreakKind::Charging, 0.0),
            block(0.4, 310.0),
            rest(2.5, BreakKind::Charging, 0.0),
            block(1.9, 160.0),
            rest(0.75, BreakKind::Off, 0.0),
            block(1.2, 205.0),
            rest(1.0, BreakKind::HeadOn, 45.0),
            block(2.0, 205.0),
        ];
        let (day, expected) = (follow(&bank, &blocks), by_seconds(&bank, &blocks));
        assert!(expected.len() >= 2, "{expected:?}");
        assert_eq!(day.changes.len(), expected.len(), "{day:?} {expected:?}");
        for (change, expected) in day.changes.iter().zip(&expected) {
            assert!((change.at_h - expected).abs() < 10.0 / 3_600.0, "{change:?} {expected}");
        }
    }

    #[test]
    fn a_break_with_all_off_only_puts_off_what_follows() {
        let bank = bank(2, 8.0);
        let plain = follow(&bank, &[block(2.0, 150.0), block(3.0, 95.0)]);
        let broken = follow(&bank, &[block(2.0, 150.0), rest(1.0, BreakKind::Off, 0.0), block(3.0, 95.0)]);
        assert_eq!(plain.changes.len(), broken.changes.len());
        assert!(!plain.changes.is_empty() && plain.first_set_h == broken.first_set_h);
        for (one, other) in plain.changes.iter().zip(&broken.changes) {
            let later_h = if one.at_h > 2.0 { 1.0 } else { 0.0 };
            assert!((one.at_h + later_h - other.at_h).abs() < 1e-9 && (one.fed_h - other.fed_h).abs() < 1e-9);
        }
    }

    #[test]
    fn a_block_split_in_two_changes_nothing() {
        let bank = bank(2, 8.0);
        let whole = [block(2.0, 150.0), block(3.0, 95.0)];
        let split = [block(1.0, 150.0), block(1.0, 150.0), block(1.5, 95.0), block(1.5, 95.0)];
        same(&follow(&bank, &whole), &follow(&bank, &split), 1e-9);
        let sliced = follow_day(&bank, &whole, &[], Charger::new(4, CHARGE_H), 0.1, &mut |_, _| {});
        same(&follow(&bank, &whole), &sliced, 1e-9);
    }

    #[test]
    fn twice_the_packs_at_twice_the_draw_last_as_long() {
        let blocks = [block(2.0, 150.0), block(3.0, 95.0)];
        let doubled = blocks.map(|each| Block { power_w: 2.0 * each.power_w, ..each });
        same(&follow(&bank(2, 8.0), &blocks), &follow(&bank(4, 8.0), &doubled), 1e-9);
    }

    #[test]
    fn one_block_is_the_runtime_over_and_over() {
        let bank = bank(2, 8.0);
        let whole = runtime_h(&bank, 150.0).unwrap_or_default();
        let day = follow(&bank, &[block(2.5 * whole, 150.0)]);
        assert_eq!(day.changes.len(), 2);
        assert!((day.changes[1].at_h - 2.0 * whole).abs() < 1e-9, "{day:?}");
    }

    #[test]
    fn what_outlasts_the_day_goes_on_at_its_mean_draw() {
        let bank = bank(2, 8.0);
        let whole = runtime_h(&bank, 100.0).unwrap_or_default();
        let day = follow(&bank, &[block(0.5, 100.0), block(0.5, 100.0)]);
        assert!(day.changes.is_empty());
        assert!((day.first_set_h.unwrap_or_default() - whole).abs() < 1e-9, "{day:?}");
    }

    #[test]
    fn packs_that_stand_too_low_for_the_next_block_are_changed_at_its_start() {
        let mut bank = bank(1, 8.0);
        bank.packs[0].resistance_ohm = 0.4;
        let gentle = runtime_h(&bank, 40.0).unwrap_or_default();
        let day = follow(&bank, &[block(0.7 * gentle, 40.0), block(0.2, 180.0)]);
        assert_eq!(day.changes.len(), 1);
        assert!(day.changes[0].block == 1 && day.changes[0].left > 0.1, "{day:?}");
        assert!((day.changes[0].at_h - 0.7 * gentle).abs() < 1e-9);
    }

    #[test]
    fn a_block_past_the_power_limit_ends_the_day() {
        let bank = bank(1, 8.0);
        let day = follow(&bank, &[block(1.0, 60.0), block(1.0, 5_000.0)]);
        assert_eq!(day.collapses_in, Some(1));
    }

    #[test]
    fn a_day_without_hours_still_tells_what_full_packs_cannot_feed() {
        let bank = bank(1, 8.0);
        assert_eq!(follow(&bank, &[block(0.0, 5_000.0), block(0.0, 5_000.0)]).collapses_in, Some(0));
        assert_eq!(follow(&bank, &[block(0.0, 60.0), block(0.0, 60.0)]).collapses_in, None);
    }

    #[test]
    fn a_day_of_seconds_is_given_up() {
        let day = follow(&bank(1, 0.1), &[block(48.0, 100.0)]);
        assert!(day.endless && day.changes.len() == MAX_CHANGES);
    }
}
