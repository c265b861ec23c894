//! The log's page of logic: what switches and sensors do, as a table of every combination at one moment, and what comes
//! of changing them one after the other.

mod book;
mod table;

pub(super) use book::{LogicBook, use_logic};

use super::log::AsOf;
use super::store::use_store;
use crate::plan::PartId;
use crate::proof::Findings;
use crate::sheet::losses as words;
use book::Told;
use leptos::prelude::*;

/// The page. Opened for the first time it works the moment shown out by itself.
#[component]
pub fn LogicPage() -> impl IntoView {
    let (store, book) = (use_store(), use_logic());
    let (told, moment) = (book.told(), store.moment());
    if told.with_untracked(Option::is_none) && untrack(|| book.progress()).is_none() {
        book.work_out(moment.get_untracked());
    }
    let says = move || {
        told.with(|t| {
            t.as_ref().map(|t| {
                let when = words::moment(&t.plan, t.table.t);
                format!("What contacts do, {when}: sources and batteries as they are then.")
            })
        })
    };
    let is_elsewhere = move || {
        let at = told.with(|t| t.as_ref().map(|t| t.table.t));
        at.is_some_and(|at| at != moment.get()) || book.is_old()
    };
    let again = move || {
        (is_elsewhere() && book.progress().is_none()).then(|| {
            view! {
                <button type="button" on:click=move |_| book.work_out(moment.get_untracked())>"Work out for the moment shown"</button>
            }
        })
    };
    let is_old = Signal::derive(move || book.is_old());
    view! {
        <div class="proof-page">
            <div class="proof-head">
                <p class="proof-says" role="status">{says}</p>
                {move || book.progress().map(|(done, of)| view! {
                    <span class="proof-under">
                        <progress aria-label="Trying contacts" value=(done as f64 / of.max(1) as f64).to_string()/>
                        <span>{done}" of "{of}</span>
                        <button type="button" on:click=move |_| book.stop()>"Stop"</button>
                    </span>
                })}
                {again}
            </div>
            <AsOf is_old/>
            {move || book.failed().map(|why| view! { <p class="aside" role="alert">"Not worked out: "{why}</p> })}
            {move || told.with(|t| t.as_ref().map(sequences))}
            <table::TruthTable/>
        </div>
    }
}

/// What comes of changing inputs in turn, worst first; a click brings the parts to the middle of the board.
fn sequences(told: &Told) -> Option<AnyView> {
    let found = told.found.as_ref()?;
    if told.table.inputs.is_empty() && told.table.contacts.is_empty() {
        return Some(
            view! { <p class="aside">"The plan has no contacts: there is nothing to switch."</p> }
                .into_any(),
        );
    }
    let plan = &told.plan;
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
        view! { <li>"Nothing sticks, nothing chatters, every load can run and every contact can close."</li> }
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

fn extent(found: &Findings) -> String {
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
