//! The list as two tables, part types and materials: how many are needed, how many are there, a tick for all of them, and
//! how many are missing. Below them what is there and not needed.

use super::Gathering;
use crate::works::{GatherList, GatherRow, StockItem};
use leptos::prelude::*;

/// The tables.
#[component]
pub(super) fn Rows(gathering: Gathering, list: Memo<GatherList>) -> impl IntoView {
    let parts = Memo::new(move |_| list.with(|list| items(&list.parts)));
    let materials = Memo::new(move |_| list.with(|list| items(&list.materials)));
    view! {
        <Group gathering list name="Part" items=parts/>
        <Show when=move || materials.with(|m| !m.is_empty())>
            <p class="aside">"Parts that are there need no materials."</p>
            <Group gathering list name="Material" items=materials/>
        </Show>
        <Others gathering list/>
    }
}

/// What the rows count, with what people call it.
fn items(rows: &[GatherRow]) -> Vec<(StockItem, String)> {
    let one = |row: &GatherRow| (row.item.clone(), row.label.clone());
    rows.iter().map(one).collect()
}

#[component]
fn Group(
    gathering: Gathering,
    list: Memo<GatherList>,
    name: &'static str,
    items: Memo<Vec<(StockItem, String)>>,
) -> impl IntoView {
    view! {
        <table class="gather-table">
            <thead>
                <tr>
                    <th scope="col">{name}</th>
                    <th scope="col">"Needed"</th>
                    <th scope="col">"There"</th>
                    <th scope="col">"All"</th>
                    <th scope="col">"Missing"</th>
                </tr>
            </thead>
            <tbody>
                <For each=move || items.get() key=Clone::clone children=move |(item, label)| {
                    view! { <Row gathering list item label/> }
                }/>
            </tbody>
        </table>
    }
}

#[component]
fn Row(
    gathering: Gathering,
    list: Memo<GatherList>,
    item: StockItem,
    label: String,
) -> impl IntoView {
    let (stock, item) = (gathering.stock, StoredValue::new(item));
    // A row that goes is read once more before it is gone.
    let row = Memo::new(move |_| list.with(|list| item.with_value(|item| list.row(item).cloned())));
    let number = move |of: fn(&GatherRow) -> u64| row.with(|row| row.as_ref().map(of));
    let there = Memo::new(move |_| row.with(|row| row.as_ref().map(|r| r.there.clone())));
    let there = move || there.get().unwrap_or_default();
    let wrong = Memo::new(move |_| row.with(|row| row.as_ref()?.wrong.clone()));
    let is_all = move || number(|row| row.lacks) == Some(0);
    let enter = move |event| {
        let text = event_target_value(&event);
        item.with_value(|item| stock.enter(item.clone(), |entries| entries.enter(item, &text)));
    };
    let tick = move |event| match event_target_checked(&event) {
        true => stock.act(|entries, plan| item.with_value(|item| entries.tick(plan, item))),
        false => stock.act(|entries, _| item.with_value(|item| entries.enter(item, ""))),
    };
    let id = gathering.new_id();
    let about = id.clone();
    view! {
        <tr class:there=is_all>
            <th scope="row">{label.clone()}</th>
            <td>{move || number(|row| row.needed)}</td>
            <td>
                <input type="text" inputmode="numeric" autocomplete="off" maxlength="40" aria-label=format!("There: {label}")
                    prop:value=there on:input=enter on:blur=move |_| stock.leave()
                    aria-invalid=move || wrong.with(Option::is_some).then_some("true")
                    aria-describedby=move || wrong.with(Option::is_some).then(|| about.clone())/>
            </td>
            <td>
                <label class="gather-tick">
                    // Where none is missing and none was entered there is nothing to take away.
                    <input type="checkbox" aria-label=format!("All there: {label}") prop:checked=is_all
                        disabled=move || is_all() && there().trim().is_empty() on:change=tick/>
                </label>
            </td>
            <td>{move || number(|row| row.lacks)}</td>
        </tr>
        <tr class="gather-wrong" hidden=move || wrong.with(Option::is_none)>
            <td colspan="5"><p class="wrong" id=id aria-live="polite">{move || wrong.get()}</p></td>
        </tr>
    }
}

/// What is there and this plan does not need; another may.
#[component]
fn Others(gathering: Gathering, list: Memo<GatherList>) -> impl IntoView {
    let others = Memo::new(move |_| list.with(|list| list.others.clone()));
    let one = move |row: GatherRow| {
        let forget = move |_| {
            gathering
                .stock
                .act(|entries, _| entries.enter(&row.item, ""))
        };
        view! {
            <li>
                <span>{format!("{}: {}", row.label, row.there)}</span>
                <button type="button" class="quiet" aria-label=format!("Forget {}", row.label) on:click=forget>"Forget"</button>
            </li>
        }
    };
    view! {
        <Show when=move || others.with(|others| !others.is_empty())>
            <h4>"There, but not needed by this plan"</h4>
            <ul class="gather-others">{move || others.get().into_iter().map(one).collect_view()}</ul>
        </Show>
    }
}
