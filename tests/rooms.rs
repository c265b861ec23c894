//! The rooms of the source: which may look into which, that there are no circles, and that every file says what it is.
//!
//! Files are parsed whole; only items under `#[cfg(test)]` are left out, which may look anywhere. An import is a `use` or
//! a path that begins with `crate` or `super`, also inside a macro; a name that a module hands on counts as an import of
//! the module that it comes from. Circles: the children of one module, each taken with everything below it, must not
//! import each other in a circle; a parent that declares its children and children that use their parent are no circle.
//! Not seen: calls through traits, and names handed on with a glob.

#![cfg(not(target_arch = "wasm32"))]

#[path = "rooms/source.rs"]
mod source;

use petgraph::algo::tarjan_scc;
use petgraph::graph::DiGraph;
use source::{Import, Source};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Files beside the rooms that every room may look into.
const ROOTS: &[&str] = &["clock", "gather", "limits", "quantity", "read"];

/// Each room and the rooms that it may look into, beside itself and the root files.
const ROOMS: &[(&str, &[&str])] = &[
    ("book", &[]),
    ("sky", &[]),
    ("fit", &["sky"]),
    // A world says which sky it has: the sky, which knows nothing of anything, is below the plan as the book is.
    ("site", &[]),
    ("plan", &["book", "sky", "site"]),
    ("net", &["book", "plan"]),
    ("run", &["book", "plan", "net", "sky"]),
    ("proof", &["book", "plan", "net", "run", "sky", "site"]),
    (
        "works",
        &["book", "plan", "net", "run", "proof", "sky", "site"],
    ),
    ("diagnosis", &["book", "plan", "net", "run", "proof"]),
    // Who reaches a switch is a word of the site.
    ("explain", &["book", "plan", "net", "run", "proof", "site"]),
    (
        "draft",
        &[
            "book", "plan", "net", "run", "proof", "sky", "site", "works",
        ],
    ),
    (
        "teach",
        &[
            "book", "plan", "net", "run", "proof", "site", "works", "explain",
        ],
    ),
    ("shelf", &["book", "plan"]),
    (
        "sheet",
        &[
            "book",
            "plan",
            "net",
            "run",
            "sky",
            "site",
            "proof",
            "works",
            "diagnosis",
            "fit",
            "draft",
        ],
    ),
    (
        "editor",
        &["book", "plan", "net", "run", "sky", "sheet", "site"],
    ),
    (
        "picture",
        &[
            "book", "plan", "net", "run", "sky", "sheet", "site", "works", "editor", "explain",
        ],
    ),
    (
        "worker",
        &[
            "book",
            "plan",
            "net",
            "run",
            "sky",
            "proof",
            "works",
            "diagnosis",
            "explain",
            "teach",
            "picture",
            "sheet",
            "fit",
            "draft",
        ],
    ),
    (
        "page",
        &[
            "book",
            "plan",
            "net",
            "run",
            "sky",
            "site",
            "proof",
            "works",
            "diagnosis",
            "explain",
            "teach",
            "picture",
            "shelf",
            "sheet",
            "editor",
            "worker",
            "fit",
            "draft",
        ],
    ),
    (
        "terminal",
        &[
            "book",
            "plan",
            "net",
            "run",
            "sky",
            "proof",
            "site",
            "works",
            "explain",
            "teach",
            "diagnosis",
            "sheet",
            "fit",
            "draft",
            "picture",
        ],
    ),
];

/// The files that start a program; they only call a room.
const STARTS: &[&str] = &["lib", "main", "bin"];

/// The layers of the page from the top down; a file may look into its own layer and those below.
const LAYERS: &[&[&str]] = &[
    &[
        "frame", "toolbar", "dialog", "log", "welcome", "theme", "preview", "print", "problems",
        "fold", "part",
    ],
    &[
        "board",
        "shelf",
        "details",
        "day",
        "duties",
        "findings",
        "losses",
        "sizes",
        "compare",
        "logic",
        "dial",
        "world",
        "world_day",
        "standing",
        "tidying",
        "plans",
        "book",
        "site",
        "worlds",
        "build",
        "cables",
        "measure",
        "recheck",
        "recording",
        "explain",
        "picture",
        "walk",
        "teach",
        "draft",
    ],
    &[
        "jobs",
        "store",
        "keeping",
        "later",
        "links",
        "files",
        "clipboard",
        "download",
        "choose_file",
        "incoming",
        "launched",
        "windows",
        "refused",
        "caution",
        "copy_text",
        "paper",
        "keys",
        "tab_row",
        "add",
    ],
];

/// Where the panes stand in `LAYERS`.
const PANES: usize = 1;

/// How many circles there still are; may only go down.
const CIRCLES_LEFT: usize = 2;

/// The circles among the children of one module, each circle sorted.
fn circles(imports: &[Import]) -> Vec<Vec<String>> {
    let mut families: BTreeMap<&[String], BTreeSet<(&str, &str)>> = BTreeMap::new();
    for Import { from, to, .. } in imports {
        let shared = from.iter().zip(to).take_while(|(a, b)| a == b).count();
        if shared > 0 && from.len() > shared && to.len() > shared {
            let family = families.entry(&from[..shared]).or_default();
            family.insert((&from[shared], &to[shared]));
        }
    }
    let mut found = Vec::new();
    for (parent, edges) in families {
        let mut graph = DiGraph::<&str, ()>::new();
        let mut nodes = BTreeMap::new();
        for (from, to) in edges {
            let ends =
                [from, to].map(|name| *nodes.entry(name).or_insert_with(|| graph.add_node(name)));
            graph.add_edge(ends[0], ends[1], ());
        }
        for circle in tarjan_scc(&graph).into_iter().filter(|c| c.len() > 1) {
            let full = |node: &_| format!("{}::{}", parent.join("::"), graph[*node]);
            let mut circle: Vec<String> = circle.iter().map(full).collect();
            circle.sort();
            found.push(circle);
        }
    }
    found
}

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
fn every_room_is_known() {
    for entry in fs::read_dir(root().join("src")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap();
        assert!(
            STARTS.contains(&name) || ROOTS.contains(&name) || ROOMS.iter().any(|r| r.0 == name),
            "{name} has no entry among the rooms"
        );
    }
    for (room, _) in ROOMS {
        assert!(
            root().join("src").join(room).is_dir(),
            "there is no room {room}"
        );
    }
}

#[test]
fn no_room_looks_into_one_that_it_must_not_know() {
    let mut wrong = Vec::new();
    for Import { from, to, .. } in Source::read().imports() {
        let (room, other) = (from[0].as_str(), to[0].as_str());
        let may = ROOMS.iter().find(|r| r.0 == room).map_or(&[][..], |r| r.1);
        if room != other && !ROOTS.contains(&other) && !may.contains(&other) {
            wrong.push(format!("{} looks into {}", from.join("::"), to.join("::")));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_siblings_import_each_other_in_a_circle() {
    let circles = circles(&Source::read().imports());
    assert!(circles.len() <= CIRCLES_LEFT, "{circles:#?}");
}

#[test]
fn the_page_looks_only_downwards() {
    let layer = |name: &str| {
        LAYERS
            .iter()
            .position(|layer| layer.contains(&name))
            .unwrap_or_else(|| panic!("page::{name} has no layer"))
    };
    let mut wrong = Vec::new();
    for Import { from, to, named } in Source::read().imports() {
        if from[0] != "page" || from.len() < 2 || to[0] != "page" || to.len() < 2 {
            continue;
        }
        let (high, low) = (layer(&from[1]), layer(&to[1]));
        // One pane may use what another offers at its door, not the files behind it.
        let inside = high == PANES && low == PANES && from[1] != to[1] && named.len() > 2;
        if low < high || inside {
            wrong.push(format!(
                "{} looks into {}",
                from.join("::"),
                named.join("::")
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_circle_a_use_tree_and_a_macro_are_seen_and_tests_are_not() {
    let texts = [
        (
            "a",
            "use super::b::{self, Two}; #[cfg(test)] mod tests { use crate::plan::c::No; }",
        ),
        ("b", "fn one() { view! { <p>{crate::book::a::one()}</p> } }"),
    ];
    let mut source = Source::default();
    source.add(vec!["book".into()], "mod a; mod b; mod c; use c::Three;");
    source.add(vec!["book".into(), "c".into()], "fn two() { super::d(); }");
    for (name, text) in texts {
        source.add(vec!["book".into(), name.into()], text);
    }
    let imports = source.imports();
    assert!(imports.iter().all(|i| i.to[0] == "book"), "{imports:?}");
    assert_eq!(circles(&imports), [["book::a", "book::b"]]);
    source.add(vec!["book".into(), "d".into()], "use super::Three;");
    let reads = |i: &Import| i.from.join("::") == "book::d" && i.to.join("::") == "book::c";
    assert!(
        source.imports().iter().any(reads),
        "a name handed on by the parent"
    );
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
    for room in [
        "book",
        "plan",
        "net",
        "sky",
        "run",
        "diagnosis",
        "explain",
        "teach",
        "shelf",
        "sheet",
        "fit",
        "draft",
        "works",
        "site",
        "picture",
    ] {
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
