//! The most that could ever be offered to each wire, whatever the hour: no plan ever exceeds it, many never reach it.
//!
//! Sources give their peaks and batteries are on; a load lets everything by, since whether those before it run or not
//! decides what is left; a contact conducts if it ever can, which for one with signals hangs on what can come to them. It
//! is found in rounds, from no signal ever live upwards. Time linear in the parts and wires a round; in a plan with longer
//! chains of relays than [`ROUNDS`], what is left is taken as possible.

use crate::book::Profile;
use crate::net::Net;
use crate::net::compile::Slot;
use crate::plan::{Function, Plan, Spec};

/// So many relays one behind the other are followed.
const ROUNDS: usize = 16;

/// The most that could ever be offered, in steps.
pub struct Most {
    offer: Vec<u64>,
    /// Whether each part is a contact whose function can be true.
    truth: Vec<bool>,
}

impl Most {
    /// Of a compiled plan.
    pub fn of(plan: &Plan, net: &Net) -> Most {
        let parts = net.nodes.len();
        let mut most = Most {
            offer: vec![0; net.wires.len()],
            truth: vec![false; parts],
        };
        for _ in 0..ROUNDS {
            most.offers(plan, net);
            let truth: Vec<bool> = (0..parts)
                .map(|part| most.truth_of(plan, net, part))
                .collect();
            if std::mem::replace(&mut most.truth, truth) == most.truth {
                return most;
            }
        }
        most.truth = vec![true; parts];
        most.offers(plan, net);
        most
    }

    /// No more than this is ever offered to the wire.
    pub fn offer(&self, wire: usize) -> u64 {
        self.offer[wire]
    }

    /// Whether the function of a contact can ever be true.
    pub fn can_be_true(&self, part: usize) -> bool {
        self.truth[part]
    }

    fn offers(&mut self, plan: &Plan, net: &Net) {
        for half in &net.order {
            let part = net.part_of[*half];
            let node = &net.nodes[part];
            let Some(spec) = &node.spec else { continue };
            let at = |slot: &Slot| slot.map_or(0, |wire| self.offer[wire]);
            let offered = node.ins.first().map_or(0, at);
            let outs: Vec<u64> = match spec {
                Spec::Source {
                    peak,
                    count,
                    profile,
                    ..
                } => vec![greatest(plan, *profile, *peak).saturating_mul(*count)],
                Spec::Battery { max_out, .. } => vec![*max_out],
                Spec::Load { .. } | Spec::Meter => vec![offered],
                Spec::Tap(amount) => {
                    let is_wired = node.outs.first().is_some_and(Option::is_some);
                    let aside = if is_wired { offered.min(*amount) } else { 0 };
                    vec![aside, offered - aside]
                }
                Spec::Divider(_) => {
                    let wired = node.outs.iter().flatten().count().max(1) as u64;
                    vec![offered.div_ceil(wired); node.outs.len()]
                }
                Spec::Busbar(_) => vec![node.ins.iter().map(at).fold(0, u64::saturating_add)],
                Spec::Changeover(_) => vec![node.ins.iter().map(at).max().unwrap_or(0)],
                Spec::Contact { breaks, .. } => {
                    // A function is false at one time or another, or its problem is another.
                    vec![if *breaks || self.truth[part] {
                        offered
                    } else {
                        0
                    }]
                }
            };
            for (slot, value) in node.outs.iter().zip(outs) {
                if let Some(wire) = *slot {
                    self.offer[wire] = if net.wires[wire].closed { 0 } else { value };
                }
            }
        }
    }

    fn truth_of(&self, plan: &Plan, net: &Net, part: usize) -> bool {
        let node = &net.nodes[part];
        let Some(Spec::Contact { coil, function, .. }) = &node.spec else {
            return false;
        };
        let can_be_live = |port: usize| {
            let wire = node.signals.get(port).copied().flatten();
            wire.is_some_and(|wire| self.offer[wire] >= *coil)
        };
        match function {
            Function::Manual { .. } | Function::Button { .. } | Function::Twilight(_) => true,
            Function::Charge { .. } => true,
            Function::Clock(from, to) => from != to,
            Function::Home => !plan.world.home.is_empty(),
            Function::Detector(times) => times.iter().any(|(from, to)| from != to),
            Function::And => can_be_live(0) && can_be_live(1),
            Function::Or | Function::Xor => can_be_live(0) || can_be_live(1),
            Function::Relay
            | Function::OnDelay(_)
            | Function::OffDelay(_)
            | Function::Pulse(_)
            | Function::Latch { .. }
            | Function::Impulse
            | Function::Counter(_) => can_be_live(0),
        }
    }
}

/// The most that one source ever gives.
fn greatest(plan: &Plan, profile: Profile, peak: u64) -> u64 {
    let factors: &[f64] = match profile {
        Profile::Steady => return peak,
        Profile::Sun => &plan.world.weather,
        Profile::Wind => &plan.world.wind,
    };
    let factor = factors.iter().copied().fold(0.0, f64::max);
    // Rounded up, by a step more than any rounding on the way could take.
    ((peak as f64 * factor) as u64).saturating_add(1)
}
