//! The line over the board that says what is tried, takes it and leads back to the plan.

use super::store::use_store;
use leptos::prelude::*;

/// Says what is tried, and leads back.
#[component]
pub fn PreviewBanner() -> impl IntoView {
    let store = use_store();
    move || {
        store.preview().map(|says| {
            view! {
                <div class="trial" role="status">
                    <span>"Shown as a trial: " {says}</span>
                    {store.can_take().then(|| view! {
                        <button type="button" on:click=move |_| store.take_preview()>"Take"</button>
                    })}
                    <button type="button" on:click=move |_| store.end_preview()>"Back to the plan"</button>
                </div>
            }
        })
    }
}
