//! Coverage-guided fuzzing of everything that a stranger may send: link, file, and each section under a good checksum.
//!
//! libFuzzer guides it by counters that the compiler puts in at every edge. The flags for that are those of a stable
//! compiler, so nothing but a C++ compiler is needed beside it.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;

use anyhow::{Context, Result, anyhow, bail, ensure};

use crate::{apt, paths, process};

/// What is tried, as the program in `tests/fuzz` names it.
const TARGETS: [&str; 12] =
    ["link", "file", "spelt", "package", "head", "parts", "lenses", "moves", "day", "tune", "logs", "structure"];

/// The program, a workspace of its own.
pub(crate) const MANIFEST: &str = "tests/fuzz/Cargo.toml";

/// How long each target is tried in the tests, s.
pub(crate) const TEST_SECONDS: u32 = 30;

/// What the compiler is told: counters at every edge, a table of the places, comparisons traced.
const COUNTERS: [&str; 6] = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
    "-Clink-dead-code",
];

/// Longest input, bytes: the longest link of a full package is about half of it.
const LONGEST: u32 = 8_192;
/// Longest that one input may take, s.
const SLOWEST_S: u32 = 10;

/// Tries every target for so many seconds, as many at a time as there are processors, and prints how often each ran.
///
/// # Errors
/// The program cannot be built, or an input was found that breaks something.
pub(crate) fn run(seconds: u32) -> Result<()> {
    let program = build()?;
    let waiting = Mutex::new(VecDeque::from(TARGETS));
    let found = Mutex::new(Vec::new());
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some(target) = waiting.lock().ok().and_then(|mut waiting| waiting.pop_front()) {
                    match try_one(&program, target, seconds) {
                        Ok(executions) => println!("{target}: {executions} executions"),
                        Err(fault) => {
                            if let Ok(mut found) = found.lock() {
                                found.push(format!("{target}: {fault:#}"));
                            }
                        }
                    }
                }
            });
        }
    });
    let found = found.into_inner().map_err(|_poisoned| anyhow!("a worker broke off"))?;
    ensure!(found.is_empty(), "{}", found.join("\n"));
    Ok(())
}

fn home() -> PathBuf {
    paths::target().join("fuzz")
}

/// Builds the program. The flags must not reach build scripts and macros, which is why the target is named.
fn build() -> Result<PathBuf> {
    if !process::on_path("c++") {
        apt::ensure(&["g++"]).context("libFuzzer is built by a C++ compiler, which is missing here")?;
    }
    let about = process::capture(Command::new("rustc").arg("-vV"))?;
    let host = about.lines().find_map(|line| line.strip_prefix("host: ")).context("rustc does not name its host")?;
    let mut cargo = process::cargo();
    cargo.args(["build", "--quiet", "--release", "--target", host, "--manifest-path", MANIFEST]);
    cargo.arg("--target-dir").arg(home()).env("CARGO_ENCODED_RUSTFLAGS", COUNTERS.join("\u{1f}"));
    process::run(&mut cargo)?;
    Ok(home().join(host).join("release/fuzz"))
}

/// Tries one target from its seeds and from what earlier runs have kept; how often it ran.
fn try_one(program: &Path, target: &str, seconds: u32) -> Result<u64> {
    let (corpus, broken) = (home().join("corpus").join(target), home().join("broken"));
    for directory in [&corpus, &broken] {
        std::fs::create_dir_all(directory)?;
    }
    let start = || {
        let mut command = Command::new(program);
        command.env("COUNTERPOISE_FUZZ_TARGET", target);
        command
    };
    process::run_quietly(start().env("COUNTERPOISE_FUZZ_SEEDS", &corpus))?;
    let mut command = start();
    command.arg(&corpus).arg(format!("-max_total_time={seconds}")).arg(format!("-max_len={LONGEST}"));
    command.arg(format!("-timeout={SLOWEST_S}")).arg("-print_final_stats=1").arg("-verbosity=0");
    command.arg(format!("-artifact_prefix={}/{target}-", broken.display()));
    let output = command.output().with_context(|| format!("cannot start {}", program.display()))?;
    let told = String::from_utf8_lossy(&output.stderr);
    if !output.status.success() {
        let last: Vec<&str> = told.lines().rev().take(12).collect();
        bail!("an input breaks it\n{}", last.into_iter().rev().collect::<Vec<_>>().join("\n"));
    }
    executions(&told).with_context(|| format!("it does not say how often it ran: {told}"))
}

/// The number of runs in libFuzzer's closing statistics.
fn executions(told: &str) -> Option<u64> {
    told.lines().find_map(|line| line.strip_prefix("stat::number_of_executed_units:"))?.trim().parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closing_statistics_are_read() {
        let told = "Done 8 runs in 1 second(s)\nstat::number_of_executed_units: 104857\nstat::new_units_added: 3\n";
        assert_eq!(executions(told), Some(104_857));
        assert_eq!(executions("stat::new_units_added: 3"), None);
    }
}
