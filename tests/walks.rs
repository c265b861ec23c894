//! Walks and exercises on random plans: recorded at random points they come back from file and link, lead there and
//! back, and no damage of theirs does harm.

pub mod gestures;
pub mod simple_engine;

use duskline::plan::{Exercise, Plan, Route, StateEdits, Walk, WalkStep, link, read_plan, salvage};
use gestures::{body, gesture};
use serde_json::{Value, json};
use simple_engine::generate::{self, Case, Random};
use std::sync::Arc;

const PLANS: u64 = 120;

/// Runs a test on random plans, each with the states through which somebody came to it and a walk through these.
fn each(test: impl Fn(u64, Plan, Vec<Plan>)) {
    generate::plans().each(PLANS, |case: &Case| {
        let mut plan = read_plan(&case.document.to_string()).unwrap();
        let mut random = Random::new(case.seed);
        let mut states = vec![plan.bare()];
        for _ in 0..random.between(1, 6) {
            states.push(plan.clone());
            for _ in 0..random.between(0, 8) {
                let edits = gesture(&mut plan, &mut random);
                plan.apply_all(edits).unwrap();
            }
        }
        let steps = states.windows(2).enumerate().map(|(n, pair)| WalkStep {
            says: format!("Step {n}"),
            edits: StateEdits::between(&pair[0], &pair[1]),
            ..WalkStep::default()
        });
        plan.walk = Some(Arc::new(Walk::new(&states[0], steps.collect())));
        test(case.seed, plan, states);
    });
}

/// The same but for counters of ids, which only grow, and for what no edit can change.
fn same(a: &Plan, b: &Plan) -> bool {
    let mut a = body(a);
    a.extra = b.extra.clone();
    a == body(b)
}

#[test]
fn what_was_recorded_is_what_is_played_there_and_back() {
    each(|seed, plan, states| {
        let mut route = Route::of(plan.walk.as_ref().unwrap());
        for state in &states[1..] {
            assert!(route.forward().unwrap(), "plan {seed}");
            assert!(same(route.plan(), state), "plan {seed}");
        }
        assert!(!route.forward().unwrap(), "plan {seed}");
        for state in states[1..].iter().rev() {
            assert!(same(route.plan(), state), "plan {seed}");
            assert!(route.backward(), "plan {seed}");
        }
        assert!(same(route.plan(), &states[0]), "plan {seed}");
        assert!(!route.backward(), "plan {seed}");
    });
}

#[test]
fn a_walk_comes_back_from_file_and_link() {
    each(|seed, plan, _| {
        assert_eq!(read_plan(&plan.print()).unwrap(), plan, "plan {seed}");
        let sent = link::from_link(&link::to_fragment(&plan)).unwrap();
        assert_eq!(sent.plan, plan, "plan {seed}");
    });
}

#[test]
fn a_learners_plan_comes_back_with_its_start() {
    each(|seed, mut plan, states| {
        let start = &states[1];
        plan.walk = None;
        plan.exercise = Some(Arc::new(Exercise {
            asks: "Build it.".into(),
            hints: states[1..]
                .windows(2)
                .map(|pair| WalkStep {
                    edits: StateEdits::between(&pair[0], &pair[1]),
                    ..WalkStep::default()
                })
                .collect(),
            hints_start: (states.len() > 2).then(|| StateEdits::whole(start)),
            start: Some(StateEdits::whole(start)),
            ..Exercise::default()
        }));
        let read = read_plan(&plan.print()).unwrap();
        assert_eq!(read, plan, "plan {seed}");
        assert!(same(&read.exercise_start().unwrap(), start), "plan {seed}");
        let sent = link::from_link(&link::to_fragment(&plan)).unwrap();
        assert_eq!(sent.plan, plan, "plan {seed}");
        let mut hints = read.hints().unwrap();
        for state in &states[2..] {
            assert!(hints.forward().unwrap(), "plan {seed}");
            assert!(same(hints.plan(), state), "plan {seed}");
        }
    });
}

/// Puts something else in place of one value within a document.
fn damage(value: &mut Value, random: &mut Random) {
    let others = [
        json!(null),
        json!("p1"),
        json!(-1),
        json!(1e300),
        json!([]),
        json!({}),
        json!({ "add": { "parts": ["p1", "p1"] } }),
        json!([{ "part": { "id": "p1", "type": "<b>" } }]),
    ];
    let deeper = random.chance(85);
    match value {
        Value::Array(list) if deeper && !list.is_empty() => {
            let at = random.index(list.len());
            damage(&mut list[at], random);
        }
        Value::Object(map) if deeper && !map.is_empty() => {
            let at = random.index(map.len());
            if let Some(value) = map.values_mut().nth(at) {
                damage(value, random);
            }
        }
        other => *other = others[random.index(others.len())].clone(),
    }
}

#[test]
fn damage_is_told_where_it_stands_and_takes_nothing_else_along() {
    each(|seed, plan, _| {
        let whole = plan.to_value();
        let mut random = Random::new(seed);
        for _ in 0..5 {
            let mut hurt = whole.clone();
            damage(&mut hurt["walk"], &mut random);
            let read = salvage(&hurt.to_string()).unwrap();
            for fault in &read.faults {
                assert!(fault.place.starts_with("walk"), "plan {seed}: {fault}");
            }
            assert!(same(&read.plan.state(), &plan.state()), "plan {seed}");
            // What stays of the walk is sound.
            let kept = read_plan(&read.plan.print()).unwrap();
            assert_eq!(kept, read.plan, "plan {seed}");
        }
    });
}
