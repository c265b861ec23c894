//! The list to take away: as a table for a spreadsheet, and as a text on the clipboard. Where nothing was entered it is
//! what the plan needs, else with what is missing.

use crate::page::copy_text;
use crate::page::download;
use crate::page::store::use_store;
use crate::sheet::bill_said::gather_text;
use crate::works::csv::bill_table;
use crate::works::{Bill, GatherList, Missing};
use leptos::html;
use leptos::prelude::*;

use super::entries::use_gathering;

/// The buttons, and the text where the browser does not let it onto the clipboard.
#[component]
pub(super) fn TakeAway(list: Memo<GatherList>) -> impl IntoView {
    let (store, gathering) = (use_store(), use_gathering());
    let with_list = move |make: fn(&Bill, Option<&Missing>) -> String| {
        let is_plain = gathering.entries().with_untracked(|e| e.is_empty());
        list.with_untracked(|list| make(&list.bill, (!is_plain).then_some(&list.missing)))
    };
    let shown = RwSignal::new(None::<String>);
    let field = NodeRef::<html::Textarea>::new();
    let save = move |_| {
        let title = store.with_plan(|plan| download::plain(&plan.title));
        let name = if title.is_empty() { "plan" } else { &title };
        let text = with_list(bill_table);
        download::save(store, &text, &format!("{name}.gather.csv"), "text/csv");
    };
    let copy = move |_| {
        let text = with_list(|bill, missing| gather_text(bill, missing, None));
        leptos::task::spawn_local(async move {
            if copy_text::put(&text).await {
                let _ = shown.try_set(None);
                return store.notice("The list is copied as text.".into());
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
        <p class="gather-acts">
            <button type="button" on:click=save>"Save as a table"</button>
            <button type="button" on:click=copy>"Copy as text"</button>
        </p>
        <Show when=move || shown.with(Option::is_some)>
            <p role="status">"The browser does not let the page use the clipboard. Select the text and copy it."</p>
            <textarea readonly rows="8" aria-label="The list as text" node_ref=field prop:value=move || shown.get().unwrap_or_default()></textarea>
        </Show>
    }
}
