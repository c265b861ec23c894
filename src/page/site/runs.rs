//! What the site's panes share: the document's site, and the runs of all wires in it, kept in step with the document.
//!
//! Runs are looked for once a change has come to rest, some at a time, so that the page's thread is not held; until all are
//! there those of before stay.

use crate::page::store::Store;
use crate::plan::Plan;
use crate::site::Site;
use crate::works::OnSite;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// Changes that come sooner after each other than this are one.
const REST: Duration = Duration::from_millis(20);

/// How long runs are looked for at a stretch, in milliseconds.
const STRETCH: f64 = 4.0;

/// What the site's panes share. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct SiteRuns {
    drawn: Memo<Option<Arc<Site>>>,
    storey: Memo<u8>,
    on_site: RwSignal<Option<Arc<OnSite>>>,
    /// Counts how often they were begun anew.
    turns: StoredValue<u64>,
}

/// What the site's panes share, from the context that the second part provides.
pub fn use_site() -> SiteRuns {
    expect_context()
}

impl SiteRuns {
    /// Starts to follow the document.
    pub fn start(store: Store) -> SiteRuns {
        let drawn = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.site.clone())
        });
        let storey = Memo::new(move |_| {
            store.site_changes();
            store.with(|editor| editor.site().storey())
        });
        let on_site = RwSignal::new(None);
        let runs = SiteRuns {
            drawn,
            storey,
            on_site,
            turns: StoredValue::new(0),
        };
        Effect::new(move |before: Option<Option<TimeoutHandle>>| {
            before.flatten().inspect(TimeoutHandle::clear);
            store.revision();
            set_timeout_with_handle(move || runs.renew(store), REST).ok()
        });
        runs
    }

    /// Begins to bring the runs to the document as it is now.
    fn renew(self, store: Store) {
        let plan = store.document();
        let before = self.on_site.get_untracked().map(Arc::unwrap_or_clone);
        match OnSite::begin(before, &plan) {
            Some(begun) => self.go_on(
                begun,
                plan,
                self.turns.try_update_value(|n| {
                    *n += 1;
                    *n
                }),
            ),
            None => self.on_site.set(None),
        }
    }

    /// Finds runs for a stretch, and goes on after a breath of the page; `turn`: it ends where the document has changed
    /// meanwhile.
    fn go_on(self, mut begun: OnSite, plan: Arc<Plan>, turn: Option<u64>) {
        if turn.is_none() || self.turns.try_get_value() != turn {
            return;
        }
        let clock = window().performance();
        let now = || clock.as_ref().map_or(0.0, web_sys::Performance::now);
        let end = now() + STRETCH;
        while begun.go_on(&plan) {
            if now() >= end {
                let next = move || self.go_on(begun, plan, turn);
                return set_timeout(next, Duration::ZERO);
            }
        }
        self.on_site.set(Some(Arc::new(begun)));
    }

    /// The document's site.
    pub fn drawn(self) -> Memo<Option<Arc<Site>>> {
        self.drawn
    }

    /// The storey shown.
    pub fn storey(self) -> Memo<u8> {
        self.storey
    }

    /// The plan in its site. Tracked.
    pub fn on_site(self) -> Option<Arc<OnSite>> {
        self.on_site.get()
    }
}
