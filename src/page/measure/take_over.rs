//! The measured world put into the open plan, as one step of undo, or kept elsewhere: what would change, and into which
//! part types the peak and the battery's numbers go.

use super::desk::{Desk, Measured};
use crate::fit::Value;
use crate::page::refused::Refused;
use crate::plan::{Numbers, Plan};
use crate::sheet::book_error::told;
use crate::sheet::readings::{InTypes, MeasuredNumbers, battery_types, panel_types};
use leptos::prelude::*;

/// What would change, and the buttons that do it.
#[component]
pub(super) fn TakeOver(desk: Desk, keep: Callback<Numbers>) -> impl IntoView {
    let into = RwSignal::new(InTypes::default());
    let is_there = move || desk.measured.with(Option::is_some);
    // What is measured, in the plan as it is now; or why that can't be.
    let outcome = move || {
        desk.store.revision();
        let into = into.get();
        let put = |m: &Measured| {
            desk.store.with_plan(|plan| {
                MeasuredNumbers::of(plan, &m.fit, &into).map_err(|error| told(plan, &error))
            })
        };
        desk.measured.with(|m| m.as_ref().map(put))
    };
    let has_changes = move || {
        desk.is_fresh.get() && matches!(outcome(), Some(Ok(done)) if !done.edits.is_empty())
    };
    let take = move |_| {
        if let Some(Ok(done)) = untrack(outcome) {
            desk.store.commit("take a measured world", done.edits);
        }
    };
    let keep_it = move |_| {
        if let Some(Ok(done)) = untrack(outcome) {
            keep.run(done.plan.numbers());
        }
    };
    view! {
        <Show when=is_there>
            <div class="measure-take" role="group" aria-labelledby="measure-take">
                <h4 id="measure-take">"Use it in this plan"</h4>
                <TypeChoice desk into/>
                {move || changes(outcome())}
                <p class="measure-acts">
                    <button type="button" disabled=move || !has_changes() on:click=take>"Use in this plan"</button>
                    <button type="button" disabled=move || !desk.is_fresh.get() on:click=keep_it>"Keep as a world"</button>
                </p>
            </div>
        </Show>
    }
}

/// What would change, in words.
fn changes(outcome: Option<Result<MeasuredNumbers, Vec<String>>>) -> AnyView {
    match outcome {
        None => ().into_any(),
        Some(Err(reasons)) => {
            view! { <Refused reasons=Signal::stored(reasons) head=""/> }.into_any()
        }
        Some(Ok(done)) if done.changes.is_empty() => {
            view! { <p role="status">"The plan has this world: nothing would change."</p> }
                .into_any()
        }
        Some(Ok(done)) => {
            let one = |c: crate::sheet::numbers_changed::Said| {
                view! { <li>{c.what}": "{c.from}" → "<strong>{c.to}</strong></li> }
            };
            view! {
                <p class="aside">"What is not settled stays as the plan has it, where its sun goes on an arc already. Undo takes all of it back in one step."</p>
                <ul class="measure-changes" aria-label="What would change">{done.changes.into_iter().map(one).collect_view()}</ul>
            }
            .into_any()
        }
    }
}

/// Into which part types the numbers go that are none of the world's.
#[component]
fn TypeChoice(desk: Desk, into: RwSignal<InTypes>) -> impl IntoView {
    let has = move |value: Value| {
        desk.measured.with(|m| {
            m.as_ref()
                .is_some_and(|m| !m.fit.undetermined.contains(&value))
        })
    };
    let panels = move |name: Option<String>| into.update(|into| into.panel = name);
    let batteries = move |name: Option<String>| into.update(|into| into.battery = name);
    view! {
        <div class="measure-types">
            <Show when=move || has(Value::Peak)>
                <Types desk label="Write the peak into" types=panel_types
                    chosen=Signal::derive(move || into.with(|i| i.panel.clone())) choose=panels/>
            </Show>
            <Show when=move || has(Value::Capacity)>
                <Types desk label="Write what the battery holds and stores into" types=battery_types
                    chosen=Signal::derive(move || into.with(|i| i.battery.clone())) choose=batteries/>
            </Show>
        </div>
    }
}

/// A choice of a part type of the plan's book, or none.
#[component]
fn Types(
    desk: Desk,
    label: &'static str,
    types: fn(&Plan) -> Vec<(String, String)>,
    chosen: Signal<Option<String>>,
    choose: impl Fn(Option<String>) + Send + Sync + 'static,
) -> impl IntoView {
    let all = Memo::new(move |_| {
        desk.store.revision();
        desk.store.with_plan(types)
    });
    let options = move || {
        let one = |(name, label): (String, String)| {
            let is_chosen = chosen.with(|c| c.as_deref() == Some(name.as_str()));
            view! { <option value=name prop:selected=is_chosen>{label}</option> }
        };
        all.get().into_iter().map(one).collect_view()
    };
    let change = move |ev| {
        let name = event_target_value(&ev);
        choose((!name.is_empty()).then_some(name));
    };
    view! {
        <label>
            <span>{label}</span>
            <select on:change=change>
                <option value="" prop:selected=move || chosen.with(Option::is_none)>"no part type"</option>
                {options}
            </select>
        </label>
    }
}
