//! Edits as data: applying one gives its inverse, a removal carries what it removed, and none leaves the plan's
//! structure broken.

pub(super) mod exercise;
pub(super) mod walk;

use super::{
    BookRef, Duty, End, Exercise, Follows, Meant, Part, PartId, Plan, Reach, Walk, Wire, WireId,
    World,
};
use crate::book::setting;
use crate::gather::Gather;
use crate::site::{Face, Patch, Site};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// One change of a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// Adds a part at a place in the plan's order.
    AddPart(usize, Part),
    /// Removes a part that no wire, no duty and no answer "meant so" hangs on.
    RemovePart(PartId),
    /// Puts a part elsewhere on the board.
    MovePart(PartId, Option<(f64, f64)>),
    /// Calls a part otherwise.
    Rename(PartId, String),
    /// Makes a part a bank of so many.
    Count(PartId, u64),
    /// Says who can reach a part.
    Reach(PartId, Option<Reach>),
    /// Gives a part a setting, or the book's again.
    Set(
        PartId,
        String,
        #[serde(with = "super::crossing::optional")] Option<Value>,
    ),
    /// Adds a wire at a place in the plan's order.
    AddWire(usize, Wire),
    /// Removes a wire.
    RemoveWire(WireId),
    /// Leads a wire through other places.
    Bend(WireId, Vec<(f64, f64)>),
    /// Puts other duties in place of all.
    Duties(Vec<Duty>),
    /// Puts other answers "meant so" in place of all.
    Meant(Vec<Meant>),
    /// Puts another world in place of the world.
    World(Box<World>),
    /// Calls the plan otherwise.
    Title(String),
    /// Says something else about the plan.
    Notes(String),
    /// Takes another book; every part must have its type there.
    Book(BookRef),
    /// Says which world the plan follows, or none; its numbers stay as they are.
    Follow(Option<Follows>),
    /// Hangs a part on a face of the site, or takes it off.
    Hang(PartId, Option<Face>),
    /// Leads a wire over other faces of the site.
    Lead(WireId, Vec<Face>),
    /// Draws on the site.
    Draw(Vec<Patch>),
    /// Puts another site in place of the site, or takes it away; parts keep their places.
    Site(Option<Box<Site>>),
    /// Puts another walk in place of the walk, or takes it away.
    Walk(Option<Box<Walk>>),
    /// Puts another exercise in place of the exercise, or takes it away.
    Exercise(Option<Box<Exercise>>),
}

/// Why an edit can't be applied; the plan is as it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditError {
    /// No part has this id.
    NoPart(PartId),
    /// No wire has this id.
    NoWire(WireId),
    /// The id is taken.
    Taken(String),
    /// A wire, a duty or an answer "meant so" still hangs on the part.
    InUse(PartId),
    /// The part has no such type in the book.
    NoType(String),
    /// The end is no port of a part of the plan, or on the wrong side.
    NoPort(End),
    /// The port has a wire already.
    PortTaken(End),
    /// The site has no such place, or what is drawn there makes no sense.
    NoPlace(Patch),
    /// The plan has no site.
    NoSite,
    /// The setting can't be that: found and expected.
    Setting(String),
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EditError::NoPart(id) => write!(f, "the plan has no part {id}"),
            EditError::NoWire(id) => write!(f, "the plan has no wire {id}"),
            EditError::Taken(id) => write!(f, "{id} is in the plan already"),
            EditError::InUse(id) => write!(
                f,
                "a wire, a duty or an answer \"meant so\" still hangs on {id}"
            ),
            EditError::NoType(kind) => write!(f, "the book has no part type {kind}"),
            EditError::NoPort(end) => {
                write!(f, "{end} is no port that can stand at that end of a wire")
            }
            EditError::PortTaken(end) => write!(f, "{end} has a wire already"),
            EditError::NoPlace(Patch { storey, x, y, .. }) => {
                write!(
                    f,
                    "storey {storey} of the site takes no such mark at {x}, {y}"
                )
            }
            EditError::NoSite => f.write_str("the plan has no site to draw on"),
            EditError::Setting(said) => f.write_str(said),
        }
    }
}

fn shared<T>(boxed: Option<Box<T>>) -> Option<Arc<T>> {
    boxed.map(|value| Arc::new(*value))
}

fn boxed<T: Clone>(shared: Option<Arc<T>>) -> Option<Box<T>> {
    shared.map(|value| Box::new(Arc::unwrap_or_clone(value)))
}

impl Plan {
    /// Applies one edit and returns the edit that takes it back.
    pub fn apply(&mut self, edit: Edit) -> Result<Edit, EditError> {
        use std::mem::replace;
        Ok(match edit {
            Edit::AddPart(at, part) => self.add_part(at, part)?,
            Edit::RemovePart(id) => self.remove_part(id)?,
            Edit::MovePart(id, at) => {
                Edit::MovePart(id.clone(), replace(&mut self.part_mut(&id)?.at, at))
            }
            Edit::Rename(id, name) => {
                Edit::Rename(id.clone(), replace(&mut self.part_mut(&id)?.name, name))
            }
            Edit::Count(id, count) => {
                let most = crate::limits::COUNT;
                if !(1..=most).contains(&count) {
                    return Err(EditError::Setting(format!(
                        "count: found {count}, expected a whole number from 1 to {most}"
                    )));
                }
                Edit::Count(id.clone(), replace(&mut self.part_mut(&id)?.count, count))
            }
            Edit::Reach(id, reach) => {
                Edit::Reach(id.clone(), replace(&mut self.part_mut(&id)?.reach, reach))
            }
            Edit::Set(id, key, value) => self.set(id, key, value)?,
            Edit::AddWire(at, wire) => self.add_wire(at, wire)?,
            Edit::RemoveWire(id) => {
                let at = self.wire_place(&id).ok_or(EditError::NoWire(id))?;
                Edit::AddWire(at, self.wires.remove(at))
            }
            Edit::Bend(id, bends) => {
                Edit::Bend(id.clone(), replace(&mut self.wire_mut(&id)?.bends, bends))
            }
            Edit::Duties(duties) => {
                if let Some(duty) = duties.iter().find(|d| self.part(&d.part).is_none()) {
                    return Err(EditError::NoPart(duty.part.clone()));
                }
                Edit::Duties(replace(&mut self.duties, duties))
            }
            Edit::Meant(meant) => {
                if let Some(gone) = meant.iter().find(|m| self.part(&m.part).is_none()) {
                    return Err(EditError::NoPart(gone.part.clone()));
                }
                Edit::Meant(replace(&mut self.meant, meant))
            }
            Edit::World(world) => Edit::World(Box::new(replace(&mut self.world, *world))),
            Edit::Title(title) => Edit::Title(replace(&mut self.title, title)),
            Edit::Notes(notes) => Edit::Notes(replace(&mut self.notes, notes)),
            Edit::Book(book) => self.take_book(book)?,
            Edit::Follow(follows) => Edit::Follow(replace(&mut self.follows, follows)),
            Edit::Hang(id, face) => {
                Edit::Hang(id.clone(), replace(&mut self.part_mut(&id)?.hangs, face))
            }
            Edit::Lead(id, via) => {
                Edit::Lead(id.clone(), replace(&mut self.wire_mut(&id)?.via, via))
            }
            Edit::Draw(patches) => self.draw(&patches)?,
            Edit::Site(site) => {
                let before = replace(&mut self.site, shared(site));
                Edit::Site(boxed(before))
            }
            Edit::Walk(walk) => Edit::Walk(boxed(replace(&mut self.walk, shared(walk)))),
            Edit::Exercise(exercise) => {
                let before = replace(&mut self.exercise, shared(exercise));
                Edit::Exercise(boxed(before))
            }
        })
    }

    /// Applies edits as one: all of them or, where one can't be applied, none. Returns what takes them back, in order.
    pub fn apply_all(&mut self, edits: Vec<Edit>) -> Result<Vec<Edit>, EditError> {
        let mut inverses = Vec::with_capacity(edits.len());
        for edit in edits {
            match self.apply(edit) {
                Ok(inverse) => inverses.push(inverse),
                Err(error) => {
                    for inverse in inverses.into_iter().rev() {
                        // An inverse of an edit that was just applied applies.
                        let _ = self.apply(inverse);
                    }
                    return Err(error);
                }
            }
        }
        inverses.reverse();
        Ok(inverses)
    }

    /// The edits that remove these parts and wires with all that hangs on them, in an order that applies: the last in the
    /// plan first, so that none has to move for another.
    pub fn removal(&self, parts: &[PartId], wires: &[WireId]) -> Vec<Edit> {
        let parts: BTreeSet<&PartId> = parts.iter().gather();
        let wires: BTreeSet<&WireId> = wires.iter().gather();
        let hangs = |w: &Wire| {
            parts.contains(&w.from.part) || parts.contains(&w.to.part) || wires.contains(&w.id)
        };
        let mut edits: Vec<Edit> = self
            .wires
            .iter()
            .rev()
            .filter(|w| hangs(w))
            .map(|w| Edit::RemoveWire(w.id.clone()))
            .collect();
        if self.duties.iter().any(|d| parts.contains(&d.part)) {
            edits.push(Edit::Duties(
                self.duties
                    .iter()
                    .filter(|d| !parts.contains(&d.part))
                    .cloned()
                    .collect(),
            ));
        }
        if self.meant.iter().any(|m| parts.contains(&m.part)) {
            let rest = self.meant.iter().filter(|m| !parts.contains(&m.part));
            edits.push(Edit::Meant(rest.cloned().collect()));
        }
        let there = self.parts.iter().rev().filter(|p| parts.contains(&p.id));
        edits.extend(there.map(|p| Edit::RemovePart(p.id.clone())));
        edits
    }

    fn part_mut(&mut self, id: &PartId) -> Result<&mut Part, EditError> {
        let at = self.part_place(id);
        at.and_then(|at| self.parts.value_mut(at))
            .ok_or_else(|| EditError::NoPart(id.clone()))
    }

    fn wire_mut(&mut self, id: &WireId) -> Result<&mut Wire, EditError> {
        let at = self.wire_place(id);
        at.and_then(|at| self.wires.value_mut(at))
            .ok_or_else(|| EditError::NoWire(id.clone()))
    }

    fn draw(&mut self, patches: &[Patch]) -> Result<Edit, EditError> {
        let site = Arc::make_mut(self.site.as_mut().ok_or(EditError::NoSite)?);
        let mut before = Vec::with_capacity(patches.len());
        for patch in patches {
            let Some(inverse) = site.paint(*patch) else {
                for inverse in before.into_iter().rev() {
                    site.paint(inverse);
                }
                return Err(EditError::NoPlace(*patch));
            };
            before.push(inverse);
        }
        before.reverse();
        Ok(Edit::Draw(before))
    }

    fn add_part(&mut self, at: usize, part: Part) -> Result<Edit, EditError> {
        if self.part(&part.id).is_some() {
            return Err(EditError::Taken(part.id.to_string()));
        }
        if self.book.book.find(&part.kind).is_none() {
            return Err(EditError::NoType(part.kind));
        }
        if self.parts.len() >= crate::limits::PARTS {
            return Err(EditError::Setting(format!(
                "a plan has at most {} parts",
                crate::limits::PARTS
            )));
        }
        self.next.0 = self.next.0.max(super::id::number_of(part.id.as_str()) + 1);
        let id = part.id.clone();
        self.parts.insert(at, part);
        Ok(Edit::RemovePart(id))
    }

    fn remove_part(&mut self, id: PartId) -> Result<Edit, EditError> {
        let at = self
            .part_place(&id)
            .ok_or_else(|| EditError::NoPart(id.clone()))?;
        let wired = self.wires_of(&id).next().is_some();
        let has_duty = self.duties.iter().any(|d| d.part == id);
        if wired || has_duty || self.meant.iter().any(|m| m.part == id) {
            return Err(EditError::InUse(id));
        }
        Ok(Edit::AddPart(at, self.parts.remove(at)))
    }

    fn set(&mut self, id: PartId, key: String, value: Option<Value>) -> Result<Edit, EditError> {
        let part = self
            .part(&id)
            .ok_or_else(|| EditError::NoPart(id.clone()))?;
        let field = self
            .kind_of(part)
            .and_then(|t| t.fields().iter().find(|f| f.key == key));
        if let (Some(field), Some(value)) = (field, &value) {
            let mut faults = Vec::new();
            setting::check(
                field,
                value,
                &crate::read::Place::root(field.label),
                &mut faults,
            );
            if let Some(fault) = faults.first() {
                return Err(EditError::Setting(fault.to_string()));
            }
        }
        let set = &mut self.part_mut(&id)?.set;
        let before = match value {
            Some(value) => set.insert(key.clone(), value),
            None => set.shift_remove(&key),
        };
        Ok(Edit::Set(id, key, before))
    }

    fn add_wire(&mut self, at: usize, wire: Wire) -> Result<Edit, EditError> {
        if self.wire(&wire.id).is_some() {
            return Err(EditError::Taken(wire.id.to_string()));
        }
        if self
            .joins(&wire.from, &wire.to)
            .is_none_or(|(from, _)| from != wire.from)
        {
            let end = if self
                .port(&wire.from)
                .is_none_or(|p| p.side != crate::book::Side::Out)
            {
                wire.from
            } else {
                wire.to
            };
            return Err(EditError::NoPort(end));
        }
        for end in [&wire.from, &wire.to] {
            if self.wire_at(end).is_some() {
                return Err(EditError::PortTaken(end.clone()));
            }
        }
        self.next.1 = self.next.1.max(super::id::number_of(wire.id.as_str()) + 1);
        let id = wire.id.clone();
        self.wires.insert(at, wire);
        Ok(Edit::RemoveWire(id))
    }

    fn take_book(&mut self, book: BookRef) -> Result<Edit, EditError> {
        if let Some(part) = self
            .parts
            .iter()
            .find(|p| book.book.find(&p.kind).is_none())
        {
            return Err(EditError::NoType(part.kind.clone()));
        }
        let before = std::mem::replace(&mut self.book, book);
        if let Some(end) = self
            .wires
            .iter()
            .flat_map(|w| [&w.from, &w.to])
            .find(|e| self.port(e).is_none())
            .cloned()
        {
            self.book = before;
            return Err(EditError::NoPort(end));
        }
        Ok(Edit::Book(before))
    }
}
