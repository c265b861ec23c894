//! One plan as a card: a small picture of its board, its title and tags, what is known of it, and what can be done with it.

use crate::page::duties::Mark;
use crate::page::keeping::{Keeper, date};
use crate::page::windows::use_windows;
use crate::sheet::verdict::Standing;
use crate::shelf::{Entry, ShelfVerdict};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The card. It stays while what it tells changes, and so does the keyboard's place in it.
#[component]
pub(super) fn Card(
    /// The plan's key.
    key: String,
    /// The keeper.
    keeper: Keeper,
    /// The small pictures of all plans, by key.
    pictures: RwSignal<BTreeMap<String, String>>,
) -> impl IntoView {
    let windows = use_windows();
    let key = StoredValue::new(key);
    let entry = Memo::new(move |_| {
        let found = keeper
            .shelf()
            .with(|shelf| shelf.entry(&key.get_value()).cloned());
        found.unwrap_or_default()
    });
    let named = move |word: &'static str| move || format!("{word} {}", entry.with(Entry::name));
    // What is being typed stays, whatever else of the plan is noted meanwhile.
    let title = Memo::new(move |_| entry.with(|e| e.facts.title.clone()));
    let tags = Memo::new(move |_| entry.with(|e| e.own.tags.join(", ")));
    let is_binned = Memo::new(move |_| entry.with(Entry::is_binned));
    let is_open = move || keeper.key().with(|k| key.with_value(|own| own == k));
    let picture = move || {
        let of = |all: &BTreeMap<String, String>| key.with_value(|key| all.get(key).cloned());
        pictures.with(of).unwrap_or_default()
    };
    let rename = move |event| keeper.rename(&key.get_value(), event_target_value(&event).trim());
    let tag = move |event| {
        let tags = event_target_value(&event);
        let tags = tags.split(',').map(|tag| tag.trim().to_string());
        keeper.tag(&key.get_value(), tags.collect());
    };
    let take = move |_| {
        keeper.open(&key.get_value());
        windows.close();
    };
    let standing = Signal::derive(move || entry.with(|e| verdict(e).0));
    view! {
        <li class="plan" class:current=is_open>
            <div class="picture" aria-hidden="true" inner_html=picture></div>
            <input type="text" aria-label=named("Title of") prop:value=title
                maxlength="200" placeholder=move || entry.with(Entry::name) disabled=is_binned on:change=rename/>
            <p class="aside holds">{move || entry.with(holds)}</p>
            <p class=move || format!("verdict {}", standing.get().word())>
                <Mark of=standing/>
                {move || entry.with(|e| verdict(e).1)}
            </p>
            <input type="text" class="tags" aria-label=named("Tags of")
                prop:value=tags
                placeholder="tags, with commas" maxlength="200" disabled=is_binned on:change=tag/>
            <p class="acts">
                <Show
                    when=move || !is_binned.get()
                    fallback=move || view! {
                        <button type="button" aria-label=named("Take out of the bin:") on:click=move |_| keeper.unbin(&key.get_value())>
                            "Take out of the bin"
                        </button>
                    }
                >
                    <button type="button" disabled=is_open on:click=take
                        // The button's name has what stands on it.
                        aria-label=move || if is_open() { named("Is open:")() } else { named("Open")() }
                    >
                        {move || if is_open() { "Is open" } else { "Open" }}
                    </button>
                    <button type="button" aria-label=named("Duplicate") on:click=move |_| keeper.duplicate(&key.get_value())>
                        "Duplicate"
                    </button>
                    <button type="button" aria-label=named("Put into the bin:") on:click=move |_| keeper.bin(&key.get_value())>
                        "Into the bin"
                    </button>
                </Show>
            </p>
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
        changed => format!("{parts}, {}", date(changed, false)),
    }
}
