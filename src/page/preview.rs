//! The lines over the board: what is tried, to be taken or left, and what a large window showed there.

use super::store::use_store;
use super::windows::use_windows;
use leptos::prelude::*;

/// Says what is tried, and leads back.
#[component]
pub fn PreviewBanner() -> impl IntoView {
    let store = use_store();
    move || {
        store.preview().map(|says| {
            view! {
                <div class="trial" role="status">
                    <span>"Shown as a trial: " {says}</span>
                    {store.can_take().then(|| view! {
                        <button type="button" on:click=move |_| store.take_preview()>"Take"</button>
                    })}
                    <button type="button" on:click=move |_| store.end_preview()>"Back to the plan"</button>
                </div>
            }
        })
    }
}

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
