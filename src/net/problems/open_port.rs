//! Ports without a wire where one is needed. Not needed: a load's `loop`, the outputs of taps and dividers, and all but
//! one input of a busbar.

use super::words::{list, name, problem};
use crate::net::{Net, Node, Problem, ProblemKind, Weight};
use crate::plan::{Function, Plan, Spec};

/// A port without a wire: how much that matters, its name, what comes of it and what to try.
type Open = (Weight, &'static str, &'static str, &'static str);

/// One problem a part, whatever number of its ports is open.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let of = |(part, node)| Some(says(plan, part, open_ports(node)?));
    net.nodes.iter().enumerate().filter_map(of).collect()
}

fn says(plan: &Plan, part: usize, open: Vec<Open>) -> Problem {
    let weight = open.iter().map(|o| o.0).min().unwrap_or(Weight::Hint);
    let ports: Vec<&str> = open.iter().map(|o| o.1).collect();
    let comes: Vec<&str> = open.iter().map(|o| o.2).collect();
    let mut tries: Vec<&str> = open.iter().map(|o| o.3).collect();
    tries.dedup();
    let says = format!(
        "{} has no wire at {}: {}. {}",
        name(plan, part),
        list(&ports),
        list(&comes),
        tries.join(" ")
    );
    problem(
        plan,
        (ProblemKind::OpenPort, weight),
        vec![part],
        vec![],
        says,
    )
}

/// The open ports that need a wire; `None` where there are none.
fn open_ports(node: &Node) -> Option<Vec<Open>> {
    use Weight::{Hint, Warning};
    const FEED: &str = "Wire what feeds it there.";
    const USE: &str = "Wire what is to use it there.";
    let mut open: Vec<Open> = Vec::new();
    let is_open = |slots: &[Option<usize>], at: usize| slots.get(at).is_some_and(Option::is_none);
    let mut ask = |missing: bool, what: Open| {
        if missing {
            open.push(what);
        }
    };
    let (no_in, no_out) = (is_open(&node.ins, 0), is_open(&node.outs, 0));
    match node.spec.as_ref()? {
        Spec::Source { .. } => ask(no_out, (Hint, "out", "all that it could give is lost", USE)),
        Spec::Battery { .. } => {
            ask(no_in, (Warning, "in", "nothing charges it", FEED));
            ask(no_out, (Hint, "out", "nothing draws on it", USE));
        }
        Spec::Load { .. } => ask(no_in, (Warning, "in", "it never runs", FEED)),
        Spec::Tap(_) | Spec::Divider(_) => {
            ask(no_in, (Warning, "in", "it has nothing to give out", FEED));
        }
        Spec::Busbar(_) => {
            let none = node.ins.iter().all(Option::is_none);
            ask(none, (Warning, "in1", "it has nothing to add up", FEED));
            ask(no_out, (Hint, "out", "what it adds up goes nowhere", USE));
        }
        Spec::Changeover(_) => {
            ask(
                no_in,
                (Warning, "main", "it is on its backup all the time", FEED),
            );
            let no_backup = is_open(&node.ins, 1);
            ask(
                no_backup,
                (Hint, "backup", "it has nothing to go over to", FEED),
            );
            ask(no_out, (Hint, "out", "it feeds nothing", USE));
        }
        Spec::Meter => {
            ask(no_in, (Warning, "in", "it has nothing to read", FEED));
            ask(no_out, (Hint, "out", "it never sees anything taken", USE));
        }
        Spec::Contact { function, .. } => {
            ask(no_in, (Warning, "feed", "it has nothing to switch", FEED));
            ask(no_out, (Hint, "out", "it switches nothing", USE));
            open.extend(open_signals(node, function));
        }
    }
    (!open.is_empty()).then_some(open)
}

/// A signal that is never live leaves most functions as they are for good; some can do with one of two.
fn open_signals(node: &Node, function: &Function) -> Vec<Open> {
    use Weight::{Hint, Warning};
    const SIGNAL: &str = "Wire a signal there, such as a tap of the amount that its coil takes.";
    const RESET: &str = "Wire a signal there, if it is ever to go back.";
    const DEAD: &str = "its signal is never live";
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
    names
        .iter()
        .zip(&node.signals)
        .filter(|(_, slot)| slot.is_none())
        .map(|(port, _)| match *port {
            "reset" => (Hint, "reset", "it never goes back", RESET),
            port if spare => (Hint, port, "it follows its other signal alone", SIGNAL),
            port => (Warning, port, DEAD, SIGNAL),
        })
        .collect()
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
