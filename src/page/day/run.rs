//! The run of what is shown: made anew after every change, on the page in slices where it is short, else beside the page.
//! The old one stays, marked, until the new one is there.
//!
//! A slice takes no longer than a part of a frame. Handing a run over from a worker takes as long as reading it, so a run
//! of a few frames is better made here.

use crate::page::jobs::{Job, Jobs, State, Subject, priority};
use crate::page::store::{Fingerprint, Store};
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Course, Extent, Journey, MOST_DAYS};
use crate::sheet::chart::Group;
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How fast it plays: minutes of the dial in a second, and what that is called.
pub(in crate::page) const SPEEDS: [(u32, &str); 5] = [
    (10, "10 minutes a second"),
    (60, "an hour a second"),
    (240, "4 hours a second"),
    (1440, "a day a second"),
    (10_080, "7 days a second"),
];
/// The speed at first, by its place among them.
const AT_FIRST: usize = 1;
/// How long a slice of a run may hold the page up, in milliseconds.
const SLICE: f64 = 5.0;
/// A run that is not over after so many slices goes on in a worker, from its beginning.
const SLICES: u32 = 30;
/// For so many slices the old run is not marked as old: a mark that comes and goes at once only disturbs.
const UNMARKED: u32 = 6;
/// So many parts' worth of events are gone through between two looks at the clock.
const PIECE: u64 = 20_000;

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
    /// Counts the runs that were begun: a slice of an earlier one is not gone on with.
    begun: StoredValue<u64>,
    /// Whether a run is made in slices now.
    is_sliced: RwSignal<bool>,
    answer: Memo<Option<DayAnswer>>,
    extent: RwSignal<Extent>,
    scale: RwSignal<Scale>,
    folded: RwSignal<BTreeSet<Group>>,
    plays: RwSignal<bool>,
    speed: RwSignal<u32>,
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
        // A run says no names: it stays what it is where a part is called otherwise.
        let power = Memo::new(move |_| {
            store.shown();
            let thrown = store.with_shown(|plan| plan.by_hand.clone());
            (jobs.fingerprint(Subject::Shown).0, thrown)
        });
        let run = Run {
            store,
            job,
            begun: StoredValue::new(0),
            is_sliced: RwSignal::new(false),
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
            speed: RwSignal::new(SPEEDS[AT_FIRST].0),
        };
        Effect::new(move |_| {
            store.opened();
            // Read, not only tracked: a memo that nobody reads is never worked out.
            power.get();
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
                    let is_of = |a: DayAnswer| a.fingerprint.0 == power.get_untracked().0;
                    let is_of_now = run.answer.get().is_some_and(is_of);
                    !is_ended || !is_of_now || moment < run.end()
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

    /// How fast, in minutes of the dial a second.
    pub fn speed(self) -> RwSignal<u32> {
        self.speed
    }

    /// Plays so many speeds faster, or slower where that is less than 0; what the speed is called then.
    pub fn faster(self, by: isize) -> &'static str {
        let now = self.speed.get_untracked();
        let now = SPEEDS.iter().position(|(speed, _)| *speed == now);
        let next = now.unwrap_or(AT_FIRST).saturating_add_signed(by);
        let (speed, name) = SPEEDS[next.min(SPEEDS.len() - 1)];
        self.speed.set(speed);
        name
    }

    /// Plays on, from the beginning where the end is shown; or stops.
    pub fn turn_play(self) {
        let at_end =
            self.store.moment().get_untracked() >= untrack(|| self.end()).saturating_sub(1);
        if !self.plays.get_untracked() && at_end {
            self.store.go_to(0);
        }
        self.plays.update(|plays| *plays = !*plays);
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
        self.is_sliced.get() || self.job.status().is_running()
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

    /// Makes the run of what is shown now.
    fn make(self, extent: Extent) {
        self.begun.update_value(|n| *n += 1);
        self.job.stop_out_of_date();
        let plan = self.store.snapshot();
        let Some(course) = self.store.with(|editor| {
            // The board has compiled the plan already.
            Some(Course::of(editor.prepared()?, &plan, extent))
        }) else {
            return self.make_beside(&plan, extent);
        };
        self.go_on(
            course,
            Making {
                plan,
                extent,
                number: self.begun.get_value(),
                slices: 0,
            },
        );
    }

    /// Goes on with a run that is made here.
    fn go_on(self, mut course: Course, making: Making) {
        if self.begun.try_get_value() != Some(making.number) {
            return;
        }
        let clock = window().performance();
        let now = || clock.as_ref().map_or(0.0, web_sys::Performance::now);
        let start = now();
        let events = PIECE / making.plan.parts.len().max(100) as u64;
        loop {
            if course.go(events) {
                self.is_sliced.set(false);
                let journey = course.finish(&making.plan);
                let by_hand = making.plan.by_hand.clone();
                let tasks = vec![Task::Day(making.extent, by_hand)];
                return self.job.put(Arc::new(journey), tasks);
            }
            if now() - start > SLICE {
                break;
            }
        }
        if making.slices == UNMARKED {
            self.is_sliced.set(true);
        }
        if making.slices == SLICES {
            return self.make_beside(&making.plan, making.extent);
        }
        let making = Making {
            slices: making.slices + 1,
            ..making
        };
        request_animation_frame(move || self.go_on(course, making));
    }

    /// Has the run made in a worker.
    fn make_beside(self, plan: &Plan, extent: Extent) {
        self.is_sliced.set(false);
        let task = Task::Day(extent, plan.by_hand.clone());
        self.job.ask(vec![task], priority::DAY);
    }
}

/// A run that is made in slices.
struct Making {
    plan: Arc<Plan>,
    extent: Extent,
    /// Which of those that were begun.
    number: u64,
    /// How many are done.
    slices: u32,
}
