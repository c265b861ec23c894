//! The page's proof: duties checked beside the page after every change of what is shown, the old verdict kept until the
//! new one is there; and, while somebody looks, how long duties hold without sun and wind.
//!
//! A change of places, title or notes changes no verdict and asks for none.

use crate::page::store::Store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::{Duty, PartId, Plan};
use crate::proof::{Autonomy, Cause, Check, Dial, Verdict, WorstStarts};
use crate::quantity::Ms;
use crate::sheet::verdict::{self, Standing};
use leptos::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

/// How long the cursor must rest before it is asked from there, in milliseconds.
const REST: u64 = 250;

/// A verdict with what it is of.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Counts the checks that were made.
    pub number: u64,
    /// The verdict.
    pub check: Arc<Check>,
    /// The cause of each gap, by duty; empty until they are known.
    pub causes: Arc<Vec<Vec<Cause>>>,
    /// The duties, and what their loads are called.
    pub duties: Arc<Vec<(Duty, String)>>,
    /// How its moments are said.
    pub dial: Dial,
}

impl Told {
    /// The verdict on the duty at this place.
    pub fn verdict(&self, at: usize) -> Option<&Verdict> {
        self.check.duties.get(at)
    }
}

/// What the search for the worst start has found.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// Of which check.
    pub number: u64,
    /// The worst starts.
    pub starts: WorstStarts,
    /// The days of bad weather that are survived, in words, once they are known.
    pub weather: Option<String>,
}

/// The page's proof. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Proof {
    store: Store,
    told: RwSignal<Option<Told>>,
    by_part: Memo<BTreeMap<PartId, (usize, usize)>>,
    /// What was checked last, or is being checked.
    asked: StoredValue<Option<(u64, Plan)>>,
    number: StoredValue<u64>,
    progress: RwSignal<Option<u64>>,
    stopped: RwSignal<Option<String>>,
    clerk: Clerk,
    worst: RwSignal<Option<Worst>>,
    search: RwSignal<Option<(u64, u64)>>,
    searcher: Clerk,
    here: RwSignal<Option<(u64, Autonomy)>>,
    asker: Clerk,
}

/// The page's proof, from the context that the frame provides.
pub fn use_proof() -> Proof {
    expect_context()
}

impl Proof {
    /// Starts to follow what is shown.
    pub fn start(store: Store) -> Proof {
        let told = RwSignal::new(None::<Told>);
        let by_part = Memo::new(move |_| {
            let mut parts: BTreeMap<PartId, (usize, usize)> = BTreeMap::new();
            told.with(|told| {
                for verdict in told.iter().flat_map(|t| &t.check.duties) {
                    let entry = parts.entry(verdict.part.clone()).or_default();
                    entry.0 += usize::from(verdict.kept);
                    entry.1 += 1;
                }
            });
            parts
        });
        let proof = Proof {
            store,
            told,
            by_part,
            asked: StoredValue::new(None),
            number: StoredValue::new(0),
            progress: RwSignal::new(None),
            stopped: RwSignal::new(None),
            clerk: Clerk::new(),
            worst: RwSignal::new(None),
            search: RwSignal::new(None),
            searcher: Clerk::new(),
            here: RwSignal::new(None),
            asker: Clerk::new(),
        };
        Effect::new(move |before: Option<u64>| {
            store.shown();
            let opened = store.opened();
            if before.is_some_and(|before| before != opened) {
                // What was found of another plan says nothing of this one.
                told.set(None);
                proof.worst.set(None);
                proof.here.set(None);
            }
            proof.make(opened);
            opened
        });
        proof
    }

    /// The last verdict that is there. Tracked.
    pub fn told(self) -> Option<Told> {
        self.told.get()
    }

    /// Reads of the last verdict that is there, without being told of later ones.
    pub fn told_untracked<R>(self, f: impl FnOnce(&Told) -> Option<R>) -> Option<R> {
        self.told.with_untracked(|told| told.as_ref().and_then(f))
    }

    /// Whether a newer verdict than the one that is there is under way or was stopped. Tracked.
    pub fn is_old(self) -> bool {
        self.progress.with(Option::is_some) || self.stopped.with(Option::is_some)
    }

    /// How many days the check under way has done. Tracked.
    pub fn progress(self) -> Option<u64> {
        self.progress.get()
    }

    /// Why there is no newer verdict. Tracked.
    pub fn stopped(self) -> Option<String> {
        self.stopped.get()
    }

    /// How the duties of one load stand, once they were checked. Tracked.
    pub fn of_part(self, id: &PartId) -> Option<Standing> {
        let (kept, all) = self.by_part.with(|parts| parts.get(id).copied())?;
        Some(Standing::of(kept, all))
    }

    /// How the `n`th duty of a load stands, and that in words. Tracked.
    pub fn of_duty(self, id: &PartId, n: usize) -> Option<(usize, Standing, String)> {
        self.told.with(|told| {
            let told = told.as_ref()?;
            let own = told.check.duties.iter().enumerate();
            let (at, verdict) = own.filter(|(_, v)| v.part == *id).nth(n)?;
            let standing = Standing::of(usize::from(verdict.kept), 1);
            Some((at, standing, verdict::of_duty(&told.check, verdict)))
        })
    }

    /// Stops the check under way.
    pub fn stop(self) {
        self.clerk.stop();
        if self.progress.get_untracked().is_some() {
            self.progress.set(None);
            self.stopped.set(Some("Stopped.".into()));
        }
    }

    /// Checks what is shown, though it was checked before.
    pub fn again(self) {
        self.asked.set_value(None);
        self.make(untrack(|| self.store.opened()));
    }

    fn make(self, opened: u64) {
        let plan = self.store.with_shown(bare);
        let same = |asked: &Option<(u64, Plan)>| {
            let asked = asked.as_ref();
            asked.is_some_and(|(of, before)| *of == opened && *before == plan)
        };
        if self.asked.with_value(same) {
            return;
        }
        self.clerk.stop();
        self.stopped.set(None);
        self.number.update_value(|n| *n += 1);
        let number = self.number.get_value();
        let called = |duty: &Duty| (duty.clone(), plan.called(&duty.part));
        let duties = Arc::new(plan.duties.iter().map(called).collect::<Vec<_>>());
        let day_ms = plan.world.day_ms();
        let put = move |check: Check| {
            let days = check.days;
            self.progress.set(None);
            self.told.set(Some(Told {
                number,
                check: Arc::new(check),
                causes: Arc::default(),
                duties: duties.clone(),
                dial: Dial { day_ms, days },
            }));
        };
        if plan.duties.is_empty() {
            put(Check {
                for_ever: false,
                days: 0,
                repeats: None,
                duties: Vec::new(),
                differs: Vec::new(),
                problems: Vec::new(),
            });
        } else {
            self.progress.set(Some(0));
            let hear = move |piece: Result<Answer, String>| match piece {
                Ok(Answer::Progress(done, _)) if self.progress.get_untracked().is_some() => {
                    self.progress.set(Some(done));
                }
                Ok(Answer::Checked(check)) => put(*check),
                Ok(Answer::Causes(causes)) => self.told.update(|told| {
                    if let Some(told) = told {
                        told.causes = Arc::new(causes);
                    }
                }),
                Ok(_) => {}
                Err(why) => {
                    self.progress.set(None);
                    self.stopped
                        .set(Some(format!("The check could not be made: {why}.")));
                }
            };
            self.clerk.ask(&plan, Task::Duties, hear);
        }
        self.asked.set_value(Some((opened, plan)));
    }

    /// What the search for the worst start has found so far. Tracked.
    pub fn worst(self) -> Option<Worst> {
        self.worst.get()
    }

    /// How much of the search is done, of how much, while it is under way. Tracked.
    pub fn search(self) -> Option<(u64, u64)> {
        self.search.get()
    }

    /// How long each duty holds from the cursor's moment, and the check that this is of. Tracked.
    pub fn here(self) -> Option<(u64, Autonomy)> {
        self.here.get()
    }

    /// Looks for the worst start and for what weather is survived, unless that is known or under way.
    pub fn seek(self) {
        let Some(number) = self.told.with_untracked(|t| t.as_ref().map(|t| t.number)) else {
            return;
        };
        let known = |w: &Option<Worst>| w.as_ref().is_some_and(|w| w.number == number);
        if self.worst.with_untracked(known) {
            return;
        }
        let Some((_, plan)) = self.asked.get_value() else {
            return;
        };
        let put = move |starts: WorstStarts, weather: Option<String>| {
            self.worst.set(Some(Worst {
                number,
                starts,
                weather,
            }));
        };
        self.search.set(Some((0, 1)));
        self.searcher
            .ask(&plan, Task::Autonomy, move |piece| match piece {
                Ok(Answer::Progress(done, of)) => self.search.set(Some((done, of))),
                Ok(Answer::Worst(starts)) => put(*starts, None),
                Ok(Answer::Autonomy(found)) => {
                    self.search.set(None);
                    put(found.0, Some(found.1));
                }
                _ => self.search.set(None),
            });
    }

    /// Stops the search; what it found stays.
    pub fn stop_search(self) {
        self.searcher.stop();
        self.search.set(None);
    }

    /// Asks how long duties hold from `moment`, once it has rested there for a little.
    pub fn ask_from(self, moment: Ms) -> Option<TimeoutHandle> {
        let number = self.told.with_untracked(|t| t.as_ref().map(|t| t.number))?;
        let ask = move || {
            let Some((_, plan)) = self.asked.get_value() else {
                return;
            };
            self.asker.ask(&plan, Task::Holds(moment), move |piece| {
                if let Ok(Answer::Holds(here)) = piece {
                    self.here.set(Some((number, here)));
                }
            });
        };
        set_timeout_with_handle(ask, Duration::from_millis(REST)).ok()
    }
}

/// The plan without what no verdict depends on.
pub fn bare(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.title.clear();
    plan.notes.clear();
    plan.parts.iter_mut().for_each(|p| p.at = None);
    plan.wires.iter_mut().for_each(|w| w.bends.clear());
    plan
}
