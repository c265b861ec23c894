//! The random plans of the other tests: they have all that a plan can have, and one that makes a test fail shrinks to what
//! makes it fail.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::plan::read_plan;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use serde_json::Value;
use simple_engine::duties;
use simple_engine::generate::Plans;
use std::collections::BTreeSet;

/// How many plans the tests that try the fewest of all kinds of plans draw.
const PLANS: u64 = 120;

/// The least plan that fails, as proptest goes about it; every plan on the way is sound.
fn shrunk(plans: &Plans, fails: impl Fn(&Value) -> bool) -> Value {
    let mut runner = TestRunner::deterministic();
    let mut tree = loop {
        let tree = plans.new_tree(&mut runner).expect("a plan");
        if fails(&tree.current().document) {
            break tree;
        }
    };
    let mut goes_on = tree.simplify();
    while goes_on {
        let case = tree.current();
        if let Err(faults) = read_plan(&case.document.to_string()) {
            panic!("{case:?}: {faults:?}");
        }
        goes_on = match fails(&case.document) {
            true => tree.simplify(),
            false => tree.complicate(),
        };
    }
    tree.current().document
}

fn list<'a>(plan: &'a Value, key: &str) -> &'a [Value] {
    plan[key].as_array().expect(key)
}

fn kind<'a>(plan: &'a Value, part: &Value) -> &'a Value {
    let types = plan["book"]["types"].as_array().expect("types").iter();
    let mut of = types.filter(|kind| kind["type"] == part["type"]);
    of.next().expect("a type")
}

#[test]
fn a_plan_that_always_fails_shrinks_to_nothing() {
    let least = shrunk(&duties::plans(), |_| true);
    for key in ["parts", "wires", "duties"] {
        assert_eq!(list(&least, key).len(), 0, "{least:#}");
    }
    assert_eq!(least["world"].as_object().expect("a world").len(), 1);
}

#[test]
fn a_plan_shrinks_to_the_parts_the_wire_and_the_setting_that_make_it_fail() {
    // It fails for a load that a break contact feeds.
    let feeds = |plan: &Value, part: &Value| {
        let from = format!("{}.out", part["id"].as_str().expect("an id"));
        let wires = list(plan, "wires").iter();
        let mut to = wires
            .filter(|w| w["from"] == from.as_str())
            .map(|w| w["to"].as_str());
        to.any(|to| {
            let to = to.and_then(|to| to.strip_suffix(".in"));
            let to = list(plan, "parts").iter().find(|p| p["id"].as_str() == to);
            to.is_some_and(|part| kind(plan, part)["behaviour"] == "load")
        })
    };
    let fails = |plan: &Value| {
        let mut parts = list(plan, "parts").iter();
        parts.any(|part| part["set"]["contact"] == "break" && feeds(plan, part))
    };
    let least = shrunk(&duties::plans(), fails);
    assert!(fails(&least));
    assert_eq!(list(&least, "parts").len(), 2, "{least:#}");
    assert_eq!(list(&least, "wires").len(), 1);
    assert_eq!(list(&least, "duties").len(), 0);
    let settings = list(&least, "parts").iter().map(|part| match &part["set"] {
        Value::Object(set) => set.len(),
        _ => 0,
    });
    assert_eq!(settings.sum::<usize>(), 1);
}

#[test]
#[should_panic(expected = "The least plan that fails so")]
fn a_test_that_fails_tells_the_least_plan() {
    duties::plans().each(1, |case| assert!(list(&case.document, "parts").is_empty()));
}

#[test]
fn random_plans_have_all_that_a_plan_can_have() {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut expected: BTreeSet<String> = BTreeSet::new();
    duties::plans().each(PLANS, |case| {
        let plan = &case.document;
        assert_eq!(*plan, duties::plan(case.seed), "same seed, same plan");
        let what = |kind: &Value| match &kind["function"] {
            Value::String(function) => function.clone(),
            _ => kind["behaviour"].as_str().expect("a behaviour").to_string(),
        };
        expected.extend(list(&plan["book"], "types").iter().map(what));
        seen.extend(
            list(plan, "parts")
                .iter()
                .map(|part| what(kind(plan, part))),
        );
        for duty in list(plan, "duties") {
            let only = if duty["only"] == true { "only " } else { "" };
            seen.insert(match &duty["when"] {
                Value::Array(words) => format!("{only}{} together", words.len()),
                word => format!("{only}{}", word.as_str().expect("a word")),
            });
        }
        let world = plan["world"].as_object().expect("a world");
        let sky = world.get("sky").and_then(Value::as_object).into_iter();
        let keys = world.keys().chain(sky.flat_map(|sky| sky.keys()));
        seen.extend(keys.map(|key| format!("world: {key}")));
    });
    for when in ["always", "dark", "light", "home", "away", "clock"] {
        expected.extend([when.to_string(), format!("only {when}")]);
    }
    for several in 1..=3 {
        let several = format!("{several} together");
        expected.extend([format!("only {several}"), several]);
    }
    let worlds = [
        "day_s",
        "sky",
        "latitude",
        "day_of_year",
        "air",
        "rise",
        "set",
        "weather",
        "wind",
        "home",
    ];
    expected.extend(worlds.map(|key| format!("world: {key}")));
    let missing: Vec<&String> = expected.difference(&seen).collect();
    assert!(missing.is_empty(), "{missing:?} not among {seen:?}");
}
