//! Beginning an exercise, beginning it again, and handing in what was built: a link with a name.

use super::commit;
use crate::page::keeping::use_keeper;
use crate::page::links;
use crate::page::store::{LogPage, Store, use_store};
use crate::page::windows::use_windows;
use crate::plan::{Edit, Exercise, Plan};
use leptos::prelude::*;

/// The button that begins the exercise on the plan where it is set.
#[component]
pub fn SolveHere() -> impl IntoView {
    let (store, windows) = (use_store(), use_windows());
    // It is solved on the board, which a window covers.
    let solve = move |_| {
        windows.close();
        begin(store);
    };
    view! {
        <button type="button" on:click=solve>"Solve it here"</button>
    }
}

fn begin(store: Store) {
    store.log().set(LogPage::Exercise);
    let plan = store.document();
    let edits = plan.edits_to(&Plan::clone(&plan).begun());
    commit(store, "begin the exercise", edits);
}

/// Makes the plan what the exercise was set as, with what has become of the exercise itself since.
pub fn back_to_setting(store: Store) {
    let plan = store.document();
    if let Some(set) = plan.as_set() {
        commit(store, "go back to what is given", plan.edits_to(&set));
    }
}

/// Takes everything back that the learner did.
fn start_again(store: Store) {
    let plan = store.document();
    if let Some(start) = plan.as_set() {
        let mut edits = plan.edits_to(&start);
        edits.retain(|edit| !matches!(edit, Edit::Exercise(_) | Edit::Title(_)));
        commit(store, "start the exercise again", edits);
        store
            .notice("The exercise stands as at its start. Undo brings back what you built.".into());
    }
}

/// Who solved it, the link, and the way back to the start.
#[component]
pub fn HandIn() -> impl IntoView {
    let (store, keeper) = (use_store(), use_keeper());
    let who = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            plan.exercise
                .as_ref()
                .map_or(String::new(), |e| e.who.clone())
        })
    });
    let named = move |event| {
        let who = event_target_value(&event).trim().to_string();
        let plan = store.document();
        if let Some(exercise) = plan.exercise.as_deref().filter(|e| e.who != who) {
            let other = Exercise {
                who,
                ..exercise.clone()
            };
            commit(
                store,
                "say who solved it",
                vec![Edit::Exercise(Some(Box::new(other)))],
            );
        }
    };
    view! {
        <h3>"Hand in"</h3>
        <p class="exercise-buttons">
            <label>"Your name "<input type="text" maxlength="80" prop:value=who on:change=named/></label>
            <button type="button" on:click=move |_| links::copy_solution(store, keeper)>"Copy the link to my solution"</button>
            <button type="button" on:click=move |_| start_again(store)>"Start again"</button>
        </p>
    }
}
