//! The report: plan by plan the duties that change, with the cause, and a button that opens the plan.

use super::{Rechecks, use_rechecks};
use crate::page::duties::Mark;
use crate::page::windows::use_windows;
use crate::proof::recheck::Turn;
use crate::sheet::numbers_changed::Said;
use crate::sheet::recheck_report::kept::PlanSection;
use crate::sheet::recheck_report::{DutyLine, PlanReport};
use crate::sheet::verdict::Standing;
use leptos::prelude::*;

/// So many numbers are shown at once, where they change a duty; more on request.
const NUMBERS: usize = 4;

/// What stands in the window.
#[component]
pub fn RecheckReport() -> impl IntoView {
    let rechecks = use_rechecks();
    let sentence = move || rechecks.report.with(|r| r.as_ref().map(|r| r.sentence()));
    let sections = move || {
        let report = rechecks.report.get();
        let report = report.filter(|report| !report.plans.is_empty())?;
        let side = report.side;
        let plans = report.plans.into_iter();
        let plans = plans.map(|plan| {
            let says = plan.says(side);
            view! { <Plan rechecks plan says/> }
        });
        Some(view! { <ul class="recheck-plans" aria-label="Plans">{plans.collect_view()}</ul> })
    };
    view! {
        <p class="recheck-sentence">{sentence}</p>
        <p class="aside">
            "Each plan was proven on its numbers before and on the new ones. Nothing was changed in the plans."
        </p>
        {sections}
    }
}

/// One plan.
#[component]
fn Plan(rechecks: Rechecks, plan: PlanSection, says: String) -> impl IntoView {
    let (keeper, windows) = (rechecks.keeper, use_windows());
    let key = StoredValue::new(plan.key.clone());
    let is_open = move || keeper.key().with(|k| key.with_value(|own| own == k));
    let open = move |_| {
        keeper.open(&key.get_value());
        windows.close();
    };
    let title = plan.title.clone();
    let named = move || match is_open() {
        true => format!("Is open: {title}"),
        false => format!("Open {title}"),
    };
    let reasons = plan.reasons().iter().cloned();
    let reasons: Vec<_> = reasons.map(|said| view! { <li>{said}</li> }).collect();
    let reasons =
        (!reasons.is_empty()).then(|| view! { <ul class="recheck-reasons">{reasons}</ul> });
    view! {
        <li class="recheck-plan">
            <h3>{plan.title.clone()}</h3>
            // The button's name has what stands on it.
            <button type="button" disabled=is_open aria-label=named on:click=open>
                {move || if is_open() { "Is open" } else { "Open" }}
            </button>
            <p class="recheck-counts">{says}</p>
            {reasons}
            {plan.proven().map(proven)}
        </li>
    }
}

/// The duties that change, and the numbers that differ.
fn proven(told: &PlanReport) -> impl IntoView + use<> {
    let duties: Vec<_> = told.duties.iter().map(duty).collect();
    let duties = (!duties.is_empty()).then(|| view! { <ul class="recheck-duties">{duties}</ul> });
    let count = told.numbers.len();
    let is_open = count <= NUMBERS && !told.duties.is_empty();
    let number = |said: &Said| {
        let Said { what, from, to } = said.clone();
        view! { <li>{what}": "{from}" → "{to}</li> }
    };
    let numbers: Vec<_> = told.numbers.iter().map(number).collect();
    let numbers = (count > 0).then(|| {
        view! {
            <details class="recheck-numbers" open=is_open>
                <summary>{format!("Numbers that differ: {count}")}</summary>
                <ul>{numbers}</ul>
            </details>
        }
    });
    view! { {duties}{numbers} }
}

fn duty(line: &DutyLine) -> impl IntoView + use<> {
    let standing = match line.turn {
        Turn::Worse => Standing::Broken,
        Turn::Better => Standing::Kept,
        Turn::Otherwise | Turn::Same => Standing::None,
    };
    view! {
        <li class=format!("{} {}", standing.word(), line.turn.word())>
            <Mark of=standing/>
            <div>
                <p><strong>{line.duty.clone()}</strong>": "{line.turn.word()}</p>
                <p>{line.says()}</p>
                {line.why.clone().map(|why| view! { <p class="recheck-why">{why}</p> })}
            </div>
        </li>
    }
}
