//! Random valid plans on short worlds, each with its own small book inline.
//!
//! `plan(seed)` gives the same plan for the same seed, everywhere. Days last 2 to 12 s (60 s in a few); powers are a few
//! steps, capacities a few thousand step·ms, so that batteries fill and run out within a day. A plan is wired at random
//! (one wire a port, output to input; mostly downstream, sometimes back, so that closed loops come about), and motifs are
//! built in that random wiring seldom finds: buzzers, flashers, seal-in relays, rings of batteries, dusk lamps, floats.
//! Plans hold no duties. [`plans`] is the proptest strategy that draws them and lets them shrink.

mod book;
mod cut;
mod motifs;
mod settings;
mod strategy;

pub use strategy::{Case, Plans};

use serde_json::{Value, json};

/// The splitmix64 generator of Steele, Lea and Flood (2014).
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// Starts from a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number from `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        let span = u64::try_from(high - low + 1).expect("low ≤ high");
        low + i64::try_from(self.bits() % span).expect("a small span")
    }

    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of a list.
    pub fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.index(list.len())]
    }

    /// An index below `length`.
    pub fn index(&mut self, length: usize) -> usize {
        usize::try_from(self.bits() % length as u64).expect("an index")
    }

    /// A random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.index(last + 1);
            list.swap(last, other);
        }
    }
}

/// A free port: the part's index and the port's name.
type Port = (usize, String);

/// A plan in the making.
pub(crate) struct Draft {
    random: Random,
    day_ms: i64,
    lag_ms: i64,
    types: Vec<Value>,
    parts: Vec<Value>,
    /// How many parts there were before the motif that is being built.
    before_motif: usize,
    wires: Vec<(Port, Port)>,
    free_inputs: Vec<Port>,
    free_outputs: Vec<Port>,
}

impl Draft {
    fn new(seed: u64) -> Self {
        let mut random = Random::new(seed);
        let day_ms = match random.between(0, 19) {
            0 => 60_000,
            1..=6 => random.between(20, 120) * 100,
            7..=12 => random.between(2, 12) * 1440,
            _ => random.between(2_000, 12_000),
        };
        let lag_ms = [1, 7, 20, 50, 100][random.index(5)];
        let types = book::types(&mut random);
        Self {
            random,
            day_ms: day_ms.max(2_000),
            lag_ms,
            types,
            parts: Vec::new(),
            before_motif: 0,
            wires: Vec::new(),
            free_inputs: Vec::new(),
            free_outputs: Vec::new(),
        }
    }

    /// Adds a part of that type with random settings; gives its index.
    pub(crate) fn add(&mut self, name: &str) -> usize {
        let index = self.parts.len();
        let kind = self
            .types
            .iter()
            .find(|kind| kind["type"] == name)
            .expect("a type")
            .clone();
        let mut part = json!({ "id": "", "type": name, "name": format!("{name} {index}"), "at": [index * 40, 0] });
        let set = self.settings(&kind);
        if !set.as_object().expect("settings").is_empty() {
            part["set"] = set;
        }
        let banks =
            ["source", "battery", "load"].contains(&kind["behaviour"].as_str().expect("a word"));
        if banks && self.random.chance(20) {
            part["count"] = self.random.between(2, 3).into();
        }
        self.parts.push(part);
        let (inputs, outputs) = book::ports(&kind);
        self.free_inputs
            .extend(inputs.into_iter().map(|name| (index, name)));
        self.free_outputs
            .extend(outputs.into_iter().map(|name| (index, name)));
        index
    }

    /// Gives a part a setting.
    pub(crate) fn set(&mut self, part: usize, key: &str, value: Value) {
        if self.parts[part].get("set").is_none() {
            self.parts[part]["set"] = json!({});
        }
        self.parts[part]["set"][key] = value;
    }

    /// Wires two ports that are both free; otherwise does nothing.
    pub(crate) fn wire(&mut self, from: Port, to: Port) {
        let output = self.free_outputs.iter().position(|port| *port == from);
        let input = self.free_inputs.iter().position(|port| *port == to);
        if let (Some(output), Some(input)) = (output, input) {
            self.free_outputs.remove(output);
            self.free_inputs.remove(input);
            self.wires.push((from, to));
        }
    }

    /// A free output to feed something from: one of the parts before `below` that is fed, or that of a new source.
    pub(crate) fn supply(&mut self, below: usize) -> Port {
        let outputs = self.free_outputs.iter();
        let able: Vec<Port> = outputs
            .filter(|output| output.0 < below && self.is_fed(output.0))
            .cloned()
            .collect();
        if able.is_empty() || self.random.chance(60) {
            let name = self.random.pick(&["steady", "sun", "wind", "cell", "tank"]);
            let part = self.add(name);
            return (part, "out".into());
        }
        able[self.random.index(able.len())].clone()
    }

    /// Adds parts at random, then wires free inputs to free outputs, upstream first.
    fn fill(&mut self, size: usize) {
        for _ in 0..self.random.between(1, 3) {
            let name = self.random.pick(&["steady", "sun", "wind", "cell", "tank"]);
            self.add(name);
        }
        while self.parts.len() < size {
            let name = book::any_type(&mut self.random);
            self.add(name);
        }
        let back = if self.random.chance(35) { 40 } else { 0 };
        let share = self.random.between(60, 100);
        for input in self.free_inputs.clone() {
            let any = self.random.chance(back) || !book::is_feed(&input.1);
            if self.random.chance(share) {
                self.wire_from_any(input, any);
            }
        }
    }

    /// Wires an input to a random free output: of any part, or only of one further upstream; mostly of a part that is fed.
    fn wire_from_any(&mut self, input: Port, any: bool) {
        let fed_only = self.random.chance(85);
        let able: Vec<Port> = self
            .free_outputs
            .iter()
            .filter(|output| any || output.0 < input.0)
            .filter(|output| !fed_only || self.is_fed(output.0))
            .cloned()
            .collect();
        if !able.is_empty() {
            let output = able[self.random.index(able.len())].clone();
            self.wire(output, input);
        }
    }

    /// Whether power may come out of a part: a source, a battery, or anything with a wire at an input that is no signal.
    fn is_fed(&self, part: usize) -> bool {
        let by_itself = ["steady", "sun", "wind", "cell", "tank"];
        by_itself
            .iter()
            .any(|name| self.parts[part]["type"] == *name)
            || self
                .wires
                .iter()
                .any(|(_, to)| to.0 == part && book::is_feed(&to.1))
    }

    /// The finished plan: ids given, parts and wires in an order of their own.
    fn finish(mut self, seed: u64) -> Value {
        let mut order: Vec<usize> = (0..self.parts.len()).collect();
        self.random.shuffle(&mut order);
        let ids: Vec<String> = (1..=order.len())
            .map(|number| format!("p{number}"))
            .collect();
        for (part, id) in self.parts.iter_mut().zip(&ids) {
            part["id"] = id.clone().into();
        }
        self.watch_batteries(&ids);
        let world = self.world();
        let mut wires = std::mem::take(&mut self.wires);
        self.random.shuffle(&mut wires);
        let end = |port: &Port| format!("{}.{}", ids[port.0], port.1);
        let wires: Vec<Value> = (1..)
            .zip(&wires)
            .map(|(number, (from, to))| json!({ "id": format!("w{number}"), "from": end(from), "to": end(to) }))
            .collect();
        let parts: Vec<Value> = order.iter().map(|part| self.parts[*part].clone()).collect();
        let book = json!({ "name": "short worlds", "unit": "u", "step": 1, "lag_ms": self.lag_ms, "types": self.types });
        json!({
            "format": "duskline/plan", "version": 1, "title": format!("Plan {seed}"), "notes": "", "book": book,
            "world": world, "parts": parts, "wires": wires, "duties": [],
        })
    }

    /// Points each charge contact at a battery, where there is one.
    fn watch_batteries(&mut self, ids: &[String]) {
        let is = |part: &Value, names: &[&str]| names.iter().any(|name| part["type"] == *name);
        let batteries: Vec<usize> = (0..ids.len())
            .filter(|part| is(&self.parts[*part], &["cell", "tank"]))
            .collect();
        for part in 0..self.parts.len() {
            let unset = self.parts[part]["set"].get("watches").is_none();
            if is(&self.parts[part], &["charge"])
                && unset
                && !batteries.is_empty()
                && self.random.chance(95)
            {
                let battery = batteries[self.random.index(batteries.len())];
                self.set(part, "watches", ids[battery].clone().into());
            }
        }
    }
}

/// A random valid plan of up to some 30 parts.
pub fn plan(seed: u64) -> Value {
    let mut draft = Draft::new(seed);
    for _ in 0..draft.random.between(0, 3) {
        draft.motif();
    }
    let more = draft.random.between(3, 20);
    let size = draft.parts.len() + usize::try_from(more).expect("a size");
    draft.fill(size);
    draft.finish(seed)
}

/// Random plans as [`plan`] makes them.
pub fn plans() -> Plans {
    Plans::of(plan)
}
