//! Running other programs, and saying what goes on.
//!
//! Errors are sentences that name the command and how it ended. Why not `xshell`: cargo's variables would have to be taken
//! out of each of its commands as they are here, and its errors be put into our sentences; little would be left to it.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::files;

/// One line of progress, on standard error.
pub fn say(line: &str) {
    eprintln!("» {line}");
}

/// A command that starts in the checkout's top folder.
///
/// What `cargo run` put into the environment for this program is taken out again: cargo would build its packages afresh
/// for it. So is `NO_COLOR`, on which Trunk ends.
pub fn command(program: impl Into<OsString>) -> Command {
    let mut command = Command::new(program.into());
    command.current_dir(files::root()).env_remove("NO_COLOR");
    for (name, _) in std::env::vars_os() {
        if ["CARGO_PKG_", "CARGO_MANIFEST_"]
            .iter()
            .any(|start| name.to_string_lossy().starts_with(start))
        {
            command.env_remove(name);
        }
    }
    command
}

/// The cargo that runs this program.
pub fn cargo() -> Command {
    command(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Runs to the end; its output goes where ours goes.
///
/// # Errors
/// When it cannot be started or does not end with 0.
pub fn run(command: &mut Command) -> Result<(), String> {
    let status = command
        .status()
        .map_err(|error| format!("cannot start {}: {error}", line(command)))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("{} ended with {status}", line(command)))
    }
}

/// Runs to the end and gives what it wrote to standard output, trimmed; `None` when it is not there or did not end with 0.
pub fn ask(command: &mut Command) -> Option<String> {
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).trim().to_string())
}

/// The first program of that name on `PATH`.
pub fn find(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|folder| folder.join(name))
        .find(|file| file.is_file())
}

/// `PATH` with these folders before it.
///
/// # Errors
/// When a folder's name cannot stand in `PATH`.
pub fn path_with(folders: &[&Path]) -> Result<OsString, String> {
    let old = std::env::var_os("PATH").unwrap_or_default();
    let all = folders
        .iter()
        .map(PathBuf::from)
        .chain(std::env::split_paths(&old));
    std::env::join_paths(all)
        .map_err(|error| format!("the PATH for the build cannot be put together: {error}"))
}

/// The command as one would type it, for messages.
fn line(command: &Command) -> String {
    let program = Path::new(command.get_program())
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let words = command
        .get_args()
        .map(|arg| arg.to_string_lossy().into_owned());
    format!(
        "`{}`",
        std::iter::once(program)
            .chain(words)
            .collect::<Vec<_>>()
            .join(" ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_that_fails_is_named() {
        let message =
            run(command("duskline-has-no-such-program").arg("--fast")).expect_err("not there");
        assert!(
            message.starts_with("cannot start `duskline-has-no-such-program --fast`"),
            "{message}"
        );
        assert_eq!(ask(&mut command("duskline-has-no-such-program")), None);
    }
}
