//! A lane's data as a table below it, for who can't see the lane or wants the numbers.

use super::run::use_run;
use crate::page::store::use_store;
use crate::sheet::chart::{Lane, LaneTable};
use leptos::prelude::*;

/// The table.
#[component]
pub(super) fn LaneData(
    /// The lane.
    lane: Lane,
) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let (name, label) = (lane.name.clone(), format!("{}: the table", lane.name));
    let table = move || {
        let answer = run.answer()?;
        let record = &answer.journey.record;
        let place = record.ids.iter().position(|id| *id == lane.id)?;
        let data = LaneTable::of(record, place, answer.journey.day_ms, &store.unit())?;
        let heads = data
            .heads
            .iter()
            .map(|head| view! { <th scope="col">{*head}</th> });
        let row = |row: Vec<String>| {
            let cells = row.into_iter().map(|cell| view! { <td>{cell}</td> });
            view! { <tr>{cells.collect_view()}</tr> }
        };
        let more = (data.more > 0).then(|| {
            view! { <p class="aside">"And "{data.more}" rows more."</p> }
        });
        Some(view! {
            <table>
                <caption class="unseen">{format!("{name} over the run")}</caption>
                <thead><tr>{heads.collect_view()}</tr></thead>
                <tbody>{data.rows.into_iter().map(row).collect_view()}</tbody>
            </table>
            {more}
        })
    };
    view! { <div class="lane-data" tabindex="0" role="region" aria-label=label>{table}</div> }
}
