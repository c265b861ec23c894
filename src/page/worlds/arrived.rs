//! A world that came in by a link or a file, and whose id a kept one has with other numbers: which are to be kept.

use super::{Differs, use_worlds};
use crate::page::keeping::use_keeper;
use crate::sheet::numbers_changed::differing;
use leptos::prelude::*;

/// What differs, and the choice; nothing where no such world came in.
#[component]
pub(super) fn Arrived() -> impl IntoView {
    let (keeper, worlds) = (use_keeper(), use_worlds());
    let arrived = keeper.arrived();
    move || {
        let world = arrived.get()?;
        let (key, kept) = worlds.of_id(world.id())?;
        let said = differing(&kept.numbers, &world.numbers);
        let says = match said.is_empty() {
            true => format!(
                "{} came in. It is kept here as {}, with the same numbers.",
                world.name, kept.name
            ),
            false => format!(
                "{} came in with other numbers than are kept here.",
                world.name
            ),
        };
        let take = {
            let (key, world) = (key.clone(), world.clone());
            move |_| {
                worlds.change(&key, &world, world.numbers.clone());
                arrived.set(None);
            }
        };
        let table = (!said.is_empty())
            .then(|| view! { <Differs heads=["kept here".into(), "came in".into()] said/> });
        Some(view! {
            <section class="arrived" aria-labelledby="world-arrived">
                <h3 id="world-arrived">"A world that came in"</h3>
                <p role="status">{says}</p>
                {table}
                <p class="acts">
                    <button type="button" on:click=take>"Take its numbers"</button>
                    <button type="button" on:click=move |_| keeper.keep_both()>"Keep both"</button>
                    <button type="button" on:click=move |_| arrived.set(None)>"Leave what is kept"</button>
                </p>
            </section>
        })
    }
}
