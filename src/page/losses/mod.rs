//! The log's page of losses: a sentence to quote, a table ranked by damage, pairs on request. Choosing a loss shows the
//! plan as it would be on the board.

mod job;
mod pairs;
mod table;

pub(super) use job::{LossesJob, use_losses};

use super::jobs::{OutOfDate, UnderWay};
use crate::plan::Plan;
use crate::proof::{LossReport, survival};
use crate::sheet::{losses as words, verdict};
use job::SinglesAnswer;
use leptos::prelude::*;

/// The page.
#[component]
pub fn LossPage() -> impl IntoView {
    let singles = use_losses().singles();
    view! {
        <div class="proof-page">
            <OutOfDate when=Signal::derive(move || singles.is_out_of_date())/>
            <Head/>
            {move || singles.answer().map(|answer| points(&answer))}
            <table::Table/>
            <pairs::PairTable/>
            <What/>
        </div>
    }
}

/// What the columns mean, in the trade's words, cited.
#[component]
fn What() -> impl IntoView {
    view! {
        <details class="proof-what aside">
            <summary>"What the columns mean"</summary>
            <p>
                "Each loss is tried alone: the plan is run without it until its days repeat. A plan that survives every single \
                 loss keeps what operators of grids call the (N−1) criterion: what remains must be capable of accommodating \
                 the new situation (ENTSO-E, Network Code on Operational Security)."
            </p>
            <p>
                "Load lost a day: hours in which at least one of the broken duties is not served, whatever its size. Unserved a \
                 day: energy that their loads should have had. They are loss-of-load hours and unserved energy in the sense of \
                 NERC's probabilistic assessments, counted over the days that go on repeating, or over all days run where \
                 none does. No chance is involved."
            </p>
            <p>
                "A single point of failure is a part or wire whose loss breaks a duty. A load is always one for its own duty."
            </p>
            <p>
                "A duty that the plan breaks without any loss is not counted against a loss. What a loss changes about it, more \
                 gaps or fewer, stands in a table of its own."
            </p>
        </details>
    }
}

/// The sentence, and the buttons.
#[component]
fn Head() -> impl IntoView {
    let losses = use_losses();
    let singles = losses.singles();
    let status = singles.status();
    let says = move || match losses.has_duties() {
        true => singles
            .answer()
            .map(|answer| sentence(&answer))
            .unwrap_or_default(),
        false => {
            "No load has a duty yet, so no loss can break one. Give a load a duty in its details."
                .into()
        }
    };
    let again = move || {
        (losses.has_duties() && !status.is_running()).then(|| {
            view! { <button type="button" on:click=move |_| losses.try_all()>"Try every loss again"</button> }
        })
    };
    view! {
        <div class="proof-head">
            <p class="proof-says" role="status">{says}</p>
            <UnderWay status doing="Trying losses" counts="losses" stop=Callback::new(move |()| singles.stop())/>
            {again}
            <label class="proof-choice">
                <input type="checkbox" prop:checked=move || losses.tries_empty()
                    on:change=move |ev| losses.try_empty(event_target_checked(&ev))/>
                "Batteries found empty, too"
            </label>
        </div>
    }
}

fn sentence(answer: &SinglesAnswer) -> String {
    let singles = &answer.value;
    let mut said = words::survives(&survival(&singles.reports), singles.kept);
    if answer.complete {
        let changes = (0..singles.reports.len()).map(|at| singles.changes(at));
        said = [Some(said), words::broken_changes(changes)]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ");
    }
    match singles.days {
        _ if !answer.complete => format!("So far: {said}"),
        Some((days, false)) => format!("{said} No day repeats, so that holds for {days} days."),
        _ => said,
    }
}

/// Single points of failure, the worst by name; the table has them all.
fn points(answer: &SinglesAnswer) -> impl IntoView + use<> {
    let reports = &answer.value.reports;
    let said = words::single_points(&answer.plan, reports, &survival(reports));
    said.map(|(says, names)| {
        view! { <p class="proof-points"><strong>{says}": "</strong>{names.join("; ")}"."</p> }
    })
}

/// The duties that a report names, in words.
fn broken(plan: &Plan, report: &LossReport, which: &[usize]) -> Vec<String> {
    let duty = |at: &usize| {
        let duty = plan.duties.get(*at)?;
        let harm = report.harms.binary_search_by_key(at, |h| h.duty).ok()?;
        let harm = &report.harms[harm];
        let mut said = verdict::duty(plan, duty);
        if let Some(first) = harm.first {
            said.push_str(&format!(": from {}", words::moment(plan, first)));
        }
        for (time, what) in [
            (harm.dark, "not served"),
            (harm.needless, "on though it must not be"),
        ] {
            if time > 0 {
                said.push_str(&format!(
                    ", {what} {} a day",
                    words::a_day(time, report.days)
                ));
            }
        }
        Some(said)
    };
    which.iter().filter_map(duty).collect()
}
