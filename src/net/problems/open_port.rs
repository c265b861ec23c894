//! Ports without a wire where one is needed. Not needed: a load's `loop`, the outputs of taps and dividers, and all but
//! one input of a busbar.

use super::words::{list, problem};
use crate::net::{Net, Node, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan, Spec};
use serde::{Deserialize, Serialize};

/// The ports of one part that need a wire and have none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenPort {
    /// The part.
    pub part: PartId,
    /// The names of its open ports, and what comes of each.
    pub ports: Vec<(String, Consequence)>,
}

/// What comes of it that a port is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Consequence {
    /// All that a source could give is lost.
    AllIsLost,
    /// Nothing charges a battery.
    NeverCharged,
    /// Nothing draws on a battery.
    NeverDrawnOn,
    /// A load never runs.
    NeverRuns,
    /// A tap or divider has nothing to give out.
    NothingToGive,
    /// A busbar has nothing to add up.
    NothingToAdd,
    /// What a busbar adds up goes nowhere.
    GoesNowhere,
    /// A changeover is on its backup all the time.
    AlwaysBackup,
    /// A changeover has nothing to go over to.
    NoBackup,
    /// A changeover feeds nothing.
    FeedsNothing,
    /// A meter has nothing to read.
    NothingToRead,
    /// A meter never sees anything taken.
    SeesNothingTaken,
    /// A contact has nothing to switch.
    NothingToSwitch,
    /// A contact switches nothing.
    SwitchesNothing,
    /// A contact never goes back.
    NeverReset,
    /// A contact follows its other signal alone.
    OtherSignal,
    /// A contact's signal is never live.
    NeverLive,
}

impl Consequence {
    /// How much that matters, what comes of it, and what to try.
    const fn facts(self) -> (Weight, &'static str, &'static str) {
        use Weight::{Hint, Warning};
        const FEED: &str = "Wire what feeds it there.";
        const USE: &str = "Wire what is to use it there.";
        const SIGNAL: &str =
            "Wire a signal there, such as a tap of the amount that its coil takes.";
        const RESET: &str = "Wire a signal there, if it is ever to go back.";
        match self {
            Consequence::AllIsLost => (Hint, "all that it could give is lost", USE),
            Consequence::NeverCharged => (Warning, "nothing charges it", FEED),
            Consequence::NeverDrawnOn => (Hint, "nothing draws on it", USE),
            Consequence::NeverRuns => (Warning, "it never runs", FEED),
            Consequence::NothingToGive => (Warning, "it has nothing to give out", FEED),
            Consequence::NothingToAdd => (Warning, "it has nothing to add up", FEED),
            Consequence::GoesNowhere => (Hint, "what it adds up goes nowhere", USE),
            Consequence::AlwaysBackup => (Warning, "it is on its backup all the time", FEED),
            Consequence::NoBackup => (Hint, "it has nothing to go over to", FEED),
            Consequence::FeedsNothing => (Hint, "it feeds nothing", USE),
            Consequence::NothingToRead => (Warning, "it has nothing to read", FEED),
            Consequence::SeesNothingTaken => (Hint, "it never sees anything taken", USE),
            Consequence::NothingToSwitch => (Warning, "it has nothing to switch", FEED),
            Consequence::SwitchesNothing => (Hint, "it switches nothing", USE),
            Consequence::NeverReset => (Hint, "it never goes back", RESET),
            Consequence::OtherSignal => (Hint, "it follows its other signal alone", SIGNAL),
            Consequence::NeverLive => (Warning, "its signal is never live", SIGNAL),
        }
    }
}

impl OpenPort {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let facts = || self.ports.iter().map(|(_, comes)| comes.facts());
        let ports: Vec<&str> = self.ports.iter().map(|(port, _)| port.as_str()).collect();
        let comes: Vec<&str> = facts().map(|(_, comes, _)| comes).collect();
        let mut tries: Vec<&str> = facts().map(|(_, _, tries)| tries).collect();
        tries.dedup();
        format!(
            "{} has no wire at {}: {}. {}",
            plan.called(&self.part),
            list(&ports),
            list(&comes),
            tries.join(" ")
        )
    }
}

/// A port without a wire, and what comes of it.
type Open = (&'static str, Consequence);

/// One problem a part, whatever number of its ports is open.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let of = |(part, node)| Some(of(plan, part, &open_ports(node)?));
    net.nodes.iter().enumerate().filter_map(of).collect()
}

fn of(plan: &Plan, part: usize, open: &[Open]) -> Problem {
    let weight = open.iter().map(|(_, comes)| comes.facts().0).min();
    let ports = open.iter().map(|(port, comes)| ((*port).into(), *comes));
    let kind = ProblemKind::OpenPort(OpenPort {
        part: plan.parts[part].id.clone(),
        ports: ports.collect(),
    });
    problem(
        plan,
        kind,
        weight.unwrap_or(Weight::Hint),
        vec![part],
        vec![],
    )
}

/// The open ports that need a wire; `None` where there are none.
fn open_ports(node: &Node) -> Option<Vec<Open>> {
    let mut open: Vec<Open> = Vec::new();
    let is_open = |slots: &[Option<usize>], at: usize| slots.get(at).is_some_and(Option::is_none);
    let mut ask = |missing: bool, port: &'static str, comes: Consequence| {
        if missing {
            open.push((port, comes));
        }
    };
    let (no_in, no_out) = (is_open(&node.ins, 0), is_open(&node.outs, 0));
    match node.spec.as_ref()? {
        Spec::Source { .. } => ask(no_out, "out", Consequence::AllIsLost),
        Spec::Battery { .. } => {
            ask(no_in, "in", Consequence::NeverCharged);
            ask(no_out, "out", Consequence::NeverDrawnOn);
        }
        Spec::Load { .. } => ask(no_in, "in", Consequence::NeverRuns),
        Spec::Tap(_) | Spec::Divider(_) => ask(no_in, "in", Consequence::NothingToGive),
        Spec::Busbar(_) => {
            let none = node.ins.iter().all(Option::is_none);
            ask(none, "in1", Consequence::NothingToAdd);
            ask(no_out, "out", Consequence::GoesNowhere);
        }
        Spec::Changeover(_) => {
            ask(no_in, "main", Consequence::AlwaysBackup);
            ask(is_open(&node.ins, 1), "backup", Consequence::NoBackup);
            ask(no_out, "out", Consequence::FeedsNothing);
        }
        Spec::Meter => {
            ask(no_in, "in", Consequence::NothingToRead);
            ask(no_out, "out", Consequence::SeesNothingTaken);
        }
        Spec::Contact { function, .. } => {
            ask(no_in, "feed", Consequence::NothingToSwitch);
            ask(no_out, "out", Consequence::SwitchesNothing);
            open.extend(open_signals(node, function));
        }
    }
    (!open.is_empty()).then_some(open)
}

/// A signal that is never live leaves most functions as they are for good; some can do with one of two.
fn open_signals(node: &Node, function: &Function) -> Vec<Open> {
    let names: &[&'static str] = match function {
        Function::Relay => &["coil"],
        Function::And | Function::Or | Function::Xor => &["a", "b"],
        Function::Latch { .. } => &["set", "reset"],
        Function::Counter(_) => &["count", "reset"],
        Function::OnDelay(_) | Function::OffDelay(_) | Function::Pulse(_) | Function::Impulse => {
            &["trigger"]
        }
        _ => &[],
    };
    let either = matches!(function, Function::Or | Function::Xor);
    let spare = either && node.signals.iter().any(Option::is_some);
    let comes = |port: &str| match port {
        "reset" => Consequence::NeverReset,
        _ if spare => Consequence::OtherSignal,
        _ => Consequence::NeverLive,
    };
    let signals = names.iter().zip(&node.signals);
    let open = signals.filter(|(_, slot)| slot.is_none());
    open.map(|(port, _)| (*port, comes(port))).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    /// What is said of a plan of this one part without a wire, and nothing else.
    fn alone(kind: &str) -> Vec<String> {
        let text = format!(r#"{{ "parts": {{ "it": "{kind}" }}, "wires": [] }}"#);
        said(&plan(&text), "open-port")
    }

    #[test]
    fn each_part_says_which_port_it_needs() {
        assert_eq!(
            alone("lamp"),
            ["warning [it] [] it has no wire at in: it never runs. Wire what feeds it there."]
        );
        assert_eq!(
            alone("battery"),
            [
                "warning [it] [] it has no wire at in and out: nothing charges it and nothing draws on it. \
              Wire what feeds it there. Wire what is to use it there."
            ]
        );
        assert_eq!(
            alone("generator"),
            [
                "hint [it] [] it has no wire at out: all that it could give is lost. Wire what is to use it there."
            ]
        );
        assert_eq!(
            alone("relay"),
            [
                "warning [it] [] it has no wire at feed, out and coil: it has nothing to switch, it switches nothing and \
              its signal is never live. Wire what feeds it there. Wire what is to use it there. \
              Wire a signal there, such as a tap of the amount that its coil takes."
            ]
        );
        for (kind, ports) in [
            ("tap", "in:"),
            ("divider-3", "in:"),
            ("busbar-2", "in1 and out:"),
            ("changeover", "main, backup and out:"),
            ("meter", "in and out:"),
            ("switch", "feed and out:"),
            ("latch", "feed, out, set and reset:"),
            ("xor", "feed, out, a and b:"),
        ] {
            let said = alone(kind);
            let start = format!("warning [it] [] it has no wire at {ports}");
            assert!(said.len() == 1 && said[0].starts_with(&start), "{said:?}");
        }
    }

    #[test]
    fn what_may_stay_open_is_not_asked_for() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "bar": "busbar-4", "split": "divider-3", "tap": "tap", "lamp": "lamp" },
                 "wires": ["gen.out bar.in3", "bar.out split.in", "split.out2 tap.in", "tap.rest lamp.in"] }"#,
        );
        assert!(said(&plan, "open-port").is_empty());
    }

    #[test]
    fn one_signal_of_or_is_enough_and_a_latch_needs_no_reset() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "split": "divider-4", "or": "or", "latch": "latch", "a": "lamp", "b": "lamp" },
                 "wires": ["gen.out split.in", "split.out1 or.feed", "split.out2 or.a", "split.out3 latch.feed",
                           "split.out4 latch.set", "or.out a.in", "latch.out b.in"] }"#,
        );
        assert_eq!(
            said(&plan, "open-port"),
            [
                "hint [or] [] or has no wire at b: it follows its other signal alone. Wire a signal there, such as a \
                 tap of the amount that its coil takes.",
                "hint [latch] [] latch has no wire at reset: it never goes back. Wire a signal there, if it is ever to \
                 go back."
            ]
        );
    }
}
