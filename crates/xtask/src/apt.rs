//! Debian packages: which are missing, and installing them in one go.

use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::process;

/// Installs what is missing of `packages`; does nothing when all are there.
///
/// # Errors
/// One sentence with the command to type when this is not Debian, or not root; apt's own words when it fails.
pub(crate) fn ensure(packages: &[&str]) -> Result<()> {
    let missing: Vec<&str> = packages.iter().copied().filter(|package| !installed(package)).collect();
    if missing.is_empty() {
        return Ok(());
    }
    let list = missing.join(" ");
    if !process::on_path("apt-get") {
        bail!(
            "these programs are missing, and there is no apt-get to install them with: {list}. Install them by hand."
        );
    }
    if !is_root()? {
        bail!(
            "some packages are missing. Run `sudo apt-get install -y --no-install-recommends {list}`, then try again."
        );
    }
    println!("installing {list}");
    process::run_quietly(apt_get().arg("update"))?;
    process::run_quietly(apt_get().args(["install", "-y", "--no-install-recommends"]).args(&missing))
        .with_context(|| format!("the packages {list} could not be installed"))
}

/// apt-get without questions, waiting for another apt that may be running.
fn apt_get() -> Command {
    let mut command = Command::new("apt-get");
    command.env("DEBIAN_FRONTEND", "noninteractive").args(["-o", "DPkg::Lock::Timeout=300"]);
    command
}

/// Whether dpkg knows the package as installed; `false` where there is no dpkg.
fn installed(package: &str) -> bool {
    Command::new("dpkg-query")
        .args(["-W", "-f", "${db:Status-Status}", package])
        .stderr(Stdio::null())
        .output()
        .is_ok_and(|output| output.status.success() && output.stdout == b"installed")
}

fn is_root() -> Result<bool> {
    Ok(process::capture(Command::new("id").arg("-u"))?.trim() == "0")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_package_that_nobody_made_is_not_installed() {
        assert!(!installed("a-package-that-nobody-made"));
    }
}
