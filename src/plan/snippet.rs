//! Some parts of a plan with the wires among them and their duties, as text: what copy and paste carry, also between two pages.
//!
//! A JSON object of the format `duskline/parts`, its parts, wires and duties written as in a plan's file. What is read is
//! checked as a file is. It chooses no places and no new ids' order but the plan's own.

use super::{Duty, Edit, End, Part, PartId, Plan, Wire, WireId};
use crate::gather::Gather;
use crate::read::{self, Faults};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The name of the form.
pub const FORMAT: &str = "duskline/parts";

/// Parts with the wires among them and their duties.
#[derive(Clone, Debug, PartialEq)]
pub struct Snippet {
    /// The parts, in the order of their plan.
    pub parts: Vec<Part>,
    /// The wires that join two of them.
    pub wires: Vec<Wire>,
    /// The duties of the parts.
    pub duties: Vec<Duty>,
}

impl Snippet {
    /// These parts of the plan with the wires among them and their duties.
    pub fn of(plan: &Plan, ids: &BTreeSet<PartId>) -> Snippet {
        let parts = plan.parts.iter().filter(|p| ids.contains(&p.id));
        let among = |w: &&Wire| ids.contains(&w.from.part) && ids.contains(&w.to.part);
        Snippet {
            parts: parts.cloned().collect(),
            wires: plan.wires.iter().filter(among).cloned().collect(),
            duties: (plan.duties.iter())
                .filter(|duty| ids.contains(&duty.part))
                .cloned()
                .collect(),
        }
    }

    /// The snippet as text.
    pub fn print(&self) -> String {
        let value = json!({
            "format": FORMAT,
            "version": super::VERSION,
            "parts": self.parts.iter().map(Part::to_value).collect::<Vec<_>>(),
            "wires": self.wires.iter().map(Wire::to_value).collect::<Vec<_>>(),
            "duties": self.duties.iter().map(Duty::to_value).collect::<Vec<_>>(),
        });
        format!("{value:#}\n")
    }

    /// Reads a text as a snippet for `plan`, by whose book the parts are read. `None` for a text that is none at all;
    /// the faults of one that is damaged, of a newer version, or of types that the book has not.
    pub fn read(text: &str, plan: &Plan) -> Option<Result<Snippet, Faults>> {
        let mut value = read::json(text).ok()?;
        let map = value.as_object_mut()?;
        if map.get("format")?.as_str() != Some(FORMAT) {
            return None;
        }
        map.insert("format".into(), super::FORMAT.into());
        map.insert("book".into(), plan.book.written.clone());
        for key in ["world", "title", "notes", "next"] {
            map.shift_remove(key);
        }
        Some(match super::read::salvage_value(&value) {
            Ok(found) if found.faults.is_empty() => Ok(Snippet {
                parts: found.plan.parts.into(),
                wires: found.plan.wires.into(),
                duties: found.plan.duties,
            }),
            Ok(found) => Err(found.faults),
            Err(faults) => Err(faults),
        })
    }

    /// The least x and y of the parts' places.
    pub fn corner(&self) -> Option<(f64, f64)> {
        let places = self.parts.iter().filter_map(|p| p.at);
        places.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))
    }

    /// The edits that add the snippet to `plan`, moved by `by`, with new ids, and those of the new parts.
    pub fn edits(
        &self,
        plan: &Plan,
        by: (f64, f64),
        mut part_id: impl FnMut() -> PartId,
        mut wire_id: impl FnMut() -> WireId,
    ) -> (Vec<Edit>, Vec<PartId>) {
        let most = crate::limits::BOARD;
        let moved =
            |(x, y): (f64, f64)| ((x + by.0).clamp(-most, most), (y + by.1).clamp(-most, most));
        let ids: BTreeMap<&PartId, PartId> = self.parts.iter().map(|p| (&p.id, part_id())).gather();
        let mut edits = Vec::new();
        let mut added = Vec::new();
        for part in &self.parts {
            let mut copy = part.clone();
            copy.id = ids[&part.id].clone();
            copy.at = part.at.map(moved);
            // Where the first hangs nothing else can.
            copy.hangs = None;
            if let Some(watched) = copy.set.get("watches").and_then(Value::as_str)
                && let Some(id) = ids.get(&PartId::from(watched))
            {
                copy.set.insert("watches".into(), id.as_str().into());
            }
            added.push(copy.id.clone());
            edits.push(Edit::AddPart(plan.parts.len() + added.len() - 1, copy));
        }
        for (index, wire) in self.wires.iter().enumerate() {
            let end = |end: &End| End::new(&ids[&end.part], &end.port);
            let mut copy = Wire::new(wire_id(), end(&wire.from), end(&wire.to));
            copy.bends = wire.bends.iter().copied().map(moved).collect();
            copy.extra = wire.extra.clone();
            edits.push(Edit::AddWire(plan.wires.len() + index, copy));
        }
        (edits, added)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan() -> Plan {
        super::super::read_plan(super::super::examples()[0].1).unwrap()
    }

    #[test]
    fn parts_come_with_the_wires_among_them_and_get_new_ids() {
        let mut plan = plan();
        let ids: BTreeSet<PartId> = ["p8", "p9", "p10"].map(PartId::from).into();
        let text = Snippet::of(&plan, &ids).print();
        let snippet = Snippet::read(&text, &plan).unwrap().unwrap();
        assert_eq!((snippet.parts.len(), snippet.wires.len()), (3, 2));
        assert_eq!(snippet.corner(), Some((496.0, 200.0)));
        let (mut parts, mut wires) = (100, 100);
        let (edits, added) = snippet.edits(
            &plan,
            (24.0, 24.0),
            || {
                parts += 1;
                format!("p{parts}").into()
            },
            || {
                wires += 1;
                format!("w{wires}").into()
            },
        );
        let before = plan.clone();
        let inverse = plan.apply_all(edits).unwrap();
        assert_eq!(added, ["p101", "p102", "p103"].map(PartId::from));
        assert_eq!(plan.parts.len(), before.parts.len() + 3);
        assert_eq!(
            plan.part(&added[0]).unwrap().set,
            before.part(&"p8".into()).unwrap().set
        );
        assert_eq!(plan.part(&added[0]).unwrap().at, Some((520.0, 224.0)));
        assert_eq!(plan.wires.last().unwrap().from.to_string(), "p102.loop");
        plan.apply_all(inverse).unwrap();
        assert_eq!(plan.parts, before.parts);
    }

    #[test]
    fn other_text_is_no_snippet_and_a_damaged_one_says_where() {
        let plan = plan();
        for text in ["", "hello", "[1]", "{}", super::super::examples()[1].1] {
            assert!(Snippet::read(text, &plan).is_none(), "{text}");
        }
        let text = "{\"format\":\"duskline/parts\",\"version\":1,\"parts\":[{\"id\":\"p1\",\"type\":\"x\"}]}";
        let faults = Snippet::read(text, &plan).unwrap().unwrap_err();
        assert_eq!(
            faults[0].to_string(),
            "parts[0].type: found \"x\", expected a part type of the book"
        );
        let newer = "{\"format\":\"duskline/parts\",\"version\":2}";
        assert!(Snippet::read(newer, &plan).unwrap().is_err());
    }
}
