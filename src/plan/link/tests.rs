//! The link form: sizes, round trips, every error's text, and nothing that panics.

use super::*;
use crate::plan::{Edit, End, Part, Wire, read_plan};
use serde_json::{Value, json};

const KITTIWAKE: &str = include_str!("../../../assets/examples/kittiwake-light.json");

fn kittiwake() -> Plan {
    read_plan(KITTIWAKE).unwrap()
}

fn opened(link: &str) -> Plan {
    let found = from_link(link).unwrap();
    assert_eq!(found.faults, vec![]);
    found.plan
}

/// Names as somebody gives them: a place and a thing.
const PLACES: [&str; 32] = [
    "Roof", "Gallery", "Galley", "Bunk room", "Stair", "North wall", "Kiln", "Cormorant ledge",
    "Pump house", "Causeway", "Tern cove", "Store", "Fog deck", "Lamp room", "Cistern",
    "Smokehouse", "Slipway", "Boathouse", "Seal rock", "Workshop", "Crow loft", "Kelp shed",
    "South door", "Weather mast", "Goat pen", "Larder", "Chart table", "Winch", "Tide gate",
    "Oil store", "Signal post", "Old chapel",
];

/// What is put up, with the settings that its builder gave it.
fn thing(n: u64) -> (&'static str, &'static str, Value) {
    match n % 24 {
        0 | 1 => ("sun-panel", "panel", json!({ "azimuth": 100 + n * 7 % 160 })),
        2 => ("wind-turbine", "turbine", json!({})),
        3 => ("battery-rack", "batteries", json!({ "start": n * 50 % 1000 })),
        4 | 5 => ("busbar-4", "busbar", json!({})),
        7..=9 => ("divider-4", "divider", json!({})),
        10 | 11 => ("lamp", "lamp", json!({})),
        12 => ("heater", "heater", json!({})),
        6 | 13 => ("tap", "tap", json!({ "amount": 1 + n % 5 })),
        14 => ("relay", "relay", json!({ "contact": "break" })),
        15 => ("changeover", "changeover", json!({})),
        16 => ("or", "seal-in", json!({})),
        17 => ("latch", "latch", json!({})),
        18 => ("button", "button", json!({ "presses": ["06:10"] })),
        19 => ("time-switch", "hours", json!({ "from": "10:00", "to": "14:30" })),
        20 => ("on-delay", "delay", json!({ "delay_s": 90 })),
        21 => ("freezer", "freezer", json!({})),
        22 => ("counter", "counter", json!({ "target": 3 })),
        _ => ("divider-3", "share", json!({})),
    }
}

/// A small generator of numbers, so that a plan is the same everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }
}

/// A plan as somebody would build it: parts set down in rows from left to right, mostly wired to what was just put up.
fn built(seed: u64, parts: usize, wires: usize) -> Plan {
    let mut dice = Dice(seed);
    let mut plan = Plan::empty();
    plan.apply(Edit::Title("Kittiwake Light, east side".into())).unwrap();
    let (mut x, mut y) = (0.0, 0.0);
    for n in 0..parts {
        let (kind, word, set) = thing(dice.roll(24));
        let id = plan.new_part_id();
        let mut part = Part::new(id, kind, (x, y));
        let place = PLACES[dice.roll(32) as usize];
        part.name = format!("{place} {word}");
        if dice.roll(6) == 0 {
            part.name.push_str(&format!(" {}", 2 + dice.roll(3)));
        }
        part.set = set.as_object().unwrap().clone();
        plan.apply(Edit::AddPart(n, part)).unwrap();
        x += 240.0 + 8.0 * (dice.roll(3) * dice.roll(4)) as f64;
        if dice.roll(7) == 0 {
            (x, y) = (240.0 * dice.roll(3) as f64, y + 136.0);
        }
    }
    let free = |plan: &Plan, out: bool| -> Vec<End> {
        let ends = plan.parts.iter().flat_map(|p| {
            let ports = plan.kind_of(p).unwrap().ports().into_iter();
            ports.filter(|q| (q.side == crate::book::Side::Out) == out).map(|q| End::new(&p.id, &q.name))
        });
        ends.filter(|e| plan.wire_at(e).is_none()).collect()
    };
    if free(&plan, true).len() < wires || free(&plan, false).len() < wires {
        return built(seed + 1000, parts, wires);
    }
    for n in 0..wires {
        // The next free output in the order of parts, and a free input a little after it; one in eight goes far.
        let from = free(&plan, true);
        let from = from[dice.roll(3).min(from.len() as u64 - 1) as usize].clone();
        let at = plan.parts.iter().position(|p| p.id == from.part).unwrap();
        let to = free(&plan, false);
        let after = to.iter().position(|e| plan.parts.iter().position(|p| p.id == e.part).unwrap() > at);
        let reach = if dice.roll(8) == 0 { to.len() as u64 } else { 3 };
        let to = to[(after.unwrap_or(0) + dice.roll(reach) as usize) % to.len()].clone();
        let id = plan.new_wire_id();
        plan.apply(Edit::AddWire(n, Wire::new(id, from, to))).unwrap();
    }
    plan
}

#[test]
fn sixty_parts_and_ninety_wires_with_names_fit_in_eight_hundred_characters() {
    let mut sizes: Vec<usize> = (1..=9)
        .map(|seed| {
            let plan = built(seed, 60, 90);
            let link = to_fragment(&plan);
            assert_eq!(opened(&link), plan);
            link.len()
        })
        .collect();
    sizes.sort();
    println!("60 parts, 90 wires: {sizes:?}; Kittiwake Light: {}", to_fragment(&kittiwake()).len());
    assert!(sizes[8] <= 800, "{sizes:?}");
}
