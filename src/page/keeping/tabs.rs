//! Tabs with the same page tell one another which plan they have written.

use super::browser;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{BroadcastChannel, MessageEvent};

/// The line between the tabs; none where the browser has no such thing.
pub(super) struct Tabs {
    channel: Option<BroadcastChannel>,
    /// Hears as long as this is kept.
    _heard: Option<Closure<dyn FnMut(MessageEvent)>>,
}

impl Tabs {
    /// Calls `hear` with the key of each plan that another tab has written or removed.
    pub fn listen(hear: impl Fn(String) + 'static) -> Tabs {
        let channel = BroadcastChannel::new(&browser::prefix()).ok();
        let heard = channel.as_ref().map(|channel| {
            let heard = Closure::new(move |event: MessageEvent| {
                if let Some(key) = event.data().as_string() {
                    hear(key);
                }
            });
            channel.set_onmessage(Some(heard.as_ref().unchecked_ref()));
            heard
        });
        Tabs {
            channel,
            _heard: heard,
        }
    }

    /// Tells the others that the plan under a key was written or removed.
    pub fn tell(&self, key: &str) {
        if let Some(channel) = &self.channel {
            // Without it another tab finds out when it writes.
            let _ = channel.post_message(&JsValue::from_str(key));
        }
    }
}
