//! The plan that is looked at: a small picture, what it takes, why each part is there, and what can be done with it.

use super::desk::Desk;
use crate::page::compare::use_variants;
use crate::page::jobs::{Job, Subject, priority, use_jobs};
use crate::page::keeping::use_keeper;
use crate::page::picture::address;
use crate::page::store::{LogPage, Pane};
use crate::page::windows::use_windows;
use crate::picture::{Picture, Size, What};
use crate::plan::{Plan, read_plan};
use crate::sheet::draft_said::{SaidOneMore, SaidPlan};
use crate::shelf::Origin;
use crate::worker::{Answer, PictureFile, Task};
use crate::works::materials_said;
use leptos::prelude::*;
use std::sync::Arc;

/// The plan of this number, from 1.
#[component]
pub(super) fn Chosen(desk: Desk, plan: SaidPlan, number: usize) -> impl IntoView {
    let drafted = read_plan(&plan.text).ok();
    let is_full = drafted
        .as_ref()
        .is_some_and(|plan| plan.parts.iter().any(|part| part.set.contains_key("start")));
    let materials = materials_said(&plan.materials);
    let rows = plan.why.iter().map(|(_, name, count, without)| {
        let name = match count {
            1 => name.clone(),
            count => format!("{count} × {name}"),
        };
        view! { <tr><th scope="row">{name}</th><td>{without.clone()}</td></tr> }
    });
    let rows: Vec<_> = rows.collect();
    view! {
        <section class="draft-chosen" aria-labelledby="draft-chosen">
            <h4 id="draft-chosen">{format!("Plan {number}")}</h4>
            {drafted.clone().map(|plan| view! { <BoardPicture plan/> })}
            <p>{format!("All of it, with the wanted loads, takes {materials}.")}</p>
            {is_full.then(|| view! { <p>"Its batteries must be full when it begins."</p> })}
            {drafted.map(|plan| view! { <Acts desk plan number/> })}
            <table class="draft-why">
                <caption>"Why each part is there: what happens to the duties without it"</caption>
                <tbody>{rows}</tbody>
            </table>
            {(!plan.one_more.is_empty()).then(|| view! { <OneMore more=plan.one_more/> })}
        </section>
    }
}

/// What one more of each bank would bring.
#[component]
fn OneMore(more: Vec<SaidOneMore>) -> impl IntoView {
    let rows = more.into_iter().map(|one| {
        view! {
            <tr>
                <th scope="row">{one.bank}</th>
                <td class="number">{one.materials_sum}</td>
                <td class="number">{one.holds}</td>
                <td class="number">{one.dull_days}</td>
                <td class="number">{one.lowest}</td>
                <td class="number">{one.single_points}</td>
                <td class="number">{one.spilled}</td>
                <td>{one.remark}</td>
            </tr>
        }
    });
    let rows: Vec<_> = rows.collect();
    view! {
        <div class="draft-table" tabindex="0" role="region" aria-label="What one more would bring"><table>
            <caption>"What one more of each would bring"</caption>
            <thead><tr>
                <th scope="col">"With"</th>
                <th scope="col" class="number">"Materials"</th>
                <th scope="col" class="number">"Without sun"</th>
                <th scope="col" class="number">"Dull days"</th>
                <th scope="col" class="number">"Lowest level"</th>
                <th scope="col" class="number">"Single points"</th>
                <th scope="col" class="number">"Spilled a day"</th>
                <th scope="col"><span class="unseen">"Remark"</span></th>
            </tr></thead>
            <tbody>{rows}</tbody>
        </table></div>
    }
}

/// The plan's board as a picture, which a worker draws.
#[component]
fn BoardPicture(plan: Plan) -> impl IntoView {
    let alt = format!("The board of {}", plan.title);
    let job: Job<Result<PictureFile, String>> =
        Job::new(use_jobs(), Subject::Document, |picture, piece, _| {
            if let Answer::Pictured(drawn) = piece {
                *picture = Some(*drawn);
            }
            true
        });
    let wanted = Picture {
        size: Size::Thumbnail,
        title: Some(String::new()),
        legend: false,
        numbers: false,
        ..Picture::new(What::Board)
    };
    let tasks = vec![Task::Picture(Box::new(wanted))];
    job.ask_about(Arc::new(plan), tasks, priority::AWAITED);
    let address = Memo::new(move |_| {
        let answer = job.answer()?;
        address(&answer.value.as_ref().ok()?.svg)
    });
    on_cleanup(move || {
        if let Some(address) = address.get_untracked() {
            // Where it is gone already nothing is held.
            let _ = web_sys::Url::revoke_object_url(&address);
        }
    });
    move || {
        let alt = alt.clone();
        address.get().map(
            |src| view! { <img class="draft-picture" src=src alt=alt width="640" height="360"/> },
        )
    }
}

/// What can be done with the plan.
#[component]
fn Acts(desk: Desk, plan: Plan, number: usize) -> impl IntoView {
    let (keeper, windows, variants) = (use_keeper(), use_windows(), use_variants());
    let store = desk.store;
    let plan = StoredValue::new(plan);
    let open = move |_| {
        windows.close();
        keeper.open_other(plan.get_value(), Origin::Own);
    };
    let show = move |_| {
        let says = format!("Draft {number}");
        // The open plan keeps what it is called and what is noted of it.
        let edits = store.with_plan(|now| {
            let (title, notes) = (now.title.clone(), now.notes.clone());
            now.edits_to(&Plan {
                title,
                notes,
                ..plan.get_value()
            })
        });
        if store.preview_change(&says, &format!("take draft {number}"), edits) {
            windows.close();
        }
    };
    let compare = move |_| {
        let taken = untrack(|| variants.names());
        let free = |name: &String| !taken.contains(name);
        let numbered = (2u64..).map(|again| format!("Draft {number} ({again})"));
        let name = std::iter::once(format!("Draft {number}"))
            .chain(numbered)
            .find(free);
        let name = name.unwrap_or_default();
        variants.keep_plan(&name, plan.get_value());
        variants.first.set(String::new());
        variants.compare();
        store.log().set(LogPage::Compare);
        store.pane().set(Some(Pane::Log));
        windows.close();
    };
    view! {
        <p class="draft-acts">
            <button type="button" class="main-act" on:click=open>"Open as another plan"</button>
            <button type="button" title="In place of the open plan, which you can take or leave" on:click=show>"Try it on the board"</button>
            <button type="button" title="Kept as a variant of the open plan, beside which it is set" on:click=compare>"Compare with the open plan"</button>
        </p>
    }
}
