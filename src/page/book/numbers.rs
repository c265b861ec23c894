//! The numbers of the book as a whole: its name, the unit of power, the size of a step, the lag of its contacts.

use super::Desk;
use crate::page::details::Entry;
use crate::plan::BookRef;
use crate::quantity::Short;
use crate::sheet::entry;
use leptos::prelude::*;
use serde_json::{Value, json};

/// Those numbers.
#[component]
pub(super) fn BookNumbers(desk: Desk, book: Memo<BookRef>) -> impl IntoView {
    let put = move |key: &'static str, value: Value| {
        let edits = desk.with_plan(|plan| match key {
            "name" => plan.rename_book(value.as_str().unwrap_or_default()),
            key => plan.change_book_field(key, value),
        });
        let entered = desk.enter(&format!("set the book's {key}"), edits);
        entered.map_err(|reasons| reasons.join(" "))
    };
    let number = move |key: &'static str| {
        move |text: String| match entry::number(&text) {
            Some(number) if number.fract() == 0.0 => put(key, json!(number as i64)),
            Some(number) => put(key, json!(number)),
            None => Err(format!("Found “{}”, expected a number.", text.trim())),
        }
    };
    view! {
        <Entry id="book-name".to_string() label="Its name" value=Signal::derive(move || book.with(|b| b.book.name.clone()))
            read=move |text: String| put("name", text.trim().into())/>
        <Entry id="book-unit".to_string() label="Unit" value=Signal::derive(move || book.with(|b| b.book.unit.sign.clone()))
            read=move |text: String| put("unit", text.trim().into())/>
        <Entry id="book-step".to_string() label="One step is" numeric=true
            value=Signal::derive(move || book.with(|b| Short(b.book.unit.step).to_string())) read=number("step")/>
        <Entry id="book-lag".to_string() label="Contacts follow after" unit="ms" numeric=true
            value=Signal::derive(move || book.with(|b| b.book.lag_ms.to_string())) read=number("lag_ms")/>
    }
}
