//! Whether a key that is pressed is the page's, or text and somebody else's.

use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};

/// Where keys are text, or a dialog's.
const FIELDS: &str = "input:not([type=range],[type=checkbox],[type=radio]), textarea, select, dialog, [contenteditable]";

/// Whether the key goes to a field or to what stands in a dialog.
pub fn are_elsewhere(ev: &KeyboardEvent) -> bool {
    let element = ev.target().and_then(|t| t.dyn_into::<Element>().ok());
    element.is_some_and(|e| e.closest(FIELDS).ok().flatten().is_some())
}

/// Whether the key is pressed alone and nobody has taken it, so that it can open something of the page.
pub fn is_free(ev: &KeyboardEvent) -> bool {
    let with_others = ev.ctrl_key() || ev.meta_key() || ev.alt_key();
    !with_others && !ev.default_prevented() && !are_elsewhere(ev)
}

/// What listens for Ctrl Z in a window with steps of its own. A text field has an undo of its own.
pub fn on_undo(undo: impl Fn()) -> impl Fn(KeyboardEvent) {
    move |event| {
        let with = event.ctrl_key() || event.meta_key();
        let is_z = event.key().eq_ignore_ascii_case("z") && !event.shift_key();
        let element = event.target().and_then(|t| t.dyn_into::<Element>().ok());
        let is_text = element.is_some_and(|e| e.matches("input[type=text]").unwrap_or(false));
        if with && is_z && !is_text {
            event.prevent_default();
            undo();
        }
    }
}
