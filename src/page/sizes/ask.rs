//! What is asked: what is to be least, and what besides the counts may change.

use super::job::asked;
use super::use_sizes;
use crate::proof::sizes::{Ask, Grid, Measure};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The grids of aims that can be chosen.
const GRIDS: [(&str, Grid); 3] = [
    (
        "every 45°, tilts every 30°",
        Grid {
            directions: 45,
            tilts: 30,
        },
    ),
    (
        "every 30°, tilts every 15°",
        Grid {
            directions: 30,
            tilts: 15,
        },
    ),
    (
        "every 10°, tilts every 10°",
        Grid {
            directions: 10,
            tilts: 10,
        },
    ),
];

/// The form.
#[component]
pub(super) fn AskForm() -> impl IntoView {
    let sizes = use_sizes();
    let search = sizes.least();
    // The form comes back as it was last asked.
    let last = untrack(|| search.answer())
        .map(|a| asked(&a))
        .unwrap_or_default();
    let by_cost = RwSignal::new(matches!(last.measure, Measure::Cost(_)));
    let grid = GRIDS.iter().position(|(_, g)| Some(*g) == last.aims);
    let turns = RwSignal::new(grid.is_some());
    let grid = RwSignal::new(grid.unwrap_or(0));
    let taps = RwSignal::new(last.taps);
    let sixty = RwSignal::new(!last.for_ever);
    let ask = move |_| {
        sizes.find_least(Ask {
            measure: if by_cost.get_untracked() {
                Measure::Cost(BTreeMap::new())
            } else {
                Measure::Parts
            },
            aims: turns
                .get_untracked()
                .then(|| GRIDS[grid.get_untracked().min(GRIDS.len() - 1)].1),
            taps: taps.get_untracked(),
            for_ever: !sixty.get_untracked(),
            ..Ask::default()
        });
    };
    let choose_grid = move |ev| {
        if let Ok(at) = event_target_value(&ev).parse() {
            grid.set(at);
        }
    };
    let grids = GRIDS
        .iter()
        .enumerate()
        .map(|(at, (says, _))| view! { <option value=at.to_string() prop:selected=move || grid.get() == at>{*says}</option> })
        .collect::<Vec<_>>();
    view! {
        <form class="sizes-ask fields" on:submit=move |ev| ev.prevent_default()>
            <p class="aside">"The count of every source and battery may change, down to 1."</p>
            <label>"Least "
                <select on:change=move |ev| by_cost.set(event_target_value(&ev) == "cost")>
                    <option value="parts" prop:selected=move || !by_cost.get()>"number of parts"</option>
                    <option value="cost" prop:selected=move || by_cost.get()>"cost of materials"</option>
                </select>
            </label>
            <Tick on=turns says="Turn sun panels"/>
            <label hidden=move || !turns.get()>"Directions "<select on:change=choose_grid>{grids}</select></label>
            <Tick on=taps says="Set taps anew"/>
            <Tick on=sixty says="kept for 60 days is enough"/>
            <button type="button" class="sizes-go" disabled=move || search.status().is_running() on:click=ask>"Find the least"</button>
        </form>
    }
}

/// A box to tick.
#[component]
fn Tick(
    /// Whether it is ticked.
    on: RwSignal<bool>,
    /// What it says.
    says: &'static str,
) -> impl IntoView {
    view! {
        <label class="sizes-tick">
            <input type="checkbox" prop:checked=move || on.get() on:change=move |ev| on.set(event_target_checked(&ev))/>
            {says}
        </label>
    }
}
