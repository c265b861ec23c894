//! A plan on the numbers of a world that it follows, or on any others: the edits that take them over, or why not.
//!
//! A plan has its own full copy of its world and its book, whatever it follows. So a file and a link are whole without the
//! world, and what is worked out never depends on anything outside the plan. Other numbers are taken over by edits like any
//! other, refused with every reason where the plan can't stand on them.

use super::{Edit, End, Follows, NamedWorld, Numbers, PartId, Plan};
use crate::read::Fault;

/// Why a plan can't stand on other numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The book has no such part type, and these parts are of it.
    NoType {
        /// The type.
        kind: String,
        /// The parts, in the plan's order.
        parts: Vec<PartId>,
    },
    /// A wire ends at this port, and the part's type has no such port any more, or on the other side.
    NoPort(End),
    /// Something else of the plan does not fit, such as a setting that the type has no more.
    Unfit(Fault),
}

impl Plan {
    /// Whether the plan says that it follows this world.
    pub fn does_follow(&self, world: &NamedWorld) -> bool {
        let follows = self.follows.as_ref();
        follows.is_some_and(|follows| follows.world == world.id())
    }

    /// The edits that put these numbers in place of the plan's own; none where they are the same. Every reason where the
    /// plan can't stand on them.
    pub fn edits_to_numbers(&self, numbers: &Numbers) -> Result<Vec<Edit>, Vec<Refusal>> {
        let mut edits = Vec::new();
        if self.book.fingerprint() != numbers.book.fingerprint() {
            edits.push(Edit::Book(numbers.book.clone()));
        }
        if self.world != numbers.world {
            edits.push(Edit::World(Box::new(numbers.world.clone())));
        }
        match self.refusals(numbers) {
            refusals if refusals.is_empty() => Ok(edits),
            refusals => Err(refusals),
        }
    }

    /// The plan on these numbers; every reason where it can't stand on them.
    pub fn on_numbers(&self, numbers: &Numbers) -> Result<Plan, Vec<Refusal>> {
        let edits = self.edits_to_numbers(numbers)?;
        let mut plan = self.clone();
        // What was not refused applies.
        let _ = plan.apply_all(edits);
        Ok(plan)
    }

    /// The edits that make the plan follow `world` and take its numbers over; none where both are so already.
    pub fn edits_to_follow(&self, world: &NamedWorld) -> Result<Vec<Edit>, Vec<Refusal>> {
        let mut edits = self.edits_to_numbers(&world.numbers)?;
        let mut follows = Follows::new(world.id(), &world.name);
        if let Some(before) = self.follows.as_ref().filter(|_| self.does_follow(world)) {
            follows.extra = before.extra.clone();
        }
        if self.follows.as_ref() != Some(&follows) {
            edits.push(Edit::Follow(Some(follows)));
        }
        Ok(edits)
    }

    /// The edits after which the plan follows no world and keeps its numbers; none where it follows none.
    pub fn edits_to_keep_own_copy(&self) -> Vec<Edit> {
        let follows = self.follows.as_ref();
        follows.map(|_| Edit::Follow(None)).into_iter().collect()
    }

    pub(super) fn refusals(&self, numbers: &Numbers) -> Vec<Refusal> {
        let mut refusals: Vec<Refusal> = Vec::new();
        for part in &self.parts {
            if numbers.book.book.find(&part.kind).is_some() {
                continue;
            }
            let told = refusals.iter_mut().find_map(|refusal| match refusal {
                Refusal::NoType { kind, parts } if *kind == part.kind => Some(parts),
                _ => None,
            });
            match told {
                Some(parts) => parts.push(part.id.clone()),
                None => refusals.push(Refusal::NoType {
                    kind: part.kind.clone(),
                    parts: vec![part.id.clone()],
                }),
            }
        }
        if !refusals.is_empty() {
            return refusals;
        }
        let changed = Plan {
            book: numbers.book.clone(),
            world: numbers.world.clone(),
            ..self.clone()
        };
        for wire in &changed.wires {
            let joined = changed.joins(&wire.from, &wire.to);
            if joined.is_some_and(|(from, _)| from == wire.from) {
                continue;
            }
            let is_gone = |end: &&End| changed.port(end).is_none();
            let gone = [&wire.from, &wire.to].into_iter().find(is_gone);
            refusals.push(Refusal::NoPort(gone.unwrap_or(&wire.to).clone()));
        }
        if refusals.is_empty() && changed.book != self.book {
            // A plan that its own file could not hold would be lost at the next visit.
            let read = super::read::salvage_value(&changed.to_value());
            let faults = read.map_or_else(|faults| faults, |read| read.faults);
            refusals.extend(faults.into_iter().map(Refusal::Unfit));
        }
        refusals
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Behaviour;
    use crate::plan::{BookRef, World, read_plan, read_world};
    use serde_json::{Value, json};
    use std::sync::Arc;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    /// The built-in book as a document, changed.
    fn world(change: impl Fn(&mut Vec<Value>)) -> NamedWorld {
        let text = include_str!("../../assets/books/outpost.json");
        let mut book: Value = serde_json::from_str(text).unwrap();
        change(book["types"].as_array_mut().unwrap());
        let world = json!({ "format": "duskline/world", "version": 1, "id": "sands", "name": "Kittiwake sands",
            "book": book, "world": { "day_s": 3600, "weather": [0.5] } });
        read_world(&world.to_string()).unwrap()
    }

    fn kind<'v>(types: &'v mut [Value], name: &str) -> &'v mut Value {
        types.iter_mut().find(|t| t["type"] == name).unwrap()
    }

    #[test]
    fn following_takes_the_numbers_over_and_is_one_step_to_take_back() {
        let world = world(|types| kind(types, "lamp")["draw"] = json!(1));
        let mut plan = kittiwake();
        let before = plan.clone();
        assert!(!plan.does_follow(&world));
        let edits = plan.edits_to_follow(&world).unwrap();
        let inverse = plan.apply_all(edits).unwrap();
        assert!(plan.does_follow(&world));
        assert_eq!(plan.numbers(), world.numbers);
        assert_eq!(plan.edits_to_follow(&world).unwrap(), []);
        assert_eq!(plan.edits_to_follow(&world), Ok(vec![]));
        assert_eq!(read_plan(&plan.print()).unwrap(), plan);
        plan.apply_all(inverse).unwrap();
        assert_eq!(plan, before);
    }

    #[test]
    fn a_plan_that_keeps_its_own_copy_has_the_numbers_and_follows_nothing() {
        let world = world(|_| {});
        let mut plan = kittiwake();
        assert_eq!(plan.edits_to_keep_own_copy(), []);
        let edits = plan.edits_to_follow(&world).unwrap();
        plan.apply_all(edits).unwrap();
        let edits = plan.edits_to_keep_own_copy();
        plan.apply_all(edits).unwrap();
        assert_eq!((&plan.follows, &plan.world), (&None, &world.numbers.world));
    }

    #[test]
    fn a_world_without_a_type_in_use_is_refused_with_the_parts_that_are_of_it() {
        let gone = ["sun-panel", "lamp"];
        let world = world(|types| types.retain(|t| !gone.contains(&t["type"].as_str().unwrap())));
        let plan = kittiwake();
        let refusals = plan.edits_to_follow(&world).unwrap_err();
        for refusal in &refusals {
            let Refusal::NoType { kind, parts } = refusal else {
                panic!("{refusal:?}");
            };
            let of = plan.parts.iter().filter(|p| p.kind == *kind);
            assert!(gone.contains(&kind.as_str()) && !parts.is_empty());
            assert!(of.map(|p| &p.id).eq(parts));
        }
        let used = gone
            .iter()
            .filter(|kind| plan.parts.iter().any(|p| p.kind == **kind));
        assert_eq!(refusals.len(), used.count());
    }

    #[test]
    fn a_port_that_is_gone_and_a_setting_that_does_not_fit_are_refused() {
        let plan = kittiwake();
        let of = |name: &str| plan.kind_of(plan.parts.iter().find(|p| p.kind == name).unwrap());
        assert!(matches!(of("tap").unwrap().behaviour, Behaviour::Tap));
        let meter = world(|types| {
            let tap = kind(types, "tap");
            tap["behaviour"] = json!("meter");
            tap.as_object_mut().unwrap().shift_remove("set");
        });
        let refusals = plan.edits_to_follow(&meter).unwrap_err();
        assert!(
            refusals.iter().all(
                |r| matches!(r, Refusal::NoPort(end) if plan.part(&end.part).unwrap().kind == "tap")
            ),
            "{refusals:?}"
        );
        let mut with_setting = kittiwake();
        let on_delay = Edit::AddPart(0, {
            let mut part = crate::plan::Part::new("p900".into(), "on-delay", (0.0, 0.0));
            part.set.insert("delay_s".into(), json!(30));
            part
        });
        with_setting.apply(on_delay).unwrap();
        let other = world(|types| {
            let delay = kind(types, "on-delay");
            delay["function"] = json!("twilight");
            delay["set"] = json!({});
        });
        let refusals = with_setting.edits_to_follow(&other).unwrap_err();
        assert!(
            refusals
                .iter()
                .any(|r| matches!(r, Refusal::Unfit(fault) if fault.place.contains("set.below"))),
            "{refusals:?}"
        );
    }

    #[test]
    fn a_field_that_cant_be_read_is_told_and_an_unknown_one_is_kept() {
        let plan = |follows: Value| {
            let text = json!({ "format": "duskline/plan", "version": 1, "book": "outpost", "follows": follows });
            crate::plan::salvage(&text.to_string()).unwrap()
        };
        let rows = [
            (
                json!("sands"),
                "follows: found \"sands\", expected an object",
            ),
            (
                json!({}),
                "follows.world: found nothing, expected the id of a world",
            ),
            (
                json!({"world": 3}),
                "follows.world: found 3, expected the id of a world",
            ),
            (
                json!({"world": ""}),
                "follows.world: found an empty text, expected the id of a world",
            ),
            (
                json!({"world": "a", "name": 1}),
                "follows.name: found 1, expected a text",
            ),
        ];
        for (follows, said) in rows {
            let found = plan(follows);
            let faults: Vec<String> = found.faults.iter().map(|f| f.to_string()).collect();
            assert_eq!(faults, [said]);
        }
        let found = plan(json!({"world": "a", "name": "Ledge", "since": 3}));
        assert_eq!(found.faults, []);
        assert_eq!(found.plan.follows.as_ref().unwrap().called(), "Ledge");
        assert_eq!(read_plan(&found.plan.print()).unwrap(), found.plan);
    }

    #[test]
    fn numbers_that_are_the_same_are_no_edit_however_the_book_is_written() {
        let plan = kittiwake();
        let whole = world(|_| {}).numbers.book;
        assert_ne!(whole, plan.book);
        let numbers = Numbers {
            world: plan.world.clone(),
            book: whole,
        };
        assert_eq!(plan.edits_to_numbers(&numbers), Ok(vec![]));
        let mut other = BookRef::clone(&numbers.book);
        Arc::make_mut(&mut other.book).lag_ms += 1;
        let numbers = Numbers {
            world: World::default(),
            book: other,
        };
        assert_eq!(
            plan.on_numbers(&numbers).unwrap().book.book.lag_ms,
            plan.book.book.lag_ms + 1
        );
    }
}
