//! The cable schedule: every wire with its number, its ends, the most that it carries, and in a plan with a site its length
//! and its run. A row leads to its wire on the board. On a narrow screen a row is some lines, each with its column's name:
//! roles are named, since a browser may take a table that is laid out otherwise for none.

use super::take_away::TakeAway;
use crate::page::cables::use_cables;
use crate::page::jobs::{Answered, OutOfDate, UnderWay};
use crate::page::store::use_store;
use crate::page::windows::use_windows;
use crate::plan::Plan;
use crate::sheet::cables_said::{CableSaid, cables_sum, cables_text, has_lengths};
use crate::works::csv::cables_table;
use crate::works::{Cable, CableSchedule};
use leptos::prelude::*;

/// The tab.
#[component]
pub(super) fn Cables() -> impl IntoView {
    let (store, cables) = (use_store(), use_cables());
    cables.show();
    let job = cables.job();
    let has_wires = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| !plan.wires.is_empty())
    });
    let again = Callback::new(move |()| cables.again());
    let nothing = || {
        view! {
            <p>
                "This plan has no wires yet. Draw one on the board from an output of a part to an input of another: the cables to be laid are listed here then."
            </p>
        }
    };
    view! {
        <Show when=move || has_wires.get() fallback=nothing>
            <div class="cables">
                <label class="cables-numbers">
                    <input type="checkbox" prop:checked=move || cables.has_numbers()
                        on:change=move |event| cables.show_numbers(event_target_checked(&event))/>
                    <span>"Numbers on the board"</span>
                </label>
                <OutOfDate when=Signal::derive(move || job.is_out_of_date())/>
                <UnderWay status=job.status() doing="Working out the most that each wire carries" counts="days"
                    stop=Callback::new(move |()| job.stop()) again=("Try again", again)/>
                {move || job.answer().map(|answer| view! { <Schedule answer/> })}
            </div>
        </Show>
    }
}

/// The schedule of an answer.
#[component]
fn Schedule(answer: std::sync::Arc<Answered<CableSchedule>>) -> impl IntoView {
    let (job, schedule) = (use_cables().job(), &answer.value);
    let on_site = has_lengths(schedule);
    let rows = schedule.cables.iter();
    let rows: Vec<_> = rows
        .map(|cable| row(&answer.plan, cable, on_site))
        .collect();
    let sum = cables_sum(schedule);
    let answer = StoredValue::new(answer);
    let make = move |make: fn(&Plan, &CableSchedule) -> String| {
        answer.with_value(|answer| make(&answer.plan, &answer.value))
    };
    let head = |name: &'static str| view! { <th role="columnheader" scope="col">{name}</th> };
    view! {
        <p class="cables-sum">{sum}" A click on a row shows the wire on the board."</p>
        <TakeAway ending="cables" called="schedule" table=move || make(cables_table) text=move || make(cables_text)/>
        <table class="cables-table" role="table" aria-label="Cables" class:old=move || job.is_out_of_date()>
            <thead role="rowgroup">
                <tr role="row">
                    {["Cable", "From", "To", "Most", "First at"].map(head)}
                    {on_site.then(|| ["Metres", "Exposed", "Run"].map(head))}
                </tr>
            </thead>
            <tbody role="rowgroup">{rows}</tbody>
        </table>
    }
}

fn row(plan: &Plan, cable: &Cable, on_site: bool) -> impl IntoView + use<> {
    let (store, windows) = (use_store(), use_windows());
    let said = CableSaid::of(plan, cable);
    let (wire, number) = (cable.wire.clone(), cable.number);
    let show = move |_| {
        windows.close();
        store.show(&[], std::slice::from_ref(&wire));
    };
    let cell = |name: &'static str, text: String| {
        let text = if text.is_empty() { "–".into() } else { text };
        view! {
            <td role="cell">
                <span class="cables-name" aria-hidden="true">{name}</span>
                <span>{text}</span>
            </td>
        }
    };
    let lengths = on_site.then(|| {
        [
            cell("Metres", said.metres),
            cell("Exposed", said.exposed),
            cell("Run", said.run),
        ]
    });
    // The button is there for keys; a click on it is one on its row.
    view! {
        <tr role="row" on:click=show>
            <th role="rowheader" scope="row">
                <button type="button" class="quiet" aria-label=format!("Cable {number}: show it on the board")>
                    <span class="cables-name" aria-hidden="true">"Cable "</span>
                    {number}
                </button>
            </th>
            {[cell("From", said.from), cell("To", said.to), cell("Most", said.most), cell("First at", said.at)]}
            {lengths}
        </tr>
    }
}
