//! One day gone through event by event: what each wire and part came to, and what turned for which reason. Powers in steps,
//! times in milliseconds since midnight of day 1, energies in [`Energy`].
//!
//! Reasons are found by [`super::walk`] after each event. Of what turns all day long only the first turns are kept; the rest is counted.

use super::explanation::{MOST_STRETCHES, Stretches};
use super::turn::{PartTurn, TurnReason};
use super::walk::{Moment, TurnCause, Walk};
use crate::plan::{Plan, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Engine, PartState};
use std::collections::BTreeMap;

/// A part that turns more often in a day is told with how often.
pub const MOST_TURNS: u64 = 6;

/// What one wire came to.
#[derive(Clone, Copy, Debug, Default)]
pub struct WireFigures {
    /// The most that was offered, and when first.
    pub most_offer: (u64, Ms),
    /// The most that was taken, and when first.
    pub most_take: (u64, Ms),
    /// What was taken.
    pub taken: Energy,
}

/// Stretches of a day while it is gone through.
#[derive(Clone, Debug, Default)]
pub struct Turning {
    /// The stretches so far.
    pub told: Stretches,
    /// Whether the last of them goes on.
    open: bool,
}

/// What one part came to.
#[derive(Clone, Debug, Default)]
pub struct PartFigures {
    /// When a load ran, a contact conducted, a battery was full, a tap set something aside, a changeover was on its backup, a
    /// source could give something.
    pub on: Turning,
    /// When a load was short, a battery's output was off.
    pub lack: Turning,
    /// The most that a source could give, and when first; what it could give in all.
    pub most: (u64, Ms),
    /// See `most`.
    pub available: Energy,
    /// A battery's lowest level and the last moment of it.
    pub lowest: (Energy, Ms),
    /// Its highest level and the last moment of it.
    pub highest: (Energy, Ms),
    /// How often it turned, and the last time.
    pub turned: (u64, Ms),
}

/// A day under way.
pub struct DayRun {
    engine: Engine,
    from: Ms,
    to: Ms,
    lag: Ms,
    /// Up to here all is counted, with what there is from here on; batteries' levels here.
    t: Ms,
    at_level: Vec<Option<Energy>>,
    now: Moment,
    /// Why the signals of each contact last flipped.
    flips: BTreeMap<usize, (Ms, Option<TurnCause>)>,
    /// What turned, with its cause, in the order of time.
    turns: Vec<(TurnCause, PartTurn)>,
    wires: Vec<WireFigures>,
    parts: Vec<PartFigures>,
    /// What there is at the day's first moment, its events applied.
    begin: Option<(Vec<bool>, Vec<Energy>)>,
    done: bool,
}

/// What a day came to.
#[derive(Debug)]
pub struct DaySeen {
    /// The first millisecond, and the first after it.
    pub from: Ms,
    /// See `from`.
    pub to: Ms,
    /// By the wires' places in the plan.
    pub wires: Vec<WireFigures>,
    /// By the parts' places.
    pub parts: Vec<PartFigures>,
    /// What turned, each with what made it turn and when that was, in the order of time.
    pub turns: Vec<((Ms, TurnReason), PartTurn)>,
    /// Which loads run, and what batteries hold, at the first moment.
    pub runs: Vec<bool>,
    /// See `runs`.
    pub levels: Vec<Energy>,
}

impl DayRun {
    /// Runs `plan` up to `from` and begins the day there, which ends at `to`.
    pub fn new(plan: &Plan, from: Ms, to: Ms) -> DayRun {
        let mut engine = Engine::new(plan);
        engine.advance(from);
        let now = Moment::of(&engine);
        let (wires, parts) = (plan.wires.len(), plan.parts.len());
        let mut run = DayRun {
            from,
            to,
            lag: plan.book.book.lag_ms.max(1),
            t: from,
            at_level: vec![None; parts],
            now,
            flips: BTreeMap::new(),
            turns: Vec::new(),
            wires: vec![WireFigures::default(); wires],
            parts: vec![PartFigures::default(); parts],
            begin: None,
            done: false,
            engine,
        };
        for part in 0..parts {
            if let Some(level) = run.level(part, from) {
                run.at_level[part] = Some(level);
                let figures = &mut run.parts[part];
                (figures.lowest, figures.highest) = ((level, from), (level, from));
            }
        }
        run
    }

    /// Goes on through at most `most` milliseconds in which something happens; answers whether the day is over.
    pub fn go(&mut self, most: u64) -> bool {
        let mut left = most;
        while !self.done && left > 0 {
            left -= 1;
            let events = self.engine.events();
            self.engine.advance_some(self.to, 1);
            if self.engine.events() == events {
                self.to = self.engine.stopped_at().map_or(self.to, |t| t.min(self.to));
                self.count(self.to);
                self.look_at_levels(self.to);
                self.done = true;
                break;
            }
            let t = self.engine.now();
            self.count(t);
            self.t = t;
            let before = std::mem::replace(&mut self.now, Moment::of(&self.engine));
            self.turn(&before);
            self.look_at_levels(t);
        }
        self.done
    }

    /// What the day came to, as far as it was gone through.
    pub fn finish(mut self) -> DaySeen {
        self.note_begin();
        let (runs, levels) = self.begin.unwrap_or_default();
        DaySeen {
            from: self.from,
            to: self.to,
            wires: self.wires,
            parts: self.parts,
            turns: self.turns,
            runs,
            levels,
        }
    }

    fn level(&self, part: usize, t: Ms) -> Option<Energy> {
        match self.engine.state(part, t) {
            PartState::Battery { level, .. } => Some(level),
            _ => None,
        }
    }

    fn note_begin(&mut self) {
        if self.begin.is_none() {
            let levels = self.parts.iter().map(|p| p.lowest.0).collect();
            self.begin = Some((self.now.runs.clone(), levels));
        }
    }

    /// Counts what there was from the last event up to `t`.
    fn count(&mut self, t: Ms) {
        let (since, now) = (self.t, &self.now);
        if t <= since {
            return;
        }
        let energy = |steps: u64| Energy::from(steps) * Energy::from(t - since) * STEP_MS;
        let flows = now.offer.iter().zip(&now.take);
        for (figures, (offer, take)) in self.wires.iter_mut().zip(flows) {
            figures.taken += energy(*take);
            most(&mut figures.most_offer, *offer, since);
            most(&mut figures.most_take, *take, since);
        }
        let nodes = self.engine.net().nodes.iter().enumerate();
        for (figures, (part, node)) in self.parts.iter_mut().zip(nodes) {
            let is_on = match node.spec {
                Some(Spec::Source { .. }) => {
                    let available = now.controls.available[part];
                    figures.available += energy(available);
                    most(&mut figures.most, available, since);
                    available > 0
                }
                // A line between two points at its upper end is full all along.
                Some(Spec::Battery { capacity, .. }) => {
                    let level = self.engine.state(part, t);
                    let full = matches!(level, PartState::Battery { full: true, .. });
                    full && self.at_level[part] == Some(capacity)
                }
                Some(Spec::Load { .. }) => now.runs[part],
                Some(Spec::Tap(_)) => now.offered(node.outs.first()) > 0,
                Some(Spec::Changeover(least)) => now.offered(node.ins.first()) < least,
                Some(Spec::Contact { .. }) => now.controls.conducts[part],
                _ => false,
            };
            let lacks = match node.spec {
                Some(Spec::Battery { .. }) => !now.controls.output[part],
                Some(Spec::Load { .. }) => now.short[part],
                _ => false,
            };
            figures.on.add(is_on, (since, t));
            figures.lack.add(lacks, (since, t));
        }
        self.note_begin();
    }

    fn look_at_levels(&mut self, t: Ms) {
        for part in 0..self.parts.len() {
            if let Some(level) = self.level(part, t) {
                self.at_level[part] = Some(level);
                let figures = &mut self.parts[part];
                if level <= figures.lowest.0 {
                    figures.lowest = (level, t);
                }
                if level >= figures.highest.0 {
                    figures.highest = (level, t);
                }
            }
        }
    }

    /// Finds what turned with the event that the run has come to, and why.
    fn turn(&mut self, before: &Moment) {
        let mut walk = Walk {
            engine: &self.engine,
            now: &self.now,
            before,
            flips: &self.flips,
            lag: self.lag,
            t: self.t,
            contacts: BTreeMap::new(),
        };
        let turns = walk.turns();
        let flipped = walk.flipped();
        for (cause, turn) in turns {
            let figures = &mut self.parts[turn.part];
            figures.turned = (figures.turned.0 + 1, turn.t);
            if figures.turned.0 <= MOST_TURNS {
                self.turns.push((cause, turn));
            }
        }
        for (part, cause) in flipped {
            self.flips.insert(part, (self.t, cause));
        }
    }
}

fn most(seen: &mut (u64, Ms), value: u64, t: Ms) {
    if value > seen.0 {
        *seen = (value, t);
    }
}

impl Turning {
    /// Adds a stretch in which something is so or not.
    fn add(&mut self, is_so: bool, (from, to): (Ms, Ms)) {
        let was_open = std::mem::replace(&mut self.open, is_so);
        if !is_so {
            return;
        }
        let told = &mut self.told;
        told.time += to - from;
        if !was_open {
            told.count += 1;
        }
        if told.count > MOST_STRETCHES as u64 {
            return;
        }
        match told.first.last_mut().filter(|_| was_open) {
            Some(last) => last.1 = to,
            None => told.first.push((from, to)),
        }
    }
}
