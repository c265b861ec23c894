//! What tells whether an answer is out of date: a fingerprint of all that it depends on.

use super::Store;
use crate::plan::Plan;
use leptos::prelude::*;
use std::hash::{DefaultHasher, Hash, Hasher};

/// What an answer depends on: the plan's own fingerprint, and its parts' names, which answers say; of what is asked about
/// the site too, also where parts hang, wires are led, and how the site is drawn.
pub type Fingerprint = (crate::plan::Fingerprint, u64);

/// The fingerprint of a plan.
pub fn fingerprint(plan: &Plan) -> Fingerprint {
    let mut names = DefaultHasher::new();
    for part in plan.parts.iter() {
        part.name.hash(&mut names);
    }
    (plan.fingerprint(), names.finish())
}

/// The fingerprint of all that a plan's file says, titles and places as well.
pub fn whole_fingerprint(plan: &Plan) -> Fingerprint {
    let mut hash = DefaultHasher::new();
    plan.print().hash(&mut hash);
    (plan.fingerprint(), hash.finish())
}

/// The fingerprints of what is open. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Fingerprints {
    /// Of the plan that is shown.
    pub shown: Memo<Fingerprint>,
    /// Of the document.
    pub document: Memo<Fingerprint>,
    /// Of the document with its site.
    pub built: Memo<Fingerprint>,
    /// Of all that the document's file says; worked out where somebody asks.
    pub whole: Memo<Fingerprint>,
}

/// A hash of where parts hang and wires are led.
fn places(plan: &Plan) -> u64 {
    let mut hash = DefaultHasher::new();
    plan.parts
        .iter()
        .for_each(|part| part.hangs.hash(&mut hash));
    plan.wires.iter().for_each(|wire| wire.via.hash(&mut hash));
    hash.finish()
}

impl Fingerprints {
    /// Follows what is open.
    pub fn new(store: Store) -> Fingerprints {
        // A site is a large text, and most edits leave it as it is.
        let site = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.site.clone())
        });
        let drawn = Memo::new(move |_| {
            let mut hash = DefaultHasher::new();
            // A site is plain data, which always has a text.
            let text = site.with(|site| serde_json::to_string(&site.as_deref()).ok());
            text.hash(&mut hash);
            hash.finish()
        });
        let document = Memo::new(move |_| {
            store.answers.track();
            store.with_plan(fingerprint)
        });
        Fingerprints {
            shown: Memo::new(move |_| {
                store.answers_shown.track();
                store.with_shown(fingerprint)
            }),
            document,
            whole: Memo::new(move |_| {
                store.revision();
                store.with_plan(whole_fingerprint)
            }),
            built: Memo::new(move |_| {
                store.revision();
                let (of, names) = document.get();
                let mut hash = DefaultHasher::new();
                (names, drawn.get(), store.with_plan(places)).hash(&mut hash);
                (of, hash.finish())
            }),
        }
    }
}
