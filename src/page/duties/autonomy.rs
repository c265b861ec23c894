//! Beside the duties: how long each holds without sun and wind, from the cursor's moment and at the worst, and what bad
//! weather is survived. It is worked out beside the page, and can be stopped.

use super::use_duties;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::page::store::use_store;
use crate::proof::Holds;
use crate::quantity::DAY_MS;
use crate::sheet::words::moment;
use leptos::prelude::*;

/// The pane.
#[component]
pub(super) fn AutonomyPane() -> impl IntoView {
    let (store, duties) = (use_store(), use_duties());
    let search = duties.worst();
    let worst = Memo::new(move |_| search.answer().map(|answer| answer.value.clone()));
    let verdicts = Memo::new(move |_| duties.verdicts().filter(|v| !v.duties.is_empty()));
    let has_duties = Memo::new(move |_| verdicts.with(Option::is_some));
    // The question follows the cursor and the plan, once either rests.
    Effect::new(move |before: Option<Option<TimeoutHandle>>| {
        before.flatten().inspect(TimeoutHandle::clear);
        search.jobs().fingerprint(search.subject());
        has_duties.get().then_some(())?;
        duties.ask_from(store.moment().get())
    });
    let day_ms = move || verdicts.with(|v| v.as_ref().map_or(DAY_MS, |v| v.dial.day_ms));
    let row = move |at: usize, name: String| {
        let here = move || duties.here()?.duties.get(at).map(|h| says(*h));
        let worst = Signal::derive(move || {
            worst.with(|w| w.as_ref().and_then(|w| w.starts.duties.get(at).copied()))
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
                <td>{move || here().unwrap_or_else(|| "…".into())}</td>
                <td>{cell}</td>
            </tr>
        }
    };
    let rows = move || {
        let all = verdicts.get()?.duties;
        let names = all.iter().map(|(_, name)| name.clone()).enumerate();
        Some(names.map(|(at, name)| row(at, name)).collect::<Vec<_>>())
    };
    let worst_head = move || match worst.with(|w| w.as_ref().is_some_and(|w| w.starts.more)) {
        true => "At the worst tried",
        false => "At the worst",
    };
    let weather = move || worst.with(|w| w.as_ref().and_then(|w| w.weather.clone()));
    view! {
        <section class="autonomy" aria-labelledby="autonomy-title" hidden=move || !has_duties.get()>
            <OutOfDate when=Signal::derive(move || search.is_out_of_date())/>
            <h2>"Days of bad weather in a row"</h2>
            <p class="bad-weather">{move || weather().unwrap_or_else(|| "…".into())}</p>
            <h2 id="autonomy-title">"Without sun and wind"</h2>
            <p class="aside">"How long each duty holds if neither gives anything more:"</p>
            <table class:old=move || search.is_out_of_date()>
                <thead><tr>
                    <th scope="col">"Load"</th>
                    <th scope="col">"From the cursor, "{move || moment(store.moment().get(), day_ms())}</th>
                    <th scope="col">{worst_head}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <UnderWay status=search.status() doing="Looking for the worst start"
                stop=Callback::new(move |()| search.stop())
                again=("Look again", Callback::new(move |()| duties.search_anew()))/>
            {move || worst.with(|w| w.as_ref().map(|w| view! { <p class="aside">{w.starts.says()}</p> }))}
        </section>
    }
}

fn says(holds: Holds) -> String {
    match holds {
        Holds::For { on: true, .. } => {
            format!("{}, then it runs though it should be off", holds.says())
        }
        _ => holds.says(),
    }
}
