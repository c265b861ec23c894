//! Copies of an engine without what it records, and how large they are. What never changes in a run (the net, supplies,
//! functions) is shared between copies, so a copy takes what its state takes. Bytes are estimates.

use super::battery::Battery;
use super::contact::Contact;
use super::engine::{Engine, Foreseen};
use crate::quantity::Ms;
use std::cmp::Reverse;
use std::sync::Arc;

impl Engine {
    /// A copy that records nothing.
    pub(super) fn unrecorded(&self) -> Engine {
        Engine {
            net: Arc::clone(&self.net),
            live: self.live.clone(),
            controls: self.controls.clone(),
            batteries: self.batteries.clone(),
            contacts: self.contacts.clone(),
            recorder: None,
            chattered: self.chattered.clone(),
            supplies: Arc::clone(&self.supplies),
            queue: self.queue.clone(),
            most_kept: super::MOST_CHANGES,
            ..*self
        }
    }

    /// How many bytes a copy takes that shares what can be shared, about and at the most.
    pub(super) fn bytes(&self) -> usize {
        // A map's nodes are half empty where its keys came in order.
        let entry = |value: usize| 2 * (value + size_of::<usize>());
        let watchers = self.batteries.values().map(|b| b.watchers.len());
        size_of::<Engine>()
            + self.live.bytes()
            + self.controls.bytes()
            + self.batteries.len() * entry(size_of::<Battery>())
            + watchers.sum::<usize>() * 48
            + self.contacts.len() * entry(size_of::<Contact>())
            + self.chattered.len() * entry(0)
            + self.queue.len() * size_of::<Reverse<(Ms, Foreseen, usize)>>()
    }
}
