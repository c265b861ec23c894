//! The measured world: each value with its range, what is said of the readings, and what to read next.

use super::desk::{Desk, focus};
use crate::fit::Question;
use crate::sheet::readings::{HOW_TO_READ, MeasuredLine, lines, sentences, words};
use leptos::prelude::*;

/// Where the entry for what a panel shows stands in its row.
const SHOWS: usize = 3;

/// The values, once there are any.
#[component]
pub(super) fn Answer(desk: Desk) -> impl IntoView {
    let all = move || {
        desk.measured
            .with(|m| m.as_ref().map(|m| lines(&m.fit)).unwrap_or_default())
    };
    let said = move || {
        let names = desk.names.get();
        let said = match desk.is_fresh.get() {
            true => desk
                .measured
                .with(|m| m.as_ref().map(|m| sentences(&m.fit, &names))),
            false => Some(vec!["As of the readings before your last entries.".into()]),
        };
        said.unwrap_or_default()
            .into_iter()
            .map(|said| view! { <p>{said}</p> })
            .collect_view()
    };
    let is_old = move || !desk.is_fresh.get();
    view! {
        <Show when=move || desk.measured.with(Option::is_some)>
            <div class="measure-says" role="status">{said}</div>
            <table class="proof-table" class:old=is_old>
                <thead><tr><th scope="col">"Value"</th><th scope="col">"Measured"</th><th scope="col">"Range"</th></tr></thead>
                <tbody>{move || all().into_iter().map(line).collect_view()}</tbody>
            </table>
            <Next desk/>
            <details>
                <summary>"How this is to be read"</summary>
                <ul class="measure-how">{HOW_TO_READ.map(|said| view! { <li>{said}</li> }).collect_view()}</ul>
            </details>
        </Show>
    }
}

fn line(line: MeasuredLine) -> impl IntoView {
    view! {
        <tr class:measure-open=!line.is_settled>
            <th scope="row">{line.what}</th>
            <td>{line.says}</td>
            <td>{line.range}</td>
        </tr>
    }
}

/// The reading that would tell most, to be taken into the table with one click.
#[component]
fn Next(desk: Desk) -> impl IntoView {
    let next = Memo::new(move |_| desk.measured.with(|m| m.as_ref().map(|m| m.fit.next)));
    let add = move |question: Question| {
        if let Some(id) = desk.change(|table| table.add_question(question)) {
            focus(id, SHOWS);
        }
    };
    move || {
        let next = next.get()?;
        let button = next.map(|question| {
            view! { <button type="button" disabled=move || !desk.is_fresh.get() on:click=move |_| add(question)>"Add it to the readings"</button> }
        });
        Some(view! { <p class="measure-next">{words::next(next)}" "{button}</p> })
    }
}
