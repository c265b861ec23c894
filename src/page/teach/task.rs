//! What an exercise asks, what may be built, and which duties are to be kept.

use crate::page::store::use_store;
use crate::plan::{Duty, Plan};
use crate::teach::{Allowance, allowances};
use leptos::prelude::*;

/// All of it.
#[component]
pub fn Task() -> impl IntoView {
    let store = use_store();
    let followed = move |of: fn(&Plan) -> String| {
        Memo::new(move |_| {
            store.revision();
            store.with_plan(of)
        })
    };
    let asks = followed(|plan| {
        plan.exercise
            .as_ref()
            .map_or(String::new(), |e| e.asks.clone())
    });
    let allowed = Memo::new(move |_| {
        store.revision();
        store.with_plan(allowances)
    });
    let duties = Memo::new(move |_| {
        store.revision();
        store.with_plan(duties)
    });
    let free = followed(free);
    view! {
        <p class="exercise-asks">{move || match asks.with(String::is_empty) {
            true => "Keep every duty that is listed here.".to_string(),
            false => asks.get(),
        }}</p>
        <h3>"To be kept"</h3>
        <ul class="exercise-list">{move || duties.get().into_iter().map(|says| view! { <li>{says}</li> }).collect_view()}</ul>
        {move || Some(free.get()).filter(|free| !free.is_empty()).map(|free| view! {
            <p>{format!("You may also set otherwise or take away: {free}.")}</p>
        })}
        <h3>"You may build"</h3>
        {move || match allowed.get() {
            None => view! { <p>"Whatever the book has."</p> }.into_any(),
            Some(all) if all.is_empty() => view! { <p>"Nothing: what is there is enough."</p> }.into_any(),
            Some(all) => view! { <ul class="exercise-list">{all.into_iter().map(row).collect_view()}</ul> }.into_any(),
        }}
    }
}

/// The given parts that may be changed, by their names.
fn free(plan: &Plan) -> String {
    let given = plan.exercise_start();
    let given = given.as_ref().unwrap_or(plan);
    let free = plan.exercise.iter().flat_map(|exercise| &exercise.free);
    let there = free.filter(|id| given.part(id).is_some());
    let names: Vec<String> = there.map(|id| given.called(id)).collect();
    names.join(", ")
}

/// The duties of what the exercise starts from, which are those that count.
fn duties(plan: &Plan) -> Vec<String> {
    let given = plan.exercise_start();
    let given = given.as_ref().unwrap_or(plan);
    let said = |duty: &Duty| {
        let only = if duty.only { ", and only then" } else { "" };
        let load = given.called(&duty.part);
        format!("{load}: {}{only}", duty.when.said())
    };
    given.duties.iter().map(said).collect()
}

fn row(allowance: Allowance) -> impl IntoView {
    let Allowance {
        label, most, built, ..
    } = allowance;
    let says = match most {
        None => format!("{label}: as many as you like; {built} built"),
        Some(most) => format!("{label}: {built} of {most} built"),
    };
    let over = most.is_some_and(|most| built > most);
    view! {
        <li class:over=over>{says}{over.then_some(" (too many)")}</li>
    }
}
