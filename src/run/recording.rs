//! Runs of which something is kept: how each kind begins at t = 0, and the record that one leaves behind.

use super::engine::Engine;
use super::event::Event;
use super::instant::PartState;
use super::record::{ContactRecord, LoadRecord, Record, SourceRecord};
use super::recorder::{Keeps, Line, Recorder, Steps, Turns};
use crate::net::Problem;
use crate::plan::{Plan, Spec};
use crate::quantity::Ms;
use std::collections::{BTreeMap, BTreeSet};

impl Engine {
    /// As [`Engine::new`], keeping what happens for a record.
    pub fn recording(plan: &Plan) -> Engine {
        Engine::start(plan, |engine| Some(Recorder::of_record(engine)))
    }

    /// As [`Engine::new`], keeping what [`Engine::into_trace`] tells.
    pub fn tracing(plan: &Plan) -> Engine {
        Engine::start_skimming(plan, |engine| Some(Recorder::of_trace(engine)))
    }

    /// As [`Engine::new`], keeping only when the loads among `parts` run, which [`Engine::into_runs`] tells.
    pub fn watching(plan: &Plan, parts: &BTreeSet<usize>) -> Engine {
        Engine::start_skimming(plan, |engine| Some(Recorder::of_runs(engine, parts)))
    }

    /// As [`Engine::new`], keeping only when outputs of batteries go off.
    pub(super) fn watching_outputs(plan: &Plan) -> Engine {
        Engine::start_skimming(plan, |_| Some(Recorder::of_outputs()))
    }
}

impl Recorder {
    /// For a record, from the starting state on, which is no event.
    pub(super) fn of_record(engine: &Engine) -> Recorder {
        let mut recorder = Recorder::default();
        for (part, node) in engine.net.nodes.iter().enumerate() {
            match node.spec {
                Some(Spec::Load { .. }) => {
                    recorder
                        .turns
                        .insert(part, Turns::new(engine.live.runs[part]));
                    recorder
                        .short
                        .insert(part, Turns::new(engine.live.short[part]));
                }
                Some(Spec::Contact { .. }) => {
                    let conducts = Turns::new(engine.controls.conducts[part]);
                    recorder.turns.insert(part, conducts);
                }
                Some(Spec::Source { .. }) => {
                    let could = Steps::new(engine.controls.available[part]);
                    let pair = (could, Steps::new(engine.taken_of(part)));
                    recorder.sources.insert(part, pair);
                }
                Some(Spec::Battery { .. }) => recorder.begin_line(engine, part),
                _ => {}
            }
        }
        recorder
    }

    fn begin_line(&mut self, engine: &Engine, part: usize) {
        let PartState::Battery {
            level,
            taking,
            giving,
            slope,
            ..
        } = engine.state(part, 0)
        else {
            return;
        };
        self.lines
            .insert(part, Line::new(level, slope, taking, giving));
    }

    /// For a trace.
    pub(super) fn of_trace(engine: &Engine) -> Recorder {
        let all = (0..engine.net.nodes.len()).collect();
        let mut recorder = Recorder {
            keeps: Keeps::Trace,
            ..Recorder::of_runs(engine, &all)
        };
        recorder.pends(0, engine.pending > 0);
        recorder
    }

    /// For when the loads among these parts run, and nothing else.
    pub(super) fn of_runs(engine: &Engine, parts: &BTreeSet<usize>) -> Recorder {
        let nodes = engine.net.nodes.iter().enumerate();
        let loads = nodes.filter(|(part, node)| {
            matches!(node.spec, Some(Spec::Load { .. })) && parts.contains(part)
        });
        Recorder {
            keeps: Keeps::Runs,
            turns: loads
                .map(|(part, _)| (part, Turns::new(engine.live.runs[part])))
                .collect(),
            ..Recorder::default()
        }
    }

    /// For when outputs of batteries go off.
    pub(super) fn of_outputs() -> Recorder {
        Recorder {
            keeps: Keeps::Outputs,
            ..Recorder::default()
        }
    }
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
