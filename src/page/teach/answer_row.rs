//! One learner's plan in the list of solutions.

use crate::page::keeping::use_keeper;
use crate::page::store::use_store;
use crate::page::windows::use_windows;
use crate::shelf::Origin;
use crate::teach::{GradeRow, GradedRow, Solution};
use leptos::prelude::*;

/// The row. The plan of a link can be opened from it.
#[component]
pub fn AnswerRow(
    /// What it is worth.
    row: GradeRow,
    /// The text that it was read from.
    text: String,
) -> impl IntoView {
    let (store, windows, keeper) = (use_store(), use_windows(), use_keeper());
    let who = match row.who.is_empty() {
        true => "No name".to_string(),
        false => row.who,
    };
    let solution = Solution::read(&text).plan.ok();
    let button = solution.map(|plan| {
        let open = move |_| {
            windows.close();
            keeper.open_other(plan.clone().begun(), Origin::Received);
            store.notice("The solution is open as another plan.".into());
        };
        view! { <button type="button" class="small" aria-label=format!("Open the plan of {who}") on:click=open>"Open"</button> }
    });
    match row.graded {
        Err(why) => view! {
            <tr><th scope="row">{who}</th><td colspan="6">{format!("Can't be read: {why}")}</td><td>{button}</td></tr>
        }
        .into_any(),
        Ok(graded) => {
            let says = fails(&graded);
            let GradedRow { kept, stars, most_stars, materials, parts, since_said, trial, .. } = graded;
            let since = match (since_said, trial) {
                (Some(at), Some(trial)) => format!("{at} ({trial})"),
                (Some(at), None) => at,
                _ => String::new(),
            };
            view! {
                <tr>
                    <th scope="row">{who}</th>
                    <td>{if kept { "✓ yes" } else { "✗ no" }}</td>
                    <td class="number">{format!("{stars} of {most_stars}")}</td>
                    <td class="number">{materials}</td>
                    <td class="number">{parts}</td>
                    <td>{since}</td>
                    <td class="long">{says}</td>
                    <td>{button}</td>
                </tr>
            }
            .into_any()
        }
    }
}

/// The first that is against the rules, and what fails first. The plan of another exercise is against nearly all of them.
fn fails(row: &GradedRow) -> String {
    let more = match row.breaches.len().saturating_sub(1) {
        0 => String::new(),
        1 => "1 more thing is against the rules.".into(),
        more => format!("{more} more things are against the rules."),
    };
    let first = row.breaches.first().map(String::as_str);
    let all = [first, Some(more.as_str()), row.fails.as_deref()];
    let said: Vec<&str> = all
        .into_iter()
        .flatten()
        .filter(|says| !says.is_empty())
        .collect();
    said.join(" ")
}
