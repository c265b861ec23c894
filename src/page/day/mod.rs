//! The log's page of the day: chart, cursor, events.
//!
//! [`Run`] holds the record of what is shown and has it made anew after every change. The page draws what the core's
//! sheet lays out.

mod chart;
mod cursor;
mod events;
mod in_sight;
mod lane;
mod lane_data;
mod play;
mod run;
mod shows;

pub(super) use chart::Chart;
pub(super) use play::{Play, step};
pub(super) use run::{Run, use_run};

use super::jobs::{Jobs, OutOfDate};

use leptos::prelude::*;

/// Starts the run of what is shown, and what plays it.
pub(super) fn start(jobs: Jobs) {
    let run = Run::start(jobs);
    provide_context(run);
    play::drive(jobs.store(), run);
}

/// The day chart with the list of events beside it.
#[component]
pub fn DayChart() -> impl IntoView {
    let run = use_run();
    view! {
        <div class="day-page">
            <div class="day-main">
                <OutOfDate when=Signal::derive(move || run.is_out_of_date() || run.failed().is_some())/>
                <chart::Chart/>
            </div>
            <events::Events/>
        </div>
    }
}
