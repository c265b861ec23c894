//! The log's page of duties: each with its verdict, its gaps and their causes; and, beside them, how long they hold
//! without sun and wind.
//!
//! [`DutiesJob`] has them checked after every change of what is shown. Nothing is judged here.

mod autonomy;
mod job;
mod row;
mod summary;

pub(super) use job::{DutiesJob, Verdicts, take_verdict, use_duties};
pub(super) use summary::{Mark, VerdictLine};

use super::jobs::{OutOfDate, UnderWay};
use crate::proof::DAYS;
use leptos::prelude::*;

/// The page.
#[component]
pub fn DutiesPage() -> impl IntoView {
    let duties = use_duties();
    let count = Memo::new(move |_| duties.verdicts().map(|v| v.duties.len()));
    // What is broken comes first; among equals the plan's order.
    let order = Memo::new(move |_| {
        let mut order: Vec<(bool, usize)> = Vec::new();
        if let Some(verdicts) = duties.verdicts() {
            order.extend(
                verdicts
                    .check
                    .duties
                    .iter()
                    .enumerate()
                    .map(|(at, v)| (v.kept, at)),
            );
        }
        order.sort();
        order.into_iter().map(|(_, at)| at).collect::<Vec<_>>()
    });
    let empty = move || {
        let says = match count.get() {
            None => "Checking…",
            Some(0) => {
                "No load has a duty yet. Choose a load on the board and say in its details when it must run."
            }
            _ => return None,
        };
        Some(view! { <p class="aside duties-empty">{says}</p> })
    };
    view! {
        <div class="duties-page">
            <div class="duties-main">
                <OutOfDate when=Signal::derive(move || duties.is_out_of_date())/>
                <UnderWay status=duties.status() doing="Checking" counts="days at the most"
                    stop=Callback::new(move |()| duties.stop())
                    again=("Check again", Callback::new(move |()| duties.check_anew()))/>
                {empty}
                <ol class="duty-list" aria-label="Duties" class:old=move || duties.is_out_of_date()>
                    <For each=move || order.get() key=|at| *at children=|at| view! { <row::DutyItem at/> }/>
                </ol>
                <Differs/>
            </div>
            <autonomy::AutonomyPane/>
        </div>
    }
}

/// What differed from midnight to midnight, where none repeated.
#[component]
fn Differs() -> impl IntoView {
    let (store, duties) = (super::store::use_store(), use_duties());
    move || {
        let verdicts = duties.verdicts()?;
        let differs = &verdicts.check.differs;
        if differs.is_empty() {
            return None;
        }
        let names = store.with_shown(|plan| {
            let names: Vec<String> = differs.iter().map(|id| plan.called(id)).collect();
            names.join(", ")
        });
        Some(view! {
            <p class="aside duties-empty">
                "No midnight of the first " {DAYS} " days repeats an earlier one. What differs: " {names} "."
            </p>
        })
    }
}
