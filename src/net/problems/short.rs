//! Loads that can't run, by how much they are short, and what holds the rest back. Powers in steps.
//!
//! A load behind an open contact is off because somebody wants it off; that is no problem.

use super::why::{self, Why};
use super::words::{first, power, problem};
use crate::net::{Controls, Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Steps;
use serde::{Deserialize, Serialize};

/// A load that is offered less than it draws.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Short {
    /// The load.
    pub load: PartId,
    /// What it draws.
    pub draw: Steps,
    /// What it is offered.
    pub offered: Steps,
    /// The part that holds the rest back, and how, where there is one.
    pub held: Option<(PartId, Hold)>,
}

/// How a part holds back what a load lacks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hold {
    /// A battery whose output is off.
    Off,
    /// A source that gives so much now.
    Source(Steps),
    /// A battery that gives so much at the most.
    Most(Steps),
    /// A load ahead that takes so much.
    Ahead(Steps),
    /// A load ahead that draws so much, can't run and passes nothing on.
    Held(Steps),
    /// A tap that sets only so much aside.
    Aside(Steps),
    /// A tap that sets so much aside ahead.
    Rest(Steps),
    /// A divider that gives each way its share.
    Share,
    /// A busbar that has no more to add up.
    Sum,
}

impl Short {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let (name, draw) = (plan.called(&self.load), power(plan, self.draw));
        let is = match self.offered {
            Steps(0) => format!("{name} draws {draw} and is offered nothing"),
            offered => {
                let short = Steps(self.draw.0.saturating_sub(offered.0));
                format!(
                    "{name} draws {draw} and is offered {}, {} short",
                    power(plan, offered),
                    power(plan, short)
                )
            }
        };
        match &self.held {
            None => format!("{is}. Feed it more."),
            Some((part, hold)) => format!("{is}: {}", hold.says(plan, &plan.called(part))),
        }
    }
}

impl Hold {
    /// What the part called `n` does, and what to try.
    fn says(self, plan: &Plan, n: &str) -> String {
        let power = |steps| power(plan, steps);
        match self {
            Hold::Off => format!(
                "{n} is empty and its output is off until it is charged again. Give {n} more to charge with, raise its \
                 count, or take loads off it."
            ),
            Hold::Source(Steps(0)) => {
                format!("{n} gives nothing now. Put a battery or another source beside it.")
            }
            Hold::Source(gives) => format!(
                "{n} gives no more than {} now. Raise its count or put another source beside it.",
                power(gives)
            ),
            Hold::Most(gives) => format!(
                "{n} gives {} at the most. Raise its count or put a second battery beside it.",
                power(gives)
            ),
            Hold::Ahead(takes) => format!(
                "{n} ahead of it takes {}. Feed them more, or move it ahead of {n}.",
                power(takes)
            ),
            Hold::Held(draws) => format!(
                "{n} ahead of it can't run and passes nothing on. Feed {n} the {} that it draws, or move it behind.",
                power(draws)
            ),
            Hold::Aside(amount) => format!(
                "{n} sets only {} aside for it. Raise its amount.",
                power(amount)
            ),
            Hold::Rest(aside) => format!(
                "{n} sets {} aside ahead of it. Lower its amount, or feed {n} more.",
                power(aside)
            ),
            Hold::Share => format!(
                "{n} gives each way an equal share. Put a tap in its place, or feed {n} more."
            ),
            Hold::Sum => format!(
                "{n} has only that to give of all that comes in. Wire another source to it."
            ),
        }
    }
}

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
        let held = hold(net, live, why);
        let parts = held.map(|(part, _)| part).into_iter().chain([part]);
        let kind = ProblemKind::Short(Short {
            load: plan.parts[part].id.clone(),
            draw: Steps(draw),
            offered: Steps(offered),
            held: held.map(|(part, hold)| (plan.parts[part].id.clone(), hold)),
        });
        problems.push(problem(plan, kind, weight, parts.collect(), vec![wire]));
    }
    problems
}

/// The part that holds back, by its place in the plan, and how; `None` where nothing does or somebody wants it so.
fn hold(net: &Net, live: &Live, why: Why) -> Option<(usize, Hold)> {
    let part = why.part()?;
    let node = &net.nodes[part];
    let gives = Steps(live.offered(first(&node.outs)));
    let own = match node.spec {
        Some(Spec::Tap(steps) | Spec::Load { draw: steps, .. }) => Steps(steps),
        _ => Steps(0),
    };
    let hold = match why {
        Why::Nothing | Why::Open(_) | Why::Backup(_) => return None,
        Why::Off(_) => Hold::Off,
        Why::Source(_) => Hold::Source(gives),
        Why::Most(_) => Hold::Most(gives),
        Why::Ahead(_) => Hold::Ahead(own),
        Why::Held(_) => Hold::Held(own),
        Why::Aside(_) => Hold::Aside(own),
        Why::Rest(_) => Hold::Rest(gives),
        Why::Share(_) => Hold::Share,
        Why::Sum(_) => Hold::Sum,
    };
    Some((part, hold))
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
