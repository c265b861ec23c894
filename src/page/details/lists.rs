//! Entries for settings that are lists of times: a switch's schedule, a button's presses, a detector's stretches. Rows to
//! add and to remove; a row whose time can't be read says so and changes nothing.

use crate::sheet::entry;
use leptos::prelude::*;
use serde_json::{Value, json};
use std::sync::Arc;

/// Puts a new value in place.
type Put = Arc<dyn Fn(Value) + Send + Sync>;

/// The switch is thrown at these times: `[["HH:MM", true], …]`.
#[component]
pub(super) fn Schedule(
    /// The entry's id.
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// The list.
    value: Memo<Value>,
    /// Puts another in its place.
    put: impl Fn(Value) + Send + Sync + 'static,
) -> impl IntoView {
    let put: Put = Arc::new(put);
    let row = {
        let (id, put) = (id.clone(), put.clone());
        move |n: usize, row: Value| {
            let closed = row.get(1).and_then(Value::as_bool).unwrap_or(false);
            let set = change(value, put.clone(), n, 1);
            let choose = move |ev| set(Value::Bool(event_target_value(&ev) == "closed"));
            view! {
                <Time id=format!("{id}-{n}") label=format!("Time {}", n + 1) value=time(&row, Some(0))
                    put=change(value, put.clone(), n, 0)/>
                <select aria-label=format!("Position from time {}", n + 1) on:change=choose>
                    <option value="closed" prop:selected=closed>"closed"</option>
                    <option value="open" prop:selected=!closed>"open"</option>
                </select>
            }
            .into_any()
        }
    };
    view! { <Rows id label value put row=Arc::new(row) new=json!(["12:00", true]) what="time"/> }
}

/// The button is pressed at these times: `["HH:MM", …]`.
#[component]
pub(super) fn Presses(
    /// The entry's id.
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// The list.
    value: Memo<Value>,
    /// Puts another in its place.
    put: impl Fn(Value) + Send + Sync + 'static,
) -> impl IntoView {
    let put: Put = Arc::new(put);
    let row = {
        let (id, put) = (id.clone(), put.clone());
        move |n: usize, row: Value| {
            let put = put.clone();
            let set = move |new: Value| {
                let mut all = list(&value.get_untracked());
                if let Some(at) = all.get_mut(n) {
                    *at = new;
                    put(Value::Array(all));
                }
            };
            view! { <Time id=format!("{id}-{n}") label=format!("Press {}", n + 1) value=time(&row, None) put=set/> }
                .into_any()
        }
    };
    view! { <Rows id label value put row=Arc::new(row) new=json!("12:00") what="press"/> }
}

/// Stretches of the day: `[["HH:MM", "HH:MM"], …]`.
#[component]
pub(crate) fn Spans(
    /// The entry's id.
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// The list.
    value: Memo<Value>,
    /// Puts another in its place.
    put: impl Fn(Value) + Send + Sync + 'static,
) -> impl IntoView {
    let put: Put = Arc::new(put);
    let row = {
        let (id, put) = (id.clone(), put.clone());
        move |n: usize, row: Value| {
            view! {
                <Time id=format!("{id}-{n}-from") label=format!("Stretch {} from", n + 1) value=time(&row, Some(0))
                    put=change(value, put.clone(), n, 0)/>
                <span>"to"</span>
                <Time id=format!("{id}-{n}-to") label=format!("Stretch {} to", n + 1) value=time(&row, Some(1))
                    put=change(value, put.clone(), n, 1)/>
            }
            .into_any()
        }
    };
    view! { <Rows id label value put row=Arc::new(row) new=json!(["18:00", "22:00"]) what="stretch"/> }
}

/// A list with a row for each entry, a button that removes it, and one that adds another.
#[component]
fn Rows(
    id: String,
    label: String,
    value: Memo<Value>,
    put: Put,
    row: Arc<dyn Fn(usize, Value) -> AnyView + Send + Sync>,
    new: Value,
    what: &'static str,
) -> impl IntoView {
    let rows = {
        let put = put.clone();
        move || {
            let each = |(n, entry): (usize, Value)| {
                let put = put.clone();
                let remove = move |_| {
                    let mut all = list(&value.get_untracked());
                    if n < all.len() {
                        all.remove(n);
                        put(Value::Array(all));
                    }
                };
                let says = format!("Remove {what} {}", n + 1);
                view! {
                    <li>
                        {row(n, entry)}
                        <button type="button" class="quiet" aria-label=says on:click=remove>"remove"</button>
                    </li>
                }
            };
            list(&value.get())
                .into_iter()
                .enumerate()
                .map(each)
                .collect::<Vec<_>>()
        }
    };
    let add = move |_| {
        let mut all = list(&value.get_untracked());
        all.push(new.clone());
        put(Value::Array(all));
    };
    let heading = format!("{id}-label");
    view! {
        <div class="field wide" role="group" aria-labelledby=heading>
            <span id=heading.clone()>{label}</span>
            <ul class="rows">{rows}</ul>
            <button type="button" id=id on:click=add>{format!("Add a {what}")}</button>
        </div>
    }
}

/// A clock time in a row.
#[component]
fn Time(
    id: String,
    label: String,
    value: String,
    put: impl Fn(Value) + Send + Sync + 'static,
) -> impl IntoView {
    let wrong = RwSignal::new(false);
    let error_id = format!("{id}-error");
    let describes = error_id.clone();
    let enter = move |ev| match entry::clock(&event_target_value(&ev)) {
        Some(clock) => {
            wrong.set(false);
            put(Value::from(clock.to_string()));
        }
        None => wrong.set(true),
    };
    view! {
        <input id=id class="clock" type="text" inputmode="numeric" autocomplete="off" aria-label=label
            prop:value=value
            aria-invalid=move || wrong.get().then_some("true")
            aria-describedby=move || wrong.get().then(|| describes.clone())
            on:change=enter/>
        <span class="wrong" id=error_id aria-live="polite" hidden=move || !wrong.get()>
            {move || wrong.get().then_some("Expected a time from 00:00 to 24:00.")}
        </span>
    }
}

fn list(value: &Value) -> Vec<Value> {
    value.as_array().cloned().unwrap_or_default()
}

fn time(row: &Value, slot: Option<usize>) -> String {
    let found = match slot {
        Some(slot) => row.get(slot),
        None => Some(row),
    };
    found
        .and_then(Value::as_str)
        .unwrap_or_default()
        .to_string()
}

/// Changes one slot of one row.
fn change(
    value: Memo<Value>,
    put: Put,
    n: usize,
    slot: usize,
) -> impl Fn(Value) + Send + Sync + 'static {
    move |new| {
        let mut all = list(&value.get_untracked());
        if let Some(place) = all.get_mut(n).and_then(|row| row.get_mut(slot)) {
            *place = new;
            put(Value::Array(all));
        }
    }
}
