//! Where the wires of a plan lead, part by part, and what is reached along them.

use crate::book::Side;
use crate::plan::{PartId, Plan};
use std::collections::BTreeSet;

/// Where wires lead, found once: whoever asks for a wire's parts and port by name goes through all parts each time.
#[derive(Default)]
pub(super) struct Links {
    /// By part: the places of the parts that a wire leads from, and whether it ends at a signal port; in the wires' order.
    pub into: Vec<Vec<(usize, bool)>>,
    /// By part: the places of the parts that a feed wire leads to.
    fed: Vec<Vec<usize>>,
}

impl Links {
    /// The links of a plan; `place` tells where a part stands in it.
    pub fn of(plan: &Plan, place: &dyn Fn(&PartId) -> Option<usize>) -> Links {
        let parts = plan.parts.len();
        let mut links = Links {
            into: vec![Vec::new(); parts],
            fed: vec![Vec::new(); parts],
        };
        let side = |to: usize, port: &str| {
            let kind = plan.kind_of(&plan.parts[to]);
            kind.and_then(|k| k.port(port)).map(|p| p.side)
        };
        for wire in &plan.wires {
            let (Some(from), Some(to)) = (place(&wire.from.part), place(&wire.to.part)) else {
                continue;
            };
            let side = side(to, &wire.to.port);
            links.into[to].push((from, side == Some(Side::Signal)));
            if side == Some(Side::In) {
                links.fed[from].push(to);
            }
        }
        links
    }

    /// The parts that are reached from a part along feed wires, the nearest first: down, or up and then maybe along signals
    /// too.
    pub fn reached(&self, part: usize, down: bool, signals: bool) -> Vec<usize> {
        let mut seen = BTreeSet::from([part]);
        let mut order = vec![part];
        let mut at = 0;
        while let Some(here) = order.get(at).copied() {
            at += 1;
            let next: Vec<usize> = match down {
                true => self.fed[here].clone(),
                false => {
                    let into = self.into[here].iter();
                    let feeds = into.filter(|(_, signal)| signals || !signal);
                    feeds.map(|(from, _)| *from).collect()
                }
            };
            order.extend(next.into_iter().filter(|far| seen.insert(*far)));
        }
        order.remove(0);
        order
    }
}
