//! The browser's storage: texts under names of this page's own.
//!
//! A name is kept with the page's path before it, so that two pages of one origin do not meet: `duskline:/path/:name`.
//! What an earlier version kept without the path is taken over once, text by text, so that the room for it is never
//! needed twice. Storage that is blocked or full is told, never swallowed.

use super::trouble::Trouble;
use gloo_storage::{LocalStorage, Storage as _};
use leptos::prelude::*;

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
pub(super) fn prefix() -> String {
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

/// Keeps a text.
pub fn write(name: &str, text: &str) -> Result<(), Trouble> {
    let Some(storage) = raw() else {
        return Err(Trouble::NoStorage);
    };
    let done = storage.set_item(&(prefix() + name), text);
    done.map_err(|error| Trouble::of(&error))
}

/// The names that begin with `start` under which something is kept, in their order.
pub fn names(start: &str) -> Vec<String> {
    let Some(storage) = raw() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    let mut names: Vec<String> = (0..count)
        .filter_map(|at| storage.key(at).ok().flatten())
        .filter_map(|key| key.strip_prefix(&prefix()).map(String::from))
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

/// All names and texts in the browser's storage, those of other pages of the origin among them.
pub fn everything() -> Vec<(String, String)> {
    let Some(storage) = raw() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    let key = |at| storage.key(at).ok().flatten();
    (0..count)
        .filter_map(key)
        .filter_map(|key| Some((key.clone(), storage.get_item(&key).ok().flatten()?)))
        .collect()
}

/// Forgets what is kept under a whole name, with what stands before the names of this page.
pub fn remove_whole(name: &str) {
    if let Some(storage) = raw() {
        let _ = storage.remove_item(name);
    }
}

/// Keeps a text under a whole name once more, after it was taken away.
pub fn put_back(name: &str, text: &str) {
    if let Some(storage) = raw() {
        let _ = storage.set_item(name, text);
    }
}

/// Takes over what the page's looks were set to before its path stood before the names: small texts, one by one.
pub fn take_over_settings() {
    for (name, text) in everything() {
        if let Some(short) = name.strip_prefix(WITHOUT_PATH)
            && !["plan/", "variants/", "plans"]
                .iter()
                .any(|s| short.starts_with(s))
        {
            if read(short).is_none() && write(short, &text).is_err() {
                continue;
            }
            remove_whole(&name);
        }
    }
}
