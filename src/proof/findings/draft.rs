//! A change in the making: edits applied one after the other to a copy of the plan, so that each is known to apply.
//! Places in pixels of the board.

use crate::book::{Behaviour, FunctionName, PartType};
use crate::plan::{Edit, End, Part, PartId, Plan, Wire};
use serde_json::Value;

/// How far apart parts are put that are placed beside others: a card's width and height with room around them.
const APART: (f64, f64) = (240.0, 136.0);

/// A change in the making.
pub struct Draft {
    /// The plan with the edits so far.
    pub plan: Plan,
    /// The edits so far.
    pub edits: Vec<Edit>,
}

impl Draft {
    pub fn new(plan: &Plan) -> Draft {
        Draft {
            plan: plan.clone(),
            edits: Vec::new(),
        }
    }

    /// Makes one edit.
    pub fn make(&mut self, edit: Edit) -> Option<()> {
        self.plan.apply(edit.clone()).ok()?;
        self.edits.push(edit);
        Some(())
    }

    /// Adds a part of a type beside another.
    pub fn add(&mut self, kind: &str, beside: &PartId, set: &[(&str, Value)]) -> Option<PartId> {
        let id = self.plan.new_part_id();
        let mut part = Part::new(id.clone(), kind, (0.0, 0.0));
        part.at = self.place(beside);
        for (key, value) in set {
            part.set.insert((*key).to_string(), value.clone());
        }
        self.make(Edit::AddPart(self.plan.parts.len(), part))?;
        Some(id)
    }

    /// Joins two ports by a new wire.
    pub fn wire(&mut self, from: End, to: End) -> Option<()> {
        let id = self.plan.new_wire_id();
        let wire = Wire::new(id, from, to);
        self.make(Edit::AddWire(self.plan.wires.len(), wire))
    }

    /// Takes the wire off a port; answers with its other end.
    pub fn unwire(&mut self, end: &End) -> Option<End> {
        let wire = self.plan.wire_at(end)?.clone();
        self.make(Edit::RemoveWire(wire.id))?;
        Some(if wire.from == *end {
            wire.to
        } else {
            wire.from
        })
    }

    /// Takes a part out, with its wires.
    pub fn remove(&mut self, id: &PartId) -> Option<()> {
        for edit in self.plan.removal(std::slice::from_ref(id), &[]) {
            self.make(edit)?;
        }
        Some(())
    }

    /// Puts a part of another type in place of one, with its name, count, settings and wires.
    pub fn swap(&mut self, id: &PartId, kind: &str) -> Option<PartId> {
        let mut part = self.plan.part(id)?.clone();
        let hangs = |w: &&Wire| w.from.part == *id || w.to.part == *id;
        let wires: Vec<Wire> = self.plan.wires.iter().filter(hangs).cloned().collect();
        self.remove(id)?;
        part.id = self.plan.new_part_id();
        part.kind = kind.to_string();
        let new = part.id.clone();
        self.make(Edit::AddPart(self.plan.parts.len(), part))?;
        for mut wire in wires {
            for end in [&mut wire.from, &mut wire.to] {
                if end.part == *id {
                    end.part = new.clone();
                }
            }
            wire.id = self.plan.new_wire_id();
            self.make(Edit::AddWire(self.plan.wires.len(), wire))?;
        }
        Some(new)
    }

    /// Takes a part out and joins what fed `feed` to what `out` fed.
    pub fn lead_past(&mut self, id: &PartId, feed: &str, out: &str) -> Option<()> {
        let (feed, out) = (End::new(id, feed), End::new(id, out));
        let before = self.unwire(&feed)?;
        let after = self.unwire(&out);
        self.remove(id)?;
        match after {
            Some(after) => self.wire(before, after),
            None => Some(()),
        }
    }

    /// Puts a new part into the wire that ends at `end`, by these two ports.
    pub fn put_into(&mut self, end: &End, part: &PartId, feed: &str, out: &str) -> Option<()> {
        let before = self.unwire(end)?;
        self.wire(before, End::new(part, feed))?;
        self.wire(End::new(part, out), end.clone())
    }

    /// A free place near a part.
    fn place(&self, beside: &PartId) -> Option<(f64, f64)> {
        let (x, y) = self.plan.part(beside)?.at?;
        let taken = |(x, y): (f64, f64)| {
            let near = |(a, b): (f64, f64)| (a - x).abs() < APART.0 && (b - y).abs() < APART.1;
            self.plan.parts.iter().filter_map(|p| p.at).any(near)
        };
        let ring = |n: i32| {
            let n = f64::from(n);
            [
                (0.0, n),
                (n, 0.0),
                (n, n),
                (0.0, -n),
                (n, -n),
                (-n, 0.0),
                (-n, n),
            ]
        };
        (1..40)
            .flat_map(ring)
            .map(|(dx, dy)| (x + dx * APART.0, y + dy * APART.1))
            .find(|at| !taken(*at))
            .or(Some((x, y)))
    }
}

/// The first contact of the plan's book that follows a function and needs no signal for it.
pub fn contact(plan: &Plan, function: FunctionName) -> Option<&PartType> {
    plan.book
        .book
        .types
        .iter()
        .find(|t| matches!(t.behaviour, Behaviour::Contact { function: f, .. } if f == function))
}

/// The first type of the plan's book that does this.
pub fn type_that(plan: &Plan, does: impl Fn(&Behaviour) -> bool) -> Option<&PartType> {
    let mut found: Vec<&PartType> = plan
        .book
        .book
        .types
        .iter()
        .filter(|t| does(&t.behaviour))
        .collect();
    found.sort_by_key(|t| cost(t));
    found.first().copied()
}

/// What a type costs, all materials counted alike.
pub fn cost(kind: &PartType) -> u64 {
    kind.cost.iter().map(|(_, n)| *n).sum()
}

/// The port at which a part that has one way in and one way out takes power, and that at which it gives it: for parts
/// that a wire could stand for.
pub fn way_through(plan: &Plan, id: &PartId) -> Option<(String, String)> {
    use crate::book::Side;
    let ports = plan.kind_of(plan.part(id)?)?.ports();
    let wired = |side: Side| {
        let mut found = ports
            .iter()
            .filter(|p| p.side == side && plan.wire_at(&End::new(id, &p.name)).is_some());
        let first = found.next()?.name.to_string();
        found.next().is_none().then_some(first)
    };
    Some((wired(Side::In)?, wired(Side::Out)?))
}
