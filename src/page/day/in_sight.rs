//! Whether an element is in sight, so that what is not need not be drawn.

use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{IntersectionObserver, IntersectionObserverEntry};

/// Whether any of `element` is in the browser's window and not scrolled away; false until that is known.
pub fn in_sight(element: NodeRef<html::Div>) -> Signal<bool> {
    let seen = RwSignal::new(false);
    let told = Closure::<dyn FnMut(js_sys::Array)>::new(move |entries: js_sys::Array| {
        let last = entries.pop().dyn_into::<IntersectionObserverEntry>();
        let now = last.is_ok_and(|entry| entry.is_intersecting());
        if seen.try_get_untracked().is_some_and(|before| before != now) {
            seen.set(now);
        }
    });
    // A browser without such observers draws everything.
    let Ok(observer) = IntersectionObserver::new(told.as_ref().unchecked_ref()) else {
        return Signal::stored(true);
    };
    let held = StoredValue::new_local((observer, told));
    Effect::new(move |_| {
        if let Some(element) = element.get() {
            held.with_value(|(observer, _)| observer.observe(&element));
        }
    });
    on_cleanup(move || {
        held.try_with_value(|(observer, _)| observer.disconnect());
    });
    seen.into()
}
