//! The file form of a book: JSON in one fixed order of fields, defaults left out, unknown fields put back.
//!
//! What is written reads back as the same book, and is written the same again.

use super::{Behaviour, Book, PartType, Profile, Short};
use crate::quantity::{Unit, number, unit_hours};
use serde_json::{Map, Value};

impl Book {
    /// The book as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("name".into(), self.name.as_str().into());
        text(&mut map, "label", &self.label);
        map.insert("unit".into(), self.unit.sign.as_str().into());
        map.insert("step".into(), number(self.unit.step));
        map.insert("lag_ms".into(), self.lag_ms.into());
        text(&mut map, "says", &self.says);
        text(&mut map, "caution", &self.caution);
        let types = self.types.iter().map(|t| t.to_value(&self.unit));
        map.insert("types".into(), types.collect());
        map.extend(self.extra.clone());
        Value::Object(map)
    }

    /// The book as a file's text, laid out for reading.
    pub fn print(&self) -> String {
        format!("{:#}\n", self.to_value())
    }
}

impl PartType {
    /// The type as it stands in a book of this unit.
    pub fn to_value(&self, unit: &Unit) -> Value {
        let mut map = Map::new();
        for (key, value) in [
            ("type", &self.name),
            ("label", &self.label),
            ("group", &self.group),
            ("symbol", &self.symbol),
        ] {
            map.insert(key.into(), value.as_str().into());
        }
        map.insert("behaviour".into(), self.behaviour.name().into());
        let mut set = self.set.clone();
        for (key, value) in self.behaviour.numbers(unit) {
            map.insert(key.into(), value);
        }
        // A type's own `short` is a setting too once it is read: here it stands once.
        if let Behaviour::Load { short, .. } = self.behaviour
            && set.get("short").is_some_and(|s| s == short.word())
        {
            set.shift_remove("short");
            map.insert("short".into(), short.word().into());
        }
        if !set.is_empty() {
            map.insert("set".into(), Value::Object(set));
        }
        if !self.cost.is_empty() {
            let cost = self.cost.iter().map(|(m, n)| (m.clone(), (*n).into()));
            map.insert("cost".into(), Value::Object(cost.collect()));
        }
        map.insert("stage".into(), self.stage.into());
        text(&mut map, "mount", &self.mount);
        if let Some(metres) = self.max_run {
            map.insert("max_run".into(), number(metres));
        }
        text(&mut map, "says", &self.says);
        text(&mut map, "note", &self.note);
        text(&mut map, "source", &self.source);
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}

fn text(map: &mut Map<String, Value>, key: &str, value: &str) {
    if !value.is_empty() {
        map.insert(key.into(), value.into());
    }
}

impl Behaviour {
    /// The behaviour's numbers by their names in a book; a load's `short` only where it is not `pass`.
    pub(crate) fn numbers(&self, unit: &Unit) -> Vec<(&'static str, Value)> {
        match *self {
            Behaviour::Source { peak, profile } => {
                vec![("peak", peak.into()), ("profile", profile.word().into())]
            }
            Behaviour::Battery {
                capacity,
                max_in,
                max_out,
                efficiency,
                cut_out,
                cut_in,
            } => {
                let hours = unit_hours(capacity, unit.step).map(|d| d.value());
                vec![
                    ("capacity", number(hours.unwrap_or(unit.hours(capacity)))),
                    ("max_in", max_in.into()),
                    ("max_out", max_out.into()),
                    ("efficiency", efficiency.into()),
                    ("cut_out", cut_out.into()),
                    ("cut_in", cut_in.into()),
                ]
            }
            Behaviour::Load { draw, short } => {
                let mut numbers = vec![("draw", draw.into())];
                if short != Short::Pass {
                    numbers.push(("short", short.word().into()));
                }
                numbers
            }
            Behaviour::Divider { ways } | Behaviour::Busbar { ways } => {
                vec![("ways", ways.into())]
            }
            Behaviour::Contact { function, coil } => {
                vec![("function", function.name().into()), ("coil", coil.into())]
            }
            Behaviour::Tap | Behaviour::Changeover | Behaviour::Meter => Vec::new(),
        }
    }
}

impl Profile {
    /// The profile's word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            Profile::Steady => "steady",
            Profile::Sun => "sun",
            Profile::Wind => "wind",
        }
    }
}

impl Short {
    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            Short::Pass => "pass",
            Short::Hold => "hold",
            Short::Waste => "waste",
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::book::{built_in, built_in_names, read_book};
    use serde_json::json;

    #[test]
    fn every_built_in_book_is_written_as_it_was_read() {
        for name in built_in_names() {
            let book = built_in(name).unwrap();
            let value = book.to_value();
            assert_eq!(read_book(&value).unwrap(), *book);
            assert_eq!(
                serde_json::from_str::<serde_json::Value>(&book.print()).unwrap(),
                value
            );
        }
    }

    #[test]
    fn unknown_fields_a_load_in_two_minds_and_odd_capacities_come_back() {
        let value = json!({
            "name": "own", "unit": "W", "step": 0.1, "lag_ms": 7, "later": [1, null],
            "types": [
                { "type": "a", "behaviour": "load", "draw": 1, "short": "hold", "set": { "short": "waste" }, "peak": 3 },
                { "type": "b", "behaviour": "load", "draw": 1, "set": { "short": "pass" } },
                { "type": "c", "behaviour": "load", "draw": 1, "short": "waste", "set": { "later": {} } },
                { "type": "d", "behaviour": "battery", "capacity": 0.3, "max_in": 1, "max_out": 1, "efficiency": 1,
                  "cut_out": 0, "cut_in": 1, "tier": 4, "later": "x" },
            ]
        });
        let book = read_book(&value).unwrap();
        let written = book.to_value();
        assert_eq!(read_book(&written).unwrap(), book);
        assert_eq!(written["later"], value["later"]);
        assert_eq!(written["types"][0]["peak"], 3);
        assert_eq!(written["types"][0]["set"], json!({ "short": "waste" }));
        assert_eq!(written["types"][3]["capacity"], 0.3);
        assert_eq!(written["types"][3]["stage"], 4);
        assert_eq!(written["types"][3]["later"], "x");
    }
}
