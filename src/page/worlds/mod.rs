//! All worlds that are kept, in a window of their own: what the open plan has to do with them, one that came in with other
//! numbers, and each world with what can be done with it. What differs is found by the core.

mod arrived;
mod card;
mod known;
mod this_plan;

pub use known::{Worlds, use_worlds};
pub use this_plan::{FollowsLine, FollowsMark};

use super::files::OpenFile;
use super::keeping::use_keeper;
use super::recheck::{Progress, use_rechecks};
use super::refused::Refused;
use super::windows::{WindowKind, use_windows};
use crate::sheet::numbers_changed::Said;
use crate::sheet::recheck_report::kept::{Report, Source};
use crate::shelf::KeptDocument;
use leptos::prelude::*;

/// What stands in the window with the worlds.
#[component]
pub fn WorldsPage() -> impl IntoView {
    let keeper = use_keeper();
    let listed = Memo::new(move |_| {
        keeper.shelf().with(|shelf| {
            let mut worlds: Vec<&KeptDocument> = shelf.worlds.values().collect();
            worlds.sort_by_key(|world| (world.name.to_lowercase(), world.key.clone()));
            let keys = worlds.into_iter().map(|world| world.key.clone());
            keys.collect::<Vec<_>>()
        })
    });
    let refused = RwSignal::new(Vec::<String>::new());
    view! {
        <p class="aside">
            "A world is a day, a sky, weather and wind, and a book of part types. Plans that follow one say where their numbers differ from it; nothing changes in a plan by itself."
        </p>
        <Refused reasons=refused/>
        <arrived::Arrived/>
        <this_plan::ThisPlan refused/>
        <Changed/>
        <h3>"Kept worlds"</h3>
        <Show when=move || listed.with(Vec::is_empty)>
            <p>"None yet. Keep this plan's numbers as one, or open a world's file or link."</p>
        </Show>
        <ul class="worlds">
            <For each=move || listed.get() key=String::clone children=move |key| {
                view! { <card::WorldCard key refused/> }
            }/>
        </ul>
        <p class="plan-ends"><OpenFile/><Measure/></p>
    }
}

/// How the plans fare that follow a world with new numbers, from the moment that it has them.
#[component]
fn Changed() -> impl IntoView {
    let rechecks = use_rechecks();
    let is_of_world = Memo::new(move |_| {
        let of_world = |r: &Report| matches!(r.source, Source::World(_));
        (rechecks.report()).with(|r| r.as_ref().is_some_and(of_world))
    });
    view! {
        <p role="status">
            <Show when=move || is_of_world.get()><Progress rechecks/></Show>
        </p>
    }
}

/// Opens what measures a world, in the place of the worlds.
#[component]
fn Measure() -> impl IntoView {
    let windows = use_windows();
    let measure = move |_| windows.open(WindowKind::Measure);
    view! { <button type="button" on:click=measure>"Measure a world…"</button> }
}

/// Numbers that differ, as a table.
#[component]
fn Differs(
    /// What stands over the two columns: whose the numbers are.
    heads: [String; 2],
    /// The numbers.
    said: Vec<Said>,
) -> impl IntoView {
    let [first, second] = heads;
    let rows = said.into_iter().map(|said| {
        view! { <tr><th scope="row">{said.what}</th><td>{said.from}</td><td>{said.to}</td></tr> }
    });
    let rows = rows.collect_view();
    view! {
        <div class="differs" tabindex="0" role="region" aria-label="Numbers that differ">
            <table>
                <thead><tr><th scope="col">"Number"</th><th scope="col">{first}</th><th scope="col">{second}</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
}
