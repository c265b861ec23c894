//! One step of the walk in the making: its text, moment, lights and question, and what is done with it.

use super::Maker;
use super::question::QuestionForm;
use crate::editor::{Message, WalkAct};
use crate::limits::{WALK_DAY, WALK_TEXT};
use crate::plan::{DialMoment, WalkStep};
use crate::teach::counted_changes;
use leptos::prelude::*;

/// The step.
#[component]
pub(super) fn Step(
    /// The walk.
    maker: Maker,
    /// Its place, from 0.
    index: usize,
    /// Whether a walk is followed, so that nothing is set.
    is_followed: Memo<bool>,
) -> impl IntoView {
    let store = maker.store;
    let step = Memo::new(move |_| {
        let step = |walk: &std::sync::Arc<crate::plan::Walk>| walk.steps.get(index).cloned();
        maker
            .walk
            .with(|walk| walk.as_ref().and_then(step))
            .unwrap_or_default()
    });
    let number = index + 1;
    let is_shown = move || store.walk_place().is_some_and(|place| place.step == index);
    let changes = move || {
        format!(
            "What it changes: {}.",
            step.with(|step| counted_changes(&step.edits))
        )
    };
    let write = move |ev| {
        let says = event_target_value(&ev);
        let is_other = step.with_untracked(|step| step.says != says);
        if is_other {
            maker.set(index, "write the text of a step", move |step| {
                step.says = says
            });
        }
    };
    let play = move |_| {
        store.dispatch(Message::Walk(WalkAct::Begin(index)));
    };
    let join = move |_| {
        maker.commit("join two steps of the walk", |plan| plan.walk_joined(index));
    };
    let delete = move |_| {
        let says = format!("delete step {number} of the walk");
        if maker.commit(&says, |plan| plan.walk_without(index)) {
            store.notice(format!("Step {number} is deleted. Undo takes it back."));
        }
    };
    view! {
        <li class="walk-made" class:shown=is_shown aria-current=move || is_shown().then_some("step")>
            <div class="walk-made-head">
                <h3>{format!("Step {number}")}</h3>
                <span class="aside">{changes}</span>
            </div>
            <fieldset disabled=is_followed>
                <textarea rows="3" maxlength=WALK_TEXT.to_string() aria-label=format!("Text of step {number}")
                    prop:value=move || step.with(|step| step.says.clone()) on:change=write></textarea>
                <Moment maker index step/>
                <Lights maker index step/>
                <QuestionForm maker index step/>
            </fieldset>
            <p class="walk-acts">
                <button type="button" aria-label=format!("Play from here, step {number}") on:click=play>"Play from here"</button>
                <button type="button" aria-label=format!("Join to the one before, step {number}") disabled=move || index == 0 || is_followed.get()
                    on:click=join>"Join to the one before"</button>
                <button type="button" aria-label=format!("Delete, step {number}") disabled=is_followed on:click=delete>"Delete"</button>
            </p>
        </li>
    }
}

/// The moment that the step shows.
#[component]
fn Moment(maker: Maker, index: usize, step: Memo<WalkStep>) -> impl IntoView {
    let store = maker.store;
    let says = move || match step.with(|step| step.at) {
        Some(at) => format!("Shows {at}."),
        None if index == 0 => "Shows the moment at which the walk is begun.".to_string(),
        None => "Shows the moment of the step before.".to_string(),
    };
    let now = move || {
        let day = store.with_plan(|plan| plan.world.day_ms());
        DialMoment::of(store.moment().get(), day)
    };
    let put = move |at: Option<DialMoment>| {
        maker.set(index, "set the moment of a step", move |step| step.at = at);
    };
    let take_now = move |_| {
        let at = untrack(now);
        if at.day > WALK_DAY {
            return store.notice(format!(
                "A step shows a moment of the first {WALK_DAY} days."
            ));
        }
        put(Some(at));
    };
    view! {
        <p class="walk-set">
            <span>{says}</span>
            <button type="button" class="quiet" on:click=take_now>{move || format!("Show {} instead", now())}</button>
            {move || step.with(|step| step.at.is_some()).then(|| view! {
                <button type="button" class="quiet" on:click=move |_| put(None)>"As in the step before"</button>
            })}
        </p>
    }
}

/// What the step lights up.
#[component]
fn Lights(maker: Maker, index: usize, step: Memo<WalkStep>) -> impl IntoView {
    let store = maker.store;
    let says = move || {
        let lit = maker.lit.with(|all| all.get(index).cloned());
        match lit.filter(|lit| !lit.is_empty()) {
            None => "Lights up nothing.".to_string(),
            Some(lit) => format!("Lights up {lit}."),
        }
    };
    let take = move |_| {
        let lit = maker.chosen();
        if lit.is_empty() && step.with_untracked(|step| step.lit.is_empty()) {
            return store.notice("Choose parts or wires on the board first.".into());
        }
        maker.set(index, "set what a step lights up", move |step| {
            step.lit = lit
        });
    };
    let is_none = move || store.selection().with(|chosen| chosen.is_empty());
    let name = move || match is_none() && step.with(|step| !step.lit.is_empty()) {
        true => "Light up nothing",
        false => "Light up what is chosen",
    };
    view! {
        <p class="walk-set">
            <span>{says}</span>
            <button type="button" class="quiet" on:click=take>{name}</button>
        </p>
    }
}
