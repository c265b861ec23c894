//! One line of a check: what should be seen, and a way to say that something else is seen, which hands that reading over to
//! fault finding.

use crate::diagnosis::{BaseReading, shown};
use crate::page::build::readings::use_base_readings;
use crate::page::build::{OpenTab, Tab};
use crate::page::store::use_store;
use crate::plan::Clock;
use crate::sheet::differing::{
    Differing, OF_A_LEVEL, OF_A_PART, OF_A_PERCENTAGE, entered, readable,
};
use crate::sheet::step_list::StepReading;
use leptos::prelude::*;

/// The line.
#[component]
pub(super) fn Differs(
    /// What should be seen.
    reading: StepReading,
    /// The time of day 1.
    at: Clock,
    /// Whether all of the plan stands then.
    of_all: bool,
) -> impl IntoView {
    let (store, readings) = (use_store(), use_base_readings());
    let OpenTab(open) = expect_context();
    let t = at.ms(store.with_plan(|plan| plan.world.day_ms()));
    let differing = Differing::from(&reading.reads, t);
    let (name, says) = (reading.name.clone(), reading.says.clone());
    let of = readable(&reading.reads);
    let asks = RwSignal::new(false);
    let other = Memo::new(move |_| {
        let same = |entry: &&BaseReading| entry.of == of && entry.at == t;
        readings.entries.with(|all| all.iter().find(same).cloned())
    });
    let told = name.clone();
    let hand_over = Callback::new(move |reading: BaseReading| {
        let what = store.with_plan(|plan| shown(plan, reading.shows));
        readings.add(reading);
        asks.set(false);
        store.notice(format!("{told}: {what} at {at} is entered in Faults."));
    });
    let is_question = !matches!(differing, Differing::Is(_));
    let press = {
        let differing = differing.clone();
        move |_| match &differing {
            Differing::Is(reading) => hand_over.run(reading.clone()),
            _ => asks.update(|asks| *asks = !*asks),
        }
    };
    let seen = move || {
        let other = other.get()?;
        let what = store.with_plan(|plan| shown(plan, other.shows));
        Some(view! {
            <span class="step-differs">{format!("You read: {what}.")}</span>
            <button type="button" class="quiet" on:click=move |_| open.set(Tab::Faults)>"What explains it"</button>
        })
    };
    let says_part = move || {
        let is_said = !of_all && (asks.get() || other.with(Option::is_some));
        is_said.then(|| view! { <p class="step-aside" role="status">{OF_A_PART}</p> })
    };
    let reading = StoredValue::new(reading);
    let question = move || {
        asks.get().then(|| match differing.clone() {
            Differing::OneOf(readings) => {
                view! { <Choices readings name=name.clone() hand_over/> }.into_any()
            }
            _ => view! { <Number reading t hand_over/> }.into_any(),
        })
    };
    let label = reading.with_value(|reading| format!("My reading differs: {}", reading.name));
    view! {
        <span class="step-reading">{says}</span>
        {seen}
        <button type="button" aria-label=label aria-expanded=move || is_question.then(|| asks.get().to_string()) on:click=press>
            "My reading differs"
        </button>
        {says_part}
        {question}
    }
}

/// What a battery may do instead.
#[component]
fn Choices(
    readings: Vec<BaseReading>,
    name: String,
    hand_over: Callback<BaseReading>,
) -> impl IntoView {
    let store = use_store();
    let choices = readings.into_iter().map(|reading| {
        let what = store.with_plan(|plan| shown(plan, reading.shows));
        view! {
            <button type="button" on:click=move |_| hand_over.run(reading.clone())>{what}</button>
        }
    });
    view! {
        <div class="step-choices" role="group" aria-label=format!("What {name} does")>
            <p>{OF_A_LEVEL}</p>
            <p class="build-acts">{choices.collect_view()}</p>
            <p>{OF_A_PERCENTAGE}</p>
        </div>
    }
}

/// What a meter shows instead.
#[component]
fn Number(
    reading: StoredValue<StepReading>,
    t: u64,
    hand_over: Callback<BaseReading>,
) -> impl IntoView {
    let store = use_store();
    let text = RwSignal::new(String::new());
    let wrong = RwSignal::new(String::new());
    let take = move || {
        let found = reading.with_value(|reading| {
            let text = text.get_untracked();
            entered(&reading.reads, t, &text, &store.unit())
        });
        match found {
            Ok(reading) => hand_over.run(reading),
            Err(said) => wrong.set(said),
        }
    };
    let key = move |event: web_sys::KeyboardEvent| {
        if event.key() == "Enter" {
            event.prevent_default();
            take();
        }
    };
    let label =
        reading.with_value(|reading| format!("{} shows, in {}", reading.name, store.unit().sign));
    view! {
        <span class="step-asks">
            <label>
                <span>{label}</span>
                <input type="text" inputmode="decimal" autocomplete="off" maxlength="20" prop:value=move || text.get()
                    on:input=move |event| text.set(event_target_value(&event)) on:keydown=key
                    aria-invalid=move || (!wrong.with(String::is_empty)).then_some("true")/>
            </label>
            <button type="button" on:click=move |_| take()>"Hand over"</button>
            <span class="wrong" role="status">{move || wrong.get()}</span>
        </span>
    }
}
