//! What is printed in place of the plan's own sheet, at the wish of something on the page.

use leptos::ev;
use leptos::prelude::*;

/// What makes a sheet.
type Make = ViewFn;

/// The sheet that is asked for. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Paper {
    sheet: RwSignal<Option<Make>>,
}

impl Paper {
    /// Nothing asked for. Call it in the page's root.
    pub fn start() {
        let paper = Paper {
            sheet: RwSignal::new(None),
        };
        provide_context(paper);
        let ends = window_event_listener(ev::afterprint, move |_| paper.sheet.set(None));
        on_cleanup(move || ends.remove());
    }

    /// Has the browser print a sheet.
    pub fn print(self, sheet: impl Into<Make>) {
        self.sheet.set(Some(sheet.into()));
        // While a browser prints nothing is drawn: the sheet stands there before.
        let print = || {
            // Where a browser does not print there is nothing that the page could do.
            let _ = window().print();
        };
        request_animation_frame(move || request_animation_frame(print));
    }

    /// The sheet that is asked for. Tracked.
    pub fn sheet(self) -> Option<Make> {
        self.sheet.get()
    }
}

/// What is printed, from the context that the frame provides.
pub fn use_paper() -> Paper {
    expect_context()
}
