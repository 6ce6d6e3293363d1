//! `cargo xtask bench`: one table of budget, measured and ratio.
//!
//! To add a row, add it to [`ROWS`]. A number comes from a criterion bench of the package `checks`, from a JSON file that
//! one of the [`PROGRAMS`] writes below `target/bench` (an object of numbers in seconds or bytes or counts), or from the
//! page in `target/dist`.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result};
use serde_json::Value;

use crate::{apt, browsers, dist, javascript, paths, process, references, route};

/// Where a number comes from.
#[derive(Clone, Copy)]
enum Source {
    /// The median of a criterion bench, by `group/function`.
    Criterion(&'static str),
    /// A number that a program wrote: file below `target/bench`, key in its object.
    Written(&'static str, &'static str),
    /// What the first visit transfers.
    FirstLoad,
}

/// How a number is shown: its unit, and how many of them make a second, a byte or one.
type Unit = (&'static str, f64);

const NANOSECONDS: Unit = ("ns", 1e9);
const MICROSECONDS: Unit = ("µs", 1e6);
const MILLISECONDS: Unit = ("ms", 1e3);
const KILOBYTES: Unit = ("kB", 1e-3);

/// A row of the table. The budget is the most that is allowed, in the row's unit; a row without one stands for comparison.
struct Row {
    what: &'static str,
    source: Source,
    unit: Unit,
    budget: Option<f64>,
}

const fn row(what: &'static str, source: Source, unit: Unit, budget: Option<f64>) -> Row {
    Row { what, source, unit, budget }
}

/// Every row, in the order of the table.
const ROWS: [Row; 29] = [
    row(
        "inverse dynamics, three joints, a step",
        Source::Criterion("inverse_dynamics/three_joints"),
        NANOSECONDS,
        Some(120.0),
    ),
    row("  the same in WebAssembly", Source::Written("browser.json", "inverse_dynamics"), NANOSECONDS, Some(250.0)),
    row("  Pinocchio's stock rnea(), for comparison", Source::Written("pinocchio.json", "rnea"), NANOSECONDS, None),
    row(
        "torque in hand of 12 lenses × 6 moves over all poses, one working range",
        Source::Criterion("torque/lenses_12_moves_6_one_range"),
        MILLISECONDS,
        Some(1.5),
    ),
    row(
        "  the same in WebAssembly",
        Source::Written("browser.json", "lenses_12_moves_6_one_range"),
        MILLISECONDS,
        Some(4.0),
    ),
    row("  each move with a range of its own", Source::Criterion("torque/lenses_12_moves_6"), MILLISECONDS, Some(1.5)),
    row("  the same in WebAssembly", Source::Written("browser.json", "lenses_12_moves_6"), MILLISECONDS, Some(4.0)),
    row(
        "  whole reports, one working range",
        Source::Criterion("torque/lenses_12_moves_6_one_range_reports"),
        MILLISECONDS,
        None,
    ),
    row(
        "  whole reports, each move with its own",
        Source::Criterion("torque/lenses_12_moves_6_reports"),
        MILLISECONDS,
        None,
    ),
    row("the demo package, whole report", Source::Criterion("check/demo"), MICROSECONDS, None),
    row("  the same in WebAssembly", Source::Written("browser.json", "check_demo"), MICROSECONDS, Some(1000.0)),
    row("one lens × 6 moves over all poses", Source::Criterion("torque/lens_1_moves_6_reports"), MICROSECONDS, None),
    row("first screen, 6 moves, 10 parts", Source::Criterion("check/parts/10"), MICROSECONDS, None),
    row("  40 parts", Source::Criterion("check/parts/40"), MICROSECONDS, Some(500.0)),
    row("  160 parts", Source::Criterion("check/parts/160"), MICROSECONDS, None),
    row("first screen, 40 parts, 1 move", Source::Criterion("check/moves/1"), MICROSECONDS, None),
    row("  3 moves", Source::Criterion("check/moves/3"), MICROSECONDS, None),
    row("  12 moves", Source::Criterion("check/moves/12"), MICROSECONDS, None),
    row("stiffness of the demo, changes and all", Source::Criterion("check/stiffness"), MILLISECONDS, Some(2.0)),
    row("the day of the demo on its packs", Source::Criterion("check/day"), MILLISECONDS, None),
    row("wiring of the demo", Source::Criterion("check/wiring"), MICROSECONDS, None),
    row("lens set, 12 lenses, 6 moves, 40 parts", Source::Criterion("check/lens_set_12"), MILLISECONDS, None),
    row(
        "change to paint of every answer, 95 in 100, processor 6 times slower",
        Source::Written("browser.json", "change_to_paint"),
        MILLISECONDS,
        Some(50.0),
    ),
    row(
        "  with the phone on its side",
        Source::Written("browser.json", "change_to_paint_on_its_side"),
        MILLISECONDS,
        Some(50.0),
    ),
    row("  on the screen of a part", Source::Written("browser.json", "part_to_paint"), MILLISECONDS, Some(200.0)),
    row("  on the screen of a move", Source::Written("browser.json", "move_to_paint"), MILLISECONDS, Some(200.0)),
    row(
        "start without a signal to the first answer, 4 times slower",
        Source::Written("browser.json", "offline_start"),
        MILLISECONDS,
        Some(1000.0),
    ),
    row("first load, brotli", Source::FirstLoad, KILOBYTES, Some(200.0)),
    row("first visit, all that is transferred", Source::Written("browser.json", "first_visit"), KILOBYTES, None),
];

/// A program that measures, and the source without which it is not there yet.
struct Program {
    source: &'static str,
    run: fn() -> Result<()>,
}

/// What is run before the table is printed.
const PROGRAMS: [Program; 4] = [
    Program { source: "tests/benches", run: criterion },
    Program { source: "crates/solver/examples/balance_sims", run: simulations },
    Program { source: "tests/benches/pinocchio.py", run: pinocchio },
    Program { source: "tests/benches/browser.rs", run: browser },
];

/// Measures and prints the table. A budget that is exceeded stands in the table and fails nothing: times are those of
/// the machine they were taken on.
///
/// # Errors
/// A program that measures fails.
pub(crate) fn run() -> Result<()> {
    std::fs::create_dir_all(written_dir())?;
    dist::build(&route::ready()?)?;
    for program in PROGRAMS {
        if paths::root().join(program.source).exists() {
            (program.run)()?;
        } else {
            println!("{} is not there: its rows stay empty", program.source);
        }
    }
    let measured: Vec<Option<f64>> = ROWS.iter().map(|row| measure(row.source)).collect::<Result<_>>()?;
    let quiet: Vec<Option<f64>> = ROWS.iter().map(|row| quietest_tenth(row.source)).collect::<Result<_>>()?;
    println!("\n{}", table(&ROWS, &measured, &quiet));
    Ok(())
}

fn criterion() -> Result<()> {
    process::run(process::cargo().args(["bench", "--package", "checks"]))
}

/// What guided balancing costs and what a logged balance teaches, on simulated rigs: it prints its own tables.
fn simulations() -> Result<()> {
    process::run(process::cargo().args([
        "run",
        "--quiet",
        "--release",
        "--package",
        "solver",
        "--example",
        "balance_sims",
    ]))
}

/// Pinocchio stands beside us where it can be installed; where it cannot, its row stays empty.
fn pinocchio() -> Result<()> {
    if let Err(fault) = references::ensure_python() {
        println!("Pinocchio cannot be installed here: {fault:#}");
        return Ok(());
    }
    let mut command = Command::new(references::python());
    command.current_dir(paths::root()).arg("tests/benches/pinocchio.py").arg(written_dir().join("pinocchio.json"));
    process::run(&mut command)
}

fn browser() -> Result<()> {
    apt::ensure(&browsers::PACKAGES)?;
    let module = route::ready()?.build(&paths::root().join("Cargo.toml"), "bench-page", "bench_page")?;
    javascript::bind(&module, "bench", &written_dir().join("page"), javascript::Leave::Nothing)?;
    browsers::run("browser_bench")
}

fn written_dir() -> PathBuf {
    paths::target().join("bench")
}

/// A number in seconds, bytes or counts; `None` when nobody has measured it.
fn measure(source: Source) -> Result<Option<f64>> {
    match source {
        Source::Criterion(id) => {
            let file = paths::target().join("criterion").join(id).join("new/estimates.json");
            // Criterion writes nanoseconds.
            Ok(number(&file, "/median/point_estimate")?.map(|nanoseconds| nanoseconds * 1e-9))
        }
        Source::Written(file, key) => number(&written_dir().join(file), &format!("/{key}")),
        Source::FirstLoad => Ok(Some(dist::first_load_bytes(&paths::dist())? as f64)),
    }
}

/// What a tenth of the rounds of a criterion bench took no more than, s: far below the median where other work has taken
/// the processor away. `None` for what is measured otherwise.
fn quietest_tenth(source: Source) -> Result<Option<f64>> {
    let Source::Criterion(id) = source else { return Ok(None) };
    let file = paths::target().join("criterion").join(id).join("new/sample.json");
    let Ok(text) = std::fs::read_to_string(&file) else { return Ok(None) };
    let rounds: Value = serde_json::from_str(&text).with_context(|| format!("{} is not JSON", file.display()))?;
    Ok(tenth_ns(&rounds).map(|nanoseconds| nanoseconds * 1e-9))
}

/// Time of a call that a tenth of the rounds kept, ns: criterion lists the calls of every round and what they took.
fn tenth_ns(rounds: &Value) -> Option<f64> {
    let list = |key: &str| rounds.get(key)?.as_array()?.iter().map(Value::as_f64).collect::<Option<Vec<f64>>>();
    let mut each: Vec<f64> = list("times")?.iter().zip(list("iters")?).map(|(time, calls)| time / calls).collect();
    each.sort_by(f64::total_cmp);
    each.get(each.len() / 10).copied()
}

/// The number at a JSON pointer in a file; `None` when file or number is not there.
fn number(file: &Path, pointer: &str) -> Result<Option<f64>> {
    let Ok(text) = std::fs::read_to_string(file) else { return Ok(None) };
    let value: Value = serde_json::from_str(&text).with_context(|| format!("{} is not JSON", file.display()))?;
    Ok(value.pointer(pointer).and_then(Value::as_f64))
}

/// Measured over budget: above 1 is too much.
fn ratio(row: &Row, measured: Option<f64>) -> Option<f64> {
    Some(measured? * row.unit.1 / row.budget?)
}

/// Budgets are held against what was measured; the quietest tenth tells how much of it was other work.
fn table(rows: &[Row], measured: &[Option<f64>], quiet: &[Option<f64>]) -> String {
    let width = rows.iter().map(|row| row.what.chars().count()).max().unwrap_or(0);
    let heads = ["", "budget", "measured", "ratio", "quiet tenth"];
    let line = |[what, budget, measured, ratio, quiet]: [&str; 5]| {
        format!("{what:<width$}  {budget:>11}  {measured:>11}  {ratio:>6}  {quiet:>11}").trim_end().to_owned()
    };
    let mut lines = vec![line(heads)];
    for ((row, measured), quiet) in rows.iter().zip(measured).zip(quiet) {
        let (name, scale) = row.unit;
        let budget = row.budget.map_or_else(|| "none".to_owned(), |budget| format!("{budget} {name}"));
        let told = |number: f64| format!("{:.4} {name}", Rounded(number * scale));
        let shown = measured.map_or_else(|| "not yet".to_owned(), told);
        let ratio = ratio(row, *measured).map_or_else(String::new, |ratio| format!("{ratio:.2}"));
        lines.push(line([row.what, &budget, &shown, &ratio, &quiet.map_or_else(String::new, told)]));
    }
    lines.join("\n")
}

/// A number with as many significant digits as the precision says.
struct Rounded(f64);

impl std::fmt::Display for Rounded {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let digits = out.precision().unwrap_or(3);
        let whole = format!("{:.0}", self.0.abs()).trim_start_matches('0').len();
        write!(out, "{:.*}", digits.saturating_sub(whole), self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_budget_measured_and_ratio() {
        let rows = [
            row("a step", Source::FirstLoad, NANOSECONDS, Some(120.0)),
            row("later", Source::FirstLoad, KILOBYTES, Some(200.0)),
            row("beside", Source::FirstLoad, NANOSECONDS, None),
        ];
        let text = table(&rows, &[Some(90e-9), None, Some(750e-9)], &[Some(80e-9), None, None]);
        let words =
            |line: usize| text.lines().nth(line).map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
        assert_eq!(words(1).as_deref(), Some("a step 120 ns 90.00 ns 0.75 80.00 ns"));
        assert_eq!(words(2).as_deref(), Some("later 200 kB not yet"));
        assert_eq!(words(3).as_deref(), Some("beside none 750.0 ns"));
    }

    #[test]
    fn a_tenth_of_the_rounds_is_quieter() {
        let times: Vec<u32> = (0..20).map(|round| 1000 - 10 * round).collect();
        let rounds = serde_json::json!({ "iters": vec![10; 20], "times": times });
        // The third of twenty in order: 810, 820, 830 ns for ten calls.
        assert_eq!(tenth_ns(&rounds), Some(83.0));
        assert_eq!(tenth_ns(&serde_json::json!({ "iters": [], "times": [] })), None);
        assert_eq!(tenth_ns(&Value::Null), None);
    }

    #[test]
    fn what_nobody_has_measured_is_no_fault() {
        assert_eq!(number(Path::new("/there/is/no/file"), "/a").ok(), Some(None));
    }
}
