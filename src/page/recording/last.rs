//! What a recording says of the moment shown: the time on the dial, and what happened last, or what a walk that is followed
//! says.

use crate::page::day::Run;
use crate::page::store::Store;
use crate::plan::WalkQuestion;
use crate::sheet::events_said::{Caption, caption};
use crate::sheet::words::to_the_second;
use leptos::prelude::*;

/// What is said.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Last {
    /// The time on the dial.
    pub time: String,
    /// What happened last; none before the first event.
    pub caption: Option<Caption>,
    /// The text of the walk's step, which stands in its place.
    pub walk: Option<String>,
    /// What that step asks, its answers numbered.
    pub asks: Option<String>,
}

/// What is said of the moment shown. Tracked.
pub(super) fn last(store: Store, run: Run) -> Last {
    store.worded();
    let moment = store.moment().get();
    let caption = run
        .answer()
        .and_then(|answer| store.with_shown(|plan| caption(plan, &answer.journey.record, moment)));
    let step = store.walk_step();
    let question = step.as_ref().and_then(|step| step.question.as_ref());
    Last {
        time: to_the_second(moment, run.day()),
        caption,
        asks: question.map(WalkQuestion::read_out),
        walk: step.map(|step| step.says),
    }
}
