//! Walks and exercises in a plan's file: they come back, lead there and back, and say where they are damaged.

use super::*;
use crate::plan::{Exercise, Lost, Trial, examples, read_plan, salvage};
use serde_json::json;

/// The dusk lamp, with a walk recorded while it is taken apart and built again.
pub(in crate::plan) fn dusk_lamp() -> Plan {
    let mut plan = read_plan(examples()[1].1).unwrap();
    let mut states = vec![plan.bare()];
    for parts in [1, 3, 4, 6] {
        let gone: Vec<PartId> = plan.parts[parts..].iter().map(|p| p.id.clone()).collect();
        let mut state = plan.clone();
        state.apply_all(plan.removal(&gone, &[])).unwrap();
        states.push(state);
    }
    let steps = states
        .windows(2)
        .zip(["One panel.", "A tap and a battery.", "Heat.", "Light."]);
    let steps = steps.map(|(pair, says)| WalkStep {
        says: says.into(),
        edits: StateEdits::between(&pair[0], &pair[1]),
        ..WalkStep::default()
    });
    plan.walk = Some(std::sync::Arc::new(Walk::new(&plan, steps.collect())));
    plan
}

#[test]
fn what_the_plan_has_is_named_and_nothing_is_written_twice() {
    let plan = dusk_lamp();
    let steps = &plan.to_value()["walk"]["steps"];
    assert_eq!(
        steps[1],
        json!({
            "says": "A tap and a battery.",
            "edits": [{ "add": { "parts": ["p2", "p3"], "wires": ["w1", "w3"] } }]
        })
    );
    assert_eq!(
        steps[3]["edits"],
        json!([
            { "add": { "parts": ["p5", "p6"], "wires": ["w2", "w5", "w6"] } },
            { "duties": [0, 1] }
        ])
    );
    assert_eq!(read_plan(&plan.print()).unwrap(), plan);
    assert_eq!(plan.walk.as_ref().unwrap().end(), *plan.state());
}

#[test]
fn a_thing_comes_where_the_plan_has_it_whatever_came_first() {
    let text = examples()[1].1.replace(
        "\"duties\"",
        r#""walk": { "steps": [{ "says": "", "edits": [{ "add": { "parts": ["p6", "p4", "p5", "p1"] } }] }] }, "duties""#,
    );
    let plan = read_plan(&text).unwrap();
    let ids: Vec<String> = plan
        .walk
        .as_ref()
        .unwrap()
        .end()
        .parts
        .iter()
        .map(|p| p.id.to_string())
        .collect();
    assert_eq!(ids, ["p1", "p4", "p5", "p6"]);
    assert_eq!(read_plan(&plan.print()).unwrap(), plan);
}

#[test]
fn every_kind_of_change_is_written_and_read() {
    let mut plan = dusk_lamp();
    let mut to = plan.state().into_owned();
    to.apply_all(to.removal(&["p4".into()], &["w2".into()]))
        .unwrap();
    to.title = "Without heat".into();
    to.notes = String::new();
    to.world.weather = vec![1.0, 0.5];
    to.parts.value_mut(0).unwrap().count = 3;
    to.parts.value_mut(0).unwrap().name = "Bank".into();
    to.parts
        .value_mut(1)
        .unwrap()
        .set
        .insert("amount".into(), json!(4));
    to.parts.value_mut(2).unwrap().set.shift_remove("start");
    to.parts.value_mut(2).unwrap().at = None;
    to.parts.value_mut(2).unwrap().reach = Some(crate::plan::Reach::Anyone);
    to.wires.value_mut(0).unwrap().bends = vec![(8.0, 16.0)];
    to.duties[0].only = true;
    let id = to.new_part_id();
    to.parts
        .insert(1, crate::plan::Part::new(id, "lamp", (0.0, 400.0)));
    let edits = StateEdits::between(&plan, &to);
    let mut walk = Walk::clone(plan.walk.as_ref().unwrap());
    walk.steps.push(WalkStep {
        says: "All at once.".into(),
        edits,
        at: DialMoment::parse("d2 21:00:30", 60),
        lit: Lit {
            parts: vec!["p1".into(), "nowhere".into()],
            wires: vec!["w1".into()],
        },
        question: Some(WalkQuestion {
            asks: "Is it dark?".into(),
            answers: vec!["Yes".into(), "No".into()],
            right: 1,
            ..WalkQuestion::default()
        }),
        extra: Map::new(),
    });
    plan.walk = Some(std::sync::Arc::new(walk));
    let read = read_plan(&plan.print()).unwrap();
    assert_eq!(read, plan);
    let mut walked = read.walk.as_ref().unwrap().end();
    walked.next = to.next;
    assert_eq!(walked, to);
}

#[test]
fn what_becomes_of_the_plan_later_changes_no_state() {
    let mut plan = dusk_lamp();
    let before = plan.walk.as_ref().unwrap().start();
    plan.title = "Another".into();
    plan.world.day_s = 2880.0;
    plan.book = crate::plan::BookRef::built_in("harbour").unwrap();
    plan.parts = Default::default();
    plan.wires = Default::default();
    plan.duties.clear();
    let read = read_plan(&plan.print()).unwrap();
    assert_eq!(read, plan);
    assert_eq!(read.walk.as_ref().unwrap().start(), before);
    let end = read.walk.as_ref().unwrap().end();
    assert_eq!((end.title.as_str(), end.parts.len()), ("Dusk lamp", 6));
    assert_eq!(end.book.written, "outpost");
}

#[test]
fn forwards_and_backwards_is_the_identity() {
    let plan = dusk_lamp();
    let mut route = Route::of(plan.walk.as_ref().unwrap());
    let mut states = vec![route.plan().clone()];
    while route.forward().unwrap() {
        states.push(route.plan().clone());
    }
    assert_eq!(states.len(), 5);
    for state in states.iter().rev() {
        let mut here = route.plan().clone();
        // Ids are never given twice, so what counts them only grows.
        here.next = state.next;
        assert_eq!(here, *state);
        route.backward();
    }
    assert!(!route.backward());
    route.go_to(3);
    assert_eq!((route.done(), route.plan().parts.len()), (3, 4));
    assert_eq!(route.step().unwrap().says, "Heat.");
    route.go_to(99);
    assert_eq!(route.done(), 4);
}

/// The dusk lamp's file with these steps.
fn with_steps(steps: serde_json::Value) -> String {
    let mut plan: serde_json::Value = serde_json::from_str(examples()[1].1).unwrap();
    plan["walk"] = json!({ "steps": steps });
    plan.to_string()
}

#[test]
fn a_damaged_walk_says_where_and_keeps_what_comes_before() {
    for (edit, fault) in [
        (
            json!({ "add": { "parts": ["p2", "p9"] } }),
            "walk.steps[1].edits[0].add.parts[1]: found \"p9\", expected the id of a part of the plan",
        ),
        (
            json!({ "add": { "wires": ["w1"] } }),
            "walk.steps[1].edits[0].add.wires[0]: found an edit that can't be made here: p2.in is no port that can stand at that end of a wire, expected one that can be made on the board as it stands by then",
        ),
        (
            json!({ "remove": { "parts": ["p6"] } }),
            "walk.steps[1].edits[0].remove.parts[0]: found an edit that can't be made here: the plan has no part p6, expected one that can be made on the board as it stands by then",
        ),
        (
            json!({ "change": { "part": "p1", "set": { "tilt": 900 } } }),
            "walk.steps[1].edits[0].change.set.tilt: found an edit that can't be made here: Tilt: found 900, expected a number from 0 to 180, expected one that can be made on the board as it stands by then",
        ),
        (
            json!({ "part": { "id": "p7", "type": "moon" } }),
            "walk.steps[1].edits[0].part.type: found \"moon\", expected a part type of the book",
        ),
        (
            json!({ "part": { "id": "p7", "type": "lamp" }, "place": 5 }),
            "walk.steps[1].edits[0].place: found 5, expected at most 1, as many as there are by then",
        ),
        (
            json!({ "duties": [7] }),
            "walk.steps[1].edits[0].duties[0]: found 7, expected the place of one of the plan's 2 duties, from 0",
        ),
        (
            json!({ "burn": 1 }),
            "walk.steps[1].edits[0]: found a field \"burn\", expected an edit: one of add, part, wire, remove, change, duties, meant, world, title, notes, book, follows, site",
        ),
    ] {
        let first = json!({ "says": "One.", "edits": [{ "add": { "parts": ["p1"] } }] });
        let text =
            with_steps(json!([first, { "says": "Two.", "edits": [edit] }, { "says": "Three." }]));
        let read = salvage(&text).unwrap();
        let said: Vec<String> = read.faults.iter().map(|fault| fault.to_string()).collect();
        assert_eq!(said, [fault]);
        assert_eq!(read.plan.walk.unwrap().steps.len(), 1);
        assert_eq!(read.plan.parts.len(), 6);
    }
}

#[test]
fn a_step_has_its_limits() {
    let says = |steps| salvage(&with_steps(steps)).unwrap().faults[0].to_string();
    assert_eq!(
        says(json!([{ "says": "", "at": "25:00" }])),
        "walk.steps[0].at: found \"25:00\", expected HH:MM or HH:MM:SS from 00:00 to 24:00, on a later day up to 60 with its number ahead: d2 21:00"
    );
    assert_eq!(
        says(json!([{ "says": "x".repeat(4001) }])),
        "walk.steps[0].says: found a text of 4001 characters, expected at most 4000"
    );
    assert_eq!(
        says(
            json!([{ "says": "", "question": { "asks": "?", "answers": ["a", "b"], "right": 2 } }])
        ),
        "walk.steps[0].question.right: found 2, expected a whole number from 0 to 1"
    );
    assert_eq!(
        says(vec![json!({ "says": "again" }); 201].into()),
        "walk.steps: found 201 steps, expected at most 200"
    );
}

#[test]
fn a_learners_plan_has_the_start_beside_it() {
    let mut plan = dusk_lamp();
    plan.walk = None;
    let start = plan.state().into_owned();
    let mut solved = start.clone();
    solved
        .apply_all(solved.removal(&[], &["w6".into()]))
        .unwrap();
    let hint = WalkStep {
        says: "Wire the lamp.".into(),
        edits: StateEdits::between(&solved, &start),
        ..WalkStep::default()
    };
    let exercise = |start| Exercise {
        asks: "Light at night".into(),
        may: Some(vec![("lamp".into(), Some(2)), ("relay".into(), None)]),
        free: vec!["p2".into()],
        trials: vec![
            Trial {
                says: "dull".into(),
                world: json!({ "weather": [0] }).as_object().unwrap().clone(),
                lose: Lost::AnyOne,
                ..Trial::default()
            },
            Trial {
                throw: vec!["p5".into()],
                lose: Lost::These(vec!["p1".into()], vec!["w2".into()]),
                ..Trial::default()
            },
        ],
        hints: vec![hint.clone()],
        hints_start: Some(StateEdits::whole(&solved)),
        materials: Some(9),
        start,
        who: "Tern".into(),
        extra: Map::new(),
    };
    // What leads to the start is told beside whatever the learner has by now.
    let without = StateEdits::whole(&solved);
    plan.exercise = Some(std::sync::Arc::new(exercise(Some(without))));
    let read = read_plan(&plan.print()).unwrap();
    assert_eq!(read, plan);
    assert_eq!(read.exercise_start().unwrap().wires.len(), 5);
    let mut hints = read.hints().unwrap();
    assert!(hints.forward().unwrap());
    assert_eq!(hints.plan().wires, start.wires);
    let set = read.as_set().unwrap();
    assert_eq!((set.wires.len(), set.is_solved_by_learner()), (5, false));
    assert_eq!(set.exercise.as_ref().unwrap().who, "");
    let begun = set.clone().begun();
    assert!(begun.is_solved_by_learner());
    assert_eq!(begun.as_set().unwrap(), set);
    assert_eq!(begun.clone().begun(), begun);
    // A teacher's own plan is the start.
    solved.exercise = Some(std::sync::Arc::new(exercise(None)));
    let read = read_plan(&solved.print()).unwrap();
    assert_eq!(read, solved);
    assert_eq!(read.exercise_start().unwrap(), *solved.state());
}

/// Whoever sets an exercise may change what is given after the hints were recorded: they stay as they were.
#[test]
fn what_is_given_later_changes_no_hint() {
    let mut plan = dusk_lamp();
    plan.walk = None;
    let whole = plan.state().into_owned();
    plan.apply_all(plan.removal(&[], &["w6".into()])).unwrap();
    let given = plan.state().into_owned();
    let mut exercise = Exercise::default();
    exercise.add_hint(
        &given,
        WalkStep {
            edits: StateEdits::between(&given, &whole),
            ..WalkStep::default()
        },
    );
    plan.exercise = Some(std::sync::Arc::new(exercise.clone()));
    plan.apply_all(plan.removal(&["p6".into()], &[])).unwrap();
    let read = read_plan(&plan.print()).unwrap();
    assert_eq!(read, plan);
    let mut hints = read.hints().unwrap();
    assert!(hints.forward().unwrap());
    assert_eq!(hints.plan().wires, whole.wires);
    exercise.drop_hint();
    assert_eq!(exercise, Exercise::default());
    exercise.trials = vec![Trial::default(); crate::limits::TRIALS + 1];
    assert_eq!(
        exercise.beyond_limits().as_deref(),
        Some("An exercise has at most 50 trials.")
    );
}

/// A learner may take another book and another world: what the exercise says is of its own.
#[test]
fn a_learners_own_book_does_no_harm_to_the_exercise() {
    let mut plan = dusk_lamp();
    plan.exercise = Some(std::sync::Arc::new(Exercise {
        may: Some(vec![("battery-rack".into(), None)]),
        ..Exercise::default()
    }));
    let mut plan = plan.begun();
    plan.parts = Default::default();
    plan.wires = Default::default();
    plan.duties.clear();
    plan.book = crate::plan::BookRef::built_in("harbour").unwrap();
    assert_eq!(read_plan(&plan.print()).unwrap(), plan);
}

#[test]
fn an_exercise_says_what_is_wrong_with_it() {
    let says = |exercise| {
        let mut plan: serde_json::Value = serde_json::from_str(examples()[1].1).unwrap();
        plan["exercise"] = exercise;
        let faults = salvage(&plan.to_string()).unwrap().faults;
        faults
            .iter()
            .map(|fault| fault.to_string())
            .collect::<Vec<String>>()
    };
    assert_eq!(says(json!({ "asks": "Light" })), [""; 0]);
    assert_eq!(
        says(
            json!({ "may": { "moon": 1, "lamp": -1 }, "trials": [{ "world": { "weather": "fog" } }, { "lose": 3 }] })
        ),
        [
            "exercise.may.moon: found \"moon\", expected a part type of the book",
            "exercise.may.lamp: found -1, expected a whole number from 0 to 100000",
            "exercise.trials[0].world.weather: found \"fog\", expected a list",
            "exercise.trials[1].lose: found 3, expected \"any\", or given parts and wires",
        ]
    );
}

#[test]
fn walk_and_exercise_are_undone_and_change_no_answer() {
    let plan = dusk_lamp();
    let mut other = plan.clone();
    let inverse = other.apply(Edit::Walk(None)).unwrap();
    assert_eq!(other.fingerprint(), plan.fingerprint());
    assert_eq!(other.edits_to(&plan).len(), 1);
    other.apply(inverse).unwrap();
    assert_eq!(other, plan);
}
