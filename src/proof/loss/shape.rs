//! What is left of an island's wiring after a loss, less what can't matter, so that losses with the same effect are
//! judged once. Losing a source and losing its only wire leave the same; so do a lamp at a line's end and its wire.
//!
//! A wire that can carry nothing goes: it comes from a part that nothing feeds. So does one that nothing can take from,
//! unless its being there changes a share. Parts that remember something always stay.

use super::Loss;
use crate::net::Net;
use crate::plan::{Plan, Spec};
use std::collections::BTreeMap;

/// What losses leave, as a key.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The island.
    pub island: usize,
    /// Which of its wires matter, a bit each.
    wires: Vec<u64>,
    /// Which of its parts that remember something are lost.
    gone: Vec<usize>,
    /// What else was done: `(0, part)` a switch thrown, `(1, part)` a battery emptied.
    done: Vec<(u8, usize)>,
}

/// An island's wiring.
#[derive(Clone, Debug)]
pub struct Shape {
    parts: BTreeMap<String, usize>,
    names: BTreeMap<String, usize>,
    wires: Vec<Line>,
    remembers: Vec<bool>,
    /// Whether a part gives power of its own.
    gives: Vec<bool>,
    /// Whether a part takes only what is taken of it.
    passes: Vec<bool>,
}

#[derive(Clone, Copy, Debug)]
struct Line {
    from: usize,
    to: usize,
    signal: bool,
    /// Whether its being there changes what others are offered.
    shares: bool,
}

impl Shape {
    /// The wiring of an island's plan.
    pub fn new(plan: &Plan) -> Shape {
        let net = Net::compile(plan);
        let line = |(at, ends): (usize, &crate::net::Ends)| {
            let (from, to) = (net.part_of[ends.from], net.part_of[ends.to]);
            let node = &net.nodes[from];
            let shares = match node.spec {
                Some(Spec::Divider(_)) => true,
                Some(Spec::Tap(_)) => node.outs[0] == Some(at),
                _ => false,
            };
            Line {
                from,
                to,
                signal: ends.signal,
                shares,
            }
        };
        let spec = |of: fn(&Spec) -> bool| {
            let nodes = net.nodes.iter();
            nodes.map(|n| n.spec.as_ref().is_some_and(of)).collect()
        };
        let parts = plan.parts.iter().enumerate();
        let wires = plan.wires.iter().enumerate();
        Shape {
            parts: parts.map(|(at, p)| (p.id.to_string(), at)).collect(),
            names: wires.map(|(at, w)| (w.id.to_string(), at)).collect(),
            wires: net.wires.iter().enumerate().map(line).collect(),
            remembers: spec(|s| matches!(s, Spec::Battery { .. } | Spec::Contact { .. })),
            gives: spec(|s| matches!(s, Spec::Battery { .. } | Spec::Source { .. })),
            passes: spec(|s| {
                !matches!(
                    s,
                    Spec::Battery { .. } | Spec::Source { .. } | Spec::Load { .. }
                )
            }),
        }
    }

    /// What `losses`, all on this island, leave.
    pub fn key(&self, island: usize, losses: &[&Loss]) -> Key {
        let mut stays = vec![true; self.wires.len()];
        let (mut gone, mut done) = (Vec::new(), Vec::new());
        let place = |id: &str| self.parts.get(id).copied();
        for loss in losses {
            match loss {
                Loss::Part(id) => {
                    let Some(part) = place(id.as_str()) else {
                        continue;
                    };
                    if self.remembers[part] {
                        gone.push(part);
                    }
                    for (at, line) in self.wires.iter().enumerate() {
                        if line.from == part || line.to == part {
                            stays[at] = false;
                        }
                    }
                }
                Loss::Wire(id) => {
                    if let Some(at) = self.names.get(id.as_str()) {
                        stays[*at] = false;
                    }
                }
                Loss::Switch(id) => done.extend(place(id.as_str()).map(|p| (0, p))),
                Loss::Empty(id) => done.extend(place(id.as_str()).map(|p| (1, p))),
            }
        }
        self.prune(&mut stays);
        gone.sort_unstable();
        gone.dedup();
        // A part that is gone was neither thrown nor emptied first.
        done.retain(|(_, part)| !gone.contains(part));
        done.sort_unstable();
        done.dedup();
        let mut wires = vec![0u64; stays.len().div_ceil(64)];
        for (at, stays) in stays.iter().enumerate() {
            wires[at / 64] |= u64::from(*stays) << (at % 64);
        }
        Key {
            island,
            wires,
            gone,
            done,
        }
    }

    fn prune(&self, stays: &mut [bool]) {
        let parts = self.remembers.len();
        let (mut fed, mut used) = (vec![0u32; parts], vec![0u32; parts]);
        for (at, line) in self.wires.iter().enumerate() {
            if stays[at] {
                used[line.from] += 1;
                fed[line.to] += u32::from(!line.signal);
            }
        }
        let mut again = true;
        while again {
            again = false;
            for (at, line) in self.wires.iter().enumerate() {
                let dead = fed[line.from] == 0 && !self.gives[line.from];
                let idle =
                    used[line.to] == 0 && self.passes[line.to] && !line.signal && !line.shares;
                if stays[at] && (dead || idle) {
                    stays[at] = false;
                    used[line.from] -= 1;
                    fed[line.to] -= u32::from(!line.signal);
                    again = true;
                }
            }
        }
    }
}
