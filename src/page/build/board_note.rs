//! The line over the board that says what the window showed there, and leads back to it.

use crate::page::store::use_store;
use crate::page::windows::use_windows;
use leptos::prelude::*;

/// Says what a window showed on the board, and leads back to it. Another plan has nothing to do with it.
#[component]
pub fn BoardNoteBanner() -> impl IntoView {
    let (store, windows) = (use_store(), use_windows());
    Effect::watch(
        move || store.opened(),
        move |_, _, _| windows.set_note(None),
        false,
    );
    move || {
        windows.note().map(|note| {
            view! {
                <div class="board-note" role="status">
                    <span>{note.says}</span>
                    <button type="button" on:click=move |_| windows.open(note.from)>{note.back}</button>
                    <button type="button" class="quiet" on:click=move |_| windows.set_note(None)>"Close"</button>
                </div>
            }
        })
    }
}
