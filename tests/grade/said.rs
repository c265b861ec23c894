//! What is said of each kind of fault, to the letter; and what on the board a sentence speaks of.

use super::set_out::{exercise, part, read, remove, said as said_of, solved, wire, wired};
use duskline::plan::read_plan;
use duskline::run;
use duskline::teach::{SaidGrade, grade, tried, tried_without};
use serde_json::{Value, json};

fn sentences(said: &SaidGrade, trial: usize) -> Vec<&str> {
    let trial = said.trials[trial].sentences.iter();
    trial.map(|sentence| sentence.says.as_str()).collect()
}

fn breaches(change: impl Fn(&mut Value)) -> Vec<String> {
    let mut solution = solved();
    change(&mut solution);
    let said = said_of(&exercise(), &solution);
    said.breaches
        .into_iter()
        .map(|breach| breach.says)
        .collect()
}

#[test]
fn each_breach_says_what_it_is_and_what_to_do() {
    let told = |expected: &[&str], change: &dyn Fn(&mut Value)| {
        assert_eq!(breaches(change), expected);
    };
    told(
        &[
            "Roof panel was given and must stay, but it is not there. Start again from what was given, or undo its removal.",
        ],
        &|plan| remove(plan, "p1"),
    );
    told(
        &[
            "Stair lamp was given as a part of type Lamp and must stay one, but it is of type Hand lantern now. Start again from what was given.",
        ],
        &|plan| plan["parts"][2]["type"] = "lantern".into(),
    );
    told(
        &[
            "Roof panel was given as 1 and must stay so, but there are 3 of it now. Set its number back to 1.",
        ],
        &|plan| plan["parts"][0]["count"] = 3.into(),
    );
    told(
        &[
            "Roof panel was given and must stay as it was, but it is set otherwise. Set the tilt to 35° again.",
        ],
        &|plan| plan["parts"][0]["set"] = json!({ "tilt": 60 }),
    );
    told(
        &[
            "This is quite another plan: nothing that was given is in it. Start again from what was given, or send the link of the plan that was begun there.",
        ],
        &|plan| {
            plan["parts"] =
                json!([{ "id": "p40", "type": "lamp" }, { "id": "p1", "type": "relay" }]);
            plan["wires"] = json!([]);
            plan["duties"] = json!([]);
        },
    );
    let switch = "House switch was given and must stay as it was, but it is set otherwise.";
    told(
        &[
            &format!("{switch} Set the handle to closed again."),
            &format!("{switch} Set the daily schedule to none again."),
        ],
        &|plan| plan["parts"][3]["set"] = json!({ "schedule": [["08:00", true]] }),
    );
    told(
        &[&format!("{switch} Set the contact to make again.")],
        &|plan| plan["parts"][3]["set"] = json!({ "closed": true, "contact": "break" }),
    );
    told(
        &[
            "House switch was given as a part within reach of friends and must stay one, but it is marked otherwise. Mark it so again.",
        ],
        &|plan| plan["parts"][3]["reach"] = "anyone".into(),
    );
    told(
        &["Relay may not be built here, and one was. Take it away."],
        &|plan| part(plan, json!({ "id": "p9", "type": "relay" })),
    );
    told(
        &["Of Sun panel at most 2 may be built beside what was given, and 4 were. Take 2 away."],
        &|plan| part(plan, json!({ "id": "p9", "type": "sun-panel", "count": 4 })),
    );
}

#[test]
fn what_does_not_count_is_told_with_what_counts_in_its_place() {
    let mut book: Value =
        serde_json::from_str(include_str!("../../assets/books/outpost.json")).unwrap();
    book["types"][0]["type"] = "moon-well".into();
    book["types"][0]["label"] = "Moon well".into();
    let mut solution = solved();
    solution["book"] = book;
    solution["world"]["weather"] = json!([1]);
    solution["duties"] = json!([]);
    solution["parts"][1]["set"]["start"] = 1000.into();
    part(
        &mut solution,
        json!({ "id": "p9", "type": "moon-well", "name": "My well" }),
    );
    let said = said_of(&exercise(), &solution);
    let overruled: Vec<&str> = said.overruled.iter().map(|one| one.says.as_str()).collect();
    assert_eq!(
        overruled,
        [
            "The plan has another parts book. It was tried with that of the exercise.",
            "The plan has another world. It was tried in that of the exercise.",
            "The plan has other duties. What counts are those of the exercise.",
            "What Shelf battery is charged to at the start was set otherwise. It was tried with what it begins with in this exercise.",
        ]
    );
    assert_eq!(
        said.breaches[0].says,
        "The book of this exercise has no part type Moon well, so My well was left out. Take it away."
    );
}

/// Two panels and a full battery carry the lamp, and the radio in the evening, on clear days.
fn watch() -> (Value, Value) {
    let mut exercise = exercise();
    exercise["world"]["weather"] = json!([1]);
    exercise["parts"][0]["count"] = 2.into();
    exercise["parts"][1]["set"]["start"] = 900.into();
    part(
        &mut exercise,
        json!({ "id": "p6", "type": "radio", "name": "Radio" }),
    );
    let hours = json!({ "from": "17:30", "to": "20:00" });
    part(
        &mut exercise,
        json!({ "id": "p7", "type": "time-switch", "name": "Evening switch", "set": hours }),
    );
    let evening = json!({ "part": "p6", "when": "clock", "from": "18:00", "to": "20:00" });
    exercise["duties"].as_array_mut().unwrap().push(evening);
    let mut solution = exercise.clone();
    wire(&mut solution, "w3", "p4.out", "p3.in");
    wire(&mut solution, "w4", "p3.loop", "p7.feed");
    wire(&mut solution, "w5", "p7.out", "p6.in");
    (exercise, solution)
}

fn in_trial(trial: Value) -> Vec<String> {
    let (mut exercise, solution) = watch();
    exercise["exercise"]["trials"] = json!([trial]);
    let said = said_of(&exercise, &solution);
    sentences(&said, 1).into_iter().map(String::from).collect()
}

#[test]
fn each_failing_says_what_fails_when_and_why() {
    assert_eq!(
        in_trial(
            json!({ "says": "three dull days in a row", "world": { "weather": [1, 0, 0, 0] } })
        ),
        [
            "Stair lamp goes dark on day 2 at 18:15 (three dull days in a row): Shelf battery is empty until 07:56 on \
             day 5. It needs 135 u·h more. It lasts 61 h 40 min.",
            "Radio stops on day 2 at 18:15 (three dull days in a row): Shelf battery is empty until 07:56 on day 5. It \
             needs 7 u·h more. It lasts 1 h 44 min. This happens 3 times in 5 days.",
        ]
    );
    assert_eq!(
        in_trial(json!({ "says": "somebody opens the house switch", "throw": ["p4"] })),
        [
            "Stair lamp is dark from 00:00 on day 1 to 00:00 on day 3 (somebody opens the house switch): House switch \
             is set open. It goes on like that for ever.",
            "Radio does not run from 18:00 on day 1 to 20:00 (somebody opens the house switch): House switch is set \
             open. This happens 2 times in 2 days.",
        ]
    );
    // A trial without words is called by its number.
    assert_eq!(
        in_trial(json!({ "lose": { "parts": ["p1"] } })),
        [
            "Stair lamp goes dark on day 1 at 23:00 (trial 1): Shelf battery is empty and stays so. It needs 53 u·h \
             more a day. It goes on like that for ever.",
            "Radio does not run from 18:00 on day 2 to 20:00 (trial 1): Shelf battery is empty and stays so. It needs \
             53 u·h more a day.",
        ]
    );
    // The duty of a load that a trial takes away is not asked for in it.
    assert_eq!(
        in_trial(json!({ "says": "the radio is stolen", "lose": { "parts": ["p6"] } })),
        ["Every duty is kept, for ever."]
    );
}

#[test]
fn each_single_loss_that_breaks_a_duty_is_told_with_what_it_breaks_first() {
    let said = in_trial(json!({ "says": "any one part or wire fails", "lose": "any" }));
    assert_eq!(said.len(), 8);
    assert_eq!(
        said[0],
        "Without Roof panel, Stair lamp goes dark on day 1 at 23:00 (any one part or wire fails): Shelf battery is \
         empty and stays so. It needs 53 u·h more a day. It goes on like that for ever. Then Radio fails too."
    );
    // The lamp itself is lost with its own duty; what hangs on its loop is not.
    assert_eq!(
        said[2],
        "Without Stair lamp, Radio does not run from 18:00 on day 1 to 20:00 (any one part or wire fails): no wire \
         leads to Evening switch."
    );
    assert_eq!(
        said[7],
        "Without the wire from Stair lamp to Evening switch, Radio does not run from 18:00 on day 1 to 20:00 \
         (any one part or wire fails): no wire leads to Evening switch."
    );
    let (exercise, solution) = watch();
    let star = said_of(&exercise, &solution)
        .stars
        .pop()
        .expect("the third star");
    assert!(!star.won);
    assert_eq!(
        star.sentence.says,
        "8 of 11 single losses break a duty. Without Roof panel, Stair lamp goes dark on day 1 at 23:00: Shelf battery \
         is empty and stays so. It needs 53 u·h more a day. It goes on like that for ever. Then Radio fails too."
    );
}

#[test]
fn what_is_kept_says_for_how_long_and_a_problem_says_what_it_is() {
    let (mut exercise, mut solution) = watch();
    exercise["exercise"] = json!({ "asks": "Watch." });
    assert_eq!(
        said_of(&exercise, &solution).verdict,
        "Solved: every duty is kept."
    );
    part(
        &mut solution,
        json!({ "id": "p10", "type": "battery-vault", "count": 500 }),
    );
    part(&mut solution, json!({ "id": "p8", "type": "generator" }));
    wire(&mut solution, "w7", "p8.out", "p10.in");
    assert_eq!(
        sentences(&said_of(&exercise, &solution), 0),
        [
            "Every duty is kept for the 60 days that were run. No midnight repeated an earlier one, so it is not known \
             whether that goes on."
        ]
    );
    part(&mut solution, json!({ "id": "p9", "type": "meter" }));
    wire(&mut solution, "w8", "p9.out", "p9.in");
    let said = said_of(&exercise, &solution);
    assert_eq!(
        sentences(&said, 0),
        [
            "The wires among Meter lead round in a closed loop and carry nothing. Take one of them away, or break the \
             loop with a battery or a signal."
        ]
    );
    assert_eq!(
        said.verdict,
        "Not solved yet: something fails on plain days."
    );
}

#[test]
fn verdict_and_stars_count_what_is_against_them() {
    let mut exercise = exercise();
    exercise["exercise"]["trials"] = json!([
        { "says": "no sun", "world": { "weather": [0] } }, { "says": "again" },
    ]);
    let stars = |said: &SaidGrade| -> Vec<(bool, String)> {
        let stars = said.stars.iter();
        stars
            .map(|star| (star.won, star.sentence.says.clone()))
            .collect()
    };
    let said = said_of(&exercise, &wired());
    assert_eq!(
        said.verdict,
        "Not solved yet: something fails on plain days and in 2 of 2 trials."
    );
    assert_eq!(
        stars(&said)[1..],
        [
            (
                false,
                "What was built takes 0 in materials, of 26 that are allowed for. This counts once all else is kept."
                    .into()
            ),
            (
                false,
                "Whether the duties stand the loss of any one part or wire is tried once all else is kept.".into()
            ),
        ]
    );
    let said = said_of(&exercise, &solved());
    assert_eq!(
        said.verdict,
        "Solved: every duty is kept, on plain days and in all 2 trials."
    );
    assert_eq!(
        stars(&said),
        [
            (
                true,
                "Every duty is kept in everything that was tried, within the rules.".to_string()
            ),
            (
                true,
                "What was built takes 25 in materials, of 26 that are allowed for.".into()
            ),
            (true, "None of 5 single losses breaks a duty.".into()),
        ]
    );
    let mut dear = solved();
    part(
        &mut dear,
        json!({ "id": "p9", "type": "busbar-2", "count": 1 }),
    );
    assert_eq!(
        stars(&said_of(&exercise, &dear))[1].1,
        "What was built takes 28 in materials, which is 2 more than the 26 that this star allows for."
    );
    remove(&mut dear, "p1");
    assert_eq!(
        said_of(&exercise, &dear).verdict,
        "Not solved yet: one thing is against the rules."
    );
}

#[test]
fn a_sentence_can_be_seen_on_the_board_of_the_plan_as_tried() {
    let (mut exercise, solution) = watch();
    exercise["exercise"]["trials"] = json!([
        { "says": "dull", "world": { "weather": [1, 0, 0, 0] } },
        { "says": "open", "throw": ["p4"] },
        { "says": "stolen", "lose": { "parts": ["p1"] } },
        { "says": "any", "lose": "any" },
    ]);
    let (exercise, solution) = (read(&exercise), read(&solution));
    let grade = grade(&exercise, &solution).expect("an exercise");
    let said = SaidGrade::of(&exercise, &solution, &grade).expect("an exercise");
    let mut seen = 0;
    for sentence in said.trials.iter().flat_map(|trial| &trial.sentences) {
        let (Some(t), trial) = (sentence.at, sentence.trial) else {
            continue;
        };
        let plan = match &sentence.loss {
            None => tried(&exercise, &solution, trial),
            Some(loss) => tried_without(&exercise, &solution, trial, loss),
        };
        let plan = plan.expect("an exercise");
        let load = plan
            .part_place(&sentence.parts[0])
            .expect("the load is there");
        let days = t / plan.world.day_ms() + 1;
        let runs = run::run(&plan, days).loads[&load].runs.clone();
        assert!(
            !runs.iter().any(|(from, to)| *from <= t && t < *to),
            "{}",
            sentence.says
        );
        // And it reads as a file, so that it can be kept and sent.
        assert_eq!(
            read_plan(&plan.print()).expect("a sound plan").parts,
            plan.parts
        );
        seen += 1;
    }
    assert_eq!(seen, 14);
    let first = said.first.expect("something fails");
    assert_eq!((first.trial, first.parts[0].as_str()), (1, "p3"));
    assert!(
        first
            .says
            .starts_with("Stair lamp goes dark on day 2 at 18:15 (dull)")
    );
}
