//! Shelf and details fold away on a wide screen, by a button or a key, to leave the board their room. Which are folded is
//! kept in the browser. A narrow screen has its drawer instead.

use super::keeping::browser;
use super::keys;
use leptos::ev;
use leptos::prelude::*;

/// What of the page's sides is folded. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Folds {
    /// The shelf.
    pub shelf: RwSignal<bool>,
    /// Details and problems.
    pub details: RwSignal<bool>,
}

impl Folds {
    /// As they were left, listening for the keys. Call it in the page's root.
    pub fn start() -> Folds {
        let kept = |name: &'static str| {
            let folded = RwSignal::new(browser::read(name).is_some());
            Effect::watch(
                move || folded.get(),
                move |is, _, _| match is {
                    // What can't be kept is unfolded at the next visit, which harms nothing.
                    true => drop(browser::write(name, "yes")),
                    false => browser::remove(name),
                },
                false,
            );
            folded
        };
        let folds = Folds {
            shelf: kept("folded/shelf"),
            details: kept("folded/details"),
        };
        let keys = window_event_listener(ev::keydown, move |ev| {
            let side = match ev.key().as_str() {
                "[" => folds.shelf,
                "]" => folds.details,
                _ => return,
            };
            if !keys::are_elsewhere(&ev) {
                side.update(|is| *is = !*is);
            }
        });
        on_cleanup(move || keys.remove());
        folds
    }
}

/// The button that folds a side of the page.
#[component]
pub fn FoldButton(
    /// What is folded.
    name: &'static str,
    /// The key that does the same.
    key: &'static str,
    /// Whether it is.
    folded: RwSignal<bool>,
) -> impl IntoView {
    view! {
        <button
            type="button"
            class="fold"
            title=format!("Fold or unfold ({key})")
            aria-keyshortcuts=key
            aria-expanded=move || (!folded.get()).to_string()
            on:click=move |_| folded.update(|is| *is = !*is)
        >
            {name}
        </button>
    }
}
