//! Beside the duties: how long each holds without sun and wind, from the cursor's moment and at the worst, and what bad
//! weather is survived. It is worked out while this is open, beside the page, and can be stopped.

use super::use_proof;
use crate::page::store::use_store;
use crate::proof::Holds;
use crate::quantity::DAY_MS;
use crate::sheet::words::moment;
use leptos::prelude::*;

/// The pane.
#[component]
pub(super) fn AutonomyPane() -> impl IntoView {
    let (store, proof) = (use_store(), use_proof());
    let number = Memo::new(move |_| {
        proof
            .told()
            .filter(|t| !t.duties.is_empty())
            .map(|t| t.number)
    });
    Effect::new(move |_| {
        if number.get().is_some() && !proof.is_old() {
            proof.seek();
        }
    });
    Effect::new(move |before: Option<Option<TimeoutHandle>>| {
        before.flatten().inspect(TimeoutHandle::clear);
        number.get()?;
        proof.ask_from(store.moment().get())
    });
    on_cleanup(move || proof.stop_search());
    let day_ms = move || proof.told().map_or(DAY_MS, |t| t.dial.day_ms);
    let rows = move || {
        let told = proof.told()?;
        let row = |at: usize| {
            let name = told.duties.get(at).map(|(_, name)| name.clone());
            let here = Signal::derive(move || {
                // Of another moment or another plan it would mislead.
                let (of, here) = proof.here()?;
                let is_now = here.from == store.moment().get() && Some(of) == number.get();
                let here = is_now.then_some(here)?;
                here.duties.get(at).map(|h| says(*h))
            });
            let worst = Signal::derive(move || {
                let worst = proof.worst()?;
                worst.starts.duties.get(at).copied()
            });
            let cell = move || {
                let Some(worst) = worst.get() else {
                    return "…".into_any();
                };
                let from = moment(worst.from, day_ms());
                match worst.holds {
                    Holds::For { .. } => view! {
                        {says(worst.holds)}" "
                        <button type="button" class="quiet worst-from" title="Go there" on:click=move |_| store.go_to(worst.from)>
                            "from "{from}
                        </button>
                    }
                    .into_any(),
                    _ => says(worst.holds).into_any(),
                }
            };
            view! {
                <tr>
                    <th scope="row">{name}</th>
                    <td>{move || here.get().unwrap_or_else(|| "…".into())}</td>
                    <td>{cell}</td>
                </tr>
            }
        };
        Some((0..told.duties.len()).map(row).collect::<Vec<_>>())
    };
    let worst_head = move || match proof.worst() {
        Some(worst) if worst.starts.more => "At the worst tried",
        _ => "At the worst",
    };
    let is_old = move || {
        let of = proof.worst().map(|w| w.number);
        of.is_some() && of != number.get()
    };
    view! {
        <section class="autonomy" aria-labelledby="autonomy-title" hidden=move || number.get().is_none()>
            <h2>"Days of bad weather in a row"</h2>
            <p class="bad-weather">{move || proof.worst().and_then(|w| w.weather).unwrap_or_else(|| "…".into())}</p>
            <h2 id="autonomy-title">"Without sun and wind"</h2>
            <p class="aside">"How long each duty holds if neither gives anything more:"</p>
            <table class:old=is_old>
                <thead><tr>
                    <th scope="col">"Load"</th>
                    <th scope="col">"From the cursor, "{move || moment(store.moment().get(), day_ms())}</th>
                    <th scope="col">{worst_head}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <Search/>
            {move || proof.worst().map(|w| view! { <p class="aside">{w.starts.says()}</p> })}
        </section>
    }
}

/// The search under way, or the way to go on with it.
#[component]
fn Search() -> impl IntoView {
    let proof = use_proof();
    move || {
        let (done, of) = proof.search()?;
        Some(view! {
            <p class="under-way">
                <label>"Looking for the worst start "<progress max=of.to_string() value=done.to_string()></progress></label>
                <button type="button" class="quiet" on:click=move |_| proof.stop_search()>"Stop"</button>
            </p>
        })
    }
}

fn says(holds: Holds) -> String {
    match holds {
        Holds::For { on: true, .. } => format!("{}, then wrongly on", holds.says()),
        _ => holds.says(),
    }
}
