//! The cable schedule: its most against every moment of a check's days, and its tables as another reader reads them.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;
pub mod simple_engine;

use duskline::plan::{Plan, examples, read_plan};
use duskline::proof;
use duskline::run::{self, Engine};
use duskline::works::CableSchedule;
use program::{err, out, run as program};
use serde_json::{Value, json};
use simple_engine::{Simple, generate};
use std::collections::BTreeSet;

/// What each wire takes at the most over the days of a check, and when first: at every moment in which the record of those
/// days has anything change.
fn recorded(plan: &Plan) -> Vec<(u64, u64)> {
    let days = proof::check(plan).days;
    let record = run::run(plan, days);
    let mut moments: BTreeSet<u64> = record.events.iter().map(|event| event.t).collect();
    for source in record.sources.values() {
        moments.extend(source.could.iter().chain(&source.gives).map(|(t, _)| *t));
    }
    for battery in record.batteries.values() {
        moments.extend(battery.level.iter().map(|(t, _)| *t));
    }
    moments.insert(0);
    let mut engine = Engine::new(plan);
    let mut most = vec![(0, 0); plan.wires.len()];
    for t in moments.into_iter().filter(|t| *t < record.end) {
        engine.advance(t + 1);
        for (most, flow) in most.iter_mut().zip(engine.instant(plan, t).wires) {
            if flow.take > most.0 {
                *most = (flow.take, t);
            }
        }
    }
    most
}

fn scheduled(plan: &Plan) -> Vec<(u64, u64)> {
    let cables = CableSchedule::of(plan, &mut |_| {}).cables;
    let told = |n: usize| {
        let (cable, wire) = (&cables[n], &plan.wires[n]);
        assert_eq!((cable.number, &cable.wire), (n + 1, &wire.id));
        assert_eq!((&cable.from, &cable.to), (&wire.from, &wire.to));
        (cable.most, cable.at)
    };
    assert_eq!(cables.len(), plan.wires.len());
    (0..cables.len()).map(told).collect()
}

#[test]
fn the_most_of_a_wire_is_the_most_of_the_record_of_a_check_s_days() {
    for (name, text) in examples() {
        let plan = read_plan(text).expect("an example reads");
        assert_eq!(scheduled(&plan), recorded(&plan), "{name}");
    }
    let mut carried = 0;
    generate::plans().each(60, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a valid plan");
        let most = scheduled(&plan);
        assert_eq!(most, recorded(&plan), "plan {}", case.seed);
        carried += most
            .iter()
            .filter(|(take, at)| *take > 0 && *at > 0)
            .count();
    });
    assert!(
        carried > 100,
        "only {carried} wires have their most later than at once"
    );
}

#[test]
fn the_simple_engine_finds_the_same_at_every_millisecond() {
    let mut seen = 0;
    generate::plans().each(60, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a valid plan");
        let check = proof::check(&plan);
        let end = check.days * plan.world.day_ms();
        if !check.for_ever || end > 24_000 {
            return;
        }
        seen += 1;
        let every: Vec<i64> = (0..end as i64).collect();
        let book = &case.document["book"];
        let outcome = Simple::new(&case.document, book).run(end as i64, &every);
        let mut most = vec![(0, 0); plan.wires.len()];
        for moment in &outcome.moments {
            for (most, wire) in most.iter_mut().zip(&plan.wires) {
                let take = moment.wires[wire.id.as_str()].1 as u64;
                if take > most.0 {
                    *most = (take, moment.t as u64);
                }
            }
        }
        assert_eq!(scheduled(&plan), most, "plan {}", case.seed);
    });
    assert!(seen >= 5, "only {seen} plans are short enough");
}

/// A reader of comma-separated values by the grammar of RFC 4180, which refuses whatever that has not.
fn rows(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![]];
    let mut rest = text;
    while !rest.is_empty() {
        let cell = match rest.strip_prefix('"') {
            Some(quoted) => {
                let mut cell = String::new();
                let mut left = quoted;
                loop {
                    let (before, after) = left.split_once('"').expect("a closing quote");
                    cell += before;
                    match after.strip_prefix('"') {
                        Some(more) => {
                            cell.push('"');
                            left = more;
                        }
                        None => {
                            rest = after;
                            break cell;
                        }
                    }
                }
            }
            None => {
                let end = rest.find([',', '\r']).expect("an end of the cell");
                let (cell, after) = rest.split_at(end);
                assert!(!cell.contains(['"', '\n']), "{cell:?} without quotes");
                rest = after;
                cell.to_string()
            }
        };
        rows.last_mut().expect("a row").push(cell);
        if let Some(after) = rest.strip_prefix(',') {
            rest = after;
        } else {
            rest = rest.strip_prefix("\r\n").expect("the end of a row");
            rows.push(vec![]);
        }
    }
    assert_eq!(
        rows.pop(),
        Some(vec![]),
        "the last row ends like every other"
    );
    rows
}

/// Names that trouble readers of tables, and two lamps on a tap.
fn named() -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Names", "world": { "day_s": 86400, "weather": [1, 0.5] },
        "book": "outpost",
        "parts": [
            { "id": "p1", "type": "sun-panel", "name": "=HYPERLINK(\"x\")" },
            { "id": "p2", "type": "tap", "name": "Tap, \"old\"", "set": { "amount": 2 } },
            { "id": "p3", "type": "lamp", "name": "@stair\nlamp" },
            { "id": "p4", "type": "lamp", "name": "+1", "count": 2 },
        ],
        "wires": [
            { "id": "w1", "from": "p1.out", "to": "p2.in" },
            { "id": "w2", "from": "p2.tap", "to": "p3.in" },
            { "id": "w3", "from": "p2.rest", "to": "p4.in" },
        ],
    })
}

#[test]
fn tables_are_read_back_by_another_reader() {
    let output = program(&["cables", "-", "--csv"], &named().to_string());
    let read = rows(out(&output));
    let answer = program(&["cables", "-", "--json"], &named().to_string());
    let answer: Value = serde_json::from_str(out(&answer)).expect("JSON");
    let head = [
        "number",
        "wire",
        "from",
        "from part",
        "to",
        "to part",
        "most (steps)",
        "at",
        "metres",
        "exposed (m)",
        "run",
    ];
    assert_eq!(read[0], head);
    let names = ["'=HYPERLINK(\"x\")", "Tap, \"old\"", "'@stair\nlamp", "'+1"];
    for (row, (cable, [from, to])) in
        read[1..]
            .iter()
            .zip(
                answer["cables"]
                    .as_array()
                    .expect("cables")
                    .iter()
                    .zip([[0, 1], [1, 2], [1, 3]]),
            )
    {
        let cell = |key: &str| match &cable[key] {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        let expected = [
            cell("number"),
            cell("wire"),
            cell("from"),
            names[from].to_string(),
            cell("to"),
            names[to].to_string(),
            cell("most"),
            cell("at"),
            String::new(),
            String::new(),
            String::new(),
        ];
        assert_eq!(row[..], expected);
    }
    assert_eq!(read.len(), 4);
}

#[test]
fn what_is_to_be_gathered_is_a_table_too() {
    let output = program(&["gather", "-", "--csv"], &named().to_string());
    let read = rows(out(&output));
    assert_eq!(read[0], ["kind", "type", "label", "amount"]);
    assert_eq!(read[1], ["part", "sun-panel", "Sun panel", "1"]);
    assert_eq!(read[3], ["part", "lamp", "Lamp", "3"]);
    let have = "tests/fixtures/stock.json";
    let with = program(
        &["gather", "-", "--csv", "--have", have],
        &named().to_string(),
    );
    let json = program(
        &["gather", "-", "--json", "--have", have],
        &named().to_string(),
    );
    let json: Value = serde_json::from_str(out(&json)).expect("JSON");
    let read = rows(out(&with));
    assert_eq!(read[0], ["kind", "type", "label", "amount", "missing"]);
    for row in &read[1..] {
        let of = if row[0] == "part" {
            "parts"
        } else {
            "materials"
        };
        let missing = json["missing"][of][&row[1]].as_u64().unwrap_or(0);
        assert_eq!(row[4], missing.to_string(), "{row:?}");
    }
}

#[test]
fn the_schedule_says_days_and_seconds_and_what_never_carries() {
    let mut plan = named();
    plan["parts"][3]["name"] = json!("Spare");
    plan["wires"] = json!([
        { "id": "w2", "from": "p2.tap", "to": "p3.in" },
        { "id": "w9", "from": "p4.loop", "to": "p2.in" },
    ]);
    let output = program(&["cables", "-", "--json"], &plan.to_string());
    let answer: Value = serde_json::from_str(out(&output)).expect("JSON");
    assert_eq!(
        answer["cables"][1],
        json!({ "number": 2, "wire": "w9", "from": "p4.loop", "to": "p2.in", "most": 0, "at": "00:00",
                "metres": null, "exposed": null, "run": "" })
    );
    let text = program(&["cables", "-"], &plan.to_string());
    assert_eq!(
        out(&text),
        "number  wire  from            to              most  first at\n     1  w2    Tap, \"old\" tap  @stair lamp in   0 u  never\n     2  w9    Spare loop      Tap, \"old\" in    0 u  never\n"
    );
    let station = program(
        &["cables", "assets/examples/kittiwake-light.json", "--json"],
        "",
    );
    let station: Value = serde_json::from_str(out(&station)).expect("JSON");
    assert_eq!(station["cables"][5]["at"], "d2 06:10");
    assert_eq!(station["cables"][0]["at"], "09:54:06");
}

#[test]
fn what_is_wrong_is_told_to_the_letter() {
    let both = program(&["cables", "-", "--json", "--csv"], "");
    assert_eq!(both.status.code(), Some(2));
    assert_eq!(
        err(&both),
        "error: the argument '--json' cannot be used with '--csv'\n\nUsage: duskline cables --json <PLAN>\n\nFor more information, try '--help'.\n"
    );
    let missing = program(
        &["cables", "-"],
        r#"{ "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [{ "id": "p1", "type": "lamp" }], "wires": [{ "id": "w1", "from": "p1.loop", "to": "p2.in" }] }"#,
    );
    assert_eq!(missing.status.code(), Some(2));
    assert_eq!(
        err(&missing),
        "-: wires[0].to: found \"p2.in\", a part that is not there, expected an input port, as \"part.port\"\n"
    );
    let empty = program(
        &["cables", "-"],
        r#"{ "format": "duskline/plan", "version": 1, "book": "outpost", "parts": [], "wires": [] }"#,
    );
    assert_eq!(out(&empty), "The plan has no wires.\n");
}
