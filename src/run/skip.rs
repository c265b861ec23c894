//! Days that go by like the one before, but that batteries are fuller or emptier by the same each time: told, not run.
//!
//! A day in which no battery reached a threshold, and after which everything but levels is as before it, is followed by
//! its like for as long as no level comes to a threshold. That is found to the day, so that what is told is to the last
//! integer what running would tell. It is for days of the same weather, and not for the first day, which may begin unlike
//! any other. Times in milliseconds.

use super::engine::{Engine, Foreseen};
use super::{BOUND, Midnight};
use crate::quantity::{Energy, Ms};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// A midnight to which a later one is compared.
#[derive(Clone, Debug)]
pub struct Mark {
    t: Ms,
    state: Midnight,
    thresholds: u64,
    events: u64,
    told: (usize, usize),
    settled: bool,
}

impl Engine {
    /// Marks the midnight `t`, to which the engine has come, that millisecond's events applied.
    pub fn mark(&mut self, t: Ms) -> Mark {
        for battery in self.batteries.values_mut() {
            let level = battery.at(t);
            battery.reach = (level, level);
        }
        Mark {
            t,
            state: self.midnight(t),
            thresholds: self.thresholds,
            events: self.events,
            told: self.recorder.as_ref().map_or((0, 0), |r| r.length()),
            settled: self.pending == 0,
        }
    }

    /// At the midnight `t`, a day after the mark: goes over at most `most` days that will be like the last. Answers with
    /// the state at each midnight so come to; none where days can't be told without running them.
    pub fn skip(&mut self, mark: &Mark, t: Ms, most: u64) -> Vec<Midnight> {
        let state = self.midnight(t);
        let (Some(moves), Some(recorder)) = (state.moved(&mark.state), &self.recorder) else {
            return Vec::new();
        };
        let events = self.events - mark.events;
        let sound = mark.settled
            && self.pending == 0
            && self.chattered.is_empty()
            && recorder.is_trace()
            && t - mark.t == self.day
            && self.thresholds == mark.thresholds
            && self.stopped.is_none();
        let days = if sound {
            self.alike(&moves, t, most)
        } else {
            0
        };
        let told = u64::try_from(Energy::from(events) * Energy::from(days)).unwrap_or(u64::MAX);
        let kept = (recorder.length().0 - mark.told.0) as u64;
        let kept = recorder.kept().saturating_add(kept.saturating_mul(days));
        if days == 0 || self.events.saturating_add(told) >= BOUND || kept >= self.most_kept {
            return Vec::new();
        }
        self.go_over(&moves, days);
        self.events += told;
        if let Some(recorder) = &mut self.recorder {
            recorder.tell_again(mark.told, self.day, days);
        }
        let states = (1..=days).map(|times| state.ahead(&moves, times));
        states.collect()
    }

    /// How many days will pass before a level comes to a threshold.
    fn alike(&self, moves: &BTreeMap<usize, Energy>, t: Ms, most: u64) -> u64 {
        let mut days = Energy::from(most);
        for (part, by) in moves.iter().filter(|(_, by)| **by != 0) {
            let Some(battery) = self.batteries.get(part) else {
                return 0;
            };
            if self.controls.full[*part] {
                return 0;
            }
            let (mut floor, mut ceiling) = (0, battery.capacity);
            if self.controls.output[*part] {
                floor = floor.max(battery.cut_out);
            } else {
                ceiling = ceiling.min(battery.cut_in);
            }
            for (contact, low, high) in &battery.watchers {
                if self.contacts.get(contact).is_some_and(|c| c.memory.truth) {
                    ceiling = ceiling.min(*high);
                } else {
                    floor = floor.max(*low);
                }
            }
            let level = battery.at(t);
            let (low, high) = (battery.reach.0.min(level), battery.reach.1.max(level));
            // Strictly between, in the day just run and in every day gone over.
            if low <= floor || high >= ceiling {
                return 0;
            }
            let room = if *by < 0 {
                low - floor - 1
            } else {
                ceiling - high - 1
            };
            days = days.min(room / by.abs());
        }
        u64::try_from(days).unwrap_or(0)
    }

    fn go_over(&mut self, moves: &BTreeMap<usize, Energy>, days: u64) {
        let later = days * self.day;
        let queue = std::mem::take(&mut self.queue).into_iter();
        let keeps = |what: &Foreseen| !matches!(what, Foreseen::Threshold(_));
        self.queue = queue
            .filter(|Reverse((_, what, _))| keeps(what))
            .map(|Reverse((at, what, part))| Reverse((at.saturating_add(later), what, part)))
            .collect::<BinaryHeap<_>>();
        for contact in self.contacts.values_mut() {
            contact.due = contact.due.map(|due| due + later);
            contact.memory.since = contact.memory.since.map(|since| since + later);
        }
        let parts: Vec<usize> = self.batteries.keys().copied().collect();
        for part in parts {
            if let Some(battery) = self.batteries.get_mut(&part) {
                battery.level += moves.get(&part).copied().unwrap_or(0) * Energy::from(days);
                battery.since += later;
            }
            self.foresee_battery(part);
        }
        self.now += later;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Plan, read_plan};
    use crate::run::Trace;

    /// A panel that gives less in a day than the beacon behind the vault takes at night.
    fn plan() -> Plan {
        let document = serde_json::json!({
            "format": "duskline/plan", "version": 1, "book": "outpost",
            "world": {"sky": {"latitude": 56, "day_of_year": 80}},
            "parts": [
                {"id": "p1", "type": "sun-panel-small"}, {"id": "p2", "type": "tap"},
                {"id": "p3", "type": "battery-vault", "count": 2, "set": {"start": 700}},
                {"id": "p4", "type": "relay", "set": {"contact": "break"}}, {"id": "p5", "type": "beacon"},
            ],
            "wires": [
                {"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.tap", "to": "p4.coil"},
                {"id": "w3", "from": "p2.rest", "to": "p3.in"}, {"id": "w4", "from": "p3.out", "to": "p4.feed"},
                {"id": "w5", "from": "p4.out", "to": "p5.in"},
            ],
        });
        read_plan(&document.to_string()).expect("a sound plan")
    }

    /// The trace of so many days, days that can be told without running them told or run; and how many were told.
    fn traced(plan: &Plan, days: u64, tell: bool) -> (Trace, Midnight, usize) {
        let (mut engine, day) = (Engine::tracing(plan), plan.world.day_ms());
        let (mut number, mut told, mut mark) = (0, 0, None);
        while number < days {
            engine.advance(number * day + 1);
            if let Some(mark) = mark.take().filter(|_| tell) {
                let states = engine.skip(&mark, number * day, days - 1 - number);
                if let Some(last) = states.last() {
                    told += states.len();
                    number += states.len() as u64;
                    assert_eq!(engine.midnight(number * day), *last);
                }
            }
            mark = (number > 0).then(|| engine.mark(number * day));
            number += 1;
        }
        engine.advance(days * day + 1);
        let state = engine.midnight(days * day);
        (engine.into_trace(days * day), state, told)
    }

    #[test]
    fn days_that_are_told_are_as_if_they_were_run() {
        let plan = plan();
        for days in [5, 20, 30, 45, 60] {
            let (run, state, _) = traced(&plan, days, false);
            let (skipped, same, told) = traced(&plan, days, true);
            assert!(told > 0, "{days}: days are told");
            assert_eq!((skipped, same), (run, state), "{days}");
        }
    }
}
