//! What is done to parts and wires in one act: placing, wiring, removing, copying, moving by the keys.

use super::joining::{self, Joining, Replacing};
use super::layout::{self, MODULE, free_place, snap};
use super::view::{self, Point, Rect};
use super::{Change, Editor, FocusOn, Selection};
use crate::book::Side;
use crate::gather::Gather;
use crate::plan::{Duty, Edit, End, Part, PartId, Snippet, WireId};
use crate::sheet::card;
use crate::sheet::tidy::{LaidOut, Screen, Tidied};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How far a copy lies from what it was copied from, in pixels of the board.
const OFFSET: f64 = 4.0 * MODULE;

/// How far a part that is placed by keyboard stands from others, in modules: so that wires have room between.
const CLEAR: f64 = 6.0;

/// How often a copy is put further where it would cover a card.
const TRIES: u32 = 200;

impl Editor {
    /// Adds a part of the type `kind` with its middle at a place of the board, or in the middle of the view, and chooses
    /// it. Its card covers no other.
    pub(super) fn place_part(&mut self, kind: &str, at: Option<Point>) {
        if self.refuses_in_walk() {
            return;
        }
        let Some(part_type) = self.plan().book.book.find(kind).cloned() else {
            return self.say(format!("The book has no part type {kind}."));
        };
        let middle = at.unwrap_or_else(|| self.view.centre());
        let height = card::height(&part_type.ports());
        let corner = (middle.0 - card::WIDTH / 2.0, middle.1 - height / 2.0);
        let gap = if at.is_some() { 2.0 } else { CLEAR } * MODULE;
        let place = free_place(self.plan(), corner, height, gap);
        let Some(id) = self.document.new_part_ids(1).pop() else {
            return;
        };
        let part = Part::new(id.clone(), &part_type.name, place);
        let edit = Edit::AddPart(self.plan().parts.len(), part);
        if self.commit(&format!("add {}", part_type.label), vec![edit]) {
            self.select(Selection::part(&id));
            match at {
                // Put there by hand: the keys go on from it. Placed from the shelf's list, they stay in the list.
                Some(_) => self.go_to_part(id.clone()),
                None => self.set_focus(Some(id.clone())),
            }
            self.just_placed = Some(id);
            self.reveal((place.0, place.1, card::WIDTH, height));
            self.say(format!("{} added.", part_type.label));
        }
    }

    /// Begins a wire at `from`.
    pub(super) fn begin_wire(&mut self, from: &End) {
        if self.refuses_in_walk() {
            return;
        }
        if let Some(joining) = Joining::begin(self.plan(), from) {
            if joining.takers.is_empty() {
                self.say("No port on the board can take this wire.".into());
            }
            self.set_joining(Some(joining));
        }
    }

    /// Ends the wire in the making at `end`; asks first where a wire would have to go.
    pub(super) fn finish_wire(&mut self, end: &End) {
        let Some(joining) = self.joining.clone() else {
            return;
        };
        let ends = self.plan().joins(&joining.from, end);
        let Some((from, to)) = ends.filter(|_| joining.takers.contains_key(end)) else {
            return self.refuse(&joining.from, end);
        };
        self.set_joining(None);
        let wires = joining::wires_at(self.plan(), &from, &to);
        if wires.is_empty() {
            self.wire(&from, &to, &[]);
        } else {
            self.replacing = Some(Replacing { from, to, wires });
            self.note(Change::Replacing);
        }
    }

    /// Says why no wire joins two ports.
    fn refuse(&mut self, a: &End, b: &End) {
        let side = |end: &End| self.geometry.port(end).map(|(_, side)| side);
        let why = match (side(a), side(b)) {
            _ if a.part == b.part => "These ports are of one part",
            (Some(Side::Out), Some(Side::Out)) => "Both ports are outputs",
            (Some(Side::Out), _) | (_, Some(Side::Out)) => "These two ports do not go together",
            _ => "Neither port is an output",
        };
        self.say(format!(
            "{why}: a wire leads from an output to another part's input, or to a signal."
        ));
    }

    /// Draws the wire that was asked about, or lets it be.
    pub(super) fn answer_replacing(&mut self, replaces: bool) {
        let Some(asked) = self.replacing.take() else {
            return;
        };
        self.note(Change::Replacing);
        if replaces {
            self.wire(&asked.from, &asked.to, &asked.wires);
        }
        self.note(Change::FocusOn(FocusOn::Port(asked.to)));
    }

    /// Wires two free ports, whichever way round they fit.
    pub(super) fn join(&mut self, a: &End, b: &End) {
        if self.refuses_in_walk() {
            return;
        }
        match self.plan().joins(a, b) {
            Some((from, to)) => self.wire(&from, &to, &[]),
            None => self.say(format!(
                "{a} and {b} don't fit: a wire goes from an output to an input or a signal."
            )),
        }
    }

    fn wire(&mut self, from: &End, to: &End, instead: &[WireId]) {
        let Some(id) = self.document.new_wire_ids(1).pop() else {
            return;
        };
        let (says, edits) = joining::wiring(self.plan(), id, from, to, instead);
        if self.commit(&format!("wire {says}"), edits) {
            self.say(format!("Wired {says}."));
        }
    }

    /// Lets go of the wire in the making, and of the question.
    pub(super) fn let_go(&mut self) {
        self.set_joining(None);
        self.drop_question();
    }

    /// The question whether a wire may be replaced is none any more.
    pub(super) fn drop_question(&mut self) {
        if self.replacing.take().is_some() {
            self.note(Change::Replacing);
        }
    }

    /// Removes parts and wires with all that hangs on them, as one step.
    pub(super) fn remove(&mut self, parts: &[PartId], wires: &[WireId]) {
        if self.refuses_in_walk() {
            return;
        }
        let plan = self.plan();
        let says = match (parts, wires) {
            ([one], _) => format!("remove {}", plan.called(one)),
            ([], [_]) => "remove a wire".to_string(),
            ([], _) => format!("remove {} wires", wires.len()),
            _ => format!("remove {} parts", parts.len()),
        };
        let from = parts.first().and_then(|id| plan.part(id));
        let from = from.map(|part| part.at.unwrap_or_default());
        let next = from.and_then(|from| layout::nearest(plan, from, parts));
        let next = next.map(|part| part.id.clone());
        let edits = plan.removal(parts, wires);
        if edits.is_empty() || !self.commit(&says, edits) {
            return;
        }
        self.say(format!("Done: {says}. Undo takes it back."));
        if let Some(next) = next {
            self.go_to_part(next);
        }
    }

    /// Removes the chosen parts, which lie on the clipboard.
    pub(super) fn cut(&mut self) {
        if self.refuses_in_walk() {
            return;
        }
        let chosen: Vec<PartId> = self.selection.parts.iter().cloned().collect();
        let parts = counted(chosen.len());
        let edits = self.plan().removal(&chosen, &[]);
        if !edits.is_empty() && self.commit(&format!("cut {parts}"), edits) {
            self.say(format!("Cut {parts}."));
        }
    }

    /// Adds copies of the chosen parts with the wires and the duties among them, and chooses those.
    pub(super) fn duplicate(&mut self) {
        if self.refuses_in_walk() {
            return;
        }
        let snippet = Snippet::of(self.plan(), &self.selection.parts);
        if snippet.parts.is_empty() {
            return;
        }
        let says = match snippet.parts.len() {
            1 => "duplicate a part".to_string(),
            n => format!("duplicate {n} parts"),
        };
        let by = self.clear_of_cards(&snippet, (OFFSET, OFFSET));
        let (mut edits, added) = self.copies(&snippet, by);
        edits.extend(self.copied_duties(&snippet, &added));
        if self.commit(&says, edits) {
            self.choose_copies(added, true);
        }
    }

    /// Adds what was copied, and chooses it: beside what it was copied from, each time further, or in the middle of the
    /// view where that is not to be seen.
    pub(super) fn paste(&mut self, snippet: &Snippet, text: String) {
        if self.refuses_in_walk() {
            return;
        }
        if snippet.parts.is_empty() {
            return self.say("The clipboard holds no parts.".into());
        }
        let times = if self.pasted.0 == text {
            self.pasted.1 + 1
        } else {
            1
        };
        self.pasted = (text, times);
        let far = 3.0 * MODULE * f64::from(times);
        let plan = self.plan();
        let around = view::around(snippet.parts.iter().map(|p| layout::rect(plan, p)));
        let by = match around {
            Some(r) if !view::meet(r, self.view.window()) => {
                let (x, y) = self.view.centre();
                let rest = far - 3.0 * MODULE;
                (
                    snap(x - r.0 - r.2 / 2.0) + rest,
                    snap(y - r.1 - r.3 / 2.0) + rest,
                )
            }
            _ => (far, far),
        };
        let by = self.clear_of_cards(snippet, by);
        let parts = counted(snippet.parts.len());
        let (mut edits, added) = self.copies(snippet, by);
        edits.extend(self.copied_duties(snippet, &added));
        if self.commit(&format!("paste {parts}"), edits) {
            self.choose_copies(added, false);
            self.say(format!("Pasted {parts}."));
        }
    }

    /// `by`, or a move further right and down by which the copies cover no card.
    fn clear_of_cards(&self, snippet: &Snippet, by: Point) -> Point {
        let plan = self.plan();
        let taken: Vec<Rect> = plan.parts.iter().map(|p| layout::rect(plan, p)).collect();
        let copies: Vec<Rect> = snippet
            .parts
            .iter()
            .map(|p| layout::rect(plan, p))
            .collect();
        let covers = |(dx, dy): Point| {
            copies.iter().any(|r| {
                let copy = view::grown((r.0 + dx, r.1 + dy, r.2, r.3), (MODULE, MODULE));
                taken.iter().any(|card| view::meet(copy, *card))
            })
        };
        let further = |n: u32| {
            let more = MODULE * f64::from(n);
            (by.0 + more, by.1 + more)
        };
        (0..TRIES)
            .map(further)
            .find(|by| !covers(*by))
            .unwrap_or(by)
    }

    /// The edits that add copies moved by `by`, and the new parts. A name that the plan has already is numbered.
    fn copies(&mut self, snippet: &Snippet, by: Point) -> (Vec<Edit>, Vec<PartId>) {
        let mut snippet = snippet.clone();
        let names = self.plan().parts.iter().map(|p| p.name.clone());
        let mut names: BTreeSet<String> = names.filter(|name| !name.is_empty()).gather();
        for part in snippet.parts.iter_mut().filter(|p| !p.name.is_empty()) {
            part.name = numbered(&part.name, |name| names.contains(name));
            names.insert(part.name.clone());
        }
        let mut parts = self.document.new_part_ids(snippet.parts.len()).into_iter();
        let mut wires = self.document.new_wire_ids(snippet.wires.len()).into_iter();
        // There are as many ids as parts and wires.
        snippet.edits(
            self.plan(),
            by,
            || parts.next().unwrap_or_else(|| PartId::from("")),
            || wires.next().unwrap_or_else(|| WireId::from("")),
        )
    }

    /// What gives copies the duties of their originals.
    fn copied_duties(&self, snippet: &Snippet, added: &[PartId]) -> Option<Edit> {
        let ids: BTreeMap<&PartId, &PartId> =
            snippet.parts.iter().map(|p| &p.id).zip(added).gather();
        let copy = |duty: &Duty| {
            Some(Duty {
                part: (*ids.get(&duty.part)?).clone(),
                ..duty.clone()
            })
        };
        let copies: Vec<Duty> = snippet.duties.iter().filter_map(copy).collect();
        if copies.is_empty() {
            return None;
        }
        let duties = self.plan().duties.iter().cloned().chain(copies);
        Some(Edit::Duties(duties.collect()))
    }

    fn choose_copies(&mut self, added: Vec<PartId>, focuses: bool) {
        let first = added.first().cloned();
        self.select(Selection::parts(added));
        match first {
            Some(first) if focuses => self.go_to_part(first),
            first => self.set_focus(first),
        }
    }

    /// Moves what is chosen; answers whether anything was.
    pub(super) fn nudge(&mut self, by: Point) -> bool {
        if !self.selection.parts.is_empty() && self.refuses_in_walk() {
            return true;
        }
        let plan = self.plan();
        let moved = |id: &PartId| {
            let (x, y) = plan.part(id)?.at.unwrap_or_default();
            Some(Edit::MovePart(id.clone(), Some((x + by.0, y + by.1))))
        };
        let edits: Vec<Edit> = self.selection.parts.iter().filter_map(moved).collect();
        !edits.is_empty() && self.commit("move", edits)
    }

    /// Asks for a layout of the chosen parts, or of the whole plan where fewer than two are chosen, for the screen at hand.
    pub(super) fn tidy(&mut self) {
        if self.refuses_in_walk() {
            return;
        }
        let plan = self.plan().clone();
        let mut chosen = self.selection.parts.clone();
        let whole = chosen.len() < 2;
        if whole {
            chosen = plan.parts.iter().map(|p| p.id.clone()).gather();
        }
        let screen = match self.is_held && self.view.height > self.view.width {
            true => Screen::Upright,
            false => Screen::Wide,
        };
        self.note(Change::Tidy(chosen.clone(), screen));
        self.tidying = Some((plan, chosen, whole));
    }

    /// Takes the layout that was asked for: one step, of places alone. It is dropped where the plan is another meanwhile, or
    /// something is being dragged.
    pub(super) fn take_tidied(&mut self, laid: &LaidOut) {
        let Some((plan, chosen, whole)) = self.tidying.take() else {
            return;
        };
        let is_dragged = !self.floating.is_empty() || self.floating_bends.is_some();
        if is_dragged || !Arc::ptr_eq(&plan, self.plan()) {
            return self.say("The plan has changed meanwhile. Tidy it again.".into());
        }
        let Tidied { places, bends } = laid.settle(&plan, &chosen);
        let is_new = |id: &PartId, at: Point| plan.part(id).is_some_and(|p| p.at != Some(at));
        let moves = places.into_iter().filter(|(id, at)| is_new(id, *at));
        let mut edits: Vec<Edit> = moves.map(|(id, at)| Edit::MovePart(id, Some(at))).collect();
        let is_led = |id: &WireId, bends: &[Point]| {
            let wire = plan.wire(id);
            wire.is_some_and(|w| w.bends[..] != *bends)
        };
        let bends = bends.into_iter().filter(|(id, bends)| is_led(id, bends));
        edits.extend(bends.map(|(id, bends)| Edit::Bend(id, bends)));
        if edits.is_empty() {
            return self.say("Everything is tidy already.".into());
        }
        let says = match whole {
            true => "tidy the plan".to_string(),
            false => format!("tidy {}", counted(chosen.len())),
        };
        if self.commit(&says, edits) {
            if whole {
                self.set_view(self.opening_view());
            }
            self.say(format!("Done: {says}. Undo takes it back."));
        }
    }

    /// Takes one bend out of a wire.
    pub(super) fn unbend(&mut self, id: &WireId, index: usize) {
        if self.refuses_in_walk() {
            return;
        }
        let bends = self.plan().wire(id).map(|w| w.bends.clone());
        if let Some(mut bends) = bends.filter(|b| index < b.len()) {
            bends.remove(index);
            self.commit("straighten a wire", vec![Edit::Bend(id.clone(), bends)]);
        }
    }

    /// Keeps a new name, or does not.
    pub(super) fn end_renaming(&mut self, name: Option<String>, returns: bool) {
        let Some(id) = self.renaming.take() else {
            return;
        };
        self.note(Change::Renaming);
        if returns {
            self.go_to_part(id.clone());
        }
        if let Some(name) = name {
            let says = format!("rename {}", self.plan().called(&id));
            self.commit(&says, vec![Edit::Rename(id, name.trim().to_string())]);
        }
    }

    /// Puts the keyboard and the board's place in the order of Tab on a part's card.
    pub(super) fn go_to_part(&mut self, id: PartId) {
        self.set_focus(Some(id.clone()));
        self.note(Change::FocusOn(FocusOn::Part(id)));
    }
}

/// The name, or the same with the next number where it is taken: "Stair lamp" becomes "Stair lamp 2".
fn numbered(name: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let (stem, first) = match name.rsplit_once(' ') {
        Some((stem, number)) => match number.parse::<u32>() {
            Ok(number) if !stem.is_empty() => (stem, number.saturating_add(1)),
            _ => (name, 2),
        },
        None => (name, 2),
    };
    if !is_taken(name) {
        return name.to_string();
    }
    let mut named = (first..).map(|number| format!("{stem} {number}"));
    named.find(|name| !is_taken(name)).unwrap_or_default()
}

fn counted(parts: usize) -> String {
    format!("{parts} {}", if parts == 1 { "part" } else { "parts" })
}
