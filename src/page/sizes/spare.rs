//! Beside the sizes: how much more load each source and battery could carry, at all times and in the dark, and what more
//! capacity would do.

use super::answer::PartButton;
use super::use_sizing;
use crate::page::log::AsOf;
use crate::sheet::sizes as words;
use leptos::prelude::*;

/// The pane.
#[component]
pub(super) fn SparePane() -> impl IntoView {
    let sizing = use_sizing();
    let old = Signal::derive(move || sizing.is_spare_old());
    let rows = move || {
        let told = sizing.spares()?;
        let row = |reserve: &crate::proof::sizes::Spare| {
            let plan = &told.plan;
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
        Some(told.found.iter().map(row).collect::<Vec<_>>())
    };
    let under = move || {
        sizing.is_sparing().then(|| {
            let (done, of, runs) = sizing.spares().map_or((0, 1, 0), |s| (s.found.len(), s.of.unwrap_or(1), s.runs));
            view! {
                <p class="under-way">
                    <label>"Working out, "{runs}" runs so far "<progress max=of.to_string() value=done.to_string()></progress></label>
                    <button type="button" class="quiet" on:click=move |_| sizing.stop_spares()>"Stop"</button>
                </p>
            }
        })
    };
    view! {
        <section class="spare" aria-labelledby="spare-title">
            <h2 id="spare-title" class="sizes-title">"To spare"</h2>
            <p class="aside">
                "So much more could be drawn at a part’s output, ahead of all that hangs there, with every duty kept. \
                 A sun panel by itself gives nothing at night, and so carries nothing more; a battery behind it may."
            </p>
            <button type="button" disabled=move || sizing.is_sparing() on:click=move |_| sizing.ask_spares()>"Work out"</button>
            {under}
            <AsOf is_old=old/>
            <table class="sizes-table" class:old=move || old.get() hidden=move || sizing.spares().is_none_or(|s| s.found.is_empty())>
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
