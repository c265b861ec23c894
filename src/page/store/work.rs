//! Work that was put off, gone on with frame by frame so that the page's thread is never held for long.

use super::Store;
use crate::editor::{Editor, Message};
use leptos::prelude::*;
use std::time::Duration;

/// How long the run may hold the page up at a stretch, in milliseconds.
const STRETCH: f64 = 5.0;
/// Milliseconds of the run in which something happens, between two looks at the clock.
const EVENTS: u64 = 400;

impl Store {
    /// Goes on with what was put off at the next frame.
    pub(super) fn work_later(self) {
        if self.works.get_value() {
            return;
        }
        self.works.set_value(true);
        request_animation_frame(move || {
            self.works.set_value(false);
            self.work();
        });
    }

    fn work(self) {
        let clock = window().performance();
        let now = move || clock.as_ref().map_or(0.0, web_sys::Performance::now);
        let start = now();
        self.dispatch(Message::Work {
            events: EVENTS,
            things: self.things.get_value(),
        });
        while self.is_behind.get_untracked() && now() - start < STRETCH {
            self.dispatch(Message::Work {
                events: EVENTS,
                things: 0,
            });
        }
    }

    /// Forgets signals of what is gone, once what was drawn for it is gone too: a change may take an id away and give it
    /// again before anything is drawn.
    pub(super) fn forget_gone(self) {
        set_timeout(
            move || {
                self.editor.try_with_value(|editor: &Editor| {
                    self.made.try_update_value(|made| made.forget_gone(editor));
                });
            },
            Duration::ZERO,
        );
    }
}
