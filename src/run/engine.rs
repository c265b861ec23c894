//! The engine: goes from event to event, applies all events of one millisecond together, then solves the instant once.
//!
//! What is foreseen waits in a queue ordered by time; what later turns out otherwise is known to be stale by a number.
//! Only what an event can change is worked out again.

use super::battery::Battery;
use super::contact::Contact;
use super::event::What;
use super::recorder::{MOST_CHANGES, Recorder};
use super::supply::Supply;
use crate::net::{Controls, Live, Net};
use crate::plan::{Function, Plan};
use crate::quantity::Ms;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use std::sync::Arc;

/// The most events of a run: milliseconds in which something happened.
pub const BOUND: u64 = 1_000_000;

/// How an advance ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// At the time that was asked for.
    Complete,
    /// At the bound of events, or of what is kept of them.
    TooManyEvents,
    /// After as many events as were asked for, before the end.
    Paused,
}

/// What is foreseen, at most one of each kind and part that is not stale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Foreseen {
    /// A midnight at which holds end.
    Midnight,
    /// A source's power may change.
    Supply,
    /// A clockwork's truth may change.
    Clockwork,
    /// A battery reaches a threshold on line number so-and-so.
    Threshold(u32),
    /// A timer runs out.
    Timer,
    /// A contact's change falls due.
    Due,
}

/// A plan that runs.
#[derive(Clone, Debug)]
pub struct Engine {
    /// Shared: an engine is copied to go back to an instant, and the net never changes.
    pub(super) net: Arc<Net>,
    pub(super) live: Live,
    pub(super) controls: Controls,
    pub(super) batteries: BTreeMap<usize, Battery>,
    pub(super) contacts: BTreeMap<usize, Contact>,
    pub(super) recorder: Option<Recorder>,
    pub(super) chattered: BTreeSet<usize>,
    pub(super) stopped: Option<Ms>,
    /// The most changes that the recorder may keep.
    pub(super) most_kept: u64,
    /// Shared until somebody takes sun or wind away.
    pub(super) supplies: Arc<BTreeMap<usize, Supply>>,
    pub(super) queue: BinaryHeap<Reverse<(Ms, Foreseen, usize)>>,
    pub(super) day: Ms,
    pub(super) lag: Ms,
    pub(super) pending: usize,
    pub(super) round: u64,
    /// Thresholds that batteries reached.
    pub(super) thresholds: u64,
    /// How often a load started or stopped, and a contact closed or opened: where neither moved on, whoever watches
    /// them need not look.
    pub(super) load_turns: u64,
    pub(super) switches: u64,
    pub(super) events: u64,
    pub(super) now: Ms,
    /// How many milliseconds were looked at, whether or not something happened in them.
    pub(super) steps: u64,
    /// The last of them.
    pub(super) reached: Ms,
}

/// What the events of one millisecond changed.
#[derive(Default)]
pub(super) struct Batch {
    /// Whether anything did.
    pub(super) happened: bool,
    /// Contacts whose function or change must be looked at after the solve.
    pub(super) look: Vec<usize>,
    /// Batteries that begin a new line after the solve, whatever is taken.
    pub(super) turn: Vec<usize>,
}

impl Engine {
    /// A plan at t = 0, solved.
    pub fn new(plan: &Plan) -> Engine {
        Engine::start(plan, |_| None)
    }

    /// As [`Engine::new`], for whoever asks only which loads run, what contacts do and how full batteries are: what wires
    /// carry is worked out only where those hang on it.
    pub fn skimming(plan: &Plan) -> Engine {
        Engine::start_skimming(plan, |_| None)
    }

    /// Lets no more than `most` changes be kept; [`MOST_CHANGES`] where nothing is said.
    pub fn keeping_at_most(mut self, most: u64) -> Engine {
        self.most_kept = most;
        self
    }

    /// A plan at t = 0, solved, with what is to keep what happens.
    pub(super) fn start(plan: &Plan, recorder: impl FnOnce(&Engine) -> Option<Recorder>) -> Engine {
        let mut engine = Engine::compiled(plan);
        engine.set_up(plan, 0, usize::MAX);
        engine.begin(plan);
        engine.recorder = recorder(&engine);
        engine
    }

    /// As [`Engine::start`], for what [`Engine::skimming`] is for.
    pub(super) fn start_skimming(
        plan: &Plan,
        recorder: impl FnOnce(&Engine) -> Option<Recorder>,
    ) -> Engine {
        let mut engine = Engine::compiled(plan);
        engine.live = Live::skimming(&engine.net);
        engine.set_up(plan, 0, usize::MAX);
        engine.begin(plan);
        engine.recorder = recorder(&engine);
        engine
    }

    /// A plan that is compiled; no part of it is set up.
    pub(super) fn compiled(plan: &Plan) -> Engine {
        let net = Arc::new(Net::compile(plan));
        let parts = net.nodes.len();
        Engine {
            live: Live::new(&net),
            controls: Controls::new(parts),
            batteries: BTreeMap::new(),
            contacts: BTreeMap::new(),
            recorder: None,
            chattered: BTreeSet::new(),
            stopped: None,
            most_kept: MOST_CHANGES,
            supplies: Arc::default(),
            queue: BinaryHeap::new(),
            day: plan.world.day_ms(),
            lag: plan.book.book.lag_ms.max(1),
            pending: 0,
            round: 0,
            thresholds: 0,
            load_turns: 0,
            switches: 0,
            events: 0,
            now: 0,
            steps: 0,
            reached: 0,
            net,
        }
    }

    /// Solves t = 0, once every part is set up.
    pub(super) fn begin(&mut self, plan: &Plan) {
        self.set_up_watchers(plan);
        self.live.solve(&self.net, &self.controls);
        let parts: Vec<usize> = self.batteries.keys().copied().collect();
        for part in parts {
            self.turn(part, 0);
        }
        let look: Vec<usize> = self.contacts.keys().copied().collect();
        self.look(&look, 0);
    }

    /// Goes on through every event before `end`.
    pub fn advance(&mut self, end: Ms) -> Stop {
        self.advance_some(end, u64::MAX)
    }

    /// As [`Engine::advance`], but pauses after `most` milliseconds in which something happened: a face that must not
    /// be held up goes on when it has the time.
    pub fn advance_some(&mut self, end: Ms, most: u64) -> Stop {
        let pause = self.events.saturating_add(most);
        self.go(end, |engine| engine.events >= pause)
    }

    /// As [`Engine::advance_some`], but counts every millisecond that is looked at: what was foreseen may come to nothing
    /// and costs something all the same.
    pub(super) fn advance_steps(&mut self, end: Ms, most: u64) -> Stop {
        let pause = self.steps.saturating_add(most);
        self.go(end, |engine| engine.steps >= pause)
    }

    fn go(&mut self, end: Ms, pauses: impl Fn(&Engine) -> bool) -> Stop {
        while let Some(Reverse((t, _, _))) = self.queue.peek().copied() {
            if self.stopped.is_some() {
                return Stop::TooManyEvents;
            }
            if t >= end {
                break;
            }
            if pauses(self) {
                return Stop::Paused;
            }
            self.step(t);
        }
        if self.stopped.is_some() {
            Stop::TooManyEvents
        } else {
            Stop::Complete
        }
    }

    /// Counts events from 0 again: what follows has the bound to itself.
    pub fn count_anew(&mut self) {
        self.events = 0;
        self.stopped = None;
    }

    /// How many milliseconds of the run so far had something happen.
    pub fn events(&self) -> u64 {
        self.events
    }

    /// How often loads started or stopped after the first solve. While it stays the same, every load does as it did.
    pub fn load_turns(&self) -> u64 {
        self.load_turns
    }

    /// How often contacts closed or opened. While it stays the same, every contact does as it did.
    pub fn switches(&self) -> u64 {
        self.switches
    }

    /// The last millisecond in which something happened.
    pub fn now(&self) -> Ms {
        self.now
    }

    /// What each wire takes now, in the plan's order; of an engine that skims not all of it is worked out.
    pub fn takes(&self) -> &[u64] {
        &self.live.take
    }

    /// How many milliseconds were looked at so far.
    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// The last millisecond that was looked at: the engine stands for every instant from there up to the next that is.
    pub(super) fn reached(&self) -> Ms {
        self.reached.max(self.now)
    }

    /// Where the run was stopped at a bound, if it was.
    pub fn stopped_at(&self) -> Option<Ms> {
        self.stopped
    }

    /// All that is foreseen for `t`, then one solve.
    fn step(&mut self, t: Ms) {
        self.steps += 1;
        self.reached = t;
        let mut batch = Batch::default();
        while let Some(Reverse((at, what, part))) = self.queue.peek().copied() {
            if at != t {
                break;
            }
            self.queue.pop();
            self.apply(t, what, part, &mut batch);
        }
        if !batch.happened {
            return;
        }
        if self.events >= BOUND || self.is_full() {
            self.stopped = Some(t);
            self.note(|r| r.forget(t));
            // What wires carry is to go with what contacts now do, for whoever looks at this last instant.
            self.live.solve(&self.net, &self.controls);
            self.load_turns += self.live.turned.len() as u64;
            return;
        }
        self.events += 1;
        self.work_out(t, batch);
    }

    /// Solves the instant `t` after what changed, and looks at what that does.
    pub(super) fn work_out(&mut self, t: Ms, mut batch: Batch) {
        self.now = t;
        self.live.solve(&self.net, &self.controls);
        // What is lent out here comes back, so that no memory is asked for at every event.
        let mut drawn = std::mem::take(&mut self.live.drawn);
        drawn.append(&mut batch.turn);
        drawn.sort_unstable();
        drawn.dedup();
        for part in drawn.iter().copied() {
            if self.batteries.contains_key(&part) {
                self.turn(part, t);
            } else {
                let taken = self.taken_of(part);
                self.note(|r| r.taken(part, t, taken));
            }
        }
        drawn.clear();
        self.live.drawn = drawn;
        let turned = std::mem::take(&mut self.live.turned);
        self.load_turns += turned.len() as u64;
        for part in turned.iter().copied() {
            let what = if self.live.runs[part] {
                What::Runs
            } else {
                What::Stops
            };
            self.note(|r| r.say(t, part, what));
        }
        self.live.turned = turned;
        let mut shorted = std::mem::take(&mut self.live.shorted);
        for part in shorted.iter().copied() {
            let short = self.live.short[part];
            self.note(|r| r.short(part, t, short));
        }
        shorted.clear();
        self.live.shorted = shorted;
        let mut look = std::mem::take(&mut batch.look);
        look.append(&mut self.live.signalled);
        look.sort_unstable();
        look.dedup();
        self.look(&look, t);
    }

    /// After a solve: functions with signals, changes that fall due later, and whether all is settled.
    fn look(&mut self, parts: &[usize], t: Ms) {
        for part in parts {
            let part = *part;
            let signals = &self.net.nodes[part].signals;
            let offered = |at: usize| {
                signals
                    .get(at)
                    .copied()
                    .flatten()
                    .map_or(0, |wire| self.live.offer[wire])
            };
            let Some(contact) = self.contacts.get_mut(&part) else {
                continue;
            };
            if contact.clockwork.is_some() {
                continue;
            }
            if let Function::Charge { .. } = *contact.function {
                if t == 0 {
                    contact.memory.truth = charge_at_start(&self.batteries, part);
                }
            } else {
                let now = [offered(0) >= contact.coil, offered(1) >= contact.coil];
                let ends = contact
                    .memory
                    .step(&contact.function, now, t)
                    .filter(|ends| *ends > t);
                if let Some(ends) = ends {
                    self.queue.push(Reverse((ends, Foreseen::Timer, part)));
                }
            }
            let differs = !contact.held && contact.wants() != self.controls.conducts[part];
            match (differs, contact.due) {
                (true, None) => {
                    let due = t.saturating_add(self.lag);
                    contact.due = Some(due);
                    self.pending += 1;
                    self.queue.push(Reverse((due, Foreseen::Due, part)));
                }
                (false, Some(_)) => {
                    contact.due = None;
                    self.pending -= 1;
                }
                _ => {}
            }
        }
        if t == 0 {
            let parts: Vec<usize> = self.batteries.keys().copied().collect();
            parts
                .into_iter()
                .for_each(|part| self.foresee_battery(part));
        }
        let pending = self.pending > 0;
        self.note(|r| r.pends(t, pending));
        if !pending {
            self.round += 1;
        }
    }

    /// Begins a battery's new line after a solve in which its takes may have changed.
    fn turn(&mut self, part: usize, t: Ms) {
        let node = &self.net.nodes[part];
        let wire = |slot: Option<&Option<usize>>| self.live.taken(slot.copied().flatten());
        let (taking, giving) = (wire(node.ins.first()), wire(node.outs.first()));
        let Some(battery) = self.batteries.get_mut(&part) else {
            return;
        };
        battery.turn(t, taking, giving);
        let (level, slope) = (battery.level, battery.shown_slope());
        self.foresee_battery(part);
        self.note(|r| r.battery(part, t, level, slope, taking, giving));
    }

    pub(super) fn foresee_battery(&mut self, part: usize) {
        let Some(battery) = self.batteries.get(&part) else {
            return;
        };
        let truth = |contact: usize| self.contacts.get(&contact).is_some_and(|c| c.memory.truth);
        let next = battery.next(self.controls.output[part], self.controls.full[part], truth);
        let line = battery.line;
        self.foresee(next, Foreseen::Threshold(line), part);
    }

    pub(super) fn foresee(&mut self, at: Option<Ms>, what: Foreseen, part: usize) {
        if let Some(at) = at {
            self.queue.push(Reverse((at, what, part)));
        }
    }

    /// What is taken at a part's first output.
    pub(super) fn taken_of(&self, part: usize) -> u64 {
        self.live
            .taken(self.net.nodes[part].outs.first().copied().flatten())
    }

    /// Whether the recorder keeps as much as it may.
    pub(super) fn is_full(&self) -> bool {
        let kept = self.recorder.as_ref().map_or(0, Recorder::kept);
        kept >= self.most_kept
    }

    /// Tells the recorder, where there is one.
    pub(super) fn note(&mut self, f: impl FnOnce(&mut Recorder)) {
        if let Some(recorder) = &mut self.recorder {
            f(recorder);
        }
    }
}

/// Whether a charge contact is true at t = 0: its battery starts at or below its low mark.
fn charge_at_start(batteries: &BTreeMap<usize, Battery>, contact: usize) -> bool {
    batteries.values().any(|b| {
        b.watchers
            .iter()
            .any(|(part, low, _)| *part == contact && b.level <= *low)
    })
}
