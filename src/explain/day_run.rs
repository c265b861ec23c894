//! One day gone through event by event: what each wire and part came to, and what turned for which reason. Powers in steps,
//! times in milliseconds since midnight of day 1, energies in [`Energy`].
//!
//! A reason is found at the very millisecond at which something turns: from the wire whose offer changed up to the part
//! that changed of itself there. What a contact does after its lag or its timer is traced back to what flipped its signal.
//! Of what turns all day long only the first turns are kept; the rest is counted.

use super::explanation::{MOST_STRETCHES, Stretches};
use super::turn::{PartTurn, TurnKind, TurnReason};
use crate::net::Controls;
use crate::plan::{Function, Plan, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Clockwork, Engine, PartState};
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

/// What there is at one moment.
#[derive(Clone, Debug)]
struct Moment {
    offer: Vec<u64>,
    take: Vec<u64>,
    runs: Vec<bool>,
    short: Vec<bool>,
    controls: Controls,
}

impl Moment {
    fn of(engine: &Engine) -> Moment {
        let live = engine.live();
        Moment {
            offer: live.offer.clone(),
            take: live.take.clone(),
            runs: live.runs.clone(),
            short: live.short.clone(),
            controls: engine.controls().clone(),
        }
    }

    fn offered(&self, slot: Option<&Option<usize>>) -> u64 {
        slot.copied().flatten().map_or(0, |wire| self.offer[wire])
    }
}

/// A reason, and when it came about.
type Cause = (Ms, TurnReason);

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
    flips: BTreeMap<usize, (Ms, Option<Cause>)>,
    /// What turned, with its cause, in the order of time.
    turns: Vec<(Cause, PartTurn)>,
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
        let Step { contacts, turns } = self.step(before).found();
        for (cause, turn) in turns {
            let figures = &mut self.parts[turn.part];
            figures.turned = (figures.turned.0 + 1, turn.t);
            if figures.turned.0 <= MOST_TURNS {
                self.turns.push((cause, turn));
            }
        }
        let step = Walk {
            contacts,
            ..self.step(before)
        };
        let flipped: Vec<(usize, usize)> = step.flipped();
        let found: Vec<(usize, Option<Cause>)> = flipped
            .into_iter()
            .map(|(part, wire)| (part, step.cause(wire)))
            .collect();
        for (part, cause) in found {
            self.flips.insert(part, (self.t, cause));
        }
    }

    fn step<'a>(&'a self, before: &'a Moment) -> Walk<'a> {
        Walk {
            run: self,
            before,
            contacts: BTreeMap::new(),
        }
    }
}

/// What is looked at after one event.
struct Walk<'a> {
    run: &'a DayRun,
    before: &'a Moment,
    /// The contacts that turned, with their causes.
    contacts: BTreeMap<usize, Cause>,
}

/// What one event turned.
struct Step {
    contacts: BTreeMap<usize, Cause>,
    turns: Vec<(Cause, PartTurn)>,
}

impl Walk<'_> {
    /// What turned, with its cause.
    fn found(mut self) -> Step {
        let (run, t) = (self.run, self.run.t);
        let (now, before) = (&run.now, self.before);
        let mut turns = Vec::new();
        let mut add = |part: usize, kind: TurnKind, cause: Cause| {
            turns.push((cause, PartTurn { t, kind, part }));
        };
        for part in 0..run.parts.len() {
            let conducts = now.controls.conducts[part];
            if conducts != before.controls.conducts[part] {
                let cause = self.contact(part, conducts);
                self.contacts.insert(part, cause);
                let kind = if conducts {
                    TurnKind::Closes
                } else {
                    TurnKind::Opens
                };
                add(part, kind, cause);
            }
        }
        for (part, node) in run.engine.net().nodes.iter().enumerate() {
            let slot = |slots: &[Option<usize>]| slots.first().copied().flatten();
            let turned = match node.spec {
                Some(Spec::Battery { .. }) => {
                    let output = now.controls.output[part];
                    let is_new = output != before.controls.output[part];
                    let (kind, reason) = match output {
                        true => (TurnKind::OutputOn, TurnReason::Back(part)),
                        false => (TurnKind::OutputOff, TurnReason::Empty(part)),
                    };
                    is_new.then_some((kind, Some((t, reason))))
                }
                Some(Spec::Changeover(least)) => {
                    let on = |moment: &Moment| moment.offered(node.ins.first()) >= least;
                    let kind = if on(now) {
                        TurnKind::ToMain
                    } else {
                        TurnKind::ToBackup
                    };
                    let cause = || slot(&node.ins).and_then(|wire| self.cause(wire));
                    (on(now) != on(before)).then(|| (kind, cause()))
                }
                Some(Spec::Load { .. }) => {
                    let kind = if now.runs[part] {
                        TurnKind::Starts
                    } else {
                        TurnKind::Stops
                    };
                    let cause = || slot(&node.ins).and_then(|wire| self.cause(wire));
                    (now.runs[part] != before.runs[part]).then(|| (kind, cause()))
                }
                _ => None,
            };
            if let Some((kind, cause)) = turned {
                add(part, kind, cause.unwrap_or((t, TurnReason::Follows(part))));
            }
        }
        Step {
            contacts: self.contacts,
            turns,
        }
    }

    /// Why a contact turned.
    fn contact(&self, part: usize, conducts: bool) -> Cause {
        let (run, t) = (self.run, self.run.t);
        let earlier = t.saturating_sub(run.lag);
        let follows = (t, TurnReason::Follows(part));
        let Some(Spec::Contact {
            breaks, function, ..
        }) = &run.engine.net().nodes[part].spec
        else {
            return follows;
        };
        if run.engine.contact(part, t).is_some_and(|look| look.held) {
            return (t, TurnReason::Held(part));
        }
        let truth = conducts != *breaks;
        let flip = || {
            let (at, cause) = run.flips.get(&part)?;
            cause.filter(|_| *at == earlier)
        };
        match function {
            Function::Manual { .. }
            | Function::Button { .. }
            | Function::Twilight(_)
            | Function::Clock(..)
            | Function::Home
            | Function::Detector(_) => {
                let contact = part;
                (t, TurnReason::ByTime { contact, truth })
            }
            Function::Charge { .. } => {
                let (contact, low) = (part, truth);
                (earlier, TurnReason::Charge { contact, low })
            }
            Function::OnDelay(1..) if truth => (earlier, TurnReason::Timer(part)),
            Function::OffDelay(1..) | Function::Pulse(_) if !truth => {
                (earlier, TurnReason::Timer(part))
            }
            _ => flip().unwrap_or(follows),
        }
    }

    /// Contacts of which a signal became live or dead, each with the wire.
    fn flipped(&self) -> Vec<(usize, usize)> {
        let nodes = self.run.engine.net().nodes.iter().enumerate();
        let mut found = Vec::new();
        for (part, node) in nodes {
            let Some(Spec::Contact { coil, .. }) = node.spec else {
                continue;
            };
            let live = |moment: &Moment, wire: usize| moment.offer[wire] >= coil;
            let mut signals = node.signals.iter().flatten().copied();
            let wire = signals.find(|w| live(&self.run.now, *w) != live(self.before, *w));
            found.extend(wire.map(|wire| (part, wire)));
        }
        found
    }

    /// What changed of itself, up a wire whose offer changed.
    fn cause(&self, mut wire: usize) -> Option<Cause> {
        let (run, net) = (self.run, self.run.engine.net());
        let (now, before) = (&run.now, self.before);
        for _ in 0..=net.nodes.len() {
            let rises = now.offer[wire] > before.offer[wire];
            let part = net.part_of[net.wires[wire].from];
            let node = &net.nodes[part];
            let first = || node.ins.first().copied().flatten();
            let up = match &node.spec {
                Some(Spec::Source { .. }) => {
                    let of = |moment: &Moment| moment.controls.available[part];
                    let (before, gives) = (of(before), of(now));
                    let reason = TurnReason::Source {
                        part,
                        before,
                        gives,
                    };
                    return (before != gives).then_some((run.t, reason));
                }
                Some(Spec::Battery { .. }) => {
                    let output = now.controls.output[part];
                    let reason = match output {
                        true => TurnReason::Back(part),
                        false => TurnReason::Empty(part),
                    };
                    let is_new = output != before.controls.output[part];
                    return is_new.then_some((run.t, reason));
                }
                Some(Spec::Contact { .. }) => match self.contacts.get(&part) {
                    Some(cause) => return Some(*cause),
                    None => first(),
                },
                Some(Spec::Busbar(_)) => self.most_changed(&node.ins, rises),
                Some(Spec::Changeover(least)) => {
                    let on = |moment: &Moment| moment.offered(node.ins.first()) >= *least;
                    match on(now) == on(before) && !on(now) {
                        true => node.ins.get(1).copied().flatten(),
                        false => first(),
                    }
                }
                _ => first(),
            };
            wire = up?;
        }
        None
    }

    /// Of these inputs the one whose offer rose most, or fell most.
    fn most_changed(&self, ins: &[Option<usize>], rises: bool) -> Option<usize> {
        let by = |wire: &usize| {
            let (now, before) = (self.run.now.offer[*wire], self.before.offer[*wire]);
            match rises {
                true => now.saturating_sub(before),
                false => before.saturating_sub(now),
            }
        };
        let wires = ins.iter().flatten().copied();
        wires.rev().max_by_key(by).filter(|wire| by(wire) > 0)
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

impl DaySeen {
    /// When it is dark and when not: the moments of the day at which that changes, and whether it is dark from then on.
    pub fn dark_changes(&self, plan: &Plan) -> Vec<(Ms, bool)> {
        let dark = Clockwork::of_duty(crate::plan::When::Dark, &plan.world, &plan.world.sky());
        let mut was = dark.truth(self.from);
        let (mut found, mut at) = (Vec::new(), self.from);
        while let Some(t) = dark.next(at).filter(|t| *t < self.to) {
            if dark.truth(t) != was {
                was = !was;
                found.push((t, was));
            }
            at = t;
        }
        found
    }
}
