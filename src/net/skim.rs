//! What of an instant may be passed over by whoever asks only for what loads, contacts and batteries do: no powers of
//! wires, no sources' share.
//!
//! What is taken matters to a battery alone. So takes need not be worked out where no battery's output stands ahead. And
//! there a busbar or a meter only adds: what comes more or less at its inputs comes more or less at the end of all such
//! parts in a row, so that these are never looked at.

use super::compile::Net;
use crate::plan::Spec;

/// For a net, where takes and sums are passed over.
#[derive(Clone, Debug)]
pub(super) struct Skim {
    /// By half: whether no battery's output stands ahead, so that nothing hangs on what it takes.
    pub quiet: Vec<bool>,
    /// By half: whether it only adds and is never looked at.
    pub passed: Vec<bool>,
    /// By wire: the wire at which comes what it is offered, itself where nothing is passed over; [`NOWHERE`] where it comes
    /// at none.
    pub far: Vec<usize>,
}

/// No wire at all.
pub(super) const NOWHERE: usize = usize::MAX;

impl Skim {
    /// What may be passed over in a net.
    pub fn of(net: &Net) -> Skim {
        let halves = net.part_of.len();
        let mut skim = Skim {
            quiet: vec![false; halves],
            passed: vec![false; halves],
            far: (0..net.wires.len()).collect(),
        };
        for half in net.order.iter().copied() {
            let node = &net.nodes[net.part_of[half]];
            // A wire on a closed loop carries nothing.
            let mut feeds = node.ins.iter().flatten().map(|wire| net.wires[*wire]);
            let is_battery = matches!(node.spec, Some(Spec::Battery { .. }));
            let is_quiet = !is_battery && feeds.all(|ends| ends.closed || skim.quiet[ends.from]);
            skim.quiet[half] = is_quiet;
            skim.passed[half] =
                is_quiet && matches!(node.spec, Some(Spec::Busbar(_) | Spec::Meter));
        }
        for half in net
            .order
            .iter()
            .rev()
            .copied()
            .filter(|half| skim.passed[*half])
        {
            let node = &net.nodes[net.part_of[half]];
            let out = node.outs.first().copied().flatten();
            let open = out.filter(|wire| !net.wires[*wire].closed);
            let far = open.map_or(NOWHERE, |wire| skim.far[wire]);
            for wire in node.ins.iter().flatten() {
                skim.far[*wire] = far;
            }
        }
        skim
    }
}
