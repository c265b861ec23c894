//! The log's page of logic: what switches and sensors do, as a table of every combination at one moment, and what comes
//! of changing them one after the other.

mod job;
mod table;

pub(super) use job::{LogicJob, use_logic};

use super::jobs::{OutOfDate, UnderWay};
use super::store::use_store;
use crate::plan::PartId;
use crate::proof::Exploration;
use crate::sheet::losses as words;
use job::LogicAnswer;
use leptos::prelude::*;

/// The page.
#[component]
pub fn LogicPage() -> impl IntoView {
    let (store, logic) = (use_store(), use_logic());
    let (job, moment) = (logic.job(), store.moment());
    let status = job.status();
    let says = move || {
        let answer = job.answer()?;
        let when = words::moment(&answer.plan, answer.value.table.t);
        Some(format!(
            "What contacts do, {when}: sources and batteries as they are then."
        ))
    };
    let is_elsewhere = move || {
        let at = job.answer().map(|answer| answer.value.table.t);
        at.is_some_and(|at| at != moment.get()) || job.is_out_of_date() || status.says().is_some()
    };
    let again = move || {
        (is_elsewhere() && !status.is_running()).then(|| {
            view! {
                <button type="button" on:click=move |_| logic.work_out()>"Work out for the moment shown"</button>
            }
        })
    };
    view! {
        <div class="proof-page">
            <div class="proof-head">
                <p class="proof-says" role="status">{says}</p>
                <UnderWay status doing="Trying contacts" counts="states" stop=Callback::new(move |()| job.stop())/>
                {again}
            </div>
            <OutOfDate when=Signal::derive(move || job.is_out_of_date())/>
            {move || job.answer().map(|answer| sequences(&answer))}
            <table::TruthTable/>
        </div>
    }
}

/// What comes of changing inputs in turn, worst first; a click brings the parts to the middle of the board.
fn sequences(answer: &LogicAnswer) -> Option<AnyView> {
    let found = answer.value.found.as_ref()?;
    let table = &answer.value.table;
    if table.inputs.is_empty() && table.contacts.is_empty() {
        return Some(
            view! { <p class="aside">"The plan has no contacts: there is nothing to switch."</p> }
                .into_any(),
        );
    }
    let plan = &answer.plan;
    let mut lines: Vec<(String, Vec<PartId>)> = Vec::new();
    for chatter in &found.chatters {
        lines.push((words::chatter(plan, chatter), chatter.contacts.clone()));
    }
    for trap in &found.traps {
        let parts = trap
            .stay
            .iter()
            .chain(&trap.loads)
            .map(|(id, _)| id.clone());
        lines.push((words::trap(plan, trap), parts.collect()));
    }
    let not = if found.complete {
        ""
    } else {
        " in the states looked at"
    };
    for id in &found.never_run {
        lines.push((
            format!("{} never runs{not}.", plan.called(id)),
            vec![id.clone()],
        ));
    }
    for id in &found.never_close {
        lines.push((
            format!("{} never closes{not}.", plan.called(id)),
            vec![id.clone()],
        ));
    }
    for order in &found.order {
        lines.push((words::order(plan, order), vec![order.load.clone()]));
    }
    let rows: Vec<_> = lines
        .into_iter()
        .map(|(says, parts)| view! { <Line says parts/> })
        .collect();
    let none = rows.is_empty().then(|| {
        view! { <li>"However the inputs change, every load can run again and every contact can close again, and nothing chatters."</li> }
    });
    Some(
        view! {
            <section class="proof-found" aria-label="What comes of changing inputs in turn">
                <p class="aside">{extent(found)}</p>
                <ul>{rows}{none}</ul>
            </section>
        }
        .into_any(),
    )
}

fn extent(found: &Exploration) -> String {
    let states = match found.states {
        1 => "one settled state".to_string(),
        n => format!("{n} settled states"),
    };
    match found.complete {
        true => {
            format!("Changing inputs one after the other comes to {states}; all were looked at.")
        }
        false => format!(
            "Changing inputs one after the other comes to more than {states}; the search stopped there."
        ),
    }
}

/// One finding.
#[component]
fn Line(
    /// What it says.
    says: String,
    /// The parts it speaks of.
    parts: Vec<PartId>,
) -> impl IntoView {
    let store = use_store();
    view! {
        <li><button type="button" class="proof-line" on:click=move |_| store.show(&parts, &[])>{says}</button></li>
    }
}
