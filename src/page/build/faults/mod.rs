//! Fault finding: what was read off the base as it was built, and the single faults that explain all of it. Which these
//! are is the core's business.

mod answer;
mod job;
mod rows;

pub use job::FaultsJob;

use super::readings::use_base_readings;
use job::use_faults;
use leptos::prelude::*;

/// The tab.
#[component]
pub fn Faults() -> impl IntoView {
    let readings = use_base_readings();
    use_faults().follow();
    // A text field has an undo of its own.
    let key = move |event: web_sys::KeyboardEvent| {
        let undoes = event.ctrl_key() || event.meta_key();
        let is_z = event.key().eq_ignore_ascii_case("z") && !event.shift_key();
        let at = event_target::<web_sys::Element>(&event);
        if undoes && is_z && !at.matches("input[type=text]").unwrap_or(false) {
            event.prevent_default();
            readings.put_back();
        }
    };
    view! {
        <div class="fault-page" on:keydown=key>
            <section aria-labelledby="fault-readings">
                <h3 id="fault-readings">"What you read"</h3>
                <p class="aside">
                    "Times are on the dial, after the start of the plan at midnight of day 1."
                </p>
                <rows::Rows/>
                <Acts/>
            </section>
            <section aria-labelledby="fault-answer">
                <h3 id="fault-answer">"What explains it"</h3>
                <answer::Explained/>
            </section>
        </div>
    }
}

/// What is done with the rows.
#[component]
fn Acts() -> impl IntoView {
    let readings = use_base_readings();
    let is_empty = move || readings.typed().with(|typed| typed.is_empty());
    let is_full = move || readings.typed().with(|typed| typed.is_full());
    let unkept = move || {
        let says = |why| view! { <p class="refused" role="status">{why}": what you enter here is gone when the page is closed."</p> };
        readings.unkept().get().map(says)
    };
    view! {
        <p class="fault-acts">
            <button type="button" id=rows::ADD disabled=is_full on:click=move |_| readings.begin_empty()>"Add a reading"</button>
            <button type="button" disabled=is_empty on:click=move |_| readings.clear()>"Clear"</button>
            <button type="button" disabled=move || !readings.can_put_back() aria-keyshortcuts="Control+Z"
                title="Takes back the last entry (Ctrl Z)" on:click=move |_| readings.put_back()>
                "Put back"
            </button>
        </p>
        {unkept}
    }
}
