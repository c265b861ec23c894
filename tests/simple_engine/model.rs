//! A plan and its book, turned into parts with numbered ports and wires with numbered ends.
//!
//! Powers in steps, battery levels in 1/1000 step·ms, times in milliseconds. Panics on a plan that is not valid.
//! Knows nothing of time passing.

use super::contacts::Function;
use super::decimal::{Decimal, duration_ms};
use serde_json::Value;
use std::collections::BTreeMap;

/// One end of a wire: a part and the number of its input or output port.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    /// Index of the part in the plan's order.
    pub part: usize,
    /// Index of the port among the part's inputs (or outputs).
    pub port: usize,
}

/// A wire from an output port to an input port.
#[derive(Clone, Debug)]
pub struct Wire {
    /// The wire's id.
    pub id: String,
    /// The output port it starts at.
    pub from: End,
    /// The input port it ends at.
    pub to: End,
}

/// What a source's profile depends on.
#[derive(Clone, Copy, Debug)]
pub enum Profile {
    /// Always the peak.
    Steady,
    /// The sun on a panel of this azimuth and tilt, degrees.
    Sun {
        /// Clockwise from north.
        azimuth: f64,
        /// From horizontal.
        tilt: f64,
    },
    /// The world's wind.
    Wind,
}

/// What a load passes on when it can't run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Short {
    /// All it is offered goes on to `loop`.
    Pass,
    /// Nothing goes on, nothing is taken.
    Hold,
    /// Nothing goes on, all is taken.
    Waste,
}

/// A part's behaviour with its numbers; those of banks are already multiplied by `count`, except a source's peak.
#[derive(Clone, Debug)]
pub enum Kind {
    /// → `out`.
    Source {
        /// Of one of the bank.
        peak: i64,
        /// What its share of the peak depends on.
        profile: Profile,
    },
    /// `in` → `out`.
    Battery(Battery),
    /// `in` → `loop`.
    Load {
        /// Of the whole bank.
        draw: i64,
        /// What it passes on when it can't run.
        short: Short,
    },
    /// `in` → `tap`, `rest`.
    Tap {
        /// Steps set aside for `tap`.
        amount: i64,
    },
    /// `in` → `out1`…`outN`.
    Divider,
    /// `in1`…`inN` → `out`.
    Busbar,
    /// `main`, `backup` → `out`.
    Changeover {
        /// Steps that `main` needs to be used.
        least: i64,
    },
    /// `in` → `out`.
    Meter,
    /// `feed`, signals → `out`; signal ports follow `feed` among the inputs.
    Contact {
        /// What makes its Q true.
        function: Function,
        /// Steps that a live signal port takes.
        coil: i64,
        /// Whether it is a break contact.
        breaks: bool,
    },
}

/// A battery bank's numbers.
#[derive(Clone, Debug)]
pub struct Battery {
    /// 1/1000 step·ms.
    pub capacity: i128,
    /// Steps.
    pub max_in: i64,
    /// Steps.
    pub max_out: i64,
    /// Per mille of what is taken in that is stored.
    pub efficiency: i64,
    /// The level at or below which the output goes off, 1/1000 step·ms.
    pub cut_out: i128,
    /// The level at or above which it comes back, 1/1000 step·ms.
    pub cut_in: i128,
    /// The level at t = 0, 1/1000 step·ms.
    pub start: i128,
}

/// A part.
#[derive(Clone, Debug)]
pub struct Part {
    /// The part's id.
    pub id: String,
    /// What it does.
    pub kind: Kind,
    /// How many equal ones the bank has.
    pub count: i64,
    /// The wire at each input port.
    pub inputs: Vec<Option<usize>>,
    /// The wire at each output port.
    pub outputs: Vec<Option<usize>>,
}

/// A plan with its numbers looked up.
#[derive(Clone, Debug)]
pub struct Model {
    /// In the plan's order.
    pub parts: Vec<Part>,
    /// In the plan's order.
    pub wires: Vec<Wire>,
    /// How long a contact's change takes to fall due.
    pub lag_ms: i64,
    /// The length of the day.
    pub day_ms: i64,
}

/// A part's values: settings of the plan, else the type's default settings, else the type's own numbers.
///
/// AMBIGUOUS (short): the table lists `short` with a load's numbers, section 9 with the settings that have a default
/// of their own. Here every value may be given in either place, the setting winning.
pub struct Values<'a> {
    set: &'a Value,
    book: &'a Value,
}

impl<'a> Values<'a> {
    /// The value of that name, if it is given anywhere.
    pub fn find(&self, key: &str) -> Option<&'a Value> {
        self.set
            .get(key)
            .or_else(|| self.book.get("set").and_then(|set| set.get(key)))
            .or_else(|| self.book.get(key))
            .filter(|value| !value.is_null())
    }

    /// A value that must be there.
    pub fn need(&self, key: &str) -> &'a Value {
        self.find(key)
            .unwrap_or_else(|| panic!("no {key} in {} or {}", self.set, self.book))
    }

    /// A whole number that must be there.
    pub fn whole(&self, key: &str) -> i64 {
        let value = Decimal::of(self.need(key)).times_exactly(1);
        i64::try_from(value.unwrap_or_else(|| panic!("{key} is not whole")))
            .expect("a number that fits")
    }

    /// A decimal as a binary fraction.
    pub fn float(&self, key: &str) -> f64 {
        Decimal::of(self.need(key)).float()
    }

    /// A word, or the default.
    pub fn word(&self, key: &str, default: &'a str) -> &'a str {
        self.find(key)
            .map_or(default, |value| value.as_str().expect("a word"))
    }

    /// A list, empty where it is not given.
    pub fn list(&self, key: &str) -> &'a [Value] {
        self.find(key)
            .map_or(&[], |value| value.as_array().expect("a list"))
    }
}

impl Model {
    /// Reads a plan; `book` is used where the plan names a book instead of holding one.
    pub fn new(plan: &Value, book: &Value) -> Self {
        let book = if plan["book"].is_object() {
            &plan["book"]
        } else {
            book
        };
        let day_ms = plan["world"].get("day_s").map_or(86_400_000, duration_ms);
        let mut types = BTreeMap::new();
        for kind in book["types"].as_array().expect("types") {
            types.insert(kind["type"].as_str().expect("a type's name"), kind);
        }
        let list = plan["parts"].as_array().expect("parts");
        let ids: Vec<&str> = list
            .iter()
            .map(|part| part["id"].as_str().expect("an id"))
            .collect();
        let mut names = Vec::new();
        let mut parts = Vec::new();
        for (part, id) in list.iter().zip(&ids) {
            let kind = types[part["type"].as_str().expect("a part's type")];
            let values = Values {
                set: &part["set"],
                book: kind,
            };
            let count = part
                .get("count")
                .map_or(1, |count| count.as_i64().expect("a count"));
            let (ins, outs) = ports(&values);
            parts.push(Part {
                id: (*id).to_string(),
                kind: behaviour(&values, book, count, day_ms, &ids),
                count,
                inputs: vec![None; ins.len()],
                outputs: vec![None; outs.len()],
            });
            names.push((ins, outs));
        }
        let mut model = Self {
            parts,
            wires: Vec::new(),
            lag_ms: book
                .get("lag_ms")
                .map_or(100, |lag| lag.as_i64().expect("a lag")),
            day_ms,
        };
        for wire in plan["wires"].as_array().into_iter().flatten() {
            let from = end(&wire["from"], &ids, |part| &names[part].1);
            let to = end(&wire["to"], &ids, |part| &names[part].0);
            model.connect(wire["id"].as_str().expect("an id"), from, to);
        }
        model
    }

    fn connect(&mut self, id: &str, from: End, to: End) {
        let index = self.wires.len();
        let output = self.parts[from.part].outputs[from.port].replace(index);
        let input = self.parts[to.part].inputs[to.port].replace(index);
        assert!(
            output.is_none() && input.is_none(),
            "wire {id}: a port takes one wire"
        );
        self.wires.push(Wire {
            id: id.to_string(),
            from,
            to,
        });
    }

    /// Whether a wire ends at a signal port, so that it is no edge of the feed graph.
    pub fn is_signal(&self, wire: usize) -> bool {
        let to = self.wires[wire].to;
        to.port > 0 && matches!(self.parts[to.part].kind, Kind::Contact { .. })
    }
}

fn end<'n>(text: &Value, ids: &[&str], names: impl Fn(usize) -> &'n Vec<String>) -> End {
    let text = text.as_str().expect("part.port");
    let (part, port) = text.rsplit_once('.').expect("part.port");
    let part = ids
        .iter()
        .position(|id| *id == part)
        .unwrap_or_else(|| panic!("no part for {text}"));
    let port = names(part).iter().position(|name| name == port);
    End {
        part,
        port: port.unwrap_or_else(|| panic!("no port for {text}")),
    }
}

/// The names of a part's input and output ports.
fn ports(values: &Values) -> (Vec<String>, Vec<String>) {
    let fixed = |names: &[&str]| -> Vec<String> { names.iter().map(ToString::to_string).collect() };
    let numbered = |stem: &str| -> Vec<String> {
        (1..=values.whole("ways"))
            .map(|i| format!("{stem}{i}"))
            .collect()
    };
    match values.word("behaviour", "") {
        "source" => (fixed(&[]), fixed(&["out"])),
        "battery" | "meter" => (fixed(&["in"]), fixed(&["out"])),
        "load" => (fixed(&["in"]), fixed(&["loop"])),
        "tap" => (fixed(&["in"]), fixed(&["tap", "rest"])),
        "divider" => (fixed(&["in"]), numbered("out")),
        "busbar" => (numbered("in"), fixed(&["out"])),
        "changeover" => (fixed(&["main", "backup"]), fixed(&["out"])),
        "contact" => {
            let mut ins = fixed(&["feed"]);
            ins.extend(fixed(Function::signals(values.word("function", ""))));
            (ins, fixed(&["out"]))
        }
        other => panic!("no such behaviour: {other}"),
    }
}

fn behaviour(values: &Values, book: &Value, count: i64, day_ms: i64, ids: &[&str]) -> Kind {
    match values.word("behaviour", "") {
        "source" => Kind::Source {
            peak: values.whole("peak"),
            profile: match values.word("profile", "") {
                "steady" => Profile::Steady,
                "sun" => Profile::Sun {
                    azimuth: values.float("azimuth"),
                    tilt: values.float("tilt"),
                },
                "wind" => Profile::Wind,
                other => panic!("no such profile: {other}"),
            },
        },
        "battery" => Kind::Battery(battery(values, book, count)),
        "load" => Kind::Load {
            draw: values.whole("draw") * count,
            short: match values.word("short", "pass") {
                "pass" => Short::Pass,
                "hold" => Short::Hold,
                "waste" => Short::Waste,
                other => panic!("no such short: {other}"),
            },
        },
        "tap" => Kind::Tap {
            amount: values.whole("amount"),
        },
        "divider" => Kind::Divider,
        "busbar" => Kind::Busbar,
        "changeover" => Kind::Changeover {
            least: values
                .find("least")
                .map_or(1, |least| least.as_i64().expect("steps")),
        },
        "meter" => Kind::Meter,
        "contact" => Kind::Contact {
            function: Function::read(values, day_ms, ids),
            coil: values
                .find("coil")
                .map_or(1, |coil| coil.as_i64().expect("steps")),
            breaks: values.word("contact", "make") == "break",
        },
        other => panic!("no such behaviour: {other}"),
    }
}

/// A battery bank. Its capacity is in unit-hours of 3,600,000 ms each, whatever the length of the day.
///
/// AMBIGUOUS (step): powers in a book are read as numbers of steps, the capacity as unit-hours, so a book whose step
/// is not 1 divides the capacity by the step.
fn battery(values: &Values, book: &Value, count: i64) -> Battery {
    let step = book.get("step").map_or(
        Decimal {
            digits: 1,
            scale: 1,
        },
        Decimal::of,
    );
    let capacity = Decimal::of(values.need("capacity"));
    let over = capacity.digits * step.scale * 3_600_000;
    let under = capacity.scale * step.digits;
    assert!(over % under == 0, "a capacity is a whole number of step·ms");
    let step_ms = over / under * i128::from(count);
    let per_mille = |key: &str| step_ms * i128::from(values.whole(key));
    Battery {
        capacity: step_ms * 1000,
        max_in: values.whole("max_in") * count,
        max_out: values.whole("max_out") * count,
        efficiency: values.whole("efficiency"),
        cut_out: per_mille("cut_out"),
        cut_in: per_mille("cut_in"),
        start: per_mille("start"),
    }
}
