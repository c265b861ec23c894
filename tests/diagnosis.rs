//! Fault finding against trying everything plainly (`plain_faults`): every single fault of Kittiwake Light and of random
//! plans is put in, read at a few hours, and looked for.

#![cfg(not(target_arch = "wasm32"))]

#[path = "bench/base.rs"]
mod base;
pub mod plain_faults;
pub mod program;
pub mod simple_engine;

use duskline::diagnosis::{Diagnosis, FaultSearch, diagnose, reading_of_text};
use duskline::plan::{Plan, read_plan};
use plain_faults::{Drawn, Shown};
use program::{err, out, run};
use serde_json::{Value, json};
use simple_engine::generate;
use std::collections::{BTreeMap, BTreeSet};

const DUSK_LAMP: &str = "assets/examples/dusk-lamp.json";

fn file(path: &str) -> Value {
    let path = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_json::from_str(&text).expect("JSON")
}

fn drawn(document: Value) -> Drawn {
    Drawn::new(document, &file("assets/books/outpost.json"))
}

/// A plan with every fault of it and what each shows through the whole hours of two days.
struct Tried {
    drawn: Drawn,
    plan: Plan,
    faults: Vec<Value>,
    shows: Vec<Vec<Shown>>,
    sound: Vec<Shown>,
}

/// A reading: the id and the number of the hour, from 0.
type At = (String, usize);

impl Tried {
    fn new(document: Value) -> Tried {
        let drawn = drawn(document);
        let plan = read_plan(&drawn.document.to_string()).expect("a sound plan");
        let day = plan.world.day_ms();
        let hour = |hour: u64| hour / 24 * day + (hour % 24 * day).div_ceil(24);
        let hours: Vec<u64> = (0..30).map(hour).collect();
        let faults = drawn.faults();
        let shows = faults
            .iter()
            .map(|fault| drawn.shows(&drawn.built(fault), &hours));
        Tried {
            shows: shows.collect(),
            sound: drawn.shows(&drawn.document, &hours),
            drawn,
            plan,
            faults,
        }
    }

    /// Reads all of `asked` off each faulty plan and off the plan as drawn, and holds what is then named; answers how many
    /// different tables of readings there were, and how many of them named several faults.
    fn hold(&self, asked: &[At]) -> (usize, usize) {
        let read = |shown: &[Shown]| -> Vec<Value> {
            asked
                .iter()
                .map(|(id, hour)| shown[*hour][id].clone())
                .collect()
        };
        let mut by_reading: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        let mut tables: BTreeMap<String, Vec<Value>> = BTreeMap::new();
        for (at, shown) in self.shows.iter().enumerate() {
            let values = read(shown);
            let key = format!("{values:?}");
            by_reading.entry(key.clone()).or_default().push(at);
            tables.insert(key, values);
        }
        let sound = read(&self.sound);
        tables.insert(format!("{sound:?}"), sound.clone());
        let mut several = 0;
        for (key, values) in &tables {
            let expected = by_reading.get(key).cloned().unwrap_or_default();
            several += usize::from(expected.len() > 1);
            self.hold_one(asked, values, &expected, *values == sound);
        }
        (tables.len(), several)
    }

    fn hold_one(&self, asked: &[At], values: &[Value], expected: &[usize], sound: bool) {
        let texts = asked.iter().zip(values).map(|((id, hour), value)| {
            let value = value
                .as_str()
                .map_or_else(|| value.to_string(), str::to_string);
            format!("{id}={value}@d{} {}:00", hour / 24 + 1, hour % 24)
        });
        let texts: Vec<String> = texts.collect();
        let readings = texts.iter().map(|text| {
            reading_of_text(&self.plan, text).unwrap_or_else(|faults| panic!("{faults:?}"))
        });
        let readings: Vec<_> = readings.collect();
        let found = diagnose(&self.plan, &readings).expect("readings of the plan");
        let named: Vec<Value> = found.faults.iter().map(json_of).collect();
        let expected_faults: Vec<Value> =
            expected.iter().map(|at| self.faults[*at].clone()).collect();
        assert_eq!(named, expected_faults, "{texts:?}");
        assert_eq!(found.sound, sound, "{texts:?}");
        let next = found
            .next
            .map(|next| (next.of.id().to_string(), next.at.to_string(), next.left));
        assert_eq!(next, self.best(expected), "{texts:?}");
    }

    /// The reading that leaves the fewest of these faults in the worst case.
    fn best(&self, faults: &[usize]) -> Option<(String, String, usize)> {
        let mut best: Option<(String, String, usize)> = None;
        let mut sum = 0;
        let readable = self.drawn.readable();
        for hour in 0..24 {
            for id in &readable {
                let mut counts: BTreeMap<String, usize> = BTreeMap::new();
                for at in faults {
                    let shown = self.shows[*at][hour][id].to_string();
                    *counts.entry(shown).or_default() += 1;
                }
                let worst = counts.values().copied().max().unwrap_or(0);
                sum += worst;
                if best.as_ref().is_none_or(|(_, _, least)| worst < *least) {
                    best = Some((id.clone(), format!("{hour:02}:00"), worst));
                }
            }
        }
        if let Some((_, _, worst)) = &best {
            let all = 24 * readable.len();
            assert!(worst * all <= sum, "no worse than one taken at random");
        }
        best.filter(|(_, _, worst)| *worst < faults.len())
    }
}

/// A fault as the command line tells it, without its sentence.
fn json_of(fault: &duskline::diagnosis::SingleFault) -> Value {
    use duskline::diagnosis::SingleFault::*;
    let kind = fault.kind();
    match fault {
        Missing { wire } => json!({ "kind": kind, "wire": wire }),
        Exchanged { wires } => json!({ "kind": kind, "wires": wires }),
        Port { wire, port } => json!({ "kind": kind, "wire": wire, "port": port.to_string() }),
        Reversed { part } | Contact { part } | Dead { part } => {
            json!({ "kind": kind, "part": part })
        }
        Setting { part, name, value } => {
            let value = duskline::quantity::number(*value);
            json!({ "kind": kind, "part": part, "name": name, "value": value })
        }
    }
}

fn at(id: &str, hour: usize) -> At {
    (id.to_string(), hour)
}

#[test]
fn every_fault_of_kittiwake_light_is_among_those_that_its_readings_name() {
    let tried = Tried::new(file("assets/examples/kittiwake-light.json"));
    assert!(tried.faults.len() > 800, "{}", tried.faults.len());
    // What somebody reads who walks around at dusk, and what he reads in a day.
    let walk = [at("p9", 21), at("p5", 12)];
    let (tables, several) = tried.hold(&walk);
    assert!(tables >= 4 && several >= 3, "{tables} {several}");
    let day = ["p7", "p9", "p14", "p24", "p30"].map(|id| [at(id, 1), at(id, 12), at(id, 21)]);
    let mut day = day.concat();
    day.extend([at("w6", 21), at("p5", 12), at("p8", 3), at("p32", 22)]);
    let (tables, several) = tried.hold(&day);
    assert!(tables > 60 && several > 20, "{tables} {several}");
}

#[test]
fn every_fault_of_random_plans_is_among_those_that_its_readings_name() {
    let (mut tables, mut several, mut faults) = (0, 0, 0);
    let mut kinds: BTreeSet<String> = BTreeSet::new();
    generate::plans().each(40, |case| {
        let mut random = generate::Random::new(case.seed);
        let tried = Tried::new(case.document.clone());
        let shown: Vec<&String> = tried.sound[0].keys().collect();
        if shown.is_empty() {
            return;
        }
        let count = 1 + random.index(5);
        let asked = (0..count).map(|_| at(shown[random.index(shown.len())], random.index(30)));
        let held = tried.hold(&asked.collect::<Vec<_>>());
        (tables, several) = (tables + held.0, several + held.1);
        faults += tried.faults.len();
        kinds.extend(tried.faults.iter().map(|fault| fault["kind"].to_string()));
    });
    println!("{faults} faults, {tables} tables of readings, {several} with several faults");
    assert!(
        kinds.len() == 7 && tables > 100 && several > 60,
        "{kinds:?} {tables} {several}"
    );
}

#[test]
fn what_is_not_run_because_it_cant_change_a_reading_makes_no_difference() {
    for apart in [true, false] {
        let plan = base::plan(24, apart);
        let tried = Tried::new(serde_json::from_str(&plan.print()).expect("JSON"));
        tried.hold(&[at("p15", 22)]);
        tried.hold(&[at("p15", 22), at("p7", 12), at("w5", 2)]);
        tried.hold(&[at("p4", 26), at("p8", 13)]);
        let reading = reading_of_text(&tried.plan, "p16=off@22:00").expect("a reading");
        let mut search = FaultSearch::new(&tried.plan, std::slice::from_ref(&reading))
            .expect("a reading of the plan");
        while !search.go(50) {}
        let (done, of) = search.progress();
        assert_eq!((done, of), (tried.faults.len(), tried.faults.len()));
        // In one base everything hangs together; what stands apart need not be run.
        assert!(
            !apart || search.runs() < of as u64 * 2 / 3,
            "{} of {of}",
            search.runs()
        );
        let whole = search.finish();
        let share = |hand| {
            let search = FaultSearch::new(&tried.plan, std::slice::from_ref(&reading));
            let mut search = search.expect("a reading of the plan").share(hand, 3);
            while !search.go(7) {}
            search.finish()
        };
        let shared = Diagnosis::of(&tried.plan, vec![share(2), share(0), share(1)]);
        assert_eq!(
            shared,
            Diagnosis::of(&tried.plan, vec![whole]),
            "however many hands"
        );
    }
}

/// Common practice, no source: who has the coil's wire and the battery's on each other's terminals sees a battery that
/// falls in the noon sun beside a wire that carries no more than a coil takes.
#[test]
fn two_wires_exchanged_behind_a_dusk_tap_are_named_by_two_readings() {
    let found = run(
        &[
            "diagnose",
            DUSK_LAMP,
            "--read",
            "w3=1@12:00",
            "--read",
            "p3=falls@12:00",
            "--json",
        ],
        "",
    );
    assert_eq!(found.status.code(), Some(0), "{}", err(&found));
    let found: Value = serde_json::from_str(out(&found)).expect("JSON");
    let says = "Two cables are exchanged: cable 2 from Dusk tap (tap) ends at Shelf battery (in), cable 3 from Dusk tap \
                (rest) at Dusk relay (coil). Change these two ends over.";
    let fault = json!({ "kind": "exchanged", "wires": ["w2", "w3"], "says": says });
    assert_eq!(
        found,
        json!({ "faults": [fault], "next": null, "sound": false })
    );
}

/// Common practice, no source: look for a wire that is off before taking parts asunder.
#[test]
fn a_lamp_that_stays_dark_is_first_of_all_a_wire_that_is_missing() {
    let dark = ["diagnose", DUSK_LAMP, "--read", "p6=off@21:00"];
    let found = run(&dark, "");
    let said: Vec<&str> = out(&found).lines().collect();
    assert_eq!(
        said[..6],
        [
            "read       when          shows  by the plan",
            "Dusk lamp  day 1, 21:00  off    runs",
            "",
            "The plan as it is drawn does not explain all readings. 21 single faults do, the likeliest first:",
            "1. Cable 1 from Roof panel (out) to Dusk tap (in) is missing. Put it back.",
            "2. Cable 4 from Shelf battery (out) to Bunk heater (in) is missing. Put it back.",
        ]
    );
    assert_eq!(
        said.last(),
        Some(
            &"Read next Shelf battery on day 1 at 09:00: whatever it shows, at most 10 of these 21 faults are left then."
        )
    );
}

#[test]
fn what_cant_be_read_is_told_with_its_place_and_what_was_expected() {
    let found = run(
        &[
            "diagnose",
            DUSK_LAMP,
            "--read",
            "p6=dark@21:00",
            "--read",
            "p2=runs@9",
            "--read",
            "p6=off@21:00",
            "--json",
        ],
        "",
    );
    assert_eq!(found.status.code(), Some(2));
    assert_eq!(out(&found), "");
    assert_eq!(
        err(&found),
        "--read p6=dark@21:00: found \"dark\", expected runs or off, as a load shows\n\
         --read p2=runs@9: found \"p2\", a tap, expected the id of a load, a contact, a battery or a wire of the plan\n\
         --read p2=runs@9: found \"9\", expected HH:MM or HH:MM:SS from 00:00 to 24:00, on a later day with its number \
         ahead: d2 21:00\n"
    );
}
