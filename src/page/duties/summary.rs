//! The verdict in one line, which is seen first; it opens the log's page of duties. It is told by words and a mark.

use super::use_duties;
use crate::page::store::LogPage;
use crate::page::store::{Pane, use_store};
use crate::sheet::verdict::{self, Standing};
use leptos::prelude::*;

/// The mark of a standing.
#[component]
pub fn Mark(
    /// The standing.
    #[prop(into)]
    of: Signal<Standing>,
) -> impl IntoView {
    view! {
        <svg class="verdict-mark" viewBox="0 0 12 12" aria-hidden="true">
            <path d=move || of.get().mark()/>
        </svg>
    }
}

/// The line.
#[component]
pub fn VerdictLine() -> impl IntoView {
    let (store, duties) = (use_store(), use_duties());
    let standing = Signal::derive(move || {
        duties
            .verdicts()
            .map_or(Standing::None, |v| verdict::standing(&v.check))
    });
    let said = move || match (duties.verdicts(), duties.status().says()) {
        (Some(verdicts), _) => verdict::summary(&verdicts.check),
        (None, Some(why)) => why,
        (None, None) => "Checking duties…".into(),
    };
    let open = move |_| {
        store.log().set(LogPage::Duties);
        store.pane().set(Some(Pane::Log));
    };
    let title = move || {
        if duties.is_out_of_date() {
            "As of the plan before your last edits. Open the duties"
        } else {
            "Open the duties"
        }
    };
    view! {
        <button
            type="button"
            class=move || format!("verdict {}", standing.get().word())
            class:old=move || duties.is_out_of_date()
            title=title
            on:click=open
        >
            <Mark of=standing/>
            <span>{said}</span>
            {move || duties.is_out_of_date().then(|| view! { <span class="verdict-old">"checking…"</span> })}
        </button>
    }
}
