//! What is drawn, kept in step with the plan: cards and wires are put where they belong, courses found anew, the moment
//! worked out. What would hold the page up is put off and gone on with by [`super::Message::Work`].

use super::touched::Touched;
use super::view::{Point, as_box};
use super::{Change, Editor};
use crate::gather::Gather;
use crate::plan::{Clock, PartId, WireId};
use crate::run::Instant;
use std::collections::{BTreeMap, BTreeSet};

impl Editor {
    /// Puts the whole board anew: parts or wires have come or gone.
    pub(super) fn put_board(&mut self) {
        let board = self.board().clone();
        let first = self.part_at.iter().find(|(_, at)| **at == 0);
        let before = first.map(|(id, _)| id.clone());
        let parts = board.parts.iter().enumerate();
        self.part_at = parts.map(|(i, p)| (p.id.clone(), i)).gather();
        let wires = board.wires.iter().enumerate();
        self.wire_at = wires.map(|(i, w)| (w.id.clone(), i)).gather();
        // A wire that is gone from what is tried is still the document's.
        let wires = match self.walk_place() {
            Some(_) => &board.wires,
            None => &self.plan().wires,
        };
        let ends = wires.iter().flat_map(|w| [&w.from, &w.to]);
        let wired: BTreeSet<_> = ends.cloned().gather();
        let changed: BTreeSet<PartId> = wired
            .symmetric_difference(&self.wired)
            .map(|end| end.part.clone())
            .gather();
        self.wired = wired;
        changed
            .into_iter()
            .for_each(|id| self.note(Change::Part(id)));
        // The first part has the board's place in the order of Tab where none has the focus, and which that was looks otherwise
        // too: an undone removal puts another before it.
        let first = board.parts.first().map(|part| part.id.clone());
        for id in before.into_iter().chain(first) {
            self.note(Change::Part(id));
        }
        self.geometry.put_all(&board);
        self.look_anew();
    }

    /// Puts parts and wires that an edit has touched.
    pub(super) fn put_touched(&mut self, touched: &Touched) {
        let board = self.board().clone();
        for id in &touched.parts {
            self.note(Change::Part(id.clone()));
            let Some(part) = self.part_at.get(id).and_then(|at| board.parts.get(*at)) else {
                continue;
            };
            let at = part.at.unwrap_or_default();
            if self.geometry.place(id) != Some(at) {
                self.geometry.put_part(&board, part, at);
                self.look_anew();
            }
            // A wire is told by the names of what it joins.
            let hang: Vec<WireId> = self.geometry.wires_of(id).cloned().collect();
            hang.into_iter().for_each(|id| self.note(Change::Wire(id)));
        }
        for id in &touched.wires {
            self.note(Change::Wire(id.clone()));
            self.put_wire(id);
        }
    }

    /// Puts a wire by its bends, floating or not.
    pub(super) fn put_wire(&mut self, id: &WireId) {
        let board = self.board().clone();
        let Some(wire) = self.wire_at.get(id).and_then(|at| board.wires.get(*at)) else {
            return;
        };
        let bends = match &self.floating_bends {
            Some((floats, bends)) if floats == id => bends.clone(),
            _ => wire.bends.clone(),
        };
        self.geometry.put_wire(wire, &bends);
        self.settle_floating(BTreeSet::from([
            wire.from.part.clone(),
            wire.to.part.clone(),
        ]));
        self.note(Change::Wire(id.clone()));
    }

    /// Shows parts at other places for the length of a gesture; only their own wires are led anew.
    pub(super) fn float_parts(&mut self, places: Vec<(PartId, Point)>) {
        let board = self.board().clone();
        let mut moved = BTreeSet::new();
        for (id, at) in places {
            if self.geometry.place(&id) == Some(at) {
                continue;
            }
            if let Some(part) = self.part_at.get(&id).and_then(|i| board.parts.get(*i)) {
                self.geometry.put_part(&board, part, at);
                self.note(Change::Part(id.clone()));
                self.floating.insert(id.clone());
                moved.insert(id);
            }
        }
        if !moved.is_empty() {
            self.settle_floating(moved);
        }
    }

    fn settle_floating(&mut self, parts: BTreeSet<PartId>) {
        let led = self.geometry.courses_mut().settle_only(&parts);
        self.draw_led(&led);
        led.into_iter().for_each(|id| self.note(Change::Wire(id)));
    }

    /// What floats goes back to its own places.
    pub(super) fn land(&mut self) {
        let board = self.board().clone();
        for id in std::mem::take(&mut self.floating) {
            if let Some(part) = self.part_at.get(&id).and_then(|i| board.parts.get(*i)) {
                self.geometry
                    .put_part(&board, part, part.at.unwrap_or_default());
                self.note(Change::Part(id));
            }
        }
        self.work(0, super::THINGS_AT_ONCE);
    }

    /// Goes on with what was put off: the run up to the moment shown, courses of wires, cards and wires to be drawn.
    pub(super) fn work(&mut self, events: u64, things: usize) {
        self.lead_wires(things);
        self.draw(things);
        if events > 0 && self.moment.is_behind() {
            let shown = self.shown().clone();
            match self.moment.work(&shown, events) {
                Some(instant) => {
                    self.put_instant(instant);
                    self.keep_in_run();
                }
                None => self.note(Change::Instant),
            }
        }
        if self.moment.is_behind()
            || !self.geometry.courses().is_settled()
            || self.drawn.is_behind()
        {
            self.note(Change::Work);
        }
    }

    /// Nothing is known of a moment after the bound of events: the moment shown goes back to the last that the run has.
    fn keep_in_run(&mut self) {
        let Some(end) = self.moment.stopped_before() else {
            return;
        };
        let day = self.shown().world.day_ms().max(1);
        self.moment.go_to(end);
        self.note(Change::Moment);
        self.say(format!(
            "The run goes no further than day {} at {}: something switches too often. That moment is shown.",
            end / day + 1,
            Clock::at(end, day)
        ));
    }

    fn lead_wires(&mut self, things: usize) {
        if things == 0 || self.geometry.courses().is_settled() {
            return;
        }
        let window = as_box(self.view.window());
        let led = self.geometry.courses_mut().settle_some(things, &window);
        self.draw_led(&led);
        led.into_iter().for_each(|id| self.note(Change::Wire(id)));
    }

    /// The instant shown was worked out: tells the parts and wires that are otherwise than before.
    pub(super) fn put_instant(&mut self, instant: Instant) {
        self.note(Change::Instant);
        let shown = self.shown().clone();
        let parts = shown.parts.iter().map(|p| &p.id).zip(instant.parts);
        let parts = renew(&mut self.states, parts);
        let wires = shown.wires.iter().map(|w| &w.id).zip(instant.wires);
        let wires = renew(&mut self.flows, wires);
        parts.into_iter().for_each(|id| self.note(Change::Part(id)));
        wires.into_iter().for_each(|id| self.note(Change::Wire(id)));
        if self.problems != instant.problems {
            self.problems = instant.problems;
            self.note(Change::Problems);
            self.mark_wrong();
        }
    }

    fn mark_wrong(&mut self) {
        let (parts, wires) = self.wrong();
        let before = std::mem::replace(&mut self.wrong_parts, parts);
        let changed: Vec<PartId> = before
            .symmetric_difference(&self.wrong_parts)
            .cloned()
            .collect();
        changed
            .into_iter()
            .for_each(|id| self.note(Change::Part(id)));
        let before = std::mem::replace(&mut self.wrong_wires, wires);
        let changed: Vec<WireId> = before
            .symmetric_difference(&self.wrong_wires)
            .cloned()
            .collect();
        changed
            .into_iter()
            .for_each(|id| self.note(Change::Wire(id)));
    }
}

/// Makes `known` what is found now; answers with the ids of what has come, gone or changed.
fn renew<'a, I: Ord + Clone + 'a, T: PartialEq>(
    known: &mut BTreeMap<I, T>,
    now: impl Iterator<Item = (&'a I, T)>,
) -> Vec<I> {
    let mut before = std::mem::take(known);
    let mut changed = Vec::new();
    for (id, value) in now {
        if before.remove(id).as_ref() != Some(&value) {
            changed.push(id.clone());
        }
        known.insert(id.clone(), value);
    }
    changed.extend(before.into_keys());
    changed
}
