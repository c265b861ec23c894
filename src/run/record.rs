//! What a run leaves behind: events, when loads ran and contacts conducted, levels, energies. All exact; the times in
//! milliseconds, energies in [`Energy`], shown in unit-hours only by the faces.

use super::engine::Engine;
use super::instant::PartState;
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

/// One event of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Event {
    /// When, in milliseconds since midnight of day 1.
    pub t: Ms,
    /// To which part, by its place in the plan.
    pub part: usize,
    /// What.
    pub what: What,
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

/// A value that is constant between changes, summed over time.
#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    value: u64,
    since: Ms,
    sum: Energy,
}

/// A tally that keeps its changes.
#[derive(Clone, Debug, Default)]
struct Steps {
    tally: Tally,
    changes: Vec<(Ms, u64)>,
}

impl Steps {
    fn new(value: u64) -> Steps {
        Steps {
            tally: Tally {
                value,
                ..Tally::default()
            },
            changes: vec![(0, value)],
        }
    }

    fn set(&mut self, t: Ms, value: u64) {
        if self.tally.value == value {
            return;
        }
        self.tally.set(t, value);
        match self.changes.last_mut().filter(|(at, _)| *at == t) {
            Some(last) => last.1 = value,
            None => self.changes.push((t, value)),
        }
    }

    /// The sum up to `end`, and the changes.
    fn close(mut self, end: Ms) -> (Energy, Vec<(Ms, u64)>) {
        self.tally.set(end.max(self.tally.since), 0);
        (self.tally.sum, self.changes)
    }
}

impl Tally {
    fn set(&mut self, t: Ms, value: u64) {
        self.sum += Energy::from(self.value) * Energy::from(t - self.since) * STEP_MS;
        self.value = value;
        self.since = t;
    }
}

/// A battery's line as it is drawn.
#[derive(Clone, Debug, Default)]
struct Line {
    points: Vec<(Ms, Energy)>,
    slope: Energy,
    taking: Tally,
    giving: Tally,
}

/// Keeps what happens while an engine runs.
#[derive(Clone, Debug, Default)]
pub(super) struct Recorder {
    events: Vec<Event>,
    loads: BTreeMap<usize, bool>,
    short: BTreeMap<usize, Vec<(Ms, bool)>>,
    contacts: BTreeMap<usize, bool>,
    sources: BTreeMap<usize, (Steps, Steps)>,
    lines: BTreeMap<usize, Line>,
    busy: Vec<(Ms, Option<Ms>)>,
    /// Whether sources and batteries are left out.
    pub(super) is_brief: bool,
}

impl Recorder {
    /// As [`Recorder::new`], but of loads and contacts alone.
    pub(super) fn brief(engine: &Engine) -> Recorder {
        let mut recorder = Recorder::new(engine);
        recorder.sources.clear();
        recorder.lines.clear();
        recorder.short.clear();
        recorder.is_brief = true;
        recorder
    }

    /// The starting state, which is no event.
    pub(super) fn new(engine: &Engine) -> Recorder {
        let mut recorder = Recorder::default();
        recorder.pends(0, engine.pending > 0);
        for (part, node) in engine.net.nodes.iter().enumerate() {
            let tally = |value| Tally {
                value,
                since: 0,
                sum: 0,
            };
            match node.spec {
                Some(Spec::Load { .. }) => {
                    recorder.loads.insert(part, engine.live.runs[part]);
                    if engine.live.short[part] {
                        recorder.short(part, 0, true);
                    }
                }
                Some(Spec::Contact { .. }) => {
                    recorder
                        .contacts
                        .insert(part, engine.controls.conducts[part]);
                }
                Some(Spec::Source { .. }) => {
                    let could = Steps::new(engine.controls.available[part]);
                    let pair = (could, Steps::new(engine.taken_of(part)));
                    recorder.sources.insert(part, pair);
                }
                Some(Spec::Battery { .. }) => {
                    let PartState::Battery {
                        level,
                        taking,
                        giving,
                        ..
                    } = engine.state(part, 0)
                    else {
                        continue;
                    };
                    let slope = engine.batteries.get(&part).map_or(0, |b| b.shown_slope());
                    let line = Line {
                        points: vec![(0, level)],
                        slope,
                        taking: tally(taking),
                        giving: tally(giving),
                    };
                    recorder.lines.insert(part, line);
                }
                _ => {}
            }
        }
        recorder
    }

    pub(super) fn say(&mut self, t: Ms, part: usize, what: What) {
        self.events.push(Event { t, part, what });
    }

    /// Takes back what was said of `t`, at which the run was stopped.
    pub(super) fn forget(&mut self, t: Ms) {
        self.events.retain(|e| e.t < t);
    }

    /// Notes whether a solve at `t` left a contact's change pending.
    pub(super) fn pends(&mut self, t: Ms, pending: bool) {
        match (pending, self.busy.last_mut()) {
            (true, None | Some((_, Some(_)))) => self.busy.push((t, None)),
            (false, Some((_, end @ None))) => *end = Some(t),
            _ => {}
        }
    }

    /// How much is kept so far.
    pub(super) fn length(&self) -> (usize, usize) {
        (self.events.len(), self.busy.len())
    }

    /// Tells what was told from `start` on once more for each of `times` days that follow.
    pub(super) fn tell_again(&mut self, start: (usize, usize), day: Ms, times: u64) {
        let events = self.events[start.0..].to_vec();
        let busy = self.busy[start.1..].to_vec();
        for later in (1..=times).map(|number| number * day) {
            let event = |e: &Event| Event {
                t: e.t + later,
                ..*e
            };
            self.events.extend(events.iter().map(event));
            let busy = busy.iter();
            self.busy
                .extend(busy.map(|(from, to)| (from + later, to.map(|to| to + later))));
        }
    }

    /// The events so far, in the order in which they were told.
    pub(super) fn events(&self) -> &[Event] {
        &self.events
    }

    /// Each load, and whether it ran at first.
    pub(super) fn loads(&self) -> &BTreeMap<usize, bool> {
        &self.loads
    }

    /// When changes were pending, from the solve that left one to the solve that left none.
    pub(super) fn busy(&self) -> &[(Ms, Option<Ms>)] {
        &self.busy
    }

    pub(super) fn short(&mut self, part: usize, t: Ms, short: bool) {
        if self.is_brief {
            return;
        }
        self.short.entry(part).or_default().push((t, short));
    }

    pub(super) fn available(&mut self, part: usize, t: Ms, value: u64) {
        if let Some((available, _)) = self.sources.get_mut(&part) {
            available.set(t, value);
        }
    }

    pub(super) fn taken(&mut self, part: usize, t: Ms, value: u64) {
        if let Some((_, taken)) = self.sources.get_mut(&part) {
            taken.set(t, value);
        }
    }

    pub(super) fn battery(
        &mut self,
        part: usize,
        t: Ms,
        level: Energy,
        slope: Energy,
        taking: u64,
        giving: u64,
    ) {
        let Some(line) = self.lines.get_mut(&part) else {
            return;
        };
        line.taking.set(t, taking);
        line.giving.set(t, giving);
        if line.slope != slope {
            line.slope = slope;
            if line.points.last().is_none_or(|(at, _)| *at != t) {
                line.points.push((t, level));
            }
        }
    }
}

/// The stretches between the events that begin and end them.
pub(super) fn stretches(
    first: bool,
    turns: impl Iterator<Item = (Ms, bool)>,
    end: Ms,
) -> Vec<(Ms, Ms)> {
    let (mut open, mut out) = (first.then_some(0), Vec::new());
    for (t, on) in turns {
        match (on, open) {
            (true, None) => open = Some(t),
            (false, Some(from)) => {
                open = None;
                if from < t {
                    out.push((from, t));
                }
            }
            _ => {}
        }
    }
    if let Some(from) = open.filter(|from| *from < end) {
        out.push((from, end));
    }
    out
}

impl Engine {
    /// The record of a run up to `end`, or to where it was stopped.
    pub fn into_record(mut self, plan: &Plan, end: Ms) -> Record {
        let complete = self.stopped.is_none();
        let recorder = self.recorder.take().unwrap_or_default();
        let mut events = recorder.events.clone();
        let end = self.stopped.unwrap_or(end);
        events.sort();
        let mut by_part: BTreeMap<usize, Vec<Event>> = BTreeMap::new();
        for event in &events {
            by_part.entry(event.part).or_default().push(*event);
        }
        let none = Vec::new();
        let turns = |part: &usize, on: What, off: What| {
            let events = by_part.get(part).unwrap_or(&none).clone();
            events
                .into_iter()
                .filter(move |e| e.what == on || e.what == off)
                .map(move |e| (e.t, e.what == on))
        };
        let mut record = Record {
            end,
            complete,
            loads: BTreeMap::new(),
            batteries: BTreeMap::new(),
            sources: BTreeMap::new(),
            contacts: BTreeMap::new(),
            problems: super::instant::problems_of_run(&self, plan),
            ids: plan.parts.iter().map(|p| p.id.clone()).collect(),
            events: Vec::new(),
        };
        for (part, first) in &recorder.loads {
            let runs = stretches(*first, turns(part, What::Runs, What::Stops), end);
            let Some(Spec::Load { draw, .. }) = self.net.nodes[*part].spec else {
                continue;
            };
            let turns = recorder.short.get(part).into_iter().flatten().copied();
            let short = stretches(false, turns.filter(|(t, _)| *t < end), end);
            let time: Energy = runs.iter().map(|(from, to)| Energy::from(to - from)).sum();
            record.loads.insert(
                *part,
                LoadRecord {
                    runs,
                    energy: time * Energy::from(draw) * STEP_MS,
                    short,
                },
            );
        }
        for (part, first) in &recorder.contacts {
            let conducts = stretches(*first, turns(part, What::Closes, What::Opens), end);
            record.contacts.insert(*part, ContactRecord { conducts });
        }
        for (part, (could, gives)) in recorder.sources {
            let ((available, could), (taken, gives)) = (could.close(end), gives.close(end));
            record.sources.insert(
                part,
                SourceRecord {
                    available,
                    taken,
                    could,
                    gives,
                },
            );
        }
        for (part, mut line) in recorder.lines {
            line.taking.set(end.max(line.taking.since), 0);
            line.giving.set(end.max(line.giving.since), 0);
            let last = self.batteries.get(&part).map_or(0, |b| b.at(end));
            if line.points.last().is_none_or(|(at, _)| *at < end) {
                line.points.push((end, last));
            }
            let first = line.points.first().map_or(0, |(_, level)| *level);
            let (taken, given) = (line.taking.sum, line.giving.sum);
            let lost = taken - given - (last - first);
            record.batteries.insert(
                part,
                BatteryRecord {
                    level: line.points,
                    taken,
                    given,
                    lost,
                },
            );
        }
        record.events = events;
        record
    }
}
