//! The versions of the plan: how it was, by time, each to be looked at on the board or gone back to. What came after stays.

use super::kept::said;
use super::use_variants;
use crate::page::store::use_store;
use leptos::prelude::*;

/// So many of the newest are listed at first.
const FEW: usize = 8;

/// The list, and the field that names the plan as it is.
#[component]
pub(super) fn Versions() -> impl IntoView {
    let variants = use_variants();
    let name = RwSignal::new(String::new());
    let all = RwSignal::new(false);
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        variants.name_version(&name.get_untracked());
        name.set(String::new());
    };
    let versions = Memo::new(move |_| variants.versions());
    let shown = move || {
        let most = if all.get() { usize::MAX } else { FEW };
        versions.get().into_iter().take(most).collect::<Vec<_>>()
    };
    let has_more = move || !all.get() && versions.with(|v| v.len() > FEW);
    view! {
        <section class="versions" aria-label="History">
            <h3>"History"</h3>
            <p class="aside">
                "Versions are kept by themselves: of today one a minute, of this week one an hour, of earlier days one a day. Those with a name stay."
            </p>
            <form class="compare-keep fields" on:submit=keep>
                <label>"Name this version "
                    <input type="text" autocomplete="off" maxlength="60" placeholder="Its name" prop:value=move || name.get()
                        on:input=move |e| name.set(event_target_value(&e))/>
                </label>
                <button type="submit" disabled=move || name.with(|n| n.trim().is_empty())>"Name it"</button>
            </form>
            <ul class="variants" aria-label="Versions">
                <For each=shown key=|version| version.clone() children=move |(name, _)| view! { <Version name/> }/>
            </ul>
            <Show when=has_more>
                <button type="button" on:click=move |_| all.set(true)>"Show all versions"</button>
            </Show>
        </section>
    }
}

/// One version, with what can be done with it.
#[component]
fn Version(
    /// What it is called.
    name: String,
) -> impl IntoView {
    let (store, variants) = (use_store(), use_variants());
    let says = said(&name);
    let shown = Memo::new(move |_| store.preview().as_ref() == Some(&says));
    let (show, back) = (name.clone(), name.clone());
    let turn = move |_| {
        if shown.get_untracked() {
            return store.end_preview();
        }
        let name = show.clone();
        variants.with_version(&show, move || variants.show(&name));
    };
    let go_back = move |_| {
        let name = back.clone();
        variants.with_version(&back, move || variants.go_back_to(&name));
    };
    view! {
        <li>
            <span class="variant-name">{name}</span>
            <button type="button" aria-pressed=move || shown.get().to_string() on:click=turn>
                {move || if shown.get() { "Put back" } else { "Show on the board" }}
            </button>
            <button type="button" on:click=go_back>"Go back to it"</button>
        </li>
    }
}
