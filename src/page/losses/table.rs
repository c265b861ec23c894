//! The table of single losses, the worst first; those that break nothing stand folded below.

use super::broken;
use super::job::use_losses;
use crate::plan::Plan;
use crate::proof::{Loss, LossReport, ranked};
use crate::sheet::losses as words;
use leptos::prelude::*;

/// The table.
#[component]
pub(super) fn Table() -> impl IntoView {
    let losses = use_losses();
    move || {
        let answer = losses.singles().answer().filter(|_| losses.has_duties())?;
        let (plan, reports) = (&answer.plan, &answer.value.reports);
        let order = ranked(reports);
        let (worse, harmless): (Vec<usize>, Vec<usize>) = order
            .into_iter()
            .partition(|at| !reports[*at].breaks.is_empty());
        let rows: Vec<_> = worse.iter().map(|at| row(plan, &reports[*at])).collect();
        let survived: Vec<_> = harmless
            .iter()
            .map(|at| {
                let loss = reports[*at].loss.clone();
                view! { <li><Choose name=words::lost(plan, &loss) losses=vec![loss]/></li> }
            })
            .collect();
        let many = harmless.len();
        Some(view! {
            {(!rows.is_empty()).then(|| view! {
                <table class="proof-table losses">
                    <caption class="unseen">"Losses that break a duty, the worst first"</caption>
                    <thead><tr>
                        <th scope="col">"Lost"</th>
                        <th scope="col">"Breaks"</th>
                        <th scope="col">"First broken"</th>
                        <th scope="col" class="number">"Load lost a day"</th>
                        <th scope="col" class="number">"Unserved a day"</th>
                    </tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            })}
            {(many > 0).then(|| view! {
                <details class="proof-survived">
                    <summary>{if many == 1 { "1 loss breaks nothing".to_string() } else { format!("{many} losses break nothing") }}</summary>
                    <ul>{survived}</ul>
                </details>
            })}
        })
    }
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
        <tr>
            <th scope="row"><Choose name=words::lost(plan, &loss) losses=vec![loss]/></th>
            <td><details><summary>{count}</summary><ul>{duties}</ul></details></td>
            <td>{when}" "<span class="aside">{lasts}</span></td>
            <td class="number">{words::a_day(report.loss_of_load, days)}</td>
            <td class="number">{unserved}</td>
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
