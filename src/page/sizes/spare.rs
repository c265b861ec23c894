//! Beside the sizes: how much more load each source and battery could carry, at all times and in the dark, and what more
//! capacity would do.

use super::answer::PartButton;
use super::use_sizes;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::sheet::sizes as words;
use leptos::prelude::*;

/// The pane.
#[component]
pub(super) fn SparePane() -> impl IntoView {
    let sizes = use_sizes();
    let spares = sizes.spares();
    let status = spares.status();
    let old = Signal::derive(move || spares.is_out_of_date());
    let rows = move || {
        let answer = spares.answer()?;
        let row = |reserve: &crate::proof::sizes::Spare| {
            let plan = &answer.plan;
            let holds = reserve.holds.map(|holds| {
                view! { <span class="spare-holds">"More capacity: " {words::holds(plan, holds)}</span> }
            });
            view! {
                <tr>
                    <th scope="row"><PartButton id=reserve.part.clone() name=plan.called(&reserve.part)/>{holds}</th>
                    <td class="number">{words::carries(plan, reserve.always)}</td>
                    <td class="number">{words::carries(plan, reserve.dark)}</td>
                </tr>
            }
        };
        Some(answer.value.found.iter().map(row).collect::<Vec<_>>())
    };
    let is_empty = move || spares.answer().is_none_or(|a| a.value.found.is_empty());
    let runs = move || {
        let runs = spares.answer().filter(|a| !a.complete)?.value.runs;
        Some(view! { <p class="under-way">{runs}" runs so far."</p> })
    };
    view! {
        <section class="spare" aria-labelledby="spare-title">
            <h2 id="spare-title" class="sizes-title">"To spare"</h2>
            <p class="aside">
                "How much another load right behind a part could draw, served before all that is there, with every duty \
                 still kept. Behind a sun panel nothing can run at night; behind a battery it may."
            </p>
            <button type="button" disabled=move || status.is_running() on:click=move |_| sizes.find_spares()>"Work out"</button>
            <UnderWay status doing="Working out" stop=Callback::new(move |()| spares.stop())/>
            {move || status.is_running().then(runs)}
            <OutOfDate when=old/>
            <table class="sizes-table" class:old=move || old.get() hidden=is_empty>
                <caption class="unseen">"To spare, part by part"</caption>
                <thead><tr>
                    <th scope="col">"Part"</th>
                    <th scope="col" class="number">"At all times"</th>
                    <th scope="col" class="number">"In the dark"</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </section>
    }
}
