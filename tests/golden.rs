//! What each command prints, byte by byte, as files under `fixtures/terminal/`: the JSON of every command, links and the
//! plans that come of them. It holds that an answer stays as it was, not that it is right: other tests do that.
//!
//! `DUSKLINE_WRITE_GOLDEN=1 cargo test --test golden` writes the files anew; read their difference before it is committed.

#![cfg(not(target_arch = "wasm32"))]

use std::path::{Path, PathBuf};
use std::process::Command;

/// The examples, and a plan that breaks its duties and chatters.
const PLANS: [(&str, &str); 3] = [
    ("dusk-lamp", "assets/examples/dusk-lamp.json"),
    ("kittiwake-light", "assets/examples/kittiwake-light.json"),
    ("leeward-hut", "tests/fixtures/terminal/leeward-hut.json"),
];

/// Every command that is asked of each plan, by the name of its file; `PLAN` stands for the plan's file.
const COMMANDS: [(&str, &str); 26] = [
    ("solve", "solve PLAN --at 23:00 --json"),
    (
        "solve-noon-of-day-2",
        "solve PLAN --at 12:00 --day 2 --json",
    ),
    ("day", "day PLAN --json"),
    ("check", "check PLAN --json"),
    ("check-causes", "check PLAN --json --causes"),
    ("autonomy", "autonomy PLAN --json"),
    ("autonomy-at", "autonomy PLAN --at 18:00 --day 2 --json"),
    ("losses", "losses PLAN --json"),
    ("losses-details", "losses PLAN --json --details --empty"),
    ("sizes", "sizes PLAN --json --runs 200"),
    (
        "sizes-reserve",
        "sizes PLAN --json --weigh glass=3 --retap --turn 90,30 --runs 40 --reserve",
    ),
    ("findings", "findings PLAN --json"),
    (
        "gather",
        "gather PLAN --have tests/fixtures/stock.json --json",
    ),
    (
        "gather-csv",
        "gather PLAN --have tests/fixtures/stock.json --csv",
    ),
    ("cables", "cables PLAN --json"),
    ("cables-csv", "cables PLAN --csv"),
    ("steps", "steps PLAN --json"),
    ("steps-read", "steps PLAN --at 21:00"),
    (
        "compare",
        "compare assets/examples/first-light.json PLAN --json",
    ),
    (
        "compare-no-losses",
        "compare PLAN assets/examples/dusk-lamp.json --no-losses --json",
    ),
    ("explain", "explain PLAN --json"),
    ("explain-read", "explain PLAN"),
    ("logic", "logic PLAN --at 21:00 --json"),
    (
        "picture",
        "picture PLAN --at 21:00 --base https://example.org/",
    ),
    ("link", "link PLAN --base https://example.org/"),
    ("open", "open LINK"),
];

/// Commands that are asked once.
const ONCE: [(&str, &str); 22] = [
    (
        "dusk-lamp.losses-pairs",
        "losses assets/examples/dusk-lamp.json --json --pairs",
    ),
    ("outpost.book", "book outpost --json"),
    (
        "dusk-lamp.start",
        "start assets/examples/dusk-lamp.json --load p6 --at 16:45 --json",
    ),
    (
        "dusk-lamp.start-later",
        "start assets/examples/dusk-lamp.json --load p6 --at 17:45 --not-before",
    ),
    (
        "kittiwake-light.start",
        "start assets/examples/kittiwake-light.json --load p9 --at 17:15 --json",
    ),
    (
        "kittiwake-light.diagnose",
        "diagnose assets/examples/kittiwake-light.json --read p9=off@21:00 --read p10=off@21:00 --read p7=runs@21:00 \
         --read p5=rises@12:00 --read w6=4@22:00 --json",
    ),
    (
        "dusk-lamp.diagnose-read",
        "diagnose assets/examples/dusk-lamp.json --read p6=off@21:00 --read w4=3@21:00:30",
    ),
    (
        "dusk-lamp.picture-motion",
        "picture assets/examples/dusk-lamp.json --what motion --theme clear-light-ink --size thumbnail --seconds 20",
    ),
    (
        "dusk-lamp.picture-day",
        "picture assets/examples/dusk-lamp.json --what day --day 2 --theme dark --no-legend",
    ),
    (
        "kittiwake-light.picture-site",
        "picture assets/examples/kittiwake-light.json --what site --storey 2 --size poster --no-numbers",
    ),
    (
        "kittiwake-light.explain-part",
        "explain assets/examples/kittiwake-light.json --part p19",
    ),
    (
        "tide-house.draft",
        "draft assets/orders/tide-house.json --json",
    ),
    (
        "tide-house.draft-read",
        "draft assets/orders/tide-house.json",
    ),
    (
        "kittiwake-light.fit",
        "fit assets/readings/kittiwake-light.json --json",
    ),
    (
        "kittiwake-light.fit-read",
        "fit assets/readings/kittiwake-light.json",
    ),
    (
        "lesson-5.walk",
        "walk assets/lessons/05-dusk-lamp.json --json",
    ),
    (
        "lesson-5.walk-read",
        "walk assets/lessons/05-dusk-lamp.json",
    ),
    (
        "lesson-5.walk-as-plan",
        "walk assets/lessons/05-dusk-lamp.json --step 4 --as-plan",
    ),
    (
        "lesson-13.grade",
        "grade assets/lessons/13-any-single-loss.json tests/fixtures/lessons/wrong-13-no-second-supply.json --json",
    ),
    (
        "lesson-11.grade-read",
        "grade assets/lessons/11-changeover.json tests/fixtures/lessons/wrong-11-least-too-high.json",
    ),
    (
        "lesson-1.grade-table",
        "grade assets/lessons/01-one-lamp.json tests/fixtures/lessons/01-1.json tests/fixtures/lessons/wrong-01-too-many.json",
    ),
    (
        "lesson-1.grade-csv",
        "grade assets/lessons/01-one-lamp.json tests/fixtures/lessons/01-1.json tests/fixtures/lessons/wrong-01-duty-broken.json --csv",
    ),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What the program prints, run in the repository's folder.
fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_duskline"))
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("the program starts");
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_ne!(output.status.code(), Some(2), "{arguments:?}: {errors}");
    String::from_utf8(output.stdout).expect("text")
}

/// Every file with what it should hold.
fn all() -> Vec<(PathBuf, String)> {
    let folder = root().join("tests/fixtures/terminal");
    let mut found = Vec::new();
    for (name, plan) in PLANS {
        let link = printed(&["link", plan]);
        for (command, arguments) in COMMANDS {
            let arguments: Vec<&str> = arguments
                .split(' ')
                .map(|word| match word {
                    "PLAN" => plan,
                    "LINK" => link.trim_end(),
                    word => word,
                })
                .collect();
            found.push((
                folder.join(format!("{name}.{command}.txt")),
                printed(&arguments),
            ));
        }
    }
    for (name, arguments) in ONCE {
        let arguments: Vec<&str> = arguments.split(' ').collect();
        found.push((folder.join(format!("{name}.txt")), printed(&arguments)));
    }
    found
}

/// The first line in which two texts differ, with its number.
fn first_difference(held: &str, found: &str) -> String {
    let (mut held, mut found) = (held.split('\n'), found.split('\n'));
    for number in 1.. {
        match (held.next(), found.next()) {
            (None, None) => break,
            (held, found) if held != found => {
                return format!("line {number}:\n  the file: {held:?}\n  printed:  {found:?}");
            }
            _ => {}
        }
    }
    "nowhere".into()
}

#[test]
fn every_command_prints_what_its_file_holds() {
    let writes = std::env::var_os("DUSKLINE_WRITE_GOLDEN").is_some();
    let mut differ = Vec::new();
    for (path, found) in all() {
        if writes {
            std::fs::write(&path, &found).expect("the file can be written");
        }
        let held = std::fs::read_to_string(&path).unwrap_or_default();
        if held != found {
            differ.push(format!(
                "{}: {}",
                path.display(),
                first_difference(&held, &found)
            ));
        }
    }
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

#[test]
fn no_file_is_left_that_no_command_prints() {
    let mut held: Vec<PathBuf> = std::fs::read_dir(root().join("tests/fixtures/terminal"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "txt"))
        .collect();
    held.sort();
    let of_plans = PLANS
        .iter()
        .flat_map(|(plan, _)| COMMANDS.map(|(command, _)| format!("{plan}.{command}")));
    let mut named: Vec<PathBuf> = of_plans
        .chain(ONCE.map(|(name, _)| name.to_string()))
        .map(|name| root().join(format!("tests/fixtures/terminal/{name}.txt")))
        .collect();
    named.sort();
    assert_eq!(held, named);
}
