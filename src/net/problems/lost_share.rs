//! Shares that a tap or divider sets aside and nobody takes, while another of its outputs could use them. In steps.

use super::hungry::hungry;
use super::words::{power, problem};
use crate::net::{Controls, Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Steps;
use serde::{Deserialize, Serialize};

/// A share that nobody takes while somebody else could use it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LostShare {
    /// The tap or divider.
    pub part: PartId,
    /// Whether that is a tap.
    pub is_tap: bool,
    /// The part for which the share is set aside.
    pub to: PartId,
    /// The part that could use it.
    pub user: PartId,
    /// How much is set aside in vain.
    pub lost: Steps,
}

impl LostShare {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let try_it = match self.is_tap {
            true => "Lower its amount, or take the wire off the tap.",
            false => "Take that wire off, or put a tap in its place.",
        };
        format!(
            "{} sets {} aside for {}, and nobody takes it while {} could use it. {try_it}",
            plan.called(&self.part),
            power(plan, self.lost),
            plan.called(&self.to),
            plan.called(&self.user)
        )
    }
}

/// A share that is not taken whole, by places in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnusedShare {
    /// The tap or divider.
    pub part: usize,
    /// The wire that is offered the share.
    pub wire: usize,
    /// The steps set aside that nobody takes.
    pub lost: u64,
    /// A part behind another output that could use them.
    pub user: usize,
    /// The steps that it goes short of, if it is a load; those of the lost that it could store, if it is a battery.
    pub short: u64,
}

/// The lost shares of an instant, in the plan's order: those of which nothing is taken.
pub fn lost_shares(net: &Net, live: &Live, controls: &Controls) -> Vec<UnusedShare> {
    let mut found = unused_shares(net, live, controls);
    found.retain(|share| live.take[share.wire] == 0);
    found
}

/// The lost shares of an instant, in the plan's order: those of which nothing is taken, and of a divider also what is
/// left of a share.
pub fn unused_shares(net: &Net, live: &Live, controls: &Controls) -> Vec<UnusedShare> {
    let hungry = hungry(net, live, controls);
    let mut found = Vec::new();
    for (part, node) in net.nodes.iter().enumerate() {
        let (shares, whole) = match node.spec {
            Some(Spec::Tap(_)) => (1, true),
            Some(Spec::Divider(_)) => (node.outs.len(), false),
            _ => continue,
        };
        let wired = || node.outs.iter().flatten().copied();
        for wire in node.outs.iter().take(shares).flatten().copied() {
            let lost = live.offer[wire].saturating_sub(live.take[wire]);
            if lost == 0 || (whole && live.take[wire] > 0) || hungry[wire].is_some() {
                continue;
            }
            if let Some(user) = wired().find_map(|other| hungry[other]) {
                found.push(UnusedShare {
                    part,
                    wire,
                    lost,
                    user,
                    short: short(net, live, user, lost),
                });
            }
        }
    }
    found
}

fn short(net: &Net, live: &Live, user: usize, lost: u64) -> u64 {
    let node = &net.nodes[user];
    let offered = live.offered(node.ins.first().copied().flatten());
    match node.spec {
        Some(Spec::Load { draw, .. }) => draw.saturating_sub(offered),
        Some(Spec::Battery { max_in, .. }) => max_in.saturating_sub(offered).min(lost),
        _ => 0,
    }
}

/// One problem an output.
pub(super) fn find(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let of = |share: UnusedShare| {
        let to = net.wires[share.wire].to;
        let id = |part: usize| plan.parts[part].id.clone();
        let kind = ProblemKind::LostShare(LostShare {
            part: id(share.part),
            is_tap: matches!(net.nodes[share.part].spec, Some(Spec::Tap(_))),
            to: id(to),
            user: id(share.user),
            lost: Steps(share.lost),
        });
        let parts = vec![share.part, to, share.user];
        problem(plan, kind, Weight::Hint, parts, vec![share.wire])
    };
    let shares = lost_shares(net, live, controls);
    shares.into_iter().map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_tap_for_an_open_switch_is_lost_to_the_battery() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 4 }], "door": ["switch", { "closed": false }],
                            "lamp": "lamp", "cell": "battery" },
                 "wires": ["gen.out tap.in", "tap.tap door.feed", "door.out lamp.in", "tap.rest cell.in"] }"#,
        );
        assert_eq!(
            said(&plan, "lost-share"),
            [
                "hint [tap door cell] [w2] tap sets 4 u aside for door, and nobody takes it while cell could use it. \
                 Lower its amount, or take the wire off the tap."
            ]
        );
    }

    #[test]
    fn a_divider_says_so_of_each_way() {
        let plan = plan(
            r#"{ "parts": { "gen": "hand-generator", "split": "divider-3", "a": "meter", "b": "meter", "pump": "pump" },
                 "wires": ["gen.out split.in", "split.out1 a.in", "split.out2 b.in", "split.out3 pump.in"] }"#,
        );
        let said = said(&plan, "lost-share");
        assert_eq!(said.len(), 2, "{said:?}");
        assert_eq!(
            said[0],
            "hint [split a pump] [w2] split sets 4 u aside for a, and nobody takes it while pump could use it. Take that \
             wire off, or put a tap in its place."
        );
        assert!(said[1].contains("sets 3 u aside for b"));
    }

    #[test]
    fn a_coil_that_takes_its_tap_or_a_full_battery_is_none() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "tap": "tap", "relay": "relay", "cell": "battery",
                            "gen2": "generator", "tap2": "tap", "meter": "meter", "full": ["battery", { "start": 1000 }] },
                 "wires": ["gen.out tap.in", "tap.tap relay.coil", "tap.rest cell.in",
                           "gen2.out tap2.in", "tap2.tap meter.in", "tap2.rest full.in"] }"#,
        );
        assert!(said(&plan, "lost-share").is_empty());
    }
}
