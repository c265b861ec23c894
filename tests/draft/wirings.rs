//! Every wiring of a handful of parts, by going through all of them: an independent search for the least plan.

use duskline::draft::DraftOrder;
use duskline::plan::{Duty, End, Part, Plan, Wire};
use duskline::proof::check_keeping;
use serde_json::{Map, Value, json};

/// A type with settings that are tried.
pub struct Tried {
    pub kind: &'static str,
    pub sets: Vec<Value>,
}

/// The least sum of materials of a plan that keeps every duty for ever with up to `most` parts beside the wants; none where
/// no such plan does. Plans that cost `below` or more are not looked at.
pub fn least(order: &DraftOrder, tried: &[Tried], most: usize, below: u64) -> Option<u64> {
    let mut best = None;
    let choices: Vec<(&str, &Value)> = tried
        .iter()
        .flat_map(|t| t.sets.iter().map(|set| (t.kind, set)))
        .collect();
    let mut chosen: Vec<usize> = Vec::new();
    choose(&choices, most, 0, &mut chosen, &mut |chosen| {
        let mut plan = wants(order);
        for at in chosen {
            let (kind, set) = choices[*at];
            let id = plan.new_part_id();
            let mut part = Part::new(id, kind, (0.0, 0.0));
            part.set = set.as_object().cloned().unwrap_or_default();
            plan.parts.push(part);
        }
        let cost = cost(&plan);
        if cost < best.unwrap_or(below) && any_wiring(&mut plan) {
            best = Some(cost);
        }
    });
    best
}

fn choose(
    choices: &[(&str, &Value)],
    most: usize,
    from: usize,
    chosen: &mut Vec<usize>,
    each: &mut dyn FnMut(&[usize]),
) {
    each(chosen);
    if chosen.len() == most {
        return;
    }
    for at in from..choices.len() {
        chosen.push(at);
        choose(choices, most, at, chosen, each);
        chosen.pop();
    }
}

fn wants(order: &DraftOrder) -> Plan {
    let mut plan = Plan {
        book: order.book.clone(),
        world: order.world.clone(),
        ..Plan::empty()
    };
    for want in &order.wants {
        let (id, duty) = (plan.new_part_id(), want.duty.unwrap());
        let mut part = Part::new(id.clone(), &want.kind, (0.0, 0.0));
        part.count = want.count;
        plan.parts.push(part);
        plan.duties.push(Duty {
            part: id,
            when: duty.when,
            only: duty.only,
            grace_s: duty.grace_s,
            extra: Map::new(),
        });
    }
    plan
}

fn cost(plan: &Plan) -> u64 {
    let one = |part: &Part| {
        let kind = plan.kind_of(part).expect("a type of the book");
        kind.cost.iter().map(|(_, n)| n * part.count).sum::<u64>()
    };
    plan.parts.iter().map(one).sum()
}

/// Whether any wiring of the plan's parts keeps every duty for ever.
fn any_wiring(plan: &mut Plan) -> bool {
    let (mut outs, mut ins) = (Vec::new(), Vec::new());
    for part in &plan.parts {
        for port in plan.kind_of(part).expect("a type").ports() {
            let end = End::new(&part.id, &port.name);
            match format!("{:?}", port.side).as_str() {
                "Out" => outs.push(end),
                _ => ins.push(end),
            }
        }
    }
    join(plan, &outs, &mut ins)
}

/// Joins the first of the outputs to nothing or to each input that is left.
fn join(plan: &mut Plan, outs: &[End], ins: &mut Vec<End>) -> bool {
    let Some((out, rest)) = outs.split_first() else {
        let all: Vec<usize> = (0..plan.duties.len()).collect();
        let fine = check_keeping(plan, &all);
        return fine.is_some_and(|found| found.is_fine() && found.for_ever);
    };
    if join(plan, rest, ins) {
        return true;
    }
    for at in 0..ins.len() {
        let to = ins.remove(at);
        let id = plan.new_wire_id();
        if to.part != out.part {
            plan.wires.push(Wire::new(id, out.clone(), to.clone()));
            let does = join(plan, rest, ins);
            plan.wires.remove(plan.wires.len() - 1);
            if does {
                ins.insert(at, to);
                return true;
            }
        }
        ins.insert(at, to);
    }
    false
}

/// The types of the small book that are tried, with a few settings each; time switches as asked.
pub fn tried(from: &str, to: &str) -> Vec<Tried> {
    let one = |kind, set: Value| Tried {
        kind,
        sets: vec![set],
    };
    let both = |kind| Tried {
        kind,
        sets: vec![json!({}), json!({ "contact": "break" })],
    };
    vec![
        one("panel", json!({})),
        one("cell", json!({ "start": 1000 })),
        one("tap", json!({ "amount": 1 })),
        both("relay"),
        both("twilight"),
        one("home", json!({})),
        one("time-switch", json!({ "from": from, "to": to })),
        one("switch", json!({ "closed": true })),
    ]
}
