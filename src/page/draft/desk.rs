//! What the parts of the window share: the order, where it is kept, and the search for plans.

use crate::draft::{DraftOrder, read_order};
use crate::page::jobs::{Job, Jobs, Subject, priority};
use crate::page::keeping::browser;
use crate::page::store::{Fingerprint, Store};
use crate::sheet::draft_said::{SaidDraft, SaidPlan};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// Under which name the browser keeps the order.
const KEPT: &str = "order";

/// The id of the choice that adds a load.
pub(super) const ADD_LOAD: &str = "draft-add";

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    /// The text of the order.
    pub(super) order: String,
    /// The plan that it completes, by its fingerprint.
    pub(super) completes: Option<Fingerprint>,
    /// What is said of it; or what is wrong with the order, a line each.
    pub(super) said: Result<SaidDraft, Vec<String>>,
}

impl Found {
    /// Whether the search came to its end.
    pub(super) fn is_whole(&self) -> bool {
        self.said
            .as_ref()
            .map_or(true, |said| said.searched.is_some())
    }
}

/// What the parts of the window share; it lasts while the window is closed. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) store: Store,
    /// The order as it is entered.
    pub(super) order: RwSignal<DraftOrder>,
    /// Whether the open plan is to be completed, so that what stands in it stays.
    pub(super) completes: RwSignal<bool>,
    /// What stood there before a file, the example or the open plan took its place.
    pub(super) before: RwSignal<Option<DraftOrder>>,
    /// Why a file was not taken, a line each.
    pub(super) refused: RwSignal<Vec<String>>,
    /// Why the browser does not keep the order.
    pub(super) unkept: RwSignal<Option<String>>,
    pub(super) job: Job<Result<SaidDraft, Vec<String>>>,
    /// What was found last. It stays while another plan is opened, which ends the job.
    pub(super) found: RwSignal<Option<Found>>,
    /// What was found before that, for another order.
    pub(super) earlier: RwSignal<Option<Found>>,
    /// Which of the plans is looked at, by its file; the first where that is none of them.
    pub(super) chosen: RwSignal<String>,
    /// How often wants have taken other places, so that a row stays with its want.
    pub(super) moves: RwSignal<u64>,
}

impl Desk {
    /// The order as it was left.
    pub(super) fn start(jobs: Jobs) -> Desk {
        let store = jobs.store();
        let (kept, unread) = match browser::read(KEPT).map(|text| read_order(&text)) {
            Some(Ok(order)) => (Some(order), Vec::new()),
            Some(Err(faults)) => {
                let mut told = vec!["The order that this browser keeps can't be read:".to_string()];
                told.extend(faults.iter().map(|fault| format!("{fault}.")));
                (None, told)
            }
            None => (None, Vec::new()),
        };
        let job = Job::new(jobs, Subject::Document, |found, piece, _| {
            match piece {
                Answer::Drafting(said) => *found = Some(Ok(*said)),
                Answer::Drafted(outcome) => *found = Some(*outcome),
                _ => {}
            }
            true
        });
        let desk = Desk {
            store,
            order: RwSignal::new(kept.unwrap_or_else(|| fresh(store))),
            before: RwSignal::new(None),
            refused: RwSignal::new(unread),
            unkept: RwSignal::new(None),
            completes: RwSignal::new(false),
            job,
            found: RwSignal::new(None),
            earlier: RwSignal::new(None),
            chosen: RwSignal::default(),
            moves: RwSignal::new(0),
        };
        Effect::new(move |_| {
            if let Some(answer) = job.answer()
                && let Some(Task::Draft { order, completes }) = answer.tasks.first()
            {
                let completes = completes.then_some(answer.fingerprint);
                let (order, said) = (order.clone(), answer.value.clone());
                desk.take(Found {
                    order,
                    completes,
                    said,
                });
            }
        });
        desk
    }

    fn take(self, found: Found) {
        let known = self.found.get_untracked();
        let is_other =
            |known: &Found| (&known.order, known.completes) != (&found.order, found.completes);
        // A search that begins anew shows what was found before until it has come as far.
        let steps = |found: &Found| found.said.as_ref().map_or(0, |said| said.steps);
        let is_behind =
            |known: &Found| !is_other(known) && !found.is_whole() && steps(known) > steps(&found);
        if known.as_ref().is_some_and(is_behind) {
            return;
        }
        let has_plans =
            |known: &Found| known.said.as_ref().is_ok_and(|said| !said.plans.is_empty());
        if let Some(known) = known.filter(is_other).filter(has_plans) {
            self.earlier.set(Some(known));
        }
        self.found.set(Some(found));
    }

    /// Whether what was found answers what is asked now, and if so whether that is all; followed.
    pub(super) fn answered(self) -> Memo<Option<bool>> {
        let text = self.of(DraftOrder::print);
        let completes = Memo::new(move |_| {
            let now = self.completes.get();
            now.then(|| self.job.jobs().fingerprint(Subject::Document))
        });
        Memo::new(move |_| {
            let is_of_this = |found: &&Found| {
                text.with(|text| found.order == *text) && found.completes == completes.get()
            };
            self.found
                .with(|found| found.as_ref().filter(is_of_this).map(Found::is_whole))
        })
    }

    /// Which of these plans is looked at, from 0. Tracked.
    pub(super) fn looked_at(self, plans: &[SaidPlan]) -> usize {
        let is_chosen = |plan: &SaidPlan| self.chosen.with(|text| plan.text == *text);
        plans.iter().position(is_chosen).unwrap_or(0)
    }

    /// Something of the order, followed.
    pub(super) fn of<T: PartialEq + Send + Sync + 'static>(
        self,
        of: impl Fn(&DraftOrder) -> T + Send + Sync + 'static,
    ) -> Memo<T> {
        Memo::new(move |_| self.order.with(&of))
    }

    /// Does something to the order, and keeps it.
    pub(super) fn change(self, act: impl FnOnce(&mut DraftOrder)) {
        let mut order = self.order.get_untracked();
        act(&mut order);
        self.put(order);
    }

    fn put(self, order: DraftOrder) {
        // An order for nothing can't be read back: the last that was for something stays.
        let trouble = match order.wants.is_empty() {
            true => None,
            false => browser::write(KEPT, &order.print()).err(),
        };
        self.unkept.set(trouble.map(|trouble| trouble.to_string()));
        self.order.set(order);
    }

    /// Puts another order in place of all; what was there can be put back.
    pub(super) fn replace(self, order: DraftOrder) {
        self.remember(&order);
        self.refused.set(Vec::new());
        self.put(order);
        self.moves.update(|moves| *moves += 1);
    }

    /// Takes a want away, or something else of which more is gone than can be entered again at once; it can be put back.
    pub(super) fn take_away(self, act: impl FnOnce(&mut DraftOrder)) {
        let mut order = self.order.get_untracked();
        act(&mut order);
        self.replace(order);
    }

    /// Keeps the order as it is, to be put back, where `next` is another.
    fn remember(self, next: &DraftOrder) {
        let was = self.order.get_untracked();
        if !was.wants.is_empty() && was != *next {
            self.before.set(Some(was));
        }
    }

    /// Puts back what stood there before, in exchange for what stands there now.
    pub(super) fn put_back(self) {
        if let Some(order) = self.before.get_untracked() {
            self.before.set(None);
            self.replace(order);
        }
    }

    /// Puts in a text's order, or says why not.
    pub(super) fn take_text(self, text: &str, called: &str) {
        match read_order(text) {
            Ok(order) => self.replace(order),
            Err(faults) => {
                let mut told = vec![format!("{called} is not taken:")];
                told.extend(faults.iter().map(|fault| format!("{fault}.")));
                self.refused.set(told);
            }
        }
    }

    /// Takes world and book of the open plan. What the other book does not have is told of, and the order stays.
    pub(super) fn take_world(self) {
        let fresh = self.fresh();
        let order = self.order.get_untracked();
        if order.world == fresh.world && order.book == fresh.book {
            return;
        }
        if order.wants.is_empty() {
            return self.replace(fresh);
        }
        let (book, world) = (fresh.book, fresh.world);
        let text = DraftOrder {
            book,
            world,
            ..order
        }
        .print();
        self.take_text(&text, "The world of the open plan");
    }

    /// An order for nothing, in the world of the open plan.
    pub(super) fn fresh(self) -> DraftOrder {
        fresh(self.store)
    }

    /// Searches, or goes on where the search was stopped.
    pub(super) fn search(self) {
        if self.completes.get_untracked() {
            // What is completed stands in the world of its own plan.
            self.take_world();
            if self.refused.with_untracked(|refused| !refused.is_empty()) {
                return;
            }
        }
        let order = self.order.with_untracked(DraftOrder::print);
        let completes = self.completes.get_untracked();
        let task = Task::Draft { order, completes };
        self.job.ask_anew(vec![task], priority::IN_SIGHT);
    }
}

fn fresh(store: Store) -> DraftOrder {
    store.with_plan(|plan| DraftOrder::empty(plan.book.clone(), plan.world.clone()))
}
