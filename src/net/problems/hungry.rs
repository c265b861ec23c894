//! Who down a wire could use more: for each wire, the nearest load that is short or battery that takes all it is offered
//! and could take more. One walk against the order of offers finds all of them.

use crate::net::{Controls, Live, Net};
use crate::plan::Spec;

/// For each wire, the part that could use more of what comes through it, if there is one.
pub fn hungry(net: &Net, live: &Live, controls: &Controls) -> Vec<Option<usize>> {
    let mut wires = vec![None; net.wires.len()];
    for half in net.order.iter().rev() {
        let part = net.part_of[*half];
        let node = &net.nodes[part];
        if *half != part {
            continue;
        }
        let Some(spec) = &node.spec else { continue };
        let offered = |at: usize| live.offered(node.ins.get(at).copied().flatten());
        let outs = node.outs.iter().flatten();
        let below = outs.clone().find_map(|wire| wires[*wire]);
        let wants = match *spec {
            Spec::Load { draw, .. } if offered(0) < draw => Some(part),
            Spec::Battery { max_in, .. } => {
                (!controls.full[part] && offered(0) < max_in).then_some(part)
            }
            Spec::Contact { .. } if !controls.conducts[part] => None,
            _ => below,
        };
        for (at, slot) in node.ins.iter().enumerate() {
            let Some(wire) = slot.filter(|w| !net.wires[*w].closed) else {
                continue;
            };
            // More on the backup is of no use while the changeover is on main.
            let idle = matches!(*spec, Spec::Changeover(least) if at == 1 && offered(0) >= least);
            wires[wire] = wants.filter(|_| !idle);
        }
    }
    wires
}
