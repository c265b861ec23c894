//! Recording a step: what has changed on the board since the last one, and the text that it is to have.

use super::Maker;
use crate::limits::{WALK_DAY, WALK_STEPS, WALK_TEXT};
use crate::page::walk::job::use_step_text;
use crate::plan::{DialMoment, Plan};
use crate::teach::{counted_changes, quick_text};
use leptos::prelude::*;

/// The next step.
#[component]
pub(super) fn Record(
    /// The walk.
    maker: Maker,
    /// Whether a walk is followed, so that nothing is recorded.
    is_followed: Memo<bool>,
) -> impl IntoView {
    let (store, proposed) = (maker.store, use_step_text());
    // What somebody has written himself.
    let written = RwSignal::new(None::<String>);
    Effect::watch(
        move || store.opened(),
        move |_, _, _| written.set(None),
        false,
    );
    // In words; none where nothing has changed.
    let changed = Memo::new(move |_| {
        store.revision();
        let edits = store.with_plan(Plan::since_last_step);
        (!edits.is_empty()).then(|| counted_changes(&edits))
    });
    let nothing = move || changed.with(Option::is_none);
    let says = move || match (maker.count(), nothing()) {
        (0, true) => "Nothing stands on the board yet.".to_string(),
        (0, false) => format!(
            "The first step takes all that is on the board: {}.",
            changed.get().unwrap_or_default()
        ),
        (_, true) => "Nothing has changed on the board since the last step.".to_string(),
        (_, false) => format!(
            "The board has changed since the last step: {}.",
            changed.get().unwrap_or_default()
        ),
    };
    let text = move || {
        written
            .get()
            .or_else(|| proposed.text())
            .unwrap_or_default()
    };
    let hint = move || match proposed.is_coming() {
        true => "A text is being proposed…",
        false => "What the step says",
    };
    let record = move |_| {
        let text = untrack(text);
        if untrack(|| maker.count()) >= WALK_STEPS {
            return store.notice(format!("A walk has at most {WALK_STEPS} steps."));
        }
        let lit = maker.chosen();
        let done = maker.commit("record a step of the walk", |plan| {
            let at = DialMoment::of(store.moment().get_untracked(), plan.world.day_ms());
            let says = match text.trim() {
                "" => quick_text(&plan.walked(), plan),
                says => says.to_string(),
            };
            Some(plan.walk_with_step(&says, (at.day <= WALK_DAY).then_some(at), lit))
        });
        if done {
            written.set(None);
            let number = untrack(|| maker.count());
            store.notice(format!("Step {number} is recorded."));
        }
    };
    view! {
        <section class="walk-record" aria-labelledby="walk-record-title">
            <h3 id="walk-record-title">"The next step"</h3>
            <p role="status">{says}</p>
            <textarea rows="5" maxlength=WALK_TEXT.to_string() aria-label="Text of the next step" placeholder=hint
                disabled=is_followed prop:value=text on:input=move |ev| written.set(Some(event_target_value(&ev)))></textarea>
            <p class="aside">"It shows the moment that is shown now, and lights up what is chosen on the board."</p>
            <p><button type="button" class="walk-record-button" disabled=is_followed on:click=record>"Record a step"</button></p>
        </section>
    }
}
