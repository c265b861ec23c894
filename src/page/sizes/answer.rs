//! The answer: the search under way, and the table part by part with what breaks when there is one fewer.

use super::job::{LeastAnswer, asked};
use super::use_sizes;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::page::store::use_store;
use crate::plan::{PartId, Plan};
use crate::proof::sizes::{Measure, Progress, Sizes};
use crate::sheet::sizes as words;
use crate::works::{Bill, change_said};
use leptos::prelude::*;
use std::sync::Arc;

/// The search under way, with what it has found so far; or that it was stopped.
#[component]
pub(super) fn Search() -> impl IntoView {
    let search = use_sizes().least();
    let status = search.status();
    let so_far = Memo::new(move |_| {
        let answer = search.answer().filter(|a| !a.complete)?;
        let progress = answer.value.progress.as_ref()?;
        let (done, most) = progress.runs;
        let found = so_far(&answer.plan, &asked(&answer).measure, progress);
        Some((format!("{done} of at most {most} runs."), found))
    });
    let runs = move || {
        let (runs, _) = so_far.get()?;
        Some(view! { <p class="under-way">{runs}</p> })
    };
    view! {
        <UnderWay status doing="Searching" stop=Callback::new(move |()| search.stop())/>
        {move || status.is_running().then(runs)}
        {move || so_far.get().map(|(_, found)| view! { <p class="sizes-so-far">{found}</p> })}
        {move || status.says().map(|_| view! { <TakeButton/> })}
    }
}

/// What was found so far, in a sentence.
fn so_far(plan: &Plan, measure: &Measure, progress: &Progress) -> String {
    let Some(worth) = progress.worth else {
        return "Nothing found yet that keeps the duties.".into();
    };
    let counts = progress.found.iter();
    let counts = counts.map(|(part, count)| format!("{} × {count}", plan.called(part)));
    let turned = progress.turned.iter();
    let turned =
        turned.map(|t| format!("{} {}", plan.called(&t.part), words::setting(plan, t.least)));
    let list: Vec<String> = counts.chain(turned).collect();
    let list = if list.is_empty() {
        "the plan as it is".into()
    } else {
        list.join(", ")
    };
    format!("Found so far: {}: {list}.", words::worth(measure, worth))
}

/// The answer.
#[component]
pub(super) fn AnswerTable() -> impl IntoView {
    let search = use_sizes().least();
    move || {
        let answer = search.answer().filter(|a| a.complete)?;
        let sizes = answer.value.sizes.clone()?;
        let old = Signal::derive(move || search.is_out_of_date());
        Some(view! {
            <OutOfDate when=old/>
            <p class="sizes-head" role="status">{words::headline(&asked(&answer).measure, &sizes)}</p>
            <Table plan=answer.plan.clone() sizes=sizes.clone()/>
            {cheaper(&answer, &sizes)}
            {tried(&answer.plan, &sizes)}
            <TakeButton/>
        })
    }
}

/// Gives the plan what was found, where that differs.
#[component]
fn TakeButton() -> impl IntoView {
    let (store, sizes) = (use_store(), use_sizes());
    let search = sizes.least();
    move || {
        let edits = search.answer().map(|a| a.value.edits());
        let edits = edits.filter(|edits| !edits.is_empty());
        edits.map(|edits| {
            let materials = store.with_plan(|plan| change_said(&Bill::change(plan, &edits)?));
            view! {
                <p class="sizes-take">
                    {materials.map(|said| format!("{said} "))}
                    <button type="button" disabled=move || search.is_out_of_date() on:click=move |_| sizes.take()>"Take these sizes"</button>
                    {move || search.is_out_of_date().then_some(" They are of an earlier plan: find the least anew.")}
                </p>
            }
        })
    }
}

#[component]
fn Table(
    /// The plan that was asked about.
    plan: Arc<Plan>,
    /// The answer.
    sizes: Arc<Sizes>,
) -> impl IntoView {
    let rows = sizes.rows.iter().map(|row| {
        let least = row.least.map_or("–".to_string(), |n| n.to_string());
        let differs = row.least.is_some_and(|n| n != row.present);
        let fewer = words::fewer(&plan, row);
        view! {
            <tr class:differs=differs>
                <th scope="row"><PartButton id=row.part.clone() name=plan.called(&row.part)/></th>
                <td class="number">{row.present}</td>
                <td class="number">{least}</td>
                <td>{fewer}</td>
            </tr>
        }
    });
    let turned = sizes.turned.iter().map(|turned| {
        view! {
            <tr class="differs">
                <th scope="row"><PartButton id=turned.part.clone() name=plan.called(&turned.part)/></th>
                <td class="number">{words::setting(&plan, turned.present)}</td>
                <td class="number">{words::setting(&plan, turned.least)}</td>
                <td></td>
            </tr>
        }
    });
    let rows: Vec<_> = rows
        .map(IntoAny::into_any)
        .chain(turned.map(IntoAny::into_any))
        .collect();
    view! {
        <table class="sizes-table">
            <caption class="unseen">"Sizes, part by part"</caption>
            <thead><tr>
                <th scope="col">"Part"</th>
                <th scope="col" class="number">"Present"</th>
                <th scope="col" class="number">"Least"</th>
                <th scope="col">"With one fewer"</th>
            </tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
}

/// A part's name, which shows the part on the board.
#[component]
pub(super) fn PartButton(
    /// The part.
    id: PartId,
    /// Its name.
    name: String,
) -> impl IntoView {
    let store = use_store();
    view! {
        <button type="button" class="quiet sizes-part" title="Show on the board"
            on:click=move |_| store.show(std::slice::from_ref(&id), &[])>
            {name}
        </button>
    }
}

fn cheaper(answer: &LeastAnswer, sizes: &Sizes) -> Option<impl IntoView + use<>> {
    let cheaper = sizes.cheaper.as_ref()?;
    let counts: Vec<String> = cheaper
        .counts
        .iter()
        .map(|(part, count)| format!("{} × {count}", answer.plan.called(part)))
        .collect();
    let says = format!(
        "Next cheaper ({}): {}: {}.",
        words::worth(&asked(answer).measure, cheaper.side.worth),
        counts.join(", "),
        words::fails(&answer.plan, &cheaper.side)
    );
    Some(view! { <p class="sizes-note">{says}</p> })
}

/// With regard to which settings the answer is least.
fn tried(plan: &Plan, sizes: &Sizes) -> Option<impl IntoView + use<>> {
    let several = sizes.tried.iter().filter(|t| t.settings.len() > 1);
    let list: Vec<String> = several
        .map(|t| format!("{} {}", plan.called(&t.part), t.settings.len()))
        .collect();
    (!list.is_empty()).then(|| {
        let says = format!(
            "Least with regard to the settings tried, the present ones among them: {}.",
            list.join(", ")
        );
        view! { <p class="sizes-note">{says}</p> }
    })
}
