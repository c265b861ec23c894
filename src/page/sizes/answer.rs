//! The answer: the search under way, and the table part by part with what breaks when there is one fewer.

use super::sizing::Told;
use super::use_sizing;
use crate::page::log::AsOf;
use crate::page::store::use_store;
use crate::plan::{PartId, Plan};
use crate::proof::sizes::{Measure, Progress, Sizes};
use crate::sheet::sizes as words;
use leptos::prelude::*;

/// The search under way, with what it has found so far; or that it was stopped.
#[component]
pub(super) fn Under() -> impl IntoView {
    let sizing = use_sizing();
    let progress = Memo::new(move |_| sizing.told().and_then(|t| t.progress));
    let stopped = Memo::new(move |_| sizing.told().and_then(|t| t.stopped));
    let found = move || {
        let told = sizing.told().filter(|t| t.sizes.is_none())?;
        let progress = told.progress.as_ref()?;
        Some(so_far(&told.plan, &told.ask.measure, progress))
    };
    let runs = move || progress.get().map_or((0, 1), |p| p.runs);
    let bar = move || {
        sizing.is_searching().then(|| {
            view! {
                <p class="under-way">
                    <label>"Searching, "{move || runs().0}" of at most "{move || runs().1}" runs "
                        <progress max=move || runs().1.to_string() value=move || runs().0.to_string()></progress>
                    </label>
                    <button type="button" class="quiet" on:click=move |_| sizing.stop()>"Stop"</button>
                </p>
            }
        })
    };
    view! {
        {bar}
        {move || stopped.get().map(|why| view! { <p class="under-way" role="status">{why}</p> })}
        {move || found().map(|says| view! { <p class="sizes-so-far">{says}</p> })}
        {move || stopped.get().map(|_| view! { <TakeButton/> })}
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
    let sizing = use_sizing();
    let whole = Memo::new(move |_| sizing.told().filter(|t| t.sizes.is_some()));
    let old = Signal::derive(move || whole.with(Option::is_some) && sizing.is_old());
    move || {
        let told = whole.get()?;
        let sizes = told.sizes.clone()?;
        Some(view! {
            <AsOf is_old=old/>
            <p class="sizes-head" role="status">{words::headline(&told.ask.measure, &sizes)}</p>
            <Table told=told.clone()/>
            {cheaper(&told, &sizes)}
            {tried(&told, &sizes)}
            <TakeButton/>
        })
    }
}

/// Gives the plan what was found, where that differs.
#[component]
fn TakeButton() -> impl IntoView {
    let sizing = use_sizing();
    move || {
        let has_edits = sizing.told().is_some_and(|told| !told.edits().is_empty());
        has_edits.then(|| {
            view! {
                <p class="sizes-take">
                    <button type="button" disabled=move || sizing.is_old() on:click=move |_| sizing.take()>"Take these sizes"</button>
                    {move || sizing.is_old().then_some(" They are of an earlier plan: find the least anew.")}
                </p>
            }
        })
    }
}

#[component]
fn Table(
    /// The answer.
    told: Told,
) -> impl IntoView {
    let sizes = told.sizes.clone()?;
    let plan = told.plan.clone();
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
    Some(view! {
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
    })
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

fn cheaper(told: &Told, sizes: &Sizes) -> Option<impl IntoView + use<>> {
    let cheaper = sizes.cheaper.as_ref()?;
    let counts: Vec<String> = cheaper
        .counts
        .iter()
        .map(|(part, count)| format!("{} × {count}", told.plan.called(part)))
        .collect();
    let says = format!(
        "Next cheaper ({}): {}: {}.",
        words::worth(&told.ask.measure, cheaper.side.worth),
        counts.join(", "),
        words::fails(&told.plan, &cheaper.side)
    );
    Some(view! { <p class="sizes-note">{says}</p> })
}

/// With regard to which settings the answer is least.
fn tried(told: &Told, sizes: &Sizes) -> Option<impl IntoView + use<>> {
    let several = sizes.tried.iter().filter(|t| t.settings.len() > 1);
    let list: Vec<String> = several
        .map(|t| format!("{} {}", told.plan.called(&t.part), t.settings.len()))
        .collect();
    (!list.is_empty()).then(|| {
        let says = format!(
            "Least with regard to the settings tried, the present ones among them: {}.",
            list.join(", ")
        );
        view! { <p class="sizes-note">{says}</p> }
    })
}
