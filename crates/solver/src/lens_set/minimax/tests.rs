use super::*;

/// Plain numbers without order, the same on every machine.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// Lenses about one axis with slides that move the mass of each.
fn problem(numbers: &mut Numbers, lenses: usize, unknowns: usize) -> (Vec<Row>, Vec<[f64; 2]>, Vec<f64>) {
    let ways: Vec<[f64; 2]> = (0..unknowns).map(|_| [numbers.next(-1.0, 1.0), numbers.next(-1.0, 1.0)]).collect();
    let rows = (0..lenses)
        .map(|_| {
            let kg = numbers.next(4.0, 20.0);
            Row {
                start: [numbers.next(-1.5, 1.5), numbers.next(-0.8, 0.8)],
                columns: ways.iter().map(|way| way.map(|each| each * kg)).collect(),
            }
        })
        .collect();
    let bounds: Vec<[f64; 2]> = (0..unknowns).map(|_| [numbers.next(-0.2, -0.01), numbers.next(0.01, 0.2)]).collect();
    (rows, bounds, vec![0.0; unknowns])
}

#[test]
fn the_multipliers_prove_the_answer() {
    let mut numbers = Numbers(7);
    for case in 0..400 {
        let (lenses, unknowns) = (1 + case % 12, 1 + case % 4);
        let (rows, bounds, present) = problem(&mut numbers, lenses, unknowns);
        let found = solve(&rows, &bounds, &present);
        let size = rows.iter().map(|row| libm::hypot(row.start[0], row.start[1])).fold(0.0, f64::max);
        assert!(found.worst - found.at_least <= 1e-10 * size, "case {case}: {} {}", found.worst, found.at_least);
        assert!((found.worst - worst_of(&rows, &found.x)).abs() < 1e-15);
        assert!(found.x.iter().zip(&bounds).all(|(x, [low, high])| (*low..=*high).contains(x)));
    }
}

#[test]
fn one_slide_agrees_with_a_fine_grid() {
    let mut numbers = Numbers(11);
    for case in 0..40 {
        let (rows, bounds, present) = problem(&mut numbers, 1 + case % 6, 1);
        let found = solve(&rows, &bounds, &present);
        let [low, high] = bounds[0];
        let grid = (0..=20_000).map(|n| worst_of(&rows, &[low + (high - low) * f64::from(n) / 20_000.0]));
        let best = grid.fold(f64::INFINITY, f64::min);
        let width = (high - low) / 20_000.0
            * rows.iter().map(|row| libm::hypot(row.columns[0][0], row.columns[0][1])).fold(0.0, f64::max);
        assert!(found.worst <= best + 1e-12 && found.worst >= best - width, "case {case}: {} {best}", found.worst);
    }
}

/// Two lenses and one slide along both: the smallest worst lies midway, |1 − x| = |2 − x| at 1.5.
#[test]
fn two_lenses_share_the_error() {
    let rows = [1.0, 2.0].map(|start| Row { start: [start, 0.0], columns: vec![[-1.0, 0.0]] });
    let found = solve(&rows, &[[0.0, 9.0]], &[0.0]);
    assert!((found.x[0] - 1.5).abs() < 1e-9 && (found.worst - 0.5).abs() < 1e-10, "{found:?}");
    // At the end of travel the further lens alone decides.
    let found = solve(&rows, &[[0.0, 1.0]], &[0.0]);
    assert!((found.x[0] - 1.0).abs() < 1e-9 && (found.worst - 1.0).abs() < 1e-9, "{found:?}");
}

#[test]
fn order_and_doubles_and_dominated_lenses_change_nothing() {
    let mut numbers = Numbers(3);
    for case in 0..60 {
        let (rows, bounds, present) = problem(&mut numbers, 2 + case % 6, 1 + case % 2);
        let found = solve(&rows, &bounds, &present);
        let same = |rows: &[Row]| {
            let again = solve(rows, &bounds, &present);
            assert!((again.worst - found.worst).abs() < 1e-9, "case {case}: {} {}", again.worst, found.worst);
            assert!(again.x.iter().zip(&found.x).all(|(a, b)| (a - b).abs() < 1e-6), "case {case}");
        };
        let mut turned: Vec<Row> = rows.clone();
        turned.reverse();
        same(&turned);
        let doubled: Vec<Row> = rows.iter().chain(&rows).cloned().collect();
        same(&doubled);
        // A half of any lens is dominated everywhere.
        let half = Row {
            start: rows[0].start.map(|each| each / 2.0),
            columns: rows[0].columns.iter().map(|column| column.map(|each| each / 2.0)).collect(),
        };
        let more: Vec<Row> = rows.iter().cloned().chain([half]).collect();
        same(&more);
    }
}

/// Slides that do each other's work take the smallest move from where they stand.
#[test]
fn redundant_slides_move_least() {
    let rows = [Row { start: [2.0, 0.0], columns: vec![[1.0, 0.0], [1.0, 0.0]] }];
    let found = solve(&rows, &[[-9.0, 9.0], [-9.0, 9.0]], &[0.0, 0.0]);
    assert!(found.worst < 1e-8, "{found:?}");
    assert!((found.x[0] + 1.0).abs() < 1e-5 && (found.x[1] + 1.0).abs() < 1e-5, "{found:?}");
}

#[test]
fn nothing_to_move_is_an_answer() {
    let rows = [Row { start: [0.3, 0.4], columns: vec![[5.0, 0.0]] }];
    let found = solve(&rows, &[[0.0, 0.0]], &[0.0]);
    assert!((found.worst - 0.5).abs() < 1e-15 && (found.at_least - 0.5).abs() < 1e-15);
    assert_eq!(found.x, [0.0]);
}
