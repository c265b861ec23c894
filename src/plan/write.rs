//! The file form of a plan: JSON in the rules' order of fields, defaults left out, unknown fields put back.

pub(super) mod walk;

use super::{Duty, HEAD, Meant, Part, Plan, Wire};
use crate::quantity::number;
use serde_json::{Map, Value, json};

fn pair((x, y): (f64, f64)) -> Value {
    Value::Array(vec![number(x), number(y)])
}

impl Plan {
    /// The plan as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = HEAD.written();
        for (key, text) in [("title", &self.title), ("notes", &self.notes)] {
            if !text.is_empty() {
                map.insert(key.into(), text.as_str().into());
            }
        }
        map.insert("book".into(), self.book.written.clone());
        let world = self.world.write();
        if !world.is_empty() {
            map.insert("world".into(), Value::Object(world));
        }
        if let Some(follows) = &self.follows {
            map.insert("follows".into(), follows.to_value());
        }
        map.insert(
            "parts".into(),
            self.parts.iter().map(Part::to_value).collect(),
        );
        map.insert(
            "wires".into(),
            self.wires.iter().map(Wire::to_value).collect(),
        );
        if let Some(site) = &self.site {
            map.insert("site".into(), site.to_value());
        }
        if !self.duties.is_empty() {
            map.insert(
                "duties".into(),
                self.duties.iter().map(Duty::to_value).collect(),
            );
        }
        if !self.meant.is_empty() {
            map.insert(
                "meant".into(),
                self.meant.iter().map(Meant::to_value).collect(),
            );
        }
        if let Some(walk) = &self.walk {
            map.insert("walk".into(), walk::walk(walk, self));
        }
        if let Some(exercise) = &self.exercise {
            map.insert("exercise".into(), walk::exercise(exercise, self));
        }
        // Written only where the ids in use don't tell it: so a plan that lost its last part does not give its id again.
        if self.next != super::id::next_of(&self.parts, &self.wires) {
            map.insert("next".into(), json!([self.next.0, self.next.1]));
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }

    /// The plan as a file's text, laid out for reading.
    pub fn print(&self) -> String {
        let mut text = format!("{:#}", self.to_value());
        text.push('\n');
        text
    }
}

impl Part {
    /// The part as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("id".into(), self.id.as_str().into());
        map.insert("type".into(), self.kind.as_str().into());
        if !self.name.is_empty() {
            map.insert("name".into(), self.name.as_str().into());
        }
        if let Some(at) = self.at {
            map.insert("at".into(), pair(at));
        }
        if self.count != 1 {
            map.insert("count".into(), self.count.into());
        }
        if !self.set.is_empty() {
            map.insert("set".into(), Value::Object(self.set.clone()));
        }
        if let Some(reach) = self.reach {
            map.insert("reach".into(), reach.word().into());
        }
        if let Some(face) = self.hangs {
            map.insert("hangs".into(), face.to_value());
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}

impl Wire {
    /// The wire as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("id".into(), self.id.as_str().into());
        map.insert("from".into(), self.from.to_string().into());
        map.insert("to".into(), self.to.to_string().into());
        if !self.bends.is_empty() {
            map.insert(
                "bends".into(),
                self.bends.iter().map(|b| pair(*b)).collect(),
            );
        }
        if !self.via.is_empty() {
            let faces = self.via.iter().map(|face| face.to_value());
            map.insert("via".into(), faces.collect());
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}

impl Duty {
    /// The duty as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("part".into(), self.part.as_str().into());
        let words: Vec<&str> = self.when.as_written().map(|when| when.word()).collect();
        let when = match words.as_slice() {
            [word] => Value::from(*word),
            _ => Value::from(words),
        };
        map.insert("when".into(), when);
        if let Some(span) = self.when.span() {
            map.insert("from".into(), span.from.to_string().into());
            map.insert("to".into(), span.to.to_string().into());
        }
        if self.only {
            map.insert("only".into(), true.into());
        }
        if self.grace_s != super::duty::GRACE_S {
            map.insert("grace_s".into(), number(self.grace_s));
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}

impl Meant {
    /// The answer as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("finding".into(), self.finding.code().into());
        map.insert("part".into(), self.part.as_str().into());
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}
