//! The command line run as a user runs it, in the repository's folder.

use std::io::Write;
use std::process::{Command, Output, Stdio};

/// Runs the program with these arguments and this on its standard input.
pub fn run(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_duskline"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses its arguments reads no input.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

/// What it printed.
pub fn out(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).unwrap()
}

/// What it told on the standard error stream.
pub fn err(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).unwrap()
}
