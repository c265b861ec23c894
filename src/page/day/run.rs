//! The run of what is shown: made anew after every change, at once where that takes less than a frame, else beside the
//! page. The old one stays, marked, until the new one is there.

use super::chart::Scale;
use crate::page::store::Store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Course, Extent, Journey, MOST_DAYS};
use crate::sheet::chart::Group;
use leptos::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How long a run may hold the page up, in milliseconds.
const FRAME: f64 = 8.0;
/// Events between two looks at the clock.
const PIECE: u64 = 250;

/// A run with the plan that it is of.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What happened.
    pub journey: Arc<Journey>,
    /// What was shown when it was asked for: [`Store::shown`].
    pub shown: u64,
}

/// The page's run. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Run {
    store: Store,
    told: RwSignal<Option<Told>>,
    extent: RwSignal<Extent>,
    progress: RwSignal<Option<(u64, u64)>>,
    failed: RwSignal<Option<String>>,
    scale: RwSignal<Scale>,
    folded: RwSignal<BTreeSet<Group>>,
    plays: RwSignal<bool>,
    clerk: Clerk,
}

/// The page's run, from the context that the frame provides.
pub fn use_run() -> Run {
    expect_context()
}

impl Run {
    /// Starts to follow what is shown.
    pub fn start(store: Store) -> Run {
        let run = Run {
            store,
            told: RwSignal::new(None),
            extent: RwSignal::new(Extent::Days(1)),
            progress: RwSignal::new(None),
            failed: RwSignal::new(None),
            scale: RwSignal::new(Scale::Whole),
            folded: RwSignal::new(BTreeSet::new()),
            plays: RwSignal::new(false),
            clerk: Clerk::new(),
        };
        Effect::new(move |_| {
            let (shown, extent) = (store.shown(), run.extent.get());
            run.make(shown, extent);
        });
        // A moment after the last day of the run is one that somebody wants to see: the run takes it in.
        Effect::new(move |_| {
            let moment = store.moment().get();
            let to = moment / store.with_shown(|plan| plan.world.day_ms()).max(1) + 1;
            let is_in = match run.extent.get_untracked() {
                Extent::Days(days) => to <= days,
                Extent::UntilRepeat => run.told.with_untracked(|t| {
                    let ended = |t: &Told| {
                        t.journey.record.complete && t.shown == untrack(|| store.shown())
                    };
                    !t.as_ref().is_some_and(ended) || moment < untrack(|| run.end())
                }),
            };
            if !is_in && to <= MOST_DAYS {
                run.extent.set(Extent::Days(to));
            }
        });
        run
    }

    /// The last run that is there. Tracked.
    pub fn told(self) -> Option<Told> {
        self.told.get()
    }

    /// The last run that is there, as a signal.
    pub fn signal(self) -> Signal<Option<Told>> {
        self.told.into()
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
            moment.set(end.saturating_sub(day) + shown % day.max(1));
        }
    }

    /// Whether a newer run than the one that is there is under way. Tracked.
    pub fn is_old(self) -> bool {
        self.progress.with(Option::is_some)
    }

    /// How many days of how many the run under way has done. Tracked.
    pub fn progress(self) -> Option<(u64, u64)> {
        self.progress.get()
    }

    /// Why there is no newer run. Tracked.
    pub fn failed(self) -> Option<String> {
        self.failed.get()
    }

    /// Where the run that is there ends; the end of the first day where there is none. Tracked.
    pub fn end(self) -> Ms {
        let told = self.told.with(|t| t.as_ref().map(|t| t.journey.record.end));
        told.unwrap_or_else(|| self.store.with_shown(|plan| plan.world.day_ms()))
    }

    /// How long a day of the run that is there is. Tracked.
    pub fn day(self) -> Ms {
        let told = self.told.with(|t| t.as_ref().map(|t| t.journey.day_ms));
        told.unwrap_or_else(|| self.store.with_shown(|plan| plan.world.day_ms()))
    }

    fn make(self, shown: u64, extent: Extent) {
        self.clerk.stop();
        self.failed.set(None);
        let at_once = self.store.with_shown(|plan| within_a_frame(plan, extent));
        if let Some(journey) = at_once {
            return self.put(journey, shown);
        }
        self.progress.set(Some((0, 1)));
        let hear = move |piece: Result<Answer, String>| match piece {
            Ok(Answer::Progress(done, of)) => self.progress.set(Some((done, of))),
            Ok(Answer::Day(journey)) => self.put(*journey, shown),
            Ok(_) => {}
            Err(why) => {
                self.progress.set(None);
                self.failed.set(Some(why));
            }
        };
        self.store
            .with_shown(|plan| self.clerk.ask(plan, Task::Day(extent), hear));
    }

    fn put(self, journey: Journey, shown: u64) {
        let follows = self.extent.get_untracked() == Extent::UntilRepeat;
        if follows && journey.record.complete {
            self.keep_in(journey.record.end, journey.day_ms);
        }
        let journey = Arc::new(journey);
        self.told.set(Some(Told { journey, shown }));
        self.progress.set(None);
    }
}

/// The run, if it takes less than a frame.
fn within_a_frame(plan: &Plan, extent: Extent) -> Option<Journey> {
    let clock = window().performance();
    let now = || clock.as_ref().map_or(0.0, web_sys::Performance::now);
    let start = now();
    let mut course = Course::new(plan, extent);
    while !course.go(PIECE) {
        if now() - start > FRAME {
            return None;
        }
    }
    Some(course.finish(plan))
}
