//! Hints, one after the other: each says something, and can be seen on the board as it is done there.

use super::leave_walk;
use crate::page::store::{Store, use_store};
use leptos::prelude::*;

/// How many hints a learner was given on the open plan. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct HintsShown(RwSignal<usize>);

impl HintsShown {
    /// None on every plan that is opened.
    pub fn start(store: Store) -> HintsShown {
        let shown = RwSignal::new(0);
        Effect::watch(move || store.opened(), move |_, _, _| shown.set(0), false);
        HintsShown(shown)
    }
}

/// Those that were given, and the button for the next.
#[component]
pub fn Hints() -> impl IntoView {
    let store = use_store();
    let HintsShown(shown) = expect_context();
    let all = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            let hints = plan.exercise.as_ref().map(|exercise| &exercise.hints);
            let says = hints.into_iter().flatten().map(|hint| hint.says.clone());
            says.collect::<Vec<String>>()
        })
    });
    let given = move || {
        let all = all.get();
        all.into_iter().take(shown.get()).enumerate().map(|(at, says)| {
            view! {
                <li>
                    {says}" "
                    <button type="button" class="small" on:click=move |_| show(store, at)>"Show it on the board"</button>
                </li>
            }
        })
        .collect_view()
    };
    let left = move || all.with(Vec::len).saturating_sub(shown.get());
    view! {
        <Show when=move || !all.with(Vec::is_empty)>
            <h3>"Hints"</h3>
            <ol class="exercise-list" aria-live="polite">{given}</ol>
            <button type="button" disabled=move || left() == 0 on:click=move |_| shown.update(|n| *n += 1)>
                {move || match left() {
                    0 => "No more hints".to_string(),
                    n => format!("Give me a hint ({n} left)"),
                }}
            </button>
        </Show>
    }
}

/// Shows the start with all hints up to this one done, in the plan's place.
fn show(store: Store, at: usize) {
    leave_walk(store);
    store.end_preview();
    let plan = store.document();
    let Some(mut hints) = plan.hints() else {
        return;
    };
    hints.go_to(at + 1);
    let says = format!("the exercise's start with hint {} done", at + 1);
    store.preview_plan(&says, hints.plan().clone());
    if let Some(moment) = hints.at() {
        store.go_to(moment.ms(hints.plan().world.day_ms()));
    }
    if let Some(step) = hints.step() {
        store.show(&step.lit.parts, &step.lit.wires);
    }
}
