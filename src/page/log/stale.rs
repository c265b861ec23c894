//! The mark on results that are kept while one edits: that they are of an earlier plan.

use leptos::prelude::*;

/// Says that what stands below is as of an earlier plan, where it is.
#[component]
pub(crate) fn AsOf(
    /// Whether what stands below is of an earlier plan.
    #[prop(into)]
    is_old: Signal<bool>,
) -> impl IntoView {
    move || {
        is_old.get().then(|| view! { <p class="as-of" role="status">"As of the plan before your last edits."</p> })
    }
}
