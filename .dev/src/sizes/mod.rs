//! The bytes of the finished page, file by file, as they are and after Brotli, held against the budget.
//!
//! Brotli at its best (quality 11), as a web server would keep the files ready; Node has it. Errors are sentences that
//! name the file or sum, its bytes and its budget. Nothing is said of what a server really sends.

mod budget;

use std::path::Path;

use crate::{files, program, shell};

/// Prints one line a file: bytes as they are, bytes after Brotli.
const MEASURE: &str = r#"
const { readFileSync } = require("node:fs");
const { brotliCompressSync, constants } = require("node:zlib");
for (const path of process.argv.slice(1)) {
  const bytes = readFileSync(path);
  const params = { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length };
  console.log(bytes.length, brotliCompressSync(bytes, { params }).length);
}
"#;

/// One file of the page.
#[derive(Debug)]
struct Size {
    /// Relative to the page's folder.
    path: String,
    raw: u64,
    brotli: u64,
}

/// Measures every file under `folder`: the table to print, and whether the page keeps its budget.
///
/// # Errors
/// When a file cannot be read or Node does not run.
pub fn measure(folder: &Path) -> Result<(String, Result<(), String>), String> {
    let paths = files::list(folder)?;
    let mut node = shell::command("node");
    node.args(["-e", MEASURE, "--"]).args(&paths);
    let lines =
        shell::ask(node.current_dir(folder)).ok_or("Node could not compress the page's files")?;
    let mut sizes = Vec::new();
    for (path, line) in paths.into_iter().zip(lines.lines()) {
        let (raw, brotli) = line
            .split_once(' ')
            .and_then(|(raw, brotli)| Some((raw.parse().ok()?, brotli.parse().ok()?)))
            .ok_or_else(|| format!("Node measured {path} as `{line}`"))?;
        sizes.push(Size { path, raw, brotli });
    }
    Ok((table(&sizes), keeps_budget(&sizes)))
}

/// Whether a file must have come before the board can be used.
fn is_first(path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    let later = ["sw.js", "worker.js", "manifest.webmanifest"].contains(&path)
        || path.starts_with("icons/")
        || path.starts_with("duskline-worker")
        || name.starts_with(program::LATER);
    !later && !path.ends_with(".txt")
}

/// The sums of bytes as they are and after Brotli.
fn sum<'a>(sizes: impl Iterator<Item = &'a Size>) -> (u64, u64) {
    sizes.fold((0, 0), |(raw, brotli), size| {
        (raw + size.raw, brotli + size.brotli)
    })
}

/// All files, the heaviest first, and the two sums.
fn table(sizes: &[Size]) -> String {
    let row = |name: &str, (raw, brotli): (u64, u64)| format!("{raw:>10} {brotli:>10}  {name}\n");
    let mut text = format!("{:>10} {:>10}\n", "bytes", "Brotli");
    for (title, first) in [
        ("until the board can be used", true),
        ("later, when needed", false),
    ] {
        let mut part: Vec<&Size> = sizes
            .iter()
            .filter(|size| is_first(&size.path) == first)
            .collect();
        part.sort_by_key(|size| (std::cmp::Reverse(size.brotli), &size.path));
        for size in &part {
            text += &row(&size.path, (size.raw, size.brotli));
        }
        text += &row(title, sum(part.into_iter()));
        text.push('\n');
    }
    text + row("in all", sum(sizes.iter())).trim_end()
}

/// Holds the sizes against the budget; the first file or sum past its own is told.
fn keeps_budget(sizes: &[Size]) -> Result<(), String> {
    let mut found: Vec<(&str, u64, u64)> = Vec::new();
    for (name, most) in budget::FILES {
        let size = sizes
            .iter()
            .find(|size| without_fingerprint(&size.path) == name)
            .ok_or_else(|| format!("the page has no {name}, for which there is a budget"))?;
        found.push((&size.path, size.brotli, most));
    }
    let first = sum(sizes.iter().filter(|size| is_first(&size.path))).1;
    found.push((
        "what comes until the board can be used",
        first,
        budget::UNTIL_BOARD,
    ));
    found.push(("the page in all", sum(sizes.iter()).1, budget::IN_ALL));
    match found.into_iter().find(|(_, bytes, most)| bytes > most) {
        Some((what, bytes, most)) => Err(format!(
            "{what} has {bytes} bytes after Brotli, and its budget is {most} (.dev/src/sizes/budget.rs)"
        )),
        None => Ok(()),
    }
}

/// The name of a file without the digits that tell one version of it, or of its folder, from another.
fn without_fingerprint(path: &str) -> String {
    if let Some((folder, name)) = path.split_once('/') {
        return format!(
            "{}/{}",
            without_fingerprint(folder),
            without_fingerprint(name)
        );
    }
    let end = path.find(['.', '_']).unwrap_or(path.len());
    let (name, ending) = path.split_at(end);
    match name.rsplit_once('-') {
        Some((plain, digits)) if digits.chars().all(|digit| digit.is_ascii_hexdigit()) => {
            format!("{plain}{ending}")
        }
        _ => path.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(path: &str, brotli: u64) -> Size {
        Size {
            path: path.into(),
            raw: 2 * brotli,
            brotli,
        }
    }

    fn page() -> Vec<Size> {
        vec![
            size("index.html", 1),
            size("program-1a2b/duskline.js", 2),
            size("program-1a2b/duskline_bg.wasm", 30),
            size("program-1a2b/split_later.wasm", 20),
            size("duskline-worker-77_bg.wasm", 400),
            size("fonts/LICENSE.txt", 5000),
        ]
    }

    #[test]
    fn the_table_tells_what_must_come_first() {
        let text = table(&page());
        let row = |end: &str| {
            text.lines()
                .find(|line| line.ends_with(end))
                .map(|line| line.split_whitespace().take(2).collect::<Vec<_>>())
        };
        assert_eq!(row("until the board can be used"), Some(vec!["66", "33"]));
        assert_eq!(row("in all"), Some(vec!["10906", "5453"]));
        assert_eq!(row("program-1a2b/duskline_bg.wasm"), Some(vec!["60", "30"]));
    }

    #[test]
    fn what_is_past_its_budget_is_named_with_its_bytes() {
        assert_eq!(keeps_budget(&page()), Ok(()));
        let mut heavy = page();
        heavy[2].brotli = 2_000_000;
        let message = keeps_budget(&heavy).expect_err("too heavy");
        assert!(
            message.starts_with("program-1a2b/duskline_bg.wasm has 2000000 bytes"),
            "{message}"
        );
        let mut many = page();
        many.push(size("books/a.json", budget::UNTIL_BOARD));
        let message = keeps_budget(&many).expect_err("too much in all");
        assert!(message.starts_with("what comes until"), "{message}");
        assert!(keeps_budget(&page()[..2]).is_err());
    }

    #[test]
    fn names_lose_their_fingerprints() {
        for (path, name) in [
            (
                "program-290174c33d460b68/duskline_bg.wasm",
                "program/duskline_bg.wasm",
            ),
            ("duskline-worker-20a016cc058d8ec3.js", "duskline-worker.js"),
            ("sw.js", "sw.js"),
            (
                "fonts/public-sans-latin.woff2",
                "fonts/public-sans-latin.woff2",
            ),
        ] {
            assert_eq!(without_fingerprint(path), name);
        }
    }
}
