//! What a job is asked about: the plan as it is at this moment, and a fingerprint of all that an answer depends on.

use super::state::Bench;
use crate::plan::Plan;
use leptos::prelude::*;
use std::sync::Arc;

/// What an answer depends on: equal for plans that differ only in places, bends, title and notes.
pub type Fingerprint = u64;

/// How many earlier plans are recognized, as after an undo.
const RECENT: usize = 8;

impl Bench {
    /// The plan that is worked out and shown, be it the document or what is tried.
    pub fn snapshot(self) -> Arc<Plan> {
        Arc::new(self.with_shown(Plan::clone))
    }

    /// The document.
    pub fn document(self) -> Arc<Plan> {
        Arc::new(self.with_plan(Plan::clone))
    }
}

/// Gives plans their fingerprints. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Fingerprints {
    shown: Memo<Fingerprint>,
    document: Memo<Fingerprint>,
    known: StoredValue<Known>,
}

/// The last plans without what no answer depends on, each with its fingerprint.
#[derive(Default)]
struct Known {
    plans: Vec<(Fingerprint, Plan)>,
    last: Fingerprint,
}

impl Fingerprints {
    /// Follows what is open.
    pub fn new(bench: Bench) -> Fingerprints {
        let known = StoredValue::new(Known::default());
        Fingerprints {
            shown: Memo::new(move |_| {
                bench.shown();
                bench.with_shown(|plan| of(known, plan))
            }),
            document: Memo::new(move |_| {
                bench.revision();
                bench.with_plan(|plan| of(known, plan))
            }),
            known,
        }
    }

    /// Of the plan that is shown. Tracked.
    pub fn shown(self) -> Fingerprint {
        self.shown.get()
    }

    /// Of the document. Tracked.
    pub fn document(self) -> Fingerprint {
        self.document.get()
    }

    /// Of any plan.
    pub fn of(self, plan: &Plan) -> Fingerprint {
        of(self.known, plan)
    }
}

fn of(known: StoredValue<Known>, plan: &Plan) -> Fingerprint {
    let plan = bare(plan);
    let found = known.try_update_value(|known| {
        let at = known.plans.iter().position(|(_, before)| *before == plan);
        let entry = match at {
            Some(at) => known.plans.remove(at),
            None => {
                known.last += 1;
                (known.last, plan)
            }
        };
        let fingerprint = entry.0;
        known.plans.push(entry);
        if known.plans.len() > RECENT {
            known.plans.remove(0);
        }
        fingerprint
    });
    found.unwrap_or_default()
}

/// The plan without what no answer depends on. Names stay: answers say them.
fn bare(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.title.clear();
    plan.notes.clear();
    plan.parts.iter_mut().for_each(|p| p.at = None);
    plan.wires.iter_mut().for_each(|w| w.bends.clear());
    plan
}
