//! Simulated rigs with hidden masses, centres of gravity, scale zeros and friction: what guided balancing costs, what a
//! logged balance teaches, and whether the ± can be believed. Seeded: every run prints the same.

mod random;
mod settings;

use settings::{AS_BELIEVED, Cost, Truth};

const SEED: u64 = 20_261_125;
const SLIDES: usize = 20_000;

fn main() {
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
