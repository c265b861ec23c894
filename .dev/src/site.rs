//! The finished page: put together by Trunk, given its program, its content security policy and its service worker, copied
//! where it is wanted.
//!
//! `target/page` holds it; a stamp beside that holds the fingerprint of everything it was made from, and while that fits
//! nothing is built. Errors are sentences that name the step that failed.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

use crate::bytes::Fingerprint;
use crate::{files, policy, program, shell, sizes, tools};

/// The start of a finished service worker; also the sign by which a folder is known to be of our making.
const WORKER_HEAD: &str = "const SITE = {";

/// Builds the page if anything in it has changed, and gives its folder.
///
/// # Errors
/// When a tool cannot be had, the build fails, or the page is past its budget of bytes.
pub fn build() -> Result<PathBuf, String> {
    let folder = files::root().join("target/page");
    let stamp = files::root().join("target/page.stamp");
    tools::wasm_target()?;
    let trunk = tools::trunk()?;
    let split = tools::wasm_split()?;
    let bindgen = tools::wasm_bindgen()?;
    let npm = tools::npm_packages()?;

    let print = inputs(&[&trunk, &split])?;
    if files::read(&stamp).is_ok_and(|held| held == print.as_bytes())
        && folder.join("sw.js").is_file()
        && table_file().is_file()
    {
        shell::say("the page is up to date");
        return Ok(folder);
    }
    shell::say("building the page");
    let start = Instant::now();
    // Taken away first: a build that is broken off must not pass for the page of the stamp.
    let _ = fs::remove_file(&stamp);
    let parts = program::build()?;
    let mut build = shell::command(&trunk);
    build
        .args(["build", "--skip-version-check", "--dist"])
        .arg(&folder)
        .env("PATH", shell::path_with(&[&bindgen, &npm])?);
    // Trunk's log goes to standard output, which is the caller's.
    build.stdout(std::io::stderr());
    shell::run(&mut build)?;
    program::place(&parts, &folder)?;
    name_program(&folder)?;
    add_policy(&folder)?;
    add_worker(&folder)?;
    let (table, kept) = sizes::measure(&folder)?;
    files::write(&table_file(), table.as_bytes())?;
    kept.inspect_err(|_| eprintln!("{table}"))?;
    files::write(&stamp, print.as_bytes())?;
    shell::say(&format!("built in {:.1} s", start.elapsed().as_secs_f64()));
    Ok(folder)
}

/// Where the table of the last build's sizes is kept: to make it takes some seconds.
fn table_file() -> PathBuf {
    files::root().join("target/page.sizes")
}

/// Builds the page if anything in it has changed, and gives the table of its files' sizes.
///
/// # Errors
/// When a tool cannot be had or the build fails.
pub fn sizes() -> Result<String, String> {
    build()?;
    let table = files::read(&table_file())?;
    Ok(String::from_utf8_lossy(&table).into_owned())
}

/// The fingerprint of all that the page is made from.
fn inputs(programs: &[&Path]) -> Result<String, String> {
    let root = files::root();
    let mut print = Fingerprint::new();
    let compiler = shell::ask(shell::command("rustc").arg("-vV")).unwrap_or_default();
    print.add(compiler.as_bytes());
    for program in programs {
        print.add(program.as_os_str().as_encoded_bytes());
    }
    for variable in ["RUSTFLAGS", "CARGO_ENCODED_RUSTFLAGS"] {
        print.add(
            std::env::var_os(variable)
                .unwrap_or_default()
                .as_encoded_bytes(),
        );
    }
    // `.dev` for the service worker's making; the lock file of npm for wasm-opt.
    let mut paths: Vec<String> = [
        "Cargo.toml",
        "Cargo.lock",
        "Trunk.toml",
        ".cargo/config.toml",
        "tests/browser/package-lock.json",
    ]
    .map(String::from)
    .into();
    for folder in ["src", "style", "assets", ".dev/src"] {
        paths.extend(
            files::list(&root.join(folder))?
                .into_iter()
                .map(|path| format!("{folder}/{path}")),
        );
    }
    for path in paths {
        print
            .add(path.as_bytes())
            .add(&files::read(&root.join(&path))?);
    }
    Ok(print.text())
}

/// Writes the content security policy into the page. Comes after all that changes the page's inline scripts and styles.
fn add_policy(folder: &Path) -> Result<(), String> {
    let index = folder.join("index.html");
    let page = String::from_utf8(files::read(&index)?)
        .map_err(|_| format!("{} is not UTF-8", index.display()))?;
    files::write(&index, policy::with_policy(&page)?.as_bytes())
}

/// The second program's files as Trunk names them, without their endings.
const PROGRAM: &str = "duskline-worker";

/// Gives the second program's files names with their fingerprint, as Trunk does with all others, and names them in the
/// page's head: a page of one version never talks to a program of another.
fn name_program(folder: &Path) -> Result<(), String> {
    let endings = [".js", "_bg.wasm"];
    let mut print = Fingerprint::new();
    for ending in endings {
        print.add(&files::read(&folder.join(format!("{PROGRAM}{ending}")))?);
    }
    let name = format!("{PROGRAM}-{}", print.text());
    for ending in endings {
        let (from, to) = (format!("{PROGRAM}{ending}"), format!("{name}{ending}"));
        fs::rename(folder.join(&from), folder.join(&to))
            .map_err(|error| format!("cannot name {from} {to}: {error}"))?;
    }
    let index = folder.join("index.html");
    let page = String::from_utf8_lossy(&files::read(&index)?).into_owned();
    let named = page.replace(
        &format!("content=\"{PROGRAM}\""),
        &format!("content=\"{name}\""),
    );
    if named == page {
        return Err(format!("{} does not name {PROGRAM}", index.display()));
    }
    files::write(&index, named.as_bytes())
}

/// Writes the service worker beside the finished files, with their list and a version made of all their bytes.
fn add_worker(folder: &Path) -> Result<(), String> {
    let text = files::read(&files::root().join("assets/sw.js"))?;
    let mut print = Fingerprint::new();
    print.add(&text);
    let mut list = String::new();
    for path in files::list(folder)?
        .into_iter()
        .filter(|path| path != "sw.js")
    {
        print
            .add(path.as_bytes())
            .add(&files::read(&folder.join(&path))?);
        if path.contains(['"', '\\', '%', '?', '#']) || path.chars().any(char::is_control) {
            return Err(format!(
                "the page's file `{path}` has a character that an address would change: rename it"
            ));
        }
        list.push_str(&format!("  \"{path}\",\n"));
    }
    let head = format!(
        "{WORKER_HEAD} version: \"{}\", files: [\n{list}] }};\n",
        print.text()
    );
    files::write(&folder.join("sw.js"), &[head.as_bytes(), &text].concat())
}

/// The files that a finished service worker lists, or `None` when it is not one of ours.
fn listed(worker: &str) -> Option<Vec<&str>> {
    let list = worker
        .strip_prefix(WORKER_HEAD)?
        .split_once("[\n")?
        .1
        .split_once("] };")?
        .0;
    Some(
        list.lines()
            .filter_map(|line| line.trim().strip_prefix('"')?.strip_suffix("\","))
            .collect(),
    )
}

/// Copies the finished page to `out`, whose earlier page it replaces.
///
/// # Errors
/// When `out` holds something that was not written by this command, or cannot be written.
pub fn publish(folder: &Path, out: &Path) -> Result<(), String> {
    let worker = fs::read_to_string(out.join("sw.js")).unwrap_or_default();
    match listed(&worker) {
        Some(old) => {
            for path in old
                .into_iter()
                .filter(|path| !path.split('/').any(|part| part == "..") && !path.starts_with('/'))
            {
                let old = out.join(path);
                let _ = fs::remove_file(&old);
                // A folder of the program goes with its last file; one that holds anything is not removed.
                if path.contains('/') {
                    let _ = old.parent().map(fs::remove_dir);
                }
            }
        }
        None if out
            .read_dir()
            .is_ok_and(|mut entries| entries.next().is_some()) =>
        {
            return Err(format!(
                "{} holds files that this command did not write: name an empty or a new folder with --out",
                out.display()
            ));
        }
        None => {}
    }
    for path in files::list(folder)? {
        files::write(&out.join(&path), &files::read(&folder.join(&path))?)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_published_page_replaces_its_predecessor_and_nothing_else() {
        let base = files::scratch("publish");
        let (page, out) = (base.join("page"), base.join("out"));
        files::write(&page.join("index.html"), b"one").expect("writable");
        files::write(&page.join("books/a-1.json"), b"{}").expect("writable");
        add_worker(&page).expect("writable");
        publish(&page, &out).expect("a new folder");
        files::write(&out.join("CNAME"), b"theirs").expect("writable");

        fs::remove_dir_all(page.join("books")).expect("ours");
        files::write(&page.join("a-2.json"), b"{}").expect("writable");
        add_worker(&page).expect("writable");
        publish(&page, &out).expect("our own folder");
        assert_eq!(
            files::list(&out).expect("readable"),
            ["CNAME", "a-2.json", "index.html", "sw.js"]
        );
        assert!(!out.join("books").exists());

        let foreign = base.join("foreign");
        files::write(&foreign.join("thesis.txt"), b"years of work").expect("writable");
        let message = publish(&page, &foreign).expect_err("not ours");
        assert!(message.contains("did not write"), "{message}");
        assert_eq!(files::list(&foreign).expect("readable"), ["thesis.txt"]);
        fs::remove_dir_all(base).expect("ours");
    }

    #[test]
    fn the_second_program_is_named_by_its_bytes_and_the_page_says_so() {
        let page = files::scratch("program");
        let named = |wasm: &[u8]| {
            let _ = fs::remove_dir_all(&page);
            let index = b"<meta name=\"duskline-worker\" content=\"duskline-worker\">";
            files::write(&page.join("index.html"), index).expect("writable");
            files::write(&page.join("duskline-worker.js"), b"glue").expect("writable");
            files::write(&page.join("duskline-worker_bg.wasm"), wasm).expect("writable");
            name_program(&page).expect("all there");
            let list = files::list(&page).expect("readable");
            let text = fs::read_to_string(page.join("index.html")).expect("readable");
            let name = text.split('"').nth(3).expect("a name").to_string();
            assert!(list.contains(&format!("{name}.js")), "{list:?}");
            assert!(list.contains(&format!("{name}_bg.wasm")), "{list:?}");
            name
        };
        assert_ne!(named(b"one"), named(b"two"));
        fs::remove_dir_all(page).expect("ours");
    }

    #[test]
    fn the_version_changes_with_any_byte_and_only_then() {
        let page = files::scratch("version");
        let worker = |text: &[u8]| {
            files::write(&page.join("index.html"), text).expect("writable");
            add_worker(&page).expect("writable");
            fs::read_to_string(page.join("sw.js")).expect("readable")
        };
        let first = worker(b"one");
        assert_eq!(listed(&first), Some(vec!["index.html"]));
        assert_ne!(first, worker(b"two"));
        assert_eq!(first, worker(b"one"));
        fs::remove_dir_all(page).expect("ours");
    }
}
