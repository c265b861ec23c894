//! Where what comes through a wire is from, at one instant: up to the nearest contact, or else to what gives.

use crate::net::words::first;
use crate::plan::Spec;
use crate::run::Engine;

/// Where something that comes through a wire is from: the nearest contact, or else what gives.
pub struct Giver {
    /// That part.
    pub last: usize,
    /// Whether it is a contact.
    pub is_contact: bool,
    /// The wires on the way, from the one that was asked for.
    pub wires: Vec<usize>,
}

/// Where what comes through `wire` is from.
pub fn giver(engine: &Engine, mut wire: usize) -> Giver {
    let (net, live) = (engine.net(), engine.live());
    let mut wires = Vec::new();
    loop {
        wires.push(wire);
        let last = net.part_of[net.wires[wire].from];
        let node = &net.nodes[last];
        let is_contact = matches!(node.spec, Some(Spec::Contact { .. }));
        let up = match node.spec {
            Some(Spec::Contact { .. } | Spec::Source { .. } | Spec::Battery { .. }) | None => None,
            Some(Spec::Changeover(least)) if live.offered(first(&node.ins)) < least => {
                node.ins.get(1).copied().flatten()
            }
            Some(Spec::Busbar(_)) => {
                let mut ins = node.ins.iter().flatten().copied();
                ins.find(|w| live.offer[*w] > 0)
            }
            _ => first(&node.ins),
        };
        match up.filter(|_| wires.len() <= net.nodes.len()) {
            Some(up) => wire = up,
            None => {
                return Giver {
                    last,
                    is_contact,
                    wires,
                };
            }
        }
    }
}
