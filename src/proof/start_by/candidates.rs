//! A change that is worth trying so that a load starts at another time, and the parts that lead to the load.

use super::OfferKind;
use super::meant::MeantStart;
use crate::plan::{Edit, Plan, Spec};
use crate::proof::findings::Simulation;
use crate::proof::findings::draft;
use std::collections::BTreeSet;

/// A change to be tried.
#[derive(Clone, Debug)]
pub(super) struct StartChange {
    pub kind: OfferKind,
    /// Changes of one group differ by little: one of them is offered at the most.
    pub group: String,
    /// What there is then, as it stands behind "with": `Dusk tap set to 1 u`.
    pub what: String,
    /// The change in a few words, as an undo step is called.
    pub name: String,
    pub edits: Vec<Edit>,
}

/// What leads to the load.
pub(super) struct Ahead<'a> {
    pub seen: &'a Simulation,
    pub load: usize,
    pub meant: &'a MeantStart,
    /// The parts from which feed and signals come, the nearest first, up to the first battery each way.
    pub parts: Vec<usize>,
    /// Those of them that the feed alone comes through.
    pub feed: BTreeSet<usize>,
}

impl Ahead<'_> {
    /// What leads to a load.
    pub fn of<'a>(seen: &'a Simulation, load: usize, meant: &'a MeantStart) -> Ahead<'a> {
        Ahead {
            seen,
            load,
            meant,
            parts: reached(seen, load, true),
            feed: reached(seen, load, false).into_iter().collect(),
        }
    }
}

/// The parts that lead to a load, up to the first battery each way.
fn reached(seen: &Simulation, load: usize, signals: bool) -> Vec<usize> {
    let mut known = BTreeSet::from([load]);
    let mut order = vec![load];
    let mut at = 0;
    while let Some(here) = order.get(at).copied() {
        at += 1;
        if matches!(seen.specs[here], Some(Spec::Battery { .. })) {
            continue;
        }
        for (from, signal) in seen.leading_to(here) {
            if (signals || !signal) && known.insert(*from) {
                order.push(*from);
            }
        }
    }
    order.remove(0);
    order
}

/// What all parts of a plan cost, all materials counted alike.
pub(super) fn cost(plan: &Plan) -> u64 {
    let one = |part: &crate::plan::Part| {
        let each = plan.kind_of(part).map_or(0, draft::cost);
        each.saturating_mul(part.count)
    };
    plan.parts.iter().map(one).fold(0, u64::saturating_add)
}
