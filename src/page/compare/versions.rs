//! The versions of the plan: how it was, by time, each to be looked at on the board or gone back to. What came after stays.

use super::{NameForm, ShowOnBoard, use_variants};
use leptos::prelude::*;

/// So many of the newest are listed at first.
const FEW: usize = 8;

/// The list, and the form that names the plan as it is.
#[component]
pub(super) fn Versions() -> impl IntoView {
    let variants = use_variants();
    let all = RwSignal::new(false);
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
                "Versions are kept by themselves, also of how the plan stood before you went on: of today one a minute, of this week one an hour, of earlier days one a day. Those with a name stay."
            </p>
            <NameForm label="Name the plan as it is now" does="Name it" take=move |name| variants.name_version(name)/>
            <ul class="variants" aria-label="Versions">
                <For each=shown key=|version| version.clone() children=move |(name, number)| view! { <Version name number/> }/>
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
    /// Its number.
    number: u64,
) -> impl IntoView {
    let variants = use_variants();
    let names = RwSignal::new(false);
    let (shown, back, called) = (name.clone(), name.clone(), name.clone());
    let go_back = move |_| {
        let name = back.clone();
        variants.with_version(&back, move || variants.go_back_to(&name, number));
    };
    view! {
        <li>
            <span class="variant-name">{name}</span>
            <ShowOnBoard name=shown/>
            <button type="button" on:click=go_back>"Go back to it"</button>
            <button type="button" aria-label=format!("Name… {called}") aria-expanded=move || names.get().to_string()
                on:click=move |_| names.update(|n| *n = !*n)>"Name…"</button>
            <Show when=move || names.get()>
                <NameForm label="Name for this version" does="Name it" take=move |name| {
                    variants.rename_version(number, name);
                    names.set(false);
                }/>
            </Show>
        </li>
    }
}
