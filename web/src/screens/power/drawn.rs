//! The day as a printed rule: clock times along its edge, moves as blocks above it, the charge as a line, pack changes as
//! the red pencil marks them.

use quantity::clock;
use solver::day::{DayBlock, DayReport, PackChange};
use solver::finding_words::due_min;

use super::due;
use crate::dom::{El, svg};
use crate::drawing::pen::Pen;
use crate::drawing::projection::Frame;

/// The drawing is at most this wide, px: one of its units is one pixel, so that its words are as large as others.
const WIDEST: f64 = 544.0;
/// From either edge to the ends of the day.
const LEFT: f64 = 46.0;
const RIGHT: f64 = 16.0;
/// The blocks, the charge, and the edge of the rule under it.
const BLOCKS: [f64; 2] = [4.0, 28.0];
const CHARGE: [f64; 2] = [36.0, 104.0];
/// Base lines of the clock times on the rule, and of those of the changes.
const TIMES: f64 = 126.0;
const CHANGES: [f64; 2] = [144.0, 160.0];
/// Below the last of them.
const FOOT: f64 = 5.0;
/// Widths of a letter and of a clock time, so that words stay apart.
const LETTER: f64 = 7.6;
const TIME: f64 = 44.0;
/// Left free beside the name of a block.
const PADDING: f64 = 4.0;

/// Where times and charge lie on the sheet.
struct Sheet {
    wide: f64,
    from_min: f64,
    to_min: f64,
}

impl Sheet {
    fn new(day: &DayReport, wide_px: f64) -> Self {
        Self { wide: wide_px.min(WIDEST), from_min: day.start_min, to_min: day.end_min.max(day.start_min + 1.0) }
    }

    fn x(&self, at_min: f64) -> f64 {
        let along = ((at_min - self.from_min) / (self.to_min - self.from_min)).clamp(0.0, 1.0);
        LEFT + (self.wide - LEFT - RIGHT) * along
    }

    fn at(&self, at_min: f64, share: f64) -> [f64; 2] {
        let [top, bottom] = CHARGE;
        [self.x(at_min), bottom - (bottom - top) * share.clamp(0.0, 1.0)]
    }

    /// Minutes between two times on the rule: the least of the usual steps at which they stay apart.
    fn step_min(&self) -> f64 {
        let per_min = (self.wide - LEFT - RIGHT) / (self.to_min - self.from_min);
        let apart = |step: &f64| step * per_min >= TIME;
        [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 240.0, 360.0].into_iter().find(apart).unwrap_or(720.0)
    }

    fn frame(&self, from_min: f64, to_min: f64, [top, bottom]: [f64; 2]) -> Frame {
        Frame { left: self.x(from_min), top, right: self.x(to_min), bottom }
    }

    fn block(&self, block: &DayBlock) -> Frame {
        self.frame(block.from_min, block.to_min, BLOCKS)
    }

    fn holds(&self, block: &DayBlock, words: &str) -> bool {
        words.chars().count() as f64 * LETTER <= self.block(block).width() - PADDING
    }

    /// What stands in a block: its name, or else the number that the name has below the drawing. Words are never cut.
    fn label(&self, place: usize, block: &DayBlock) -> String {
        let number = (place + 1).to_string();
        let fits = [name(block), &number].into_iter().find(|words| self.holds(block, words));
        fits.unwrap_or_default().to_owned()
    }
}

/// The drawing. What it shows stands in words below it.
pub(super) fn view(day: &DayReport, wide_px: f64) -> El {
    let sheet = Sheet::new(day, wide_px);
    let changes: Vec<String> = day.changes.iter().map(|change| due(change.at_min)).collect();
    let told = if changes.is_empty() { "none".to_owned() } else { changes.join(", ") };
    let due = due_times(&sheet, &day.changes);
    let lowest = due.iter().map(|(_, row, _)| CHANGES[*row]).fold(TIMES, f64::max);
    svg("svg")
        .class("day__rule")
        .attr("viewBox", &format!("0 0 {:.0} {}", sheet.wide, lowest + FOOT))
        .attr("role", "img")
        .attr("aria-label", &format!("The day on a rule of clock times. Pack changes: {told}{}", in_breaks(day)))
        .attr("data-test", "day-rule")
        .children(blocks(&sheet, day))
        .children(scale(&sheet))
        .children(marks(&sheet, &day.changes))
        .children(planned(&sheet, day))
        .children(charge(&sheet, day))
        .children(due.iter().map(|(x, row, told)| word("day__due", [*x, CHANGES[*row]], told)))
}

fn path(class: &str, pen: Pen) -> El {
    svg("path").class(class).attr("d", &pen.done())
}

fn word(class: &str, [x, y]: [f64; 2], words: &str) -> El {
    svg("text").class(class).attr("x", &format!("{x:.1}")).attr("y", &format!("{y:.1}")).words(words)
}

fn blocks(sheet: &Sheet, day: &DayReport) -> Vec<El> {
    let one = |(place, block): (usize, &DayBlock)| {
        let frame = sheet.block(block);
        let mut pen = Pen::default();
        pen.rectangle(&frame);
        let class = if block.in_break.is_some() { "day__break" } else { "day__block" };
        let middle = [0.5 * (frame.left + frame.right), BLOCKS[1] - 7.5];
        [path(class, pen), word("day__name", middle, &sheet.label(place, block))]
    };
    day.blocks.iter().enumerate().flat_map(one).collect()
}

/// What a block of the day is called.
pub(super) fn name(block: &DayBlock) -> &str {
    if block.in_break.is_some() { "Break" } else { &block.name }
}

/// Whether a block is too short for its name, so that numbers must lead from the drawing to the names below it.
pub(super) fn is_numbered(day: &DayReport, wide_px: f64) -> bool {
    let sheet = Sheet::new(day, wide_px);
    day.blocks.iter().any(|block| !sheet.holds(block, name(block)))
}

/// Edge, ticks, clock times, and what full and empty are.
fn scale(sheet: &Sheet) -> Vec<El> {
    let [top, bottom] = CHARGE;
    let step_min = sheet.step_min();
    let (mut ticks, mut grid) = (Pen::default(), Pen::default());
    ticks.line(&[[sheet.x(sheet.from_min), bottom], [sheet.x(sheet.to_min), bottom]]);
    let mut drawn = Vec::new();
    let mut at_min = step_min * (sheet.from_min / step_min).ceil();
    while at_min <= sheet.to_min + 1e-6 {
        let x = sheet.x(at_min);
        ticks.line(&[[x, bottom], [x, bottom + 7.0]]);
        grid.line(&[[x, top], [x, bottom]]);
        drawn.push(word("day__time", [x, TIMES], &clock(at_min)));
        at_min += step_min;
    }
    grid.line(&[[LEFT, top], [sheet.wide - RIGHT, top]]);
    let full = word("day__share", [LEFT - 4.0, top + 4.0], "full");
    let empty = word("day__share", [LEFT - 4.0, bottom], "empty");
    [path("day__grid", grid), path("day__edge", ticks), full, empty].into_iter().chain(drawn).collect()
}

fn charge(sheet: &Sheet, day: &DayReport) -> Option<El> {
    let mut pen = Pen::default();
    // One stroke a set: where the next begins, the share jumps up at once; on the charger it rises in time.
    for set in day.charge.chunk_by(|one, next| next.share <= one.share || next.at_min > one.at_min) {
        let points: Vec<[f64; 2]> = set.iter().map(|point| sheet.at(point.at_min, point.share)).collect();
        pen.line(&points);
    }
    (!day.charge.is_empty()).then(|| path("day__charge", pen))
}

/// Where there is room for the time of a change: along the sheet, and in which row.
fn due_times(sheet: &Sheet, changes: &[PackChange]) -> Vec<(f64, usize, String)> {
    let mut free = CHANGES.map(|_| f64::NEG_INFINITY);
    let place = |change: &PackChange| {
        let middle = sheet.x(change.at_min.value).clamp(0.5 * TIME, sheet.wide - 0.5 * TIME);
        let row = free.iter().position(|free| *free <= middle - 0.5 * TIME)?;
        free[row] = middle + 0.5 * TIME;
        Some((middle, row, clock(due_min(change.at_min.value, change.at_min.u))))
    };
    changes.iter().filter_map(place).collect()
}

/// Every change with its ± as a washed band, and a filled pointer on the rule.
fn marks(sheet: &Sheet, changes: &[PackChange]) -> Vec<El> {
    let (mut washes, mut lines) = (Pen::default(), Pen::default());
    for change in changes {
        let (at_min, u_min) = (change.at_min.value, change.at_min.u);
        let x = sheet.x(at_min);
        washes.rectangle(&sheet.frame(at_min - u_min, at_min + u_min, CHARGE));
        lines.line(&[[x, CHARGE[0]], [x, CHARGE[1]]]);
        lines.outline(&[[x, CHARGE[1]], [x - 4.5, CHARGE[1] + 9.0], [x + 4.5, CHARGE[1] + 9.0]]);
    }
    vec![path("day__wash", washes), path("day__change", lines)]
}

/// Every change that a break can take: an open pointer where the break begins, for it is not made yet.
fn planned(sheet: &Sheet, day: &DayReport) -> Option<El> {
    let mut pen = Pen::default();
    for change in &day.break_changes {
        let x = sheet.x(change.at_min);
        pen.line(&[[x, CHARGE[0]], [x, CHARGE[1]]]);
        pen.outline(&[[x, CHARGE[1]], [x - 4.5, CHARGE[1] + 9.0], [x + 4.5, CHARGE[1] + 9.0]]);
    }
    (!day.break_changes.is_empty()).then(|| path("day__planned", pen).test("day-planned"))
}

/// The same in words; nothing where no break takes one.
fn in_breaks(day: &DayReport) -> String {
    let told: Vec<String> = day.break_changes.iter().map(|change| clock(change.at_min)).collect();
    if told.is_empty() { String::new() } else { format!(". Better in a break: {}", told.join(", ")) }
}

#[cfg(test)]
mod tests {
    use solver::package::{Break, BreakKind};

    use super::*;

    fn day(running_h: f64) -> DayReport {
        let mut package = codec::library::demo();
        package.day.running_h = running_h;
        solver::day(&package).expect("valid")
    }

    #[test]
    fn everything_lies_on_the_sheet_and_in_the_order_of_time() {
        for hours in [0.0, 0.3, 5.5, 14.0, 48.0] {
            let day = day(hours);
            let sheet = Sheet::new(&day, 328.0);
            let mut before = 0.0;
            for point in &day.charge {
                let [x, y] = sheet.at(point.at_min, point.share);
                assert!(x >= before && (LEFT..=sheet.wide - RIGHT + 1e-9).contains(&x), "{hours} h: {x}");
                assert!((CHARGE[0]..=CHARGE[1]).contains(&y), "{hours} h: {y}");
                before = x;
            }
        }
    }

    #[test]
    fn clock_times_stay_apart() {
        for hours in [0.3, 1.0, 5.5, 14.0, 48.0] {
            let sheet = Sheet::new(&day(hours), 328.0);
            let step = sheet.x(sheet.from_min + sheet.step_min()) - sheet.x(sheet.from_min);
            assert!(step >= TIME.min(sheet.wide - LEFT - RIGHT) - 1e-9, "{hours} h: {step}");
        }
    }

    #[test]
    fn the_times_of_changes_never_overlap() {
        for hours in [5.5, 14.0, 48.0] {
            let day = day(hours);
            let told = due_times(&Sheet::new(&day, 328.0), &day.changes);
            assert!(!told.is_empty());
            for row in 0..CHANGES.len() {
                let places: Vec<f64> = told.iter().filter(|(_, at, _)| *at == row).map(|(x, ..)| *x).collect();
                assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= TIME), "{hours} h: {places:?}");
            }
        }
    }

    #[test]
    fn a_name_stands_whole_in_its_block_or_below_under_a_number() {
        let mut package = codec::library::demo();
        package.moves[0].break_after = Some(Break { length_min: 30.0, kind: BreakKind::Off });
        let day = solver::day(&package).expect("valid");
        let sheet = Sheet::new(&day, 328.0);
        let label = |place: usize| sheet.label(place, &day.blocks[place]);
        assert_eq!(day.blocks[1].in_break, Some(BreakKind::Off));
        assert_eq!(label(1), "2");
        assert!(is_numbered(&day, 328.0));
        for (place, block) in day.blocks.iter().enumerate() {
            assert!([name(block), "", &(place + 1).to_string()].contains(&label(place).as_str()));
        }
        // A long break on a wide sheet says what it is.
        package.moves[0].break_after = Some(Break { length_min: 240.0, kind: BreakKind::Off });
        let day = solver::day(&package).expect("valid");
        assert_eq!(Sheet::new(&day, WIDEST).label(1, &day.blocks[1]), "Break");
    }
}
