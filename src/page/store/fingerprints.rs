//! What tells whether an answer is out of date: a fingerprint of all that it depends on.

use super::Store;
use crate::plan::Plan;
use leptos::prelude::*;
use std::hash::{DefaultHasher, Hash, Hasher};

/// What an answer depends on: the plan's own fingerprint, and its parts' names, which answers say.
pub type Fingerprint = (crate::plan::Fingerprint, u64);

/// The fingerprint of a plan.
pub fn fingerprint(plan: &Plan) -> Fingerprint {
    let mut names = DefaultHasher::new();
    for part in plan.parts.iter() {
        part.name.hash(&mut names);
    }
    (plan.fingerprint(), names.finish())
}

/// The fingerprints of what is open. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Fingerprints {
    /// Of the plan that is shown.
    pub shown: Memo<Fingerprint>,
    /// Of the document.
    pub document: Memo<Fingerprint>,
}

impl Fingerprints {
    /// Follows what is open.
    pub fn new(store: Store) -> Fingerprints {
        Fingerprints {
            shown: Memo::new(move |_| {
                store.answers_shown.track();
                store.with_shown(fingerprint)
            }),
            document: Memo::new(move |_| {
                store.answers.track();
                store.with_plan(fingerprint)
            }),
        }
    }
}
