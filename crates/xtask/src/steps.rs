//! Steps in order, each with its name and time; the first that fails ends the run.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use anyhow::Result;

/// What a step does.
type Work<'a> = Box<dyn FnOnce() -> Result<()> + 'a>;

/// Steps that have not run yet.
#[derive(Default)]
pub(crate) struct Steps<'a> {
    planned: Vec<(&'static str, Work<'a>)>,
}

/// How a step ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    Passed(Duration),
    Failed(Duration),
    NotRun,
}

impl<'a> Steps<'a> {
    /// Adds a step after those that are planned.
    pub(crate) fn add(&mut self, name: &'static str, work: impl FnOnce() -> Result<()> + 'a) {
        self.planned.push((name, Box::new(work)));
    }

    /// Runs the steps until one fails, then prints the table; `true` when all have passed.
    pub(crate) fn run(self) -> bool {
        let count = self.planned.len();
        let mut ends: Vec<(&'static str, End)> = Vec::with_capacity(count);
        let mut failed = false;
        for (index, (name, work)) in self.planned.into_iter().enumerate() {
            if failed {
                ends.push((name, End::NotRun));
                continue;
            }
            println!("[{}/{count}] {name}", index + 1);
            let started = Instant::now();
            let outcome = work();
            let took = started.elapsed();
            match outcome {
                Ok(()) => {
                    println!("[{}/{count}] {name}: {}", index + 1, shown(took));
                    ends.push((name, End::Passed(took)));
                }
                Err(fault) => {
                    failed = true;
                    eprintln!("error: {fault:#}\n[{}/{count}] {name}: FAILED after {}", index + 1, shown(took));
                    ends.push((name, End::Failed(took)));
                }
            }
        }
        println!("\n{}", table(&ends));
        !failed
    }
}

/// One line a step, a total, and a last line that counts.
fn table(ends: &[(&'static str, End)]) -> String {
    let width = ends.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
    let mut lines = String::new();
    let (mut total, mut passed, mut failed) = (Duration::ZERO, 0, 0);
    for (name, end) in ends {
        let words = match end {
            End::Passed(took) => {
                total += *took;
                passed += 1;
                format!("passed {:>8}", shown(*took))
            }
            End::Failed(took) => {
                total += *took;
                failed += 1;
                format!("FAILED {:>8}", shown(*took))
            }
            End::NotRun => "not run".to_owned(),
        };
        // Writing to a string cannot fail.
        let _ = writeln!(lines, "{name:<width$}  {words}");
    }
    let _ = writeln!(lines, "{:<width$}  {:>15}", "together", shown(total));
    let _ = write!(lines, "{passed} passed, {failed} failed");
    lines
}

/// Minutes and seconds, or seconds to a tenth below one minute.
fn shown(took: Duration) -> String {
    let seconds = took.as_secs();
    if seconds < 60 {
        format!("{:.1} s", took.as_secs_f64())
    } else {
        format!("{} m {:02} s", seconds / 60, seconds % 60)
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use anyhow::bail;

    use super::*;

    #[test]
    fn the_first_failure_ends_the_run() {
        let ran = RefCell::new(Vec::new());
        let mut steps = Steps::default();
        steps.add("one", || {
            ran.borrow_mut().push("one");
            Ok(())
        });
        steps.add("two", || {
            ran.borrow_mut().push("two");
            bail!("no")
        });
        steps.add("three", || {
            ran.borrow_mut().push("three");
            Ok(())
        });
        assert!(!steps.run());
        assert_eq!(*ran.borrow(), ["one", "two"]);
    }

    #[test]
    fn the_last_line_counts() {
        let ends = [
            ("a", End::Passed(Duration::from_secs(61))),
            ("long name", End::Failed(Duration::from_millis(1500))),
            ("c", End::NotRun),
        ];
        let text = table(&ends);
        assert_eq!(text.lines().last(), Some("1 passed, 1 failed"));
        assert!(text.contains("1 m 01 s") && text.contains("1.5 s") && text.contains("not run"), "{text}");
    }
}
