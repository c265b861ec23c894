//! Fault finding: what was read off the base as it was built, and the single faults that explain all of it. Which these
//! are is the core's business.

mod answer;
mod job;
mod rows;

pub use job::FaultsJob;

use super::kept_entries::Unkept;
use super::readings::use_base_readings;
use crate::page::keys;
use job::use_faults;
use leptos::prelude::*;

/// The tab.
#[component]
pub fn Faults() -> impl IntoView {
    let readings = use_base_readings();
    use_faults().follow();
    let key = keys::on_undo(move || readings.rows.put_back());
    view! {
        <div class="fault-page" on:keydown=key>
            <section aria-labelledby="fault-readings">
                <h3 id="fault-readings">"What you read"</h3>
                <p class="aside">
                    "Times are on the dial, after the start of the plan at midnight of day 1, with each battery at what the plan has it start with."
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
    let rows = readings.rows;
    let is_empty = move || rows.now().with(|typed| typed.is_empty());
    let is_full = move || rows.now().with(|typed| typed.is_full());
    view! {
        <p class="build-acts">
            <button type="button" id=rows::ADD disabled=is_full on:click=move |_| readings.begin_empty()>"Add a reading"</button>
            <button type="button" disabled=is_empty on:click=move |_| readings.clear()>"Clear"</button>
            <button type="button" disabled=move || !rows.can_put_back() aria-keyshortcuts="Control+Z"
                title="Takes back the last entry (Ctrl Z)" on:click=move |_| rows.put_back()>
                "Put back"
            </button>
        </p>
        <Unkept why=rows.unkept() does="enter"/>
    }
}
