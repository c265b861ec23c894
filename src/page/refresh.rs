//! From the plan to the signals: the moment is computed anew, compared part by part and wire by wire with what the signals
//! hold, and only those that differ are told. It computes no power itself.

use super::store::Store;
use crate::run::{Flow, PartState, Playback};
use leptos::prelude::*;

impl Store {
    /// Computes the moment anew and tells the signals of what differs.
    pub fn refresh(self) {
        let mut told: Vec<Box<dyn FnOnce()>> = Vec::new();
        let mut problems = Vec::new();
        let (mut part_ids, mut wire_ids) = (Vec::new(), Vec::new());
        let moment = self.moment.get_untracked();
        self.doc.update_value(|doc| {
            let Some(plan) = &doc.plan else { return };
            let (plan, board) = match &doc.trial {
                Some(trial) => (&trial.plan, &trial.board),
                None => (plan, plan),
            };
            let playback = doc.playback.get_or_insert_with(|| Playback::new(plan));
            let instant = playback.at(plan, moment);
            // What is tried comes first on the board; what is gone from it does nothing.
            let states = instant
                .parts
                .into_iter()
                .chain(std::iter::repeat(PartState::Plain));
            let dead = Flow {
                offer: 0,
                take: 0,
                on_loop: false,
            };
            let flows = instant.wires.into_iter().chain(std::iter::repeat(dead));
            let mut before = std::mem::take(&mut doc.past_parts);
            before.append(&mut doc.parts);
            for (part, state) in board.parts.iter().zip(states) {
                part_ids.push(part.id.clone());
                let signals = kept(&mut told, before.remove(&part.id), part.clone(), state);
                doc.parts.insert(part.id.clone(), signals);
            }
            doc.past_parts = before;
            let mut before = std::mem::take(&mut doc.past_wires);
            before.append(&mut doc.wires);
            for (wire, flow) in board.wires.iter().zip(flows) {
                wire_ids.push(wire.id.clone());
                let signals = kept(&mut told, before.remove(&wire.id), wire.clone(), flow);
                doc.wires.insert(wire.id.clone(), signals);
            }
            doc.past_wires = before;
            problems = instant.problems;
        });
        // Only now that the store is free again: whoever listens may read it.
        told.into_iter().for_each(|tell| tell());
        put(self.problems, problems);
        put(self.wire_ids, wire_ids);
        put(self.part_ids, part_ids);
        self.prune();
    }

    /// Forgets what is chosen and no longer there.
    fn prune(self) {
        let mut left = self.selection.get_untracked();
        self.doc.with_value(|doc| {
            left.parts.retain(|id| doc.parts.contains_key(id));
            left.wires.retain(|id| doc.wires.contains_key(id));
        });
        put(self.selection, left);
        let gone = self
            .focus
            .with_untracked(|f| f.as_ref().is_some_and(|id| self.part(id).is_none()));
        if gone {
            self.focus.set(None);
        }
    }
}

/// The two signals of a part or wire: those of before with what differs told later, or new ones.
fn kept<A: PartialEq + Send + Sync + 'static, B: PartialEq + Send + Sync + 'static>(
    told: &mut Vec<Box<dyn FnOnce()>>,
    before: Option<(ArcRwSignal<A>, ArcRwSignal<B>)>,
    thing: A,
    does: B,
) -> (ArcRwSignal<A>, ArcRwSignal<B>) {
    match before {
        Some((a, b)) => {
            tell(told, &a, thing);
            tell(told, &b, does);
            (a, b)
        }
        None => (ArcRwSignal::new(thing), ArcRwSignal::new(does)),
    }
}

fn tell<T: PartialEq + Send + Sync + 'static>(
    told: &mut Vec<Box<dyn FnOnce()>>,
    signal: &ArcRwSignal<T>,
    value: T,
) {
    if signal.with_untracked(|held| *held != value) {
        let signal = signal.clone();
        told.push(Box::new(move || signal.set(value)));
    }
}

/// Sets a signal, if that changes it.
pub(super) fn put<T: PartialEq + Send + Sync + 'static>(signal: RwSignal<T>, value: T) {
    if signal.with_untracked(|held| *held != value) {
        signal.set(value);
    }
}
