//! The large windows over the page, and which of them is open.

use leptos::prelude::*;

/// Whether each is open. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Windows {
    /// The kept plans.
    pub plans: RwSignal<bool>,
    /// The book of the open plan.
    pub book: RwSignal<bool>,
    /// The kept worlds.
    pub worlds: RwSignal<bool>,
    /// What measures a world.
    pub measure: RwSignal<bool>,
}

impl Windows {
    /// All closed. Call it in the page's root.
    pub fn start() -> Windows {
        let windows = Windows {
            plans: RwSignal::new(false),
            book: RwSignal::new(false),
            worlds: RwSignal::new(false),
            measure: RwSignal::new(false),
        };
        provide_context(windows);
        windows
    }
}

/// The windows, from the context that the frame provides.
pub fn use_windows() -> Windows {
    expect_context()
}
