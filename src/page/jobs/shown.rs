//! How many places show what a job finds: it is asked while there is one.

use leptos::prelude::*;

/// The count. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Shown(RwSignal<usize>);

impl Shown {
    /// Nowhere.
    pub fn new() -> Shown {
        Shown(RwSignal::new(0))
    }

    /// Whether some place shows it. Tracked.
    pub fn is_any(self) -> bool {
        self.0.get() > 0
    }

    /// Counts a place for as long as the scope lasts in which this is called.
    pub fn count(self) {
        self.0.update(|shown| *shown += 1);
        on_cleanup(move || {
            // With the page everything goes.
            let _ = self.0.try_update(|shown| *shown = shown.saturating_sub(1));
        });
    }
}
