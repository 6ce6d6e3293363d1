//! Pack changes in planned breaks: against every choice of breaks, each day cut into days of their own.

use proptest::prelude::*;
use solver::Package;
use solver::day::{DayReport, day};
use solver::package::{Break, BreakKind};

/// Hours of the moves, and the breaks after them.
type Cut = (Vec<f64>, Vec<(f64, usize)>);

const KINDS: [BreakKind; 3] = [BreakKind::Off, BreakKind::HeadOn, BreakKind::Charging];

/// The demonstration, its moves over and over, each with its hours and the minutes of the break after it (0 for none).
fn of(hours: &[f64], breaks: &[(f64, usize)]) -> Package {
    let mut package = codec::library::demo();
    let moves = package.moves.clone();
    package.day.running_h = hours.iter().sum();
    package.moves = hours
        .iter()
        .zip(breaks)
        .enumerate()
        .map(|(place, (hours, (length_min, kind)))| {
            let mut each = moves[place % moves.len()].clone();
            each.id = u32::try_from(place).expect("a few") + 1;
            each.name = format!("Move {}", place + 1);
            each.share = hours / package.day.running_h;
            each.break_after = (*length_min > 0.0).then_some(Break { length_min: *length_min, kind: KINDS[*kind] });
            each
        })
        .collect();
    package
}

fn run(package: &Package) -> DayReport {
    day(package).expect("a valid package")
}

fn in_moves(report: &DayReport) -> usize {
    report.changes.iter().filter(|change| report.blocks[change.block].in_break.is_none()).count()
}

/// The days into which changes in the breaks after these moves cut a day: each begins with full packs.
fn cut(hours: &[f64], breaks: &[(f64, usize)], after: &[usize]) -> Vec<Cut> {
    let mut days = Vec::new();
    let mut from = 0;
    for end in after.iter().copied().chain([hours.len() - 1]) {
        let mut own = breaks[from..=end].to_vec();
        own.last_mut().expect("a move").0 = 0.0;
        days.push((hours[from..=end].to_vec(), own));
        from = end + 1;
    }
    days
}

/// A day whose packs run out soon after lunch: they are changed at lunch, and the rest of the day is one that begins then.
#[test]
fn packs_that_run_out_soon_after_a_break_are_changed_in_it() {
    let (hours, breaks) = ([2.7, 4.0], [(45.0, 0), (0.0, 0)]);
    let report = run(&of(&hours, &breaks));
    let [change] = &report.break_changes[..] else { panic!("{:?}", report.break_changes) };
    assert_eq!((change.runs_out_in.as_str(), change.saves), ("Move 2", 1));
    let plain = report.changes[0].at_min;
    let begins_min = report.blocks[change.runs_out_block].from_min;
    assert!(
        (change.into_min.value - (plain.value - begins_min)).abs() < 1e-9 && (change.into_min.u - plain.u).abs() < 1e-9
    );
    assert!(change.may_come_before, "a quarter of an hour at ± 20 min");
    let words = change.words();
    for part in [
        "Change the packs in the break after Move 1, at 08:42",
        "about 15\u{a0}min into Move 2, ±20",
        "keep a set at hand",
    ] {
        assert!(words.contains(part), "{part} is not in {words}");
    }
    // The rest is a day of its own that begins after lunch.
    let [lunch, rest @ ..] = &report.changes_then[..] else { panic!("{:?}", report.changes_then) };
    assert!(lunch.at_min.u == 0.0 && (lunch.at_min.value - report.blocks[1].from_min).abs() < 1e-9);
    let mut own = of(&hours[1..], &breaks[1..]);
    own.moves[0] = solver::package::Move { id: 1, share: 1.0, ..of(&hours, &breaks).moves[1].clone() };
    own.day.start_min = report.blocks[2].from_min;
    let own = run(&own);
    assert_eq!(rest.len(), own.changes.len());
    assert!(!rest.is_empty());
    for (one, other) in rest.iter().zip(&own.changes) {
        assert!((one.at_min.value - other.at_min.value).abs() < 1e-6, "{one:?} {other:?}");
        assert!((one.at_min.u - other.at_min.u).abs() < 1e-6, "{one:?} {other:?}");
    }
    assert!(report.then_words().is_some_and(|words| words.contains("at 08:42 in the break after Move 1; at ")));
}

/// Two breaks that spare one change in a move between them: a set more goes on, and whoever charges or flies packs is told
/// of it.
#[test]
fn changes_in_breaks_that_take_a_set_more_are_counted() {
    let report = run(&of(&[0.5, 2.7, 3.4], &[(30.0, 0), (30.0, 0), (0.0, 0)]));
    assert_eq!((report.sets, report.changes_then.len()), (Some(3), 3), "{:?}", report.changes_then);
    assert!(report.then_words().is_some_and(|words| words.ends_with(". That takes 4 sets.")));
    let charging = report.charging.expect("pack changes");
    assert_eq!(charging.sets, 4);
    assert!(charging.words().contains("4 sets before the day"), "{}", charging.words());
    let packs: u32 = report.flying.iter().map(|kind| kind.count).sum();
    assert_eq!(packs, 4 * report.packs_in_set);
}

/// Packs that outlast the day, or that a change at lunch would not spare another, are left alone.
#[test]
fn a_break_that_saves_no_change_is_left_alone() {
    for (hours, breaks) in [([1.0, 1.0], [(45.0, 0), (0.0, 0)]), ([0.2, 8.0], [(45.0, 0), (0.0, 0)])] {
        let report = run(&of(&hours, &breaks));
        assert!(report.break_changes.is_empty() && report.changes_then.is_empty(), "{:?}", report.break_changes);
    }
    let none = run(&of(&[2.7, 4.0], &[(0.0, 0), (0.0, 0)]));
    assert!(none.break_changes.is_empty() && !none.changes.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Of every choice of breaks none leaves fewer changes in the middle of a move, and none of those chosen can be spared.
    #[test]
    fn no_choice_of_breaks_leaves_fewer_changes_in_moves(
        hours in proptest::collection::vec(0.3..3.5_f64, 4),
        lengths in proptest::collection::vec(prop_oneof![Just(0.0), 20.0..90.0_f64], 3),
    ) {
        let breaks: Vec<(f64, usize)> = lengths.iter().map(|min| (min.round(), 0)).chain([(0.0, 0)]).collect();
        // The moves alternate by their place, so a day that is cut must begin with its own: all alike here.
        let report = run(&alike(&hours, &breaks));
        let count = |after: &[usize]| -> usize {
            cut(&hours, &breaks, after).iter().map(|(hours, breaks)| in_moves(&run(&alike(hours, breaks)))).sum()
        };
        let with: Vec<usize> = (0..3).filter(|place| breaks[*place].0 > 0.0).collect();
        let subset = |mask: usize| -> Vec<usize> {
            with.iter().enumerate().filter(|(bit, _)| mask >> bit & 1 == 1).map(|(_, place)| *place).collect()
        };
        let fewest = (0..1_usize << with.len()).map(|mask| count(&subset(mask))).min().unwrap_or(0);
        let taken: Vec<usize> = report
            .break_changes
            .iter()
            .map(|change| report.blocks[..change.block].iter().filter(|block| block.in_break.is_none()).count() - 1)
            .collect();
        prop_assert_eq!(count(&taken), fewest, "{:?}", report.break_changes);
        for (place, change) in report.break_changes.iter().enumerate() {
            let mut spared = taken.clone();
            spared.remove(place);
            prop_assert_eq!(count(&spared), fewest + change.saves);
        }
    }
}

/// The same with every move as the first.
fn alike(hours: &[f64], breaks: &[(f64, usize)]) -> Package {
    let mut package = of(hours, breaks);
    let first = package.moves[0].clone();
    for each in &mut package.moves {
        let (id, name, share, break_after) = (each.id, each.name.clone(), each.share, each.break_after);
        *each = solver::package::Move { id, name, share, break_after, ..first.clone() };
    }
    package
}
