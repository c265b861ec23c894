//! The log's page of sizes: the least sources and batteries that keep every duty, part by part, to be taken over in one
//! step; and beside them how much more load each could carry.
//!
//! [`SizesJob`] has both worked out beside the page when asked, and keeps what was found while one edits. Nothing is
//! searched here.

mod answer;
mod ask;
mod job;
mod spare;

pub(super) use job::{SizesJob, use_sizes};

use leptos::prelude::*;

/// The page.
#[component]
pub fn SizesPage() -> impl IntoView {
    view! {
        <div class="sizes-page">
            <section class="sizes-main" aria-label="Least sizes">
                <ask::AskForm/>
                <answer::Search/>
                <answer::AnswerTable/>
            </section>
            <spare::SparePane/>
        </div>
    }
}
