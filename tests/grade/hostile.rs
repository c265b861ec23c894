//! Exercises that somebody made to do harm: all of their texts are text, ids of others mean nothing, and what is too much is
//! told by the reader.

use super::set_out::{exercise, graded, read, said, solved, wired};
use duskline::plan::{Exercise, Lost, Plan, Trial, read_plan};
use duskline::teach::{Grade, GradeError, GradeSearch, SaidGrade, grade, tried};
use serde_json::json;
use std::sync::Arc;

const MARKUP: &str = "<img src=x onerror=alert(1)>\n=cmd|' /C calc'!A0\u{7}";
const SHOWN: &str = "<img src=x onerror=alert(1)> =cmd|' /C calc'!A0";

#[test]
fn markup_in_every_text_stays_text_on_one_line() {
    let (mut exercise, mut solution) = (exercise(), wired());
    for plan in [&mut exercise, &mut solution] {
        plan["title"] = MARKUP.into();
        plan["notes"] = MARKUP.into();
        for part in plan["parts"].as_array_mut().unwrap() {
            part["name"] = MARKUP.into();
        }
    }
    exercise["exercise"]["asks"] = MARKUP.into();
    exercise["exercise"]["who"] = MARKUP.into();
    exercise["exercise"]["trials"] = json!([{ "says": MARKUP, "lose": "any" }]);
    let said = said(&exercise, &solution);
    assert_eq!(said.trials[1].says, SHOWN);
    let sentences = said.trials.iter().flat_map(|trial| &trial.sentences);
    let sentences: Vec<&str> = sentences.map(|sentence| sentence.says.as_str()).collect();
    assert!(!sentences.is_empty());
    for says in sentences {
        assert!(!says.contains(char::is_control), "{says:?}");
        assert!(says.contains("<img src=x onerror=alert(1)>"), "{says}");
    }
}

#[test]
fn ids_of_nothing_and_of_other_kinds_of_parts_do_no_harm() {
    let mut odd = exercise();
    odd["exercise"]["free"] = json!(["p99", "w1", "", "p1"]);
    odd["exercise"]["trials"] = json!([
        { "says": "a lamp is thrown", "throw": ["p3", "p99", "p4", "p4"] },
        { "says": "nothing is lost", "lose": { "parts": ["p99"], "wires": ["w99", "p1"] } },
        { "says": "all is lost", "lose": { "parts": ["p1", "p2", "p3", "p4"], "wires": ["w1", "w2"] } },
    ]);
    let grade = graded(&odd, &solved());
    assert!(grade.kept, "{grade:#?}");
    // The load of the only duty is gone, so nothing is left to be broken.
    assert!(grade.trials[3].broken.is_empty());
}

#[test]
fn thousands_of_trials_and_a_world_that_can_not_be_are_the_readers_faults() {
    let mut many = exercise();
    many["exercise"]["trials"] = vec![json!({ "says": "again" }); 5000].into();
    let faults = read_plan(&many.to_string()).expect_err("too many");
    assert_eq!(faults.len(), 1);
    assert_eq!(
        faults[0].to_string(),
        "exercise.trials: found 5000 trials, expected at most 50"
    );
    let mut wrong = exercise();
    wrong["exercise"]["trials"] = json!([{ "says": "no day", "world": { "day_s": 0 } }]);
    let faults = read_plan(&wrong.to_string()).expect_err("no such day");
    assert!(
        faults[0]
            .to_string()
            .starts_with("exercise.trials[0].world"),
        "{faults:?}"
    );
}

#[test]
fn a_world_that_can_not_be_in_a_plan_that_no_reader_saw_is_an_error_and_no_grade() {
    let mut plan = read(&exercise());
    let trial = Trial {
        world: json!({ "day_s": 0 }).as_object().unwrap().clone(),
        ..Trial::default()
    };
    plan.exercise = Some(Arc::new(Exercise {
        trials: vec![Trial::default(), trial],
        ..Exercise::default()
    }));
    let solution = read(&solved());
    let error = grade(&plan, &solution).expect_err("no such day");
    assert!(matches!(error, GradeError::Trial(1, _)));
    let said = SaidGrade::of(&plan, &solution, &Grade::default());
    // Without a trial to tell of, nothing needs that world.
    assert!(said.is_ok());
    assert!(tried(&plan, &solution, 2).is_err() && tried(&plan, &solution, 1).is_ok());
    assert_eq!(
        grade(&solution_only(), &solution),
        Err(GradeError::NoExercise)
    );
    assert_eq!(
        GradeError::NoExercise.to_string(),
        "this plan sets no exercise: its file has no field \"exercise\""
    );
}

fn solution_only() -> Plan {
    let mut plan = read(&solved());
    plan.exercise = None;
    plan
}

#[test]
fn sums_of_the_largest_banks_stop_and_do_not_overflow() {
    let mut solution = solved();
    for at in 0..300 {
        let id = format!("p{}", 100 + at);
        let part = json!({ "id": id, "type": "battery-vault", "count": 100_000 });
        super::set_out::part(&mut solution, part);
    }
    let grade = graded(&exercise(), &solution);
    assert_eq!((grade.parts, grade.breaches.len()), (30_000_001, 1));
    assert_eq!(grade.materials, 30_000_000 * 44 + 25);
}

#[test]
fn a_search_that_is_broken_off_has_kept_nothing_and_its_steps_come_to_the_same() {
    let mut exercise = exercise();
    exercise["exercise"]["trials"] = json!([{ "says": "any", "lose": "any" }, { "says": "again" }]);
    let (exercise, solution) = (read(&exercise), read(&solved()));
    let whole = grade(&exercise, &solution).expect("an exercise");
    assert!(whole.kept);
    let mut search = GradeSearch::new(&exercise, &solution).expect("an exercise");
    let mut steps = 0;
    loop {
        let (done, of) = search.progress();
        assert!(done == steps && done <= of);
        // What is left to try counts as not kept; only the third star is asked for after all that.
        let early = search.clone().finish();
        assert!(!early.kept || early.trials == whole.trials);
        assert!(!early.kept || steps + 4 > of, "{steps} of {of}");
        if search.go(1) {
            break;
        }
        steps += 1;
    }
    assert!(steps > 3);
    assert_eq!(search.finish(), whole);
    let trial = &exercise.exercise.as_ref().unwrap().trials[0];
    assert_eq!(trial.lose, Lost::AnyOne);
}
