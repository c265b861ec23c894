//! Every single fault that a plan can have, likeliest first, then in the plan's order. A fault that leaves the plan as it
//! is, or the same setting a second time, is none.
//!
//! There are about as many pairs of wires as half the square of the wires, so they are made one by one.

use super::settings::wrong_settings;
use super::single_fault::SingleFault;
use crate::book::{Behaviour, FunctionName, Port, Side};
use crate::plan::{End, Part, Plan, Wire};

/// A fault that is to be tried, wires by their places in the plan.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Candidate {
    /// The wire is missing.
    Missing(usize),
    /// The two wires are exchanged.
    Exchanged(usize, usize),
    /// Any other.
    Other(SingleFault),
}

impl Candidate {
    /// As it is told.
    pub(super) fn told(self, plan: &Plan) -> SingleFault {
        let id = |at: usize| plan.wires[at].id.clone();
        match self {
            Candidate::Missing(wire) => SingleFault::Missing { wire: id(wire) },
            Candidate::Exchanged(a, b) => SingleFault::Exchanged {
                wires: [id(a), id(b)],
            },
            Candidate::Other(fault) => fault,
        }
    }
}

/// The faults of a plan, in their order.
#[derive(Clone, Debug)]
pub(super) struct Candidates {
    wires: usize,
    missing: usize,
    pair: (usize, usize),
    others: std::vec::IntoIter<SingleFault>,
}

impl Candidates {
    /// Every fault of `plan`.
    pub(super) fn of(plan: &Plan) -> Candidates {
        Candidates {
            wires: plan.wires.len(),
            missing: 0,
            pair: (0, 1),
            others: others(plan).into_iter(),
        }
    }
}

impl Iterator for Candidates {
    type Item = Candidate;

    fn next(&mut self) -> Option<Candidate> {
        if self.missing < self.wires {
            self.missing += 1;
            return Some(Candidate::Missing(self.missing - 1));
        }
        // Every wire ends at an input or a signal, and either takes any wire: so any two can be exchanged.
        let (a, b) = self.pair;
        if b < self.wires {
            self.pair = if b + 1 < self.wires {
                (a, b + 1)
            } else {
                (a + 1, a + 2)
            };
            return Some(Candidate::Exchanged(a, b));
        }
        self.others.next().map(Candidate::Other)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let (a, b) = self.pair;
        let after = self.wires.saturating_sub(a + 1);
        let pairs = self.wires.saturating_sub(b) + after * after.saturating_sub(1) / 2;
        let left = self.wires - self.missing + pairs + self.others.len();
        (left, Some(left))
    }
}

impl ExactSizeIterator for Candidates {}

/// All but missing and exchanged wires.
fn others(plan: &Plan) -> Vec<SingleFault> {
    let mut found = Vec::new();
    plan.wires
        .iter()
        .for_each(|wire| ports(plan, wire, &mut found));
    let contact = |part: &&Part| function(plan, part).is_some();
    let switch = |part: &&Part| function(plan, part) == Some(FunctionName::Manual);
    let id = |part: &Part| part.id.clone();
    let switches = plan.parts.iter().filter(switch).map(id);
    found.extend(switches.map(|part| SingleFault::Reversed { part }));
    let contacts = plan.parts.iter().filter(contact).map(id);
    found.extend(contacts.map(|part| SingleFault::Contact { part }));
    for part in plan.parts.iter() {
        let wrong = wrong_settings(plan, part).into_iter();
        found.extend(wrong.map(|(name, value)| SingleFault::Setting {
            part: part.id.clone(),
            name: name.into(),
            value,
        }));
    }
    let dead = plan.parts.iter().map(id);
    found.extend(dead.map(|part| SingleFault::Dead { part }));
    found
}

fn function(plan: &Plan, part: &Part) -> Option<FunctionName> {
    match plan.kind_of(part)?.behaviour {
        Behaviour::Contact { function, .. } => Some(function),
        _ => None,
    }
}

/// One end of the wire on each other free port of its part and direction: first its output's, then its input's.
fn ports(plan: &Plan, wire: &Wire, found: &mut Vec<SingleFault>) {
    for (end, is_out) in [(&wire.from, true), (&wire.to, false)] {
        let kind = plan.part(&end.part).and_then(|part| plan.kind_of(part));
        let fits = |port: &Port| (port.side == Side::Out) == is_out;
        let ports = kind.map(|kind| kind.ports()).unwrap_or_default();
        let others = ports.into_iter().filter(fits);
        let others = others.map(|port| End::new(&end.part, &port.name));
        let free = others.filter(|port| plan.wire_at(port).is_none());
        found.extend(free.map(|port| SingleFault::Port {
            wire: wire.id.clone(),
            port,
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::{examples, read_plan};

    fn told(plan: &Plan) -> Vec<String> {
        let say = |fault: SingleFault| match fault {
            SingleFault::Missing { wire } => format!("missing {wire}"),
            SingleFault::Exchanged { wires: [a, b] } => format!("exchanged {a} {b}"),
            SingleFault::Port { wire, port } => format!("port {wire} {port}"),
            SingleFault::Setting { part, name, value } => format!("setting {part} {name} {value}"),
            SingleFault::Reversed { part } => format!("reversed {part}"),
            SingleFault::Contact { part } => format!("contact {part}"),
            SingleFault::Dead { part } => format!("dead {part}"),
        };
        let all = Candidates::of(plan);
        all.map(|candidate| say(candidate.told(plan))).collect()
    }

    #[test]
    fn faults_come_likeliest_first_and_then_in_the_plans_order() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 1 }], "door": "switch", "dusk": "relay" },
                 "wires": ["gen.out tap.in", "tap.tap door.feed", "door.out dusk.coil"] }"#,
        );
        let expected = [
            "missing w1",
            "missing w2",
            "missing w3",
            "exchanged w1 w2",
            "exchanged w1 w3",
            "exchanged w2 w3",
            "port w2 tap.rest",
            "port w3 dusk.feed",
            "reversed door",
            "contact door",
            "contact dusk",
            "setting tap amount 0",
            "setting tap amount 2",
            "setting tap amount 10",
            "dead gen",
            "dead tap",
            "dead door",
            "dead dusk",
        ];
        assert_eq!(told(&plan), expected);
    }

    #[test]
    fn how_many_are_left_is_known_and_each_changes_the_plan() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let mut all = Candidates::of(&plan);
            while let Some(candidate) = {
                let left = all.len();
                let next = all.next();
                assert_eq!(left, all.len() + usize::from(next.is_some()), "{name}");
                next
            } {
                let fault = candidate.told(&plan);
                let built = fault.built(&plan);
                assert!(built != plan, "{name}: {fault:?}");
                assert!(read_plan(&built.print()).is_ok(), "{name}: {fault:?}");
            }
            let mut said = told(&plan);
            let count = said.len();
            said.sort();
            said.dedup();
            assert_eq!(said.len(), count, "{name}: none comes twice");
        }
    }

    #[test]
    fn a_plan_without_wires_has_faults_of_its_parts_alone() {
        let plan = plan(r#"{ "parts": { "lamp": "lamp" }, "wires": [] }"#);
        assert_eq!(told(&plan), ["dead lamp"]);
        assert!(Candidates::of(&Plan::empty()).next().is_none());
        assert_eq!(Candidates::of(&Plan::empty()).len(), 0);
    }
}
