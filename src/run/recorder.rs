//! What is kept while an engine runs: no more than whoever asked needs, and never more than so many changes. Times in
//! milliseconds, powers in steps, energies in [`Energy`].
//!
//! A run is bounded by the milliseconds in which something happens, but in each of them any number of parts may change.
//! So what is kept has a bound of its own, [`MOST_CHANGES`]. Nothing here is judged or drawn.

use super::event::{Event, What};
use super::record::BatteryRecord;
use crate::quantity::{Energy, Ms, STEP_MS};
use std::collections::BTreeMap;

/// The most changes kept of one run: events, stretches, points of lines. A program in a browser has 4 GB at the most and
/// is dead when they are used up, so there a run ends here and says so; in a terminal a machine's own memory is the bound.
pub const MOST_CHANGES: u64 = if cfg!(target_arch = "wasm32") {
    4_000_000
} else {
    u64::MAX
};

/// What is kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Keeps {
    /// All that a record tells.
    #[default]
    Record,
    /// Loads and contacts, and when any change was pending.
    Trace,
    /// When some of the loads ran.
    Runs,
    /// When outputs of batteries went off.
    Outputs,
}

/// Stretches, told turn by turn.
#[derive(Clone, Debug, Default)]
pub(super) struct Turns {
    since: Option<Ms>,
    done: Vec<(Ms, Ms)>,
}

impl Turns {
    /// On or off at t = 0.
    pub(super) fn new(on: bool) -> Turns {
        Turns {
            since: on.then_some(0),
            done: Vec::new(),
        }
    }

    /// Goes on or off at `t`; answers whether that ended a stretch.
    pub(super) fn turn(&mut self, t: Ms, on: bool) -> bool {
        match (on, self.since) {
            (true, None) => self.since = Some(t),
            (false, Some(from)) => {
                self.since = None;
                if from < t {
                    self.done.push((from, t));
                    return true;
                }
            }
            _ => {}
        }
        false
    }

    /// The stretches up to `end`.
    pub(super) fn close(mut self, end: Ms) -> Vec<(Ms, Ms)> {
        if let Some(from) = self.since.filter(|from| *from < end) {
            self.done.push((from, end));
        }
        self.done
    }
}

/// A value that is constant between changes, summed over time.
#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    value: u64,
    since: Ms,
    sum: Energy,
}

impl Tally {
    fn new(value: u64) -> Tally {
        Tally {
            value,
            ..Tally::default()
        }
    }

    fn set(&mut self, t: Ms, value: u64) {
        self.sum += Energy::from(self.value) * Energy::from(t - self.since) * STEP_MS;
        self.value = value;
        self.since = t;
    }

    /// The sum up to `end`.
    fn close(mut self, end: Ms) -> Energy {
        self.set(end.max(self.since), 0);
        self.sum
    }
}

/// A tally that keeps its changes.
#[derive(Clone, Debug, Default)]
pub(super) struct Steps {
    tally: Tally,
    changes: Vec<(Ms, u64)>,
}

impl Steps {
    pub(super) fn new(value: u64) -> Steps {
        Steps {
            tally: Tally::new(value),
            changes: vec![(0, value)],
        }
    }

    /// Answers whether a change more is kept.
    fn set(&mut self, t: Ms, value: u64) -> bool {
        if self.tally.value == value {
            return false;
        }
        self.tally.set(t, value);
        match self.changes.last_mut().filter(|(at, _)| *at == t) {
            Some(last) => {
                last.1 = value;
                false
            }
            None => {
                self.changes.push((t, value));
                true
            }
        }
    }

    /// The sum up to `end`, and the changes.
    pub(super) fn close(self, end: Ms) -> (Energy, Vec<(Ms, u64)>) {
        (self.tally.close(end), self.changes)
    }
}

/// A battery's line as it is drawn.
#[derive(Clone, Debug, Default)]
pub(super) struct Line {
    points: Vec<(Ms, Energy)>,
    slope: Energy,
    taking: Tally,
    giving: Tally,
}

impl Line {
    /// A battery's line at t = 0: its level, how that changes, and what it takes in and gives.
    pub(super) fn new(level: Energy, slope: Energy, taking: u64, giving: u64) -> Line {
        Line {
            points: vec![(0, level)],
            slope,
            taking: Tally::new(taking),
            giving: Tally::new(giving),
        }
    }

    /// The battery's record up to `end`, at which its level is `last`.
    pub(super) fn close(mut self, end: Ms, last: Energy) -> BatteryRecord {
        if self.points.last().is_none_or(|(at, _)| *at < end) {
            self.points.push((end, last));
        }
        let first = self.points.first().map_or(0, |(_, level)| *level);
        let (taken, given) = (self.taking.close(end), self.giving.close(end));
        BatteryRecord {
            level: self.points,
            taken,
            given,
            lost: taken - given - (last - first),
        }
    }
}

/// Keeps what happens while an engine runs.
#[derive(Clone, Debug, Default)]
pub(super) struct Recorder {
    pub(super) keeps: Keeps,
    pub(super) events: Vec<Event>,
    /// When loads ran and contacts conducted. A trace has only what was so at first, of loads.
    pub(super) turns: BTreeMap<usize, Turns>,
    pub(super) short: BTreeMap<usize, Turns>,
    pub(super) sources: BTreeMap<usize, (Steps, Steps)>,
    pub(super) lines: BTreeMap<usize, Line>,
    pub(super) busy: Vec<(Ms, Option<Ms>)>,
    /// How many changes are kept.
    pub(super) kept: u64,
}

impl Recorder {
    /// How many changes are kept.
    pub(super) fn kept(&self) -> u64 {
        self.kept
    }

    /// Whether it is for a trace.
    pub(super) fn is_trace(&self) -> bool {
        self.keeps == Keeps::Trace
    }

    pub(super) fn say(&mut self, t: Ms, part: usize, what: What) {
        let turn = match what {
            What::Runs | What::Closes => Some(true),
            What::Stops | What::Opens => Some(false),
            _ => None,
        };
        let is_told = match self.keeps {
            Keeps::Record => true,
            Keeps::Trace => turn.is_some() || what == What::Chatters,
            Keeps::Outputs => what == What::OutputOff,
            Keeps::Runs => false,
        };
        if is_told {
            // The table of limits lets no plan have more parts than fit.
            let part = u32::try_from(part).unwrap_or(u32::MAX);
            self.events.push(Event { t, part, what });
            self.kept += 1;
        }
        if let (Keeps::Record | Keeps::Runs, Some(on)) = (self.keeps, turn)
            && let Some(turns) = self.turns.get_mut(&part)
        {
            self.kept += u64::from(turns.turn(t, on));
        }
    }

    /// Takes back what was said of `t`, at which the run was stopped; a stretch that ends there ends there anyway.
    pub(super) fn forget(&mut self, t: Ms) {
        while self.events.pop_if(|e| e.t >= t).is_some() {}
    }

    /// Notes whether a solve at `t` left a contact's change pending.
    pub(super) fn pends(&mut self, t: Ms, pending: bool) {
        if self.keeps != Keeps::Trace {
            return;
        }
        match (pending, self.busy.last_mut()) {
            (true, None | Some((_, Some(_)))) => self.busy.push((t, None)),
            (false, Some((_, end @ None))) => *end = Some(t),
            _ => {}
        }
    }

    /// How many events and busy stretches are kept so far.
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
        self.kept = self
            .kept
            .saturating_add(times.saturating_mul(events.len() as u64));
    }

    /// When changes were pending, from the solve that left one to the solve that left none.
    pub(super) fn busy(&self) -> &[(Ms, Option<Ms>)] {
        &self.busy
    }

    pub(super) fn short(&mut self, part: usize, t: Ms, short: bool) {
        if let Some(turns) = self.short.get_mut(&part) {
            self.kept += u64::from(turns.turn(t, short));
        }
    }

    pub(super) fn available(&mut self, part: usize, t: Ms, value: u64) {
        if let Some((available, _)) = self.sources.get_mut(&part) {
            self.kept += u64::from(available.set(t, value));
        }
    }

    pub(super) fn taken(&mut self, part: usize, t: Ms, value: u64) {
        if let Some((_, taken)) = self.sources.get_mut(&part) {
            self.kept += u64::from(taken.set(t, value));
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
                self.kept += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::Plan;
    use crate::run::{Engine, Record, Stop};
    use std::collections::BTreeSet;

    /// The lamp that keeps burning, by its place in the plan.
    const LAMP: usize = 9;

    /// Three flashers side by side, each waiting its two seconds, and a lamp on the first; a lamp with a duty beside them.
    fn flashers() -> Plan {
        plan(
            r#"{ "parts": { "gen": "generator", "div": "divider-4", "two": "divider-2",
                            "f1": ["on-delay", { "contact": "break", "delay_s": 2 }], "f2": ["on-delay", { "contact": "break", "delay_s": 2 }],
                            "f3": ["on-delay", { "contact": "break", "delay_s": 2 }], "flash": "lamp",
                            "panel": "sun-panel", "cell": "battery", "lamp": "lamp" },
                 "wires": ["gen.out div.in", "div.out1 f1.feed", "div.out2 f2.feed", "div.out3 f3.feed",
                           "f1.out two.in", "two.out1 flash.in", "two.out2 f1.trigger", "f2.out f2.trigger", "f3.out f3.trigger",
                           "panel.out cell.in", "cell.out lamp.in"],
                 "duties": [{ "part": "lamp", "when": "dark" }] }"#,
        )
    }

    /// When a part was on, from its events alone.
    fn from_events(record: &Record, part: usize, on: What, off: What) -> Vec<(Ms, Ms)> {
        let of_it = record.events.iter().filter(|e| e.place() == part);
        let mut stretches: Vec<(Ms, Ms)> = Vec::new();
        for event in of_it {
            match (event.what, stretches.last_mut()) {
                (what, Some(last)) if what == off && last.1 == Ms::MAX => last.1 = event.t,
                (what, None) if what == off => stretches.push((0, event.t)),
                (what, _) if what == on => stretches.push((event.t, Ms::MAX)),
                _ => {}
            }
        }
        if let Some(last) = stretches.last_mut().filter(|(_, to)| *to == Ms::MAX) {
            last.1 = record.end;
        }
        stretches
    }

    #[test]
    fn stretches_told_turn_by_turn_are_those_of_the_events() {
        let plan = flashers();
        let record = crate::run::run(&plan, 1);
        let mut turns = 0;
        // The lamp that keeps burning has no event to tell it by.
        for (part, load) in record.loads.iter().filter(|(part, _)| **part != LAMP) {
            let expected = from_events(&record, *part, What::Runs, What::Stops);
            assert_eq!(load.runs, expected, "load {part}");
            turns += expected.len();
        }
        for (part, contact) in &record.contacts {
            let expected = from_events(&record, *part, What::Closes, What::Opens);
            assert_eq!(contact.conducts, expected, "contact {part}");
            turns += expected.len();
        }
        assert!(turns > 50_000, "they flash: {turns}");
        assert!(record.events.is_sorted(), "in order");
    }

    #[test]
    fn what_a_judge_does_not_ask_is_not_kept() {
        let (plan, day) = (flashers(), 24 * 3_600_000);
        let whole = crate::run::run(&plan, 1);
        let mut engine = Engine::watching(&plan, &BTreeSet::from([0, LAMP]));
        assert_eq!(engine.advance(day), Stop::Complete);
        let kept = engine.recorder.as_ref().map_or(0, Recorder::kept);
        assert!(whole.events.len() > 100_000, "{}", whole.events.len());
        assert!(kept < 10, "{kept} changes of a lamp that does not flash");
        let runs = engine.into_runs(day);
        assert_eq!(
            runs,
            BTreeMap::from([(LAMP, whole.loads[&LAMP].runs.clone())])
        );
    }

    #[test]
    fn a_run_that_would_keep_too_much_ends_and_says_where() {
        let (plan, day) = (flashers(), 24 * 3_600_000);
        let whole = crate::run::run(&plan, 1);
        let mut engine = Engine::recording(&plan).keeping_at_most(1_000);
        assert_eq!(engine.advance(day), Stop::TooManyEvents);
        let stopped = engine.stopped_at();
        let record = engine.into_record(&plan, day);
        assert_eq!((record.complete, Some(record.end)), (false, stopped));
        let before = whole.events.partition_point(|e| e.t < record.end);
        assert_eq!(record.events, whole.events[..before], "all up to there");
        assert!((100..1_000).contains(&before), "{before}");
        let says: Vec<String> = record.problems.iter().map(|p| p.says(&plan)).collect();
        let expected = format!(
            "The run was stopped on day 1 at {}: more than 1000 changes are too many to keep. Lengthen the delays of \
             what switches so often, or run fewer days. What comes after that is not known.",
            crate::plan::Clock::at(record.end, day)
        );
        assert!(says.contains(&expected), "{says:?}");
    }

    #[test]
    fn days_that_are_told_again_count_as_kept() {
        let mut recorder = Recorder {
            keeps: Keeps::Trace,
            ..Recorder::default()
        };
        recorder.say(5, 0, What::Opens);
        recorder.say(7, 0, What::Closes);
        recorder.tell_again((0, 0), 100, 3);
        assert_eq!((recorder.kept(), recorder.length().0), (8, 8));
    }
}
