//! Random gestures of somebody who edits a plan.

use crate::simple_engine::generate::Random;
use duskline::plan::{Edit, End, Part, Plan, Wire};

/// A random gesture: some edits that a user could make at once.
pub fn gesture(plan: &mut Plan, random: &mut Random) -> Vec<Edit> {
    let pick = |random: &mut Random, n: usize| if n == 0 { None } else { Some(random.index(n)) };
    let part = pick(random, plan.parts.len()).map(|at| plan.parts[at].id.clone());
    let wire = pick(random, plan.wires.len()).map(|at| plan.wires[at].id.clone());
    let place = (
        random.between(-50, 50) as f64 * 8.0,
        random.between(-50, 50) as f64 * 8.0,
    );
    match (random.between(0, 7), part, wire) {
        (0, _, _) => {
            let kind = plan.book.book.types[random.index(plan.book.book.types.len())]
                .name
                .clone();
            vec![Edit::AddPart(
                random.index(plan.parts.len() + 1),
                Part::new(plan.new_part_id(), &kind, place),
            )]
        }
        (1, Some(part), _) => plan.removal(&[part], &[]),
        (2, _, Some(wire)) => plan.removal(&[], &[wire]),
        (3, Some(part), _) => vec![
            Edit::MovePart(part.clone(), Some(place)),
            Edit::Rename(part, "Lamp".into()),
        ],
        (4, Some(part), _) => vec![Edit::Count(part, random.between(1, 9) as u64)],
        (5, _, Some(wire)) => vec![Edit::Bend(wire, vec![place])],
        (6, Some(part), _) => {
            let fields = plan.kind_of(plan.part(&part).unwrap()).unwrap().fields();
            let keys: Vec<Edit> = fields
                .iter()
                .map(|f| Edit::Set(part.clone(), f.key.into(), None))
                .collect();
            keys
        }
        _ => {
            let ends: Vec<(End, End)> = free_pairs(plan);
            let Some(at) = pick(random, ends.len()) else {
                return vec![Edit::Title("Kittiwake".into())];
            };
            let (from, to) = ends[at].clone();
            vec![Edit::AddWire(
                random.index(plan.wires.len() + 1),
                Wire::new(plan.new_wire_id(), from, to),
            )]
        }
    }
}

/// A few pairs of free ports that a wire may join.
fn free_pairs(plan: &Plan) -> Vec<(End, End)> {
    let ends = plan.parts.iter().flat_map(|p| {
        let ports = plan.kind_of(p).unwrap().ports();
        ports
            .into_iter()
            .map(|port| End::new(&p.id, &port.name))
            .collect::<Vec<_>>()
    });
    let free: Vec<End> = ends
        .filter(|e| plan.wire_at(e).is_none())
        .take(24)
        .collect();
    free.iter()
        .flat_map(|a| {
            free.iter()
                .filter_map(move |b| plan.joins(a, b).filter(|(from, _)| from == a))
        })
        .collect()
}

/// The plan but for its counters of ids, which only grow.
pub fn body(plan: &Plan) -> Plan {
    Plan {
        next: (0, 0),
        ..plan.clone()
    }
}
