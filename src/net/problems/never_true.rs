//! Contacts whose function can never be true: a home contact in a world without home hours, a time switch of no length, a
//! detector without times, and a contact whose signals can never all be live.
//!
//! Switches and buttons are not among them, since somebody may throw them; nor are charge contacts that watch no battery,
//! which are a kind of their own.

use super::most::Most;
use super::words::{contacts, problem, stays};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan};
use serde::{Deserialize, Serialize};

/// Why a contact is never true.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Never {
    /// The world has no home hours.
    NoHomeHours,
    /// A time switch's stretch ends where it begins.
    NoLength,
    /// A detector sees nothing all day.
    NoTimes,
    /// Too little ever comes to its signal.
    NoSignal,
}

/// A contact that is never true.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeverTrue {
    /// The contact.
    pub part: PartId,
    /// Why.
    pub why: Never,
    /// Whether it stays closed, or else open.
    pub stays_closed: bool,
}

impl NeverTrue {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let name = plan.called(&self.part);
        let stays = stays(self.stays_closed);
        match self.why {
            Never::NoHomeHours => format!(
                "{name} stays {stays}: the world has no hours at which somebody is home. Say them in the world."
            ),
            Never::NoLength => format!(
                "{name} stays {stays}: its time ends at the minute at which it begins. Choose another end."
            ),
            Never::NoTimes => {
                format!(
                    "{name} stays {stays}: it has no times at which it sees somebody. Give it some."
                )
            }
            Never::NoSignal => format!(
                "{name} stays {stays}: what can come to its signal is never enough. Wire something to it that gives more."
            ),
        }
    }
}

/// One problem a contact.
pub(super) fn find(plan: &Plan, net: &Net, most: &Most) -> Vec<Problem> {
    let of = |(part, breaks, function): (usize, bool, &Function)| {
        let why = match function {
            Function::Home if plan.world.home.is_empty() => Never::NoHomeHours,
            Function::Clock(from, to) if from == to => Never::NoLength,
            Function::Detector(times) if times.iter().all(|(from, to)| from == to) => {
                Never::NoTimes
            }
            // A signal without a wire is named as an open port.
            _ if net.nodes[part].signals.iter().flatten().next().is_some()
                && !most.can_be_true(part) =>
            {
                Never::NoSignal
            }
            _ => return None,
        };
        let kind = ProblemKind::NeverTrue(NeverTrue {
            part: plan.parts[part].id.clone(),
            why,
            stays_closed: breaks,
        });
        Some(problem(plan, kind, Weight::Warning, vec![part], vec![]))
    };
    contacts(net).filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn each_that_can_never_be_true_is_named_with_why() {
        let plan = plan(
            r#"{ "parts": { "home": "home", "hour": ["time-switch", { "from": "06:00", "to": "06:00" }],
                            "eye": ["detector", { "contact": "break" }] }, "wires": [] }"#,
        );
        assert_eq!(
            said(&plan, "never-true"),
            [
                "warning [home] [] home stays open: the world has no hours at which somebody is home. Say them in the world.",
                "warning [hour] [] hour stays open: its time ends at the minute at which it begins. Choose another end.",
                "warning [eye] [] eye stays closed: it has no times at which it sees somebody. Give it some."
            ]
        );
    }

    #[test]
    fn those_that_can_be_true_are_not() {
        let plan = plan(
            r#"{ "parts": { "home": "home", "hour": ["time-switch", { "from": "22:00", "to": "06:00" }],
                            "eye": ["detector", { "times": [["06:00", "06:10"]] }], "hand": "switch", "bell": "button" },
                 "wires": [], "world": { "home": [["18:00", "22:00"]] } }"#,
        );
        assert!(said(&plan, "never-true").is_empty());
    }

    #[test]
    fn a_signal_that_is_never_live_is_named_and_what_hangs_on_it_too() {
        let text = |amount: u64| {
            format!(
                r#"{{ "parts": {{ "sun": "generator", "tap": ["tap", {{ "amount": {amount} }}], "home": "home",
                                  "relay": "relay", "next": "relay" }},
                      "wires": ["sun.out tap.in", "tap.tap home.feed", "home.out relay.coil", "tap.rest relay.feed",
                                "relay.out next.coil"],
                      "world": {{ "home": [["18:00", "22:00"]] }} }}"#
            )
        };
        assert!(said(&plan(&text(1)), "never-true").is_empty());
        let none = text(1).replace(r#""home": [["18:00", "22:00"]]"#, r#""day_s": 3600"#);
        let said = said(&plan(&none), "never-true");
        assert_eq!(said.len(), 3, "{said:?}");
        assert!(said[1].contains("relay stays open: what can come to its signal is never enough"));
        assert!(said[2].contains("next stays open"));
    }
}
