//! Fault finding once more, plainly: from the plan's document alone, each fault as its JSON, each faulty plan as another
//! document that is read and run through whole hours, and everything compared with everything.
//!
//! It shares nothing with the room `diagnosis`, and leaves nothing out to be quick.

use duskline::plan::{Plan, read_plan};
use duskline::run::{PartState, Playback};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// A plan's document with the types of its book.
pub struct Drawn {
    /// The document.
    pub document: Value,
    types: BTreeMap<String, Value>,
}

/// What is read of a part or wire: the word or the number of a reading.
pub type Shown = BTreeMap<String, Value>;

fn text(value: &Value) -> String {
    value.as_str().expect("a text").to_string()
}

fn list<'a>(document: &'a Value, key: &str) -> &'a [Value] {
    document[key].as_array().map_or(&[], Vec::as_slice)
}

fn part_of(end: &str) -> &str {
    end.split_once('.').expect("a part and a port").0
}

impl Drawn {
    /// Of a plan's document; `book` is the built-in book's file, for a plan that names it.
    pub fn new(document: Value, book: &Value) -> Drawn {
        let book = if document["book"].is_object() {
            &document["book"]
        } else {
            book
        };
        let types = list(book, "types").iter();
        let types = types.map(|kind| (text(&kind["type"]), kind.clone()));
        Drawn {
            types: types.collect(),
            document,
        }
    }

    fn kind(&self, part: &Value) -> &Value {
        &self.types[part["type"].as_str().expect("a type")]
    }

    fn part(&self, id: &str) -> &Value {
        let mut parts = list(&self.document, "parts").iter();
        parts.find(|part| part["id"] == id).expect("a part")
    }

    fn setting(&self, part: &Value, key: &str) -> Value {
        match &part["set"][key] {
            Value::Null => self.kind(part)["set"][key].clone(),
            own => own.clone(),
        }
    }

    /// The ports that power or a signal comes in at, and those that it goes out of.
    fn ports(&self, part: &Value) -> (Vec<String>, Vec<String>) {
        let kind = self.kind(part);
        let ways = kind["ways"].as_u64().unwrap_or(0);
        let many = |stem: &str| (1..=ways).map(|n| format!("{stem}{n}")).collect::<Vec<_>>();
        let words = |words: &[&str]| words.iter().map(|w| w.to_string()).collect::<Vec<_>>();
        match kind["behaviour"].as_str().expect("a behaviour") {
            "source" => (vec![], words(&["out"])),
            "load" => (words(&["in"]), words(&["loop"])),
            "tap" => (words(&["in"]), words(&["tap", "rest"])),
            "divider" => (words(&["in"]), many("out")),
            "busbar" => (many("in"), words(&["out"])),
            "changeover" => (words(&["main", "backup"]), words(&["out"])),
            "contact" => {
                let signals: &[&str] = match kind["function"].as_str().expect("a function") {
                    "relay" => &["coil"],
                    "and" | "or" | "xor" => &["a", "b"],
                    "on-delay" | "off-delay" | "pulse" | "impulse" => &["trigger"],
                    "latch" => &["set", "reset"],
                    "counter" => &["count", "reset"],
                    _ => &[],
                };
                let ins = [words(&["feed"]), words(signals)].concat();
                (ins, words(&["out"]))
            }
            _ => (words(&["in"]), words(&["out"])),
        }
    }

    /// Every fault, in the order in which faults are told, without its sentence.
    pub fn faults(&self) -> Vec<Value> {
        let (parts, wires) = (list(&self.document, "parts"), list(&self.document, "wires"));
        let contact = |part: &&Value| self.kind(part)["behaviour"] == "contact";
        let manual = |part: &&Value| self.kind(part)["function"] == "manual";
        let ids = wires.iter().map(|wire| &wire["id"]);
        let mut all: Vec<Value> = Vec::new();
        all.extend(ids.map(|id| json!({ "kind": "missing", "wire": id })));
        for (at, a) in wires.iter().enumerate() {
            let after = wires[at + 1..].iter();
            all.extend(after.map(|b| json!({ "kind": "exchanged", "wires": [a["id"], b["id"]] })));
        }
        wires.iter().for_each(|wire| self.moved(wire, &mut all));
        let of =
            |kind: &'static str| move |part: &Value| json!({ "kind": kind, "part": part["id"] });
        all.extend(parts.iter().filter(manual).map(of("reversed")));
        all.extend(parts.iter().filter(contact).map(of("contact")));
        parts.iter().for_each(|part| self.wrong(part, &mut all));
        all.extend(parts.iter().map(of("dead")));
        all
    }

    fn moved(&self, wire: &Value, all: &mut Vec<Value>) {
        let wires = list(&self.document, "wires");
        for (key, is_out) in [("from", true), ("to", false)] {
            let part = part_of(wire[key].as_str().expect("an end"));
            let (ins, outs) = self.ports(self.part(part));
            for port in if is_out { outs } else { ins } {
                let end = json!(format!("{part}.{port}"));
                if !wires.iter().any(|w| w["from"] == end || w["to"] == end) {
                    all.push(json!({ "kind": "port", "wire": wire["id"], "port": end }));
                }
            }
        }
    }

    fn wrong(&self, part: &Value, all: &mut Vec<Value>) {
        let kind = self.kind(part);
        let is_sun = kind["profile"] == "sun";
        let most = f64::from(1_000_000_000);
        let number = |key: &str| self.setting(part, key).as_f64();
        let (low, high) = (number("low"), number("high"));
        let asked: &[(&str, f64, f64)] = match (&kind["behaviour"], &kind["function"]) {
            (behaviour, _) if behaviour == "tap" => &[("amount", 0.0, most)],
            (behaviour, _) if behaviour == "changeover" => &[("least", 0.0, most)],
            (_, function) if function == "counter" => &[("target", 0.0, most)],
            (_, function) if function == "charge" => &[
                ("low", 0.0, high.expect("a high") - 1.0),
                ("high", low.expect("a low") + 1.0, 1000.0),
            ],
            _ => &[],
        };
        let mut add = |key: &str, value: f64| {
            let value = match value.fract() == 0.0 {
                true => json!(value as i64),
                false => json!(value),
            };
            let fault =
                json!({ "kind": "setting", "part": part["id"], "name": key, "value": value });
            if !all.contains(&fault) {
                all.push(fault);
            }
        };
        for (key, least, most) in asked {
            let now = number(key).unwrap_or(1.0);
            let half = (now / 2.0).floor();
            let values = [0.0, 1.0, half, now * 2.0, now * 10.0].into_iter();
            let values = values.filter(|v| v != &now && v >= least && v <= most);
            values.for_each(|value| add(key, value));
        }
        if is_sun {
            let azimuth = number("azimuth").expect("an azimuth");
            let turned = [90.0, 180.0, 270.0].map(|turn| (azimuth + turn).rem_euclid(360.0));
            turned.into_iter().for_each(|value| add("azimuth", value));
            if number("tilt") != Some(0.0) {
                add("tilt", 0.0);
            }
        }
    }

    /// The document of the plan as it was built with a fault, made of the fault's JSON alone.
    pub fn built(&self, fault: &Value) -> Value {
        let mut built = self.document.clone();
        let set = |built: &mut Value, key: &str, value: Value| {
            let parts = built["parts"].as_array_mut().expect("parts");
            let part = parts.iter_mut().find(|part| part["id"] == fault["part"]);
            let part = part.expect("the part").as_object_mut().expect("an object");
            let own = part.entry("set").or_insert_with(|| Map::new().into());
            own[key] = value;
        };
        let wires = built["wires"].as_array_mut().expect("wires");
        match fault["kind"].as_str().expect("a kind") {
            "missing" => wires.retain(|wire| wire["id"] != fault["wire"]),
            "exchanged" => {
                let place = |at: usize| {
                    let mut places = wires.iter();
                    let place = places.position(|wire| wire["id"] == fault["wires"][at]);
                    place.expect("a wire")
                };
                let (a, b) = (place(0), place(1));
                let (to_a, to_b) = (wires[a]["to"].clone(), wires[b]["to"].clone());
                (wires[a]["to"], wires[b]["to"]) = (to_b, to_a);
            }
            "port" => {
                let wire = wires.iter_mut().find(|wire| wire["id"] == fault["wire"]);
                let port = text(&fault["port"]);
                let (_, name) = port.split_once('.').expect("a port");
                let (_, outs) = self.ports(self.part(part_of(&port)));
                let key = if outs.iter().any(|out| out == name) {
                    "from"
                } else {
                    "to"
                };
                wire.expect("a wire")[key] = fault["port"].clone();
            }
            "dead" => {
                let id = text(&fault["part"]);
                let hangs = |end: &Value| part_of(end.as_str().expect("an end")) == id;
                wires.retain(|wire| !hangs(&wire["from"]) && !hangs(&wire["to"]));
                let not_it = |part: &Value| part != id.as_str();
                for (key, field) in [("parts", "id"), ("duties", "part"), ("meant", "part")] {
                    if let Some(Value::Array(list)) = built.get_mut(key) {
                        list.retain(|entry| not_it(&entry[field]));
                    }
                }
            }
            "contact" => {
                let now = self.setting(self.part(&text(&fault["part"])), "contact");
                let other = if now == "break" { "make" } else { "break" };
                set(&mut built, "contact", other.into());
            }
            "reversed" => {
                let part = self.part(&text(&fault["part"]));
                let closed = self.setting(part, "closed") == true;
                let mut schedule = self.setting(part, "schedule");
                for entry in schedule.as_array_mut().into_iter().flatten() {
                    entry[1] = (entry[1] == false).into();
                }
                set(&mut built, "closed", (!closed).into());
                if !schedule.is_null() {
                    set(&mut built, "schedule", schedule);
                }
            }
            _ => set(&mut built, &text(&fault["name"]), fault["value"].clone()),
        }
        built
    }

    /// What everything shows at each of these times, in their order, in a run of `document`; what is not in that is off,
    /// open, still, and takes nothing.
    pub fn shows(&self, document: &Value, times: &[u64]) -> Vec<Shown> {
        let plan = read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
        let mut playback = Playback::new(&plan);
        let mut gone = Shown::new();
        for part in list(&self.document, "parts") {
            let word = match self.kind(part)["behaviour"].as_str() {
                Some("load") => "off",
                Some("contact") => "open",
                Some("battery") => "still",
                _ => continue,
            };
            gone.insert(text(&part["id"]), word.into());
        }
        for wire in list(&self.document, "wires") {
            gone.insert(text(&wire["id"]), 0.into());
        }
        let at = |t: &u64| {
            let mut shown = gone.clone();
            shown.extend(seen(&plan, &playback.at(&plan, *t)));
            shown
        };
        times.iter().map(at).collect()
    }

    /// What a builder reads without tools: loads, contacts and batteries, then the wires at meters.
    pub fn readable(&self) -> Vec<String> {
        let is = |part: &&Value| {
            let kind = self.kind(part)["behaviour"].as_str();
            matches!(kind, Some("load" | "contact" | "battery"))
        };
        let parts = list(&self.document, "parts").iter().filter(is);
        let meter = |end: &Value| {
            let part = part_of(end.as_str().expect("an end"));
            self.kind(self.part(part))["behaviour"] == "meter"
        };
        let wires = list(&self.document, "wires").iter();
        let wires = wires.filter(|wire| meter(&wire["from"]) || meter(&wire["to"]));
        parts.chain(wires).map(|thing| text(&thing["id"])).collect()
    }
}

fn seen(plan: &Plan, instant: &duskline::run::Instant) -> Shown {
    let mut shown = Shown::new();
    for (part, state) in plan.parts.iter().zip(&instant.parts) {
        let word = match state {
            PartState::Load { runs: true, .. } => "runs",
            PartState::Load { .. } => "off",
            PartState::Contact { conducts: true, .. } => "conducts",
            PartState::Contact { .. } => "open",
            PartState::Battery { slope, .. } if *slope > 0 => "rises",
            PartState::Battery { slope, .. } if *slope < 0 => "falls",
            PartState::Battery { .. } => "still",
            _ => continue,
        };
        shown.insert(part.id.to_string(), word.into());
    }
    for (wire, flow) in plan.wires.iter().zip(&instant.wires) {
        shown.insert(wire.id.to_string(), flow.take.into());
    }
    shown
}
