//! The parts that have no place in the site yet, each with what its type asks for: dragged onto a face, or taken in hand by
//! a click and hung by the next.

use super::act;
use crate::editor::site::InHand;
use crate::editor::{Editor, SiteAct};
use crate::page::shelf::drawing;
use crate::page::store::{Store, use_store};
use crate::plan::PartId;
use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// How far the pointer goes before a press is a drag, in pixels.
const THRESHOLD: f64 = 6.0;

/// A part without a place.
#[derive(Clone, PartialEq)]
struct Waiting {
    id: PartId,
    name: String,
    symbol: String,
    goes: &'static str,
}

/// The tray.
#[component]
pub fn Tray() -> impl IntoView {
    let store = use_store();
    let waiting = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            let parts = plan.parts.iter().filter(|part| part.hangs.is_none());
            let one = |part: &crate::plan::Part| Waiting {
                id: part.id.clone(),
                name: plan.called(&part.id),
                symbol: plan
                    .kind_of(part)
                    .map_or_else(String::new, |kind| kind.symbol.clone()),
                goes: plan.mount_of(part).said(),
            };
            parts.map(one).collect::<Vec<_>>()
        })
    });
    let pressed = Pressed::new(None);
    listen(store, pressed);
    view! {
        <section class="site-block" aria-labelledby="site-tray">
            <h3 id="site-tray">"Without a place"</h3>
            <p class="aside" hidden=move || !waiting.with(Vec::is_empty)>{move || {
                if store.part_ids().with(Vec::is_empty) { "The plan has no parts yet. Put some on the board first." } else { "Every part has its place." }
            }}</p>
            <ul class="site-tray">
                <For each=move || waiting.get() key=|one| (one.id.clone(), one.name.clone()) children=move |one| view! { <Entry one pressed/> }/>
            </ul>
        </section>
    }
}

/// The press on an entry that is under way, and where it began.
type Pressed = StoredValue<Option<(PartId, (f64, f64))>>;

/// Follows the pointer from a press on an entry to where it ends.
fn listen(store: Store, pressed: Pressed) {
    let moves = window_event_listener(ev::pointermove, move |event| {
        let Some((id, at)) = pressed.get_value() else {
            return;
        };
        let by = (
            f64::from(event.client_x()) - at.0,
            f64::from(event.client_y()) - at.1,
        );
        // A finger that goes up or down scrolls.
        let scrolls = event.pointer_type() == "touch" && by.0.abs() <= by.1.abs();
        if by.0.hypot(by.1) > THRESHOLD {
            pressed.set_value(None);
            if !scrolls {
                store.pane().set(None);
                act(store, SiteAct::Take(Some(id), true));
            }
        }
    });
    // The paper has heard of it before the window does; what it did not take fell beside it.
    let end = move || {
        pressed.set_value(None);
        let is_dragged = |editor: &Editor| editor.site().hand().is_some_and(InHand::is_dragged);
        if store.with(is_dragged) {
            act(store, SiteAct::Take(None, false));
        }
    };
    let up = window_event_listener(ev::pointerup, move |_| end());
    let cancel = window_event_listener(ev::pointercancel, move |_| end());
    on_cleanup(move || {
        moves.remove();
        up.remove();
        cancel.remove();
    });
}

/// One part without a place.
#[component]
fn Entry(
    /// The part.
    one: Waiting,
    /// The press that is under way.
    pressed: Pressed,
) -> impl IntoView {
    let store = use_store();
    let id = StoredValue::new(one.id.clone());
    let in_hand = move || {
        store.site_changes();
        store.with(|editor| {
            let hand = editor.site().hand();
            hand.is_some_and(|hand| id.with_value(|id| hand.part == *id))
        })
    };
    let press = move |event: ev::PointerEvent| {
        if event.button() != 0 {
            return;
        }
        // A touch belongs to the entry it began on until it is given free: the paper is to see where it ends.
        let target = event.target();
        if let Some(target) = target.and_then(|t| t.dyn_into::<web_sys::Element>().ok()) {
            let _ = target.release_pointer_capture(event.pointer_id());
        }
        let at = (f64::from(event.client_x()), f64::from(event.client_y()));
        pressed.set_value(Some((id.get_value(), at)));
    };
    let click = move |_| {
        let holds = untrack(in_hand);
        let part = (!holds).then(|| id.get_value());
        act(store, SiteAct::Take(part, false));
        if !holds && store.is_small() {
            store.pane().set(None);
        }
    };
    view! {
        <li>
            <button type="button" class="kind" class:carried=in_hand aria-pressed=move || in_hand().to_string()
                on:pointerdown=press on:click=click on:dragstart=move |event| event.prevent_default()>
                {drawing(&one.symbol, None)}
                <span>{one.name}<small>{format!("goes {}", one.goes)}</small></span>
            </button>
        </li>
    }
}
