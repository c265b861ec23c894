//! The cursor: a plumb line over all lanes with the time in a flag. Dragged anywhere on the chart's field; by keys it goes
//! from event to event.

use super::play::step;
use super::run::{Run, use_run};
use crate::page::store::{Store, use_store};
use crate::plan::PartId;
use crate::quantity::{DAY_MS, Ms};
use crate::sheet::chart::Window;
use crate::sheet::words::precise;
use leptos::ev;
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

/// A pull of the cursor.
#[derive(Clone, Copy)]
struct Pull {
    /// The moment shown before.
    from: Ms,
    /// Where it began, in pixels of the window.
    at: (i32, i32),
    /// Whether the cursor follows. A finger may want to move the page up or down instead.
    follows: bool,
}

/// So far a finger goes across before the cursor follows it, in pixels.
const ACROSS: i32 = 8;

/// Moves the cursor by a key: from event to event, by minutes or hours of the dial, or to an end.
fn by_key(store: Store, run: Run, day: Ms, ev: &web_sys::KeyboardEvent) {
    let moment = store.moment();
    let minute = (day / 1440).max(1);
    let (now, last) = (moment.get_untracked(), run.end().saturating_sub(1));
    match (ev.key().as_str(), ev.shift_key()) {
        ("ArrowRight", false) => step(store, run, true),
        ("ArrowLeft", false) => step(store, run, false),
        ("ArrowRight", true) => store.go_to(now.saturating_add(minute).min(last)),
        ("ArrowLeft", true) => store.go_to(now.saturating_sub(minute)),
        ("PageUp", _) => store.go_to(now.saturating_sub(60 * minute)),
        ("PageDown", _) => store.go_to(now.saturating_add(60 * minute).min(last)),
        ("Home", _) => store.go_to(0),
        ("End", _) => store.go_to(last),
        _ => return,
    }
    ev.prevent_default();
    ev.stop_propagation();
}

/// The cursor over a chart that shows `window`.
#[component]
pub(super) fn Cursor(window: Memo<Window>) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let moment = store.moment();
    let field = NodeRef::<html::Div>::new();
    let pull = StoredValue::new(None::<Pull>);
    let day = move || run.day();
    let share = move || window.get().x(moment.get()) / 10.0;
    let is_in = move || (0.0..=100.0).contains(&share());
    let said = move || {
        let (t, day) = (moment.get(), day());
        let since = if day == DAY_MS {
            String::new()
        } else {
            format!(" · {}", since_midnight(t, day))
        };
        let past = if is_in() { "" } else { "After this run: " };
        format!("{past}Day {}, {}{since}", t / day + 1, precise(t, day))
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
                store.go_to(t);
            }
        }
    };
    let down = move |ev: web_sys::PointerEvent| {
        if ev.button() != 0 {
            return;
        }
        run.plays().set(false);
        let at = (ev.client_x(), ev.client_y());
        let follows = ev.pointer_type() != "touch";
        let from = moment.get_untracked();
        pull.set_value(Some(Pull { from, at, follows }));
        if let Some(el) = ev
            .current_target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        {
            let _ = el.set_pointer_capture(ev.pointer_id());
        }
        if follows {
            put(ev.client_x());
        }
    };
    let moves = move |ev: web_sys::PointerEvent| {
        let Some(mut now) = pull.get_value() else {
            return store.point_at(lane_at(&ev));
        };
        let across = (ev.client_x() - now.at.0).abs();
        now.follows |= across > ACROSS && across > (ev.client_y() - now.at.1).abs();
        pull.set_value(Some(now));
        if now.follows {
            put(ev.client_x());
        }
    };
    let up = move |ev: web_sys::PointerEvent| {
        if pull.get_value().is_some() {
            put(ev.client_x());
        }
        pull.set_value(None);
    };
    let escape = window_event_listener(ev::keydown, move |ev| {
        if ev.key() != "Escape" {
            return;
        }
        match pull.get_value() {
            Some(Pull { from, .. }) => {
                pull.set_value(None);
                store.go_to(from);
            }
            None => run.plays().set(false),
        }
    });
    on_cleanup(move || escape.remove());
    view! {
        <div class="cursor-field" node_ref=field on:pointerdown=down on:pointermove=moves
            on:pointerup=up on:lostpointercapture=move |_| pull.set_value(None)
            on:pointerleave=move |_| store.point_at(None)>
            <div class="plumb" class:away=move || !is_in() style=move || format!("left: {}%", share().clamp(0.0, 100.0))
                role="slider" tabindex="0" aria-label="Cursor" aria-orientation="horizontal"
                aria-valuemin="0"
                aria-valuemax=move || run.end().saturating_sub(1).to_string()
                aria-valuenow=move || moment.get().to_string()
                aria-valuetext=said
                title="Left and right go from event to event, with Shift from minute to minute"
                on:keydown=move |ev| by_key(store, run, day(), &ev)>
                <span class="flag" class:left=move || { share() > 70.0 }>{said}</span>
            </div>
        </div>
    }
}

/// The part whose lane is under the pointer, below the field.
fn lane_at(ev: &web_sys::PointerEvent) -> Option<PartId> {
    let (x, y) = (ev.client_x() as f32, ev.client_y() as f32);
    let under = document().elements_from_point(x, y);
    let rows = under.iter().filter_map(|el| {
        let row = el.dyn_into::<web_sys::Element>().ok()?;
        row.closest("[data-lane]").ok()?
    });
    let lane = rows.filter_map(|row| row.get_attribute("data-lane")).next();
    lane.map(|id| PartId::from(id.as_str()))
}
