//! The tables of readings, one for each group of kinds, and what is known of the world already.

use super::desk::Desk;
use super::row::Row;
use crate::sheet::readings::words;
use crate::sheet::readings::{ReadingGroup, ReadingKind, ReadingTable};
use crate::sky::Air;
use leptos::prelude::*;

/// The length of the day and the air, where they are known.
#[component]
pub(super) fn Known(desk: Desk) -> impl IntoView {
    let fault = Memo::new(move |_| desk.table.with(ReadingTable::day_fault));
    let enter_day = move |ev| {
        let text = event_target_value(&ev);
        desk.change(|table| table.day = text);
    };
    let choose_air = move |ev| {
        let word = event_target_value(&ev);
        let airs = [Air::Clear, Air::None].into_iter();
        let known = airs.into_iter().find(|air| words::air(*air) == word);
        desk.change(|table| table.air = known);
    };
    let air = move |of: Option<Air>, said: &'static str| {
        let value = of.map_or("", words::air);
        let chosen = move || desk.table.with(|table| table.air == of);
        view! { <option value=value prop:selected=chosen>{said}</option> }
    };
    view! {
        <div class="measure-known">
            <label>
                "Length of a day, if you know it "
                <input type="text" id="reading-day" autocomplete="off" spellcheck="false" placeholder="as 2880 s or 48 min"
                    prop:value=move || desk.table.with(|table| table.day.clone())
                    aria-invalid=move || fault.with(Option::is_some).then_some("true")
                    aria-describedby=move || fault.with(Option::is_some).then_some("reading-day-fault")
                    on:change=enter_day/>
            </label>
            <label>
                "Air "
                <select on:change=choose_air>
                    {air(None, "not known")}
                    {air(Some(Air::Clear), "clear: it dims a low sun")}
                    {air(Some(Air::None), "none")}
                </select>
            </label>
            <p class="wrong" id="reading-day-fault" aria-live="polite">{move || fault.get()}</p>
        </div>
    }
}

/// All tables.
#[component]
pub(super) fn Groups(desk: Desk) -> impl IntoView {
    let group = |group| view! { <Group desk group/> };
    ReadingGroup::ALL.map(group).collect_view()
}

/// The table of one group, with the buttons that add to it.
#[component]
fn Group(desk: Desk, group: ReadingGroup) -> impl IntoView {
    let rows = Memo::new(move |_| {
        desk.table.with(|table| {
            let rows = table.rows_of(group);
            rows.map(|row| (row.id, row.kind)).collect::<Vec<_>>()
        })
    });
    let has_kinds = group.kinds().count() > 1;
    let adds: Vec<_> = group
        .kinds()
        .map(|kind| view! { <Add desk kind/> })
        .collect();
    let head = |name: &'static str| view! { <th scope="col">{name}</th> };
    let heads = group.heads().into_iter().map(head).collect_view();
    view! {
        <div class="measure-group">
            <h4>{group.title()}</h4>
            <p class="aside">{group.hint()}</p>
            <table class="measure-table" hidden=move || rows.with(Vec::is_empty) aria-label=group.title()>
                <thead>
                    <tr>
                        <th scope="col"><abbr title="Number">"No."</abbr></th>
                        {has_kinds.then(|| view! { <th scope="col">"What"</th> })}
                        {heads}
                        <td></td>
                    </tr>
                </thead>
                <For each=move || rows.get() key=|(id, kind)| (*id, kind.label()) children=move |(id, kind)| view! { <Row desk id kind has_kinds/> }/>
            </table>
            <div class="measure-acts">{adds}</div>
        </div>
    }
}

/// A button that adds a row.
#[component]
fn Add(desk: Desk, kind: ReadingKind) -> impl IntoView {
    view! {
        <button type="button" disabled=move || desk.table.with(ReadingTable::is_full) on:click=move |_| desk.add(kind)>
            {kind.add()}
        </button>
    }
}
