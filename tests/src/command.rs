//! The command line as a person has it: a program that is started.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// The built `counterpoise` program. It comes from `COUNTERPOISE_CLI` where that is set, and is built otherwise.
pub fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        if let Some(path) = std::env::var_os("COUNTERPOISE_CLI").map(PathBuf::from).filter(|path| path.is_file()) {
            return path;
        }
        let status = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "--package", "counterpoise"])
            .status()
            .expect("cargo starts");
        assert!(status.success(), "the command line does not build");
        // The test itself stands in TARGET/debug/deps.
        let test = std::env::current_exe().expect("a test knows where it is");
        let built = test.ancestors().nth(2).expect("TARGET/debug").join("counterpoise");
        assert!(built.is_file(), "{} is not there", built.display());
        built
    })
}

/// Runs `counterpoise` and waits for it.
pub fn run(arguments: &[&str]) -> Output {
    Command::new(program()).args(arguments).output().expect("the command line starts")
}

/// A file of the given name and content in a directory that is only this test's.
pub fn scratch_file(directory: &str, name: &str, content: &str) -> PathBuf {
    let home = std::env::temp_dir().join(format!("counterpoise-{}-{directory}", std::process::id()));
    std::fs::create_dir_all(&home).expect("a directory for scratch files");
    let path = home.join(name);
    std::fs::write(&path, content).expect("a scratch file");
    path
}
