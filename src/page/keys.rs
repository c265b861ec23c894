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
