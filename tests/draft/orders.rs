//! Orders for the tests: a small book of its own in a short world, and what is asked of every plan that is drafted.

use duskline::draft::{DraftAnswer, DraftOrder, Drafted, draft, read_order};
use duskline::plan::{Plan, read_plan};
use duskline::proof::{Loss, bad_weather, check, without, worst_starts};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// A book of few types with energies for a day of seconds.
pub fn book() -> Value {
    let kind = |name: &str, behaviour: &str, cost: u64, more: Value| {
        let mut kind = json!({ "type": name, "label": name, "group": "g", "symbol": "lamp", "behaviour": behaviour,
            "cost": { "copper": cost }, "stage": 1, "set": {} });
        for (key, value) in more.as_object().unwrap() {
            kind[key] = value.clone();
        }
        kind
    };
    let contact = |name: &str, function: &str, cost: u64, set: Value| {
        kind(
            name,
            "contact",
            cost,
            json!({ "function": function, "coil": 1, "set": set }),
        )
    };
    json!({ "format": "duskline/book", "version": 1, "name": "pebble", "label": "Pebble", "unit": "u", "step": 1, "lag_ms": 10,
        "types": [
            kind("panel", "source", 5, json!({ "peak": 6, "profile": "sun", "set": { "azimuth": 180, "tilt": 35 } })),
            kind("mill", "source", 30, json!({ "peak": 8, "profile": "steady" })),
            kind("cell", "battery", 4, json!({ "capacity": 0.005, "max_in": 6, "max_out": 6, "efficiency": 900, "cut_out": 0,
                "cut_in": 50, "set": { "start": 500 } })),
            kind("lamp", "load", 1, json!({ "draw": 2 })),
            kind("stove", "load", 2, json!({ "draw": 3 })),
            kind("pump", "load", 2, json!({ "draw": 4, "short": "waste" })),
            kind("tap", "tap", 1, json!({ "set": { "amount": 1 } })),
            kind("divider-2", "divider", 2, json!({ "ways": 2 })),
            kind("busbar-2", "busbar", 2, json!({ "ways": 2 })),
            contact("relay", "relay", 2, json!({})),
            contact("twilight", "twilight", 4, json!({ "below": 0.02 })),
            contact("home", "home", 1, json!({})),
            contact("time-switch", "clock", 3, json!({ "from": "10:00", "to": "14:00" })),
            contact("switch", "manual", 1, json!({})),
        ] })
}

/// A short world: a day of 8 seconds.
pub fn world() -> Value {
    json!({ "day_s": 8, "home": [["17:00", "07:00"]],
        "sky": { "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 60, "air": "none" } })
}

/// An order in the small book and the short world, with these fields beside.
pub fn small(more: Value) -> Value {
    let mut order =
        json!({ "format": "duskline/order", "version": 1, "book": book(), "world": world() });
    for (key, value) in more.as_object().unwrap() {
        order[key] = value.clone();
    }
    order
}

pub fn read(order: &Value) -> DraftOrder {
    read_order(&order.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The answer to an order, each of its plans held against what is asked.
pub fn drafted(order: &Value) -> DraftAnswer {
    let asked = read(order);
    let answer = draft(&asked);
    assert!(answer.plans.len() <= 6);
    for plan in &answer.plans {
        hold(&asked, plan);
    }
    answer
}

/// The plan as its file reads.
pub fn document(plan: &Plan) -> Value {
    serde_json::from_str(&plan.print()).unwrap()
}

/// Holds a plan against its order, from its file alone.
pub fn hold(order: &DraftOrder, drafted: &Drafted) {
    let value = document(&drafted.plan);
    let plan = read_plan(&value.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let said = format!("{value}");
    let found = check(&plan);
    assert!(found.is_fine(), "{said}");
    assert_eq!(found.for_ever, drafted.for_ever);
    // The wants are its first parts, in their order, and its duties are just theirs.
    assert_eq!(plan.duties.len(), order.wants.len());
    for (at, want) in order.wants.iter().enumerate() {
        let (part, duty, asked) = (&plan.parts[at], &plan.duties[at], want.duty.unwrap());
        assert_eq!(
            (&part.kind, part.count, &part.name),
            (&want.kind, want.count, &want.name)
        );
        assert_eq!(
            (duty.part.as_str(), duty.when, duty.only),
            (part.id.as_str(), asked.when, asked.only)
        );
        assert_eq!(duty.grace_s, asked.grace_s);
    }
    hold_amounts(order, drafted, &plan);
    hold_losses(order, drafted, &plan);
    let dull = bad_weather(&plan, &found, &mut |_, _, _| true).days;
    assert_eq!(dull, drafted.dull_days);
    assert!(dull >= order.keeps.dull_days, "{said}");
    let worst = worst_starts(&plan, &found, &mut |_, _, _| true);
    for holds in worst.duties.iter().map(|start| start.holds) {
        if let duskline::proof::Holds::For { time, .. } = holds {
            assert!(time as f64 >= order.keeps.hours * 3_600_000.0, "{said}");
            assert!(drafted.holds.is_some_and(|least| least <= time));
        }
    }
}

/// Parts, stage and materials, added up from the book's file.
fn hold_amounts(order: &DraftOrder, drafted: &Drafted, plan: &Plan) {
    let (mut parts, mut stage) = (0, 1);
    let (mut materials, mut used): (BTreeMap<String, u64>, BTreeMap<&str, u64>) =
        Default::default();
    for (at, part) in plan.parts.iter().enumerate() {
        let kind = plan.kind_of(part).expect("a type of the book");
        parts += part.count;
        stage = stage.max(kind.stage);
        for (name, amount) in &kind.cost {
            *materials.entry(name.clone()).or_default() += amount * part.count;
        }
        if at >= order.wants.len() {
            *used.entry(&part.kind).or_default() += part.count;
        }
    }
    materials.retain(|_, amount| *amount > 0);
    assert_eq!((parts, stage), (drafted.parts, drafted.stage));
    assert_eq!(materials, drafted.materials);
    assert_eq!(materials.values().sum::<u64>(), drafted.materials_sum);
    assert!(order.stage.is_none_or(|most| stage <= most));
    for (name, there) in &order.materials {
        assert!(materials.get(name).is_none_or(|needed| needed <= there));
    }
    if let Some(may) = &order.may {
        for (kind, count) in used {
            let most = may
                .get(kind)
                .unwrap_or_else(|| panic!("{kind} may not be used"));
            assert!(most.is_none_or(|most| count <= most));
        }
    }
}

/// The duties that the plan breaks without something, by deleting it.
pub fn broken_without(plan: &Plan, loss: &Loss) -> Vec<usize> {
    let rest = without(plan, loss);
    let left = check(&rest);
    let kept = |part| {
        let mut duties = rest.duties.iter().zip(&left.duties);
        duties.any(|(duty, verdict)| duty.part == part && verdict.kept)
    };
    let duties = plan.duties.iter().enumerate();
    duties
        .filter(|(_, duty)| !kept(duty.part.clone()))
        .map(|(at, _)| at)
        .collect()
}

/// Why each part is there, single points, and what must stand losses, by deleting.
fn hold_losses(order: &DraftOrder, drafted: &Drafted, plan: &Plan) {
    let mut points = 0;
    for (part, reason) in plan.parts.iter().zip(&drafted.why) {
        let broken = broken_without(plan, &Loss::Part(part.id.clone()));
        assert_eq!((&part.id, &broken), (&reason.part, &reason.without));
        points += u64::from(broken.iter().any(|duty| plan.duties[*duty].part != part.id));
    }
    for wire in &plan.wires {
        let broken = broken_without(plan, &Loss::Wire(wire.id.clone()));
        points += u64::from(!broken.is_empty());
        for want in order
            .keeps
            .losses
            .iter()
            .filter(|want| broken.contains(want))
        {
            let load = &plan.parts[*want].id;
            assert!(wire.to.part == *load && wire.to.port == "in", "{wire:?}");
        }
    }
    assert_eq!(points, drafted.single_points);
    for (part, reason) in plan.parts.iter().zip(&drafted.why) {
        for want in order
            .keeps
            .losses
            .iter()
            .filter(|want| reason.without.contains(want))
        {
            let load = &plan.parts[*want].id;
            let ahead = plan
                .wires
                .iter()
                .find(|w| w.to.part == *load && w.to.port == "in");
            let is_ahead = ahead.is_some_and(|wire| wire.from.part == part.id);
            assert!(part.id == *load || is_ahead, "{part:?}");
        }
    }
}

/// A random order in the small book, the same for a seed.
pub fn random(seed: u64) -> Value {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(1);
    let mut below = |n: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % n
    };
    let whens = [
        json!("always"),
        json!("dark"),
        json!("light"),
        json!("home"),
        json!("away"),
        json!(["dark", "home"]),
        json!(["light", "home"]),
    ];
    let loads = ["lamp", "stove", "pump"];
    let wants: Vec<Value> = (0..1 + below(3))
        .map(|_| {
            let when = whens[below(7) as usize].clone();
            let grace = [0.1, 0.3, 0.8][below(3) as usize];
            json!({ "type": loads[below(3) as usize],
                "duty": { "when": when, "only": below(2) == 0, "grace_s": grace } })
        })
        .collect();
    let mut may = json!({});
    for kind in [
        "panel",
        "cell",
        "twilight",
        "home",
        "tap",
        "relay",
        "divider-2",
        "busbar-2",
    ] {
        match below(6) {
            0 => {}
            1 => may[kind] = json!(1 + below(4)),
            _ => may[kind] = Value::Null,
        }
    }
    let mut order = small(json!({ "wants": wants, "may": may }));
    if below(4) == 0 {
        order["keeps"] = json!({ "dull_days": 1 });
    }
    if below(5) == 0 {
        order["materials"] = json!({ "copper": 10 + below(40) });
    }
    order
}
