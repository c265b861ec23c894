//! What of the order of work is done for the open plan.

use crate::page::build::kept_entries::KeptEntries;
use crate::page::store::Store;
use crate::works::{StepKey, StepTicks};
use leptos::prelude::*;

/// The ticks. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Ticking {
    kept: KeptEntries<StepTicks>,
    /// Whether somebody is to be led to the next open step, once the steps are there.
    pub(super) leads: RwSignal<bool>,
}

/// The ticks, from the context that the page's second part provides.
pub(super) fn use_ticking() -> Ticking {
    expect_context()
}

impl Ticking {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> Ticking {
        Ticking {
            kept: KeptEntries::start(store, || ()),
            leads: RwSignal::new(false),
        }
    }

    /// What is done.
    pub(super) fn ticks(self) -> RwSignal<StepTicks> {
        self.kept.now
    }

    /// Why the browser does not keep it.
    pub(super) fn unkept(self) -> RwSignal<Option<String>> {
        self.kept.unkept
    }

    /// Does something to the ticks and keeps them.
    pub(super) fn act<T>(self, act: impl FnOnce(&mut StepTicks) -> T) -> T {
        let mut ticks = self.ticks().get_untracked();
        let came_of_it = act(&mut ticks);
        self.kept.put(ticks);
        came_of_it
    }

    /// Takes the last act back; the step that it was about.
    pub(super) fn undo(self) -> Option<StepKey> {
        self.act(StepTicks::undo)
    }

    /// Has somebody led to the next open step, as soon as the steps are there.
    pub fn lead(self) {
        self.leads.set(true);
    }
}
