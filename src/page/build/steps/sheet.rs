//! The steps on paper: a numbered list with boxes, a heading for each branch.

use crate::page::caution::Caution;
use crate::page::site::PrintedSite;
use crate::sheet::step_list::{StepBranch, StepList};
use leptos::prelude::*;
use std::sync::Arc;

/// What stands on the sheet. Boxes are empty on paper, whatever is ticked on the page.
#[component]
pub(super) fn StepSheet(list: Arc<StepList>) -> impl IntoView {
    let title = match list.title.as_str() {
        "" => "Order of work".to_string(),
        title => format!("{title}: order of work"),
    };
    let branches: Vec<_> = list.branches.iter().map(branch).collect();
    view! {
        <h1>{title}</h1>
        {list.head().map(|says| view! { <p>{says}</p> })}
        {branches}
        <PrintedSite/>
        <Caution/>
    }
}

fn branch(branch: &StepBranch) -> impl IntoView + use<> {
    let rows: Vec<_> = (branch.steps.iter())
        .map(|step| {
            view! {
                <tr>
                    <td class="print-box"><span></span></td>
                    <td class="print-number">{step.number}</td>
                    <td>{step.says.clone()}</td>
                </tr>
            }
        })
        .collect();
    view! {
        <h2>{branch.heading()}</h2>
        <table class="print-steps"><tbody>{rows}</tbody></table>
    }
}
