//! Adding one of several: a choice and a button, since a choice alone would be taken at every step of the arrow keys.

use leptos::html;
use leptos::prelude::*;

/// The choice and its button.
#[component]
pub fn Add(
    /// The choice's id, for its label.
    #[prop(into)]
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// Values, and what is said of them.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// Takes the one that is chosen.
    add: impl Fn(String) + Send + Sync + 'static,
) -> impl IntoView {
    let select = NodeRef::<html::Select>::new();
    let chosen = RwSignal::new(String::new());
    let press = move |_| {
        let value = chosen.get_untracked();
        if !value.is_empty() {
            add(value);
            chosen.set(String::new());
            if let Some(select) = select.get_untracked() {
                select.set_value("");
            }
        }
    };
    let entries = move || {
        let entry = |(value, said)| view! { <option value=value>{said}</option> };
        options.get().into_iter().map(entry).collect_view()
    };
    let name = format!("{label}: add it");
    view! {
        <p class="add">
            <label for=id.clone()>{label}</label>
            <select id=id node_ref=select on:change=move |ev| chosen.set(event_target_value(&ev))>
                <option value="">"Choose…"</option>
                {entries}
            </select>
            <button type="button" aria-label=name disabled=move || chosen.with(String::is_empty) on:click=press>"Add"</button>
        </p>
    }
}
