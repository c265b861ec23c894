//! A run held at one instant, so that its contacts can be tried: sources give what they are told, batteries neither fill
//! nor empty, and sensors, switches and buttons do what they are told. Lag and timers go on as ever.

use super::Midnight;
use super::engine::{Batch, Engine, Foreseen, Stop};
use crate::quantity::Ms;
use std::cmp::Reverse;

/// A run held at an instant.
#[derive(Clone, Debug)]
pub struct Frozen {
    engine: Engine,
}

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
        engine.supplies.clear();
        engine.recorder = None;
        engine.chattered.clear();
        engine.stopped = None;
        engine.events = 0;
        Frozen { engine }
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

    /// What the contacts remember and do, to be compared.
    pub fn state(&self) -> Midnight {
        self.engine.midnight(self.engine.now)
    }

    /// Sets functions true or false and what sources give, all in one millisecond after the last.
    pub fn set(&mut self, truths: &[(usize, bool)], powers: &[(usize, u64)]) {
        let engine = &mut self.engine;
        // Each change has the bound of events to itself: those before it, which a copy takes along, are no part of it.
        engine.events = 0;
        engine.stopped = None;
        let t: Ms = engine.now.saturating_add(1);
        let mut batch = Batch::default();
        for (part, steps) in powers {
            if std::mem::replace(&mut engine.controls.available[*part], *steps) != *steps {
                engine.live.touch(&engine.net, *part);
            }
        }
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
    use crate::run::BOUND;

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
