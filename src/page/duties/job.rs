//! The page's duties: checked beside the page after every change of what an answer depends on, the old verdict kept until
//! the new one is there; how long they hold without sun and wind at the worst, and from the cursor while somebody looks.

use crate::editor::Message;
use crate::page::jobs::{Job, Jobs, Large, Rule, SMALL, Status, Subject, follow, priority};
use crate::page::store::{LogPage, Store};
use crate::plan::{Duty, PartId, Plan};
use crate::proof::{Autonomy, Cause, Check, Dial, Verdict, WorstStarts};
use crate::quantity::Ms;
use crate::sheet::verdict::{self, Standing};
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

/// How long the cursor must rest before it is asked from there, in milliseconds.
const REST: u64 = 250;

/// Cards mark a verdict as old once a newer one is awaited for so many milliseconds: a mark on a hundred cards that comes
/// and goes at once costs more than it says.
const PATIENCE: u64 = 400;

/// The verdicts, with what they speak of.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdicts {
    /// The verdict.
    pub check: Arc<Check>,
    /// The cause of each gap, by duty; empty until they are known.
    pub causes: Arc<Vec<Vec<Cause>>>,
    /// The duties, and what their loads are called.
    pub duties: Arc<Vec<(Duty, String)>>,
    /// How its moments are said.
    pub dial: Dial,
}

impl Verdicts {
    fn new(check: Check, plan: &Plan) -> Verdicts {
        let called = |duty: &Duty| (duty.clone(), plan.called(&duty.part));
        Verdicts {
            dial: Dial {
                day_ms: plan.world.day_ms(),
                days: check.days,
            },
            check: Arc::new(check),
            causes: Arc::default(),
            duties: Arc::new(plan.duties.iter().map(called).collect()),
        }
    }

    /// The verdict on the duty at this place.
    pub fn verdict(&self, at: usize) -> Option<&Verdict> {
        self.check.duties.get(at)
    }
}

/// What the search for the worst start has found.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// The worst starts.
    pub starts: WorstStarts,
    /// The days of bad weather that are survived, in words, once they are known.
    pub weather: Option<String>,
}

/// The page's duties. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct DutiesJob {
    store: Store,
    job: Job<Verdicts>,
    verdicts: Memo<Option<Verdicts>>,
    worst: Job<Worst>,
    here: Job<Autonomy>,
}

/// The page's duties, from the context that the frame provides.
pub fn use_duties() -> DutiesJob {
    expect_context()
}

impl DutiesJob {
    /// Starts to follow what is shown.
    pub fn start(jobs: Jobs) -> DutiesJob {
        let store = jobs.store();
        let job = Job::new(jobs, Subject::Shown, take_verdict);
        let has_duties = Memo::new(move |_| {
            store.shown();
            store.with_shown(|plan| !plan.duties.is_empty())
        });
        // Where there is nothing to check the verdict is known.
        let verdicts = Memo::new(move |_| match has_duties.get() {
            true => job.answer().map(|answer| answer.value.clone()),
            false => Some(store.with_shown(|plan| Verdicts::new(no_check(), plan))),
        });
        let duties = DutiesJob {
            store,
            job,
            verdicts,
            worst: Job::new(jobs, Subject::Shown, take_worst),
            here: Job::new(jobs, Subject::Shown, |here, piece, _| {
                if let Answer::Holds(found) = piece {
                    *here = Some(found);
                }
                true
            }),
        };
        // The board marks loads with how their duties stand.
        let is_late = RwSignal::new(false);
        Effect::new(move |before: Option<Option<TimeoutHandle>>| {
            before.flatten().inspect(TimeoutHandle::clear);
            if !duties.is_out_of_date() {
                is_late.set(false);
                return None;
            }
            let mark = move || is_late.set(true);
            set_timeout_with_handle(mark, Duration::from_millis(PATIENCE)).ok()
        });
        Effect::new(move |_| {
            let standing = by_part(&verdicts.get());
            store.dispatch(Message::Verdicts(standing, is_late.get()));
        });
        let is_open = Signal::derive(move || store.log().get() == LogPage::Duties);
        let rule = |large: Large, later: u8| Rule {
            is_open,
            small: SMALL,
            large,
            later,
        };
        let first = rule(Large::Always, priority::VERDICT);
        follow(job, first, move || ask(has_duties, Task::Duties));
        let then = rule(Large::WhileOpen, priority::LATER);
        follow(duties.worst, then, move || ask(has_duties, Task::Autonomy));
        duties
    }

    /// The last verdicts that are there. Tracked.
    pub fn verdicts(self) -> Option<Verdicts> {
        self.verdicts.get()
    }

    /// Reads of the last verdicts that are there, without being told of later ones.
    pub fn untracked<R>(self, f: impl FnOnce(&Verdicts) -> Option<R>) -> Option<R> {
        self.verdicts.with_untracked(|v| v.as_ref().and_then(f))
    }

    /// Whether the verdicts that are there are of an earlier plan. Tracked.
    pub fn is_out_of_date(self) -> bool {
        self.job.is_out_of_date()
    }

    /// How the check stands.
    pub fn status(self) -> Status {
        self.job.status()
    }

    /// How the `n`th duty of a load stands, and that in words. Tracked.
    pub fn of_duty(self, id: &PartId, n: usize) -> Option<(usize, Standing, String)> {
        self.verdicts.with(|verdicts| {
            let check = &verdicts.as_ref()?.check;
            let own = check.duties.iter().enumerate();
            let (at, verdict) = own.filter(|(_, v)| v.part == *id).nth(n)?;
            let standing = Standing::of(usize::from(verdict.kept), 1);
            Some((at, standing, verdict::of_duty(check, verdict)))
        })
    }

    /// Stops the check under way.
    pub fn stop(self) {
        self.job.stop();
    }

    /// Checks what is shown, though it was checked before.
    pub fn check_anew(self) {
        self.job.ask_anew(vec![Task::Duties], priority::VERDICT);
    }

    /// The search for the worst start and for what weather is survived.
    pub fn worst(self) -> Job<Worst> {
        self.worst
    }

    /// Searches for them, though that was done before.
    pub fn search_anew(self) {
        self.worst
            .ask_anew(vec![Task::Autonomy], priority::IN_SIGHT);
    }

    /// How long each duty holds from the moment shown, if that is known. Tracked.
    pub fn here(self) -> Option<Autonomy> {
        let answer = self.here.answer()?;
        let is_now = answer.value.from == self.store.moment().get();
        // Of another moment or another plan it would mislead.
        (is_now && !self.here.is_out_of_date()).then(|| answer.value.clone())
    }

    /// Asks how long duties hold from `moment`, once it has rested there for a little.
    pub fn ask_from(self, moment: Ms) -> Option<TimeoutHandle> {
        let ask = move || {
            self.here.ask(vec![Task::Holds(moment)], priority::IN_SIGHT);
        };
        set_timeout_with_handle(ask, Duration::from_millis(REST)).ok()
    }
}

/// What is asked where there are duties.
fn ask(has_duties: Memo<bool>, task: Task) -> Vec<Task> {
    match has_duties.get() {
        true => vec![task],
        false => Vec::new(),
    }
}

/// The check of a plan without duties.
fn no_check() -> Check {
    Check {
        for_ever: false,
        days: 0,
        repeats: None,
        duties: Vec::new(),
        differs: Vec::new(),
        problems: Vec::new(),
    }
}

/// The verdict is shown at once, its causes when they are there.
/// Takes a piece of an answer into the verdicts; it is shown at once.
pub fn take_verdict(verdicts: &mut Option<Verdicts>, piece: Answer, plan: &Plan) -> bool {
    match piece {
        Answer::Checked(check) => *verdicts = Some(Verdicts::new(*check, plan)),
        Answer::Causes(causes) => {
            if let Some(verdicts) = verdicts {
                verdicts.causes = Arc::new(causes);
            }
        }
        _ => {}
    }
    true
}

fn take_worst(worst: &mut Option<Worst>, piece: Answer, _: &Plan) -> bool {
    match piece {
        Answer::Worst(starts) => {
            *worst = Some(Worst {
                starts: *starts,
                weather: None,
            });
        }
        Answer::Autonomy(found) => {
            *worst = Some(Worst {
                starts: found.0,
                weather: Some(found.1),
            });
        }
        _ => {}
    }
    false
}

/// How the duties of each load stand.
fn by_part(verdicts: &Option<Verdicts>) -> BTreeMap<PartId, Standing> {
    let mut parts: BTreeMap<PartId, (usize, usize)> = BTreeMap::new();
    for verdict in verdicts.iter().flat_map(|v| &v.check.duties) {
        let (kept, all) = parts.entry(verdict.part.clone()).or_default();
        *kept += usize::from(verdict.kept);
        *all += 1;
    }
    let standing = |(id, (kept, all))| (id, Standing::of(kept, all));
    parts.into_iter().map(standing).collect()
}
