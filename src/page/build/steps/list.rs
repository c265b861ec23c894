//! The steps by branches, each with a box to tick; below a check what should be seen, line by line.

use super::differs::Differs;
use super::step_id;
use super::ticking::use_ticking;
use crate::plan::Clock;
use crate::sheet::step_list::{StepBranch, StepLine, StepList};
use leptos::prelude::*;
use std::sync::Arc;

/// All branches.
#[component]
pub(super) fn Branches(list: Arc<StepList>) -> impl IntoView {
    let at = list.at;
    let last = list.branches.last().map(|branch| branch.number);
    let branches = list.branches.iter();
    branches
        .map(|branch| section(branch, at, Some(branch.number) == last))
        .collect_view()
}

/// A branch; with the last one all of the plan stands.
fn section(branch: &StepBranch, at: Clock, is_last: bool) -> impl IntoView + use<> {
    let id = format!("steps-branch-{}", branch.number);
    let (about, heading) = (id.clone(), branch.heading());
    let steps = branch.steps.iter();
    let steps: Vec<_> = steps.map(|step| line(step, at, is_last)).collect();
    view! {
        <section class="steps-branch" aria-labelledby=about>
            <h3 id=id>{heading}</h3>
            <ol class="steps-list">{steps}</ol>
        </section>
    }
}

fn line(step: &StepLine, at: Clock, is_last: bool) -> impl IntoView + use<> {
    let ticking = use_ticking();
    let key = step.key.clone();
    let is_done = Memo::new({
        let key = key.clone();
        move |_| ticking.ticks().with(|ticks| ticks.is_done(&key))
    });
    let tick = move |event| {
        let done = event_target_checked(&event);
        ticking.act(|ticks| ticks.tick(&key, done));
    };
    let says = match step.reads.is_empty() {
        true => step.says.clone(),
        false => format!("Check: at {at} this should be seen:"),
    };
    let number = step.number;
    let reads: Vec<_> = (step.reads.iter().cloned())
        .map(|reading| view! { <li><Differs reading at of_all=is_last/></li> })
        .collect();
    let reads = (!reads.is_empty()).then(|| view! { <ul class="steps-reads" aria-label=format!("What step {number} should show")>{reads}</ul> });
    view! {
        <li class="step" class:done=move || is_done.get()>
            <label>
                <input type="checkbox" id=step_id(number) prop:checked=move || is_done.get() on:change=tick/>
                <span class="step-number">{number}</span>
                <span class="step-says">{says}</span>
            </label>
            {reads}
        </li>
    }
}
