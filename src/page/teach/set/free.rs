//! Which given parts a learner may set otherwise or take away.

use super::{change, of_exercise};
use crate::page::store::use_store;
use crate::plan::PartId;
use leptos::prelude::*;

/// A box to tick for each given part.
#[component]
pub fn Free() -> impl IntoView {
    let store = use_store();
    let free = of_exercise(|exercise| exercise.free.clone());
    let given = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            let given = plan.exercise_start();
            let parts = given.iter().flat_map(|given| {
                given
                    .parts
                    .iter()
                    .map(|p| (p.id.clone(), given.called(&p.id)))
            });
            parts.collect::<Vec<(PartId, String)>>()
        })
    });
    let row = move |(id, name): (PartId, String)| {
        let is_free = {
            let id = id.clone();
            move || free.get().is_some_and(|all| all.contains(&id))
        };
        let turn = move |event| {
            let ticked = event_target_checked(&event);
            let id = id.clone();
            change(store, "say what may be changed", move |exercise| {
                exercise.free.retain(|other| *other != id);
                if ticked {
                    exercise.free.push(id);
                }
            });
        };
        view! { <li><label><input type="checkbox" prop:checked=is_free on:change=turn/>" "{name}</label></li> }
    };
    view! {
        <Show when=move || !given.with(Vec::is_empty)>
            <fieldset class="exercise-free">
                <legend>"Given parts that may be set otherwise or taken away"</legend>
                <ul>{move || given.get().into_iter().map(row).collect_view()}</ul>
            </fieldset>
        </Show>
    }
}
