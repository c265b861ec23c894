//! The log's page of sizes: the least sources and batteries that keep every duty, part by part, to be taken over in one
//! step; and beside them how much more load each could carry.
//!
//! [`Sizing`] has both worked out beside the page when asked, and keeps what was found while one edits. Nothing is
//! searched here.

mod answer;
mod ask;
mod sizing;
mod spare;

pub(super) use sizing::{Sizing, use_sizing};

use leptos::prelude::*;

/// The page.
#[component]
pub fn SizesPage() -> impl IntoView {
    view! {
        <div class="sizes-page">
            <section class="sizes-main" aria-label="Least sizes">
                <ask::AskForm/>
                <answer::Under/>
                <answer::AnswerTable/>
            </section>
            <spare::SparePane/>
        </div>
    }
}
