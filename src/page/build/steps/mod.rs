//! The order of work: numbered steps by branches, to be ticked off at the base, on a phone and without a network; what each
//! check should show, and a way to say that it shows something else; and the steps on paper.

mod differs;
mod job;
mod list;
mod sheet;
mod ticking;

pub use job::StepsJob;
pub use ticking::Ticking;

use super::kept_entries::Unkept;
use crate::page::details::Entry;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::page::keys;
use crate::page::paper::use_paper;
use crate::sheet::entry;
use crate::sheet::step_list::{DEAD_WHILE_WIRING, StepList, checks_assume};
use crate::works::StepKey;
use job::use_steps;
use leptos::prelude::*;
use std::sync::Arc;
use ticking::{Ticking as Ticks, use_ticking};
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// The tab.
#[component]
pub(super) fn Steps() -> impl IntoView {
    let (steps, ticking) = (use_steps(), use_ticking());
    steps.show();
    let job = steps.job();
    let list = Memo::new(move |_| job.answer().map(|answer| Arc::new(answer.value.clone())));
    let again = Callback::new(move |()| steps.again());
    let key = keys::on_undo(move || undo(ticking, list));
    // Whoever was led back here goes on where it was left.
    Effect::new(move |_| {
        let keys = list.with(|list| list.as_ref().map(|list| list.keys()));
        if let Some(keys) = keys.filter(|_| ticking.leads.get()) {
            ticking.leads.set(false);
            request_animation_frame(move || lead_to_next(ticking, &keys));
        }
    });
    view! {
        <div class="steps" on:keydown=key>
            <Head ticking list/>
            <OutOfDate when=Signal::derive(move || job.is_out_of_date())/>
            <UnderWay status=job.status() doing="Putting the work in order" stop=Callback::new(move |()| job.stop())
                again=("Try again", again)/>
            {move || list.get().map(|list| view! { <list::Branches list/> })}
        </div>
    }
}

/// Takes the last tick back and leads to its step.
fn undo(ticking: Ticks, list: Memo<Option<Arc<StepList>>>) {
    let Some(key) = ticking.undo() else {
        return;
    };
    let number = list.with_untracked(|list| {
        let mut steps = list.as_ref()?.steps();
        Some(steps.find(|step| step.key == key)?.number)
    });
    number.inspect(|number| lead_to(*number));
}

/// How far one is, what is done with all steps at once, and the time for the checks.
#[component]
fn Head(ticking: Ticks, list: Memo<Option<Arc<StepList>>>) -> impl IntoView {
    let paper = use_paper();
    let keys = Memo::new(move |_| list.with(|list| list.as_ref().map(|list| list.keys())));
    let keys = move || keys.get().unwrap_or_default();
    let done = Memo::new(move |_| {
        let keys = keys();
        ticking
            .ticks()
            .with(|ticks| (ticks.count(&keys), keys.len()))
    });
    let says = move || match done.get() {
        (_, 0) => String::new(),
        (all, of) if all == of => format!("All {of} steps are done."),
        (done, of) => format!("{done} of {of} done."),
    };
    let changed = move || {
        let keys = keys();
        let changed = ticking.ticks().with(|ticks| ticks.changed(&keys));
        let says = match changed {
            0 => return None,
            1 => "One step that you ticked has changed since, or is gone from the plan: see what is open now.".to_string(),
            n => format!("{n} steps that you ticked have changed since, or are gone from the plan: see what is open now."),
        };
        (!keys.is_empty()).then(|| view! { <p role="status">{says}</p> })
    };
    let next = move |_| lead_to_next(ticking, &untrack(keys));
    let print = move |_| {
        if let Some(list) = list.get_untracked() {
            paper.print(move || view! { <sheet::StepSheet list=list.clone()/> });
        }
    };
    let is_blank = move || done.get().1 == 0;
    let none_done = move || done.get().0 == 0;
    let all_done = move || done.get().0 == done.get().1;
    let clear = move |_| {
        let keys: Vec<StepKey> = untrack(keys);
        ticking.act(|ticks| ticks.untick_all(&keys));
    };
    let cannot_undo = move || !ticking.ticks().with(|ticks| ticks.can_undo());
    view! {
        <div class="steps-head">
            <p class="steps-says" role="status">{says}</p>
            <progress aria-label="Steps done" max=move || done.get().1.max(1).to_string() value=move || done.get().0.to_string()/>
            <p class="build-acts">
                <button type="button" disabled=all_done on:click=next>"Next open step"</button>
                <button type="button" disabled=cannot_undo aria-keyshortcuts="Control+Z"
                    title="Takes back the last tick (Ctrl Z)" on:click=move |_| undo(ticking, list)>
                    "Take back the last tick"
                </button>
                <button type="button" disabled=none_done on:click=clear>"Untick all"</button>
                <button type="button" disabled=is_blank on:click=print>"Print the steps"</button>
            </p>
            {changed}
            <p>{DEAD_WHILE_WIRING}</p>
            <CheckTime ticking/>
            <Unkept why=ticking.unkept() does="tick"/>
        </div>
    }
}

/// The time of day 1 for which checks are told.
#[component]
fn CheckTime(ticking: Ticks) -> impl IntoView {
    let value = Memo::new(move |_| ticking.ticks().with(|ticks| ticks.at().to_string()));
    let read = move |text: String| match entry::clock(&text) {
        Some(at) => {
            ticking.act(|ticks| ticks.set_at(at));
            Ok(())
        }
        None => Err(format!(
            "“{}” is no time of day: enter one from 00:00 to 24:00.",
            text.trim()
        )),
    };
    view! {
        <div class="steps-time">
            <Entry id="steps-at".to_string() label="Time at which you check" value read/>
            <p>{move || checks_assume(ticking.ticks().with(|ticks| ticks.at()))}" Enter the time at which you look."</p>
        </div>
    }
}

/// Leads to the first of these steps that is not done.
fn lead_to_next(ticking: Ticks, keys: &[StepKey]) {
    let place = (ticking.ticks()).try_with_untracked(|ticks| ticks.next_open(keys));
    place.flatten().inspect(|place| lead_to(place + 1));
}

/// The id of a step's box.
fn step_id(number: usize) -> String {
    format!("step-{number}")
}

/// Leads to a step: into sight, with the keyboard on its box.
fn lead_to(number: usize) {
    let found = document().get_element_by_id(&step_id(number));
    let found = found.and_then(|found| found.dyn_into::<HtmlElement>().ok());
    if let Some(found) = found {
        let options = web_sys::ScrollIntoViewOptions::new();
        options.set_block(web_sys::ScrollLogicalPosition::Center);
        found.scroll_into_view_with_scroll_into_view_options(&options);
        // Focus may be refused, which harms nothing.
        let _ = found.focus();
    }
}
