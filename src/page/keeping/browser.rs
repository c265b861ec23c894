//! The browser's storage: texts under names of this page's own.
//!
//! A name is kept with the page's path before it, so that two pages of one origin do not meet: `duskline:/path/:name`.
//! What an earlier version kept without the path is taken over once, text by text, so that the room for it is never
//! needed twice. Storage that is blocked or full is told, never swallowed.

use gloo_storage::{LocalStorage, Storage as _};
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// What an earlier version put before its names.
const WITHOUT_PATH: &str = "duskline/";

/// The browser's storage, if it lets itself be used: asking for it by other ways panics where it is blocked.
fn raw() -> Option<web_sys::Storage> {
    window().local_storage().ok().flatten()?;
    Some(LocalStorage::raw())
}

/// What the browser keeps for this tab alone, until it is closed.
fn of_tab() -> Option<web_sys::Storage> {
    window().session_storage().ok().flatten()
}

/// What stands before the names of this page.
fn prefix() -> String {
    let path = window().location().pathname().unwrap_or_default();
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    format!("duskline:{folder}/:")
}

/// Whether the browser lets the page keep anything.
pub fn is_there() -> bool {
    raw().is_some()
}

/// A text that is kept under a name.
pub fn read(name: &str) -> Option<String> {
    raw()?.get_item(&(prefix() + name)).ok().flatten()
}

/// Keeps a text; on failure says why, for people.
pub fn write(name: &str, text: &str) -> Result<(), String> {
    let Some(storage) = raw() else {
        return Err("This browser does not let the page keep anything".into());
    };
    storage.set_item(&(prefix() + name), text).map_err(|error| {
        let name = js_sys::Reflect::get(&error, &JsValue::from_str("name"));
        match name.ok().and_then(|n| n.as_string()).as_deref() {
            Some("QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED") => {
                "The browser's room for this page is full".into()
            }
            Some(name) => format!("The browser refused to keep the plan ({name})"),
            None => "The browser refused to keep the plan".into(),
        }
    })
}

/// The names that begin with `start` under which something is kept, in their order.
pub fn names(start: &str) -> Vec<String> {
    let Some(storage) = raw() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    let mut names: Vec<String> = (0..count)
        .filter_map(|at| storage.key(at).ok().flatten())
        .filter_map(|key| name_of(&key))
        .filter(|name| name.starts_with(start))
        .collect();
    names.sort();
    names
}

/// Forgets what is kept under a name.
pub fn remove(name: &str) {
    if let Some(storage) = raw() {
        // What is not there need not go.
        let _ = storage.remove_item(&(prefix() + name));
    }
}

/// A text that is kept for this tab alone.
pub fn read_of_tab(name: &str) -> Option<String> {
    let tab = of_tab()?;
    let kept = |name: String| tab.get_item(&name).ok().flatten();
    kept(prefix() + name).or_else(|| kept(format!("{WITHOUT_PATH}{name}")))
}

/// Keeps a text for this tab alone, if the browser lets it.
pub fn write_of_tab(name: &str, text: &str) {
    if let Some(tab) = of_tab() {
        // Without it a reload shows what was opened last anywhere, which is kept just as well.
        let _ = tab.set_item(&(prefix() + name), text);
    }
}

/// The name of this page's that a key of the browser's storage stands for, if it is one.
pub fn name_of(key: &str) -> Option<String> {
    key.strip_prefix(&prefix()).map(String::from)
}

/// Takes over what an earlier version kept. A text that does not fit stays where it is, for the next time.
pub fn take_over() {
    let Some(storage) = raw() else { return };
    let count = storage.length().unwrap_or(0);
    let old: Vec<String> = (0..count)
        .filter_map(|at| storage.key(at).ok().flatten())
        .filter(|key| key.starts_with(WITHOUT_PATH))
        .collect();
    for key in old {
        let Some(text) = storage.get_item(&key).ok().flatten() else {
            continue;
        };
        let to = prefix() + key.trim_start_matches(WITHOUT_PATH);
        let is_there = storage.get_item(&to).ok().flatten().is_some();
        // The old goes first, since there may be room for only one; where the new can't be written it comes back.
        let _ = storage.remove_item(&key);
        if !is_there && storage.set_item(&to, &text).is_err() {
            let _ = storage.set_item(&key, &text);
        }
    }
}
