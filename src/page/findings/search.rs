//! The page's findings: looked for beside the page when somebody asks, kept while one edits; and the change of one of them
//! while it is tried, the plan beside it.

use crate::page::compare::Sides;
use crate::page::duties::bare;
use crate::page::store::Store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::Plan;
use crate::proof::findings::{Finding, Remedy, worst_first};
use leptos::prelude::*;

/// The page's findings. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Finds {
    store: Store,
    list: RwSignal<Vec<Finding>>,
    /// The plan that was looked at last, or is.
    asked: RwSignal<Option<Plan>>,
    progress: RwSignal<Option<(u64, u64)>>,
    stopped: RwSignal<Option<String>>,
    tried: RwSignal<Option<String>>,
    sides: Sides,
    clerk: Clerk,
}

/// The page's findings, from the context that the frame provides.
pub fn use_finds() -> Finds {
    expect_context()
}

impl Finds {
    /// Finds nothing yet.
    pub fn start(store: Store) -> Finds {
        let finds = Finds {
            store,
            list: RwSignal::new(Vec::new()),
            asked: RwSignal::new(None),
            progress: RwSignal::new(None),
            stopped: RwSignal::new(None),
            tried: RwSignal::new(None),
            sides: Sides::new(),
            clerk: Clerk::new(),
        };
        // What was found of another plan says nothing of this one.
        Effect::watch(
            move || store.opened(),
            move |_, _, _| {
                finds.clerk.stop();
                finds.list.set(Vec::new());
                finds.asked.set(None);
                finds.progress.set(None);
                finds.stopped.set(None);
            },
            false,
        );
        // A trial that has ended, however it did, is nothing to look at beside the plan.
        Effect::watch(
            move || store.trial(),
            move |says, _, _| {
                if says.is_none() {
                    finds.tried.set(None);
                    finds.sides.clear();
                }
            },
            false,
        );
        finds
    }

    /// What is found so far, worst first. Tracked.
    pub fn list(self) -> Vec<Finding> {
        self.list.get()
    }

    /// Whether anything was looked for. Tracked.
    pub fn is_asked(self) -> bool {
        self.asked.with(Option::is_some)
    }

    /// Whether the plan is no longer the one that was looked at. Tracked.
    pub fn is_old(self) -> bool {
        self.store.revision();
        let now = self.store.with_plan(bare);
        self.asked
            .with(|asked| asked.as_ref().is_some_and(|asked| *asked != now))
    }

    /// How much is looked at, of how much, while the search is under way. Tracked.
    pub fn progress(self) -> Option<(u64, u64)> {
        self.progress.get()
    }

    /// Why the search did not end. Tracked.
    pub fn stopped(self) -> Option<String> {
        self.stopped.get()
    }

    /// The name of the change that is tried. Tracked.
    pub fn tried(self) -> Option<String> {
        self.tried.get()
    }

    /// The plan beside the change that is tried.
    pub fn sides(self) -> Sides {
        self.sides
    }

    /// Looks at the plan as it is now.
    pub fn look(self) {
        let plan = self.store.with_plan(Plan::clone);
        self.list.set(Vec::new());
        self.stopped.set(None);
        self.progress.set(Some((0, 1)));
        self.asked.set(Some(bare(&plan)));
        self.clerk
            .ask(&plan, Task::Findings, move |piece| match piece {
                Ok(Answer::Progress(done, of)) => self.progress.set(Some((done, of))),
                Ok(Answer::Finding(finding)) => self.list.update(|list| {
                    list.push(*finding);
                    worst_first(list);
                }),
                Ok(_) => self.progress.set(None),
                Err(why) => {
                    self.progress.set(None);
                    self.stopped
                        .set(Some(format!("The search did not end: {why}.")));
                }
            });
    }

    /// Looks at the plan unless it was looked at before.
    pub fn look_first(self) {
        if self.asked.with_untracked(Option::is_none) {
            self.look();
        }
    }

    /// Stops the search; what it found stays.
    pub fn stop(self) {
        self.clerk.stop();
        self.progress.set(None);
        self.stopped
            .set(Some("Stopped: there may be more to find.".into()));
    }

    /// Shows the plan with a change, and the two side by side.
    pub fn try_it(self, remedy: &Remedy) {
        let before = self.store.with_plan(Plan::clone);
        let edits = remedy.edits.clone();
        if !self.store.try_change(&remedy.name, &remedy.name, edits) {
            return;
        }
        self.tried.set(Some(remedy.name.clone()));
        let after = self.store.with_shown(Plan::clone);
        self.sides.ask(&before, &after, true);
    }

    /// Makes a change, as one step of undo.
    pub fn take(self, remedy: &Remedy) {
        if self.store.commit(&remedy.name, remedy.edits.clone()) {
            self.store.notice(format!("Taken: {}.", remedy.name));
        }
    }
}
