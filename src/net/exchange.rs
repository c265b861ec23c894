//! A net of which two wires have changed over their input ends, made from the compiled one: whoever tries every pair of
//! wires compiles the plan once.

use super::compile::{Net, Slot, close, find_self_feeding, order};

impl Net {
    /// The net in which the wires at these two places have changed over their input ends, as [`Net::compile`] makes it of
    /// the plan with these two wires so.
    pub fn exchanged(&self, a: usize, b: usize) -> Net {
        let mut net = self.clone();
        // A wire of which an end is no port is dead, and on no loop for all that it is said to be closed.
        let on_loops = || self.loops.iter().flatten().copied();
        let is_dead = |at: usize| self.wires[at].closed && !on_loops().any(|wire| wire == at);
        if a == b || is_dead(a) || is_dead(b) {
            return net;
        }
        let slot = |net: &Net, wire: usize| net.slot(wire);
        let (at_a, at_b) = (slot(&net, a), slot(&net, b));
        *net.slot_mut(at_a) = Some(b);
        *net.slot_mut(at_b) = Some(a);
        let (first, second) = (self.wires[a], self.wires[b]);
        for (wire, head) in [(a, second), (b, first)] {
            let ends = &mut net.wires[wire];
            (ends.to, ends.signal, ends.to_draws) = (head.to, head.signal, head.to_draws);
        }
        for wire in on_loops() {
            net.wires[wire].closed = false;
        }
        for node in &mut net.nodes {
            node.feeds_itself = false;
        }
        net.loops = close(&mut net.wires, net.part_of.len());
        find_self_feeding(&mut net.nodes, &net.wires, &net.part_of);
        (net.order, net.place) = order(&net.nodes, &net.wires, &net.out_half, net.part_of.len());
        net
    }

    /// The input at which a wire ends: the part, whether it is a signal, and the place among those.
    fn slot(&self, wire: usize) -> (usize, bool, usize) {
        let ends = self.wires[wire];
        let node = &self.nodes[ends.to];
        let slots = if ends.signal {
            &node.signals
        } else {
            &node.ins
        };
        let at = slots.iter().position(|slot| *slot == Some(wire));
        (ends.to, ends.signal, at.unwrap_or(0))
    }

    fn slot_mut(&mut self, (part, signal, at): (usize, bool, usize)) -> &mut Slot {
        let node = &mut self.nodes[part];
        let slots = if signal {
            &mut node.signals
        } else {
            &mut node.ins
        };
        &mut slots[at]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::{Plan, examples, read_plan};

    fn hold(plan: &Plan) -> usize {
        let (net, count) = (Net::compile(plan), plan.wires.len());
        let mut loops = 0;
        for a in 0..count {
            for b in a + 1..count {
                let mut other = plan.clone();
                let (to_a, to_b) = (plan.wires[a].to.clone(), plan.wires[b].to.clone());
                (other.wires[a].to, other.wires[b].to) = (to_b, to_a);
                let compiled = Net::compile(&other);
                loops += usize::from(!compiled.loops.is_empty());
                let exchanged = format!("{:?}", net.exchanged(a, b));
                assert_eq!(exchanged, format!("{compiled:?}"), "{a} {b}");
            }
        }
        loops
    }

    #[test]
    fn two_wires_exchanged_make_the_net_that_compiling_makes() {
        for (_, text) in examples() {
            hold(&read_plan(text).expect("an example reads"));
        }
        // A closed loop, a battery that feeds itself, a relay that holds itself, signals.
        let ring = plan(
            r#"{ "parts": { "a": "generator", "bar": "busbar-3", "tap": "tap", "relay": "relay", "cell": "battery",
                    "lamp": "lamp", "fan": "fan" },
                "wires": ["a.out bar.in1", "bar.out tap.in", "tap.rest bar.in2", "tap.tap relay.coil",
                    "relay.out cell.in", "cell.out lamp.in", "lamp.loop fan.in", "fan.loop relay.feed"] }"#,
        );
        assert!(hold(&ring) > 5);
    }
}
