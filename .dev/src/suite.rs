//! Every test there is, stage by stage, ending at the first stage that fails.
//!
//! The last thing on the output is the last test runner's own closing line; how long a stage took is said before the next
//! one begins.

use std::time::Instant;

use clap::ValueEnum;

use crate::cli::Stage;
use crate::tools::WASM;
use crate::{files, shell, site, tools};

/// Runs all stages, or only one.
///
/// # Errors
/// When a stage fails, with its name.
pub fn run(only: Option<Stage>) -> Result<(), String> {
    let stages: Vec<Stage> = Stage::value_variants()
        .iter()
        .copied()
        .filter(|stage| only.is_none_or(|only| only == *stage))
        .collect();
    let mut before: Option<(Stage, Instant)> = None;
    for (index, stage) in stages.iter().enumerate() {
        if let Some((done, start)) = before {
            shell::say(&format!(
                "{} passed in {:.1} s",
                done.name(),
                start.elapsed().as_secs_f64()
            ));
        }
        before = Some((*stage, Instant::now()));
        shell::say(&format!(
            "{} ({} of {})",
            stage.name(),
            index + 1,
            stages.len()
        ));
        let result = match stage {
            Stage::Lint => lint(),
            Stage::Core => shell::run(shell::cargo().args(["test", "--workspace", "--quiet"])),
            Stage::Wasm => wasm(),
            Stage::Browser => browser(),
        };
        result.map_err(|why| format!("stage {} failed: {why}", stage.name()))?;
    }
    Ok(())
}

/// Formatting, and clippy as the terminal program and as the page.
fn lint() -> Result<(), String> {
    tools::lints()?;
    tools::wasm_target()?;
    shell::run(shell::cargo().args(["fmt", "--all", "--check"]))
        .map_err(|why| format!("{why}; `cargo fmt --all` puts the formatting right"))?;
    shell::run(shell::cargo().args([
        "clippy",
        "--quiet",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))?;
    let page = [
        "clippy",
        "--quiet",
        "--package",
        "duskline",
        "--target",
        WASM,
        "--lib",
        "--bins",
        "--test",
        "wasm*",
    ];
    shell::run(shell::cargo().args(page).args(["--", "-D", "warnings"]))
}

/// The tests named `tests/wasm*.rs`, compiled for the browser and run under Node.
fn wasm() -> Result<(), String> {
    tools::wasm_target()?;
    // Node is all these need from npm's side, but its absence is told there.
    tools::npm_packages()?;
    let runner = tools::wasm_bindgen()?.join("wasm-bindgen-test-runner");
    let runner = runner
        .to_str()
        .ok_or("the path of wasm-bindgen's test runner is not UTF-8")?;
    // As a list, so that a space in the path does not split it.
    let setting = format!("target.{WASM}.runner=['{runner}']");
    shell::run(shell::cargo().args([
        "--config",
        &setting,
        "test",
        "--package",
        "duskline",
        "--target",
        WASM,
        "--test",
        "wasm*",
    ]))
}

/// The browser tests in `tests/browser`, against the finished page.
fn browser() -> Result<(), String> {
    let chromium = tools::chromium()?;
    let page = site::build()?;
    let folder = files::browser();
    let entries = folder
        .read_dir()
        .map_err(|error| format!("cannot read {}: {error}", folder.display()))?;
    let mut tests: Vec<_> = entries
        .flatten()
        .map(|entry| entry.file_name())
        .filter(|name| name.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    tests.sort();
    let mut node = shell::command("node");
    node.args(["--test", "--test-reporter=spec"])
        .args(tests)
        .current_dir(folder);
    shell::run(node.env("CHROMIUM", chromium).env("DUSKLINE_PAGE", page))
}
