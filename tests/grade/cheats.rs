//! Cheating: what a learner's file claims beside parts and wires changes no trial, and what is against the rules is told.

use super::set_out::{exercise, graded, part, remove, solved, wire, wired};
use duskline::plan::Reach;
use duskline::teach::{Breach, Overruled};
use serde_json::{Value, json};

/// A solution that is too weak, changed; what is told of it, and that the trials went as without the change.
fn changed(change: impl Fn(&mut Value)) -> (Vec<Breach>, Vec<Overruled>) {
    let mut solution = wired();
    change(&mut solution);
    let (honest, grade) = (
        graded(&exercise(), &wired()),
        graded(&exercise(), &solution),
    );
    assert!(!honest.kept && !grade.kept);
    assert_eq!(grade.trials, honest.trials);
    assert_eq!(grade.stars(), 0);
    (grade.breaches, grade.overruled)
}

/// The built-in book, so that a file can carry a changed one.
fn book() -> Value {
    let mut book: Value =
        serde_json::from_str(include_str!("../../assets/books/outpost.json")).unwrap();
    for kind in book["types"].as_array_mut().unwrap() {
        match kind["type"].as_str() {
            Some("lamp") => kind["draw"] = 1.into(),
            Some("sun-panel") => kind["peak"] = 500.into(),
            Some("battery") => kind["capacity"] = 5000.into(),
            _ => {}
        }
    }
    book
}

#[test]
fn an_honest_solution_is_kept_and_pays_for_what_was_built_alone() {
    let grade = graded(&exercise(), &solved());
    assert!(grade.kept && grade.breaches.is_empty() && grade.overruled.is_empty());
    // A generator is 14 steel, 8 copper and 3 resin.
    assert_eq!(
        (grade.materials, grade.parts, grade.cheap),
        (25, 1, Some(true))
    );
    assert_eq!(grade.since, None);
    // The generator is what the wire to the lamp comes from, and nothing else is needed.
    assert_eq!((grade.stars(), grade.most_stars()), (3, 3));
}

#[test]
fn another_world_book_or_duties_do_not_help() {
    let world = changed(|plan| plan["world"]["weather"] = json!([1.0]));
    assert_eq!(world, (vec![], vec![Overruled::World]));
    let other = changed(|plan| plan["book"] = book());
    assert_eq!(other, (vec![], vec![Overruled::Book]));
    let none = changed(|plan| plan["duties"] = json!([]));
    assert_eq!(none, (vec![], vec![Overruled::Duties]));
    let long = changed(|plan| plan["duties"][0]["grace_s"] = 864_000.into());
    assert_eq!(long, (vec![], vec![Overruled::Duties]));
}

#[test]
fn what_a_solution_says_of_its_exercise_is_not_looked_at() {
    let own = changed(|plan| {
        plan["exercise"] =
            json!({ "asks": "Nothing.", "free": ["p1", "p2", "p3", "p4"], "who": "Tern" });
    });
    assert_eq!(own, (vec![], vec![]));
}

#[test]
fn a_given_battery_and_one_that_was_built_begin_as_the_exercise_and_the_book_say() {
    let given = changed(|plan| plan["parts"][1]["set"]["start"] = 1000.into());
    assert_eq!(given, (vec![], vec![Overruled::Start("p2".into())]));
    let build = |start: Value| {
        let mut plan = exercise();
        part(
            &mut plan,
            json!({ "id": "p5", "type": "battery", "set": start }),
        );
        wire(&mut plan, "w3", "p5.out", "p3.in");
        graded(&exercise(), &plan)
    };
    let (full, plain) = (build(json!({ "start": 1000 })), build(json!({})));
    assert_eq!(full.trials, plain.trials);
    assert_eq!(full.overruled, [Overruled::Start("p5".into())]);
    assert!(plain.overruled.is_empty() && !plain.kept);
}

#[test]
fn a_given_part_stays_what_it_is() {
    let (panel, lamp) = (0, 2);
    let count = changed(|plan| plan["parts"][panel]["count"] = 50.into());
    let told = Breach::OtherCount {
        part: "p1".into(),
        given: 1,
        found: 50,
    };
    assert_eq!(count, (vec![told], vec![]));
    let kind = changed(|plan| plan["parts"][lamp]["type"] = "lantern".into());
    let told = Breach::OtherType {
        part: "p3".into(),
        given: "lamp".into(),
        found: "lantern".into(),
    };
    assert_eq!(kind, (vec![told], vec![]));
    let set = changed(|plan| plan["parts"][panel]["set"] = json!({ "tilt": 60 }));
    let told = Breach::OtherSetting {
        part: "p1".into(),
        setting: "tilt".into(),
        given: Some("35".into()),
        found: Some("60".into()),
    };
    assert_eq!(set, (vec![told], vec![]));
    let reach = changed(|plan| plan["parts"][3]["reach"] = "builders".into());
    let told = Breach::OtherReach {
        part: "p4".into(),
        given: Some(Reach::Friends),
        found: Some(Reach::Builders),
    };
    assert_eq!(reach, (vec![told], vec![]));
    // What the book says anyway or goes without saying, a name and a place are no change.
    let same = changed(|plan| {
        plan["parts"][panel]["set"] = json!({ "tilt": 35.0 });
        plan["parts"][3]["set"] = json!({ "closed": true, "contact": "make", "schedule": [] });
        plan["parts"][panel]["name"] = "My panel".into();
        plan["parts"][panel]["at"] = json!([40, 80]);
    });
    assert_eq!(same, (vec![], vec![]));
}

#[test]
fn a_given_part_that_is_gone_is_missed_and_stands_there_all_the_same() {
    let mut solution = solved();
    remove(&mut solution, "p1");
    let grade = graded(&exercise(), &solution);
    assert_eq!(grade.breaches, [Breach::Missing("p1".into())]);
    assert!(!grade.kept && grade.trials[0].kept);
    let mut solution = solved();
    remove(&mut solution, "p3");
    let grade = graded(&exercise(), &solution);
    assert_eq!(grade.breaches, [Breach::Missing("p3".into())]);
    assert_eq!(grade.overruled, [Overruled::Duties]);
    assert_eq!(grade.trials[0].broken.len(), 1);
}

#[test]
fn banks_are_counted_and_each_type_has_its_bound() {
    let build = |kind: &str, counts: &[u64]| {
        let mut plan = solved();
        for (at, count) in counts.iter().enumerate() {
            let id = format!("p{}", 10 + at);
            part(&mut plan, json!({ "id": id, "type": kind, "count": count }));
        }
        graded(&exercise(), &plan)
    };
    let panels = build("sun-panel", &[1, 2]);
    let told = Breach::TooMany {
        kind: "sun-panel".into(),
        most: 2,
        built: 3,
        parts: vec!["p10".into(), "p11".into()],
    };
    assert_eq!(panels.breaches, [told]);
    assert!(panels.trials[0].kept && !panels.kept);
    assert!(build("sun-panel", &[2]).kept && build("busbar-2", &[1, 1, 1, 1]).kept);
    let relay = build("relay", &[1]);
    let told = Breach::TooMany {
        kind: "relay".into(),
        most: 0,
        built: 1,
        parts: vec!["p10".into()],
    };
    assert_eq!(relay.breaches, [told]);
    // The third star too is worth nothing then.
    assert_eq!(relay.stars(), 0);
}

#[test]
fn a_part_type_of_another_book_is_left_out() {
    let mut own = book();
    let mut kind = own["types"][0].clone();
    kind["type"] = "moon-well".into();
    own["types"].as_array_mut().unwrap().push(kind);
    let told = changed(|plan| {
        plan["book"] = own.clone();
        part(plan, json!({ "id": "p9", "type": "moon-well" }));
    });
    let breach = Breach::NotInBook {
        kind: "moon-well".into(),
        parts: vec!["p9".into()],
    };
    assert_eq!(told, (vec![breach], vec![Overruled::Book]));
}

#[test]
fn a_free_part_may_be_set_otherwise_or_go_and_more_of_it_is_built() {
    let free = |free: Value, change: &dyn Fn(&mut Value)| {
        let (mut exercise, mut solution) = (exercise(), solved());
        exercise["exercise"]["free"] = free;
        change(&mut solution);
        graded(&exercise, &solution)
    };
    let set = free(json!(["p1"]), &|plan| {
        plan["parts"][0]["set"] = json!({ "tilt": 60 })
    });
    assert!(set.kept && set.parts == 1);
    let gone = free(json!(["p1"]), &|plan| remove(plan, "p1"));
    assert!(gone.kept && gone.breaches.is_empty());
    // Two panels more than the one that was given: 2 × 11 materials.
    let more = free(json!(["p1"]), &|plan| plan["parts"][0]["count"] = 3.into());
    assert!(more.kept && (more.parts, more.materials) == (3, 25 + 22));
    // What has a duty stays what it is, or the duty would be made light.
    let lighter = free(json!(["p3"]), &|plan| {
        plan["parts"][2]["type"] = "lantern".into()
    });
    assert_eq!(lighter.breaches.len(), 1);
    let dark = free(json!(["p3"]), &|plan| remove(plan, "p3"));
    assert_eq!(dark.breaches, [Breach::Missing("p3".into())]);
    assert!(!dark.trials[0].kept);
}

#[test]
fn a_wire_that_is_cut_is_cut_under_whatever_id_it_was_laid_anew() {
    let mut exercise = exercise();
    exercise["exercise"]["trials"] = json!([{ "says": "cut", "lose": { "wires": ["w9"] } }]);
    part(&mut exercise, json!({ "id": "p6", "type": "generator" }));
    wire(&mut exercise, "w9", "p6.out", "p3.in");
    let mut anew = exercise.clone();
    anew["wires"].as_array_mut().unwrap().pop();
    wire(&mut anew, "w12", "p6.out", "p3.in");
    for solution in [&exercise, &anew] {
        let grade = graded(&exercise, solution);
        assert!(grade.trials[0].kept && !grade.trials[1].kept);
    }
}
