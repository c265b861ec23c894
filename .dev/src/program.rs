//! The page's program: compiled, split in two, made loadable and small, and put into the finished page.
//!
//! The linker is told to leave its relocations in, from which `wasm-split-cli` sees what is reached through the one function
//! that `src/main.rs` marks. What is reached by no other way goes to a file of its own, with the data that belongs to it;
//! it is fetched when that function is first called. Then wasm-bindgen makes the first file loadable, and wasm-opt makes both
//! small. All lies in one folder with a fingerprint in its name, and the files find each other by relative addresses: the
//! parts of two versions never meet. Errors are sentences that name the step that failed.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bytes::Fingerprint;
use crate::{files, shell, tools};

/// The program's name, and that of its folder before the fingerprint.
pub const NAME: &str = "duskline";
/// The folder as the page's frame names it.
const FOLDER: &str = "program";
/// How the names of the files begin that are fetched later.
pub const LATER: &str = "split_";

/// What fetches the second file, as `wasm-split-cli` writes it.
const SCRIPT: &str = "__wasm_split.js";
/// How that starts it. A server that gives the file another type would not do.
const STREAMED: &str = "WebAssembly.instantiateStreaming(src, imports)";
/// What is put in its place: compiled while it comes where that can be done, else afterwards.
const STARTED: &str = r#"
async function start(coming, imports) {
    const answer = await coming;
    if (!answer.ok) throw new Error(`the server answers ${answer.status}`);
    const again = answer.clone();
    const compiled = await WebAssembly.compileStreaming(answer).catch(async () => WebAssembly.compile(await again.arrayBuffer()));
    return WebAssembly.instantiate(compiled, imports);
}
"#;

/// Compiles and splits the program; gives the folder with its finished files.
///
/// # Errors
/// When a tool cannot be had or a step fails.
pub fn build() -> Result<PathBuf, String> {
    let (bindgen, npm) = (tools::wasm_bindgen()?, tools::npm_packages()?);
    let split = tools::wasm_split()?;
    let linked = compile()?;
    let work = files::root().join("target/page.program");
    let _ = fs::remove_dir_all(&work);
    let (parts, done) = (work.join("parts"), work.join("done"));

    let mut command = shell::command(split);
    command.arg(&linked).arg(&parts);
    command.args(["--target", "web", "--out-name", NAME]);
    run(&mut command)?;

    let mut command = shell::command(bindgen.join("wasm-bindgen"));
    // The second file takes memory and table from what the linker lets out.
    command.args(["--target", "web", "--no-typescript", "--keep-lld-exports"]);
    command.args(["--out-name", NAME, "--out-dir"]).arg(&done);
    run(command.arg(parts.join(format!("{NAME}.wasm"))))?;

    let script = files::read(&parts.join(SCRIPT))?;
    let script = started(&String::from_utf8_lossy(&script))?;
    files::write(&done.join(SCRIPT), script.as_bytes())?;
    let level = level(&String::from_utf8_lossy(&files::read(&frame())?))?;
    shrink(&done.join(format!("{NAME}_bg.wasm")), &done, &npm, level)?;
    let later = files::list(&parts)?;
    let later: Vec<_> = later
        .iter()
        .filter(|name| name.starts_with(LATER))
        .collect();
    if later.len() != 1 {
        return Err(format!(
            "the page's program was split into {later:?} and a first file; one more was expected"
        ));
    }
    for name in later {
        shrink(&parts.join(name), &done, &npm, level)?;
    }
    Ok(done)
}

/// The page's frame as it is written, before it is built.
fn frame() -> PathBuf {
    files::root().join("assets/index.html")
}

/// Compiles the program; gives its file.
fn compile() -> Result<PathBuf, String> {
    let target = std::env::var_os("CARGO_TARGET_DIR").filter(|named| !named.is_empty());
    let target = target.map_or_else(|| files::root().join("target"), PathBuf::from);
    let mut cargo = shell::cargo();
    cargo.args(["rustc", "--package", "duskline", "--bin", NAME]);
    cargo.args(["--profile", "web", "--target", tools::WASM, "--target-dir"]);
    cargo.arg(&target);
    run(cargo.args(["--", "-C", "link-arg=--emit-relocs"]))?;
    Ok(target
        .join(tools::WASM)
        .join("web")
        .join(format!("{NAME}.wasm")))
}

/// Runs a step; what it says goes to standard error, since standard output is the caller's.
fn run(command: &mut std::process::Command) -> Result<(), String> {
    shell::run(command.stdout(std::io::stderr()))
}

/// The script that fetches the second file, which starts it whatever type the server gives it.
fn started(script: &str) -> Result<String, String> {
    if script.matches(STREAMED).count() != 1 {
        return Err(format!(
            "wasm-split-cli wrote another {SCRIPT} than expected: it lacks `{STREAMED}`, or has it twice"
        ));
    }
    Ok(script.replace(STREAMED, "start(src, imports)") + STARTED)
}

/// How small wasm-opt makes the files: as the frame says of the second program.
fn level(frame: &str) -> Result<char, String> {
    let after = frame.split_once("data-wasm-opt=\"").map(|(_, after)| after);
    after
        .and_then(|after| after.chars().next())
        .ok_or_else(|| "assets/index.html does not say `data-wasm-opt`".into())
}

/// Puts a small form of a file into a folder, under the same name.
fn shrink(file: &Path, folder: &Path, npm: &Path, level: char) -> Result<(), String> {
    let name = file.file_name().unwrap_or_default();
    let to = folder.join(name);
    if level == '0' {
        return files::write(&to, &files::read(file)?);
    }
    let mut command = shell::command(npm.join("wasm-opt"));
    run(command
        .arg(format!("-O{level}"))
        .arg(file)
        .arg("-o")
        .arg(to))
}

/// Puts the program's files into the page's folder, and the name of theirs into its frame.
///
/// # Errors
/// When a file cannot be read or written, or the frame does not name them.
pub fn place(done: &Path, folder: &Path) -> Result<(), String> {
    let names = files::list(done)?;
    let mut print = Fingerprint::new();
    for name in &names {
        print
            .add(name.as_bytes())
            .add(&files::read(&done.join(name))?);
    }
    let named = format!("{FOLDER}-{}", print.text());
    for name in &names {
        files::write(
            &folder.join(&named).join(name),
            &files::read(&done.join(name))?,
        )?;
    }
    let index = folder.join("index.html");
    let page = String::from_utf8_lossy(&files::read(&index)?).into_owned();
    let (from, to) = (format!("\"./{FOLDER}/"), format!("\"./{named}/"));
    for name in [
        format!("{NAME}.js"),
        format!("{NAME}_bg.wasm"),
        SCRIPT.into(),
    ] {
        if !page.contains(&format!("{from}{name}\"")) {
            return Err(format!("{} does not name {FOLDER}/{name}", index.display()));
        }
    }
    files::write(&index, page.replace(&from, &to).as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_is_named_by_all_bytes_and_the_page_says_so() {
        let base = files::scratch("place");
        let (done, page) = (base.join("done"), base.join("page"));
        let frame = r#"<link href="./program/duskline.js"><link href="./program/duskline_bg.wasm">
            <link href="./program/__wasm_split.js"><script>import init from "./program/duskline.js";</script>"#;
        let named = |later: &[u8]| {
            let _ = fs::remove_dir_all(&page);
            for name in ["duskline.js", "duskline_bg.wasm", SCRIPT] {
                files::write(&done.join(name), b"same").expect("writable");
            }
            files::write(&done.join("split_later.wasm"), later).expect("writable");
            files::write(&page.join("index.html"), frame.as_bytes()).expect("writable");
            place(&done, &page).expect("all there");
            let text = fs::read_to_string(page.join("index.html")).expect("readable");
            let name = text.split('/').nth(1).expect("a folder").to_string();
            assert_eq!(text.matches(&name).count(), 4, "{text}");
            assert!(page.join(&name).join("split_later.wasm").is_file());
            name
        };
        assert_ne!(named(b"one"), named(b"two"));
        assert_eq!(named(b"one"), named(b"one"));
        files::write(&page.join("index.html"), b"<html>").expect("writable");
        let message = place(&done, &page).expect_err("names nothing");
        assert!(
            message.ends_with("does not name program/duskline.js"),
            "{message}"
        );
        fs::remove_dir_all(base).expect("ours");
    }

    #[test]
    fn the_second_file_is_started_by_our_own_words_or_the_build_fails() {
        let script = format!("const a = async (imports) => ({STREAMED});\n");
        let text = started(&script).expect("as expected");
        assert!(
            text.starts_with("const a = async (imports) => (start(src, imports));"),
            "{text}"
        );
        assert!(started("nothing").is_err());
        assert!(started(&(script.clone() + &script)).is_err());
    }

    #[test]
    fn the_frame_says_how_small_the_files_are_made() {
        assert_eq!(level(r#"<link data-wasm-opt="z">"#), Ok('z'));
        assert!(level("<link>").is_err());
        let frame = fs::read_to_string(frame()).expect("readable");
        assert_eq!(level(&frame), Ok('z'));
    }
}
