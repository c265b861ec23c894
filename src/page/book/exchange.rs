//! The book to a file or a table and back: JSON, comma-separated values, and what was copied in a spreadsheet.

use super::Desk;
use crate::book::table::{read_table, write_table};
use crate::book::{Book, read_book};
use crate::page::download;
use crate::read::Faults;
use leptos::prelude::*;
use wasm_bindgen_futures::JsFuture;

/// The buttons, and the field for a table that was copied.
#[component]
pub(super) fn Exchange(desk: Desk) -> impl IntoView {
    let pastes = RwSignal::new(false);
    let remarks = RwSignal::new(Vec::<String>::new());
    let name = move || desk.with_plan(|plan| plan.book.book.name.clone());
    let save_json = move |_| {
        let text = desk.with_plan(|plan| plan.book.book.print());
        download::hand_over(
            &text,
            &format!("{}.book.json", download::plain(&name())),
            "application/json",
        );
    };
    let save_table = move |_| {
        let text = desk.with_plan(|plan| write_table(&plan.book.book));
        download::hand_over(
            &text,
            &format!("{}.book.csv", download::plain(&name())),
            "text/csv",
        );
    };
    let take = move |text: &str, called: &str| match read(text, called) {
        Ok((book, said)) => {
            let edits = desk.with_plan(|plan| plan.take_other_book(&book));
            if desk.change("take a book", edits) {
                remarks.set(said);
                pastes.set(false);
            }
        }
        Err(faults) => {
            let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
            desk.refused.set(lines.join("\n"));
        }
    };
    let field = NodeRef::<leptos::html::Input>::new();
    let chosen = move |_| {
        let Some(input) = field.get_untracked() else {
            return;
        };
        let file = input.files().and_then(|files| files.get(0));
        input.set_value("");
        let Some(file) = file else { return };
        let called = file.name();
        leptos::task::spawn_local(async move {
            let read = JsFuture::from(file.text()).await;
            match read.ok().and_then(|text| text.as_string()) {
                Some(text) => take(&text, &called),
                None => desk.refused.set(format!("{called} could not be read.")),
            }
        });
    };
    let choose = move |_| {
        if let Some(field) = field.get_untracked() {
            field.click();
        }
    };
    let table = NodeRef::<leptos::html::Textarea>::new();
    let paste = move |_| {
        if let Some(table) = table.get_untracked() {
            let called = format!("{} from a table", name());
            take(&table.value(), &called);
        }
    };
    view! {
        <div class="acts" role="group" aria-label="To files and back">
            <button type="button" on:click=save_json>"Save the book"</button>
            <button type="button" on:click=save_table>"Save as a table"</button>
            <button type="button" on:click=choose>"Open a book or table…"</button>
            <button type="button" aria-expanded=move || pastes.get().to_string() on:click=move |_| pastes.update(|p| *p = !*p)>
                "Paste a table…"
            </button>
            <input type="file" hidden accept=".json,.csv,.tsv,.txt" aria-label="A book's file" node_ref=field on:change=chosen/>
        </div>
        <Show when=move || pastes.get()>
            <div class="paste-table">
                <label for="book-paste">"Copy the rows in the spreadsheet, headings too, and paste them here. It takes the place of the plan's book."</label>
                <textarea id="book-paste" rows="6" node_ref=table></textarea>
                <button type="button" on:click=paste>"Take the table"</button>
            </div>
        </Show>
        <Show when=move || remarks.with(|r| !r.is_empty())>
            <ul class="aside" aria-label="About the table">
                {move || remarks.get().into_iter().map(|said| view! { <li>{said}</li> }).collect_view()}
            </ul>
        </Show>
    }
}

/// The book in a text, JSON or a table, and what whoever reads it in should know; `called` is what the text is called.
fn read(text: &str, called: &str) -> Result<(Book, Vec<String>), Faults> {
    if text.trim_start().starts_with('{')
        && let Ok(value) = serde_json::from_str(text)
    {
        return Ok((read_book(&value)?, Vec::new()));
    }
    let name = called.split('.').next().unwrap_or(called);
    let table = read_table(text, name)?;
    Ok((
        table.book,
        table.remarks.iter().map(ToString::to_string).collect(),
    ))
}
