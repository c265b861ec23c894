//! The command line, run as a user runs it.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;

use program::{err, out, run};
use serde_json::{Value, json};
use std::process::Output;

const DUSK_LAMP: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/assets/examples/dusk-lamp.json"
);
const KITTIWAKE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/assets/examples/kittiwake-light.json"
);

fn parsed(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A steady generator of 12 u on a lamp of 2 u, the lamp's loop on a heater, with a switch between.
fn small() -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Small", "book": {
            "name": "own", "unit": "u", "step": 1, "types": [
                { "type": "gen", "behaviour": "source", "peak": 12, "profile": "steady" },
                { "type": "cell", "behaviour": "battery", "capacity": 10, "max_in": 4, "max_out": 4,
                  "efficiency": 1000, "cut_out": 0, "cut_in": 100, "set": { "start": 500 } },
                { "type": "lamp", "behaviour": "load", "draw": 2 },
                { "type": "switch", "behaviour": "contact", "function": "manual", "coil": 1 },
                { "type": "bus", "behaviour": "busbar", "ways": 2 },
            ]
        },
        "parts": [
            { "id": "g", "type": "gen" },
            { "id": "l", "type": "lamp", "name": "Stair lamp" },
            { "id": "s", "type": "switch", "set": { "closed": true } },
            { "id": "b", "type": "cell" },
        ],
        "wires": [
            { "id": "x", "from": "g.out", "to": "l.in" },
            { "id": "y", "from": "l.loop", "to": "s.feed" },
            { "id": "z", "from": "s.out", "to": "b.in" },
        ],
    })
}

#[test]
fn solve_answers_in_json_by_the_rules() {
    let output = run(
        &["solve", "-", "--at", "01:00", "--json"],
        &small().to_string(),
    );
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let found = parsed(&output);
    assert_eq!(found["t"], 3_600_000);
    assert_eq!(
        found["wires"],
        json!({ "x": { "offer": 12, "take": 6 }, "y": { "offer": 10, "take": 4 }, "z": { "offer": 10, "take": 4 } })
    );
    assert_eq!(
        found["parts"],
        json!({ "l": { "runs": true }, "s": { "conducts": true }, "b": { "level": 9.0, "output": true, "full": false } })
    );
    let keys: Vec<&String> = found.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["t", "wires", "parts", "problems"]);
    for problem in found["problems"].as_array().unwrap() {
        let keys: Vec<&String> = problem.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["kind", "weight", "parts", "wires", "says"]);
    }
    let second = run(
        &["solve", "-", "--at", "12:00", "--day", "2", "--json"],
        &small().to_string(),
    );
    assert_eq!(parsed(&second)["t"], 86_400_000 + 43_200_000);
    assert_eq!(parsed(&second)["parts"]["b"]["full"], true);
}

#[test]
fn solve_lays_the_same_out_for_reading() {
    let output = run(&["solve", "-", "--at", "01:00"], &small().to_string());
    let text = out(&output);
    assert!(text.starts_with("Small, day 1, 01:00\n\n"), "{text}");
    for line in [
        "l     Stair lamp  runs on 2 u",
        "g     gen         gives 6 u of 12 u, spills 6 u",
        "b     cell        9 u·h of 10 u·h, takes 4 u, gives 0 u",
        "s     switch      closed",
        "x        6     12  gen out          Stair lamp in",
    ] {
        assert!(text.contains(line), "{line} is not in\n{text}");
    }
}

#[test]
fn a_closed_loop_is_exit_code_1() {
    let mut plan = small();
    plan["parts"] = json!([{ "id": "a", "type": "bus" }, { "id": "b", "type": "lamp" }]);
    plan["wires"] = json!([
        { "id": "x", "from": "a.out", "to": "b.in" },
        { "id": "y", "from": "b.loop", "to": "a.in2" },
    ]);
    for arguments in [
        &["solve", "-", "--at", "12:00", "--json"][..],
        &["day", "-", "--json"],
    ] {
        let output = run(arguments, &plan.to_string());
        assert_eq!(output.status.code(), Some(1));
        let found = parsed(&output);
        assert!(
            found["problems"]
                .as_array()
                .unwrap()
                .iter()
                .any(|p| p["kind"] == "closed-loop"
                    && p["weight"] == "error"
                    && p["parts"] == json!(["a", "b"])
                    && p["wires"] == json!(["x", "y"])),
            "{found}"
        );
    }
}

#[test]
fn a_plan_that_cant_be_read_is_exit_code_2_with_every_fault() {
    let mut plan = small();
    plan["parts"][1]["type"] = json!("lampp");
    plan["wires"][2]["to"] = json!("b.inn");
    let output = run(&["solve", "-", "--at", "12:00"], &plan.to_string());
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(out(&output), "");
    assert_eq!(
        err(&output),
        "-: parts[1].type: found \"lampp\", expected a part type of the book\n\
         -: wires[2].to: found \"b.inn\", a port that is not there, expected an input port of b: in\n"
    );
    let output = run(&["solve", "-", "--at", "12:00"], "{");
    assert_eq!(output.status.code(), Some(2));
    let output = run(&["solve", "no such file", "--at", "12:00"], "");
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).starts_with("no such file: "));
    let output = run(&["solve", DUSK_LAMP, "--at", "24:01"], "");
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("expected HH:MM from 00:00 to 24:00"));
}

#[test]
fn day_answers_in_json_by_the_rules() {
    let output = run(&["day", "-", "--json"], &small().to_string());
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let found = parsed(&output);
    let keys: Vec<&String> = found.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "ended",
            "events",
            "loads",
            "batteries",
            "sources",
            "contacts",
            "problems"
        ]
    );
    assert_eq!(found["ended"], "complete");
    // Half of 10 u·h is missing, 4 u come in: full after 75 minutes.
    assert_eq!(
        found["events"],
        json!([{ "t": 4_500_000, "part": "b", "what": "full" }])
    );
    assert_eq!(
        found["loads"],
        json!({ "l": { "runs": [[0, 86_400_000]], "energy": 48.0 } })
    );
    assert_eq!(
        found["batteries"],
        json!({ "b": {
            "level": [[0, 5.0], [4_500_000, 10.0], [86_400_000, 10.0]], "in": 5.0, "out": 0.0, "lost": 0.0
        } })
    );
    assert_eq!(
        found["sources"],
        json!({ "g": { "available": 288.0, "taken": 53.0 } })
    );
    assert_eq!(
        found["contacts"],
        json!({ "s": { "conducts": [[0, 86_400_000]] } })
    );
    let text = run(&["day", "-", "--days", "2"], &small().to_string());
    assert!(
        out(&text).starts_with("Small, 2 days\n\n"),
        "{}",
        out(&text)
    );
    assert!(
        out(&text).contains("ran 48 h on 96 u·h, short 0 h, 0 starts"),
        "{}",
        out(&text)
    );
}

/// The small plan's lamp behind its switch, which is open, and a duty of the lamp.
fn dark() -> Value {
    let mut plan = small();
    plan["parts"][2]["set"]["closed"] = json!(false);
    plan["wires"] = json!([{ "id": "x", "from": "g.out", "to": "s.feed" }, { "id": "y", "from": "s.out", "to": "l.in" }]);
    plan["duties"] = json!([{ "part": "l", "when": "clock", "from": "18:00", "to": "22:00" }]);
    plan
}

#[test]
fn check_says_why_a_duty_is_broken_and_in_json_only_when_asked() {
    let text = dark().to_string();
    let read = run(&["check", "-"], &text);
    assert_eq!(read.status.code(), Some(1));
    assert!(
        out(&read).contains("\nStair lamp does not run from 18:00 to 22:00: switch is set open.\n"),
        "{}",
        out(&read)
    );
    let plain = parsed(&run(&["check", "-", "--json"], &text));
    let gap = json!([64_800_000, 79_200_000, "off"]);
    assert_eq!(
        plain["duties"][0],
        json!({ "part": "l", "kept": false, "gaps": [gap] })
    );
    let asked = parsed(&run(&["check", "-", "--json", "--causes"], &text));
    let cause = json!({ "says": "Stair lamp does not run from 18:00 to 22:00: switch is set open.", "parts": ["l", "s"], "wires": ["y"] });
    assert_eq!(asked["duties"][0]["causes"], json!([cause]));
}

#[test]
fn autonomy_answers_for_reading_and_in_json() {
    let read = run(&["autonomy", DUSK_LAMP, "--at", "18:00"], "");
    assert_eq!(read.status.code(), Some(0));
    for said in [
        "No sun and wind from day 1 18:00 on",
        "21 h 49 min  day 2 15:49  off",
    ] {
        assert!(out(&read).contains(said), "{said}: {}", out(&read));
    }
    // Whoever asks of one moment does not wait for the search of all.
    let sought = [
        "No sun and wind from the worst moment on, once the days repeat",
        "A single day without sun is too much",
    ];
    let all = run(&["autonomy", DUSK_LAMP], "");
    for said in sought {
        assert!(!out(&read).contains(said), "{said}: {}", out(&read));
        assert!(out(&all).contains(said), "{said}: {}", out(&all));
    }
    let json = parsed(&run(
        &["autonomy", DUSK_LAMP, "--at", "18:00", "--json"],
        "",
    ));
    assert_eq!(json["from"]["t"], json!(64_800_000));
    assert_eq!(json["from"]["duties"][1]["then"], json!("off"));
    assert_eq!(
        (&json["worst"], &json["bad_weather"]),
        (&Value::Null, &Value::Null)
    );
    let alone = parsed(&run(&["autonomy", DUSK_LAMP, "--json"], ""));
    assert_eq!(alone["from"], Value::Null);
    assert_eq!(alone["worst"]["days"], json!([2, 2]));
    assert_eq!(alone["worst"]["more"], json!(false));
    assert_eq!(alone["bad_weather"]["days"], json!(0));
}

#[test]
fn every_example_is_solved_and_run_without_an_error() {
    for name in ["dusk-lamp", "first-light", "kittiwake-light"] {
        let file = format!("{}/assets/examples/{name}.json", env!("CARGO_MANIFEST_DIR"));
        for arguments in [&["solve", &file, "--at", "21:30"][..], &["day", &file]] {
            let output = run(arguments, "");
            assert_eq!(
                output.status.code(),
                Some(0),
                "{name}: {}{}",
                out(&output),
                err(&output)
            );
        }
    }
}

#[test]
fn a_world_goes_into_a_link_and_back() {
    let world = json!({ "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands",
        "book": "outpost", "world": { "day_s": 7200 } });
    let link = run(
        &["link", "-", "--base", "https://example.org/#x"],
        &world.to_string(),
    );
    assert!(
        out(&link).starts_with("https://example.org/#w1."),
        "{}",
        out(&link)
    );
    assert_eq!(parsed(&run(&["open", out(&link).trim()], "")), world);
    assert_eq!(parsed(&run(&["open", "-"], out(&link))), world);
    let mut wrong = world;
    wrong["world"]["day_s"] = json!(0);
    let wrong = run(&["link", "-"], &wrong.to_string());
    assert_eq!(wrong.status.code(), Some(2));
    assert_eq!(
        err(&wrong),
        "-: world.day_s: found 0, expected a number from 0.001 to 100000000\n"
    );
    let cut = run(&["open", &out(&link)[..60]], "");
    assert!(
        err(&cut).starts_with("This link is cut off"),
        "{}",
        err(&cut)
    );
}

#[test]
fn a_link_goes_there_and_back() {
    let link = run(
        &[
            "link",
            KITTIWAKE,
            "--base",
            "https://example.org/duskline/#old",
        ],
        "",
    );
    assert!(out(&link).starts_with("https://example.org/duskline/#d3."));
    let bare = run(&["link", KITTIWAKE], "");
    assert!(out(&bare).starts_with("#d3."));
    let written: Value =
        serde_json::from_str(&std::fs::read_to_string(KITTIWAKE).unwrap()).unwrap();
    let opened = run(&["open", out(&link).trim()], "");
    assert_eq!(parsed(&opened)["parts"], written["parts"]);
    assert_eq!(parsed(&opened)["wires"], written["wires"]);
    assert_eq!(parsed(&opened)["site"], written["site"]);
    assert_eq!(parsed(&run(&["open", "-"], out(&bare))), parsed(&opened));
    let cut = run(&["open", &out(&link)[..200]], "");
    assert_eq!(cut.status.code(), Some(2));
    assert!(err(&cut).starts_with("This link is cut off"));
}

#[test]
fn the_book_is_a_table_or_json() {
    let text = run(&["book"], "");
    assert_eq!(text.status.code(), Some(0));
    assert!(
        out(&text).starts_with(
            "outpost: 53 part types. A step of power is 1 u, a contact's lag 100 ms.\n"
        )
    );
    let found = parsed(&run(&["book", "outpost", "--json"], ""));
    assert_eq!(found["types"].as_array().unwrap().len(), 53);
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/books/outpost.json");
    assert_eq!(parsed(&run(&["book", file, "--json"], "")), found);
    let none = run(&["book", "inpost"], "");
    assert_eq!(none.status.code(), Some(2));
    assert!(err(&none).contains("The built-in books are: outpost, harbour, bare."));
}

#[test]
fn a_picture_goes_to_the_output_or_to_a_file() {
    let output = run(&["picture", DUSK_LAMP, "--at", "21:30"], "");
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).starts_with("<svg ") && out(&output).ends_with("</svg>\n"));
    assert!(out(&output).contains(">Day 1, 21:30</text>"));
    let remark = "Without --base URL the plan's link is not in the picture.\n";
    assert_eq!(err(&output), remark);
    let file = concat!(env!("CARGO_TARGET_TMPDIR"), "/terminal-picture.svg");
    let written = run(&["picture", DUSK_LAMP, "--at", "21:30", "-o", file], "");
    assert_eq!((written.status.code(), out(&written)), (Some(0), ""));
    assert_eq!(std::fs::read_to_string(file).unwrap(), out(&output));
    let named = [
        "--base",
        "https://example.org/",
        "--title",
        "A <lamp>",
        "--caption",
        "",
    ];
    let named = run(&[&["picture", DUSK_LAMP][..], &named].concat(), "");
    assert_eq!(err(&named), "");
    assert!(out(&named).contains(">A &lt;lamp&gt;</text>"));
    assert!(!out(&named).contains("pic-caption"));
}

#[test]
fn a_picture_that_can_not_be_had_is_exit_code_2_with_what_was_expected() {
    let small = small().to_string();
    let nowhere = concat!(env!("CARGO_TARGET_TMPDIR"), "/no-such-folder/x.svg");
    for (arguments, input, told) in [
        (
            &["-", "--what", "painting"][..],
            &small[..],
            "[possible values: board, day, explanation, site, motion]",
        ),
        (
            &["-", "--theme", "red"],
            &small,
            "[possible values: light, dark, clear-dark-ink, clear-light-ink]",
        ),
        (
            &["-", "--size", "huge"],
            &small,
            "[possible values: thumbnail, page, poster]",
        ),
        (
            &["-", "--at", "25:00"],
            &small,
            "expected HH:MM from 00:00 to 24:00",
        ),
        (&["-", "--seconds", "1"], &small, "1 is not in 5..=3600"),
        (&["-", "--day", "61"], &small, "61 is not in 1..=60"),
        (
            &["-", "--what", "site"],
            &small,
            "-: found a plan without a site, expected one with a site\n",
        ),
        (
            &["-", "--storey", "1"],
            &small,
            "--storey: found another picture than that of the site, expected --what site\n",
        ),
        (
            &[KITTIWAKE, "--what", "site", "--storey", "7"],
            "",
            ": found storey 7, expected one from 1 to 5, the lowest first\n",
        ),
        (
            &["-", "-o", nowhere],
            &small,
            "; expected a file that can be written\n",
        ),
        (&["-"], "{}", "-: "),
    ] {
        let output = run(&[&["picture"][..], arguments].concat(), input);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            err(&output).contains(told),
            "{arguments:?}: {}",
            err(&output)
        );
        assert_eq!(out(&output), "", "{arguments:?}");
    }
    let empty = json!({ "format": "duskline/plan", "version": 1, "title": "", "book": "outpost", "parts": [], "wires": [] });
    let output = run(&["picture", "-"], &empty.to_string());
    let told = "-: found no part on the board, expected at least one\n";
    assert_eq!((output.status.code(), err(&output)), (Some(2), told));
}

#[test]
fn help_says_what_it_is_for_and_warns() {
    let text = run(&["--help"], "");
    assert_eq!(text.status.code(), Some(0));
    for words in [
        "Exit codes:",
        "Examples:",
        "follow local codes and licensed",
    ] {
        assert!(out(&text).contains(words), "{words}");
    }
}

/// Two generators on a busbar, a lamp that must always run, and a switch with nothing behind it.
fn doubled() -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Doubled", "book": "outpost",
        "parts": [
            { "id": "a", "type": "generator", "name": "Old generator" },
            { "id": "b", "type": "generator", "name": "New generator" },
            { "id": "j", "type": "busbar-2", "name": "Joint" },
            { "id": "s", "type": "switch", "name": "Landing switch", "set": { "closed": true } },
            { "id": "l", "type": "lamp", "name": "Stair lamp" },
        ],
        "wires": [
            { "id": "w1", "from": "a.out", "to": "j.in1" },
            { "id": "w2", "from": "b.out", "to": "j.in2" },
            { "id": "w3", "from": "j.out", "to": "s.feed" },
            { "id": "w4", "from": "s.out", "to": "l.in" },
        ],
        "duties": [{ "part": "l", "when": "always" }],
    })
}

#[test]
fn losses_are_ranked_with_their_times_and_pairs_on_request() {
    let output = run(&["losses", "-", "--pairs"], &doubled().to_string());
    let expected = "\
Survives 4 of 10 single losses.
5 single points of failure, each breaking the one duty: Joint, Landing switch, Stair lamp, Wire from Joint to Landing switch, \
Wire from Landing switch to Stair lamp.
";
    assert!(out(&output).starts_with(expected), "{}", out(&output));
    let words = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    let rows: Vec<String> = out(&output).lines().map(words).collect();
    let row = "Joint day 1 00:00 good 24.0 h 48 u·h Stair lamp, always";
    assert!(rows.iter().any(|r| r == row), "{}", out(&output));
    let pair = "Old generator  New generator  Stair lamp, always\n";
    assert!(out(&output).contains(pair), "{}", out(&output));
}

#[test]
fn losses_as_json_list_only_what_they_always_did_unless_more_is_asked_for() {
    let answer = parsed(&run(&["losses", "-", "--json"], &doubled().to_string()));
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["losses", "problems"]);
    assert_eq!(
        answer["losses"][2],
        json!({"loss": {"part": "j"}, "breaks": [0]})
    );
    assert_eq!(
        answer["losses"][9],
        json!({"loss": {"switch": "s"}, "breaks": [0]})
    );
    let more = parsed(&run(
        &["losses", "-", "--json", "--details", "--pairs", "--empty"],
        &doubled().to_string(),
    ));
    assert_eq!((&more["survives"], &more["tried"]), (&json!(4), &json!(10)));
    assert_eq!(more["losses"][2]["harms"][0]["first"], 0);
    assert_eq!(
        more["pairs"][0]["losses"],
        json!([{"part": "a"}, {"part": "b"}])
    );
    assert_eq!(
        more["all_power_through"][0],
        json!({"loss": {"part": "j"}, "after": null, "loads": [], "behind": 1})
    );
}

#[test]
fn logic_is_a_table_of_every_combination() {
    let output = run(&["logic", "-", "--at", "12:00"], &doubled().to_string());
    let expected = "\
Inputs: Landing switch

     true            loads that run  contacts that conduct  comes to rest
     -               -               -                      yes
now  Landing switch  Stair lamp      -                      yes

Changing one input after the other comes to 2 settled states, all there are.
";
    assert_eq!(out(&output), expected);
    let answer = parsed(&run(
        &["logic", "-", "--at", "12:00", "--json"],
        &doubled().to_string(),
    ));
    assert_eq!(answer["rows"][1]["runs"], json!([true]));
    assert_eq!(answer["sequences"]["complete"], true);
}

#[test]
fn findings_are_told_worst_first_and_one_can_be_taken() {
    let told = run(&["findings", KITTIWAKE], "");
    assert!(
        out(&told).starts_with(
            "1. Switch within reach (warning): Causeway switch is within reach of anyone: thrown, it breaks the duty of \
             Causeway door lock, for 24 h a day.\n   Tried: If only builders reach Causeway switch, nobody else can \
             throw it: 0 duties break that way.\n"
        ),
        "{}",
        out(&told)
    );
    assert_eq!(told.status.code(), Some(0));
    let json = parsed(&run(&["findings", KITTIWAKE, "--json"], ""));
    assert_eq!(json["findings"][0]["kind"], "reachable-switch");
    assert_eq!(json["findings"][0]["weight"], "warning");
    let taken = run(&["findings", KITTIWAKE, "--take", "1"], "");
    let taken = parsed(&taken);
    let mut parts = taken["parts"].as_array().unwrap().iter();
    let switch = parts.find(|p| p["name"] == "Causeway switch").unwrap();
    assert_eq!(switch["reach"], "builders");
    let none = run(&["findings", KITTIWAKE, "--take", "99"], "");
    assert_eq!(none.status.code(), Some(2));
    assert!(
        err(&none).starts_with("--take 99: the plan has "),
        "{}",
        err(&none)
    );
}

#[test]
fn a_start_is_moved_and_what_cannot_be_asked_is_named() {
    let ask = |rest: &[&str]| run(&[&["start", KITTIWAKE, "--at", "17:40"], rest].concat(), "");
    let json = parsed(&ask(&["--load", "Dusk lamp", "--json"]));
    assert!(json["offers"][0]["off_ms"].as_i64().unwrap() <= 0);
    let taken = out(&ask(&["--load", "Dusk lamp", "--take", "1"])).to_string();
    let again = run(
        &["start", "-", "--load", "p9", "--at", "17:40", "--json"],
        &taken,
    );
    assert_eq!(parsed(&again)["already"], true);
    assert_eq!(again.status.code(), Some(0));
    for (rest, says) in [
        (
            ["--load", "Lamp"],
            "--load Lamp: found no such part, expected a load's id or name\n",
        ),
        (
            ["--load", "p1"],
            "--load p1: East roof panels is no load.\n",
        ),
    ] {
        let told = ask(&rest);
        assert_eq!((err(&told), told.status.code()), (says, Some(2)));
    }
    let told = ask(&["--load", "p9", "--take", "99"]);
    assert!(
        err(&told).starts_with("--take 99: found "),
        "{}",
        err(&told)
    );
}

#[test]
fn a_finding_that_is_meant_so_comes_last_and_says_so() {
    let mut plan: Value =
        serde_json::from_str(&std::fs::read_to_string(KITTIWAKE).unwrap()).unwrap();
    let before = parsed(&run(&["findings", "-", "--json"], &plan.to_string()));
    let first = &before["findings"][0];
    plan["meant"] = json!([{ "finding": first["kind"], "part": first["parts"][0] }]);
    let after = parsed(&run(&["findings", "-", "--json"], &plan.to_string()));
    let mut last = after["findings"]
        .as_array()
        .unwrap()
        .last()
        .unwrap()
        .clone();
    assert_eq!(
        last.as_object_mut().unwrap().remove("meant"),
        Some(json!(true))
    );
    assert_eq!(last, *first);
    assert_eq!(after["findings"][0], before["findings"][1]);
    let text = run(&["findings", "-"], &plan.to_string());
    let (open, meant) = out(&text)
        .split_once("Meant so:\n")
        .expect("a part of its own");
    assert!(!open.contains("Switch within reach") && meant.contains("Switch within reach"));
}

#[test]
fn two_variants_are_compared() {
    let taken = run(&["findings", KITTIWAKE, "--take", "1"], "");
    let told = run(&["compare", KITTIWAKE, "-"], out(&taken));
    assert_eq!(told.status.code(), Some(0));
    let text = out(&told);
    let row = |what: &str| {
        let line = text
            .lines()
            .find(|l| l.starts_with(what))
            .unwrap_or_default();
        line.split_whitespace()
            .map(String::from)
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(row("Duties kept"), "Duties kept 6 of 6 6 of 6");
    assert_eq!(
        row("Causeway switch "),
        "Causeway switch reach anyone builders"
    );
    let json = parsed(&run(
        &["compare", KITTIWAKE, KITTIWAKE, "--no-losses", "--json"],
        "",
    ));
    assert_eq!(json["parts"], json!([]));
    let same = run(&["compare", KITTIWAKE, KITTIWAKE, "--no-losses"], "");
    assert!(out(&same).ends_with("\nNothing differs.\n"));
}

#[test]
fn losses_say_what_they_change_of_a_duty_that_is_broken_anyway() {
    // The lamp must always run and has two time switches: it is dark from 20:00 on, and without the first before 08:00.
    let gate = |id: &str, from: &str, to: &str| json!({ "id": id, "type": "time-switch", "set": { "from": from, "to": to } });
    let part = |id: &str, kind: &str| json!({ "id": id, "type": kind });
    let wire = |(id, from, to): (&str, &str, &str)| json!({ "id": id, "from": from, "to": to });
    let wires = [
        ("v", "gen.out", "split.in"),
        ("w", "split.out1", "a.feed"),
        ("x", "split.out2", "b.feed"),
        ("y", "a.out", "bar.in1"),
        ("z", "b.out", "bar.in2"),
        ("u", "bar.out", "lamp.in"),
    ]
    .map(wire);
    let plan = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [part("gen", "generator"), part("split", "divider-2"), gate("a", "00:00", "08:00"),
                  gate("b", "08:00", "20:00"), part("bar", "busbar-2"), part("lamp", "lamp")],
        "wires": wires,
        "duties": [{ "part": "lamp", "when": "always" }],
    })
    .to_string();
    let output = run(&["losses", "-", "--json"], &plan);
    let found = parsed(&output);
    assert_eq!(
        found["losses"][2],
        json!({ "loss": { "part": "a" }, "breaks": [], "changes": [
            { "duty": 0, "before": 14_400_000, "after": 43_200_000, "further": [0, 28_800_000, "off"],
              "mends_some": false, "mended": false }] })
    );
    let read = run(&["losses", "-"], &plan);
    let text = out(&read);
    let said =
        "Of the duties that are broken anyway, 12 of 12 losses make one worse and 0 mend gaps.";
    assert!(text.contains(said), "{text}");
    assert!(
        text.contains("further gaps, the first on day 1 00:00"),
        "{text}"
    );
    assert!(text.contains("longer gaps"), "{text}");
}

/// A source of 3 u too many, and a battery and lamp behind it.
fn oversized() -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Oversized", "book": {
            "name": "own", "unit": "u", "step": 1, "types": [
                { "type": "gen", "label": "Generator", "behaviour": "source", "peak": 3, "profile": "steady", "cost": { "iron": 4 } },
                { "type": "cell", "label": "Cell", "behaviour": "battery", "capacity": 10, "max_in": 9, "max_out": 9,
                  "efficiency": 1000, "cut_out": 0, "cut_in": 100, "set": { "start": 500 }, "cost": { "salt": 1 } },
                { "type": "lamp", "label": "Lamp", "behaviour": "load", "draw": 5 },
            ]
        },
        "parts": [
            { "id": "g", "type": "gen", "count": 5 }, { "id": "b", "type": "cell", "count": 2 }, { "id": "l", "type": "lamp" },
        ],
        "wires": [{ "id": "x", "from": "g.out", "to": "b.in" }, { "id": "y", "from": "b.out", "to": "l.in" }],
        "duties": [{ "part": "l", "when": "always" }],
    })
}

#[test]
fn sizes_are_laid_out_for_reading() {
    let output = run(&["sizes", "-", "--reserve"], &oversized().to_string());
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let text = out(&output);
    for line in [
        "Least: 3 sources and batteries. The plan has 7 sources and batteries.",
        "The search is complete.",
        "Generator        5      2  Lamp is off from day 1 02:30",
        "Cell             2      1",
        "Next cheaper (2 sources and batteries): Generator × 1: Lamp is off from day 1 02:30.",
        "Generator         10 u              10 u",
        "Cell              10 u              11 u  would not help: 20 u·h are left at the lowest",
    ] {
        assert!(text.contains(line), "{line} is not in\n{text}");
    }
}

#[test]
fn sizes_answers_in_json_and_a_broken_plan_is_exit_code_1() {
    let output = run(
        &["sizes", "-", "--weigh", "iron=10", "--json"],
        &oversized().to_string(),
    );
    let found = parsed(&output);
    let keys: Vec<&String> = found.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "ended", "exact", "present", "least", "sizes", "turned", "cheaper", "runs", "problems"
        ]
    );
    assert_eq!(found["exact"], true);
    assert_eq!(
        found["least"],
        json!({ "cost": 81, "parts": 3, "breaks": [], "for_ever": true, "days": 2 })
    );
    assert_eq!(found["sizes"][0]["least"], 2);
    assert_eq!(found["sizes"][0]["one_fewer"]["breaks"][0]["duty"], 0);
    let mut broken = oversized();
    broken["parts"][0]["count"] = json!(1);
    let output = run(&["sizes", "-"], &broken.to_string());
    assert_eq!(output.status.code(), Some(1));
    assert!(out(&output).starts_with("Least: 3 sources"));
    // Without any time the first run is the last, and what is told is what the plan has.
    let hurried = run(
        &["sizes", "-", "--seconds", "0", "--json"],
        &oversized().to_string(),
    );
    let hurried = parsed(&hurried);
    assert_eq!(
        (&hurried["ended"], &found["ended"]),
        (&json!("stopped"), &json!("complete"))
    );
    assert_eq!(hurried["exact"], false);
    assert_eq!(hurried["least"]["parts"], 7);
    let wrong = run(&["sizes", "-", "--turn", "0,15"], "");
    assert_eq!(wrong.status.code(), Some(2));
    assert!(err(&wrong).contains("whole degrees, 1 to 180 and 1 to 90"));
}
