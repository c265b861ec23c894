//! The book to a file or a table and back: JSON, comma-separated values, and what was copied in a spreadsheet.

use super::Desk;
use crate::book::table::{read_table, write_table};
use crate::book::{Book, read_book};
use crate::page::choose_file::{ChooseFile, read_text};
use crate::page::download;
use crate::plan::BookError;
use crate::read::Faults;
use leptos::prelude::*;

/// The buttons, and the field for a table that was copied.
#[component]
pub(super) fn Exchange(desk: Desk) -> impl IntoView {
    let pastes = RwSignal::new(false);
    let remarks = RwSignal::new(Vec::<String>::new());
    let name = move || desk.with_plan(|plan| plan.book.book.name.clone());
    let hand_over = move |text: String, ending: &str, media: &str| {
        let file = download::named(&name(), "plan", &format!("book.{ending}"));
        download::save(desk.store, &text, &file, media);
    };
    let save_json = move |_| {
        let text = desk.with_plan(|plan| plan.book.book.print());
        hand_over(text, "json", "application/json");
    };
    let save_table = move |_| {
        let text = desk.with_plan(|plan| write_table(&plan.book.book));
        hand_over(text, "csv", "text/csv");
    };
    let take = move |text: &str, called: &str| match read(text, called) {
        Ok((book, said)) => {
            let edits = desk.with_plan(|plan| plan.take_other_book(&book));
            if desk.change("take a book", edits) {
                remarks.set(said);
                pastes.set(false);
            }
        }
        Err(faults) => desk.refuse(&BookError::Unsound(faults)),
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
            <ChooseFile name="Open a book or table…" asks="A book's file" accept=".json,.csv,.tsv,.txt" take=take_file/>
            <button type="button" aria-expanded=move || pastes.get().to_string() on:click=move |_| pastes.update(|p| *p = !*p)>
                "Paste a table…"
            </button>
        </div>
        <Show when=move || pastes.get()>
            <div class="paste-table">
                <label for="book-paste">"Copy the rows in the spreadsheet, headings too, and paste them here. It takes the place of the plan's book."</label>
                <textarea id="book-paste" rows="6" node_ref=table
                    placeholder="name; kind; watts\nDeck lamp; lamp; 6\nRoof panel; solar panel; 100"></textarea>
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
