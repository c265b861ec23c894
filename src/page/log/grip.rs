//! The grip between board and log: drag it, or move it by the arrow keys. Heights in pixels of the screen.

use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};

const LEAST: f64 = 120.0;
const STEP: f64 = 24.0;

/// The log's height at first: what a wide and flat plan leaves free beside shelf and details.
pub(super) fn at_first() -> f64 {
    let size = |of: Result<JsValue, JsValue>| of.ok().and_then(|v| v.as_f64()).unwrap_or(800.0);
    let (wide, high) = (size(window().inner_width()), size(window().inner_height()));
    (high - 104.0 - (wide - 520.0) / 2.0).clamp(296.0, 440.0)
}

/// The grip.
#[component]
pub(super) fn Grip(
    /// The log's height.
    height: RwSignal<f64>,
    /// Keeps it, once it is what was wanted.
    keep: impl Fn() + Copy + 'static,
) -> impl IntoView {
    let held = RwSignal::new(None::<(f64, f64)>);
    let most = || {
        let all = window()
            .inner_height()
            .ok()
            .and_then(|h| h.as_f64())
            .unwrap_or(800.0);
        (all - 260.0).max(LEAST)
    };
    let put = move |h: f64| height.set(h.clamp(LEAST, most()));
    let down = move |ev: web_sys::PointerEvent| {
        held.set(Some((f64::from(ev.client_y()), height.get_untracked())));
        if let Some(el) = ev
            .current_target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        {
            let _ = el.set_pointer_capture(ev.pointer_id());
        }
    };
    let moves = move |ev: web_sys::PointerEvent| {
        if let Some((y, before)) = held.get_untracked() {
            put(before + y - f64::from(ev.client_y()));
        }
    };
    let key = move |ev: web_sys::KeyboardEvent| {
        let by = match ev.key().as_str() {
            "ArrowUp" => STEP,
            "ArrowDown" => -STEP,
            _ => return,
        };
        ev.prevent_default();
        put(height.get_untracked() + by);
        keep();
    };
    let up = move || {
        if held.get_untracked().is_some() {
            held.set(None);
            keep();
        }
    };
    view! {
        <div
            class="grip"
            role="separator"
            tabindex="0"
            aria-orientation="horizontal"
            aria-label="Height of the log"
            aria-valuemin=LEAST.to_string()
            aria-valuenow=move || height.get().round().to_string()
            on:pointerdown=down
            on:pointermove=moves
            on:pointerup=move |_| up()
            on:lostpointercapture=move |_| up()
            on:keydown=key
        ></div>
    }
}
