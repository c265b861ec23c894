//! One kind of job: asked about a plan, it keeps what is found, how far it is, and of which plan that is.

use super::pool::now;
use super::{Jobs, Reply, Subject};
use crate::page::store::Fingerprint;
use crate::plan::Plan;
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::sync::Arc;

/// What is found so far is shown so often, in milliseconds; what is whole at once.
const SHOW: f64 = 250.0;

/// So many earlier answers are kept, for undo and for the end of a trial.
const RECENT: usize = 3;

/// How a job stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum State {
    /// Not asked yet.
    #[default]
    Idle,
    /// Under way.
    Running,
    /// Answered whole.
    Complete,
    /// Stopped by the user.
    Stopped,
    /// There is no answer, for this reason.
    Failed(String),
}

/// An answer, whole or so far, with what it is an answer to.
#[derive(Debug)]
pub struct Answered<T> {
    /// What is found.
    pub value: T,
    /// The plan that was asked about.
    pub plan: Arc<Plan>,
    /// Its fingerprint.
    pub fingerprint: Fingerprint,
    /// What was asked.
    pub tasks: Arc<Vec<Task>>,
    /// Whether nothing more comes.
    pub complete: bool,
}

/// What is under way.
struct Under<T> {
    plan: Arc<Plan>,
    fingerprint: Fingerprint,
    tasks: Arc<Vec<Task>>,
    /// The numbers of the questions, and how far each is; one that is over is 0.
    numbers: Vec<u64>,
    progress: Vec<(u64, u64)>,
    left: usize,
    priority: u8,
    draft: Option<T>,
    shown: f64,
}

/// How a job stands, whatever its answers are. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Status {
    state: RwSignal<State>,
    progress: RwSignal<(u64, u64)>,
}

impl Status {
    /// How it stands. Tracked.
    pub fn state(self) -> State {
        self.state.get()
    }

    /// Whether it is under way. Tracked.
    pub fn is_running(self) -> bool {
        self.state.with(|s| *s == State::Running)
    }

    /// How far it is, and of how much; of nothing while that is not known. Tracked.
    pub fn progress(self) -> (u64, u64) {
        self.progress.get()
    }

    /// Why it has not come to its end, in a sentence. Tracked.
    pub fn says(self) -> Option<String> {
        match self.state.get() {
            State::Stopped => Some("Stopped. There may be more to find.".into()),
            State::Failed(why) => Some(format!("Not worked out: {why}.")),
            State::Idle | State::Running | State::Complete => None,
        }
    }
}

/// Takes a piece into what is found so far; whether that is to be shown at once.
type Take<T> = fn(&mut Option<T>, Answer, &Plan) -> bool;

/// A job. Cheap to copy; lives as long as the scope that made it.
pub struct Job<T: Send + Sync + 'static> {
    jobs: Jobs,
    subject: Subject,
    take: Take<T>,
    answer: RwSignal<Option<Arc<Answered<T>>>>,
    status: Status,
    under: StoredValue<Option<Under<T>>>,
    /// What was asked last.
    asked: StoredValue<Option<(Fingerprint, Arc<Vec<Task>>)>>,
    recent: StoredValue<Vec<Arc<Answered<T>>>>,
    /// Which of the plans that were opened all of that is about.
    opened: StoredValue<u64>,
}

impl<T: Send + Sync + 'static> Clone for Job<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Send + Sync + 'static> Copy for Job<T> {}

impl<T: Clone + Send + Sync + 'static> Job<T> {
    /// A job about a subject. `take` takes a piece of an answer into what is found so far, and says whether that is to be
    /// shown at once.
    pub fn new(jobs: Jobs, subject: Subject, take: Take<T>) -> Job<T> {
        let store = jobs.store();
        let job = Job {
            jobs,
            subject,
            take,
            answer: RwSignal::new(None),
            status: Status {
                state: RwSignal::default(),
                progress: RwSignal::default(),
            },
            under: StoredValue::new(None),
            asked: StoredValue::new(None),
            recent: StoredValue::default(),
            opened: StoredValue::new(untrack(|| store.opened())),
        };
        Effect::new(move |_| {
            store.opened();
            job.renew();
        });
        on_cleanup(move || job.drop_question());
        job
    }

    /// What jobs share.
    pub fn jobs(self) -> Jobs {
        self.jobs
    }

    /// The plan that it is about.
    pub fn subject(self) -> Subject {
        self.subject
    }

    /// How it stands.
    pub fn status(self) -> Status {
        self.status
    }

    /// The last answer, whole or so far. Tracked.
    pub fn answer(self) -> Option<Arc<Answered<T>>> {
        self.answer.get()
    }

    /// Whether it was never asked, and has no answer. Tracked.
    pub fn is_blank(self) -> bool {
        self.answer.with(Option::is_none) && self.status.state.with(|s| *s == State::Idle)
    }

    /// Whether its answer is of an earlier plan. Tracked.
    pub fn is_out_of_date(self) -> bool {
        let now = self.jobs.fingerprint(self.subject);
        let is_other = |a: &Arc<Answered<T>>| a.fingerprint != now;
        self.answer.with(|a| a.as_ref().is_some_and(is_other))
    }

    /// Asks about the subject as it is now, unless just that was asked before.
    pub fn ask(self, tasks: Vec<Task>, priority: u8) {
        self.renew();
        let fingerprint = untrack(|| self.jobs.fingerprint(self.subject));
        if self.has_asked(fingerprint, &tasks, priority) {
            return;
        }
        self.begin(self.jobs.plan(self.subject), fingerprint, tasks, priority);
    }

    /// Asks about the subject as it is now, though just that was asked before.
    pub fn ask_anew(self, tasks: Vec<Task>, priority: u8) {
        self.renew();
        let fingerprint = untrack(|| self.jobs.fingerprint(self.subject));
        self.begin(self.jobs.plan(self.subject), fingerprint, tasks, priority);
    }

    /// Asks about some plan.
    pub fn ask_about(self, plan: Arc<Plan>, tasks: Vec<Task>, priority: u8) {
        self.renew();
        let fingerprint = self.jobs.fingerprint_of(&plan);
        self.begin(plan, fingerprint, tasks, priority);
    }

    /// Has an answer that was found without a worker.
    pub fn put(self, value: T, tasks: Vec<Task>) {
        self.renew();
        self.drop_question();
        let fingerprint = untrack(|| self.jobs.fingerprint(self.subject));
        self.answer.set(Some(Arc::new(Answered {
            value,
            plan: self.jobs.plan(self.subject),
            fingerprint,
            tasks: Arc::new(tasks),
            complete: true,
        })));
        self.status.state.set(State::Complete);
    }

    /// Stops at the user's wish; what was found stays.
    pub fn stop(self) {
        if self.under.with_value(Option::is_some) {
            self.show(false);
            self.drop_question();
            self.status.state.set(State::Stopped);
        }
    }

    /// Stops what is under way if it is no longer about the subject as it is now. That it runs is still said: whoever calls
    /// this asks again soon.
    pub fn stop_out_of_date(self) {
        let now = untrack(|| self.jobs.fingerprint(self.subject));
        let is_other = |u: &Option<Under<T>>| u.as_ref().is_some_and(|u| u.fingerprint != now);
        if self.under.with_value(is_other) {
            self.drop_question();
        }
    }

    /// Leaves what is under way, to be asked again another time; what was found stays.
    pub fn leave(self) {
        if self.under.with_value(Option::is_some) {
            self.drop_question();
            self.asked.set_value(None);
            self.status.state.set(State::Idle);
        }
    }

    /// Forgets that it was stopped or failed, where that was about an earlier plan; what was found stays.
    pub fn forget_end(self) {
        let now = untrack(|| self.jobs.fingerprint(self.subject));
        let is_other = |asked: &Option<(Fingerprint, Arc<Vec<Task>>)>| {
            asked.as_ref().is_some_and(|(of, _)| *of != now)
        };
        let is_ended = |s: &State| matches!(s, State::Stopped | State::Failed(_));
        if self.asked.with_value(is_other) && self.status.state.with_untracked(is_ended) {
            self.status.state.set(State::Idle);
        }
    }

    /// Forgets everything.
    pub fn clear(self) {
        self.drop_question();
        self.asked.set_value(None);
        self.recent.set_value(Vec::new());
        self.answer.set(None);
        self.status.state.set(State::Idle);
    }

    /// Forgets everything where another plan was opened: what was found of one says nothing of another.
    fn renew(self) {
        let opened = untrack(|| self.jobs.store().opened());
        if self.opened.get_value() != opened {
            self.opened.set_value(opened);
            self.clear();
        }
    }

    /// Whether just this is under way, stopped or answered; an earlier answer is shown again.
    fn has_asked(self, fingerprint: Fingerprint, tasks: &[Task], priority: u8) -> bool {
        let is_same = |of: Fingerprint, asked: &[Task]| of == fingerprint && asked == tasks;
        let under = self.under.with_value(|under| {
            let under = under.as_ref()?;
            is_same(under.fingerprint, &under.tasks).then(|| under.numbers.clone())
        });
        if let Some(numbers) = under {
            for number in numbers {
                self.jobs.pool.prefer(number, priority);
            }
            return true;
        }
        let is_known = |a: &&Arc<Answered<T>>| a.complete && is_same(a.fingerprint, &a.tasks);
        let shown = (self.answer).with_untracked(|a| a.iter().find(is_known).cloned());
        let recent = || (self.recent).with_value(|all| all.iter().find(is_known).cloned());
        if let Some(answer) = shown.or_else(recent) {
            self.drop_question();
            self.answer.set(Some(answer));
            self.status.state.set(State::Complete);
            return true;
        }
        // What was stopped is not begun again by itself.
        let is_ended = |s: &State| matches!(s, State::Stopped | State::Failed(_));
        let was_asked = |a: &Option<(Fingerprint, Arc<Vec<Task>>)>| {
            a.as_ref().is_some_and(|(of, asked)| is_same(*of, asked))
        };
        self.status.state.with_untracked(is_ended) && self.asked.with_value(was_asked)
    }

    fn begin(self, plan: Arc<Plan>, fingerprint: Fingerprint, tasks: Vec<Task>, priority: u8) {
        self.drop_question();
        let tasks = Arc::new(tasks);
        self.under.set_value(Some(Under {
            plan: plan.clone(),
            fingerprint,
            tasks: tasks.clone(),
            numbers: Vec::new(),
            progress: vec![(0, 0); tasks.len()],
            left: tasks.len(),
            priority,
            draft: None,
            shown: now(),
        }));
        self.asked.set_value(Some((fingerprint, tasks.clone())));
        self.status.progress.set((0, 0));
        self.status.state.set(State::Running);
        for (at, task) in tasks.iter().enumerate() {
            let hear = move |heard| self.hear(at, heard);
            let about = (&plan, fingerprint);
            let number = self.jobs.pool.ask(task.clone(), about, priority, hear);
            self.under
                .update_value(|under| under.iter_mut().for_each(|u| u.numbers.push(number)));
        }
    }

    fn hear(self, at: usize, reply: Reply) {
        // Nobody listens any more where the scope that made it is gone.
        if self.under.try_with_value(|_| ()).is_none() {
            return;
        }
        match reply {
            Reply::Piece(Answer::Progress(done, of)) => {
                self.under.update_value(|under| {
                    if let Some(progress) = under.as_mut().and_then(|u| u.progress.get_mut(at)) {
                        *progress = (done, of);
                    }
                });
                self.show_progress();
            }
            Reply::Piece(piece) => self.take_piece(piece),
            Reply::Failed(why) => {
                self.drop_question();
                self.status.state.set(State::Failed(why));
            }
            // One share alone can't be taken back: all begin anew.
            Reply::Anew => {
                let again = self.under.try_update_value(|under| {
                    let u = under.as_ref()?;
                    Some((u.plan.clone(), u.fingerprint, u.tasks.to_vec(), u.priority))
                });
                if let Some((plan, fingerprint, tasks, priority)) = again.flatten() {
                    self.begin(plan, fingerprint, tasks, priority);
                }
            }
        }
    }

    fn take_piece(self, piece: Answer) {
        let is_last = piece.is_last();
        let show = self.under.try_update_value(|under| {
            let under = under.as_mut()?;
            let at_once = (self.take)(&mut under.draft, piece, &under.plan);
            under.left -= usize::from(is_last);
            let is_time = now() - under.shown >= SHOW;
            Some((under.left == 0, at_once || is_time))
        });
        match show.flatten() {
            Some((true, _)) => {
                self.show(true);
                self.under.set_value(None);
                self.status.state.set(State::Complete);
            }
            Some((false, true)) => self.show(false),
            _ => {}
        }
    }

    /// Shows what is found so far, or all of it.
    fn show(self, complete: bool) {
        let answer = self.under.try_update_value(|under| {
            let under = under.as_mut()?;
            under.shown = now();
            let value = match complete {
                true => under.draft.take(),
                false => under.draft.clone(),
            };
            Some(Arc::new(Answered {
                value: value?,
                plan: under.plan.clone(),
                fingerprint: under.fingerprint,
                tasks: under.tasks.clone(),
                complete,
            }))
        });
        let Some(answer) = answer.flatten() else {
            return;
        };
        if complete {
            self.recent.update_value(|recent| {
                recent.push(answer.clone());
                if recent.len() > RECENT {
                    recent.remove(0);
                }
            });
        }
        self.answer.set(Some(answer));
    }

    fn show_progress(self) {
        let sum = self.under.with_value(|under| {
            let all = under.iter().flat_map(|u| &u.progress);
            all.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
        });
        if self.status.progress.get_untracked() != sum {
            self.status.progress.set(sum);
        }
    }

    /// Ends the question under way, unheard.
    fn drop_question(self) {
        let under = self.under.try_update_value(Option::take).flatten();
        for number in under.iter().flat_map(|u| &u.numbers) {
            self.jobs.pool.stop(*number);
        }
    }
}
