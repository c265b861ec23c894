//! Parts of the Rust toolchain: the wasm32 standard library, rustfmt and clippy, by rustup.

use std::path::Path;

use crate::shell;

/// The target of the page.
pub const WASM: &str = "wasm32-unknown-unknown";

/// Sees to it that programs can be built for the browser.
///
/// # Errors
/// When the target is missing and rustup cannot add it.
pub fn wasm_target() -> Result<(), String> {
    if has_wasm() {
        return Ok(());
    }
    shell::say(&format!("adding the Rust target {WASM}"));
    let added = shell::run(shell::command("rustup").args(["target", "add", WASM]));
    if has_wasm() {
        return Ok(());
    }
    let why = added
        .err()
        .unwrap_or_else(|| "rustup added it to another toolchain than the one in use".into());
    Err(format!(
        "Rust cannot build for the browser here ({why}).\n\
         Install Rust by rustup (https://rustup.rs) and run `rustup target add {WASM}`, or install your system's package \
         with Rust's standard library for {WASM}."
    ))
}

/// Whether the compiler in use has a standard library for the target, whoever put it there.
fn has_wasm() -> bool {
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let folder =
        shell::ask(shell::command(compiler).args(["--print", "target-libdir", "--target", WASM]));
    folder.is_some_and(|folder| {
        Path::new(&folder)
            .read_dir()
            .is_ok_and(|mut entries| entries.next().is_some())
    })
}

/// Sees to it that rustfmt and clippy are there.
///
/// # Errors
/// When one is missing and rustup cannot add it.
pub fn lints() -> Result<(), String> {
    for (component, verb) in [("rustfmt", "fmt"), ("clippy", "clippy")] {
        let there = || shell::ask(shell::cargo().args([verb, "--version"])).is_some();
        if there() {
            continue;
        }
        shell::say(&format!("adding {component}"));
        let added = shell::run(shell::command("rustup").args(["component", "add", component]));
        if !there() {
            let why = added
                .err()
                .unwrap_or_else(|| "it still does not run".into());
            return Err(format!(
                "{component} is missing ({why}). Run `rustup component add {component}`."
            ));
        }
    }
    Ok(())
}
