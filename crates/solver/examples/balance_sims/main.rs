//! Simulated rigs with hidden masses, centres of gravity, scale zeros and friction: what guided balancing costs, what a
//! logged balance teaches, and whether the ± can be believed. Seeded: every run prints the same.

mod learning;
mod random;
mod rigs;
mod settings;

use learning::{AS_STATED, Draw};
use settings::{AS_BELIEVED, Cost, Truth};

const SEED: u64 = 20_261_125;
const SLIDES: usize = 20_000;
const RIGS: usize = 10_000;
const SEEDS: [u64; 5] = [1, 2, 3, 4, 5];

fn main() {
    settings();
    transfer();
    coverage();
    at_once();
    left();
}

fn settings() {
    println!("Settings until it stays put: mark known to 4 mm, hold zone 1.4 mm either way, travel 200 mm");
    println!("{:<46} {:>6} {:>7} {:>5} {:>13}", "", "mean", "median", "95 %", "contradicted");
    let cases = [
        ("guided, all as believed", AS_BELIEVED),
        ("guided, half the friction believed", Truth { friction: 0.5, ..AS_BELIEVED }),
        ("guided, twice the friction believed", Truth { friction: 2.0, ..AS_BELIEVED }),
        ("guided, marks twice as far off", Truth { spread: 2.0, ..AS_BELIEVED }),
        ("guided, 2 % of the answers wrong", Truth { wrong: 0.02, ..AS_BELIEVED }),
        ("guided, one gauge reading good to 2 mm", Truth { gauge_m: Some(0.002), ..AS_BELIEVED }),
    ];
    for (name, truth) in cases {
        line(name, &settings::guided(SLIDES, SEED, truth));
    }
    line("bisection of the travel", &settings::bisection(SLIDES, SEED, AS_BELIEVED));
    line("halving 3 deviations round the prediction", &settings::halving(SLIDES, SEED, AS_BELIEVED));
}

fn line(name: &str, cost: &Cost) {
    let contradicted = 100.0 * cost.contradicted;
    println!("{name:<46} {:>6.2} {:>7} {:>5} {contradicted:>11.1} %", cost.mean, cost.median, cost.most);
}

fn transfer() {
    println!(
        "\nTypical medium head, one balance logged: 95 % of the marks for another lens are at most so far off, mm."
    );
    println!("Before the log; after it; with both ends of the hold zone felt for; cables weighed; both.");
    println!("Wanted of the plate: 3.0 where the new lens is at most a third of what tilts, 4.5 otherwise.");
    let package = rigs::medium();
    let weighed = rigs::with_weighed_cables();
    let middle = Draw { ends: true, ..AS_STATED };
    for (from, from_name) in rigs::LENSES {
        for (to, to_name) in rigs::LENSES {
            if from == to {
                continue;
            }
            println!("{from_name} to {to_name}, {:.0} % of what tilts", 100.0 * share_of_tilting(&package, to));
            let run = |package, draw| learning::transfer(package, [from, to], RIGS / 5, SEED, draw);
            let stays = run(&package, AS_STATED);
            let others = [run(&package, middle), run(&weighed, AS_STATED), run(&weighed, middle)];
            for (index, each) in stays.iter().enumerate() {
                let [before, after] = [each.before_m, each.after_m].map(|m| 1e3 * m);
                print!("    {:<12} {before:>6.2} {after:>6.2}", each.slide);
                for other in &others {
                    print!(" {:>6.2}", 1e3 * other[index].after_m);
                }
                println!();
            }
        }
    }
}

/// Mass of a lens over the mass inboard of the innermost axis with it on.
fn share_of_tilting(package: &solver::Package, lens: u32) -> f64 {
    let mut with = package.clone();
    with.active_lens = Some(lens);
    let tilting_kg = solver::check(&with).map_or(f64::NAN, |report| report.axes[0].inboard_kg);
    with.lens().map_or(f64::NAN, |lens| lens.mass.kg) / tilting_kg
}

fn coverage() {
    println!("\nWhether the \u{b1} can be believed, all slides of {RIGS} rigs: within one, within 1.96, mean square");
    let package = rigs::medium();
    for seed in SEEDS {
        report(&format!("before logs, seed {seed}"), &learning::coverage(&package, None, RIGS, seed, AS_STATED));
    }
    for seed in SEEDS {
        let found = learning::coverage(&package, Some(rigs::ANAMORPHIC), RIGS, seed, AS_STATED);
        report(&format!("after one log, seed {seed}"), &found);
    }
    let ends = Draw { ends: true, ..AS_STATED };
    for seed in SEEDS {
        let found = learning::coverage(&package, Some(rigs::ANAMORPHIC), RIGS, seed, ends);
        report(&format!("after one log with both ends, seed {seed}"), &found);
    }
    println!("Misspecified, after one log:");
    for (name, draw) in [
        ("errors half as large again as stated", Draw { spread: 1.5, ..AS_STATED }),
        ("half the friction believed", Draw { friction: 0.5, ..AS_STATED }),
        ("twice the friction believed", Draw { friction: 2.0, ..AS_STATED }),
    ] {
        report(name, &learning::coverage(&package, Some(rigs::ANAMORPHIC), RIGS, SEED, draw));
    }
}

fn report(name: &str, found: &learning::Coverage) {
    let (one, two) = (100.0 * found.one, 100.0 * found.two);
    println!("{name:<46} {one:>6.1} % {two:>6.1} % {:>6.3}", found.mean_square);
}

/// The marks of the sheet, set as they are told.
fn at_once() {
    println!("\nEvery slide at its mark: chance that was told that the axis stays put at once; share that did");
    for (when, log) in [("without logs", None), ("one lens logged", Some(rigs::PRIME))] {
        for axis in learning::at_once(&rigs::medium(), log, RIGS / 5, SEED) {
            let name = format!("{}, {when}", axis.joint);
            println!("{name:<52} {:>5.1} % {:>5.1} %", 100.0 * axis.told, 100.0 * axis.stayed);
        }
    }
}

/// Marks left for a lens like the one that comes off, which hangs 2 mm further forward.
fn left() {
    println!(
        "\nMarks left in a lens change: chance that was told; share that stayed put, axes inside at rest and turned"
    );
    for u_m in [0.000_5, 0.001, 0.002, 0.004, 0.008] {
        let mut package = rigs::medium();
        let Some(mut other) = package.lenses.iter().find(|lens| lens.id == rigs::PRIME).cloned() else { return };
        (other.id, other.cg_ahead_m) = (OTHER, other.cg_ahead_m + 0.002);
        package.lenses.push(other);
        for lens in &mut package.lenses {
            lens.cg_u_m = Some(u_m);
        }
        for (when, log) in [("without logs", &[][..]), ("both lenses logged", &[rigs::PRIME, OTHER])] {
            let found = learning::left(&package, [rigs::PRIME, OTHER], log, RIGS / 5, SEED);
            let name = format!("centres of gravity to {:.1} mm, {when}", 1e3 * u_m);
            let [chance, stayed, turned] = [found.chance, found.stayed, found.stayed_turned].map(|share| 100.0 * share);
            println!("{name:<52} {chance:>5.1} % {stayed:>5.1} % {turned:>5.1} % of {} rigs", found.told);
        }
    }
}

/// Id of that other lens.
const OTHER: u32 = 77;
