//! Which types a learner may build, and how many.

use super::{change, of_exercise};
use crate::limits::COUNT;
use crate::page::add::Add;
use crate::page::store::use_store;
use leptos::prelude::*;

/// The list, or that the whole book may be used.
#[component]
pub fn May() -> impl IntoView {
    let store = use_store();
    let may = of_exercise(|exercise| exercise.may.clone());
    let limited = move || may.get().flatten().is_some();
    let turn = move |event| {
        let ticked = event_target_checked(&event);
        change(store, "say what may be built", |exercise| {
            exercise.may = ticked.then(Vec::new);
        });
    };
    let add = move |kind: String| {
        change(store, "allow a part type", |exercise| {
            let all = exercise.may.get_or_insert_default();
            if !all.iter().any(|(other, _)| *other == kind) {
                all.push((kind, Some(1)));
            }
        });
    };
    let types = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| {
            let types = plan.book.book.types.iter();
            types
                .map(|kind| (kind.name.clone(), kind.label.clone()))
                .collect::<Vec<(String, String)>>()
        })
    });
    let left = Signal::derive(move || {
        let used = may.get().flatten().unwrap_or_default();
        let mut left = types.get();
        left.retain(|(name, _)| !used.iter().any(|(other, _)| other == name));
        left
    });
    let kinds = move || {
        let used = may.get().flatten().unwrap_or_default();
        used.into_iter()
            .map(|(kind, _)| kind)
            .collect::<Vec<String>>()
    };
    let row = move |kind: String| {
        let label = types.with_untracked(|all| {
            let found = all.iter().find(|(name, _)| *name == kind);
            found.map_or_else(|| kind.clone(), |(_, label)| label.clone())
        });
        view! { <Row kind label/> }
    };
    view! {
        <h3>"What may be built"</h3>
        <label><input type="checkbox" prop:checked=limited on:change=turn/>" Only these types, beside what is given"</label>
        <Show when=limited>
            <ul class="exercise-list"><For each=kinds key=String::clone children=row/></ul>
            <Add id="exercise-add-type" label="Add a type" options=left add/>
        </Show>
    }
}

#[component]
fn Row(
    /// The type's name in the book.
    kind: String,
    /// What people call it.
    label: String,
) -> impl IntoView {
    let store = use_store();
    // How many may be built; none: any number.
    let most = {
        let kind = kind.clone();
        of_exercise(move |exercise| {
            let found = exercise
                .may
                .iter()
                .flatten()
                .find(|(name, _)| *name == kind);
            found.map(|(_, most)| *most)
        })
    };
    let at_most = {
        let kind = kind.clone();
        move |event| {
            let text = event_target_value(&event);
            let text = text.trim();
            let most = text.parse::<u64>().ok().filter(|most| *most <= COUNT);
            if most.is_none() && !text.is_empty() {
                store.notice(format!("How many may be built is a whole number up to {COUNT}, or nothing for any number."));
                return;
            }
            change(store, "say how many may be built", |exercise| {
                let found = exercise
                    .may
                    .iter_mut()
                    .flatten()
                    .find(|(name, _)| *name == kind);
                if let Some((_, limit)) = found {
                    *limit = most;
                }
            });
        }
    };
    let away = move |_| {
        change(store, "allow a part type no more", |exercise| {
            if let Some(all) = &mut exercise.may {
                all.retain(|(name, _)| *name != kind);
            }
        });
    };
    let shown = move || {
        let most = most.get().flatten().flatten();
        most.map_or(String::new(), |most| most.to_string())
    };
    view! {
        <li class="exercise-buttons">
            <label>{label.clone()}": at most "<input type="text" inputmode="numeric" size="4" placeholder="any" prop:value=shown on:change=at_most/></label>
            <button type="button" class="small" aria-label=format!("Remove {label}") on:click=away>"Remove"</button>
        </li>
    }
}
