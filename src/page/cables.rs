//! The cable schedule of the open plan, asked for while something shows it: the window *Build*, or the details of a wire.

use super::jobs::{Job, Jobs, Large, Rule, Shown, Subject, follow, priority};
use super::keeping::browser;
use crate::editor::Message;
use crate::plan::WireId;
use crate::worker::{Answer, Task};
use crate::works::{Cable, CableSchedule};
use leptos::prelude::*;

/// The schedule. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct CablesJob {
    job: Job<CableSchedule>,
    /// How many places show it.
    shown: Shown,
    /// Whether the board shows the cables' numbers.
    numbers: RwSignal<bool>,
}

/// Under which name the browser keeps whether the board shows the numbers.
const NUMBERS: &str = "cables/numbers";

/// The schedule, from the context that the page's second part provides.
pub fn use_cables() -> CablesJob {
    expect_context()
}

impl CablesJob {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs) -> CablesJob {
        let store = jobs.store();
        let cables = CablesJob {
            job: Job::new(jobs, Subject::Built, |schedule, piece, _| {
                if let Answer::Cables(all) = piece {
                    *schedule = Some(*all);
                }
                true
            }),
            shown: Shown::new(),
            numbers: RwSignal::new(browser::read(NUMBERS).is_some()),
        };
        Effect::new(move || {
            store.dispatch(Message::NumberCables(cables.numbers.get()));
        });
        let has_wires = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| !plan.wires.is_empty())
        });
        let rule = Rule {
            is_open: Signal::derive(move || cables.shown.is_any()),
            small: 0,
            large: Large::WhileOpen,
            later: priority::IN_SIGHT,
        };
        follow(cables.job, rule, move || match has_wires.get() {
            true => vec![Task::Cables],
            false => Vec::new(),
        });
        cables
    }

    /// Has it asked for as long as the scope lasts in which this is called.
    pub fn show(self) {
        self.shown.count();
    }

    /// Whether the board shows the cables' numbers. Tracked.
    pub fn has_numbers(self) -> bool {
        self.numbers.get()
    }

    /// Has the board show the cables' numbers, or not, also at the next visit.
    pub fn show_numbers(self, on: bool) {
        self.numbers.set(on);
        match on {
            // What can't be kept can be chosen again.
            true => drop(browser::write(NUMBERS, "yes")),
            false => browser::remove(NUMBERS),
        }
    }

    /// The job.
    pub fn job(self) -> Job<CableSchedule> {
        self.job
    }

    /// Asks again after it was stopped or failed.
    pub fn again(self) {
        self.job.ask_anew(vec![Task::Cables], priority::IN_SIGHT);
    }

    /// One cable, as of the last answer. Tracked.
    pub fn cable(self, wire: &WireId) -> Option<Cable> {
        let answer = self.job.answer()?;
        let found = answer.value.cables.iter().find(|cable| cable.wire == *wire);
        found.cloned()
    }
}
