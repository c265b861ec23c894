//! Readings to a file and back, the example, and an empty table.

use super::desk::Desk;
use crate::page::choose_file::{ChooseFile, read_text};
use crate::page::download;
use crate::page::refused::Refused;
use crate::sheet::readings::ReadingTable;
use leptos::prelude::*;

/// Readings taken at the station of the examples.
const EXAMPLE: &str = include_str!("../../../assets/readings/kittiwake-light.json");

/// The buttons, and what came of them.
#[component]
pub(super) fn Exchange(desk: Desk) -> impl IntoView {
    let take = move |text: &str, called: &str| match ReadingTable::of_text(text) {
        Ok(table) => desk.replace(table),
        Err(faults) => {
            let mut told = vec![format!("{called} is not taken:")];
            told.extend(faults.iter().map(|fault| format!("{fault}.")));
            desk.refused.set(told);
        }
    };
    let take_file = move |file: web_sys::File| {
        let called = file.name();
        read_text(&file, move |text| match text {
            Some(text) => take(&text, &called),
            None => desk
                .refused
                .set(vec![format!("{called} could not be read.")]),
        });
    };
    let save = move |_| {
        let text = desk.table.with_untracked(ReadingTable::to_text);
        if let Err(said) = download::hand_over(&text, "readings.json", "application/json") {
            desk.refused.set(vec![said.into()]);
        }
    };
    let nothing = move || desk.table.with(ReadingTable::is_empty);
    view! {
        <div class="measure-acts" role="group" aria-label="Readings to files and back">
            <ChooseFile name="Load readings…" asks="A readings file" accept=".json" take=take_file/>
            <button type="button" disabled=move || desk.counted.with(Vec::is_empty) on:click=save>"Save readings"</button>
            <button type="button" on:click=move |_| take(EXAMPLE, "The example")>"Load the Kittiwake Light example"</button>
            <button type="button" disabled=nothing on:click=move |_| desk.replace(ReadingTable::default())>"Clear the table"</button>
        </div>
        <p class="aside">"Enter goes to the row below. Rows copied in a spreadsheet can be pasted into any field."</p>
        <Show when=move || desk.before.with(Option::is_some)>
            <p role="status">
                "Other readings stood here before. "
                <button type="button" class="quiet" on:click=move |_| desk.put_back()>"Put them back"</button>
            </p>
        </Show>
        <Refused reasons=desk.refused head=""/>
        {move || desk.unkept.get().map(|why| view! {
            <p class="refused" role="status">{why}": save the readings as a file."</p>
        })}
    }
}
