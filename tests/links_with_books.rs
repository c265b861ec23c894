//! Random plans with random books of their own: by link and by file they arrive as they were, whole or with the types
//! that they use.

#![cfg(not(target_arch = "wasm32"))]

#[path = "made_books/mod.rs"]
mod made_books;

use duskline::book::{Book, Side};
use duskline::plan::{Edit, End, Plan, Wire, link, read_plan};
use proptest::prelude::*;
use serde_json::json;

/// A plan of such a book: parts by the numbers in `kinds`, wires between ports by those in `wires`.
fn plan_of(book: &Book, kinds: &[usize], wires: &[(usize, usize)]) -> Plan {
    let parts: Vec<_> = (kinds.iter().enumerate())
        .map(|(n, kind)| {
            let of = &book.types[kind % book.types.len()];
            let name = if n % 3 == 0 { of.label.replace(char::is_control, "") } else { format!("Place {n}") };
            json!({ "id": format!("p{}", n + 1), "type": of.name, "name": name, "at": [n % 5 * 240, n / 5 * 136] })
        })
        .collect();
    let value = json!({
        "format": "duskline/plan", "version": 1, "title": "Skerry", "book": book.to_value(), "parts": parts, "wires": [],
    });
    let mut plan = read_plan(&value.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let ends = |plan: &Plan, out: bool| -> Vec<End> {
        let of = |p: &duskline::plan::Part| {
            let ports = plan.kind_of(p).map(|t| t.ports()).unwrap_or_default();
            let ports = ports.into_iter().filter(|q| (q.side == Side::Out) == out);
            ports.map(|q| End::new(&p.id, &q.name)).collect::<Vec<_>>()
        };
        plan.parts.iter().flat_map(of).collect()
    };
    let (outs, ins) = (ends(&plan, true), ends(&plan, false));
    for (from, to) in wires {
        if outs.is_empty() || ins.is_empty() {
            break;
        }
        let id = plan.new_wire_id();
        let wire = Wire::new(
            id,
            outs[from % outs.len()].clone(),
            ins[to % ins.len()].clone(),
        );
        // A port that is taken already refuses it.
        let _ = plan.apply(Edit::AddWire(plan.wires.len(), wire));
    }
    plan
}

fn opened(link: &str) -> Plan {
    let found = link::from_link(link).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(found.faults, vec![]);
    found.plan
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_plan_with_a_book_of_its_own_arrives(
        book in made_books::book(),
        kinds in prop::collection::vec(0usize..100, 0..30),
        wires in prop::collection::vec((0usize..1000, 0usize..1000), 0..30),
    ) {
        let plan = plan_of(&book, &kinds, &wires);
        let link = link::to_fragment(&plan);
        prop_assert!(link.starts_with("d2."), "as differences: {link}");
        let found = opened(&link);
        prop_assert_eq!(&found, &plan);
        prop_assert_eq!(&*found.book.book, &book);
        prop_assert_eq!(found.fingerprint(), plan.fingerprint());
        prop_assert_eq!(&read_plan(&plan.print()).unwrap(), &plan);
        prop_assert_eq!(link::to_fragment(&found), link, "made the same again");

        let used = plan.with_used_types();
        let found = opened(&link::to_fragment(&used));
        prop_assert_eq!(&found, &used);
        prop_assert_eq!(&found.parts, &plan.parts);
        prop_assert_eq!(&found.wires, &plan.wires);
        let is_used = |t: &duskline::book::PartType| plan.parts.iter().any(|p| p.kind == t.name);
        prop_assert!(found.book.book.types.iter().all(is_used));
    }
}
