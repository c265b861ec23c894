//! The log's page of duties: each with its verdict, its gaps and their causes; and, beside them, how long they hold
//! without sun and wind.
//!
//! [`Proof`] has them checked after every change of what is shown. Nothing is judged here.

mod autonomy;
mod proof;
mod row;
mod summary;

pub(super) use proof::{Proof, bare, use_proof};
pub(super) use summary::{Mark, VerdictLine};

use super::log::AsOf;
use crate::proof::DAYS;
use leptos::prelude::*;

/// The page.
#[component]
pub fn DutiesPage() -> impl IntoView {
    let proof = use_proof();
    let count = Memo::new(move |_| proof.told().map(|told| told.duties.len()));
    // What is broken comes first; among equals the plan's order.
    let order = Memo::new(move |_| {
        let mut order: Vec<(bool, usize)> = Vec::new();
        if let Some(told) = proof.told() {
            order.extend(
                told.check
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
                <AsOf is_old=Signal::derive(move || proof.is_old() && proof.told().is_some())/>
                <Under/>
                {empty}
                <ol class="duty-list" aria-label="Duties" class:old=move || proof.is_old()>
                    <For each=move || order.get() key=|at| *at children=|at| view! { <row::DutyItem at/> }/>
                </ol>
                <Differs/>
            </div>
            <autonomy::AutonomyPane/>
        </div>
    }
}

/// The check under way, or why there is none.
#[component]
fn Under() -> impl IntoView {
    let proof = use_proof();
    move || {
        match (proof.progress(), proof.stopped()) {
        (Some(done), _) => view! {
            <p class="under-way">
                <label>"Checking, day "{done}" of "{DAYS}" at the most "<progress max=DAYS.to_string() value=done.to_string()></progress></label>
                <button type="button" class="quiet" on:click=move |_| proof.stop()>"Stop"</button>
            </p>
        }
        .into_any(),
        (None, Some(why)) => view! {
            <p class="under-way">{why}" "<button type="button" class="quiet" on:click=move |_| proof.again()>"Check again"</button></p>
        }
        .into_any(),
        (None, None) => ().into_any(),
    }
    }
}

/// What differed from midnight to midnight, where none repeated.
#[component]
fn Differs() -> impl IntoView {
    let (store, proof) = (super::store::use_store(), use_proof());
    move || {
        let told = proof.told()?;
        let differs = &told.check.differs;
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
