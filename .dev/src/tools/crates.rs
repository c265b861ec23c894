//! Programs built from crates.io: Trunk, wasm-bindgen of the version the page is built with, and what splits the page.
//!
//! Each goes to a folder of cargo's own that bears its version, so that checkouts share it and a new version does not
//! overwrite an old one. One of the right version on `PATH` is taken as it is.

use std::path::{Path, PathBuf};

use crate::{files, shell};

/// The Trunk that the build was tried with.
const TRUNK: &str = "0.21.14";

/// The splitter that the build was tried with; it reads what the crate `wasm_split_helpers` of `Cargo.toml` marks.
const WASM_SPLIT: &str = "0.2.4";

/// The program that splits the page's in two.
///
/// # Errors
/// When it is missing and cannot be built.
pub fn wasm_split() -> Result<PathBuf, String> {
    let folder = program(&Wanted {
        name: "wasm-split",
        package: "wasm_split_cli_support",
        version: WASM_SPLIT,
        programs: &["wasm-split-cli"],
        features: Some("build-binary"),
        locked: true,
        minutes: 2,
    })?;
    Ok(folder.join(format!("wasm-split-cli{}", std::env::consts::EXE_SUFFIX)))
}

/// Settings with which a program is built: it runs for seconds, so its building counts for more than its speed. Trunk's own
/// settings optimize all of it as one, which takes longer than all the rest of its building.
const QUICK: [(&str, &str); 3] = [
    ("CARGO_PROFILE_RELEASE_LTO", "off"),
    ("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16"),
    ("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1"),
];

/// The Trunk program.
///
/// # Errors
/// When it is missing and cannot be built.
pub fn trunk() -> Result<PathBuf, String> {
    let folder = program(&Wanted {
        name: "trunk",
        package: "trunk",
        version: TRUNK,
        programs: &["trunk"],
        features: None,
        locked: true,
        minutes: 4,
    })?;
    Ok(folder.join(format!("trunk{}", std::env::consts::EXE_SUFFIX)))
}

/// The folder with `wasm-bindgen` and `wasm-bindgen-test-runner`.
///
/// # Errors
/// When they are missing and cannot be built, or `Cargo.lock` does not name wasm-bindgen.
pub fn wasm_bindgen() -> Result<PathBuf, String> {
    let lock = files::read(&files::root().join("Cargo.lock"))?;
    let version = locked_version(&String::from_utf8_lossy(&lock), "wasm-bindgen")
        .ok_or("Cargo.lock does not name wasm-bindgen: run `cargo generate-lockfile`")?;
    program(&Wanted {
        name: "wasm-bindgen",
        package: "wasm-bindgen-cli",
        version: &version,
        programs: &["wasm-bindgen", "wasm-bindgen-test-runner"],
        features: None,
        // Its own lock file names a version that not every mirror has.
        locked: false,
        minutes: 4,
    })
}

/// One package to have.
struct Wanted<'a> {
    name: &'a str,
    package: &'a str,
    version: &'a str,
    programs: &'a [&'a str],
    /// Features of the package that are off by default.
    features: Option<&'a str>,
    locked: bool,
    /// About how long it takes to build on a small machine.
    minutes: u32,
}

/// The folder that holds the wanted programs.
fn program(wanted: &Wanted) -> Result<PathBuf, String> {
    let place = files::cargo_home()?
        .join("duskline-tools")
        .join(format!("{}-{}", wanted.name, wanted.version));
    let bin = place.join("bin");
    if complete(&bin, wanted) {
        return Ok(bin);
    }
    if let Some(folder) = on_path(wanted) {
        return Ok(folder);
    }
    shell::say(&format!(
        "building {} {} once, for all checkouts: about {} minutes on two cores",
        wanted.name, wanted.version, wanted.minutes
    ));
    let mut install = shell::cargo();
    install
        .args([
            "install",
            wanted.package,
            "--version",
            wanted.version,
            "--root",
        ])
        .arg(&place);
    // Built beside the program, not with this checkout's settings or among its files.
    install
        .current_dir(std::env::temp_dir())
        .env_remove("CARGO_TARGET_DIR")
        .env_remove("RUSTFLAGS")
        .envs(QUICK);
    if let Some(features) = wanted.features {
        install.args(["--features", features]);
    }
    if wanted.locked {
        install.arg("--locked");
    }
    shell::run(&mut install).map_err(|why| {
        format!(
            "{} {} could not be installed ({why}).\nIt comes from crates.io: see that this machine reaches it, or put {} {} on PATH yourself.",
            wanted.name, wanted.version, wanted.name, wanted.version
        )
    })?;
    if complete(&bin, wanted) {
        Ok(bin)
    } else {
        Err(format!(
            "{} was installed but {} is not complete",
            wanted.name,
            bin.display()
        ))
    }
}

fn complete(bin: &Path, wanted: &Wanted) -> bool {
    wanted.programs.iter().all(|program| {
        bin.join(format!("{program}{}", std::env::consts::EXE_SUFFIX))
            .is_file()
    })
}

/// A folder on `PATH` with all the programs in the wanted version.
fn on_path(wanted: &Wanted) -> Option<PathBuf> {
    let first = shell::find(&format!(
        "{}{}",
        wanted.programs[0],
        std::env::consts::EXE_SUFFIX
    ))?;
    let folder = first.parent()?.to_path_buf();
    let answer = shell::ask(shell::command(first).arg("--version"))?;
    (complete(&folder, wanted) && answer.split_whitespace().nth(1) == Some(wanted.version))
        .then_some(folder)
}

/// The version that a lock file names for a package.
fn locked_version(lock: &str, package: &str) -> Option<String> {
    let mut lines = lock
        .lines()
        .skip_while(|line| *line != format!("name = \"{package}\""));
    lines
        .nth(1)?
        .strip_prefix("version = \"")?
        .strip_suffix('"')
        .map(String::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lock_file_tells_the_version() {
        let lock = "[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"1.0.0\"\n\n[[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\n";
        assert_eq!(
            locked_version(lock, "wasm-bindgen").as_deref(),
            Some("0.2.130")
        );
        assert_eq!(locked_version(lock, "leptos"), None);
    }
}
