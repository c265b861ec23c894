//! A contact with a signal for which a plain wire would do: led past it, every load runs when it does now, to within the
//! contact's lag.
//!
//! A contact that something thrown by hand or by somebody's coming can move is left alone: the run shows only the times
//! that the plan names.

use super::draft::way_through;
use super::{Finding, FindingKind, Remedy, Simulation, amount};
use crate::book::Side;
use crate::net::Weight;
use crate::plan::{Function, Spec};
use crate::quantity::{Energy, Ms};
use crate::run::What;
use std::collections::BTreeSet;

pub fn find(seen: &Simulation, part: usize) -> Option<Finding> {
    let id = seen.id(part);
    if !seen.is_whole() || moved_by_hand(seen, part) {
        return None;
    }
    let (feed, out) = way_through(&seen.plan, id)?;
    let edits = seen.drafted(|draft| draft.lead_past(id, &feed, &out))?;
    let after = seen.tried(&edits)?;
    let apart = runs_apart(seen, &after)?;
    let kind = seen.plan.kind_of(&seen.plan.parts[part]);
    let is_signal = |port: &str| {
        let port = kind.and_then(|k| k.port(port));
        port.is_some_and(|p| p.side == Side::Signal)
    };
    let coil: Energy = seen
        .plan
        .wires
        .iter()
        .zip(&seen.ledger().wires)
        .filter(|(w, _)| w.to.part == *id && is_signal(&w.to.port))
        .map(|(_, carried)| carried.taken)
        .sum();
    let closes = seen
        .journey()
        .record
        .events
        .iter()
        .filter(|e| {
            e.place() == part && e.what == What::Closes && e.t >= seen.from && e.t < seen.to
        })
        .count();
    let name = seen.name(part);
    let closes = seen.a_day(closes as Energy);
    let does = match closes {
        0 => "does not switch".into(),
        n => format!(
            "closes {} a day",
            super::times(usize::try_from(n).unwrap_or(0))
        ),
    };
    let within = match apart {
        0 => String::new(),
        ms => format!(", to within {ms} ms"),
    };
    let says = format!(
        "{name} {does} and its coil takes {}; without it every load would run as it does{within}.",
        seen.energy_a_day(coil)
    );
    let wires = seen.plan.wires.iter();
    let wires = wires.filter(|w| w.from.part == *id || w.to.part == *id);
    Some(Finding {
        kind: FindingKind::PlainLoop,
        weight: Weight::Hint,
        amount: amount(seen.a_day(coil)),
        parts: vec![id.clone()],
        wires: wires.map(|w| w.id.clone()).collect(),
        says,
        per_day: true,
        remedy: Some(Remedy {
            says: format!(
                "A plain wire in place of {name} saves it and {} for its coil.",
                seen.energy_a_day(coil)
            ),
            name: format!("put a wire in place of {name}"),
            edits,
        }),
    })
}

/// Whether something that is thrown by hand, or by somebody's coming, has a say in the contact's signals.
fn moved_by_hand(seen: &Simulation, part: usize) -> bool {
    let by_hand = |at: usize| {
        matches!(
            seen.specs[at],
            Some(Spec::Contact {
                function: Function::Manual { .. } | Function::Button { .. } | Function::Detector(_),
                ..
            })
        )
    };
    let mut met = BTreeSet::from([part]);
    let mut left = vec![part];
    while let Some(at) = left.pop() {
        for (from, signal) in seen.leading_to(at) {
            // What feeds the contact itself has no say in when it switches.
            if (at != part || *signal) && met.insert(*from) {
                left.push(*from);
            }
        }
    }
    met.into_iter().any(by_hand)
}

/// By how much the ends of the stretches in which loads run differ at the most; `None` where that is more than twice a
/// contact's lag, which a contact less may make, or where they are other stretches.
fn runs_apart(seen: &Simulation, after: &Simulation) -> Option<Ms> {
    if (seen.from, seen.to) != (after.from, after.to) {
        return None;
    }
    let mut most = 0;
    for at in 0..seen.plan.parts.len() {
        if !matches!(seen.specs[at], Some(Spec::Load { .. })) {
            continue;
        }
        let (a, b) = (seen.runs(at), after.runs(after.place(seen.id(at))?));
        if a.len() != b.len() {
            return None;
        }
        for (a, b) in a.iter().zip(&b) {
            most = most.max(a.0.abs_diff(b.0)).max(a.1.abs_diff(b.1));
        }
    }
    (most <= 2 * seen.plan.book.book.lag_ms).then_some(most)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_relay_that_is_live_whenever_it_is_fed() {
        let text = r#"{ "parts": { "gen": "generator", "hours": "time-switch", "tap": "tap", "relay": "relay", "lamp": "lamp" },
            "wires": ["gen.out hours.feed", "hours.out tap.in", "tap.tap relay.coil", "tap.rest relay.feed", "relay.out lamp.in"] }"#;
        assert_eq!(
            told(text, FindingKind::PlainLoop),
            [[
                "relay closes once a day and its coil takes 4 u·h a day; without it every load would run as it does, to within 100 ms.",
                "A plain wire in place of relay saves it and 4 u·h a day for its coil."
            ]]
        );
        let after = taken(&plan(text), FindingKind::PlainLoop);
        assert!(after.plan.part(&"relay".into()).is_none());
        assert!(after.used(3) > 0);
    }

    #[test]
    fn a_relay_that_does_something_or_that_a_hand_moves_is_none() {
        for text in [
            r#"{ "parts": { "sun": "sun-panel", "gen": "generator", "relay": ["relay", { "contact": "break" }], "lamp": "lamp" },
                 "wires": ["sun.out relay.coil", "gen.out relay.feed", "relay.out lamp.in"] }"#,
            r#"{ "parts": { "gen": "generator", "tap": "tap", "door": ["switch", { "closed": true }], "relay": "relay", "lamp": "lamp" },
                 "wires": ["gen.out tap.in", "tap.tap door.feed", "door.out relay.coil", "tap.rest relay.feed",
                           "relay.out lamp.in"] }"#,
        ] {
            assert!(told(text, FindingKind::PlainLoop).is_empty());
        }
    }
}
