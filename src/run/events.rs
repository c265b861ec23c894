//! What one millisecond brings: supplies, clockworks, thresholds, contacts' changes, and the midnight that ends holds.
//!
//! Nothing is solved here; an event changes controls, says so, and names what is to be looked at after the solve.

use super::contact::Contact;
use super::engine::{Batch, Engine, Foreseen};
use super::event::What;
use crate::quantity::Ms;
use std::cmp::Reverse;

impl Engine {
    /// Applies one thing that was foreseen for `t`.
    pub(super) fn apply(&mut self, t: Ms, what: Foreseen, part: usize, batch: &mut Batch) {
        match what {
            Foreseen::Midnight => self.release(t, batch),
            Foreseen::Supply => self.supply(t, part, batch),
            Foreseen::Clockwork => self.clockwork(t, part, batch),
            Foreseen::Threshold(line) => self.threshold(t, part, line, batch),
            Foreseen::Timer => {
                let left = |c: &Contact| c.memory.left(&c.function, t);
                if self.contacts.get(&part).and_then(left) == Some(0) {
                    batch.happened = true;
                    batch.look.push(part);
                }
            }
            Foreseen::Due => {
                let Some(contact) = self.contacts.get_mut(&part) else {
                    return;
                };
                if contact.due != Some(t) {
                    return;
                }
                contact.due = None;
                self.pending -= 1;
                self.change(t, part, batch);
                batch.look.push(part);
            }
        }
    }

    fn supply(&mut self, t: Ms, part: usize, batch: &mut Batch) {
        let Some(supply) = self.supplies.get(&part) else {
            return;
        };
        let (now, next) = (supply.at(t), supply.next(t));
        self.foresee(next, Foreseen::Supply, part);
        if std::mem::replace(&mut self.controls.available[part], now) != now {
            batch.happened = true;
            self.live.touch(&self.net, part);
            self.note(|r| r.available(part, t, now));
        }
    }

    fn clockwork(&mut self, t: Ms, part: usize, batch: &mut Batch) {
        let Some(contact) = self.contacts.get_mut(&part) else {
            return;
        };
        let Some(clockwork) = &contact.clockwork else {
            return;
        };
        let (truth, next) = (clockwork.truth(t), clockwork.next(t));
        let changed = std::mem::replace(&mut contact.memory.truth, truth) != truth;
        self.foresee(next, Foreseen::Clockwork, part);
        if changed {
            batch.happened = true;
            self.at_once(t, part, batch);
        }
    }

    /// Lets a contact that follows at once do so.
    fn at_once(&mut self, t: Ms, part: usize, batch: &mut Batch) {
        let Some(contact) = self.contacts.get(&part) else {
            return;
        };
        if contact.clockwork.is_some()
            && !contact.held
            && contact.wants() != self.controls.conducts[part]
        {
            self.change(t, part, batch);
        }
    }

    /// A contact's change: it does the other thing, or is held open where it chatters.
    pub(super) fn change(&mut self, t: Ms, part: usize, batch: &mut Batch) {
        let Some(contact) = self.contacts.get_mut(&part) else {
            return;
        };
        let before = self.controls.conducts[part];
        let chatters = contact.count(self.round);
        let now = !before && !chatters;
        batch.happened = true;
        self.controls.conducts[part] = now;
        if now != before {
            self.switches += 1;
            self.live.touch(&self.net, part);
            self.note(|r| r.say(t, part, if now { What::Closes } else { What::Opens }));
        }
        if chatters {
            self.chattered.insert(part);
            self.note(|r| r.say(t, part, What::Chatters));
            let midnight = (t / self.day + 1).saturating_mul(self.day);
            self.queue.push(Reverse((midnight, Foreseen::Midnight, 0)));
        }
    }

    /// The midnight at which holds end: all counts start again.
    fn release(&mut self, t: Ms, batch: &mut Batch) {
        let held: Vec<usize> = self
            .contacts
            .iter()
            .filter(|(_, c)| c.held)
            .map(|(part, _)| *part)
            .collect();
        if held.is_empty() {
            return;
        }
        batch.happened = true;
        self.round += 1;
        for part in held {
            if let Some(contact) = self.contacts.get_mut(&part) {
                contact.held = false;
                // A clockwork may change in this very millisecond; it must not follow what it was before.
                if let Some(clockwork) = &contact.clockwork {
                    contact.memory.truth = clockwork.truth(t);
                }
            }
            self.at_once(t, part, batch);
            batch.look.push(part);
        }
    }

    fn threshold(&mut self, t: Ms, part: usize, line: u32, batch: &mut Batch) {
        let Some(battery) = self.batteries.get_mut(&part).filter(|b| b.line == line) else {
            return;
        };
        self.thresholds += 1;
        battery.level = battery.at(t);
        battery.since = t;
        let (level, capacity) = (battery.level, battery.capacity);
        let (goes_off, comes_on) = (level <= battery.cut_out, level >= battery.cut_in);
        let full = level >= capacity;
        let watching: Vec<(usize, bool)> = battery
            .watchers
            .iter()
            .filter_map(
                |(contact, low, high)| match (level <= *low, level >= *high) {
                    (true, _) => Some((*contact, true)),
                    (_, true) => Some((*contact, false)),
                    _ => None,
                },
            )
            .collect();
        let mut happened = false;
        if std::mem::replace(&mut self.controls.full[part], full) != full && full {
            happened = true;
            self.note(|r| r.say(t, part, What::Full));
        }
        let output = self.controls.output[part];
        if output && goes_off {
            self.controls.output[part] = false;
            happened = true;
            self.note(|r| r.say(t, part, What::OutputOff));
        } else if !output && comes_on {
            self.controls.output[part] = true;
            happened = true;
            self.note(|r| r.say(t, part, What::OutputOn));
        }
        for (contact, truth) in watching {
            if let Some(c) = self.contacts.get_mut(&contact)
                && std::mem::replace(&mut c.memory.truth, truth) != truth
            {
                happened = true;
                batch.look.push(contact);
            }
        }
        self.live.touch(&self.net, part);
        batch.happened |= happened;
        if happened {
            batch.turn.push(part);
        } else {
            self.foresee_battery(part);
        }
    }
}
