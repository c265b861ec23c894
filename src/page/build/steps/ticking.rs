//! What of the order of work is done for the open plan: read when a plan is opened, kept at every tick. It stays while the
//! window is closed.

use crate::page::keeping::{Keeper, use_keeper};
use crate::page::store::Store;
use crate::works::{StepKey, StepTicks};
use leptos::{ev, prelude::*};

/// The ticks. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Ticking {
    store: Store,
    keeper: Keeper,
    ticks: RwSignal<StepTicks>,
    /// Why the browser does not keep them.
    unkept: RwSignal<Option<String>>,
}

/// The ticks, from the context that the page's second part provides.
pub(super) fn use_ticking() -> Ticking {
    expect_context()
}

impl Ticking {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> Ticking {
        let ticking = Ticking {
            store,
            keeper: use_keeper(),
            ticks: RwSignal::new(StepTicks::default()),
            unkept: RwSignal::new(None),
        };
        Effect::new(move |before: Option<(String, u64)>| {
            let now = (store.plan_key(), store.opened());
            match before {
                Some(before) if before == now => {}
                // The same plan goes on under another key.
                Some((_, opened)) if opened == now.1 => ticking.keep(),
                _ => {
                    ticking.ticks.set(ticking.kept(&now.0));
                    ticking.unkept.set(None);
                }
            }
            now
        });
        // Another tab may have the same plan open.
        let elsewhere = window_event_listener(ev::storage, move |_| {
            let key = untrack(|| store.plan_key());
            let kept = ticking.kept(&key);
            if ticking.ticks.with_untracked(|ticks| *ticks != kept) {
                ticking.ticks.set(kept);
            }
        });
        on_cleanup(move || elsewhere.remove());
        ticking
    }

    fn kept(self, key: &str) -> StepTicks {
        let kept = self.keeper.ticks(key);
        let ticks = kept.and_then(|text| StepTicks::of_draft(&text));
        ticks.unwrap_or_default()
    }

    fn keep(self) {
        let text = self.ticks.with_untracked(|ticks| match ticks.is_empty() {
            true => String::new(),
            false => ticks.draft(),
        });
        let key = untrack(|| self.store.plan_key());
        let done = self.keeper.keep_ticks(&key, &text);
        self.unkept
            .set(done.err().map(|trouble| trouble.to_string()));
    }

    /// What is done.
    pub(super) fn ticks(self) -> RwSignal<StepTicks> {
        self.ticks
    }

    /// Why the browser does not keep it.
    pub(super) fn unkept(self) -> RwSignal<Option<String>> {
        self.unkept
    }

    /// Does something to the ticks and keeps them.
    pub(super) fn act(self, act: impl FnOnce(&mut StepTicks)) {
        self.ticks.update(act);
        self.keep();
    }

    /// Takes the last act back; the step that it was about.
    pub(super) fn undo(self) -> Option<StepKey> {
        let step = self.ticks.try_update(StepTicks::undo).flatten();
        self.keep();
        step
    }
}
