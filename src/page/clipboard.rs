//! Copy, cut and paste of the chosen parts with the wires among them, as text on the system's clipboard, so that it
//! works from tab to tab. Pasting a whole plan or a link opens it as another plan.
//!
//! It listens to the document's own copy, cut and paste events and leaves them alone wherever text is being edited or
//! selected, or a dialog is open.

use super::incoming::{self, Incoming};
use super::keeping::Message;
use super::later::Later;
use super::store::Store;
use super::{files, links};
use crate::editor;
use crate::plan::link::{self, Carried};
use crate::plan::{FORMAT, Snippet, WORLD_FORMAT};
use leptos::prelude::*;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

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

/// Copies the chosen parts, or cuts them out.
pub fn copy(store: Store, event: &web_sys::ClipboardEvent, cut: bool) {
    let chosen = store.selection().get_untracked();
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
        store.dispatch(editor::Message::Cut);
    } else {
        store.notice(format!("Copied {parts}."));
    }
}

fn counted(parts: usize) -> String {
    format!("{parts} {}", if parts == 1 { "part" } else { "parts" })
}

/// Pastes parts, or opens a plan or a link.
pub fn paste(store: Store, incoming: Incoming, event: &web_sys::ClipboardEvent) {
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
            Ok(snippet) => {
                store.dispatch(editor::Message::Paste(Box::new(snippet), text));
            }
            Err(faults) => {
                let said = "The parts on the clipboard can't be pasted into this plan. Nothing was changed.";
                incoming
                    .keeper
                    .message()
                    .set(Some(Message::new("Not pasted", said).with_faults(&faults)));
            }
        };
    }
    match link::carried(text.trim()) {
        Some(Carried::Plan) => return links::open_plan(incoming, &text),
        Some(Carried::World) => return incoming::take_link(incoming, &text),
        None => {}
    }
    if [FORMAT, WORLD_FORMAT].iter().any(|f| text.contains(f)) {
        let name = "The text on the clipboard";
        if let Err(faults) = files::open_text(incoming.keeper, &text, name) {
            incoming::take_other(incoming, &text, name, &faults);
        }
    } else {
        store.notice("The clipboard holds no parts, no plan, no world and no link to one.".into());
    }
}

/// From now on the document's copy, cut and paste are answered.
pub fn listen(store: Store, incoming: Incoming, later: Later) {
    // An event's clipboard is there for as long as the event alone.
    let copies = move |event: &web_sys::ClipboardEvent, cut| {
        if copies_parts(store)
            && let Some(part) = later.at_once()
        {
            (part.copy)(store, event, cut);
        }
    };
    on("copy", move |event| copies(event, false));
    on("cut", move |event| copies(event, true));
    on("paste", move |event| {
        if !elsewhere()
            && let Some(part) = later.at_once()
        {
            (part.paste)(store, incoming, event);
        }
    });
}

/// Whether parts are what is to be copied.
fn copies_parts(store: Store) -> bool {
    let none = (store.selection()).with_untracked(|chosen| chosen.parts.is_empty());
    !none && !elsewhere() && !text_selected()
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
