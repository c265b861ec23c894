//! The signals of parts and wires that somebody has asked for. Nothing is kept for what is gone.

use crate::editor::Editor;
use crate::plan::{Part, PartId, Wire, WireId};
use crate::run::{Flow, PartState};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// What is to be told once nothing is borrowed any more.
pub(super) type Told = Vec<Box<dyn FnOnce()>>;

type Signals<I, T> = BTreeMap<I, ArcRwSignal<T>>;

/// Signals by id.
#[derive(Default)]
pub(super) struct Made {
    parts: Signals<PartId, Part>,
    states: Signals<PartId, PartState>,
    wires: Signals<WireId, Wire>,
    flows: Signals<WireId, Flow>,
}

impl Made {
    pub fn part(&mut self, editor: &Editor, id: &PartId) -> Option<ArcRwSignal<Part>> {
        one(&mut self.parts, id, || editor.board().part(id).cloned())
    }

    pub fn state(&mut self, editor: &Editor, id: &PartId) -> Option<ArcRwSignal<PartState>> {
        let there = || editor.board().part(id).map(|_| editor.state(id));
        one(&mut self.states, id, there)
    }

    pub fn wire(&mut self, editor: &Editor, id: &WireId) -> Option<ArcRwSignal<Wire>> {
        one(&mut self.wires, id, || editor.board().wire(id).cloned())
    }

    pub fn flow(&mut self, editor: &Editor, id: &WireId) -> Option<ArcRwSignal<Flow>> {
        let there = || editor.board().wire(id).map(|_| editor.flow(id));
        one(&mut self.flows, id, there)
    }

    /// What to tell of a part.
    pub fn part_changed(&mut self, editor: &Editor, id: &PartId) -> Told {
        let mut told = Told::new();
        tell(&mut told, &self.parts, id, || {
            editor.board().part(id).cloned()
        });
        tell(&mut told, &self.states, id, || Some(editor.state(id)));
        told
    }

    /// What to tell of a wire.
    pub fn wire_changed(&mut self, editor: &Editor, id: &WireId) -> Told {
        let mut told = Told::new();
        tell(&mut told, &self.wires, id, || {
            editor.board().wire(id).cloned()
        });
        tell(&mut told, &self.flows, id, || Some(editor.flow(id)));
        told
    }

    /// Forgets the signals of what the board has no more.
    pub fn forget_gone(&mut self, editor: &Editor) {
        let board = editor.board();
        self.parts.retain(|id, _| board.part(id).is_some());
        self.states.retain(|id, _| board.part(id).is_some());
        self.wires.retain(|id, _| board.wire(id).is_some());
        self.flows.retain(|id, _| board.wire(id).is_some());
    }
}

/// The signal of `id`, made where there is none yet.
fn one<I: Ord + Clone, T: Send + Sync + 'static>(
    signals: &mut Signals<I, T>,
    id: &I,
    value: impl FnOnce() -> Option<T>,
) -> Option<ArcRwSignal<T>> {
    if let Some(signal) = signals.get(id) {
        return Some(signal.clone());
    }
    let signal = ArcRwSignal::new(value()?);
    signals.insert(id.clone(), signal.clone());
    Some(signal)
}

fn tell<I: Ord, T: PartialEq + Send + Sync + 'static>(
    told: &mut Told,
    signals: &Signals<I, T>,
    id: &I,
    value: impl FnOnce() -> Option<T>,
) {
    let Some(signal) = signals.get(id) else {
        return;
    };
    let Some(value) = value() else { return };
    if signal.with_untracked(|held| *held != value) {
        let signal = signal.clone();
        told.push(Box::new(move || signal.set(value)));
    }
}
