//! The hints of an exercise: recorded by solving it, each with what it says.

use super::{change, of_exercise};
use crate::limits::WALK_TEXT;
use crate::page::store::{Store, use_store};
use crate::page::teach::{Standing, standing};
use crate::plan::{Exercise, StateEdits, WalkStep};
use crate::teach::quick_text;
use leptos::prelude::*;

/// The list, and the button that records the next.
#[component]
pub fn SetHints() -> impl IntoView {
    let (store, standing) = (use_store(), standing());
    let count = of_exercise(|exercise| exercise.hints.len());
    let has_any = Memo::new(move |_| count.get().is_some_and(|count| count > 0));
    let is_of_before = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            let (hints, given) = (plan.hints(), plan.exercise_start());
            let edits = hints
                .zip(given)
                .map(|(hints, given)| StateEdits::between(&given, hints.plan()));
            has_any.get() && edits.is_some_and(|edits| !edits.is_empty())
        })
    });
    let drop_last = move |_| {
        change(store, "take the last hint away", Exercise::drop_hint);
    };
    view! {
        <h3>"Hints"</h3>
        <p class="aside">"A hint says something, and can be seen on the board: it is recorded by doing it. Together the hints lead from what is given to a solution."</p>
        {move || is_of_before.get().then(|| view! {
            <p class="exercise-note">"What is given has changed since these hints were recorded, and they still begin at what was given then. Take them away and record them anew if they no longer fit."</p>
        })}
        <ol class="exercise-list">
            <For each=move || 0..count.get().unwrap_or(0) key=|at| *at children=|at| view! { <Row at/> }/>
        </ol>
        <p class="exercise-buttons">
            {move || match standing.get() {
                Standing::Solved => view! { <RecordHint/> }.into_any(),
                _ => view! { <span class="aside">"Choose “Solve it here” to record hints."</span> }.into_any(),
            }}
            {move || has_any.get().then(|| view! {
                <button type="button" on:click=drop_last>"Take the last hint away"</button>
            })}
        </p>
    }
}

/// The button that records what was done since the last hint, or since the start.
#[component]
pub fn RecordHint() -> impl IntoView {
    let store = use_store();
    let count = of_exercise(|exercise| exercise.hints.len());
    let says = move || match count.get().unwrap_or(0) {
        0 => "Record what was done so far as a hint".to_string(),
        n => format!("Record what was done since hint {n} as a hint"),
    };
    view! { <button type="button" on:click=move |_| record(store)>{says}</button> }
}

/// Takes what was changed since the last hint, or since the start, as one more.
fn record(store: Store) {
    let plan = store.document();
    let Some(mut hints) = plan.hints() else {
        return;
    };
    hints.go_to(usize::MAX);
    let edits = StateEdits::between(hints.plan(), &plan);
    if edits.is_empty() {
        return store.notice(
            "Nothing has changed since the last hint: do something on the board first.".into(),
        );
    }
    // What has changed is a beginning: whoever sets the exercise writes it otherwise.
    let hint = WalkStep {
        says: quick_text(hints.plan(), &plan),
        edits,
        ..WalkStep::default()
    };
    let Some(given) = plan.exercise_start() else {
        return;
    };
    change(store, "record a hint", |exercise| {
        exercise.add_hint(&given, hint)
    });
    store.notice("The hint is recorded. What it says stands in the window of the exercise.".into());
}

#[component]
fn Row(
    /// Its place among the hints.
    at: usize,
) -> impl IntoView {
    let store = use_store();
    let says = of_exercise(move |exercise| exercise.hints.get(at).map(|hint| hint.says.clone()));
    let says = move || says.get().flatten().unwrap_or_default();
    let said = move |event| {
        let says = event_target_value(&event).trim().to_string();
        change(store, "say something else in a hint", |exercise| {
            if let Some(hint) = exercise.hints.get_mut(at) {
                hint.says = says;
            }
        });
    };
    view! {
        <li>
            <textarea rows="2" maxlength=WALK_TEXT.to_string() aria-label=format!("What hint {} says", at + 1) prop:value=says on:change=said></textarea>
        </li>
    }
}
