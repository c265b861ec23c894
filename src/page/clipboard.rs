//! Copy, cut and paste of the chosen parts with the wires among them, as text on the system's clipboard, so that it
//! works from tab to tab. Pasting a whole plan or a link opens it as another plan.
//!
//! It listens to the document's own copy, cut and paste events and leaves them alone wherever text is being edited or
//! selected, or a dialog is open.

use super::storage::{Keeper, Message};
use super::store::{Selection, Store};
use super::view;
use crate::plan::{PartId, Plan, Snippet, link};
use leptos::prelude::*;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// How far a pasted part lies from what it was copied from, in pixels of the board.
const OFFSET: f64 = 3.0 * view::MODULE;

/// Whether the event is somebody else's: a field, selected text or an open dialog.
fn elsewhere() -> bool {
    let field = document().active_element().is_some_and(|e| {
        let own = "input, textarea, select, [contenteditable], dialog, dialog *";
        e.matches(own).unwrap_or(false)
    });
    let dialog = document().query_selector("dialog[open]").ok().flatten();
    field || dialog.is_some()
}

/// Whether text of the page is selected, which is then what is to be copied.
fn text_selected() -> bool {
    let selection = js_sys::Reflect::get(&window(), &JsValue::from_str("getSelection"));
    let found = selection
        .ok()
        .and_then(|f| f.dyn_into::<js_sys::Function>().ok());
    let text = found
        .and_then(|f| f.call0(&window()).ok())
        .map(js_sys::JsString::from);
    text.is_some_and(|t| t.length() > 0 && t.as_string().is_some_and(|t| !t.trim().is_empty()))
}

fn copy(store: Store, event: &web_sys::ClipboardEvent, cut: bool) {
    let chosen = store.selection().get_untracked();
    if elsewhere() || chosen.parts.is_empty() || text_selected() {
        return;
    }
    let Some(data) = event.clipboard_data() else {
        return;
    };
    let snippet = store.with_plan(|plan| Snippet::of(plan, &chosen.parts));
    if data.set_data("text/plain", &snippet.print()).is_err() {
        return store.notice("The browser does not let the page use the clipboard.".into());
    }
    event.prevent_default();
    let parts = counted(snippet.parts.len());
    if cut {
        let ids: Vec<PartId> = chosen.parts.iter().cloned().collect();
        let edits = store.with_plan(|plan| plan.removal(&ids, &[]));
        if store.commit(&format!("cut {parts}"), edits) {
            store.notice(format!("Cut {parts}."));
        }
    } else {
        store.notice(format!("Copied {parts}."));
    }
}

fn counted(parts: usize) -> String {
    format!("{parts} {}", if parts == 1 { "part" } else { "parts" })
}

/// The last text that was pasted and how often, so that copies don't cover one another.
type Before = StoredValue<(String, u32)>;

fn paste(store: Store, keeper: Keeper, before: Before, event: &web_sys::ClipboardEvent) {
    if elsewhere() {
        return;
    }
    let text = event
        .clipboard_data()
        .and_then(|data| data.get_data("text/plain").ok());
    let text = text.unwrap_or_default();
    if text.trim().is_empty() {
        return;
    }
    event.prevent_default();
    if let Some(read) = store.with_plan(|plan| Snippet::read(&text, plan)) {
        return match read {
            Ok(snippet) => put_down(store, &snippet, before, text),
            Err(faults) => {
                let said = "The parts on the clipboard can't be pasted into this plan. Nothing was changed.";
                keeper
                    .message()
                    .set(Some(Message::new("Not pasted", said).with_faults(&faults)));
            }
        };
    }
    if link::looks_like_link(text.trim()) {
        super::links::open(keeper, &text);
    } else if text.contains(crate::plan::FORMAT) {
        super::files::open_text(keeper, &text, "The text on the clipboard");
    } else {
        store.notice("The clipboard holds no parts, no plan and no link to one.".into());
    }
}

fn put_down(store: Store, snippet: &Snippet, before: Before, text: String) {
    if snippet.parts.is_empty() {
        return store.notice("The clipboard holds no parts.".into());
    }
    let times = before.with_value(|(last, n)| if *last == text { n + 1 } else { 1 });
    before.set_value((text, times));
    let far = OFFSET * f64::from(times);
    let by = store.with_plan(|plan| {
        let around = view::around(snippet.parts.iter().map(|p| view::rect(plan, p)));
        let shown = store.view().get_untracked();
        let window = (
            shown.x,
            shown.y,
            shown.width / shown.zoom,
            shown.height / shown.zoom,
        );
        match around {
            // What was copied lies elsewhere: the copy comes to the middle of what is seen.
            Some(r) if !view::meet(r, window) => {
                let (x, y) = shown.centre();
                let middle = (r.0 + r.2 / 2.0, r.1 + r.3 / 2.0);
                (
                    view::snap(x - middle.0) + far - OFFSET,
                    view::snap(y - middle.1) + far - OFFSET,
                )
            }
            _ => (far, far),
        }
    });
    // A copy of the plan for its numbers: asking the page for ids while it lends the plan out is not to be had.
    let plan: Plan = store.with_plan(Plan::clone);
    let (edits, added) = snippet.edits(&plan, by, || store.new_part_id(), || store.new_wire_id());
    let parts = counted(added.len());
    if store.commit(&format!("paste {parts}"), edits) {
        store.set_focus(added.first().cloned());
        store.select(Selection {
            parts: added.into_iter().collect(),
            ..Selection::default()
        });
        store.notice(format!("Pasted {parts}."));
    }
}

/// From now on the document's copy, cut and paste are answered.
pub fn listen(store: Store, keeper: Keeper) {
    let before: Before = StoredValue::new((String::new(), 0));
    on("copy", move |event| copy(store, event, false));
    on("cut", move |event| copy(store, event, true));
    on("paste", move |event| paste(store, keeper, before, event));
}

/// Listens for as long as the page lives.
fn on(name: &str, then: impl FnMut(&web_sys::ClipboardEvent) + 'static) {
    let mut then = then;
    let heard = Closure::<dyn FnMut(web_sys::ClipboardEvent)>::new(
        move |event: web_sys::ClipboardEvent| then(&event),
    );
    let target: web_sys::EventTarget = document().into();
    if target
        .add_event_listener_with_callback(name, heard.as_ref().unchecked_ref())
        .is_ok()
    {
        heard.forget();
    }
}
