//! Proves the other kept plans whose book has this one's name on the plan's book as it now is. They stay as they are.

use super::Desk;
use crate::page::recheck::{Progress, use_rechecks};
use crate::plan::BookRef;
use crate::sheet::recheck_report::kept::Source;
use leptos::prelude::*;

/// The button, and what came of it. Of a book that comes with Duskline no plan has another of that name.
#[component]
pub(super) fn ProveOthers(desk: Desk, book: Memo<BookRef>) -> impl IntoView {
    let rechecks = use_rechecks();
    let prove = move |_| rechecks.of_book(&desk.with_plan(|plan| plan.book.clone()));
    let is_asked = Memo::new(move |_| {
        let name = book.with(|b| b.book.name.clone());
        let source = Source::OwnBook(name);
        (rechecks.report()).with(|r| r.as_ref().is_some_and(|r| r.source == source))
    });
    view! {
        <Show when=move || book.with(|b| !b.is_built_in())>
            <div class="prove-others">
                <button type="button" on:click=prove>"Prove other plans with this book…"</button>
                <div role="status" class="prove-others">
                    <Show when=move || is_asked.get()>
                        <Progress rechecks/>
                    </Show>
                </div>
            </div>
        </Show>
    }
}
