//! A passage whose words lead to what they speak of: a part to its place on the board, a time to that moment.

use crate::explain::{LinkTarget, Passage, PassagePiece};
use crate::page::store::{LogPage, Store, use_store};
use leptos::prelude::*;

/// The passage.
#[component]
pub fn Said(
    /// What it says.
    says: Passage,
    /// Whether board and chart show the moments that it speaks of, so that its times lead there.
    is_shown: bool,
) -> impl IntoView {
    let store = use_store();
    let piece = move |PassagePiece { text, link }: PassagePiece| {
        match link {
        None => text.into_any(),
        Some(LinkTarget::Time(_)) if !is_shown => text.into_any(),
        Some(to) => view! {
            <button type="button" class="said-link" on:click=move |_| lead(store, &to)>{text}</button>
        }
        .into_any(),
    }
    };
    says.pieces.into_iter().map(piece).collect_view()
}

fn lead(store: Store, to: &LinkTarget) {
    match to {
        LinkTarget::Part(id) => store.show(std::slice::from_ref(id), &[]),
        LinkTarget::Time(t) => {
            store.go_to(*t);
        }
        LinkTarget::Duty(_) => store.log().set(LogPage::Duties),
    }
}
