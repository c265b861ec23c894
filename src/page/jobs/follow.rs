//! Asks a job by itself: after every change of what answers depend on, and when its page of the log is opened.

use super::{Job, priority};
use crate::worker::Task;
use leptos::prelude::*;
use std::time::Duration;

/// Plans of up to so many parts are kept proven as one types; larger ones are asked about on request.
pub const SMALL: usize = 200;

/// Changes that come sooner after each other than this are one, in milliseconds.
const REST: u64 = 25;

/// When a large plan is asked about without a button.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Large {
    /// After every change, like a small one.
    Always,
    /// After every change while its page is open.
    WhileOpen,
    /// When its page is open and nothing was asked yet.
    WhenBlank,
}

/// When a job is asked by itself.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Whether what shows it is open.
    pub is_open: Signal<bool>,
    /// Plans of up to so many parts are small: they are asked about after every change.
    pub small: usize,
    /// The others.
    pub large: Large,
    /// How urgent it is while nobody looks.
    pub later: u8,
}

/// Asks `job` what `tasks` says whenever that or the plan is another, the newest alone; nothing where there are none.
pub fn follow<T: Clone + Send + Sync + 'static>(
    job: Job<T>,
    rule: Rule,
    tasks: impl Fn() -> Vec<Task> + Copy + Send + Sync + 'static,
) {
    let jobs = job.jobs();
    let store = jobs.store();
    let is_open = Memo::new(move |_| rule.is_open.get());
    Effect::new(move |before: Option<Option<TimeoutHandle>>| {
        before.flatten().inspect(TimeoutHandle::clear);
        store.opened();
        jobs.fingerprint(job.subject());
        let (is_open, tasks) = (is_open.get(), tasks());
        if tasks.is_empty() {
            job.clear();
            return None;
        }
        let is_asked = jobs.parts(job.subject()) <= rule.small
            || match rule.large {
                Large::Always => true,
                Large::WhileOpen => is_open,
                Large::WhenBlank => is_open && job.is_blank(),
            };
        if !is_asked {
            if rule.large == Large::WhileOpen {
                job.leave();
            }
            job.forget_end();
            return None;
        }
        job.stop_out_of_date();
        let priority = match is_open {
            true => rule.later.min(priority::IN_SIGHT),
            false => rule.later,
        };
        let ask = move || job.ask(tasks.clone(), priority);
        set_timeout_with_handle(ask, Duration::from_millis(REST)).ok()
    });
}
