//! The plan's walk in the page: the bar by which somebody follows it, and the page of the log on which it is made.
//!
//! The board shows what the editor follows; where a walk was left is kept beside the plan, so that it goes on there. A walk
//! changes nothing of the plan; *Go on from here* opens a copy of the state. It computes no power.

mod bar;
mod job;
mod maker;
mod question;

pub(super) use bar::WalkBar;
pub(super) use job::StepTextJob;
pub(super) use maker::WalkPage;

use super::keeping::{Keeper, PlanText};
use super::store::Store;
use crate::editor::{Message, WalkAct, WalkPlace};
use crate::plan::Plan;
use crate::shelf::Origin;
use leptos::prelude::*;
use std::collections::BTreeMap;

/// What stands before the number of the step where the walk was not closed.
const OPEN: &str = "open ";

/// The most characters of a title that a copy's own words come behind.
const TITLE: usize = 160;

/// How the open plan's walk is followed. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub(super) struct Walks {
    store: Store,
    keeper: Keeper,
    /// What was answered last, by the step's place.
    answers: RwSignal<BTreeMap<usize, usize>>,
}

/// How the walk is followed, from the context that the page's second part provides.
pub(super) fn use_walks() -> Walks {
    expect_context()
}

/// Follows the plan's walk from where it was left.
pub(super) fn begin(store: Store, keeper: Keeper) {
    let step = left_at(store, keeper).map_or(0, |(step, _)| step);
    store.dispatch(Message::Walk(WalkAct::Begin(step)));
}

/// Where the open plan's walk was left, from 0, and whether it was not closed.
fn left_at(store: Store, keeper: Keeper) -> Option<(usize, bool)> {
    let text = keeper.plan_text(PlanText::Walk, &untrack(|| store.plan_key()))?;
    let (number, is_open) = match text.strip_prefix(OPEN) {
        Some(number) => (number, true),
        None => (text.as_str(), false),
    };
    let number: usize = number.parse().ok()?;
    Some((number.checked_sub(1)?, is_open))
}

impl Walks {
    /// Follows which plan is open: one that comes in with a walk begins it, one whose walk was not closed goes on. Call it in
    /// the page's root.
    pub(super) fn start(store: Store, keeper: Keeper) -> Walks {
        let walks = Walks {
            store,
            keeper,
            answers: RwSignal::default(),
        };
        Effect::new(move |_| {
            store.opened();
            walks.answers.set(BTreeMap::new());
            untrack(|| walks.resume());
        });
        Effect::new(move |before: Option<(u64, Option<WalkPlace>)>| {
            let now = (store.opened(), store.walk_place());
            match (before, now.1) {
                (_, Some(place)) => walks.keep(place.step, true),
                // Closed, and not left for another plan.
                (Some((opened, Some(place))), None) if opened == now.0 => {
                    walks.keep(place.step, false)
                }
                _ => {}
            }
            now
        });
        walks
    }

    fn resume(self) {
        let left = left_at(self.store, self.keeper);
        let is_open = left.is_some_and(|(_, is_open)| is_open);
        if self.store.has_walk() && (is_open || self.keeper.has_come_in()) {
            begin(self.store, self.keeper);
        }
    }

    /// Keeps where the walk is. Where that can't be kept it begins anew another time, and nothing is lost.
    fn keep(self, step: usize, is_open: bool) {
        let open = if is_open { OPEN } else { "" };
        let key = untrack(|| self.store.plan_key());
        let text = format!("{open}{}", step + 1);
        let _ = self.keeper.keep_plan_text(PlanText::Walk, &key, &text);
    }

    fn act(self, act: WalkAct) {
        self.store.dispatch(Message::Walk(act));
    }

    /// Opens a copy of the state that is shown, as a plan of its own.
    fn go_on_from_here(self) {
        let Some(place) = untrack(|| self.store.walk_place()) else {
            return;
        };
        let number = place.step + 1;
        let mut plan = Plan::clone(&self.store.snapshot());
        let title = self.store.with_plan(|plan| plan.title.clone());
        let title: String = match title.is_empty() {
            true => "Untitled plan".into(),
            false => title.chars().take(TITLE).collect(),
        };
        plan.title = format!("{title} (from step {number})");
        self.act(WalkAct::End);
        self.keep(place.step, false);
        self.keeper.open_other(plan, Origin::Own);
        self.keeper.say(&format!(
            "This is a copy of step {number}, a plan of your own. The walk stays with the plan that you came from."
        ));
    }
}
