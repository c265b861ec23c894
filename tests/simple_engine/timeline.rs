//! A run, one millisecond at a time: each is solved in full, whether anything has changed or not.
//!
//! Energies in step·ms, battery levels in 1/1000 step·ms, times in milliseconds since midnight of day 1. The bound of
//! 1,000,000 events is not looked at: this engine is for short worlds, with fewer milliseconds than that.

use super::contacts::{Function, Memory, factors, home_hours};
use super::decimal::{Decimal, Stretch};
use super::instant::{Conditions, Net, Solved, solve};
use super::model::{Battery, Kind, Model, Profile};
use super::outcome::{Event, Outcome, What};
use super::sky::Sky;
use serde_json::Value;

/// At its this many'th change, counted since nothing was last pending, a contact chatters.
const CHATTER: u32 = 100;

/// A plan's surroundings.
pub struct World {
    sky: Sky,
    weather: Vec<Decimal>,
    wind: Vec<Decimal>,
    home: Vec<Stretch>,
}

impl World {
    /// Reads a plan's world.
    pub fn new(world: &Value, day_ms: i64) -> Self {
        Self {
            sky: Sky::new(&world["sky"], day_ms),
            weather: factors(world, "weather", "1"),
            wind: factors(world, "wind", "0"),
            home: home_hours(world, day_ms),
        }
    }

    /// What one source of a bank gives at a millisecond.
    fn gives(&self, peak: i64, profile: Profile, t: i64, day_ms: i64) -> i64 {
        let dial = t % day_ms;
        match profile {
            Profile::Steady => peak,
            Profile::Wind => {
                let hour = dial * 24 / day_ms;
                let factor = self.wind[usize::try_from(hour).expect("an hour") % self.wind.len()];
                i64::try_from(factor.times_floored(i128::from(peak))).expect("steps")
            }
            Profile::Sun { azimuth, tilt } => {
                let day = usize::try_from(t / day_ms).expect("a day");
                let weather = self.weather[day % self.weather.len()].float();
                let product = peak as f64 * self.sky.share(dial, azimuth, tilt) * weather;
                // "Less than 1e-9 below a whole step counts as that step."
                (product + 1e-9).floor() as i64
            }
        }
    }
}

/// A contact through time.
#[derive(Clone, Debug, Default)]
struct Contact {
    memory: Memory,
    due: Option<i64>,
    changes: u32,
    held: bool,
}

/// A run in progress.
pub struct Timeline<'a> {
    net: &'a Net,
    world: &'a World,
    contacts: Vec<Contact>,
    levels: Vec<i128>,
    now: Conditions,
    solved: Solved,
}

impl<'a> Timeline<'a> {
    /// The starting state, with the first solve at t = 0 done.
    pub fn start(net: &'a Net, world: &'a World) -> Self {
        let parts = &net.model.parts;
        let levels: Vec<i128> = parts
            .iter()
            .map(|part| battery(&part.kind).map_or(0, |b| b.start))
            .collect();
        let mut timeline = Self {
            net,
            world,
            contacts: vec![Contact::default(); parts.len()],
            now: Conditions {
                available: vec![0; parts.len()],
                output: parts
                    .iter()
                    .map(|part| battery(&part.kind).is_some_and(|b| b.start > b.cut_out))
                    .collect(),
                full: vec![false; parts.len()],
                // With every Q false, a break contact conducts and a make contact does not.
                conducts: parts
                    .iter()
                    .map(|part| matches!(part.kind, Kind::Contact { breaks: true, .. }))
                    .collect(),
            },
            solved: Solved {
                offers: vec![],
                takes: vec![],
                runs: vec![],
            },
            levels,
        };
        for part in 0..parts.len() {
            if let Some(wanted) = timeline.wanted_at_once(part, 0) {
                timeline.now.conducts[part] = wanted;
            }
        }
        timeline.solve(0);
        timeline
    }

    /// Runs from 0 to `until`, which is left out, looking closer at the times in `at`.
    pub fn run(mut self, until: i64, at: &[i64]) -> Outcome {
        let mut outcome = Outcome::new(&self.net.model);
        for t in 0..until {
            let before = (self.now.clone(), self.solved.runs.clone());
            let chattered = if t > 0 { self.step(t) } else { Vec::new() };
            for part in 0..self.levels.len() {
                for what in self.changes(part, &before.0, &before.1, chattered.contains(&part)) {
                    outcome.events.push(Event {
                        t,
                        part: self.model().parts[part].id.clone(),
                        what,
                    });
                }
            }
            outcome.add(t, self.model(), &self.now, &self.solved);
            if at.contains(&t) {
                let counted: Vec<i64> = self
                    .contacts
                    .iter()
                    .map(|contact| contact.memory.counted)
                    .collect();
                outcome.look(
                    t,
                    self.model(),
                    &self.now,
                    &self.solved,
                    &self.levels,
                    &counted,
                );
            }
        }
        if until > 0 {
            self.flow();
        }
        outcome.finish(self.model(), &self.levels);
        outcome
    }

    fn model(&self) -> &'a Model {
        &self.net.model
    }

    /// Goes on to millisecond `t` from the one before; says which contacts chatter.
    fn step(&mut self, t: i64) -> Vec<usize> {
        self.flow();
        self.switch_outputs();
        self.release(t);
        let chattered = self.change_contacts(t);
        self.solve(t);
        chattered
    }

    /// One millisecond's energy into and out of every battery.
    fn flow(&mut self) {
        for (index, part) in self.net.model.parts.iter().enumerate() {
            if let Some(battery) = battery(&part.kind) {
                let take = |wire: Option<usize>| {
                    i128::from(wire.map_or(0, |wire| self.solved.takes[wire]))
                };
                let change = take(part.inputs[0]) * i128::from(battery.efficiency)
                    - 1000 * take(part.outputs[0]);
                self.levels[index] = (self.levels[index] + change).clamp(0, battery.capacity);
            }
        }
    }

    fn switch_outputs(&mut self) {
        for (index, part) in self.net.model.parts.iter().enumerate() {
            if let Some(battery) = battery(&part.kind) {
                let level = self.levels[index];
                let on = self.now.output[index];
                self.now.output[index] = if on {
                    level > battery.cut_out
                } else {
                    level >= battery.cut_in
                };
            }
        }
    }

    /// Ends what is held by chatter at a midnight.
    ///
    /// AMBIGUOUS (counts): "all counts start again at 0 there" is read of a midnight that ends a hold, which is why it is
    /// an event; a midnight with nothing held leaves the counts alone. The counts start again before the changes of that
    /// very millisecond are counted.
    fn release(&mut self, t: i64) {
        if t % self.model().day_ms == 0 && self.contacts.iter().any(|contact| contact.held) {
            for contact in &mut self.contacts {
                contact.held = false;
                contact.changes = 0;
            }
        }
    }

    /// What a contact that changes at once is to do; `None` for one that lags.
    fn wanted_at_once(&self, part: usize, t: i64) -> Option<bool> {
        let Kind::Contact {
            function, breaks, ..
        } = &self.model().parts[part].kind
        else {
            return None;
        };
        let q = function.at_once(t, self.model().day_ms, &self.world.sky, &self.world.home);
        q.map(|q| q != *breaks)
    }

    fn change_contacts(&mut self, t: i64) -> Vec<usize> {
        let mut chattered = Vec::new();
        for part in 0..self.contacts.len() {
            let conducts = self.now.conducts[part];
            let changes = match self.wanted_at_once(part, t) {
                Some(wanted) => wanted != conducts,
                None => self.contacts[part].due == Some(t),
            };
            let contact = &mut self.contacts[part];
            if !changes || contact.held {
                continue;
            }
            contact.due = None;
            // AMBIGUOUS (who chatters): every contact's changes count, also of those that change at once.
            contact.changes += 1;
            if contact.changes < CHATTER {
                self.now.conducts[part] = !conducts;
            } else {
                // AMBIGUOUS (the 100th change): "from that change on it is held open", so where it would have closed,
                // it stays open and only `chatters` is said.
                contact.held = true;
                self.now.conducts[part] = false;
                chattered.push(part);
            }
        }
        chattered
    }

    /// Solves the instant, then works out every Q and what falls due when.
    fn solve(&mut self, t: i64) {
        let model = self.model();
        for (index, part) in model.parts.iter().enumerate() {
            match &part.kind {
                Kind::Source { peak, profile } => {
                    self.now.available[index] =
                        part.count * self.world.gives(*peak, *profile, t, model.day_ms);
                }
                Kind::Battery(battery) => {
                    self.now.full[index] = self.levels[index] == battery.capacity
                }
                _ => {}
            }
        }
        self.solved = solve(self.net, &self.now);
        for (index, part) in model.parts.iter().enumerate() {
            if let Kind::Contact {
                function,
                coil,
                breaks,
            } = &part.kind
            {
                self.settle(index, function, *coil, *breaks, t);
            }
        }
        if self.contacts.iter().all(|contact| contact.due.is_none()) {
            for contact in &mut self.contacts {
                contact.changes = 0;
            }
        }
    }

    /// Works out one contact's Q and its pending change.
    ///
    /// AMBIGUOUS (while held): a held contact's function goes on working out Q, counting and timing; only the contact is
    /// kept open, with nothing pending. Released at midnight, it follows Q after the lag like any other.
    fn settle(&mut self, part: usize, function: &Function, coil: i64, breaks: bool, t: i64) {
        let mut signals = [false; 2];
        for (signal, wire) in signals
            .iter_mut()
            .zip(&self.model().parts[part].inputs[1..])
        {
            *signal = wire.is_some_and(|wire| self.solved.offers[wire] >= coil);
        }
        let level = |watched: usize| {
            let battery = battery(&self.net.model.parts[watched].kind)?;
            Some((self.levels[watched], battery.capacity))
        };
        let contact = &mut self.contacts[part];
        function.settle(&mut contact.memory, signals, t, level);
        if self.wanted_at_once(part, t).is_some() {
            return;
        }
        let contact = &mut self.contacts[part];
        let agrees = (contact.memory.q != breaks) == self.now.conducts[part];
        if agrees || contact.held {
            contact.due = None;
        } else if contact.due.is_none() {
            contact.due = Some(t + self.net.model.lag_ms);
        }
    }

    /// What changed at a part, in the order in which it is listed.
    fn changes(&self, part: usize, before: &Conditions, ran: &[bool], chatters: bool) -> Vec<What> {
        let now = &self.now;
        let turned = |before: bool, after: bool, on: What, off: What| match (before, after) {
            (false, true) => Some(on),
            (true, false) => Some(off),
            _ => None,
        };
        let mut list = Vec::new();
        list.extend(turned(
            before.conducts[part],
            now.conducts[part],
            What::Closes,
            What::Opens,
        ));
        list.extend(chatters.then_some(What::Chatters));
        list.extend((now.full[part] && !before.full[part]).then_some(What::Full));
        list.extend(turned(
            before.output[part],
            now.output[part],
            What::OutputOn,
            What::OutputOff,
        ));
        list.extend(turned(
            ran[part],
            self.solved.runs[part],
            What::Runs,
            What::Stops,
        ));
        list
    }
}

/// The battery's numbers, of a part that is one.
fn battery(kind: &Kind) -> Option<&Battery> {
    match kind {
        Kind::Battery(battery) => Some(battery),
        _ => None,
    }
}
