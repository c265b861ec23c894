//! What explains the readings: the sentence of the outcome, the faults in order, and the reading to take next.

use super::job::{FaultsJob, Found, use_faults};
use crate::diagnosis::{Diagnosis, SingleFault, next_says, outcome_says};
use crate::page::build::readings::use_base_readings;
use crate::page::jobs::{Answered, OutOfDate, UnderWay};
use crate::page::store::use_store;
use crate::page::windows::{BoardNote, WindowKind, use_windows};
use crate::plan::Plan;
use leptos::prelude::*;
use std::sync::Arc;

/// So many faults are listed at first, and so many more at a time.
const LISTED: usize = 50;

/// The answer, how far it is, and the button that asks where it is not asked by itself.
#[component]
pub(super) fn Explained() -> impl IntoView {
    let (faults, readings) = (use_faults(), use_base_readings());
    let job = faults.job();
    let status = job.status();
    let has_none = Memo::new(move |_| readings.entries.with(Vec::is_empty));
    let ask = Callback::new(move |()| faults.ask());
    let is_old = Memo::new(move |_| job.is_out_of_date() || faults.is_of_others());
    // What a small plan shows for the moment before it is asked is not worth a line.
    let is_left = move || faults.is_large() || status.says().is_some();
    let of_before = move || {
        let says = is_left() && !job.is_out_of_date() && faults.is_of_others();
        says.then(|| view! { <p class="as-of" role="status">"As of your readings before the last entries."</p> })
    };
    let says = Memo::new(move |_| {
        let said = |answer: Arc<Answered<Found>>| match &answer.value {
            Ok(found) => outcome_says(found),
            Err(_) => "These readings can't be of this plan. Choose again what was read:".into(),
        };
        job.answer().map(said)
    });
    view! {
        <p class="aside" hidden=move || !has_none.get()>
            "Add what you read off the base as you built it, what surprises you and what does not. As soon as one reading is filled in, every single fault that explains all of them is listed here."
        </p>
        <AskLarge faults ask/>
        <OutOfDate when=Signal::derive(move || is_left() && job.is_out_of_date())/>
        {of_before}
        <UnderWay status doing="Trying faults" counts="faults tried" stop=Callback::new(move |()| job.stop()) again=("Try again", ask)/>
        // One line that stays, so that it is read out whenever it says something else.
        <p class="fault-says" role="status" class:old=move || is_old.get()>{says}</p>
        <div class:old=move || is_old.get()>
            {move || job.answer().map(|answer| view! { <Outcome answer/> })}
        </div>
    }
}

/// The button for a large plan, where there is something new to ask.
#[component]
fn AskLarge(faults: FaultsJob, ask: Callback<()>) -> impl IntoView {
    let readings = use_base_readings();
    let job = faults.job();
    let is_needed = Memo::new(move |_| {
        let has_new = job.answer().is_none() || job.is_out_of_date() || faults.is_of_others();
        let is_ended = job.status().says().is_some();
        let has_some = readings.entries.with(|entries| !entries.is_empty());
        faults.is_large() && has_some && has_new && !is_ended && !job.status().is_running()
    });
    move || {
        is_needed.get().then(|| {
            view! {
                <p class="build-acts">
                    <span>"This plan is large, so it is not searched at every entry."</span>
                    <button type="button" on:click=move |_| ask.run(())>"Find the faults"</button>
                </p>
            }
        })
    }
}

/// What came of it.
#[component]
fn Outcome(answer: Arc<Answered<Found>>) -> impl IntoView {
    let plan = answer.plan.clone();
    match &answer.value {
        Ok(found) => view! {
            <Next plan=plan.clone() found=found.clone()/>
            <FaultList plan faults=found.faults.clone()/>
        }
        .into_any(),
        Err(lines) => {
            let lines = lines.iter().cloned();
            let lines = lines.map(|line| view! { <li>{line}</li> }).collect_view();
            view! {
                <ul>{lines}</ul>
            }
            .into_any()
        }
    }
}

/// The faults. A click on one shows it on the board.
#[component]
fn FaultList(plan: Arc<Plan>, faults: Vec<SingleFault>) -> impl IntoView {
    let (store, windows) = (use_store(), use_windows());
    let count = faults.len();
    let listed = RwSignal::new(LISTED);
    let all = StoredValue::new(faults);
    let item = move |at: usize| {
        let fault = all.with_value(|all| all.get(at).cloned())?;
        let (parts, wires) = fault.about();
        let says = fault.says(&plan);
        let note = BoardNote {
            says: says.clone(),
            from: WindowKind::Build,
            back: "Back to the faults",
        };
        let show = move |_| {
            store.show(&parts, &wires);
            windows.close_to_board(note.clone());
        };
        Some(view! {
            <li>
                <button type="button" class="fault-item" data-kind=fault.kind() title="Show it on the board" on:click=show>
                    {says}
                </button>
            </li>
        })
    };
    let more = move || {
        let left = count.saturating_sub(listed.get());
        (left > 0).then(|| {
            view! {
                <button type="button" class="quiet" on:click=move |_| listed.update(|listed| *listed += LISTED)>
                    {format!("Show more, {left} are left")}
                </button>
            }
        })
    };
    view! {
        <ol class="fault-list" aria-label="Faults that explain the readings" hidden=count == 0>
            <For each=move || 0..listed.get().min(count) key=|at| *at children=item/>
        </ol>
        {more}
    }
}

/// What to read next, with a button that adds it.
#[component]
fn Next(plan: Arc<Plan>, found: Diagnosis) -> impl IntoView {
    let readings = use_base_readings();
    let says = next_says(&plan, &found);
    let add = found.next.map(|next| {
        let at = next.at.ms(plan.world.day_ms());
        view! {
            <button type="button" on:click=move |_| readings.begin(&next.of, at)>"Add this reading"</button>
        }
    });
    says.map(|says| view! { <p class="fault-next"><span>{says}</span>" "{add}</p> })
}
