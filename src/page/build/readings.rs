//! The readings off the base as it was built that differ from the plan: entered in fault finding, or handed over by a check
//! of the order of work.

use crate::diagnosis::BaseReading;
use crate::page::store::Store;
use leptos::prelude::*;

/// The readings. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct BaseReadings {
    /// All of them, one of each thing and time.
    pub(super) entries: RwSignal<Vec<BaseReading>>,
}

/// The readings, from the context that the page's second part provides.
pub(super) fn use_base_readings() -> BaseReadings {
    expect_context()
}

impl BaseReadings {
    /// None; those of one plan say nothing of another.
    pub fn start(store: Store) -> BaseReadings {
        let readings = BaseReadings {
            entries: RwSignal::new(Vec::new()),
        };
        Effect::watch(
            move || store.opened(),
            move |_, _, _| readings.clear(),
            false,
        );
        readings
    }

    /// Adds one, in place of one of the same thing at the same time.
    pub(super) fn add(self, reading: BaseReading) {
        self.entries.update(|entries| {
            let is_same = |e: &BaseReading| e.of == reading.of && e.at == reading.at;
            match entries.iter().position(is_same) {
                Some(at) => entries[at] = reading,
                None => entries.push(reading),
            }
        });
    }

    /// Forgets all.
    pub(super) fn clear(self) {
        self.entries.set(Vec::new());
    }
}
