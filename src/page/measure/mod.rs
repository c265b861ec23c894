//! Measuring a world in the page: readings in tables, and beside them the world that they come to, with how sure each of
//! its values is, how well it explains each reading, and what to read next.
//!
//! It can stand in any dialog. What an entry means, what is said and what is drawn is the sheet's; the measuring is a job
//! beside the page. Readings are this browser's, not a plan's: whoever measures a world has one table of them.

mod answer;
mod desk;
mod exchange;
mod residuals;
mod row;
mod table;
mod take_over;

use super::jobs::{UnderWay, use_jobs};
use crate::plan::Numbers;
use desk::{BY_ITSELF, Desk};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// The tables, and the world that they come to.
#[component]
pub fn Measure(
    /// Called with the numbers of the plan, the measured world among them, to be kept under a name.
    keep: Callback<Numbers>,
) -> impl IntoView {
    let desk = Desk::start(use_jobs());
    let counted = move || desk.counted.with(Vec::len);
    let says = move || match (counted(), desk.table.with(|t| t.rows.len())) {
        (0, 0) => "No readings yet. Enter what you can read, or load the example.".to_string(),
        (0, _) => "No reading is complete yet.".to_string(),
        (n, _) if n > BY_ITSELF => format!(
            "{n} readings. With more than {BY_ITSELF} it takes a while: press Measure when they are right."
        ),
        (1, _) => "1 reading. It is measured as you type.".to_string(),
        (n, _) => format!("{n} readings. They are measured as you type."),
    };
    view! {
        <div class="measure">
            <section class="measure-readings" aria-labelledby="measure-readings">
                <h3 id="measure-readings">"Readings"</h3>
                <p class="measure-jump"><button type="button" class="quiet" on:click=|_| show_world()>"To the measured world"</button></p>
                <exchange::Exchange desk/>
                <table::Known desk/>
                <table::Groups desk/>
            </section>
            <section class="measure-world" aria-labelledby="measure-world">
                <h3 id="measure-world" tabindex="-1">"The world that they come to"</h3>
                <p class="measure-ask">
                    <button type="button" disabled=move || counted() == 0 on:click=move |_| desk.measure()>"Measure"</button>
                    <span>{says}</span>
                </p>
                <div class="measure-under">
                    <UnderWay status=desk.job.status() doing="Measuring" counts="readings left out in turn"
                        stop=Callback::new(move |()| desk.job.stop())
                        again=("Measure again", Callback::new(move |()| desk.measure()))/>
                </div>
                <answer::Answer desk/>
                <take_over::TakeOver desk keep/>
                <residuals::Residuals desk/>
            </section>
        </div>
    }
}

/// Brings the world into sight, which stands below the readings on a narrow screen, and reading goes on there.
fn show_world() {
    let heading = document().get_element_by_id("measure-world");
    if let Some(heading) = heading.and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) {
        heading.scroll_into_view();
        // Focus may be refused, which harms nothing.
        let _ = heading.focus();
    }
}
