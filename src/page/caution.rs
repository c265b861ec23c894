//! What is said wherever somebody could take a plan for advice on real wiring.

use super::store::use_store;
use leptos::prelude::*;

/// The caution, and what the plan's book warns of.
#[component]
pub fn Caution() -> impl IntoView {
    let store = use_store();
    let of_book = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.book.book.caution.clone())
    });
    view! {
        <p class="aside caution">
            "Duskline plans power for invented worlds. Real installations follow local codes and licensed practice."
        </p>
        <p class="aside caution" hidden=move || of_book.with(String::is_empty)>{of_book}</p>
    }
}
