//! The run of what is shown: made anew after every change, at once where that takes less than a frame, else beside the
//! page. The old one stays, marked, until the new one is there.

use crate::editor::Editor;
use crate::page::jobs::{Job, Jobs, State, Subject, priority};
use crate::page::store::{Fingerprint, Store};
use crate::quantity::Ms;
use crate::run::{Course, Extent, Journey, MOST_DAYS};
use crate::sheet::chart::Group;
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How long a run may hold the page up, in milliseconds.
const FRAME: f64 = 6.0;
/// So many parts' worth of events are gone through between two looks at the clock.
const PIECE: u64 = 20_000;
/// A plan of more parts is not even begun on the page.
const MOST_PARTS: usize = 1_000;

/// A run with the plan that it is of.
#[derive(Clone, Debug)]
pub struct DayAnswer {
    /// What happened.
    pub journey: Arc<Journey>,
    /// The plan's fingerprint.
    pub fingerprint: Fingerprint,
}

impl PartialEq for DayAnswer {
    /// Whether it is the very same run: what happened in two of them is not compared.
    fn eq(&self, other: &DayAnswer) -> bool {
        Arc::ptr_eq(&self.journey, &other.journey) && self.fingerprint == other.fingerprint
    }
}

/// How much of the run the chart shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// All of it.
    Whole,
    /// So many minutes of the dial, those around the cursor.
    Minutes(u32),
}

/// The page's run. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Run {
    store: Store,
    job: Job<Arc<Journey>>,
    answer: Memo<Option<DayAnswer>>,
    extent: RwSignal<Extent>,
    scale: RwSignal<Scale>,
    folded: RwSignal<BTreeSet<Group>>,
    plays: RwSignal<bool>,
}

/// The page's run, from the context that the frame provides.
pub fn use_run() -> Run {
    expect_context()
}

impl Run {
    /// Starts to follow what is shown.
    pub fn start(jobs: Jobs) -> Run {
        let store = jobs.store();
        let job = Job::new(jobs, Subject::Shown, |journey, piece, _| {
            if let Answer::Day(found) = piece {
                *journey = Some(Arc::new(*found));
            }
            false
        });
        let run = Run {
            store,
            job,
            answer: Memo::new(move |_| {
                job.answer().map(|answer| DayAnswer {
                    journey: answer.value.clone(),
                    fingerprint: answer.fingerprint,
                })
            }),
            extent: RwSignal::new(Extent::Days(1)),
            scale: RwSignal::new(Scale::Whole),
            folded: RwSignal::new(BTreeSet::new()),
            plays: RwSignal::new(false),
        };
        Effect::new(move |_| {
            store.opened();
            jobs.fingerprint(Subject::Shown);
            run.make(run.extent.get());
        });
        // A run that ends where its days repeat has no moment behind that.
        Effect::new(move |_| {
            let Some(answer) = run.answer.get() else {
                return;
            };
            let record = &answer.journey.record;
            if run.extent.get_untracked() == Extent::UntilRepeat && record.complete {
                run.keep_in(record.end, answer.journey.day_ms);
            }
        });
        // A moment after the last day of the run is one that somebody wants to see: the run takes it in.
        Effect::new(move |_| {
            let moment = store.moment().get();
            let to = moment / store.with_shown(|plan| plan.world.day_ms()).max(1) + 1;
            let is_in = match run.extent.get_untracked() {
                Extent::Days(days) => to <= days,
                Extent::UntilRepeat => untrack(|| {
                    let is_ended = |a: DayAnswer| a.journey.record.complete;
                    let is_ended = run.answer.get().is_some_and(is_ended);
                    !is_ended || run.job.is_out_of_date() || moment < run.end()
                }),
            };
            if !is_in && to <= MOST_DAYS {
                run.extent.set(Extent::Days(to));
            }
        });
        run
    }

    /// The last run that is there. Tracked.
    pub fn answer(self) -> Option<DayAnswer> {
        self.answer.get()
    }

    /// The last run that is there, as a signal.
    pub fn signal(self) -> Signal<Option<DayAnswer>> {
        self.answer.into()
    }

    /// How far the run goes.
    pub fn extent(self) -> Signal<Extent> {
        self.extent.into()
    }

    /// How much of the run the chart shows.
    pub fn scale(self) -> RwSignal<Scale> {
        self.scale
    }

    /// The groups of lanes that are folded.
    pub fn folded(self) -> RwSignal<BTreeSet<Group>> {
        self.folded
    }

    /// Whether the cursor is played on.
    pub fn plays(self) -> RwSignal<bool> {
        self.plays
    }

    /// Runs so far; a moment that is later goes to the same time of the last day.
    pub fn go_to(self, extent: Extent) {
        if let Extent::Days(days) = extent {
            let day = self.store.with_shown(|plan| plan.world.day_ms());
            self.keep_in(days.saturating_mul(day), day);
        }
        self.extent.set(extent);
    }

    /// Keeps the moment shown before `end`, on the last day at the latest.
    fn keep_in(self, end: Ms, day: Ms) {
        let moment = self.store.moment();
        let shown = moment.get_untracked();
        if shown >= end {
            self.store
                .go_to(end.saturating_sub(day) + shown % day.max(1));
        }
    }

    /// Whether a newer run than the one that is there is under way. Tracked.
    pub fn is_out_of_date(self) -> bool {
        self.job.status().is_running()
    }

    /// How many days of how many the run under way has done. Tracked.
    pub fn progress(self) -> Option<(u64, u64)> {
        let status = self.job.status();
        status.is_running().then(|| status.progress())
    }

    /// Why there is no newer run. Tracked.
    pub fn failed(self) -> Option<String> {
        match self.job.status().state() {
            State::Failed(why) => Some(why),
            _ => None,
        }
    }

    /// Where the run that is there ends; the end of the first day where there is none. Tracked.
    pub fn end(self) -> Ms {
        let end = (self.answer).with(|a| a.as_ref().map(|a| a.journey.record.end));
        end.unwrap_or_else(|| self.store.with_shown(|plan| plan.world.day_ms()))
    }

    /// How long a day of the run that is there is. Tracked.
    pub fn day(self) -> Ms {
        let day = (self.answer).with(|a| a.as_ref().map(|a| a.journey.day_ms));
        day.unwrap_or_else(|| self.store.with_shown(|plan| plan.world.day_ms()))
    }

    fn make(self, extent: Extent) {
        let tasks = vec![Task::Day(extent)];
        match self.store.with(|editor| within_a_frame(editor, extent)) {
            Some(journey) => self.job.put(Arc::new(journey), tasks),
            None => self.job.ask(tasks, priority::DAY),
        }
    }
}

/// The run, if it takes less than a frame.
fn within_a_frame(editor: &Editor, extent: Extent) -> Option<Journey> {
    let plan = editor.shown();
    if plan.parts.len() > MOST_PARTS {
        return None;
    }
    let clock = window().performance();
    let now = || clock.as_ref().map_or(0.0, web_sys::Performance::now);
    let start = now();
    let events = PIECE / plan.parts.len().max(100) as u64;
    // The board has compiled the plan already.
    let mut course = Course::of(editor.prepared()?, plan, extent);
    while !course.go(events) {
        if now() - start > FRAME {
            return None;
        }
    }
    Some(course.finish(plan))
}
