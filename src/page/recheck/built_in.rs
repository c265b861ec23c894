//! What the built-in books were at the last visit, kept beside the page's other settings: where a new version of the
//! program has other numbers, the kept plans that use them are proven on both.

use super::Rechecks;
use crate::book::{built_in_names, built_in_text};
use crate::page::keeping::browser::{read, write};
use crate::plan::is_other_version;
use leptos::prelude::*;
use std::time::Duration;

/// So the board and the open plan's verdict come first.
const SOON: Duration = Duration::from_millis(500);

/// Under which name the text of a built-in book is kept.
fn place(name: &str) -> String {
    format!("seen-book/{name}")
}

/// Looks a moment later whether built-in books have changed.
pub(super) fn look_soon(rechecks: Rechecks) {
    set_timeout(move || look(rechecks), SOON);
}

fn look(rechecks: Rechecks) {
    let mut old = Vec::new();
    for name in built_in_names() {
        match read(&place(name)) {
            Some(text) if built_in_text(name) == Some(&text) => {}
            Some(text) if is_other_version(name, &text) => old.push((name, text)),
            // A first visit, or nothing but words differ.
            _ => note(name),
        }
    }
    if !old.is_empty() {
        let names: Vec<_> = old.iter().map(|(name, _)| *name).collect();
        // Not before: a tab that is closed meanwhile begins anew at the next visit.
        rechecks.of_new_versions(old, move || names.into_iter().for_each(note));
    }
}

/// Keeps the text of a book as it now is. Where that can't be, its next version is compared with an earlier one.
fn note(name: &str) {
    if let Some(text) = built_in_text(name) {
        let _ = write(&place(name), text);
    }
}
