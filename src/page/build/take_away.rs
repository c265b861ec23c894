//! A list to take away: as a table for a spreadsheet, and as a text on the clipboard.

use crate::page::copy_text;
use crate::page::download;
use crate::page::store::use_store;
use leptos::html;
use leptos::prelude::*;

/// The buttons, and the text where the browser does not let it onto the clipboard.
#[component]
pub(super) fn TakeAway(
    /// What the file's name ends with, ahead of `.csv`.
    ending: &'static str,
    /// What it is called in a sentence.
    called: &'static str,
    /// Makes the table.
    table: impl Fn() -> String + Copy + 'static,
    /// Makes the text.
    text: impl Fn() -> String + Copy + 'static,
) -> impl IntoView {
    let store = use_store();
    let shown = RwSignal::new(None::<String>);
    let field = NodeRef::<html::Textarea>::new();
    let save = move |_| {
        let ending = format!("{ending}.csv");
        let name = store.with_plan(|plan| download::named(&plan.title, "plan", &ending));
        download::save(store, &table(), &name, "text/csv");
    };
    let copy = move |_| {
        let text = text();
        leptos::task::spawn_local(async move {
            if copy_text::put(&text).await {
                let _ = shown.try_set(None);
                return store.notice(format!("The {called} is copied as text."));
            }
            // The window may be closed by now.
            let _ = shown.try_set(Some(text));
            request_animation_frame(move || {
                if let Some(Some(field)) = field.try_get_untracked() {
                    field.select();
                }
            });
        });
    };
    view! {
        <p class="build-acts">
            <button type="button" on:click=save>"Save as a table"</button>
            <button type="button" on:click=copy>"Copy as text"</button>
        </p>
        <Show when=move || shown.with(Option::is_some)>
            <p role="status">"The browser does not let the page use the clipboard. Select the text and copy it."</p>
            <textarea readonly rows="8" aria-label=format!("The {called} as text") node_ref=field prop:value=move || shown.get().unwrap_or_default()></textarea>
        </Show>
    }
}
