//! What was asked about sizes and what was found: kept while one edits, with the plan that it is of.

use crate::page::store::Store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::{Edit, Plan};
use crate::proof::sizes::{Ask, Progress, Sizes, Spare};
use leptos::prelude::*;
use std::sync::Arc;

/// An answer, with what it is an answer to.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What was asked.
    pub ask: Ask,
    /// The plan that it was asked about.
    pub plan: Arc<Plan>,
    /// What was found so far.
    pub progress: Option<Progress>,
    /// The answer, once it is whole.
    pub sizes: Option<Arc<Sizes>>,
    /// Why there will be no whole answer.
    pub stopped: Option<String>,
}

impl Told {
    /// What would give the plan the sizes found.
    pub fn edits(&self) -> Vec<Edit> {
        match (&self.sizes, &self.progress) {
            (Some(sizes), _) => sizes.edits(),
            (None, Some(progress)) => progress.edits(),
            (None, None) => Vec::new(),
        }
    }
}

/// Reserves, with the plan that they are of.
#[derive(Clone, Debug, PartialEq)]
pub struct Spares {
    /// The plan.
    pub plan: Arc<Plan>,
    /// Those found so far.
    pub found: Vec<Spare>,
    /// How many there will be; none yet known.
    pub of: Option<usize>,
    /// How many runs it took so far.
    pub runs: u64,
}

/// The sizes found. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Sizing {
    store: Store,
    told: RwSignal<Option<Told>>,
    spares: RwSignal<Option<Spares>>,
    clerk: Clerk,
    spare_clerk: Clerk,
    /// What of the document a verdict depends on.
    now: Memo<Arc<Plan>>,
}

/// The sizes found, from the context that the frame provides.
pub fn use_sizing() -> Sizing {
    expect_context()
}

impl Sizing {
    /// Nothing asked yet.
    pub fn start(store: Store) -> Sizing {
        let sizing = Sizing {
            store,
            told: RwSignal::new(None),
            spares: RwSignal::new(None),
            clerk: Clerk::new(),
            spare_clerk: Clerk::new(),
            now: Memo::new(move |_| {
                store.revision();
                Arc::new(store.with_plan(bare))
            }),
        };
        // What was found of another plan says nothing of this one.
        Effect::watch(
            move || store.opened(),
            move |_, _, _| {
                sizing.clerk.stop();
                sizing.spare_clerk.stop();
                sizing.told.set(None);
                sizing.spares.set(None);
            },
            false,
        );
        sizing
    }

    /// The last answer, whole or not. Tracked.
    pub fn told(self) -> Option<Told> {
        self.told.get()
    }

    /// The reserves, all or not. Tracked.
    pub fn spares(self) -> Option<Spares> {
        self.spares.get()
    }

    /// Whether the search is under way. Tracked.
    pub fn is_searching(self) -> bool {
        self.clerk.is_busy()
    }

    /// Whether reserves are being worked out. Tracked.
    pub fn is_sparing(self) -> bool {
        self.spare_clerk.is_busy()
    }

    /// Whether the answer is of an earlier plan. Tracked.
    pub fn is_old(self) -> bool {
        let now = self.now.get();
        self.told
            .with(|told| told.as_ref().is_some_and(|t| bare(&t.plan) != *now))
    }

    /// Whether the reserves are of an earlier plan. Tracked.
    pub fn is_spare_old(self) -> bool {
        let now = self.now.get();
        self.spares
            .with(|told| told.as_ref().is_some_and(|t| bare(&t.plan) != *now))
    }

    /// Begins a search.
    pub fn ask(self, ask: Ask) {
        let plan = self.store.with_plan(|plan| Arc::new(plan.clone()));
        self.told.set(Some(Told {
            ask: ask.clone(),
            plan: plan.clone(),
            progress: None,
            sizes: None,
            stopped: None,
        }));
        let put = move |change: &dyn Fn(&mut Told)| {
            self.told.update(|told| {
                if let Some(told) = told {
                    change(told);
                }
            });
        };
        self.clerk
            .ask(&plan, Task::Sizes(ask), move |piece| match piece {
                Ok(Answer::Sizing(progress)) => put(&|t| t.progress = Some((*progress).clone())),
                Ok(Answer::Sized(sizes)) => put(&|t| t.sizes = Some(Arc::new((*sizes).clone()))),
                Ok(_) => {}
                Err(why) => put(&|t| t.stopped = Some(format!("The search failed: {why}."))),
            });
    }

    /// Stops the search; what it found stays.
    pub fn stop(self) {
        self.clerk.stop();
        self.told.update(|told| {
            if let Some(told) = told.as_mut().filter(|t| t.sizes.is_none()) {
                told.stopped = Some("Stopped.".into());
            }
        });
    }

    /// Works the reserves out.
    pub fn ask_spares(self) {
        let plan = self.store.with_plan(|plan| Arc::new(plan.clone()));
        self.spares.set(Some(Spares {
            plan: plan.clone(),
            found: Vec::new(),
            of: None,
            runs: 0,
        }));
        self.spare_clerk.ask(&plan, Task::Spare, move |piece| {
            if let Ok(Answer::Spare(found, of, runs)) = piece {
                self.spares.update(|told| {
                    if let Some(told) = told {
                        told.found = found;
                        told.of = Some(of);
                        told.runs = runs;
                    }
                });
            }
        });
    }

    /// Stops working reserves out; those found stay.
    pub fn stop_spares(self) {
        self.spare_clerk.stop();
    }

    /// Gives the plan what was found, as one step of undo.
    pub fn take(self) {
        let edits = self
            .told
            .with_untracked(|told| told.as_ref().map(Told::edits).unwrap_or_default());
        if !edits.is_empty() && self.store.commit("take the least sizes", edits) {
            self.store.notice("The plan has the sizes found.".into());
        }
    }
}

/// The plan without what no verdict depends on.
fn bare(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.title.clear();
    plan.notes.clear();
    plan.parts.iter_mut().for_each(|p| {
        p.at = None;
        p.name.clear();
    });
    plan.wires.iter_mut().for_each(|w| w.bends.clear());
    plan
}
