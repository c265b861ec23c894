//! The hints of an exercise: recorded by solving it, each with what it says.

use super::{change, of_exercise};
use crate::page::store::{Store, use_store};
use crate::page::teach::{Standing, standing};
use crate::plan::{StateEdits, WalkStep};
use crate::teach::quick_text;
use leptos::prelude::*;

/// The list, and the button that records the next.
#[component]
pub fn SetHints() -> impl IntoView {
    let (store, standing) = (use_store(), standing());
    let hints = of_exercise(|exercise| {
        exercise
            .hints
            .iter()
            .map(|hint| hint.says.clone())
            .collect::<Vec<String>>()
    });
    let rows = move || {
        let all = hints.get().unwrap_or_default().into_iter().enumerate();
        all.map(|(at, says)| view! { <Row at says/> })
            .collect_view()
    };
    let drop_last = move |_| {
        change(store, "take the last hint away", |exercise| {
            drop(exercise.hints.pop())
        })
    };
    view! {
        <h3>"Hints"</h3>
        <p class="aside">"A hint says something, and can be seen on the board: it is recorded by doing it. Together the hints lead from what is given to a solution."</p>
        <ol class="exercise-list">{rows}</ol>
        <p class="exercise-buttons">
            {move || match standing.get() {
                Standing::Solved => view! { <RecordHint/> }.into_any(),
                _ => view! { <span class="aside">"Choose “Solve it here” to record hints."</span> }.into_any(),
            }}
            {move || hints.get().is_some_and(|all| !all.is_empty()).then(|| view! {
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
    change(store, "record a hint", |exercise| exercise.hints.push(hint));
    store.notice("The hint is recorded. What it says stands in the window of the exercise.".into());
}

#[component]
fn Row(
    /// Its place among the hints.
    at: usize,
    /// What it says.
    says: String,
) -> impl IntoView {
    let store = use_store();
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
            <textarea rows="2" maxlength="4000" aria-label=format!("What hint {} says", at + 1) prop:value=says on:change=said></textarea>
        </li>
    }
}
