//! What is left of an island's wiring after a loss, less what can't matter, so that losses with the same effect are
//! judged once. Losing a source and losing its only wire leave the same; so do a lamp at a line's end and its wire.
//!
//! A wire that can carry nothing goes: it comes from a part that nothing feeds. So does one that nothing can take from,
//! unless its being there changes a share. Parts that remember something always stay.
//!
//! The wiring is pruned once; a loss then only goes on from there, from the wires that it takes. Both end alike: taking a
//! wire never makes another matter, so what is left in the end hangs only on what was taken, not on the order.

use super::Loss;
use super::island::part_of;
use crate::net::Net;
use crate::plan::{Plan, Spec};
use std::collections::BTreeMap;

/// What losses leave, as a key.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LossKey {
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
pub struct Wiring {
    parts: BTreeMap<String, usize>,
    names: BTreeMap<String, usize>,
    wires: Vec<Line>,
    /// The wires at each part.
    at: Vec<Vec<usize>>,
    remembers: Vec<bool>,
    /// Whether a part gives power of its own.
    gives: Vec<bool>,
    /// Whether a part takes only what is taken of it.
    passes: Vec<bool>,
    /// What matters while nothing is lost.
    whole: Left,
}

/// The wires that are left, a bit each, and how many of them feed each part and lead away from it.
#[derive(Clone, Debug, Default)]
struct Left {
    wires: Vec<u64>,
    fed: Vec<u32>,
    used: Vec<u32>,
}

impl Left {
    fn has(&self, wire: usize) -> bool {
        has(&self.wires, wire)
    }
}

fn has(wires: &[u64], wire: usize) -> bool {
    wires[wire / 64] >> (wire % 64) & 1 == 1
}

#[derive(Clone, Copy, Debug)]
struct Line {
    from: usize,
    to: usize,
    signal: bool,
    /// Whether its being there changes what others are offered.
    shares: bool,
}

impl Wiring {
    /// The wiring of an island's plan.
    pub fn new(plan: &Plan) -> Wiring {
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
        let mut shape = Wiring {
            parts: parts.map(|(at, p)| (p.id.to_string(), at)).collect(),
            names: wires.map(|(at, w)| (w.id.to_string(), at)).collect(),
            wires: net.wires.iter().enumerate().map(line).collect(),
            at: vec![Vec::new(); net.nodes.len()],
            remembers: spec(|s| matches!(s, Spec::Battery { .. } | Spec::Contact { .. })),
            gives: spec(|s| matches!(s, Spec::Battery { .. } | Spec::Source { .. })),
            passes: spec(|s| {
                !matches!(
                    s,
                    Spec::Battery { .. } | Spec::Source { .. } | Spec::Load { .. }
                )
            }),
            whole: Left::default(),
        };
        shape.whole = shape.pruned();
        shape
    }

    /// What matters of the wiring; fills in which wires are at each part.
    fn pruned(&mut self) -> Left {
        let (parts, wires) = (self.remembers.len(), self.wires.len());
        let mut left = Left {
            wires: vec![0; wires.div_ceil(64)],
            fed: vec![0; parts],
            used: vec![0; parts],
        };
        for (at, line) in self.wires.iter().enumerate() {
            left.wires[at / 64] |= 1 << (at % 64);
            left.used[line.from] += 1;
            left.fed[line.to] += u32::from(!line.signal);
            self.at[line.from].push(at);
            if line.to != line.from {
                self.at[line.to].push(at);
            }
        }
        let (mut lost, mut look) = (Vec::new(), (0..parts).collect());
        self.prune(&mut left, &mut lost, &mut look);
        left
    }

    /// What `losses`, all on this island, leave.
    pub fn key(&self, island: usize, losses: &[&Loss]) -> LossKey {
        let (mut left, mut lost) = (self.whole.clone(), Vec::new());
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
                    lost.extend(&self.at[part]);
                }
                Loss::Wire(id) => lost.extend(self.names.get(id.as_str())),
                Loss::Switch(id) => done.extend(place(id.as_str()).map(|p| (0, p))),
                Loss::Empty(id) => done.extend(place(id.as_str()).map(|p| (1, p))),
            }
        }
        self.prune(&mut left, &mut lost, &mut Vec::new());
        gone.sort_unstable();
        gone.dedup();
        // A part that is gone was neither thrown nor emptied first.
        done.retain(|(_, part)| !gone.contains(part));
        done.sort_unstable();
        done.dedup();
        LossKey {
            island,
            wires: left.wires,
            gone,
            done,
        }
    }

    /// Of the island's plan, what matters after losses with this key: the wires that are left, the parts at them, and
    /// whatever gives power or remembers something, for its events count. The losses are still to be taken from it.
    pub fn left_of(&self, plan: &Plan, key: &LossKey) -> Plan {
        let mut there: Vec<bool> = (self.gives.iter().zip(&self.remembers))
            .map(|(gives, remembers)| *gives || *remembers)
            .collect();
        let mut wires = Vec::new();
        for (at, line) in self.wires.iter().enumerate() {
            if has(&key.wires, at) {
                wires.push(plan.wires[at].clone());
                (there[line.from], there[line.to]) = (true, true);
            }
        }
        let parts = plan.parts.iter().zip(there);
        Plan {
            parts: parts.filter(|(_, t)| *t).map(|(p, _)| p.clone()).collect(),
            wires: wires.into(),
            ..part_of(plan, &[])
        }
    }

    /// As [`Wiring::left_of`], with the losses taken from it, as which of the island's parts and wires are there; `None`
    /// where something is set otherwise.
    pub fn there_of(&self, key: &LossKey, losses: &[&Loss]) -> Option<(Vec<bool>, Vec<bool>)> {
        if !key.done.is_empty() {
            return None;
        }
        let mut parts: Vec<bool> = (self.gives.iter().zip(&self.remembers))
            .map(|(gives, remembers)| *gives || *remembers)
            .collect();
        let wires: Vec<bool> = (0..self.wires.len())
            .map(|at| has(&key.wires, at))
            .collect();
        for (line, _) in self.wires.iter().zip(&wires).filter(|(_, there)| **there) {
            (parts[line.from], parts[line.to]) = (true, true);
        }
        for loss in losses {
            if let Loss::Part(id) = loss
                && let Some(part) = self.parts.get(id.as_str())
            {
                parts[*part] = false;
            }
        }
        Some((parts, wires))
    }

    /// Takes the wires `lost`, then whatever does not matter any more; `look` are parts to look at besides.
    fn prune(&self, left: &mut Left, lost: &mut Vec<usize>, look: &mut Vec<usize>) {
        loop {
            while let Some(wire) = lost.pop() {
                if left.has(wire) {
                    let line = self.wires[wire];
                    left.wires[wire / 64] &= !(1 << (wire % 64));
                    left.used[line.from] -= 1;
                    left.fed[line.to] -= u32::from(!line.signal);
                    look.extend([line.from, line.to]);
                }
            }
            let Some(part) = look.pop() else {
                return;
            };
            let dead = left.fed[part] == 0 && !self.gives[part];
            let idle = left.used[part] == 0 && self.passes[part];
            if dead || idle {
                let useless = |at: &&usize| {
                    let line = &self.wires[**at];
                    (dead && line.from == part)
                        || (idle && line.to == part && !line.signal && !line.shares)
                };
                lost.extend(self.at[part].iter().filter(useless));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    fn leaves(shape: &Wiring, losses: &[&Loss]) -> Vec<bool> {
        let key = shape.key(0, losses);
        let wires = 0..shape.wires.len();
        wires.map(|at| has(&key.wires, at)).collect()
    }

    /// What is left, found by going through all wires again and again.
    fn plainly(shape: &Wiring, lost: &[&Loss]) -> Vec<bool> {
        let mut stays: Vec<bool> = vec![true; shape.wires.len()];
        for loss in lost {
            match loss {
                Loss::Part(id) => {
                    let part = shape.parts[id.as_str()];
                    for (at, line) in shape.wires.iter().enumerate() {
                        stays[at] &= line.from != part && line.to != part;
                    }
                }
                Loss::Wire(id) => stays[shape.names[id.as_str()]] = false,
                _ => {}
            }
        }
        loop {
            let before = stays.clone();
            for (at, line) in shape.wires.iter().enumerate() {
                let here = |part: usize, of: fn(&Line) -> Option<usize>| {
                    let lines = shape.wires.iter().zip(&stays);
                    let mut lines = lines.filter(|(l, stays)| **stays && of(l) == Some(part));
                    lines.next().is_some()
                };
                let fed = here(line.from, |l| (!l.signal).then_some(l.to));
                let used = here(line.to, |l| Some(l.from));
                let dead = !fed && !shape.gives[line.from];
                let idle = !used && shape.passes[line.to] && !line.signal && !line.shares;
                stays[at] &= !dead && !idle;
            }
            if stays == before {
                return stays;
            }
        }
    }

    #[test]
    fn what_a_loss_leaves_is_what_going_through_all_wires_again_and_again_leaves() {
        // Two sources, a ring of a busbar and a tap, a relay whose coil hangs on the tap, a divider with a way to nothing.
        let plan = plan(
            r#"{ "parts": { "a": "generator", "b": "generator", "bar": "busbar-3", "tap": "tap", "relay": "relay",
                    "split": "divider-2", "meter": "meter", "idle": "meter", "lamp": "lamp", "fan": "fan", "alone": "meter",
                    "fed": "meter" },
                "wires": ["a.out bar.in1", "b.out bar.in2", "bar.out tap.in", "tap.tap relay.coil", "tap.rest split.in",
                    "split.out1 meter.in", "meter.out relay.feed", "relay.out lamp.in", "lamp.loop fan.in",
                    "split.out2 idle.in", "fan.loop bar.in3", "alone.out fed.in"] }"#,
        );
        let shape = Wiring::new(&plan);
        let parts = plan.parts.iter().map(|p| Loss::Part(p.id.clone()));
        let wires = plan.wires.iter().map(|w| Loss::Wire(w.id.clone()));
        let all: Vec<Loss> = parts.chain(wires).collect();
        let mut kinds = std::collections::BTreeSet::new();
        for a in &all {
            for b in &all {
                let left = leaves(&shape, &[a, b]);
                assert_eq!(left, plainly(&shape, &[a, b]), "{a:?} {b:?}");
                let rest = shape.left_of(&plan, &shape.key(0, &[a, b]));
                let bits = left.iter().filter(|stays| **stays).count();
                assert_eq!(rest.wires.len(), bits, "{a:?} {b:?}");
                let ends = rest.wires.iter().flat_map(|w| [&w.from.part, &w.to.part]);
                assert!(ends.into_iter().all(|id| rest.part(id).is_some()));
                kinds.insert(left);
            }
        }
        assert!(kinds.len() > 10, "{}", kinds.len());
    }

    #[test]
    fn whatever_is_lost_of_a_chain_of_meters_leaves_nothing_of_it() {
        let names: Vec<String> = (0..50).map(|n| format!("m{n}")).collect();
        let parts: Vec<String> = names.iter().map(|n| format!(r#""{n}": "meter""#)).collect();
        let wires: Vec<String> = names
            .windows(2)
            .map(|p| format!(r#""{}.out {}.in""#, p[0], p[1]))
            .collect();
        let plan = plan(&format!(
            r#"{{ "parts": {{ "gen": "generator", {}, "lamp": "lamp" }},
                 "wires": ["gen.out m0.in", {}, "m49.out lamp.in"] }}"#,
            parts.join(", "),
            wires.join(", ")
        ));
        let shape = Wiring::new(&plan);
        assert!(leaves(&shape, &[]).iter().all(|stays| *stays));
        for name in names {
            let left = leaves(&shape, &[&Loss::Part(name.as_str().into())]);
            assert!(left.iter().all(|stays| !stays), "{name}");
        }
    }
}
