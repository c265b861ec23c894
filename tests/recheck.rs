//! Numbers change: rechecked verdicts against those of each plan checked anew from its file, on random plans, and the
//! command that goes through a folder.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::plan::{BookRef, Follows, Plan, Refusal, World, read_plan};
use duskline::proof::recheck::{NewNumbers, Turn, recheck};
use duskline::proof::{Verdict, causes, check};
use serde_json::{Value, json};
use simple_engine::duties;
use simple_engine::generate::{Case, Random};
use std::path::PathBuf;
use std::process::{Command, Output};

const PLANS: u64 = 90;

fn read(case: &Case) -> Plan {
    read_plan(&case.document.to_string()).unwrap()
}

/// The plan's own book with other numbers here and there; in some, a type is gone.
fn other_book(plan: &Plan, random: &mut Random) -> BookRef {
    let mut book = plan.book.written.clone();
    let types = book["types"].as_array_mut().unwrap();
    for kind in types.iter_mut() {
        for key in ["peak", "draw", "max_in", "max_out"] {
            if kind[key].is_u64() && random.chance(60) {
                kind[key] = json!(random.between(1, 9));
            }
        }
    }
    if random.chance(15) {
        let at = random.index(types.len());
        types.remove(at);
    }
    let read = duskline::book::read_book(&book).unwrap();
    BookRef::new(read.into(), book)
}

fn other_world(plan: &Plan, random: &mut Random) -> World {
    let mut world = plan.world.clone();
    world.weather = (0..random.between(1, 3))
        .map(|_| random.between(0, 10) as f64 / 10.0)
        .collect();
    world
}

/// The plan's file with these numbers written into it by hand.
fn by_hand(plan: &Plan, numbers: &NewNumbers) -> Option<Plan> {
    let mut file = plan.to_value();
    if let Some(book) = &numbers.book {
        file["book"] = book.written.clone();
    }
    if let Some(world) = &numbers.world {
        let other = Plan {
            world: world.clone(),
            ..plan.clone()
        };
        file["world"] = other.to_value()["world"].clone();
        if file["world"].is_null() {
            file.as_object_mut().unwrap().shift_remove("world");
        }
    }
    read_plan(&file.to_string()).ok()
}

#[test]
fn a_plan_rechecked_has_the_verdicts_and_causes_of_the_plan_checked_anew() {
    let (mut turned, mut refused) = ([0; 4], 0);
    duties::plans().each(PLANS, |case| {
        let (plan, mut random) = (read(case), Random::new(case.seed ^ 0x5e1f));
        let numbers = NewNumbers {
            book: random.chance(80).then(|| other_book(&plan, &mut random)),
            world: random.chance(60).then(|| other_world(&plan, &mut random)),
            followed: None,
        };
        let anew = by_hand(&plan, &numbers);
        let found = match recheck(&plan, &numbers) {
            Ok(found) => found,
            Err(refusals) => {
                assert!(anew.is_none(), "plan {}: {refusals:?}", case.seed);
                assert!(refusals.iter().all(|r| matches!(r, Refusal::NoType { .. })));
                refused += 1;
                return;
            }
        };
        let anew = anew.unwrap_or_else(|| panic!("plan {}: its file is not read", case.seed));
        let after = check(&anew);
        assert_eq!(found.before, check(&plan), "plan {}", case.seed);
        assert_eq!(found.after, after, "plan {}", case.seed);
        let why = causes(&anew, &after, &mut |_, _| {});
        assert_eq!(found.duties.len(), plan.duties.len());
        for (at, duty) in found.duties.iter().enumerate() {
            assert_eq!((&duty.after, &duty.causes), (&after.duties[at], &why[at]));
            let gone = |v: &Verdict| v.gaps.iter().map(|g| g.to - g.from).sum::<u64>();
            let expected = match (duty.before.kept, duty.after.kept) {
                (true, true) => [Turn::Same, Turn::Otherwise],
                (true, false) => [Turn::Worse; 2],
                (false, true) => [Turn::Better; 2],
                // Of runs as long, the longer gaps are the worse.
                (false, false) if found.before.days == after.days => {
                    match gone(&duty.after).cmp(&gone(&duty.before)) {
                        std::cmp::Ordering::Less => [Turn::Better; 2],
                        std::cmp::Ordering::Greater => [Turn::Worse; 2],
                        std::cmp::Ordering::Equal => [Turn::Same, Turn::Otherwise],
                    }
                }
                (false, false) => {
                    turned[duty.turn as usize] += 1;
                    continue;
                }
            };
            assert!(
                expected.contains(&duty.turn),
                "plan {}: {:?}",
                case.seed,
                duty.turn
            );
            turned[duty.turn as usize] += 1;
        }
    });
    assert!(
        refused > 3 && turned.iter().all(|n| *n > 3),
        "{refused} refused, {turned:?}"
    );
}

/// A folder of its own below the target folder, with these files.
fn folder(name: &str, files: &[(&str, String)]) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    for (file, text) in files {
        std::fs::write(folder.join(file), text).unwrap();
    }
    folder
}

fn run(folder: &PathBuf, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_duskline"));
    command.arg("recheck").arg(folder).args(arguments);
    if folder.is_dir() {
        command.current_dir(folder);
    }
    command.output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// A steady generator of 12 u, a lamp that draws so much and has a duty, in a book of this name.
fn small(book: &str, draw: u64) -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Stair",
        "book": book_of(book, draw),
        "parts": [{ "id": "g", "type": "gen" }, { "id": "l", "type": "lamp", "name": "Stair lamp" }],
        "wires": [{ "id": "x", "from": "g.out", "to": "l.in" }],
        "duties": [{ "part": "l", "when": "always" }],
    })
}

fn book_of(name: &str, draw: u64) -> Value {
    json!({ "name": name, "types": [
        { "type": "gen", "behaviour": "source", "peak": 12, "profile": "steady" },
        { "type": "lamp", "label": "Lamp", "behaviour": "load", "draw": draw },
    ]})
}

fn files() -> Vec<(&'static str, String)> {
    let mut no_lamp = small("shore", 2);
    no_lamp["book"]["types"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "type": "siren", "label": "Siren", "behaviour": "load", "draw": 1 }));
    no_lamp["parts"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "id": "s", "type": "siren", "name": "Horn" }));
    let mut broken = small("shore", 20);
    broken["title"] = json!("Too much");
    vec![
        ("a-stair.json", small("shore", 2).to_string()),
        ("b-inland.json", small("inland", 2).to_string()),
        (
            "c-damaged.json",
            small("shore", 2)
                .to_string()
                .replace("\"lamp\",\"name\"", "\"lampp\",\"name\""),
        ),
        ("d-horn.json", no_lamp.to_string()),
        ("e-broken.json", broken.to_string()),
        ("f-no.json", "{".into()),
        ("notes.txt", "not a plan".into()),
        ("new.json", book_of("shore", 13).to_string()),
        ("easy.json", book_of("shore", 1).to_string()),
    ]
}

#[test]
fn every_plan_of_a_folder_is_told_in_the_order_of_names() {
    let folder = folder("recheck", &files());
    let output = run(&folder, &["--book", "new.json"]);
    assert_eq!(output.status.code(), Some(1), "a duty is worse");
    let expected = "\
2 plans rechecked: 1 duty worse, 0 otherwise, 0 better, 1 the same.

plan          duty                before         after          since when   why
a-stair.json  Stair lamp, always  kept for ever  broken, 1 gap  day 1 00:00  Stair lamp does not run from 00:00 to 24:00: gen gives 12 u at the most, 1 u short of the 13 u it draws.

b-inland.json: not concerned. Its book is inland.
c-damaged.json: can't be read
  parts[1].type: found \"lampp\", expected a part type of the book
d-horn.json: can't stand on the new numbers. The book has no Siren (siren), and the plan has: Horn.
f-no.json: can't be read
  line 1, column 1: found the end of the text, expected the rest of an object
";
    assert_eq!(out(&output), expected);
    let easy = run(&folder, &["--book", "easy.json", "--all"]);
    assert_eq!(easy.status.code(), Some(0), "{}", out(&easy));
    assert!(
        out(&easy)
            .starts_with("3 plans rechecked: 0 duties worse, 0 otherwise, 1 better, 2 the same.\n")
    );
}

#[test]
fn the_same_as_json_drops_nothing() {
    let folder = folder("recheck-json", &files());
    let output = run(&folder, &["--book", "new.json", "--json"]);
    let found: Value = serde_json::from_str(&out(&output)).unwrap();
    let keys: Vec<&String> = found.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["worse", "otherwise", "better", "same", "plans"]);
    let states: Vec<(&str, &str)> = found["plans"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| (p["file"].as_str().unwrap(), p["state"].as_str().unwrap()))
        .collect();
    let expected = [
        ("a-stair.json", "rechecked"),
        ("b-inland.json", "not-concerned"),
        ("c-damaged.json", "unreadable"),
        ("d-horn.json", "refused"),
        ("e-broken.json", "rechecked"),
        ("f-no.json", "unreadable"),
    ];
    assert_eq!(states, expected);
    let first = &found["plans"][0];
    assert_eq!(
        first["numbers"],
        json!([{ "what": "Lamp: draws", "from": 2, "to": 13 }])
    );
    assert_eq!(
        first["duties"],
        json!([{
            "part": "l", "duty": "Stair lamp, always", "turn": "worse",
            "before": { "kept": true, "for_ever": true, "days": 1, "gaps": [] },
            "after": { "kept": false, "for_ever": true, "days": 1, "gaps": [[0, 86_400_000, "off"]] },
            "causes": ["Stair lamp does not run from 00:00 to 24:00: gen gives 12 u at the most, 1 u short of the 13 u it draws."],
        }])
    );
    assert_eq!(found["plans"][1]["because"], "other-book");
}

#[test]
fn a_world_concerns_the_plans_that_follow_it() {
    let mut follower = read_plan(&small("shore", 2).to_string()).unwrap();
    follower.follows = Some(Follows::new("k1", "Kittiwake sands"));
    let mut other = follower.clone();
    other.follows = Some(Follows::new("k2", "Ledge"));
    let world = json!({ "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands",
        "book": book_of("shore", 30) });
    let files = [
        ("a.json", follower.print()),
        ("b.json", other.print()),
        ("c.json", small("shore", 2).to_string()),
        ("world.json", world.to_string()),
    ];
    let folder = folder("recheck-world", &files);
    let output = run(&folder, &["--world", "world.json"]);
    let said = out(&output);
    assert_eq!(output.status.code(), Some(1));
    assert!(said.contains("\nb.json: not concerned. It follows Ledge.\nc.json: not concerned. It follows no world.\n"), "{said}");
    assert!(said.starts_with("1 plan rechecked: 1 duty worse"), "{said}");
    assert!(!said.contains("world.json"), "{said}");
}

#[test]
fn what_is_given_wrongly_is_exit_code_2() {
    let folder = folder("recheck-wrong", &[("bad.json", "{\"name\": \"x\"}".into())]);
    for (arguments, said) in [
        (
            &["--book", "bad.json"][..],
            "bad.json: types: found nothing, expected a list of part types\n",
        ),
        (
            &["--world", "bad.json"],
            "bad.json: format: found nothing, expected \"duskline/world\"\n",
        ),
    ] {
        let output = run(&folder, arguments);
        assert_eq!(
            (
                output.status.code(),
                String::from_utf8(output.stderr).unwrap().as_str()
            ),
            (Some(2), said)
        );
    }
    assert_eq!(
        run(&folder, &[]).status.code(),
        Some(2),
        "neither a book nor a world"
    );
    let gone = run(&folder.join("gone"), &["--book", "outpost"]);
    assert_eq!(gone.status.code(), Some(2));
}
