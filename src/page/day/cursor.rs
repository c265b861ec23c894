//! The cursor: a plumb line over all lanes with the time in a flag. Dragged anywhere on the chart's field; by keys it goes
//! from event to event.

use super::play::step;
use super::run::{Run, use_run};
use crate::page::state::{Bench, use_bench};
use crate::plan::Clock;
use crate::quantity::Ms;
use crate::sheet::chart::Window;
use leptos::html;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Hours, minutes and seconds of a length of time: `18:42`, with seconds where a day is short.
pub(super) fn since_midnight(t: Ms, day: Ms) -> String {
    let into = t % day.max(1);
    let seconds = into / 1000;
    format!(
        "{} h {:02} min {:02} s",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    )
}

/// Moves the cursor by a key: from event to event, by minutes or hours of the dial, or to an end.
fn by_key(bench: Bench, run: Run, day: Ms, ev: &web_sys::KeyboardEvent) {
    let moment = bench.moment();
    let minute = (day / 1440).max(1);
    let (now, last) = (moment.get_untracked(), run.end().saturating_sub(1));
    match (ev.key().as_str(), ev.shift_key()) {
        ("ArrowRight", false) => step(bench, run, true),
        ("ArrowLeft", false) => step(bench, run, false),
        ("ArrowRight", true) => moment.set(now.saturating_add(minute).min(last)),
        ("ArrowLeft", true) => moment.set(now.saturating_sub(minute)),
        ("PageUp", _) => moment.set(now.saturating_sub(60 * minute)),
        ("PageDown", _) => moment.set(now.saturating_add(60 * minute).min(last)),
        ("Home", _) => moment.set(0),
        ("End", _) => moment.set(last),
        _ => return,
    }
    ev.prevent_default();
    ev.stop_propagation();
}

/// The cursor over a chart that shows `window`.
#[component]
pub(super) fn Cursor(window: Memo<Window>) -> impl IntoView {
    let (bench, run) = (use_bench(), use_run());
    let moment = bench.moment();
    let field = NodeRef::<html::Div>::new();
    let held = StoredValue::new(false);
    let day = move || run.told().map_or(86_400_000, |t| t.journey.day_ms);
    let share = move || window.get().x(moment.get()) / 10.0;
    let is_in = move || (0.0..=100.0).contains(&share());
    let said = move || {
        let (t, day) = (moment.get(), day());
        let since = if day == 86_400_000 {
            String::new()
        } else {
            format!(" · {}", since_midnight(t, day))
        };
        format!("Day {}, {}{since}", t / day + 1, Clock::at(t, day))
    };
    let put = move |client_x: i32| {
        let Some(el) = field.get_untracked() else {
            return;
        };
        let rect = el.get_bounding_client_rect();
        if rect.width() > 0.0 {
            let share = (f64::from(client_x) - rect.left()) / rect.width();
            let t = window.get_untracked().at(share);
            if moment.get_untracked() != t {
                moment.set(t);
            }
        }
    };
    let down = move |ev: web_sys::PointerEvent| {
        if ev.button() != 0 {
            return;
        }
        held.set_value(true);
        if let Some(el) = ev
            .current_target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        {
            let _ = el.set_pointer_capture(ev.pointer_id());
        }
        put(ev.client_x());
    };
    let moves = move |ev: web_sys::PointerEvent| {
        if held.get_value() {
            put(ev.client_x());
        }
    };
    view! {
        <div class="cursor-field" node_ref=field on:pointerdown=down on:pointermove=moves
            on:pointerup=move |_| held.set_value(false) on:lostpointercapture=move |_| held.set_value(false)>
            <div class="plumb" class:away=move || !is_in() style=move || format!("left: {}%", share().clamp(0.0, 100.0))
                role="slider" tabindex="0" aria-label="Cursor" aria-orientation="horizontal"
                aria-valuemin="0"
                aria-valuemax=move || run.end().saturating_sub(1).to_string()
                aria-valuenow=move || moment.get().to_string()
                aria-valuetext=said
                title="Left and right go from event to event, with Shift from minute to minute"
                on:keydown=move |ev| by_key(bench, run, day(), &ev)>
                <span class="flag" class:left=move || { share() > 70.0 }>{said}</span>
            </div>
        </div>
    }
}
