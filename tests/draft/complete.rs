//! Completing: what stands stays, what is missing is added, and the whole keeps its duties.

use super::orders::{document, read, small};
use super::want;
use duskline::draft::{DraftAnswer, DraftOrder, DraftSearch, Searched, draft, order_of};
use duskline::plan::{Plan, read_plan};
use duskline::proof::check;
use serde_json::{Value, json};

/// A plan in the small book and the short world.
fn plan(parts: Value, wires: &[(&str, &str)], duties: Value) -> Plan {
    let order = small(json!({}));
    let wires = wires.iter().enumerate();
    let wires: Vec<Value> = wires
        .map(|(at, (from, to))| json!({ "id": format!("w{}", at + 1), "from": from, "to": to }))
        .collect();
    let value = json!({ "format": "duskline/plan", "version": 1, "book": order["book"], "world": order["world"],
        "title": "Half a hut", "parts": parts, "wires": wires, "duties": duties });
    read_plan(&value.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The answer, each of its plans with all that stood in it as it stood.
fn completed(order: &DraftOrder, plan: &Plan) -> DraftAnswer {
    let mut search = DraftSearch::completing(order, plan);
    while !search.go(50) {}
    let answer = search.finish();
    let before = document(plan);
    for drafted in &answer.plans {
        let after = document(&drafted.plan);
        for list in ["parts", "wires"] {
            let all = after[list].as_array().unwrap();
            for one in before[list].as_array().unwrap() {
                assert!(all.contains(one), "{one} is not in {after}");
            }
        }
        assert_eq!(after["title"], before["title"]);
        let found = check(&drafted.plan);
        assert!(found.is_fine() && found.for_ever, "{after}");
        assert!(drafted.plan.duties.len() >= plan.duties.len());
    }
    answer
}

fn always(parts: &[&str]) -> Value {
    let each = parts
        .iter()
        .map(|part| json!({ "part": part, "when": "always", "grace_s": 0.3 }));
    Value::Array(each.collect())
}

#[test]
fn what_a_free_loop_can_serve_costs_a_wire() {
    let plan = plan(
        json!([{ "id": "p1", "type": "mill", "name": "Mill" }, { "id": "p2", "type": "lamp" }, { "id": "p3", "type": "stove", "at": [40, 60] }]),
        &[("p1.out", "p2.in")],
        always(&["p2", "p3"]),
    );
    let order = order_of(&plan);
    assert_eq!(order.wants.len(), 2);
    let answer = completed(&order, &plan);
    let first = &answer.plans.first().expect("a plan").plan;
    assert_eq!((first.parts.len(), first.wires.len()), (3, 2));
    assert_eq!(answer.searched, Searched::Complete);
}

#[test]
fn a_contact_that_stands_ahead_of_nothing_is_used() {
    let plan = plan(
        json!([{ "id": "p1", "type": "mill" }, { "id": "p2", "type": "home" }, { "id": "p3", "type": "lamp" }]),
        &[("p1.out", "p2.feed")],
        json!([{ "part": "p3", "when": "home", "only": true, "grace_s": 0.3 }]),
    );
    let answer = completed(&order_of(&plan), &plan);
    let first = &answer.plans.first().expect("a plan").plan;
    assert_eq!((first.parts.len(), first.wires.len()), (3, 2));
}

#[test]
fn where_nothing_is_missing_the_plan_itself_is_the_answer() {
    let plan = plan(
        json!([{ "id": "p1", "type": "mill" }, { "id": "p2", "type": "lamp" }]),
        &[("p1.out", "p2.in")],
        always(&["p2"]),
    );
    let answer = completed(&order_of(&plan), &plan);
    assert_eq!(answer.plans.len(), 1);
    assert_eq!(document(&answer.plans[0].plan), document(&plan));
}

#[test]
fn a_lamp_without_a_supply_gets_one_of_its_own_and_a_new_want_comes_with_its_load() {
    let plan = plan(
        json!([{ "id": "p1", "type": "panel", "set": { "azimuth": 90 } }, { "id": "p2", "type": "cell" }, { "id": "p3", "type": "lamp", "name": "Hall" }]),
        &[("p1.out", "p2.in")],
        always(&["p3"]),
    );
    let mut order = order_of(&plan);
    let more = read(&small(
        json!({ "wants": [want("stove", json!("dark"), true)] }),
    ));
    order.wants.extend(more.wants);
    let answer = completed(&order, &plan);
    let first = &answer.plans.first().expect("a plan").plan;
    assert_eq!(first.duties.len(), 2);
    assert_eq!(first.duties[0].part.as_str(), "p3");
    let stove = first.part(&first.duties[1].part).unwrap();
    assert_eq!(stove.kind, "stove");
    assert!(plan.part(&stove.id).is_none());
}

#[test]
fn a_line_that_is_weak_is_fed_where_an_input_is_free() {
    // The lamp hangs on a busbar whose one panel gives nothing at night.
    let plan = plan(
        json!([{ "id": "p1", "type": "panel" }, { "id": "p2", "type": "busbar-2" }, { "id": "p3", "type": "lamp" }]),
        &[("p1.out", "p2.in1"), ("p2.out", "p3.in")],
        always(&["p3"]),
    );
    let answer = completed(&order_of(&plan), &plan);
    let first = &answer.plans.first().expect("a plan").plan;
    let new = first
        .wires
        .iter()
        .find(|w| w.to.part.as_str() == "p2" && w.to.port == "in2");
    assert!(new.is_some(), "{}", first.print());
}

#[test]
fn where_nothing_can_be_added_it_is_said() {
    let plan = plan(
        json!([{ "id": "p1", "type": "panel" }, { "id": "p2", "type": "lamp" }]),
        &[("p1.out", "p2.in")],
        always(&["p2"]),
    );
    let answer = completed(&order_of(&plan), &plan);
    assert!(answer.plans.is_empty());
    let because = answer
        .impossible
        .expect("nothing helps a lamp wired to a panel")
        .because;
    let paths: Vec<String> = because.iter().map(|demand| demand.path()).collect();
    assert_eq!(paths, ["wants.0.duty"]);
}

#[test]
fn a_draft_that_lost_a_wire_at_a_load_is_completed_again() {
    let mut tried = 0;
    for seed in 0..12 {
        let order = read(&super::orders::random(seed));
        let Some(drafted) = draft(&order).plans.into_iter().next() else {
            continue;
        };
        let mut plan = drafted.plan;
        let load = plan.parts[0].id.clone();
        let at = plan.wires.iter().position(|wire| wire.to.part == load);
        plan.wires.remove(at.expect("it is fed"));
        let mut order = order.clone();
        (order.may, order.materials) = (None, Default::default());
        order.keeps = Default::default();
        let answer = completed(&order, &plan);
        assert!(!answer.plans.is_empty(), "{seed}: {}", plan.print());
        assert!(answer.plans[0].materials_sum >= drafted.materials_sum);
        tried += 1;
    }
    assert!(tried > 6, "{tried}");
}
