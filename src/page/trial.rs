//! Trying a plan without having it: what is tried is shown on the board and run, the document stays as it is.
//!
//! A loss is looked at this way, and a change before it is taken. The first edit, undo or opening of a plan ends it.

use super::store::{Store, use_store};
use crate::plan::{Edit, PartId, Plan, WireId};
use leptos::prelude::*;

/// Up to this width, in pixels, a screen has one drawer for all panes; style/frame.css says the same.
const NARROW: f64 = 760.0;

/// A plan that is tried.
pub(super) struct Trial {
    /// The plan as it would be.
    pub(super) plan: Plan,
    /// The same, and behind it the parts and wires of the document that it has no more.
    pub(super) board: Plan,
    /// What makes the document the same, as a step of undo with its name, where it can be taken.
    pub(super) take: Option<(String, Vec<Edit>)>,
}

/// How a part or wire of the board stands to the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// As in the document.
    Same,
    /// In the document, but not in what is tried.
    Gone,
    /// Not in the document.
    New,
    /// Set otherwise than in the document.
    Changed,
}

impl Mark {
    /// The class on the board.
    pub const fn class(self) -> &'static str {
        match self {
            Mark::Same => "",
            Mark::Gone => " gone",
            Mark::New => " new",
            Mark::Changed => " changed",
        }
    }

    /// What it adds to what is said of a part.
    pub const fn said(self) -> &'static str {
        match self {
            Mark::Same => "",
            Mark::Gone => ", gone in what is tried",
            Mark::New => ", new in what is tried",
            Mark::Changed => ", changed in what is tried",
        }
    }

    fn of<T: PartialEq>(before: Option<&T>, now: Option<&T>) -> Mark {
        match (before, now) {
            (Some(_), None) => Mark::Gone,
            (None, Some(_)) => Mark::New,
            (before, now) if before == now => Mark::Same,
            _ => Mark::Changed,
        }
    }
}

impl Store {
    /// Shows `plan` in the document's place until something is edited or [`Store::end_trial`] is called. `says` tells
    /// what is shown, such as "Without the roof panel".
    pub fn try_plan(self, says: &str, plan: Plan) {
        self.begin_trial(says, plan, None);
    }

    /// Shows the document with `edits`, which can then be taken as one step of undo called `name`. Where they do not
    /// apply a notice says so, and the answer is false.
    pub fn try_change(self, says: &str, name: &str, edits: Vec<Edit>) -> bool {
        let mut plan = self.with_plan(Plan::clone);
        if let Err(error) = plan.apply_all(edits.clone()) {
            self.notice(format!("This change no longer fits the plan: {error}."));
            return false;
        }
        self.begin_trial(says, plan, Some((name.into(), edits)));
        true
    }

    /// Makes the document what is tried, as one step of undo.
    pub fn take_trial(self) -> bool {
        let take = self
            .doc
            .with_value(|doc| doc.trial.as_ref().and_then(|t| t.take.clone()));
        let Some((name, edits)) = take else {
            return false;
        };
        let done = self.commit(&name, edits);
        if done {
            self.notice(format!("Taken: {name}."));
        }
        done
    }

    /// Whether what is tried can be taken. Tracks the trial.
    pub fn can_take(self) -> bool {
        self.trial_says.track();
        let can = |t: &Trial| t.take.is_some();
        self.doc
            .with_value(|doc| doc.trial.as_ref().is_some_and(can))
    }

    fn begin_trial(self, says: &str, mut plan: Plan, take: Option<(String, Vec<Edit>)>) {
        super::view::give_places(&mut plan);
        self.doc.update_value(|doc| {
            let mut board = plan.clone();
            if let Some(document) = &doc.plan {
                let gone = document.parts.iter().filter(|p| plan.part(&p.id).is_none());
                board.parts.extend(gone.cloned());
                let gone = document.wires.iter().filter(|w| plan.wire(&w.id).is_none());
                board.wires.extend(gone.cloned());
            }
            doc.trial = Some(Trial { plan, board, take });
        });
        self.trial_says.set(Some(says.into()));
        self.show_anew();
        // On a narrow screen the drawer would hide the very thing.
        let width = window().inner_width().ok().and_then(|w| w.as_f64());
        if width.is_some_and(|w| w <= NARROW) {
            self.pane().set(None);
        }
    }

    /// Shows the document again.
    pub fn end_trial(self) {
        let had = self
            .doc
            .try_update_value(|doc| doc.trial.take().is_some())
            .unwrap_or(false);
        if had {
            self.trial_says.set(None);
            self.show_anew();
        }
    }

    /// What is tried, in words. Tracked.
    pub fn trial(self) -> Option<String> {
        self.trial_says.get()
    }

    /// How a part of the board stands to the document. Tracks the trial.
    pub fn mark_of_part(self, id: &PartId) -> Mark {
        if self.trial_says.with(Option::is_none) {
            return Mark::Same;
        }
        self.doc.with_value(|doc| {
            let find = |plan: &Option<&Plan>| plan.and_then(|p| p.part(id)).cloned();
            let tried = doc.trial.as_ref().map(|t| &t.plan);
            let (before, now) = (find(&doc.plan.as_ref()), find(&tried));
            Mark::of(before.as_ref(), now.as_ref())
        })
    }

    /// How a wire of the board stands to the document. Tracks the trial.
    pub fn mark_of_wire(self, id: &WireId) -> Mark {
        if self.trial_says.with(Option::is_none) {
            return Mark::Same;
        }
        self.doc.with_value(|doc| {
            let find = |plan: &Option<&Plan>| plan.and_then(|p| p.wire(id)).cloned();
            let tried = doc.trial.as_ref().map(|t| &t.plan);
            let (before, now) = (find(&doc.plan.as_ref()), find(&tried));
            Mark::of(before.as_ref(), now.as_ref())
        })
    }

    /// Forgets the run of what was shown.
    pub(super) fn forget_run(self) {
        self.doc.update_value(|doc| doc.playback = None);
    }

    fn show_anew(self) {
        self.forget_run();
        self.refresh();
        self.shown.update(|n| *n += 1);
    }
}

/// Says what is tried, and leads back.
#[component]
pub fn TrialBanner() -> impl IntoView {
    let store = use_store();
    move || {
        store.trial().map(|says| {
            view! {
                <div class="trial" role="status">
                    <span>"Shown as a trial: " {says}</span>
                    {store.can_take().then(|| view! {
                        <button type="button" on:click=move |_| { store.take_trial(); }>"Take"</button>
                    })}
                    <button type="button" on:click=move |_| store.end_trial()>"Back to the plan"</button>
                </div>
            }
        })
    }
}
