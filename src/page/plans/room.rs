//! How much room the browser has for the plans, and whether it keeps them for good.

use crate::page::keeping::{Keeper, Space};
use leptos::prelude::*;

/// Says it, and asks the browser to keep the plans where it does not yet.
#[component]
pub(super) fn Room(keeper: Keeper) -> impl IntoView {
    let space = RwSignal::new(None::<Space>);
    let look = move || {
        keeper.space(move |found| {
            // The window may be closed by now.
            let _ = space.try_set(Some(found));
        })
    };
    look();
    let ask = move |_| {
        keeper.ask_to_keep(move |kept| {
            let says = match kept {
                true => "The browser keeps the plans until you delete them.",
                false => "The browser does not promise it. Save important plans as files.",
            };
            keeper.say(says);
            look();
        });
    };
    let said = move || {
        let space = space.get()?;
        let used = match (space.used, space.room) {
            (Some(used), Some(room)) => format!("{} of {} are used.", bytes(used), bytes(room)),
            _ => String::new(),
        };
        let place = match space.is_local {
            true => {
                " Only a small store can be had in this browser or window: save important plans as files."
            }
            false => "",
        };
        Some(format!("{used}{place}"))
    };
    let may_ask = move || space.get().is_some_and(|s| s.is_kept == Some(false));
    view! {
        <p class="aside room">
            {said}
            <Show when=move || space.get().is_some_and(|s| s.is_kept == Some(true))>
                " The browser keeps them until you delete them."
            </Show>
            <Show when=may_ask>
                " When room is short, the browser may delete them. "
                <button type="button" on:click=ask>"Ask it to keep them"</button>
            </Show>
        </p>
    }
}

/// A count of bytes in words.
fn bytes(count: f64) -> String {
    match count {
        c if c < 1e6 => format!("{:.0} kB", (c / 1e3).ceil()),
        c if c < 1e9 => format!("{:.1} MB", c / 1e6),
        c => format!("{:.0} GB", c / 1e9),
    }
}
