//! How much room the browser gives this page, and whether it keeps what is there.

use super::Keeper;
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// The room for what is kept.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Space {
    /// Bytes in use, as the browser reckons.
    pub used: Option<f64>,
    /// Bytes there may be.
    pub room: Option<f64>,
    /// Whether the browser keeps it until somebody deletes it; none where it does not say.
    pub is_kept: Option<bool>,
    /// Whether it is local storage, which is small.
    pub is_local: bool,
}

/// The browser's storage manager; there is none on pages that came over plain HTTP.
fn manager() -> Option<web_sys::StorageManager> {
    let navigator: JsValue = window().navigator().into();
    let manager = js_sys::Reflect::get(&navigator, &JsValue::from_str("storage"));
    manager.ok()?.dyn_into().ok()
}

async fn answer(promise: Result<js_sys::Promise, JsValue>) -> Option<JsValue> {
    JsFuture::from(promise.ok()?).await.ok()
}

impl Keeper {
    /// Looks how much room there is.
    pub fn space(self, then: impl FnOnce(Space) + 'static) {
        let is_local = self.database().is_local();
        leptos::task::spawn_local(async move {
            let mut space = Space {
                is_local,
                ..Space::default()
            };
            if let Some(manager) = manager() {
                if let Some(estimate) = answer(manager.estimate()).await {
                    let number = |key: &str| {
                        let value = js_sys::Reflect::get(&estimate, &JsValue::from_str(key));
                        value.ok().and_then(|v| v.as_f64())
                    };
                    (space.used, space.room) = (number("usage"), number("quota"));
                }
                space.is_kept = answer(manager.persisted()).await.and_then(|v| v.as_bool());
            }
            then(space);
        });
    }

    /// Asks the browser to keep the plans until somebody deletes them.
    pub fn ask_to_keep(self, then: impl FnOnce(bool) + 'static) {
        leptos::task::spawn_local(async move {
            let kept = match manager() {
                Some(manager) => answer(manager.persist()).await,
                None => None,
            };
            then(kept.and_then(|v| v.as_bool()) == Some(true));
        });
    }
}
