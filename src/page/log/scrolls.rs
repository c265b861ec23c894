//! How far each page of the log is scrolled: the page's frame, and what scrolls within it. Pixels.

use crate::page::store::LogPage;
use leptos::prelude::*;
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::Element;

/// What scrolls within a page, by its selector; the frame itself has none.
const WITHIN: [&str; 5] = ["", ".chart", ".event-list", ".duties-main", ".autonomy"];

/// How far pages are scrolled, by their number and by what scrolls.
#[derive(Clone, Copy, Default)]
pub(super) struct Scrolls {
    known: StoredValue<BTreeMap<(u8, usize), i32>>,
}

impl Scrolls {
    /// Something of the page is scrolled.
    pub fn note(self, page: LogPage, ev: &web_sys::Event) {
        let Some(element) = ev.target().and_then(|t| t.dyn_into::<Element>().ok()) else {
            return;
        };
        let within = (1..WITHIN.len()).find(|i| element.matches(WITHIN[*i]).unwrap_or(false));
        let key = (page as u8, within.unwrap_or(0));
        self.known.update_value(|known| {
            known.insert(key, element.scroll_top());
        });
    }

    /// Scrolls a page that has just been opened to where it was left, once it is drawn.
    pub fn restore(self, page: LogPage, frame: web_sys::HtmlElement) {
        // Taken now: that the page before was longer may scroll the frame meanwhile.
        let known = self.known.get_value();
        request_animation_frame(move || {
            for (i, selector) in WITHIN.iter().enumerate() {
                let element = match *selector {
                    "" => Some(frame.clone().into()),
                    selector => frame.query_selector(selector).ok().flatten(),
                };
                if let Some(element) = element {
                    let top = known.get(&(page as u8, i)).copied();
                    element.set_scroll_top(top.unwrap_or(0));
                }
            }
        });
    }
}
