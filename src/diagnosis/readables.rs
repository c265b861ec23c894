//! What of a plan can be read, by kind and with names that tell any two apart, for whoever chooses among them.

use super::base_reading::{Readable, Shape};
use super::words::read_what;
use crate::book::Behaviour;
use crate::plan::{Plan, Wire};
use std::collections::BTreeMap;

/// Things of one kind that can be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadableGroup {
    /// What they are.
    pub name: &'static str,
    /// They, each with its name, in the plan's order.
    pub of: Vec<(Readable, String)>,
}

/// Everything of the plan that can be read, parts first; groups with nothing in them are left out.
pub fn readables(plan: &Plan) -> Vec<ReadableGroup> {
    let parts = |shape: Shape| {
        let all = plan
            .parts
            .iter()
            .map(|part| Readable::Part(part.id.clone()));
        all.filter(|of| of.shape(plan) == Some(shape)).collect()
    };
    let wires = |at_meter: bool| {
        let all = plan
            .wires
            .iter()
            .filter(|wire| is_at_meter(plan, wire) == at_meter);
        all.map(|wire| Readable::Wire(wire.id.clone())).collect()
    };
    let groups: [(&str, Vec<Readable>); 5] = [
        ("Loads", parts(Shape::Load)),
        ("Contacts", parts(Shape::Contact)),
        ("Batteries", parts(Shape::Battery)),
        ("Wires at a meter", wires(true)),
        ("Other wires", wires(false)),
    ];
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for of in groups.iter().flat_map(|(_, all)| all) {
        *times.entry(read_what(plan, of)).or_default() += 1;
    }
    let named = |of: Readable| {
        let name = read_what(plan, &of);
        let name = match times.get(&name) {
            Some(1) => name,
            _ => format!("{name}, {}", of.id()),
        };
        (of, name)
    };
    let groups = groups.into_iter().filter(|(_, all)| !all.is_empty());
    let groups = groups.map(|(name, all)| ReadableGroup {
        name,
        of: all.into_iter().map(named).collect(),
    });
    groups.collect()
}

/// Whether it is a battery, of which the way of its level is read.
pub fn is_level(plan: &Plan, of: &Readable) -> bool {
    of.shape(plan) == Some(Shape::Battery)
}

fn is_at_meter(plan: &Plan, wire: &Wire) -> bool {
    let ends = [&wire.from.part, &wire.to.part];
    ends.into_iter().any(|id| {
        let kind = plan.part(id).and_then(|part| plan.kind_of(part));
        kind.is_some_and(|kind| matches!(kind.behaviour, Behaviour::Meter))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Edit;
    use crate::plan::{examples, read_plan};
    use std::collections::BTreeSet;

    #[test]
    fn of_every_example_all_loads_contacts_batteries_and_wires_are_named_once_and_apart() {
        for (title, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let groups = readables(&plan);
            let all: Vec<_> = groups.iter().flat_map(|group| &group.of).collect();
            let things: BTreeSet<_> = all.iter().map(|(of, _)| of).collect();
            let names: BTreeSet<_> = all.iter().map(|(_, name)| name).collect();
            assert_eq!(
                (things.len(), names.len()),
                (all.len(), all.len()),
                "{title}"
            );
            let parts = plan
                .parts
                .iter()
                .map(|part| Readable::Part(part.id.clone()));
            let wires = plan
                .wires
                .iter()
                .map(|wire| Readable::Wire(wire.id.clone()));
            let can = parts.chain(wires).filter(|of| of.shape(&plan).is_some());
            assert_eq!(can.count(), all.len(), "{title}");
        }
    }

    #[test]
    fn parts_of_one_name_are_told_apart_by_their_ids() {
        let mut plan = crate::net::testing::plan(
            r#"{ "parts": { "gen": "generator", "a": "lamp", "b": "lamp" }, "wires": ["gen.out a.in"] }"#,
        );
        for id in ["a", "b"] {
            let rename = Edit::Rename(id.into(), "Lamp".into());
            plan.apply(rename).expect("a part of the plan");
        }
        let groups = readables(&plan);
        let names: Vec<_> = groups[0].of.iter().map(|(_, name)| name.as_str()).collect();
        assert_eq!(groups[0].name, "Loads");
        assert!(
            names[0].ends_with(", a") && names[1].ends_with(", b"),
            "{names:?}"
        );
        assert_eq!(groups[1].name, "Other wires");
    }
}
