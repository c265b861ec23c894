//! The rooms of the source: which may look into which, and that every file says what it is.

use std::fs;
use std::path::{Path, PathBuf};

/// Each room and the rooms that it must not know.
const CLOSED: &[(&str, &[&str])] = &[
    (
        "book",
        &["net", "run", "sheet", "worker", "page", "terminal"],
    ),
    (
        "sky",
        &[
            "book", "plan", "net", "run", "sheet", "worker", "page", "terminal",
        ],
    ),
    (
        "plan",
        &["net", "run", "sheet", "worker", "page", "terminal"],
    ),
    ("net", &["proof", "sheet", "worker", "page", "terminal"]),
    ("run", &["proof", "sheet", "worker", "page", "terminal"]),
    ("proof", &["sheet", "worker", "page", "terminal"]),
    ("sheet", &["worker", "page", "terminal"]),
    ("worker", &["page", "terminal"]),
    ("terminal", &["worker", "page"]),
    ("page", &["terminal"]),
];

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The file without its tests, which may look anywhere.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    text.split("#[cfg(test)]").next().unwrap_or("").to_string()
}

#[test]
fn no_room_looks_into_one_that_it_must_not_know() {
    for (room, closed) in CLOSED {
        for path in files(&root().join("src").join(room), "rs") {
            let text = code(&path);
            for other in *closed {
                for way in [format!("crate::{other}::"), format!("crate::{{{other}")] {
                    assert!(
                        !text.contains(&way),
                        "{} looks into {other}",
                        path.display()
                    );
                }
            }
        }
    }
}

#[test]
fn only_run_knows_time_behind_the_net() {
    for path in files(&root().join("src/net"), "rs") {
        let text = code(&path);
        assert!(
            !text.contains("crate::sky") && !text.contains("Ms,"),
            "{} knows time",
            path.display()
        );
    }
}

#[test]
fn nothing_in_the_core_reads_a_clock_or_depends_on_a_hash() {
    for room in ["book", "plan", "net", "sky", "run", "sheet"] {
        for path in files(&root().join("src").join(room), "rs") {
            let text = code(&path);
            for word in [
                "HashMap",
                "HashSet",
                "SystemTime",
                "Instant::now",
                ".sin()",
                ".cos()",
                ".powf(",
            ] {
                assert!(!text.contains(word), "{} uses {word}", path.display());
            }
        }
    }
}

#[test]
fn every_source_file_opens_by_saying_what_it_is() {
    let mut all = files(&root().join("src"), "rs");
    all.extend(files(&root().join(".dev/src"), "rs"));
    all.extend(
        fs::read_dir(root().join("tests"))
            .unwrap()
            .map(|e| e.unwrap().path())
            .filter(|p| p.extension().is_some_and(|e| e == "rs")),
    );
    for path in all {
        assert!(
            fs::read_to_string(&path).unwrap().starts_with("//!"),
            "{} does not say what it is",
            path.display()
        );
    }
}

#[test]
fn every_path_that_the_guides_name_exists() {
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(guide)).unwrap();
        let mut named = 0;
        for word in text.split('`').skip(1).step_by(2) {
            let starts = [
                "src/", "tests/", "assets/", "style/", ".dev/", ".ci/", ".cargo/",
            ];
            if starts.iter().any(|s| word.starts_with(s)) && !word.contains(['*', ' ', '<', '…'])
            {
                named += 1;
                assert!(
                    root().join(word).exists(),
                    "{guide} names {word}, which is not there"
                );
            }
        }
        assert!(named > 0, "{guide} names no path at all");
    }
}
