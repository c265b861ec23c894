//! A run held at one instant, so that its contacts can be tried: sources give what they are told, batteries neither fill
//! nor empty, and sensors, switches and buttons do what they are told. Lag and timers go on as ever.

use super::engine::{Batch, Engine, Foreseen, Stop};
use super::function::delay;
use crate::quantity::Ms;
use std::cmp::Reverse;
use std::sync::Arc;

/// A run held at an instant.
#[derive(Clone, Debug)]
pub struct Frozen {
    engine: Engine,
    /// The moment that it is put back to: late enough for every timer to have run out.
    rest: Ms,
}

/// What contacts remember and do once nothing is pending and every timer has run out. Two are equal where the states are.
///
/// It takes a byte a contact, and a few more for a counter: thousands may be kept where a whole run would not fit.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Settled(Arc<[u8]>);

/// The bits of a contact's byte.
const CONDUCTS: u8 = 1;
const TRUTH: u8 = 2;
const BEFORE: [u8; 2] = [4, 8];
const HELD: u8 = 16;
/// A timer that has run out and is not set back, as an on-delay's.
const RUN_OUT: u8 = 32;
/// The eight bytes of its count come next.
const COUNTED: u8 = 64;

/// What was met on the way to a rest, by parts' places in the plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reached {
    /// Loads that ran at some moment.
    pub ran: Vec<bool>,
    /// Contacts that conducted at some moment.
    pub conducted: Vec<bool>,
}

impl Reached {
    /// Nothing yet, of so many parts.
    pub fn new(parts: usize) -> Reached {
        Reached {
            ran: vec![false; parts],
            conducted: vec![false; parts],
        }
    }
}

impl Frozen {
    /// Holds an engine where it has come to.
    pub fn new(mut engine: Engine) -> Frozen {
        let queue = std::mem::take(&mut engine.queue).into_iter();
        let goes_on = |what: &Foreseen| matches!(what, Foreseen::Timer | Foreseen::Due);
        engine.queue = queue
            .filter(|Reverse((_, what, _))| goes_on(what))
            .collect();
        engine.batteries.clear();
        engine.supplies = Arc::default();
        engine.recorder = None;
        engine.chattered.clear();
        engine.stopped = None;
        engine.events = 0;
        let delays = engine.contacts.values().map(|c| delay(&c.function));
        let longest = delays.flatten().max().unwrap_or(0);
        Frozen {
            rest: engine.now.max(longest),
            engine,
        }
    }

    /// Whether the function of a contact is true.
    pub fn truth(&self, part: usize) -> bool {
        let contact = self.engine.contacts.get(&part);
        contact.is_some_and(|c| c.memory.truth)
    }

    /// Whether a contact conducts.
    pub fn conducts(&self, part: usize) -> bool {
        self.engine.controls.conducts[part]
    }

    /// Whether a load runs.
    pub fn runs(&self, part: usize) -> bool {
        self.engine.live.runs[part]
    }

    /// What a source gives, in steps.
    pub fn available(&self, part: usize) -> u64 {
        self.engine.controls.available[part]
    }

    /// What the contacts remember and do, after [`Frozen::settle`] found a rest.
    pub fn settled(&self) -> Settled {
        let engine = &self.engine;
        let mut bytes = Vec::with_capacity(engine.contacts.len());
        for (part, contact) in &engine.contacts {
            let memory = &contact.memory;
            let bit = |is: bool, bit: u8| if is { bit } else { 0 };
            bytes.push(
                bit(engine.controls.conducts[*part], CONDUCTS)
                    | bit(memory.truth, TRUTH)
                    | bit(memory.before[0], BEFORE[0])
                    | bit(memory.before[1], BEFORE[1])
                    | bit(contact.held, HELD)
                    | bit(memory.since.is_some(), RUN_OUT)
                    | bit(memory.count > 0, COUNTED),
            );
            if memory.count > 0 {
                bytes.extend(memory.count.to_be_bytes());
            }
        }
        Settled(bytes.into())
    }

    /// Puts the contacts back to a rest of this run, and sources to what they gave then.
    pub fn put_back(&mut self, settled: &Settled, powers: &[(usize, u64)]) {
        let engine = &mut self.engine;
        engine.queue.clear();
        engine.chattered.clear();
        engine.pending = 0;
        engine.stopped = None;
        engine.events = 0;
        engine.now = self.rest;
        // Changes are counted by round.
        engine.round += 1;
        let mut bytes = settled.0.iter().copied();
        for (part, contact) in &mut engine.contacts {
            let bits = bytes.next().unwrap_or(0);
            let is = |bit: u8| bits & bit != 0;
            let memory = &mut contact.memory;
            memory.truth = is(TRUTH);
            memory.before = BEFORE.map(is);
            memory.set_left(&contact.function, is(RUN_OUT).then_some(0), self.rest);
            memory.count = 0;
            if is(COUNTED) {
                let count = bytes.by_ref().take(size_of::<u64>());
                memory.count = count.fold(0, |count, byte| count << 8 | u64::from(byte));
            }
            contact.due = None;
            contact.held = is(HELD);
            let conducts = &mut engine.controls.conducts[*part];
            if std::mem::replace(conducts, is(CONDUCTS)) != is(CONDUCTS) {
                engine.live.touch(&engine.net, *part);
            }
        }
        self.give(powers);
        let engine = &mut self.engine;
        engine.live.solve(&engine.net, &engine.controls);
    }

    /// Lets sources give so much from the next solve on.
    fn give(&mut self, powers: &[(usize, u64)]) {
        let engine = &mut self.engine;
        for (part, steps) in powers {
            if std::mem::replace(&mut engine.controls.available[*part], *steps) != *steps {
                engine.live.touch(&engine.net, *part);
            }
        }
    }

    /// Sets functions true or false and what sources give, all in one millisecond after the last.
    pub fn set(&mut self, truths: &[(usize, bool)], powers: &[(usize, u64)]) {
        self.give(powers);
        let engine = &mut self.engine;
        // Each change has the bound of events to itself: those before it, which a copy takes along, are no part of it.
        engine.events = 0;
        engine.stopped = None;
        let t: Ms = engine.now.saturating_add(1);
        let mut batch = Batch::default();
        for (part, truth) in truths {
            let Some(contact) = engine.contacts.get_mut(part) else {
                continue;
            };
            contact.memory.truth = *truth;
            if contact.clockwork.is_none() {
                batch.look.push(*part);
            } else if !contact.held && contact.wants() != engine.controls.conducts[*part] {
                engine.change(t, *part, &mut batch);
            }
        }
        engine.work_out(t, batch);
    }

    /// Goes on until nothing is pending and every timer has run out; false where that does not come about within `most`
    /// changes or the bound of events, or a contact chatters.
    pub fn settle(&mut self, most: u64, reached: &mut Reached) -> bool {
        self.note(reached);
        for _ in 0..most {
            let stop = self.engine.advance_some(Ms::MAX, 1);
            self.note(reached);
            if !self.engine.chattered.is_empty() {
                return false;
            }
            match stop {
                Stop::Paused => {}
                Stop::Complete => return true,
                Stop::TooManyEvents => return false,
            }
        }
        false
    }

    /// The contacts that chattered.
    pub fn chattered(&self) -> Vec<usize> {
        self.engine.chattered.iter().copied().collect()
    }

    fn note(&self, reached: &mut Reached) {
        let live = &self.engine.live;
        for (ran, runs) in reached.ran.iter_mut().zip(&live.runs) {
            *ran |= runs;
        }
        let controls = &self.engine.controls;
        for (had, does) in reached.conducted.iter_mut().zip(&controls.conducts) {
            *had |= does;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::Plan;
    use crate::run::{BOUND, Midnight};
    use std::collections::BTreeMap;

    /// Three switches at everything that remembers, one of them at a relay that cuts its own coil; a panel at a relay.
    fn memories() -> Plan {
        plan(
            r#"{ "world": { "sky": { "latitude": 50, "day_of_year": 80 } },
                 "parts": { "s1": "switch", "s2": "switch", "s3": "switch", "panel": "sun-panel",
                            "g": "generator", "g1": "generator", "g2": "generator", "g3": "generator", "g4": "generator",
                            "g5": "generator", "g6": "generator", "g7": "generator",
                            "d": "divider-4", "d1": "divider-4", "d2": "divider-4", "d3": "divider-2",
                            "latch": "latch", "impulse": "impulse", "counter": ["counter", { "target": 300 }],
                            "on": ["on-delay", { "delay_s": 3600 }], "off": ["off-delay", { "delay_s": 5 }],
                            "pulse": ["pulse", { "delay_s": 7, "contact": "break" }], "dusk": ["relay", { "contact": "break" }],
                            "buzzer": ["relay", { "contact": "break" }],
                            "l1": "lamp", "l2": "lamp", "l3": "lamp", "l4": "lamp", "l5": "lamp", "l6": "lamp", "l7": "lamp" },
                 "wires": ["g.out d.in", "d.out1 s1.feed", "d.out2 s2.feed", "d.out3 s3.feed", "s1.out d1.in", "s2.out d2.in",
                           "d1.out1 latch.set", "d1.out2 impulse.trigger", "d1.out3 counter.count", "d1.out4 on.trigger",
                           "d2.out1 latch.reset", "d2.out2 off.trigger", "d2.out3 pulse.trigger",
                           "s3.out buzzer.feed", "buzzer.out d3.in", "d3.out1 buzzer.coil", "d3.out2 counter.reset",
                           "panel.out dusk.coil",
                           "g1.out latch.feed", "latch.out l1.in", "g2.out impulse.feed", "impulse.out l2.in",
                           "g3.out counter.feed", "counter.out l3.in", "g4.out on.feed", "on.out l4.in",
                           "g5.out off.feed", "off.out l5.in", "g6.out pulse.feed", "pulse.out l6.in",
                           "g7.out dusk.feed", "dusk.out l7.in"] }"#,
        )
    }

    /// All that can be told apart of a run at rest but the time.
    fn shows(frozen: &Frozen) -> impl PartialEq + std::fmt::Debug + use<> {
        let engine = &frozen.engine;
        let live = &engine.live;
        let controls = &engine.controls;
        (
            (live.offer.clone(), live.take.clone(), live.runs.clone()),
            (controls.conducts.clone(), controls.available.clone()),
            (engine.midnight(engine.now), engine.pending),
        )
    }

    #[test]
    fn a_run_put_back_to_a_rest_goes_on_as_one_that_was_kept_whole() {
        const PANEL: usize = 3;
        let plan = memories();
        let mut engine = Engine::new(&plan);
        engine.advance(12 * 3_600_000 + 1);
        let mut whole = Frozen::new(engine);
        let mut work = whole.clone();
        let day = whole.available(PANEL);
        assert!(day > 0 && whole.settle(2_000, &mut Reached::default()));
        let (mut told, mut states) = (BTreeMap::new(), BTreeMap::new());
        let (mut sky, mut chatters, mut random) = (day, 0, 7u32);
        for step in 0..900 {
            let settled = whole.settled();
            let state: Midnight = whole.engine.midnight(whole.engine.now);
            // As many tellings as states, and the same ones.
            assert_eq!(*told.entry(settled.clone()).or_insert(state.clone()), state);
            assert_eq!(*states.entry(state).or_insert(settled.clone()), settled);
            work.put_back(&settled, &[(PANEL, sky)]);
            assert_eq!(shows(&work), shows(&whole), "step {step}");
            random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let choice = random >> 16;
            let (truths, powers) = match choice % 8 {
                7 => (vec![], vec![(PANEL, day - sky)]),
                6 => (vec![(2, !whole.truth(2))], vec![]),
                some => (
                    vec![(some as usize % 2, !whole.truth(some as usize % 2))],
                    vec![],
                ),
            };
            let mut next = whole.clone();
            let mut met = [
                Reached::new(plan.parts.len()),
                Reached::new(plan.parts.len()),
            ];
            next.set(&truths, &powers);
            work.set(&truths, &powers);
            let rests = next.settle(2_000, &mut met[0]);
            assert_eq!(work.settle(2_000, &mut met[1]), rests, "step {step}");
            assert_eq!(met[0], met[1], "step {step}");
            assert_eq!(work.chattered(), next.chattered());
            if !rests {
                chatters += 1;
                continue;
            }
            assert_eq!(shows(&work), shows(&next), "step {step}");
            sky = powers.first().map_or(sky, |(_, steps)| *steps);
            whole = next;
        }
        assert!(
            told.len() > 100 && chatters > 20,
            "{} {chatters}",
            told.len()
        );
    }

    #[test]
    fn a_change_has_the_bound_of_events_to_itself() {
        let plan = plan(
            r#"{"parts": {"g": "generator", "d": "divider-2", "s": ["switch", {"closed": false}], "r": "relay", "l": "lamp"},
                "wires": ["g.out d.in", "d.out1 s.feed", "s.out r.coil", "d.out2 r.feed", "r.out l.in"]}"#,
        );
        let mut frozen = Frozen::new(Engine::new(&plan));
        let mut reached = Reached::new(plan.parts.len());
        assert!(frozen.settle(9, &mut reached) && !frozen.runs(4));
        // As after many changes before.
        frozen.engine.events = BOUND;
        frozen.set(&[(2, true)], &[]);
        assert!(frozen.settle(9, &mut reached) && frozen.runs(4));
        // And one that goes past the bound has not come to rest.
        frozen.set(&[(2, false)], &[]);
        frozen.engine.events = BOUND;
        assert!(!frozen.settle(9, &mut reached));
    }
}
