//! The lines that stay until they no longer hold: a plan that can't be saved, a plan that another tab has changed, a part of
//! the page that could not be fetched, kept plans that are proven on new numbers.

use super::keeping::use_keeper;
use super::later::{TryAgain, use_later};
use super::store::use_store;
use leptos::prelude::*;

/// Those lines.
#[component]
pub fn Standing() -> impl IntoView {
    let keeper = use_keeper();
    let (store, later) = (use_store(), use_later());
    view! {
        <div class="standing" role="status">
            <Show when=move || keeper.trouble().with(Option::is_some)>
                <p>
                    <span>
                        {move || keeper.trouble().get()}
                        ", so this plan is not saved and goes with the page. Take it away as a file."
                    </span>
                    <button type="button" on:click=move |_| super::files::download(store)>
                        "Save as a file"
                    </button>
                </p>
            </Show>
            <Show when=move || keeper.is_changed_elsewhere().get()>
                <p>
                    <span>
                        "Another tab has changed this plan. Load its version, or go on here: your next edit keeps yours as another plan."
                    </span>
                    <button type="button" on:click=move |_| keeper.load_elsewhere()>
                        "Load its version"
                    </button>
                </p>
            </Show>
            <Show when=move || later.is_missing()>
                <p>
                    <span>
                        "A part of the page could not be fetched: details, log, copying and pasting wait for it. The board works without it. Try again, or reload the page."
                    </span>
                    <TryAgain/>
                </p>
            </Show>
            {move || later.part().map(|part| (part.recheck_line)())}
        </div>
    }
}
