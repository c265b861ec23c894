//! The empty board: what to do first, the lessons, and the examples.

use super::keeping::use_keeper;
use super::later::use_later;
use super::store::use_store;
use super::toolbar::Examples;
use super::windows::{WindowKind, use_windows};
use leptos::prelude::*;

/// Shown for as long as the plan has no part.
#[component]
pub fn Welcome() -> impl IntoView {
    let store = use_store();
    let (keeper, later, windows) = (use_keeper(), use_later(), use_windows());
    // A part in hand may be put down anywhere, over the buttons too.
    let is_carrying = move || store.carry().with(Option::is_some);
    let first_lesson = move |_| later.call(move |part| (part.open_lesson)(keeper, 0));
    // The first state of a walk may be an empty board too.
    let is_followed = Memo::new(move |_| store.walk_place().is_some());
    let empty = move || store.part_ids().with(Vec::is_empty) && !is_followed.get();
    view! {
        <Show when=empty>
            <section class="welcome" class:carrying=is_carrying aria-labelledby="welcome-title">
                <h2 id="welcome-title">"An empty board"</h2>
                <ol>
                    <li>
                        <span class="by-mouse">"Drag a sun panel, a battery and a lamp here from the shelf. Or choose one there and press Enter."</span>
                        <span class="by-finger">"Tap a sun panel, a battery or a lamp on the shelf, then tap the board where it is to stand."</span>
                    </li>
                    <li>"Drag from the notch on the right of one card to a notch on the left of the next: that is a wire."</li>
                    <li>"Read on every wire what is taken of what is offered, and in the list what is still wrong."</li>
                </ol>
                <p>"Never wired anything?"</p>
                <p class="examples">
                    <button type="button" on:click=first_lesson>"Begin with lesson one"</button>
                    <button type="button" on:click=move |_| windows.open(WindowKind::Lessons)>"All lessons…"</button>
                </p>
                <p>"You know what must run, and not how to wire it?"</p>
                <p class="examples">
                    <button type="button" on:click=move |_| windows.open(WindowKind::Draft)>"Draft a plan…"</button>
                </p>
                <p>"Or look at one that works:"</p>
                <p class="examples">
                    <Examples/>
                </p>
            </section>
        </Show>
    }
}
