//! Loads that can't run, by how much they are short, and what holds the rest back. Powers in steps.
//!
//! A load behind an open contact is off because somebody wants it off; that is no problem.

use super::why::{self, Why};
use super::words::{first, name, power, problem};
use crate::net::{Controls, Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{Plan, Spec};

/// One problem a load.
pub(super) fn find(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let whys = why::why(net, live, controls);
    let mut problems = Vec::new();
    for (part, node) in net.nodes.iter().enumerate() {
        let Some(Spec::Load { draw, .. }) = node.spec else {
            continue;
        };
        let Some(wire) = first(&node.ins) else {
            continue;
        };
        let (offered, why) = (live.offer[wire], whys[wire]);
        if offered >= draw || (offered == 0 && why.is_meant()) {
            continue;
        }
        let weight = match why {
            Why::Off(_) => Weight::Warning,
            _ if offered > 0 => Weight::Warning,
            _ => Weight::Hint,
        };
        let reason = reason(plan, net, live, why);
        let is = if offered == 0 {
            format!(
                "{} draws {} and is offered nothing",
                name(plan, part),
                power(plan, draw)
            )
        } else {
            format!(
                "{} draws {} and is offered {}, {} short",
                name(plan, part),
                power(plan, draw),
                power(plan, offered),
                power(plan, draw - offered)
            )
        };
        let held = why.part().filter(|_| !why.is_meant());
        let parts = held.into_iter().chain([part]).collect();
        let what = (ProblemKind::Short, weight);
        problems.push(problem(
            plan,
            what,
            parts,
            vec![wire],
            format!("{is}{reason}"),
        ));
    }
    problems
}

/// The rest of the sentence: what holds back, and what to try.
fn reason(plan: &Plan, net: &Net, live: &Live, why: Why) -> String {
    let Some(part) = why.part().filter(|_| !why.is_meant()) else {
        return ". Feed it more.".into();
    };
    let (n, node) = (name(plan, part), &net.nodes[part]);
    let out = live.offered(first(&node.outs));
    let gives = power(plan, out);
    let own = match node.spec {
        Some(Spec::Tap(steps) | Spec::Load { draw: steps, .. }) => power(plan, steps),
        _ => String::new(),
    };
    match why {
        Why::Nothing | Why::Open(_) | Why::Backup(_) => String::new(),
        Why::Off(_) => format!(
            ": {n} is empty and its output is off until it is charged again. Give {n} more to charge with, raise its \
             count, or take loads off it."
        ),
        Why::Source(_) if out == 0 => {
            format!(": {n} gives nothing now. Put a battery or another source beside it.")
        }
        Why::Source(_) => format!(
            ": {n} gives no more than {gives} now. Raise its count or put another source beside it."
        ),
        Why::Most(_) => format!(
            ": {n} gives {gives} at the most. Raise its count or put a second battery beside it."
        ),
        Why::Ahead(_) => {
            format!(": {n} ahead of it takes {own}. Feed them more, or move it ahead of {n}.")
        }
        Why::Held(_) => format!(
            ": {n} ahead of it can't run and passes nothing on. Feed {n} the {own} that it draws, or move it behind."
        ),
        Why::Aside(_) => format!(": {n} sets only {own} aside for it. Raise its amount."),
        Why::Rest(_) => {
            format!(": {n} sets {gives} aside ahead of it. Lower its amount, or feed {n} more.")
        }
        Why::Share(_) => format!(
            ": {n} gives each way an equal share. Put a tap in its place, or feed {n} more."
        ),
        Why::Sum(_) => {
            format!(": {n} has only that to give of all that comes in. Wire another source to it.")
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said, said_at};

    #[test]
    fn a_load_that_runs_or_is_switched_off_is_none() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "split": "divider-2", "door": ["switch", { "closed": false }], "a": "lamp",
                            "b": "lamp", "c": "lamp" },
                 "wires": ["gen.out split.in", "split.out1 door.feed", "door.out a.in", "a.loop c.in", "split.out2 b.in"] }"#,
        );
        assert!(said(&plan, "short").is_empty());
    }

    #[test]
    fn what_a_load_ahead_takes_is_said_with_the_amounts() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "bench": "workbench", "heater": "heater" },
                 "wires": ["gen.out bench.in", "bench.loop heater.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [bench heater] [w2] heater draws 3 u and is offered 2 u, 1 u short: bench ahead of it takes 8 u. \
                 Feed them more, or move it ahead of bench."
            ]
        );
    }

    #[test]
    fn a_source_that_gives_too_little_is_named() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "bank": ["heater", {}, 4] }, "wires": ["gen.out bank.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [gen bank] [w1] bank draws 12 u and is offered 10 u, 2 u short: gen gives no more than 10 u now. \
                 Raise its count or put another source beside it."
            ]
        );
    }

    #[test]
    fn an_empty_battery_is_a_warning_and_a_dark_panel_a_hint() {
        let plan = plan(
            r#"{ "parts": { "cell": ["battery", { "start": 50 }], "panel": "sun-panel", "a": "lamp", "b": "lamp" },
                 "wires": ["cell.out a.in", "panel.out b.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [cell a] [w1] a draws 2 u and is offered nothing: cell is empty and its output is off until it \
                 is charged again. Give cell more to charge with, raise its count, or take loads off it.",
                "hint [panel b] [w2] b draws 2 u and is offered nothing: panel gives nothing now. Put a battery or \
                 another source beside it."
            ]
        );
        assert_eq!(
            said_at(&plan, "short", 43_200_000).len(),
            1,
            "at noon the panel feeds its lamp"
        );
    }

    #[test]
    fn taps_and_dividers_are_named() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "tap": ["tap", { "amount": 1 }], "lamp": "lamp", "split": "divider-3",
                            "pump": "pump", "fan": "fan" },
                 "wires": ["gen.out tap.in", "tap.tap lamp.in", "tap.rest split.in", "split.out1 pump.in",
                           "split.out3 fan.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [tap lamp] [w2] lamp draws 2 u and is offered 1 u, 1 u short: tap sets only 1 u aside for it. \
                 Raise its amount."
            ]
        );
        let plan = crate::net::testing::plan(
            r#"{ "parts": { "gen": "hand-generator", "split": "divider-3", "pump": "pump", "hold": "desalinator", "fan": "fan",
                            "x": "fan" },
                 "wires": ["gen.out split.in", "split.out1 pump.in", "split.out2 hold.in", "split.out3 fan.in",
                           "hold.loop x.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [split pump] [w2] pump draws 5 u and is offered 4 u, 1 u short: split gives each way an equal \
                 share. Put a tap in its place, or feed split more.",
                "warning [split hold] [w3] hold draws 6 u and is offered 3 u, 3 u short: split gives each way an equal \
                 share. Put a tap in its place, or feed split more.",
                "hint [hold x] [w5] x draws 1 u and is offered nothing: hold ahead of it can't run and passes nothing on. \
                 Feed hold the 6 u that it draws, or move it behind."
            ]
        );
    }

    #[test]
    fn what_a_tap_sets_aside_and_what_a_busbar_lacks_are_said() {
        let plan = plan(
            r#"{ "parts": { "a": "hand-generator", "b": "hand-generator", "bar": "busbar-2", "tap": ["tap", { "amount": 5 }],
                            "coil": "pump", "bank": ["heater", {}, 6], "c": "hand-generator", "d": "hand-generator",
                            "bar2": "busbar-2", "big": ["heater", {}, 7] },
                 "wires": ["a.out bar.in1", "b.out bar.in2", "bar.out tap.in", "tap.tap coil.in", "tap.rest bank.in",
                           "c.out bar2.in1", "d.out bar2.in2", "bar2.out big.in"] }"#,
        );
        assert_eq!(
            said(&plan, "short"),
            [
                "warning [tap bank] [w5] bank draws 18 u and is offered 15 u, 3 u short: tap sets 5 u aside ahead of it. \
                 Lower its amount, or feed tap more.",
                "warning [bar2 big] [w8] big draws 21 u and is offered 20 u, 1 u short: bar2 has only that to give of all \
                 that comes in. Wire another source to it."
            ]
        );
    }
}
