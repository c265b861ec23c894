//! What was found out about losses, kept while one edits, with the plan that it is of.

use crate::editor::layout::{around, rect};
use crate::page::store::{Selection, Store};
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::{PartId, Plan, WireId};
use crate::proof::{Loss, LossReport, PairReport, without};
use crate::sheet::losses as words;
use leptos::prelude::*;
use std::cell::Cell;
use std::rc::Rc;
use std::sync::Arc;

/// What stands in the book.
#[derive(Clone, Debug)]
pub struct Told {
    /// The plan that it is of.
    pub plan: Arc<Plan>,
    /// Which of the document's changes that was: [`Store::revision`].
    pub revision: u64,
    /// Single losses found so far, in the order of all.
    pub singles: Vec<LossReport>,
    /// The place of each among all.
    places: Vec<usize>,
    /// Whether those are all; then for how many days the whole plan was run, and whether they repeat.
    pub complete: Option<(u64, bool)>,
    /// How many duties the whole plan keeps, once that is known.
    pub kept: Option<usize>,
    /// Pairs found so far, where they were asked for.
    pub pairs: Option<Vec<PairReport>>,
    /// Whether those are all.
    pub all_pairs: bool,
}

impl Told {
    fn empty(plan: Arc<Plan>, revision: u64) -> Told {
        Told {
            plan,
            revision,
            singles: Vec::new(),
            places: Vec::new(),
            complete: None,
            kept: None,
            pairs: None,
            all_pairs: false,
        }
    }

    fn add(&mut self, more: Vec<(usize, LossReport)>) {
        for (place, report) in more {
            let at = self.places.partition_point(|p| *p < place);
            self.places.insert(at, place);
            self.singles.insert(at, report);
        }
    }
}

/// How many workers share single losses out among them, where the machine has as many cores.
const HANDS: usize = 2;

/// What is being worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Under {
    /// Single losses.
    Singles,
    /// Pairs.
    Pairs,
}

/// The page's book of losses. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct LossBook {
    store: Store,
    told: RwSignal<Option<Told>>,
    under: RwSignal<Option<Under>>,
    /// How far each worker is, and of how much; a worker that has said nothing yet has nothing to do.
    progress: RwSignal<[(u64, u64); HANDS]>,
    /// How many workers are not done.
    working: StoredValue<usize>,
    failed: RwSignal<Option<String>>,
    /// Whether batteries found empty are tried, too.
    empty: RwSignal<bool>,
    shown: RwSignal<Vec<Loss>>,
    clerks: [Clerk; HANDS],
}

/// The book, from the context that the frame provides.
pub fn use_losses() -> LossBook {
    expect_context()
}

impl LossBook {
    /// An empty book.
    pub fn new(store: Store) -> LossBook {
        let book = LossBook {
            store,
            told: RwSignal::new(None),
            under: RwSignal::new(None),
            progress: RwSignal::default(),
            working: StoredValue::new(0),
            failed: RwSignal::new(None),
            empty: RwSignal::new(false),
            shown: RwSignal::new(Vec::new()),
            clerks: std::array::from_fn(|_| Clerk::new()),
        };
        // Another plan has other losses.
        Effect::new(move |before: Option<u64>| {
            let opened = store.opened();
            if before.is_some_and(|b| b != opened) {
                book.stop();
                book.told.set(None);
            }
            opened
        });
        book
    }

    /// What stands in it, as a signal.
    pub fn told(self) -> RwSignal<Option<Told>> {
        self.told
    }

    /// What is being worked out. Tracked.
    pub fn under(self) -> Option<Under> {
        self.under.get()
    }

    /// How far it is, and of how much. Tracked.
    pub fn progress(self) -> (u64, u64) {
        (self.progress.get().iter()).fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }

    /// Why there is no answer. Tracked.
    pub fn failed(self) -> Option<String> {
        self.failed.get()
    }

    /// Whether batteries found empty are tried, too.
    pub fn empty(self) -> RwSignal<bool> {
        self.empty
    }

    /// Whether what stands in it is of an earlier plan. Tracked.
    pub fn is_old(self) -> bool {
        let of = self.told.with(|t| t.as_ref().map(|t| t.revision));
        of.is_some_and(|of| of != self.store.revision())
    }

    /// Whether the board shows the plan with just these losses. Tracked.
    pub fn shows(self, losses: &[Loss]) -> bool {
        self.store.trial().is_some() && self.shown.with(|s| s == losses)
    }

    /// Stops what is being worked out; what was found so far stays.
    pub fn stop(self) {
        self.clerks.into_iter().for_each(Clerk::stop);
        self.under.set(None);
    }

    /// Tries every single loss of the document.
    pub fn try_all(self) {
        self.stop();
        self.begin(Under::Singles);
        let revision = untrack(|| self.store.revision());
        let plan = Arc::new(self.store.with_plan(Plan::clone));
        let fresh = Rc::new(Cell::new(Some(Told::empty(plan.clone(), revision))));
        let empty = self.empty.get_untracked();
        let cores = window().navigator().hardware_concurrency();
        let hands = if cores < 2.0 { 1 } else { HANDS };
        self.working.set_value(hands);
        for (hand, clerk) in self.clerks.into_iter().take(hands).enumerate() {
            let fresh = fresh.clone();
            let hear = move |piece: Result<Answer, String>| {
                if let Some(fresh) = fresh.take() {
                    self.told.set(Some(fresh));
                }
                self.hear(hand, piece);
            };
            let share = (hand, hands);
            clerk.ask(&plan, Task::Losses { empty, share }, hear);
        }
    }

    fn begin(self, what: Under) {
        self.failed.set(None);
        self.progress.set(Default::default());
        self.under.set(Some(what));
    }

    /// Tries pairs of the losses that stand in the book, on the plan that they are of.
    pub fn try_pairs(self) {
        let Some(told) = self.told.get_untracked() else {
            return;
        };
        self.stop();
        self.begin(Under::Pairs);
        self.change(|t| {
            t.pairs = Some(Vec::new());
            t.all_pairs = false;
        });
        let hear = move |piece| self.hear(0, piece);
        self.clerks[0].ask(&told.plan, Task::Pairs(told.singles), hear);
    }

    fn change(self, change: impl FnOnce(&mut Told)) {
        self.told.update(|told| {
            if let Some(told) = told {
                change(told);
            }
        });
    }

    /// What worker `hand` says.
    fn hear(self, hand: usize, piece: Result<Answer, String>) {
        match piece {
            Ok(Answer::Progress(done, of)) => self.progress.update(|all| all[hand] = (done, of)),
            Ok(Answer::SomeLosses(more)) => self.change(|t| t.add(more)),
            Ok(Answer::SomePairs(more)) => {
                self.change(|t| t.pairs.get_or_insert_default().extend(more))
            }
            Ok(Answer::Losses {
                for_ever,
                days,
                kept,
            }) => {
                self.working.update_value(|left| *left -= 1);
                if self.working.get_value() > 0 {
                    return;
                }
                self.change(|t| {
                    t.kept = Some(kept);
                    t.complete = Some((days, for_ever));
                });
                self.under.set(None);
            }
            Ok(Answer::Pairs) => {
                self.change(|t| t.all_pairs = true);
                self.under.set(None);
            }
            Ok(_) => {}
            Err(why) => {
                self.stop();
                self.failed.set(Some(why));
            }
        }
    }

    /// Shows the plan with these losses on the board, or the document again if that is what is shown.
    pub fn show(self, losses: Vec<Loss>) {
        let is_tried = untrack(|| self.store.trial()).is_some();
        if is_tried && self.shown.with_untracked(|s| *s == losses) {
            return self.store.end_trial();
        }
        let is_there = |loss: &Loss| {
            self.store.with_plan(|plan| match loss {
                Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => plan.part(id).is_some(),
                Loss::Wire(id) => plan.wire(id).is_some(),
            })
        };
        if !losses.iter().all(is_there) {
            return self
                .store
                .notice("The plan has that no more. Try the losses again.".into());
        }
        let (says, rest) = self.store.with_plan(|plan| {
            let says: Vec<String> = losses.iter().map(|l| words::would_be(plan, l)).collect();
            let rest = (losses.iter()).fold(plan.clone(), |rest, loss| without(&rest, loss));
            (says.join(", "), rest)
        });
        self.store.try_plan(&says, rest);
        let (mut parts, mut wires) = (Vec::new(), Vec::new());
        for loss in &losses {
            match loss {
                Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => parts.push(id.clone()),
                Loss::Wire(id) => wires.push(id.clone()),
            }
        }
        self.choose(parts, wires);
        self.shown.set(losses);
    }

    /// Chooses these and moves the view no more than shows them: the rest of the plan is what one wants to see.
    fn choose(self, parts: Vec<PartId>, wires: Vec<WireId>) {
        let place = self.store.with_board(|plan| {
            let ends = wires.iter().filter_map(|id| plan.wire(id));
            let ends = ends.flat_map(|w| [&w.from.part, &w.to.part]);
            let all = parts.iter().chain(ends).filter_map(|id| plan.part(id));
            around(all.map(|p| rect(plan, p)))
        });
        self.store.select(Selection {
            parts: parts.into_iter().collect(),
            wires: wires.into_iter().collect(),
        });
        if let Some(place) = place {
            self.store.reveal(place);
        }
    }
}
