//! The least sources and batteries, and what each has to spare: what the searches have found so far is told as it comes.

use super::host::Host;
use super::task::Answer;
use crate::plan::Plan;
use crate::proof::sizes::{self, Ask, Progress};

/// After how many runs a search is heard of, if it finds nothing.
const RUNS: u64 = 25;

/// The least that keeps every duty.
pub(super) fn least(plan: &Plan, ask: &Ask, host: &dyn Host) {
    let mut said: Option<Progress> = None;
    let found = sizes::sizes(plan, ask, &mut |progress| {
        let is_news = said
            .as_ref()
            .is_none_or(|t| progress.worth != t.worth || progress.runs.0 >= t.runs.0 + RUNS);
        if is_news {
            said = Some(progress.clone());
            host.say(Answer::Sizing(Box::new(progress.clone())));
        }
        true
    });
    host.say(Answer::Sized(Box::new(found)));
}

/// What each source and battery has to spare.
pub(super) fn spare(plan: &Plan, host: &dyn Host) {
    let of = sizes::banks(plan);
    let (mut said, mut all) = ((0, 0), 0);
    let found = sizes::spares(plan, &mut |found, runs| {
        all = runs;
        // The whole of it is the last piece, which comes below.
        if found.len() < of && (found.len() > said.0 || runs >= said.1 + RUNS) {
            said = (found.len(), runs);
            host.say(Answer::Spare(found.to_vec(), of, runs));
        }
        true
    });
    host.say(Answer::Spare(found, of, all));
}
