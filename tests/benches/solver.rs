//! How long the solver takes. The names of the benches stand in `crates/xtask/src/bench.rs`, with their budgets.
//!
//! Rounds are half a millisecond or one call, so that a busy machine interrupts few of them; the median counts.

mod builds;

use std::hint::black_box;
use std::time::Duration;

use builds::{demo_with, of_one_range};
use criterion::{BenchmarkId, Criterion, SamplingMode};
use nalgebra::Vector3;
use solver::Package;
use solver::dynamics::{BaseMotion, Mechanism};
use solver::layout::Layout;
use solver::linkage::Linkage;
use solver::torque::{tightest_of_moves, torque_report};

/// One step of inverse dynamics: three joints on a base that moves every way at once.
fn inverse_dynamics(criterion: &mut Criterion) {
    let layout = Layout::new(&codec::library::demo());
    let mechanism = Mechanism::new(&Linkage::new(&layout, &layout.present_marks_m()));
    let base = BaseMotion {
        omega_rad_s: Vector3::new(0.1, -0.2, 0.3),
        alpha_rad_s2: Vector3::new(-0.5, 0.4, 0.2),
        felt_m_s2: Vector3::new(0.3, -1.0, 9.6),
    };
    let (q, qd, qdd) = ([0.3, -0.4, 0.7], [1.0, -0.5, 0.8], [2.0, 3.0, -1.0]);
    let mut group = criterion.benchmark_group("inverse_dynamics");
    group.sampling_mode(SamplingMode::Flat);
    group.bench_function("three_joints", |bencher| {
        bencher.iter(|| mechanism.torques_nm(black_box(&q), black_box(&qd), black_box(&qdd), black_box(&base)));
    });
    group.finish();
}

/// Layouts and target marks of every lens of a package.
fn lenses(package: &Package) -> Vec<(Package, Layout, Vec<f64>)> {
    let each = package.lenses.iter().map(|lens| {
        let mut with = package.clone();
        with.active_lens = Some(lens.id);
        let layout = Layout::new(&with);
        let moments = solver::balance::Moments::all(&layout);
        let marks_m = solver::balance::solve_marks(&layout, &moments).targets_m;
        (with, layout, marks_m)
    });
    each.collect()
}

/// Torque in hand over all poses of all moves: the tightest of each, and the whole reports.
fn torque(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("torque");
    group.sampling_mode(SamplingMode::Flat);
    for (id, package) in [
        ("lens_1_moves_6", demo_with(40, 1, 6)),
        ("lenses_12_moves_6", demo_with(40, 12, 6)),
        ("lenses_12_moves_6_one_range", of_one_range(demo_with(40, 12, 6))),
    ] {
        let with = lenses(&package);
        group.bench_function(id, |bencher| {
            bencher.iter(|| {
                for (package, layout, marks_m) in &with {
                    black_box(tightest_of_moves(black_box(package), layout, marks_m));
                }
            });
        });
        group.bench_function(format!("{id}_reports"), |bencher| {
            bencher.iter(|| {
                for (package, layout, marks_m) in &with {
                    black_box(torque_report(black_box(package), layout, marks_m));
                }
            });
        });
    }
    group.finish();
}

/// The whole first screen, and how it grows with parts and moves.
fn check(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("check");
    group.sampling_mode(SamplingMode::Flat);
    let demo = codec::library::demo();
    group.bench_function("demo", |bencher| bencher.iter(|| solver::check(black_box(&demo))));
    for parts in [10, 40, 160] {
        let package = demo_with(parts, 6, 6);
        group.bench_with_input(BenchmarkId::new("parts", parts), &package, |bencher, package| {
            bencher.iter(|| solver::check(black_box(package)));
        });
    }
    for moves in [1, 3, 12] {
        let package = demo_with(40, 6, moves);
        group.bench_with_input(BenchmarkId::new("moves", moves), &package, |bencher, package| {
            bencher.iter(|| solver::check(black_box(package)));
        });
    }
    let package = demo_with(40, 12, 6);
    group.bench_function("lens_set_12", |bencher| bencher.iter(|| solver::lens_set(black_box(&package))));
    group.bench_function("day", |bencher| bencher.iter(|| solver::day(black_box(&demo))));
    group.bench_function("wiring", |bencher| bencher.iter(|| solver::wiring(black_box(&demo))));
    group.bench_function("stiffness", |bencher| bencher.iter(|| solver::stiffness(black_box(&demo))));
    group.finish();
}

fn main() {
    let mut criterion = Criterion::default()
        .warm_up_time(Duration::from_millis(100))
        .measurement_time(Duration::from_millis(300))
        .sample_size(600)
        .nresamples(1_000)
        .configure_from_args();
    inverse_dynamics(&mut criterion);
    torque(&mut criterion);
    check(&mut criterion);
    criterion.final_summary();
}
