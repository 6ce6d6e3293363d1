//! The day on its packs: block after block at the power that each draws, a fresh set wherever one runs out.

use super::discharge::{Bank, Charge, feed_h};
use crate::package::Package;

/// Less than this is no time at all, h.
const INSTANT_H: f64 = 1e-7;
/// After so many pack changes the day is not followed further: no crew changes that often.
const MAX_CHANGES: usize = 99;

/// A stretch of the day during which the draw stays the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Place of its move in the package; `None` where no move has a share of the day.
    pub move_index: Option<usize>,
    /// Its share of the day, 0 to 1.
    pub share: f64,
    /// How long it lasts, h.
    pub hours: f64,
    /// What it draws from the packs, W.
    pub power_w: f64,
}

/// The moves of a package as blocks of its day, in their order, each by its share.
///
/// `motors_w` is what the motors draw in each move, the head's idle draw included; `else_w` what everything else draws.
pub fn blocks(package: &Package, motors_w: &[f64], else_w: f64) -> Vec<Block> {
    let shares: f64 = package.moves.iter().map(|each| each.share).sum();
    if shares <= 0.0 || motors_w.len() != package.moves.len() {
        let power_w = package.head.idle_w + else_w;
        return vec![Block { move_index: None, share: 1.0, hours: package.day.running_h, power_w }];
    }
    let block = |(index, (each, motors_w)): (usize, (&crate::package::Move, &f64))| {
        let share = each.share / shares;
        Block { move_index: Some(index), share, hours: package.day.running_h * share, power_w: motors_w + else_w }
    };
    package.moves.iter().zip(motors_w).enumerate().map(block).collect()
}

/// Mean draw over the day, W.
pub fn mean_w(blocks: &[Block]) -> f64 {
    blocks.iter().map(|block| block.share * block.power_w).sum()
}

/// Where a set of packs is taken off and the next one put on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Running time since the head was switched on, h.
    pub at_h: f64,
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
    /// How long the first set lasts, h; beyond the end of the day at the day's mean draw. `None` when nothing is drawn.
    pub first_set_h: Option<f64>,
    /// The block that full packs cannot feed: the day ends there.
    pub collapses_in: Option<usize>,
    /// More pack changes than anybody makes: the day was not followed to its end.
    pub endless: bool,
}

/// Follows the day. `seen` is told running time and share of charge at every step, and a step is `slice_h` at most.
pub fn follow_day(bank: &Bank, blocks: &[Block], slice_h: f64, seen: &mut dyn FnMut(f64, f64)) -> Timeline {
    let mut day = Timeline { changes: Vec::new(), first_set_h: None, collapses_in: None, endless: false };
    let mut charge = Charge::full(bank);
    let mut fresh = true;
    let mut now_h = 0.0;
    seen(now_h, charge.share(bank));
    for (index, block) in blocks.iter().enumerate() {
        let mut left_h = block.hours;
        while left_h > INSTANT_H {
            let asked_h = left_h.min(slice_h);
            let fed_h = feed_h(bank, &mut charge, block.power_w, asked_h);
            now_h += fed_h;
            left_h -= fed_h;
            seen(now_h, charge.share(bank));
            if asked_h - fed_h <= INSTANT_H {
                fresh = false;
                continue;
            }
            if fresh && fed_h <= INSTANT_H {
                day.collapses_in = Some(index);
                day.first_set_h = Some(day.changes.first().map_or(now_h, |change| change.at_h));
                return day;
            }
            if day.changes.len() == MAX_CHANGES {
                day.endless = true;
                day.first_set_h = day.changes.first().map(|change| change.at_h);
                return day;
            }
            day.changes.push(Change { at_h: now_h, block: index, left: charge.share(bank) });
            charge = Charge::full(bank);
            fresh = true;
            seen(now_h, 1.0);
        }
    }
    day.first_set_h = if let Some(change) = day.changes.first() {
        Some(change.at_h)
    } else {
        let mean_w = mean_w(blocks);
        let further_h = (mean_w > 0.0).then(|| feed_h(bank, &mut charge, mean_w, f64::INFINITY));
        if fresh && further_h == Some(0.0) {
            day.collapses_in = Some(0);
        }
        further_h.map(|further_h| now_h + further_h)
    };
    day
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::package::Pack;
    use crate::power::{open_circuit_v, runtime_h};

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
        Block { move_index: None, share: 0.5, hours, power_w }
    }

    fn follow(bank: &Bank, blocks: &[Block]) -> Timeline {
        follow_day(bank, blocks, f64::INFINITY, &mut |_, _| {})
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
    fn a_block_split_in_two_changes_nothing() {
        let bank = bank(2, 8.0);
        let whole = [block(2.0, 150.0), block(3.0, 95.0)];
        let split = [block(1.0, 150.0), block(1.0, 150.0), block(1.5, 95.0), block(1.5, 95.0)];
        same(&follow(&bank, &whole), &follow(&bank, &split), 1e-9);
        let sliced = follow_day(&bank, &whole, 0.1, &mut |_, _| {});
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
