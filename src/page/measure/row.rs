//! One reading as a row of its table: a field for each entry, and below them what is wrong or missing.

use super::desk::{Desk, field_id, focus};
use crate::sheet::readings::{Column, ReadingKind, RowCheck};
use leptos::prelude::*;

/// A row, in a body of its own with the line that tells how it stands.
#[component]
pub(super) fn Row(
    desk: Desk,
    /// The row's number in the table.
    id: u64,
    kind: ReadingKind,
    /// Whether its table has rows of several kinds, so that each says which it is.
    has_kinds: bool,
) -> impl IntoView {
    let number = Memo::new(move |_| {
        desk.table
            .with(|table| table.number(id).unwrap_or_default())
    });
    let check = Memo::new(move |_| {
        desk.table
            .with(|table| table.row(id).filter(|r| !r.is_blank()).map(|r| r.check()))
            .unwrap_or_default()
    });
    let contradicts = Memo::new(move |_| desk.contradicts(id));
    let columns = kind.columns().iter().enumerate();
    let cells = columns
        .map(|(cell, column)| view! { <td class:time=column.is_time()><Cell desk id kind cell column=*column number check/></td> })
        .collect_view();
    let remove = move |_| {
        desk.change(|table| table.remove(id));
    };
    let is_quiet = move || {
        let has_nothing = check.with(|c| c.faults.is_empty() && c.missing.is_empty());
        has_nothing && !contradicts.get()
    };
    let says = move || {
        let check = check.get();
        let left_out = check.left_out();
        let fault = move |f: crate::sheet::readings::CellFault| {
            view! { <p class="wrong" id=format!("{}-fault", field_id(id, f.cell))>{f.head}": "{f.says}</p> }
        };
        view! {
            {check.faults.into_iter().map(fault).collect_view()}
            {left_out.map(|said| view! { <p class="aside">{said}</p> })}
            {contradicts.get().then(|| view! { <p class="measure-contradicts">"Contradicts the others."</p> })}
        }
    };
    let across = kind.columns().len() + 2 + usize::from(has_kinds);
    view! {
        <tbody class:contradicts=contradicts>
            <tr>
                <th scope="row">{number}</th>
                {has_kinds.then(|| view! { <td class="measure-kind">{kind.label()}</td> })}
                {cells}
                <td>
                    <button type="button" class="quiet" aria-label=move || format!("Remove reading {}", number.get()) on:click=remove>
                        <span aria-hidden="true">"×"</span>
                    </button>
                </td>
            </tr>
            <tr hidden=is_quiet><td colspan=across.to_string() aria-live="polite">{says}</td></tr>
        </tbody>
    }
}

/// One entry.
#[component]
fn Cell(
    desk: Desk,
    id: u64,
    kind: ReadingKind,
    cell: usize,
    column: Column,
    number: Memo<usize>,
    check: Memo<RowCheck>,
) -> impl IntoView {
    let text = Memo::new(move |_| {
        desk.table.with(|table| {
            let row = table.row(id);
            row.and_then(|row| row.cells.get(cell).cloned())
                .unwrap_or_default()
        })
    });
    let is_wrong = move || check.with(|c| c.faults.iter().any(|f| f.cell == cell));
    let enter = move |ev| {
        let text = event_target_value(&ev);
        desk.change(|table| table.enter(id, cell, &text));
    };
    let paste = move |ev: web_sys::ClipboardEvent| {
        let data = ev
            .clipboard_data()
            .and_then(|data| data.get_data("text/plain").ok());
        let Some(copied) = data else { return };
        // A single entry is the field's own business.
        if let Some(left) = desk.change(|table| table.paste(id, cell, &copied)) {
            ev.prevent_default();
            if left > 0 {
                let said = format!("{left} copied rows have no room: a table takes 200 readings.");
                desk.refused.set(vec![said]);
            }
        }
    };
    // As in a spreadsheet: to the row below, and below the last to a new one.
    let down = move |ev: web_sys::KeyboardEvent| {
        if ev.key() != "Enter" || ev.is_composing() {
            return;
        }
        ev.prevent_default();
        let text = event_target_value(&ev);
        desk.change(|table| table.enter(id, cell, &text));
        let below = desk.table.with_untracked(|table| {
            let same = table.rows.iter().filter(|row| row.kind == kind);
            same.skip_while(|row| row.id != id).nth(1).map(|row| row.id)
        });
        match below {
            Some(below) => focus(below, cell),
            None => desk.add(kind),
        }
    };
    let fault_id = format!("{}-fault", field_id(id, cell));
    view! {
        <input type="text" id=field_id(id, cell) autocomplete="off" spellcheck="false"
            aria-label=move || format!("Reading {}, {}: {}", number.get(), kind.label(), column.head.to_lowercase())
            prop:value=move || text.get()
            aria-invalid=move || is_wrong().then_some("true")
            aria-describedby=move || is_wrong().then(|| fault_id.clone())
            on:change=enter on:paste=paste on:keydown=down/>
    }
}
