//! What comes from npm: wasm-opt for the build, a driver for Chromium and an accessibility checker for the tests.
//!
//! All of it is named with versions and checksums in `tests/browser/package-lock.json` and goes to `node_modules` beside it.
//! A stamp in there holds the lock file's fingerprint; while it fits, npm is not called.

use std::path::PathBuf;

use crate::bytes::Fingerprint;
use crate::{files, shell};

/// The oldest Node that the tests run on.
const NODE: u32 = 20;

/// The folder of the packages' programs, wasm-opt among them.
///
/// # Errors
/// When Node or npm is missing or too old, or the packages cannot be fetched.
pub fn npm_packages() -> Result<PathBuf, String> {
    node()?;
    let folder = files::browser();
    let modules = folder.join("node_modules");
    let mut print = Fingerprint::new();
    for file in ["package.json", "package-lock.json"] {
        print.add(&files::read(&folder.join(file))?);
    }
    let stamp = modules.join(".duskline-stamp");
    if files::read(&stamp).is_ok_and(|held| held == print.text().as_bytes()) {
        return Ok(modules.join(".bin"));
    }
    shell::say("fetching wasm-opt and the browser tests' packages from npm");
    let npm = if cfg!(windows) { "npm.cmd" } else { "npm" };
    shell::run(shell::command(npm).current_dir(&folder).args(["ci", "--no-audit", "--no-fund", "--loglevel=error"])).map_err(|why| {
        format!("npm's packages could not be fetched ({why}).\nSee that npm is installed and reaches its registry, then run `npm ci` in tests/browser.")
    })?;
    files::write(&stamp, print.text().as_bytes())?;
    Ok(modules.join(".bin"))
}

/// Sees to it that Node is there and new enough.
fn node() -> Result<(), String> {
    let version = shell::ask(shell::command("node").arg("--version"))
        .ok_or_else(|| format!("Node is missing: install Node {NODE} or later with npm, from your system's packages or https://nodejs.org."))?;
    match major(&version) {
        Some(major) if major >= NODE => Ok(()),
        _ => Err(format!(
            "Node is {version}, and must be {NODE} or later: install a newer one, from https://nodejs.org say."
        )),
    }
}

fn major(version: &str) -> Option<u32> {
    version.strip_prefix('v')?.split('.').next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nodes_version_is_read() {
        assert_eq!(major("v20.20.2"), Some(20));
        assert_eq!(major("20"), None);
    }
}
