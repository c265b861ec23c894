//! A small exercise at Kittiwake Light, and plans made from its file: what is changed is changed in the JSON.

use duskline::plan::{Plan, read_plan};
use duskline::teach::{Grade, SaidGrade, grade};
use serde_json::{Value, json};

/// Light the stair lamp for ever on dull days. The roof panel alone is not enough; a generator is.
pub fn exercise() -> Value {
    json!({
        "format": "duskline/plan", "version": 1, "title": "Stair", "book": "outpost",
        "world": { "sky": { "latitude": 56, "day_of_year": 80, "air": "clear" }, "weather": [0.2] },
        "parts": [
            { "id": "p1", "type": "sun-panel", "name": "Roof panel" },
            { "id": "p2", "type": "battery", "name": "Shelf battery", "set": { "start": 300 } },
            { "id": "p3", "type": "lamp", "name": "Stair lamp" },
            { "id": "p4", "type": "switch", "name": "House switch", "set": { "closed": true }, "reach": "friends" }
        ],
        "wires": [
            { "id": "w1", "from": "p1.out", "to": "p2.in" },
            { "id": "w2", "from": "p2.out", "to": "p4.feed" }
        ],
        "duties": [{ "part": "p3", "when": "always" }],
        "exercise": {
            "asks": "Light the stair lamp, always.",
            "may": { "battery": 1, "generator": 1, "busbar-2": null, "sun-panel": 2 },
            "materials": 26
        }
    })
}

/// The exercise's plan as a learner would wire it without anything more: too weak.
pub fn wired() -> Value {
    let mut plan = exercise();
    wire(&mut plan, "w3", "p4.out", "p3.in");
    plan
}

/// A solution: the generator feeds the lamp.
pub fn solved() -> Value {
    let mut plan = exercise();
    part(
        &mut plan,
        json!({ "id": "p5", "type": "generator", "name": "Cellar generator" }),
    );
    wire(&mut plan, "w3", "p5.out", "p3.in");
    plan
}

pub fn part(plan: &mut Value, part: Value) {
    plan["parts"].as_array_mut().unwrap().push(part);
}

pub fn wire(plan: &mut Value, id: &str, from: &str, to: &str) {
    let wires = plan["wires"].as_array_mut().unwrap();
    wires.push(json!({ "id": id, "from": from, "to": to }));
}

/// Takes a part away with its wires and duties.
pub fn remove(plan: &mut Value, id: &str) {
    let at = |end: &Value| end.as_str().unwrap().split_once('.').unwrap().0 == id;
    let list = |plan: &mut Value, key: &str, gone: &dyn Fn(&Value) -> bool| {
        if let Some(list) = plan[key].as_array_mut() {
            list.retain(|entry| !gone(entry));
        }
    };
    list(plan, "wires", &|wire| at(&wire["from"]) || at(&wire["to"]));
    list(plan, "duties", &|duty| duty["part"] == id);
    list(plan, "parts", &|part| part["id"] == id);
}

pub fn read(document: &Value) -> Plan {
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:#?}\n{document:#}"))
}

/// The grade of a solution of an exercise, both as files.
pub fn graded(exercise: &Value, solution: &Value) -> Grade {
    grade(&read(exercise), &read(solution)).expect("an exercise")
}

/// The grade in words.
pub fn said(exercise: &Value, solution: &Value) -> SaidGrade {
    let (exercise, solution) = (read(exercise), read(solution));
    let grade = grade(&exercise, &solution).expect("an exercise");
    SaidGrade::of(&exercise, &solution, &grade).expect("an exercise")
}
