//! What a job is asked about: the plan as it is at this moment, and a fingerprint of all that an answer depends on.

use super::store::Store;
use crate::plan::Plan;
use leptos::prelude::*;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// What an answer depends on: the plan's own fingerprint, and its parts' names, which answers say.
pub type Fingerprint = (crate::plan::Fingerprint, u64);

impl Store {
    /// The plan that is worked out and shown, be it the document or what is tried.
    pub fn snapshot(self) -> Arc<Plan> {
        Arc::new(self.with_shown(Plan::clone))
    }

    /// The document.
    pub fn document(self) -> Arc<Plan> {
        Arc::new(self.with_plan(Plan::clone))
    }
}

/// The fingerprints of what is open. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Fingerprints {
    shown: Memo<Fingerprint>,
    document: Memo<Fingerprint>,
}

impl Fingerprints {
    /// Follows what is open.
    pub fn new(store: Store) -> Fingerprints {
        Fingerprints {
            shown: Memo::new(move |_| {
                store.shown();
                store.with_shown(fingerprint)
            }),
            document: Memo::new(move |_| {
                store.revision();
                store.with_plan(fingerprint)
            }),
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
}

/// The fingerprint of a plan.
pub fn fingerprint(plan: &Plan) -> Fingerprint {
    let mut names = DefaultHasher::new();
    for part in plan.parts.iter() {
        part.name.hash(&mut names);
    }
    (plan.fingerprint(), names.finish())
}
