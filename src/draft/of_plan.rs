//! The order that a plan's duties come to, for drafting it anew or completing it.

use super::order::{DraftOrder, Wanted, WantedDuty};
use crate::plan::{PartId, Plan};
use std::collections::BTreeSet;

/// What a plan wants: each load that a duty speaks of, with the first of its duties, in the duties' order; the plan's book
/// and world; the whole book may be used. Loads without a duty are not wanted: nobody has said when they must run, and
/// `always` would make of a lamp that a contact turns off one that never goes out.
pub fn order_of(plan: &Plan) -> DraftOrder {
    let mut seen: BTreeSet<&PartId> = BTreeSet::new();
    let firsts = plan.duties.iter().filter(|duty| seen.insert(&duty.part));
    let wants = firsts.filter_map(|duty| {
        let part = plan.part(&duty.part)?;
        let kind = plan.kind_of(part)?;
        (kind.behaviour.name() == "load").then(|| Wanted {
            kind: part.kind.clone(),
            name: part.name.clone(),
            count: part.count,
            duty: Some(WantedDuty {
                when: duty.when,
                only: duty.only,
                grace_s: duty.grace_s,
            }),
        })
    });
    DraftOrder {
        wants: wants.collect(),
        ..DraftOrder::empty(plan.book.clone(), plan.world.clone())
    }
}
