//! The view for a recording: board or site and the day chart fill a frame of 16:9 in large type, with a caption and without
//! tools. One key turns it on and off.
//!
//! The board is the page's own, which the plan fills. What stands below it is the second part's ([`Stage`]).

mod last;
mod small_window;
mod stage;

pub(super) use stage::Stage;

use super::keys;
use super::store::Store;
use crate::editor::{Message, SiteAct};
use leptos::ev;
use leptos::prelude::*;

/// The key that turns it on and off.
pub(super) const KEY: &str = "V";

/// Whether the page is shown for a recording. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Recording {
    store: Store,
    is_on: RwSignal<bool>,
}

/// The view for a recording, from the context that the frame provides.
pub fn use_recording() -> Recording {
    expect_context()
}

impl Recording {
    /// Off, listening for its key. Call it in the page's root.
    pub fn start(store: Store) -> Recording {
        let recording = Recording {
            store,
            is_on: RwSignal::new(false),
        };
        let pressed = window_event_listener(ev::keydown, move |ev| {
            if keys::is_free(&ev) && ev.key().eq_ignore_ascii_case(KEY) {
                ev.prevent_default();
                recording.turn(!recording.is_on.get_untracked());
            }
        });
        on_cleanup(move || pressed.remove());
        recording
    }

    /// Whether it is on. Tracked.
    pub fn is_on(self) -> bool {
        self.is_on.get()
    }

    /// Turns it on or off; the whole plan is shown then.
    pub fn turn(self, on: bool) {
        if self.is_on.get_untracked() == on {
            return;
        }
        self.is_on.set(on);
        self.store.dispatch(Message::Record(on));
        self.store.dispatch(Message::Site(SiteAct::Fit));
    }
}
