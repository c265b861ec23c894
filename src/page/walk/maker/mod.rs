//! The page of the log on which a walk is made, by doing: what has changed on the board since the last step becomes the next
//! one, with a text that is proposed. Everything done to the walk is one step of undo.

mod question;
mod record;
mod step;

use crate::editor::{Message, WalkAct};
use crate::limits::WALK_EDITS;
use crate::page::store::{Store, use_store};
use crate::plan::{Lit, Plan, Route, Walk, WalkStep};
use leptos::prelude::*;
use record::Record;
use std::sync::Arc;
use step::Step;

/// The page.
#[component]
pub fn WalkPage() -> impl IntoView {
    let maker = Maker::here();
    let store = maker.store;
    let count = Memo::new(move |_| maker.count());
    let says = move || {
        match count.get() {
        0 => "A walk leads others through this plan step by step. Build something on the board, record a step, and go on so.".to_string(),
        1 => "The walk has one step.".to_string(),
        n => format!("The walk has {n} steps."),
    }
    };
    let is_followed = Memo::new(move |_| store.walk_place().is_some());
    let play = move |_| {
        store.dispatch(Message::Walk(WalkAct::Begin(0)));
    };
    view! {
        <div class="walk-page">
            <h2 class="unseen">"Walk"</h2>
            <div class="walk-head">
                <p>{says}</p>
                {move || (count.get() > 0).then(|| view! {
                    <button type="button" disabled=is_followed on:click=play>"Play it from the beginning"</button>
                })}
            </div>
            {move || is_followed.get().then(|| view! {
                <p class="aside" role="status">"You are following the walk. Close it below the board to go on making it."</p>
            })}
            <div class="walk-columns">
                <Record maker is_followed/>
                <ol class="walk-steps">
                    <For each=move || 0..count.get() key=|index| *index let(index)>
                        <Step maker index is_followed/>
                    </For>
                </ol>
            </div>
        </div>
    }
}

/// The walk in the making. Cheap to copy.
#[derive(Clone, Copy)]
struct Maker {
    store: Store,
    walk: Memo<Option<Arc<Walk>>>,
    /// What each step lights up in words, empty where that is nothing.
    lit: Memo<Vec<String>>,
}

impl Maker {
    /// That of the open plan.
    fn here() -> Maker {
        let store = use_store();
        let walk = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.walk.clone())
        });
        Maker {
            store,
            walk,
            lit: Memo::new(move |_| {
                walk.with(|walk| walk.as_deref().map(all_lit).unwrap_or_default())
            }),
        }
    }

    /// How many steps there are. Tracked.
    fn count(self) -> usize {
        self.walk
            .with(|walk| walk.as_ref().map_or(0, |walk| walk.steps.len()))
    }

    /// Puts another walk in the plan as one step of undo; whether that went.
    fn commit(self, says: &str, make: impl FnOnce(&Plan) -> Option<Walk>) -> bool {
        let Some(walk) = self.store.with_plan(make) else {
            return false;
        };
        let edits = walk.steps.iter().map(|step| step.edits.as_slice().len());
        if edits.sum::<usize>() > WALK_EDITS {
            self.store.notice(format!(
                "Not done: all steps together can change at most {WALK_EDITS} things. Begin another plan for the rest."
            ));
            return false;
        }
        self.store.commit(says, vec![walk.into_edit()])
    }

    /// Sets something of a step as one step of undo.
    fn set(self, index: usize, says: &str, change: impl FnOnce(&mut WalkStep)) {
        self.commit(says, |plan| plan.walk_with(index, change));
    }

    /// What is chosen on the board, as what a step lights up.
    fn chosen(self) -> Lit {
        let chosen = self.store.selection().get_untracked();
        Lit {
            parts: chosen.parts.into_iter().collect(),
            wires: chosen.wires.into_iter().collect(),
        }
    }
}

/// What each step lights up in words. Parts are called as they are by then.
fn all_lit(walk: &Walk) -> Vec<String> {
    let mut route = Route::of(walk);
    let mut said = Vec::new();
    while route.forward().is_ok_and(|went| went) {
        let lit = route.step().map(|step| lit_said(route.plan(), &step.lit));
        said.push(lit.unwrap_or_default());
    }
    said
}

/// What is lit up in words: `Roof panel, Dusk tap, 1 wire`.
fn lit_said(plan: &Plan, lit: &Lit) -> String {
    let parts = lit.parts.iter().map(|id| plan.called(id));
    let wires = match lit.wires.len() {
        0 => None,
        1 => Some("1 wire".to_string()),
        n => Some(format!("{n} wires")),
    };
    parts.chain(wires).collect::<Vec<_>>().join(", ")
}
