//! What turned with one event of a run, and why: from the wire whose offer changed up to the part that changed of itself
//! there. What a contact does after its lag or its timer is led back to what flipped its signal. Powers in steps,
//! milliseconds.

use super::turn::{PartTurn, TurnKind, TurnReason};
use crate::net::Controls;
use crate::plan::{Function, Spec};
use crate::quantity::Ms;
use crate::run::Engine;
use std::collections::BTreeMap;

/// What there is at one moment.
#[derive(Clone, Debug)]
pub struct Moment {
    pub offer: Vec<u64>,
    pub take: Vec<u64>,
    pub runs: Vec<bool>,
    pub short: Vec<bool>,
    pub controls: Controls,
}

impl Moment {
    /// What an engine has come to.
    pub fn of(engine: &Engine) -> Moment {
        let live = engine.live();
        Moment {
            offer: live.offer.clone(),
            take: live.take.clone(),
            runs: live.runs.clone(),
            short: live.short.clone(),
            controls: engine.controls().clone(),
        }
    }

    /// What comes through the wire at a port.
    pub fn offered(&self, slot: Option<&Option<usize>>) -> u64 {
        slot.copied().flatten().map_or(0, |wire| self.offer[wire])
    }
}

/// When a reason came about, and which.
pub type TurnCause = (Ms, TurnReason);

/// What is looked at after one event.
pub struct Walk<'a> {
    /// The run, at the event.
    pub engine: &'a Engine,
    /// What there is now, and what there was before.
    pub now: &'a Moment,
    /// See `now`.
    pub before: &'a Moment,
    /// When a signal of each contact last flipped, and why.
    pub flips: &'a BTreeMap<usize, (Ms, Option<TurnCause>)>,
    /// The lag of contacts.
    pub lag: Ms,
    /// When the event is.
    pub t: Ms,
    /// The contacts that turned, with their causes.
    pub contacts: BTreeMap<usize, TurnCause>,
}

impl Walk<'_> {
    /// What turned, each with its cause.
    pub fn turns(&mut self) -> Vec<(TurnCause, PartTurn)> {
        let mut turns = self.contact_turns();
        for part in 0..self.engine.net().nodes.len() {
            if let Some((kind, cause)) = self.other_turn(part) {
                let cause = cause.unwrap_or((self.t, TurnReason::Follows(part)));
                let t = self.t;
                turns.push((cause, PartTurn { t, kind, part }));
            }
        }
        turns
    }

    /// Contacts of which a signal became live or dead, each with the cause of that.
    pub fn flipped(&self) -> Vec<(usize, Option<TurnCause>)> {
        let nodes = self.engine.net().nodes.iter().enumerate();
        let mut found = Vec::new();
        for (part, node) in nodes {
            let Some(Spec::Contact { coil, .. }) = node.spec else {
                continue;
            };
            let live = |moment: &Moment, wire: usize| moment.offer[wire] >= coil;
            let mut signals = node.signals.iter().flatten().copied();
            let wire = signals.find(|w| live(self.now, *w) != live(self.before, *w));
            found.extend(wire.map(|wire| (part, self.cause(wire))));
        }
        found
    }

    fn contact_turns(&mut self) -> Vec<(TurnCause, PartTurn)> {
        let (now, before, t) = (self.now, self.before, self.t);
        let mut turns = Vec::new();
        for (part, conducts) in now.controls.conducts.iter().enumerate() {
            if *conducts == before.controls.conducts[part] {
                continue;
            }
            let cause = self.contact(part, *conducts);
            self.contacts.insert(part, cause);
            let kind = match conducts {
                true => TurnKind::Closes,
                false => TurnKind::Opens,
            };
            turns.push((cause, PartTurn { t, kind, part }));
        }
        turns
    }

    /// How a part turned that is no contact.
    fn other_turn(&self, part: usize) -> Option<(TurnKind, Option<TurnCause>)> {
        let (now, before) = (self.now, self.before);
        let node = &self.engine.net().nodes[part];
        let cause = || {
            let wire = node.ins.first().copied().flatten()?;
            self.cause(wire)
        };
        let (was, is, turns) = match node.spec {
            Some(Spec::Battery { .. }) => {
                let on = |moment: &Moment| moment.controls.output[part];
                (
                    on(before),
                    on(now),
                    (TurnKind::OutputOff, TurnKind::OutputOn),
                )
            }
            Some(Spec::Changeover(least)) => {
                let on = |moment: &Moment| moment.offered(node.ins.first()) >= least;
                (on(before), on(now), (TurnKind::ToBackup, TurnKind::ToMain))
            }
            Some(Spec::Load { .. }) => {
                let on = |moment: &Moment| moment.runs[part];
                (on(before), on(now), (TurnKind::Stops, TurnKind::Starts))
            }
            _ => return None,
        };
        let kind = if is { turns.1 } else { turns.0 };
        (was != is).then(|| match kind {
            TurnKind::OutputOff => (kind, Some((self.t, TurnReason::Empty(part)))),
            TurnKind::OutputOn => (kind, Some((self.t, TurnReason::Back(part)))),
            _ => (kind, cause()),
        })
    }

    /// Why a contact turned.
    fn contact(&self, part: usize, conducts: bool) -> TurnCause {
        let t = self.t;
        let earlier = t.saturating_sub(self.lag);
        let follows = (t, TurnReason::Follows(part));
        let Some(Spec::Contact {
            breaks, function, ..
        }) = &self.engine.net().nodes[part].spec
        else {
            return follows;
        };
        if self.engine.contact(part, t).is_some_and(|look| look.held) {
            return (t, TurnReason::Held(part));
        }
        let truth = conducts != *breaks;
        let flip = || {
            let (at, cause) = self.flips.get(&part)?;
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

    /// What changed of itself, up a wire whose offer changed.
    fn cause(&self, mut wire: usize) -> Option<TurnCause> {
        let net = self.engine.net();
        let (now, before) = (self.now, self.before);
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
                    return (before != gives).then_some((self.t, reason));
                }
                Some(Spec::Battery { .. }) => {
                    let output = now.controls.output[part];
                    let reason = match output {
                        true => TurnReason::Back(part),
                        false => TurnReason::Empty(part),
                    };
                    let is_new = output != before.controls.output[part];
                    return is_new.then_some((self.t, reason));
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
            let (now, before) = (self.now.offer[*wire], self.before.offer[*wire]);
            match rises {
                true => now.saturating_sub(before),
                false => before.saturating_sub(now),
            }
        };
        let wires = ins.iter().flatten().copied();
        wires.rev().max_by_key(by).filter(|wire| by(wire) > 0)
    }
}
