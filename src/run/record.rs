//! What a run leaves behind: events, when loads ran and contacts conducted, levels, energies. All exact; the times in
//! milliseconds, energies in [`Energy`], shown in unit-hours only by the faces.

use super::engine::Engine;
use crate::net::Problem;
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What happened to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum What {
    /// A contact opens.
    Opens,
    /// A contact closes.
    Closes,
    /// A contact chatters, and is held open until midnight.
    Chatters,
    /// A battery is full.
    Full,
    /// A battery's output goes off.
    OutputOff,
    /// A battery's output goes on.
    OutputOn,
    /// A load starts.
    Runs,
    /// A load stops.
    Stops,
}

impl What {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            What::Opens => "opens",
            What::Closes => "closes",
            What::Chatters => "chatters",
            What::Full => "full",
            What::OutputOff => "output-off",
            What::OutputOn => "output-on",
            What::Runs => "runs",
            What::Stops => "stops",
        }
    }
}

/// One event of a run. A run may have millions of them, so they are kept small.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Event {
    /// When, in milliseconds since midnight of day 1.
    pub t: Ms,
    /// To which part, by its place in the plan: [`Event::place`].
    pub part: u32,
    /// What.
    pub what: What,
}

impl Event {
    /// The part's place in the plan.
    pub fn place(&self) -> usize {
        self.part as usize
    }
}

/// A load over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LoadRecord {
    /// When it ran: `[from, to)`.
    pub runs: Vec<(Ms, Ms)>,
    /// What it used while it ran.
    pub energy: Energy,
    /// When it was short, offered something but less than it draws: `[from, to)`.
    pub short: Vec<(Ms, Ms)>,
}

/// A battery over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BatteryRecord {
    /// Its level at t = 0, wherever the slope changes, and at the end.
    pub level: Vec<(Ms, Energy)>,
    /// What it took in.
    pub taken: Energy,
    /// What it gave out.
    pub given: Energy,
    /// In − out − change of level.
    pub lost: Energy,
}

/// A source over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceRecord {
    /// What it could give.
    pub available: Energy,
    /// What was taken of it.
    pub taken: Energy,
    /// What it could give, in steps, from each moment on.
    pub could: Vec<(Ms, u64)>,
    /// What is taken of it, in steps, from each moment on.
    pub gives: Vec<(Ms, u64)>,
}

/// A contact over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ContactRecord {
    /// When it conducted: `[from, to)`.
    pub conducts: Vec<(Ms, Ms)>,
}

/// A run of whole days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Record {
    /// Where the run ends; earlier than asked for where it was stopped.
    pub end: Ms,
    /// Whether it went to the end that was asked for.
    pub complete: bool,
    /// The events, by time, then by part, then in the order of [`What`].
    pub events: Vec<Event>,
    /// The loads, by their parts' places in the plan.
    pub loads: BTreeMap<usize, LoadRecord>,
    /// The batteries.
    pub batteries: BTreeMap<usize, BatteryRecord>,
    /// The sources.
    pub sources: BTreeMap<usize, SourceRecord>,
    /// The contacts.
    pub contacts: BTreeMap<usize, ContactRecord>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
    /// The parts' ids, in the plan's order.
    pub ids: Vec<PartId>,
}

impl Engine {
    /// The record of a run up to `end`, or to where it was stopped. What was kept is handed on, not copied.
    pub fn into_record(self, plan: &Plan, end: Ms) -> Record {
        let problems = self.problems(plan);
        self.into_record_with(plan, end, problems)
    }

    /// As [`Engine::into_record`], with the run's problems as [`Engine::problems`] tells them.
    pub(super) fn into_record_with(
        mut self,
        plan: &Plan,
        end: Ms,
        problems: Vec<Problem>,
    ) -> Record {
        let end = self.stopped.unwrap_or(end);
        let recorder = self.recorder.take().unwrap_or_default();
        let mut record = Record {
            end,
            complete: self.stopped.is_none(),
            loads: BTreeMap::new(),
            batteries: BTreeMap::new(),
            sources: BTreeMap::new(),
            contacts: BTreeMap::new(),
            problems,
            ids: plan.parts.iter().map(|p| p.id.clone()).collect(),
            events: recorder.events,
        };
        // They were told in the order of time: only those of one millisecond may be out of order.
        let moments = record.events.chunk_by_mut(|a, b| a.t == b.t);
        moments.for_each(<[Event]>::sort_unstable);
        let mut short = recorder.short;
        for (part, turns) in recorder.turns {
            let on = turns.close(end);
            if let Some(Spec::Load { draw, .. }) = self.net.nodes[part].spec {
                let short = short.remove(&part).unwrap_or_default().close(end);
                record.loads.insert(part, LoadRecord::new(on, draw, short));
            } else {
                record.contacts.insert(part, ContactRecord { conducts: on });
            }
        }
        for (part, (could, gives)) in recorder.sources {
            let ((available, could), (taken, gives)) = (could.close(end), gives.close(end));
            let source = SourceRecord {
                available,
                taken,
                could,
                gives,
            };
            record.sources.insert(part, source);
        }
        for (part, line) in recorder.lines {
            let last = self.batteries.get(&part).map_or(0, |b| b.at(end));
            record.batteries.insert(part, line.close(end, last));
        }
        record
    }

    /// When each load that was kept ran up to `end`, `[from, to)`, by its place in the plan.
    pub fn into_runs(mut self, end: Ms) -> BTreeMap<usize, Vec<(Ms, Ms)>> {
        let recorder = self.recorder.take().unwrap_or_default();
        let loads = recorder.turns.into_iter();
        loads
            .map(|(part, turns)| (part, turns.close(end)))
            .collect()
    }
}

impl LoadRecord {
    fn new(runs: Vec<(Ms, Ms)>, draw: u64, short: Vec<(Ms, Ms)>) -> LoadRecord {
        let time: Energy = runs.iter().map(|(from, to)| Energy::from(to - from)).sum();
        LoadRecord {
            runs,
            energy: time * Energy::from(draw) * STEP_MS,
            short,
        }
    }
}
