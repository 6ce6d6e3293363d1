//! Pack changes that fall into a planned break: where the packs would run out in a move and changing them in the break
//! before it leaves fewer changes in the middle of a move.

use serde::Serialize;

use super::{DayBlock, DayReport, PackChange};
use crate::answer::Estimate;
use crate::finding_words::{clock, due_min, due_within_min};
use crate::package::Package;
use crate::power::{Change, SURE, Timeline, change_estimate_min, sets};

/// A pack change that a break can take.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BreakChange {
    /// Place of the break among the blocks.
    pub block: usize,
    /// Its name.
    pub name: String,
    /// Clock time at which it begins.
    pub at_min: f64,
    /// What is left then in the set that comes off, 0 to 1.
    pub left: f64,
    /// Name of the move in which that set would run out.
    pub runs_out_in: String,
    /// Place of that move among the blocks.
    pub runs_out_block: usize,
    /// How far into that move it would, min: as uncertain as the time of that change.
    pub into_min: Estimate,
    /// Whether it may run out before the break begins: what is left then is less than twice the ± of the change.
    pub may_come_before: bool,
    /// By how many fewer changes then fall into the middle of a move.
    pub saves: usize,
}

impl BreakChange {
    /// The sentence or two that a person reads.
    pub fn words(&self) -> String {
        let Estimate { value, u } = self.into_min;
        let begin = format!("Change the packs in the {}, at {}", small(&self.name), clock(self.at_min));
        let (into, within) = (told_into_min(value, u), due_within_min(u));
        let fate = if value < 1.0 {
            format!("they stand too low to begin {}", self.runs_out_in)
        } else {
            format!("they would run out about {into:.0}\u{a0}min into {}, ±{within}\u{a0}min", self.runs_out_in)
        };
        let before = if self.may_come_before { " They may run out before it: keep a set at hand." } else { "" };
        format!("{begin}: {fate}.{before}")
    }
}

impl DayReport {
    /// When the packs are changed with these changes in their breaks, as one sentence, and one more where that takes more
    /// sets; `None` without them.
    pub fn then_words(&self) -> Option<String> {
        let one = |change: &PackChange| {
            let Estimate { value, u } = change.at_min;
            if self.blocks[change.block].in_break.is_some() && u == 0.0 {
                return format!("at {} in the {}", clock(value), small(&change.name));
            }
            format!("at {} ±{}\u{a0}min in {}", clock(due_min(value, u)), due_within_min(u), change.name)
        };
        let told: Vec<String> = self.changes_then.iter().map(one).collect();
        let sets = told.len() + 1;
        let more = self.sets.is_some_and(|fewest| sets > fewest as usize);
        let more = if more { format!(" That takes {sets} sets.") } else { String::new() };
        (!told.is_empty()).then(|| format!("Packs are then changed {}.{more}", told.join("; ")))
    }
}

/// How far into a move, as it is told: to five minutes where it is known to ten or worse, never as nothing.
fn told_into_min(into_min: f64, u_min: f64) -> f64 {
    let step_min = if u_min < 10.0 { 1.0 } else { 5.0 };
    step_min * libm::round(into_min / step_min).max(1.0)
}

/// "Break after …" inside a sentence.
fn small(name: &str) -> String {
    name.strip_prefix("Break").map_or_else(|| name.to_owned(), |rest| format!("break{rest}"))
}

/// The breaks in which packs are best changed, and the day with these changes; none where no break saves one.
///
/// Packs changed in every break leave the fewest changes in the middle of a move, for fresher packs never run out sooner.
/// Of these breaks all are passed over, the earliest first, without which there are as few: what is left is needed, and as
/// late as it can be. `follow` gives the day with a full set put on in these breaks.
pub(super) fn in_breaks(
    package: &Package,
    blocks: &[DayBlock],
    plain: &Timeline,
    follow: impl Fn(&[usize]) -> Timeline,
) -> (Vec<BreakChange>, Option<Timeline>) {
    let none = || (Vec::new(), None);
    let breaks: Vec<usize> = (0..blocks.len()).filter(|block| blocks[*block].in_break.is_some()).collect();
    if breaks.is_empty() || in_moves(plain, blocks) == 0 || sets(plain).is_none() {
        return none();
    }
    let fewest = in_moves(&follow(&breaks), blocks);
    if fewest >= in_moves(plain, blocks) {
        return none();
    }
    let mut planned = breaks.clone();
    for block in &breaks {
        let without = without(&planned, *block);
        if in_moves(&follow(&without), blocks) <= fewest {
            planned = without;
        }
    }
    let day = follow(&planned);
    let one = |block: &usize| {
        let rest = without(&planned, *block);
        let other = follow(&rest);
        let instead = day.changes.iter().find(|change| change.block == *block)?;
        let change = other.changes.iter().find(|change| change.at_h > instead.at_h)?;
        let fed_h = change.fed_h - instead.fed_h;
        let saves = in_moves(&other, blocks).saturating_sub(fewest);
        Some(told(package, blocks, &since_planned(change, &other, &rest), instead, fed_h, saves))
    };
    (planned.iter().filter_map(one).collect(), Some(day))
}

fn without(planned: &[usize], block: usize) -> Vec<usize> {
    planned.iter().copied().filter(|each| *each != block).collect()
}

/// A change whose uncertainty begins at the last planned one before it: that is made by the clock.
fn since_planned(change: &Change, day: &Timeline, planned: &[usize]) -> Change {
    let mut before = day.changes.iter().filter(|each| planned.contains(&each.block) && each.at_h <= change.at_h);
    Change { fed_h: change.fed_h - before.next_back().map_or(0.0, |each| each.fed_h), ..*change }
}

/// How many changes fall into the middle of a move.
fn in_moves(day: &Timeline, blocks: &[DayBlock]) -> usize {
    day.changes.iter().filter(|change| blocks[change.block].in_break.is_none()).count()
}

/// `fed_h` is for how long the packs would still have fed after the break.
fn told(
    package: &Package,
    blocks: &[DayBlock],
    change: &Change,
    instead: &Change,
    fed_h: f64,
    saves: usize,
) -> BreakChange {
    let at_min = change_estimate_min(package, change);
    let (taken, run_out) = (&blocks[instead.block], &blocks[change.block]);
    BreakChange {
        block: instead.block,
        name: taken.name.clone(),
        at_min: taken.from_min,
        left: instead.left,
        runs_out_in: run_out.name.clone(),
        runs_out_block: change.block,
        into_min: Estimate::new((at_min.value - run_out.from_min).max(0.0), at_min.u),
        may_come_before: 60.0 * fed_h < SURE * at_min.u,
        saves,
    }
}

/// The changes of a day with full sets put on in these breaks.
pub(super) fn changes_then(
    package: &Package,
    day: Option<&Timeline>,
    found: &[BreakChange],
    blocks: &[DayBlock],
) -> Vec<PackChange> {
    let planned: Vec<usize> = found.iter().map(|each| each.block).collect();
    let Some(day) = day else { return Vec::new() };
    let changes = day.changes.iter().map(|change| since_planned(change, day, &planned)).collect();
    super::changes(package, &Timeline { changes, ..day.clone() }, blocks)
}
