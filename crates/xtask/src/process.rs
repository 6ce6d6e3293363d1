//! Running other programs, with their command line in every fault.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::paths;

/// Cargo as it called us (or the one on the path), in the workspace's root.
pub(crate) fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(paths::root());
    command
}

/// Runs a program with its output on the terminal.
///
/// # Errors
/// The program cannot be started or ends with a status other than 0.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    let line = shown(command);
    let status = command.status().with_context(|| format!("cannot start `{line}`"))?;
    if !status.success() {
        bail!("`{line}` ended with {status}");
    }
    Ok(())
}

/// Runs a program and returns what it wrote to standard output; its errors stay on the terminal.
///
/// # Errors
/// As [`run`], or output that is not UTF-8.
pub(crate) fn capture(command: &mut Command) -> Result<String> {
    let line = shown(command);
    let output = command.stderr(Stdio::inherit()).output().with_context(|| format!("cannot start `{line}`"))?;
    if !output.status.success() {
        bail!("`{line}` ended with {}", output.status);
    }
    String::from_utf8(output.stdout).with_context(|| format!("`{line}` wrote something that is not UTF-8"))
}

/// Runs a program quietly, for work in the background: what it wrote is shown only if it fails.
///
/// # Errors
/// As [`run`], with the end of what the program wrote.
pub(crate) fn run_quietly(command: &mut Command) -> Result<()> {
    let line = shown(command);
    let output = command.stdin(Stdio::null()).output().with_context(|| format!("cannot start `{line}`"))?;
    if !output.status.success() {
        let text = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
        let lines: Vec<&str> = text.lines().collect();
        let tail = lines[lines.len().saturating_sub(12)..].join("\n");
        bail!("`{line}` ended with {}:\n{tail}", output.status);
    }
    Ok(())
}

/// Runs a program for at most `limit`, then ends it: a network that hangs must not hang the set-up.
///
/// # Errors
/// As [`run`], or the limit has passed.
pub(crate) fn run_within(command: &mut Command, limit: Duration) -> Result<()> {
    let line = shown(command);
    let mut child = command.spawn().with_context(|| format!("cannot start `{line}`"))?;
    let started = Instant::now();
    loop {
        if let Some(status) = child.try_wait()? {
            if status.success() {
                return Ok(());
            }
            bail!("`{line}` ended with {status}");
        }
        if started.elapsed() > limit {
            child.kill()?;
            child.wait()?;
            bail!("`{line}` took longer than {} s", limit.as_secs());
        }
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Whether a program of this name stands in a directory of `PATH`.
pub(crate) fn on_path(program: &str) -> bool {
    std::env::var_os("PATH").is_some_and(|path| std::env::split_paths(&path).any(|dir| dir.join(program).is_file()))
}

/// The command line as a person would type it.
fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words.map(|word| word.to_string_lossy().into_owned()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_that_hangs_is_ended() {
        let started = Instant::now();
        let fault = run_within(Command::new("sleep").arg("30"), Duration::from_millis(200)).unwrap_err();
        assert!(fault.to_string().contains("`sleep 30` took longer"), "{fault}");
        assert!(started.elapsed() < Duration::from_secs(10));
    }

    #[test]
    fn a_failure_names_the_command_and_shows_what_it_wrote() {
        let fault = run_quietly(Command::new("sh").args(["-c", "echo no room; exit 3"])).unwrap_err().to_string();
        assert!(fault.contains("sh -c") && fault.contains("no room"), "{fault}");
    }

    #[test]
    fn a_missing_program_is_not_on_the_path() {
        assert!(on_path("sh"));
        assert!(!on_path("a-program-that-nobody-wrote"));
    }
}
