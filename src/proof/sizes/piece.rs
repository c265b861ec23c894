//! A plan taken apart into its islands, so that each can be sized alone.
//!
//! A contact that changes less than a hundred times is never held for chatter, whatever is pending on other islands; a
//! trial tells of more, and the plan is sized as one piece then.

use crate::book::Behaviour;
use crate::net::Net;
use crate::plan::Plan;
use crate::proof::loss::island::{islands, part_of};
use std::collections::BTreeSet;

/// A piece of a plan.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// The piece as a plan.
    pub plan: Plan,
    /// The places of its duties among the whole plan's.
    pub duties: Vec<usize>,
    /// The places, in the piece, of the sources and batteries.
    pub banks: Vec<usize>,
}

/// The pieces of `plan` in the order of their first parts.
pub(super) fn pieces(plan: &Plan) -> Vec<Piece> {
    let islands = islands(plan, &Net::compile(plan));
    islands.iter().map(|places| piece(plan, places)).collect()
}

/// The whole plan as one piece.
pub(super) fn whole(plan: &Plan) -> Piece {
    let places: Vec<usize> = (0..plan.parts.len()).collect();
    piece(plan, &places)
}

fn piece(plan: &Plan, places: &[usize]) -> Piece {
    let mut part = part_of(plan, places);
    let within: BTreeSet<&str> = part.parts.iter().map(|p| p.id.as_str()).collect();
    let duties: Vec<usize> = (0..plan.duties.len())
        .filter(|d| within.contains(plan.duties[*d].part.as_str()))
        .collect();
    part.duties = duties.iter().map(|d| plan.duties[*d].clone()).collect();
    let bank = |place: &usize| {
        let kind = part.kind_of(&part.parts[*place]).map(|t| &t.behaviour);
        matches!(
            kind,
            Some(Behaviour::Source { .. } | Behaviour::Battery { .. })
        )
    };
    let banks = (0..part.parts.len()).filter(bank).collect();
    Piece {
        plan: part,
        duties,
        banks,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn wires_and_watching_join_and_nothing_else_does() {
        let plan = plan(
            r#"{"parts": {"a": "generator", "b": "generator", "c": "lamp", "d": "battery",
                          "e": ["charge", {"watches": "d"}], "f": "lamp"},
                "wires": ["a.out c.in", "e.out f.in"], "duties": [{"part": "f", "when": "dark"}, {"part": "c", "when": "dark"}]}"#,
        );
        let all = pieces(&plan);
        let names = |p: &Piece| {
            p.plan
                .parts
                .iter()
                .map(|p| p.id.to_string())
                .collect::<String>()
        };
        let found: Vec<_> = all
            .iter()
            .map(|p| (names(p), p.duties.clone(), p.banks.clone()))
            .collect();
        let expected = [
            ("ac".to_string(), vec![1], vec![0]),
            ("b".to_string(), vec![], vec![0]),
            ("def".to_string(), vec![0], vec![0]),
        ];
        assert_eq!(found, expected);
    }
}
