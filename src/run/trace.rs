//! What a run leaves behind for whoever judges it by its loads alone: when they ran, how contacts changed, and when any
//! change was pending. Less than a record and sooner made. Times in milliseconds.

use super::engine::Engine;
use super::event::What;
use super::recorder::Turns;
use crate::quantity::Ms;
use std::collections::BTreeMap;

/// The loads and contacts of a run, by their parts' places in the plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trace {
    /// When each load ran: `[from, to)`.
    pub runs: BTreeMap<usize, Vec<(Ms, Ms)>>,
    /// Every change of a contact, in the order of time.
    pub changes: Vec<(Ms, usize)>,
    /// When changes were pending: from the solve that left one to the solve that left none, or to the end.
    pub busy: Vec<(Ms, Ms)>,
    /// Whether a contact chattered.
    pub chattered: bool,
    /// In how many milliseconds something happened.
    pub events: u64,
}

impl Engine {
    /// The trace of a run up to `end`; empty but for the events where nothing was kept.
    pub fn into_trace(mut self, end: Ms) -> Trace {
        let mut trace = Trace {
            events: self.events(),
            chattered: !self.chattered.is_empty(),
            ..Trace::default()
        };
        let Some(recorder) = self.recorder.take() else {
            return trace;
        };
        let busy = recorder.busy().iter();
        trace.busy = busy
            .map(|(from, to)| (*from, to.unwrap_or(end.max(*from))))
            .collect();
        let mut turns: BTreeMap<usize, Turns> = recorder.turns;
        for event in &recorder.events {
            match event.what {
                What::Runs | What::Stops => {
                    if let Some(turns) = turns.get_mut(&event.place()).filter(|_| event.t < end) {
                        turns.turn(event.t, event.what == What::Runs);
                    }
                }
                _ => trace.changes.push((event.t, event.place())),
            }
        }
        let turns = turns.into_iter();
        trace.runs = turns
            .map(|(part, turns)| (part, turns.close(end)))
            .collect();
        trace
    }
}
