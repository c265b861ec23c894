//! Why no more comes through a wire: for each, the nearest part up the wire that holds the rest back. Powers in steps.
//!
//! One walk in the order of offers finds all of them, so that asking for every load stays linear.

use super::words::first;
use crate::net::compile::Slot;
use crate::net::{Controls, Live, Net};
use crate::plan::Spec;

/// What holds back what a wire could be offered. Parts by their places in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Why {
    /// Nothing leads here: a port without a wire, or a closed loop.
    #[default]
    Nothing,
    /// A contact is open.
    Open(usize),
    /// A changeover is on a backup that gives nothing, though its main has something.
    Backup(usize),
    /// A battery whose output is off.
    Off(usize),
    /// A source gives no more now.
    Source(usize),
    /// A battery gives no more.
    Most(usize),
    /// A load ahead that runs takes its part.
    Ahead(usize),
    /// A load ahead that can't run passes nothing on.
    Held(usize),
    /// A tap sets no more aside for this wire.
    Aside(usize),
    /// A tap sets something aside ahead of this wire.
    Rest(usize),
    /// A divider gives each way its share.
    Share(usize),
    /// A busbar has no more to add up.
    Sum(usize),
}

impl Why {
    /// The part that holds back.
    pub fn part(self) -> Option<usize> {
        match self {
            Why::Nothing => None,
            Why::Open(part)
            | Why::Backup(part)
            | Why::Off(part)
            | Why::Source(part)
            | Why::Most(part)
            | Why::Ahead(part)
            | Why::Held(part)
            | Why::Aside(part)
            | Why::Rest(part)
            | Why::Share(part)
            | Why::Sum(part) => Some(part),
        }
    }

    /// Whether nothing flows because somebody wants it so, an open contact, or because of what is a problem of its own.
    pub fn is_meant(self) -> bool {
        matches!(self, Why::Nothing | Why::Open(_) | Why::Backup(_))
    }
}

/// The reason for each wire.
pub fn why(net: &Net, live: &Live, controls: &Controls) -> Vec<Why> {
    let mut walk = Walk {
        net,
        live,
        controls,
        why: vec![Why::Nothing; net.wires.len()],
    };
    for half in &net.order {
        walk.half(*half);
    }
    walk.why
}

struct Walk<'a> {
    net: &'a Net,
    live: &'a Live,
    controls: &'a Controls,
    why: Vec<Why>,
}

impl Walk<'_> {
    fn of(&self, slot: Slot) -> Why {
        slot.map_or(Why::Nothing, |wire| self.why[wire])
    }

    fn set(&mut self, slot: Slot, why: Why) {
        if let Some(wire) = slot.filter(|w| !self.net.wires[*w].closed) {
            self.why[wire] = why;
        }
    }

    fn half(&mut self, half: usize) {
        let part = self.net.part_of[half];
        let node = &self.net.nodes[part];
        let Some(spec) = &node.spec else { return };
        let (above, offered) = (
            self.of(first(&node.ins)),
            self.live.offered(first(&node.ins)),
        );
        let out = match spec {
            Spec::Source { .. } => Why::Source(part),
            Spec::Battery { .. } if half == part => return,
            Spec::Battery { .. } if self.controls.output[part] => Why::Most(part),
            Spec::Battery { .. } => Why::Off(part),
            Spec::Load { .. } if self.live.runs[part] => Why::Ahead(part),
            Spec::Load { .. } if self.live.offered(first(&node.outs)) < offered => Why::Held(part),
            Spec::Load { .. } | Spec::Meter => above,
            Spec::Tap(_) => return self.tap(part, above, offered),
            Spec::Divider(_) => {
                let shares = offered > 0 && node.outs.iter().flatten().count() > 1;
                let why = if shares { Why::Share(part) } else { above };
                for slot in &node.outs {
                    self.set(*slot, why);
                }
                return;
            }
            Spec::Busbar(_) => self.sum(part, &node.ins),
            Spec::Changeover(least) => {
                let (main, backup) = (node.ins[0], node.ins[1]);
                if offered >= *least {
                    above
                } else if self.live.offered(backup) > 0 {
                    self.of(backup)
                } else if offered > 0 {
                    Why::Backup(part)
                } else {
                    self.sum(part, &[main, backup])
                }
            }
            Spec::Contact { .. } if self.controls.conducts[part] => above,
            Spec::Contact { .. } => Why::Open(part),
        };
        self.set(first(&node.outs), out);
    }

    fn tap(&mut self, part: usize, above: Why, offered: u64) {
        let outs = &self.net.nodes[part].outs;
        let aside = self.live.offered(outs[0]);
        self.set(
            outs[0],
            if aside < offered {
                Why::Aside(part)
            } else {
                above
            },
        );
        self.set(outs[1], if aside > 0 { Why::Rest(part) } else { above });
    }

    /// Of several inputs: a battery that is off tells most; else, where something comes in, all of them together are too
    /// little; where nothing does, an open contact is meant.
    fn sum(&self, part: usize, ins: &[Slot]) -> Why {
        let wired: Vec<usize> = ins.iter().flatten().copied().collect();
        let dead = |w: &&usize| self.live.offer[**w] == 0;
        let whys = || wired.iter().filter(dead).map(|w| self.why[*w]);
        if let Some(off) = whys().find(|why| matches!(why, Why::Off(_))) {
            return off;
        }
        let giving: Vec<&usize> = wired.iter().filter(|w| !dead(w)).collect();
        if let [one] = giving[..] {
            return self.why[*one];
        }
        if !giving.is_empty() {
            return Why::Sum(part);
        }
        let meant = whys().find(|why| why.is_meant());
        meant.or(whys().next()).unwrap_or_default()
    }
}
