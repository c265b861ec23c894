//! One plan as a card: a small picture of its board, its title and tags, what is known of it, and what can be done with it.

use crate::page::keeping::{Keeper, date};
use crate::sheet::verdict::Standing;
use crate::shelf::{Entry, ShelfVerdict};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The card.
#[component]
pub(super) fn Card(
    /// The plan.
    entry: Entry,
    /// The keeper.
    keeper: Keeper,
    /// The small pictures of all plans, by key.
    pictures: RwSignal<BTreeMap<String, String>>,
    /// Whether the window with the plans is open.
    open: RwSignal<bool>,
) -> impl IntoView {
    let key = StoredValue::new(entry.key.clone());
    let called = entry.name();
    let is_binned = entry.is_binned();
    let is_open = move || keeper.key().with(|k| key.with_value(|own| own == k));
    let of = entry.key.clone();
    let picture = move || pictures.with(|all| all.get(&of).cloned().unwrap_or_default());
    let rename = move |event| keeper.rename(&key.get_value(), event_target_value(&event).trim());
    let tag = move |event| {
        let tags: Vec<String> = event_target_value(&event)
            .split(',')
            .map(|t| t.trim().to_string())
            .collect();
        keeper.tag(&key.get_value(), tags);
    };
    let named = |word: &str| format!("{word} {called}");
    let (title_name, tags_name) = (named("Title of"), named("Tags of"));
    let (opens, opened) = (named("Open"), named("Open now:"));
    let opens = move || {
        if is_open() {
            opened.clone()
        } else {
            opens.clone()
        }
    };
    let acts = match is_binned {
        true => {
            let restore = move |_| keeper.unbin(&key.get_value());
            view! { <button type="button" aria-label=named("Take out of the bin:") on:click=restore>"Take out of the bin"</button> }
                .into_any()
        }
        false => {
            let take = move |_| {
                keeper.open(&key.get_value());
                open.set(false);
            };
            let copy = move |_| keeper.duplicate(&key.get_value());
            let bin = move |_| keeper.bin(&key.get_value());
            view! {
                <button type="button" aria-label=opens disabled=is_open on:click=take>
                    {move || if is_open() { "Open now" } else { "Open" }}
                </button>
                <button type="button" aria-label=named("Duplicate") on:click=copy>"Duplicate"</button>
                <button type="button" aria-label=named("Put into the bin:") on:click=bin>"Into the bin"</button>
            }
            .into_any()
        }
    };
    let (standing, said) = verdict(&entry);
    view! {
        <li class="plan" class:current=is_open>
            <div class="picture" aria-hidden="true" inner_html=picture></div>
            <input type="text" aria-label=title_name prop:value=entry.facts.title.clone() maxlength="200"
                placeholder=called.clone() disabled=is_binned on:change=rename/>
            <p class="aside holds">{holds(&entry)}</p>
            <p class=format!("verdict {}", standing.word())>
                <super::super::duties::Mark of=standing/>
                {said}
            </p>
            <input type="text" class="tags" aria-label=tags_name prop:value=entry.own.tags.join(", ")
                placeholder="tags, with commas" maxlength="200" disabled=is_binned on:change=tag/>
            <p class="acts">{acts}</p>
        </li>
    }
}

/// How the plan stands, in words.
fn verdict(entry: &Entry) -> (Standing, String) {
    if entry.damaged {
        return (
            Standing::Broken,
            "damaged: open it to see what is left".into(),
        );
    }
    match (entry.verdict(), entry.facts.verdict) {
        (ShelfVerdict::Broken, Some(known)) => (
            Standing::Broken,
            format!(
                "{} of {} duties broken",
                known.duties - known.kept,
                known.duties
            ),
        ),
        (ShelfVerdict::Kept, Some(known)) => {
            let holds = if known.for_ever {
                "for ever"
            } else {
                "for 60 days"
            };
            (Standing::Kept, format!("duties kept {holds}"))
        }
        (ShelfVerdict::NoDuties, _) => (Standing::None, "no duties".into()),
        _ => (Standing::None, "not checked since its last change".into()),
    }
}

/// How much a kept plan holds, and when it was last changed, by this machine's clock.
fn holds(entry: &Entry) -> String {
    let parts = match entry.facts.parts {
        1 => "1 part".to_string(),
        parts => format!("{parts} parts"),
    };
    match entry.facts.changed {
        0 => parts,
        changed => format!("{parts}, {}", date(changed)),
    }
}
