//! The table of single losses, the worst first, and what losses change about duties that are broken anyway; those that do
//! neither stand folded below. On a narrow screen a row is some lines, each number with its column's name: roles are named,
//! since a browser may take a table that is laid out otherwise for none.

use super::broken;
use super::job::use_losses;
use crate::plan::Plan;
use crate::proof::{BrokenChange, Loss, LossReport, ranked};
use crate::sheet::{losses as words, verdict};
use leptos::prelude::*;

/// The table, and a second one of what losses change about duties that are broken anyway.
#[component]
pub(super) fn Table() -> impl IntoView {
    let losses = use_losses();
    move || {
        let answer = losses.singles().answer().filter(|_| losses.has_duties())?;
        let (plan, singles) = (&answer.plan, &answer.value);
        let reports = &singles.reports;
        let order = ranked(reports);
        let breaks = |at: &&usize| !reports[**at].breaks.is_empty();
        let rows: Vec<_> = (order.iter().filter(breaks))
            .map(|at| row(plan, &reports[*at]))
            .collect();
        let changed: Vec<_> = (order.iter())
            .flat_map(|at| changed_rows(plan, &reports[*at].loss, singles.changes(*at)))
            .collect();
        let is_harmless = |at: &&usize| !breaks(at) && singles.changes(**at).is_empty();
        let survived: Vec<_> = (order.iter().filter(is_harmless))
            .map(|at| {
                let loss = reports[*at].loss.clone();
                view! { <li><Choose name=words::lost(plan, &loss) losses=vec![loss]/></li> }
            })
            .collect();
        let harmless = words::harmless(survived.len(), singles.broken(plan) > 0);
        Some(view! {
            {(!rows.is_empty()).then(|| view! {
                <table class="proof-table losses" role="table">
                    <caption class="unseen">"Losses that break a duty, the worst first"</caption>
                    <thead role="rowgroup"><tr role="row">
                        <th role="columnheader" scope="col">"Lost"</th>
                        <th role="columnheader" scope="col">"Breaks"</th>
                        <th role="columnheader" scope="col">"First broken"</th>
                        <th role="columnheader" scope="col" class="number">"Load lost a day"</th>
                        <th role="columnheader" scope="col" class="number">"Unserved a day"</th>
                    </tr></thead>
                    <tbody role="rowgroup">{rows}</tbody>
                </table>
            })}
            {(!changed.is_empty()).then(|| view! {
                <table class="proof-table changed" role="table">
                    <caption>"What losses change about duties that are broken anyway"</caption>
                    <thead role="rowgroup"><tr role="row">
                        <th role="columnheader" scope="col">"Lost"</th>
                        <th role="columnheader" scope="col">"Duty"</th>
                        <th role="columnheader" scope="col" class="number">"Broken a day"</th>
                        <th role="columnheader" scope="col" class="number">"Without the loss"</th>
                        <th role="columnheader" scope="col">"Change"</th>
                    </tr></thead>
                    <tbody role="rowgroup">{changed}</tbody>
                </table>
            })}
            {(!survived.is_empty()).then(|| view! {
                <details class="proof-survived">
                    <summary>{harmless}</summary>
                    <ul>{survived}</ul>
                </details>
            })}
        })
    }
}

/// A row for each duty that is broken anyway and that the loss changes.
fn changed_rows(
    plan: &Plan,
    loss: &Loss,
    changes: &[BrokenChange],
) -> impl Iterator<Item = AnyView> {
    changes.iter().filter_map(|change| {
        let duty = verdict::duty(plan, plan.duties.get(change.duty)?);
        let row = view! {
            <tr role="row">
                <th role="rowheader" scope="row"><Choose name=words::lost(plan, loss) losses=vec![loss.clone()]/></th>
                <td role="cell" class="wide">{duty}</td>
                <td role="cell" class="number" data-head="Broken a day">{words::a_day(change.after, 1)}</td>
                <td role="cell" class="number" data-head="Without the loss">{words::a_day(change.before, 1)}</td>
                <td role="cell" data-head="Change">{words::broken_change(plan, change)}</td>
            </tr>
        };
        Some(row.into_any())
    })
}

fn row(plan: &Plan, report: &LossReport) -> impl IntoView + use<> {
    let first = report.first_harm().and_then(|h| Some((h.first?, h.lasts)));
    let (when, lasts) = match first {
        Some((t, lasts)) => (
            words::moment(plan, t),
            format!("for {}", words::lasting(lasts)),
        ),
        None => (String::new(), String::new()),
    };
    let days = report.days.max(1);
    let unserved = plan
        .book
        .book
        .unit
        .say_energy(report.unserved() / i128::from(days));
    let duties: Vec<_> = broken(plan, report, &report.breaks)
        .into_iter()
        .map(|duty| view! { <li>{duty}</li> })
        .collect();
    let count = match duties.len() {
        1 => "1 duty".to_string(),
        n => format!("{n} duties"),
    };
    let loss = report.loss.clone();
    view! {
        <tr role="row">
            <th role="rowheader" scope="row"><Choose name=words::lost(plan, &loss) losses=vec![loss]/></th>
            <td role="cell" class="wide"><details><summary>{count}</summary><ul>{duties}</ul></details></td>
            <td role="cell" data-head="First broken">{when}" "<span class="aside">{lasts}</span></td>
            <td role="cell" class="number" data-head="Load lost a day">{words::a_day(report.loss_of_load, days)}</td>
            <td role="cell" class="number" data-head="Unserved a day">{unserved}</td>
        </tr>
    }
}

/// A button that shows the plan with losses on the board.
#[component]
pub(super) fn Choose(
    /// What it says.
    name: String,
    /// What is lost.
    losses: Vec<Loss>,
) -> impl IntoView {
    let losses_job = use_losses();
    let these = StoredValue::new(losses);
    let is_shown = move || these.with_value(|l| losses_job.shows(l));
    view! {
        <button type="button" class="proof-choose" aria-pressed=move || is_shown().to_string()
            title="Show the plan as it would be on the board" on:click=move |_| losses_job.show(these.get_value())>
            {name}
        </button>
    }
}
