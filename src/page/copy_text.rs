//! A text put on the system's clipboard.

use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Puts a text on the clipboard, if there is one: pages that came over plain HTTP have none. Whether it is there.
pub async fn put(text: &str) -> bool {
    let navigator: JsValue = window().navigator().into();
    let clipboard = js_sys::Reflect::get(&navigator, &JsValue::from_str("clipboard"));
    match clipboard.map(|c| c.dyn_into::<web_sys::Clipboard>()) {
        Ok(Ok(clipboard)) => JsFuture::from(clipboard.write_text(text)).await.is_ok(),
        _ => false,
    }
}
