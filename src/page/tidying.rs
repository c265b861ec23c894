//! Laying a plan out anew: worked out beside the page, taken as one step once it is there.
//!
//! The editor says which parts, and drops a layout of a plan that is another by then.

use super::jobs::{Job, Jobs, State, Subject, priority};
use crate::editor::Message;
use crate::plan::Plan;
use crate::sheet::tidy::LaidOut;
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// Answers every wish of the editor for a layout from now on. Call it in the page's root.
pub fn start(jobs: Jobs) {
    let store = jobs.store();
    let job: Job<LaidOut> = Job::new(jobs, Subject::Document, take);
    Effect::new(move |_| {
        if let Some((parts, screen)) = store.tidies().get() {
            job.ask_anew(vec![Task::Tidy(parts, screen)], priority::AWAITED);
        }
    });
    Effect::new(move |_| {
        if let Some(answer) = job.answer() {
            untrack(|| store.dispatch(Message::Tidied(answer.value.clone())));
        }
    });
    Effect::new(move |_| {
        if let State::Failed(why) = job.status().state() {
            store.notice(format!("The plan can't be laid out: {why}."));
        }
    });
}

fn take(laid: &mut Option<LaidOut>, piece: Answer, _: &Plan) -> bool {
    if let Answer::LaidOut(found) = piece {
        *laid = Some(found);
    }
    false
}
