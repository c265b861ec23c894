//! Loads, batteries and contacts that are wired, but to which no source and no battery leads.
//!
//! A part without a wire at its own input is another kind's business, and so is one on a closed loop.

use super::words::{first, problem};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use serde::{Deserialize, Serialize};

/// A part to which neither a source nor a battery leads.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NoSource {
    /// The part.
    pub part: PartId,
    /// Where the way back from it ends.
    pub end: PartId,
}

impl NoSource {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "Nothing feeds {}: its wires lead back to {end}, and nothing feeds that. Wire a source or a battery to {end}.",
            plan.called(&self.part),
            end = plan.called(&self.end)
        )
    }
}

/// One problem a part.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let fed = fed(net);
    let ends = ends(net);
    let mut problems = Vec::new();
    for (part, node) in net.nodes.iter().enumerate() {
        let Some(wire) = first(&node.ins).filter(|w| !net.wires[*w].closed) else {
            continue;
        };
        let asks = matches!(
            node.spec,
            Some(Spec::Load { .. } | Spec::Battery { .. } | Spec::Contact { .. })
        );
        if !asks || fed[part] {
            continue;
        }
        let end = ends[net.part_of[net.wires[wire].from]];
        let kind = ProblemKind::NoSource(NoSource {
            part: plan.parts[part].id.clone(),
            end: plan.parts[end].id.clone(),
        });
        let parts = vec![part, end];
        problems.push(problem(plan, kind, Weight::Warning, parts, vec![wire]));
    }
    problems
}

/// Whether a feed wire that ends at each part comes, through whatever parts, from a source or a battery.
pub(super) fn fed(net: &Net) -> Vec<bool> {
    let mut fed = vec![false; net.nodes.len()];
    let gives = |part: &usize| {
        matches!(
            net.nodes[*part].spec,
            Some(Spec::Source { .. } | Spec::Battery { .. })
        )
    };
    let mut open: Vec<usize> = (0..net.nodes.len()).filter(gives).collect();
    while let Some(part) = open.pop() {
        for wire in net.nodes[part].outs.iter().flatten() {
            let ends = net.wires[*wire];
            if !ends.signal && !std::mem::replace(&mut fed[ends.to], true) && !gives(&ends.to) {
                open.push(ends.to);
            }
        }
    }
    fed
}

/// For each part, where the way back through first wired inputs ends; wires on closed loops are not followed.
fn ends(net: &Net) -> Vec<usize> {
    let mut ends: Vec<usize> = (0..net.nodes.len()).collect();
    for half in &net.order {
        let part = net.part_of[*half];
        let mut ins = net.nodes[part].ins.iter().flatten();
        if *half == part
            && let Some(wire) = ins.find(|w| !net.wires[**w].closed)
        {
            ends[part] = ends[net.part_of[net.wires[*wire].from]];
        }
    }
    ends
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_lamp_behind_an_unfed_meter_is_named_with_where_the_way_back_ends() {
        let plan = plan(
            r#"{ "parts": { "meter": "meter", "relay": "relay", "lamp": "lamp" },
                 "wires": ["meter.out relay.feed", "relay.out lamp.in"] }"#,
        );
        assert_eq!(
            said(&plan, "no-source"),
            [
                "warning [meter relay] [w1] Nothing feeds relay: its wires lead back to meter, and nothing feeds that. \
                 Wire a source or a battery to meter.",
                "warning [meter lamp] [w2] Nothing feeds lamp: its wires lead back to meter, and nothing feeds that. \
                 Wire a source or a battery to meter."
            ]
        );
    }

    #[test]
    fn what_has_no_wire_itself_is_left_to_the_open_port() {
        let plan = plan(r#"{ "parts": { "lamp": "lamp", "cell": "battery" }, "wires": [] }"#);
        assert!(said(&plan, "no-source").is_empty());
        assert_eq!(said(&plan, "open-port").len(), 2);
    }

    #[test]
    fn a_battery_is_a_source_and_a_signal_is_no_way() {
        let plan = plan(
            r#"{ "parts": { "cell": "battery", "tap": "tap", "relay": "relay", "lamp": "lamp", "meter": "meter" },
                 "wires": ["cell.out tap.in", "tap.tap relay.coil", "meter.out relay.feed", "relay.out lamp.in"] }"#,
        );
        let said = said(&plan, "no-source");
        assert_eq!(said.len(), 2, "{said:?}");
        assert!(said[0].contains("feeds relay") && said[1].contains("feeds lamp"));
    }
}
