//! Duties judged one millisecond at a time, and random duties for random plans.
//!
//! A millisecond is good or bad; bad ones in a row, of one kind and with the duty applying or not all the while, make a
//! stretch. Written from the rules alone.

use super::contacts::home_hours;
use super::decimal::{Stretch, duration_ms};
use super::generate::{self, Plans, Random};
use super::outcome::Outcome;
use super::sky::Sky;
use serde_json::{Value, json};

/// When a duty applies.
enum When {
    Always,
    Dark(bool),
    Home(bool),
    Clock(Stretch),
}

/// One duty of a plan.
pub struct Duty {
    part: String,
    /// It applies while all of these hold.
    when: Vec<When>,
    only: bool,
    grace: i64,
    /// Whether it applies, by the millisecond of the day: a day is asked about over and over.
    day: Vec<bool>,
}

impl Duty {
    /// The duties of a plan, in its order.
    pub fn list(plan: &Value, day_ms: i64) -> Vec<Duty> {
        let world = &plan["world"];
        let sky = Sky::new(world.get("sky").unwrap_or(&Value::Null), day_ms);
        let home = home_hours(world, day_ms);
        let read = |duty: &Value| {
            let one = |word: &Value| match word.as_str().expect("when") {
                "always" => When::Always,
                "dark" => When::Dark(true),
                "light" => When::Dark(false),
                "home" => When::Home(true),
                "away" => When::Home(false),
                _ => When::Clock(Stretch::new(&duty["from"], &duty["to"], day_ms)),
            };
            let when: Vec<When> = match &duty["when"] {
                Value::Array(words) => words.iter().map(one).collect(),
                word => vec![one(word)],
            };
            let holds = |when: &When, ms: i64| match when {
                When::Always => true,
                When::Dark(dark) => sky.sun(ms).up != *dark,
                When::Home(home_then) => home.iter().any(|s| s.holds(ms)) == *home_then,
                When::Clock(stretch) => stretch.holds(ms),
            };
            let applies = |ms: i64| when.iter().all(|one| holds(one, ms));
            let day = (0..day_ms).map(applies).collect();
            Duty {
                part: duty["part"].as_str().expect("a part").into(),
                when,
                only: duty["only"].as_bool().unwrap_or(false),
                grace: duty.get("grace_s").map_or(60_000, duration_ms),
                day,
            }
        };
        let list = plan["duties"].as_array().expect("duties");
        list.iter().map(read).collect()
    }

    /// The stretches up to `until`, whatever their length, in which it is broken: from, to, and whether the load was on.
    pub fn stretches(&self, outcome: &Outcome, until: i64) -> Vec<(i64, i64, bool)> {
        let runs = &outcome.runs[&self.part];
        let mut at = 0;
        let mut found: Vec<(i64, i64, bool)> = Vec::new();
        let mut before = None;
        for t in 0..until {
            while runs.get(at).is_some_and(|(_, to)| *to <= t) {
                at += 1;
            }
            let on = runs.get(at).is_some_and(|(from, _)| *from <= t);
            let must = self.day[(t % self.day.len() as i64) as usize];
            let bad = if must { !on } else { self.only && on };
            match found.last_mut() {
                Some(last) if bad && before == Some((must, on)) => last.1 = t + 1,
                _ if bad => found.push((t, t + 1, on)),
                _ => {}
            }
            before = Some((must, on));
        }
        found
    }

    /// Its grace in milliseconds.
    pub fn grace(&self) -> i64 {
        self.grace
    }

    /// Whether it applies at every millisecond.
    pub fn is_always(&self) -> bool {
        self.when.iter().all(|when| matches!(when, When::Always))
    }
}

/// The conditions that a duty may have.
const WORDS: [&str; 6] = ["always", "dark", "light", "home", "away", "clock"];

/// Random plans with random duties of their loads.
pub fn plans() -> Plans {
    Plans::of(plan)
}

/// A random plan with random duties of its loads.
pub fn plan(seed: u64) -> Value {
    let mut plan = generate::plan(seed);
    give(seed, &mut plan);
    plan
}

/// Gives a random plan random duties of its loads.
fn give(seed: u64, plan: &mut Value) {
    let mut random = Random::new(seed ^ 0x5EED);
    let types = plan["book"]["types"].as_array().expect("types").clone();
    let is_load = |part: &&Value| {
        types
            .iter()
            .any(|kind| kind["type"] == part["type"] && kind["behaviour"] == "load")
    };
    let parts = plan["parts"].as_array().expect("parts");
    let loads: Vec<String> = parts
        .iter()
        .filter(is_load)
        .map(|part| part["id"].as_str().expect("an id").into())
        .collect();
    // Lists have dice of their own, so that all else stays as it is without them.
    let mut listed = Random::new(seed ^ 0x11575);
    let mut duties = Vec::new();
    for load in &loads {
        for _ in 0..random.between(1, 2) {
            let when = random.pick(&WORDS);
            let mut duty = json!({ "part": load, "when": when, "only": random.chance(50) });
            duty["grace_s"] = match random.between(0, 3) {
                0 => json!(0),
                1 => json!(random.between(1, 400) as f64 / 1000.0),
                2 => json!(random.between(1, 4)),
                _ => json!(60),
            };
            let mut hours = |random: &mut Random| {
                let mut clock =
                    || format!("{:02}:{:02}", random.between(0, 23), random.between(0, 59));
                duty["from"] = clock().into();
                duty["to"] = clock().into();
            };
            if when == "clock" {
                hours(&mut random);
            }
            if listed.chance(40) {
                let mut words = vec![when];
                for _ in 0..listed.between(0, 2) {
                    let word = listed.pick(&WORDS);
                    if !words.contains(&word) {
                        words.push(word);
                    }
                }
                if when != "clock" && words.contains(&"clock") {
                    hours(&mut listed);
                }
                duty["when"] = words.into();
            }
            duties.push(duty);
        }
    }
    plan["duties"] = duties.into();
}
