//! What differs between two plans: told part by part and wire by wire, and as the edits that make the one the other.
//!
//! Parts and wires are the same where their ids are; places on the board and bends are no difference of what a plan
//! does, but the edits carry them too. Fields of the document that this program does not know are left as they are.

use super::{Duty, Edit, Exercise, Follows, Meant, Part, PartId, Plan, Wire, WireId};
use crate::gather::Gather;
use crate::site::face_said;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

/// How a part or a wire of one plan stands in the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Change {
    /// Only the second plan has it.
    Added,
    /// Only the first plan has it.
    Gone,
    /// Both have it, and these things of it differ: what, in the first, in the second.
    Changed(Vec<(String, String, String)>),
}

/// What differs between two plans.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Differences {
    /// The parts that differ: those of the first plan in its order, then those that only the second has.
    pub parts: Vec<(PartId, Change)>,
    /// The wires that differ, likewise.
    pub wires: Vec<(WireId, Change)>,
    /// What differs otherwise: title, book, duties, world, the world that is followed.
    pub rest: Vec<(String, String, String)>,
}

impl Differences {
    /// Whether nothing differs.
    pub fn is_none(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty() && self.rest.is_empty()
    }
}

/// What differs from `a` to `b`.
pub fn differences(a: &Plan, b: &Plan) -> Differences {
    let parts = told(
        a.parts.iter().map(|p| (&p.id, p)),
        b.parts.iter().map(|p| (&p.id, p)),
        |from, to| part_changes(a, from, b, to),
    );
    let wires = told(
        a.wires.iter().map(|w| (&w.id, w)),
        b.wires.iter().map(|w| (&w.id, w)),
        |from, to| {
            let ends = [("from", &from.from, &to.from), ("to", &from.to, &to.to)];
            let said = ends
                .into_iter()
                .map(|(what, x, y)| (what.to_string(), x.to_string(), y.to_string()));
            differing(said)
        },
    );
    let world = |p: &Plan| Value::Object(p.world.write()).to_string();
    let rest = [
        ("title".to_string(), a.title.clone(), b.title.clone()),
        ("book".to_string(), book(a), other_book(a, b)),
        ("duties".to_string(), duties(a), duties(b)),
        ("world".to_string(), world(a), world(b)),
        ("follows".to_string(), followed(a), followed(b)),
        ("site".to_string(), site_said(a), other_site(a, b)),
        ("walk".to_string(), walk_said(a), other_walk(a, b)),
        (
            "exercise".to_string(),
            exercise_said(a),
            other_exercise(a, b),
        ),
    ];
    Differences {
        parts,
        wires,
        rest: differing(rest.into_iter()),
    }
}

fn differing(all: impl Iterator<Item = (String, String, String)>) -> Vec<(String, String, String)> {
    all.filter(|(_, a, b)| a != b).collect()
}

fn told<'a, I: Ord + Clone + 'a, T: 'a>(
    a: impl Iterator<Item = (&'a I, &'a T)>,
    b: impl Iterator<Item = (&'a I, &'a T)>,
    changes: impl Fn(&T, &T) -> Vec<(String, String, String)>,
) -> Vec<(I, Change)> {
    let b: Vec<(&I, &T)> = b.collect();
    let there: BTreeMap<&I, &T> = b.iter().copied().gather();
    let mut out = Vec::new();
    let mut seen: BTreeSet<&I> = BTreeSet::new();
    for (id, one) in a {
        seen.insert(id);
        match there.get(id) {
            None => out.push((id.clone(), Change::Gone)),
            Some(other) => {
                let changed = changes(one, other);
                if !changed.is_empty() {
                    out.push((id.clone(), Change::Changed(changed)));
                }
            }
        }
    }
    let added = b.iter().filter(|(id, _)| !seen.contains(id));
    out.extend(added.map(|(id, _)| ((*id).clone(), Change::Added)));
    out
}

fn part_changes(a: &Plan, from: &Part, b: &Plan, to: &Part) -> Vec<(String, String, String)> {
    let kind = |plan: &Plan, part: &Part| {
        let kind = plan.kind_of(part);
        kind.map_or_else(|| part.kind.clone(), |t| t.label.clone())
    };
    let reach = |part: &Part| {
        part.reach
            .map_or("builders", super::Reach::word)
            .to_string()
    };
    let hangs = |plan: &Plan, part: &Part| match (part.hangs, plan.site.as_deref()) {
        (None, _) => "none".to_string(),
        (Some(face), None) => face.to_string(),
        (Some(face), Some(site)) => face_said(site, face),
    };
    let mut all = vec![
        ("type".to_string(), kind(a, from), kind(b, to)),
        ("name".to_string(), from.name.clone(), to.name.clone()),
        (
            "count".to_string(),
            from.count.to_string(),
            to.count.to_string(),
        ),
        ("reach".to_string(), reach(from), reach(to)),
        (
            "place on the site".to_string(),
            hangs(a, from),
            hangs(b, to),
        ),
    ];
    let keys: BTreeSet<&String> = from.set.keys().chain(to.set.keys()).gather();
    for key in keys {
        let fields = a.kind_of(from).map(|t| t.fields()).unwrap_or_default();
        let label = fields
            .iter()
            .find(|f| f.key == key)
            .map_or(key.as_str(), |f| f.label);
        all.push((
            label.to_lowercase(),
            setting(a, from, key),
            setting(b, to, key),
        ));
    }
    differing(all.into_iter())
}

/// A setting as it counts: the part's own, else the book's.
fn setting(plan: &Plan, part: &Part, key: &str) -> String {
    let own = part.set.get(key);
    match own.or_else(|| plan.kind_of(part)?.set.get(key)) {
        Some(Value::String(text)) => text.clone(),
        Some(Value::Bool(true)) => "yes".into(),
        Some(Value::Bool(false)) => "no".into(),
        Some(other) => other.to_string(),
        None => "not set".into(),
    }
}

fn book(plan: &Plan) -> String {
    let name = &plan.book.book.name;
    match plan.book.written {
        Value::String(_) => name.clone(),
        _ => format!("{name} (the plan's own)"),
    }
}

/// The book of `b` beside that of `a`: two that differ are never told in the same words.
fn other_book(a: &Plan, b: &Plan) -> String {
    let (said, other) = (book(a), book(b));
    if a.book == b.book || said != other {
        return other;
    }
    let (first, second) = (&a.book.book, &b.book.book);
    let changed = (first.types.iter()).filter(|t| second.find(&t.name) != Some(*t));
    let new = (second.types.iter()).filter(|t| first.find(&t.name).is_none());
    let labels: Vec<&str> = changed.chain(new).map(|t| t.label.as_str()).collect();
    let more = match labels.len().saturating_sub(SHOWN) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    match labels.as_slice() {
        [] => "another of the same name".into(),
        all => format!(
            "another of the same name; not alike: {}{more}",
            all[..all.len().min(SHOWN)].join(", ")
        ),
    }
}

/// What the world that the plan follows is called.
fn followed(plan: &Plan) -> String {
    let called = |follows: &Follows| follows.called().to_string();
    plan.follows.as_ref().map_or("no world".into(), called)
}

fn site_said(plan: &Plan) -> String {
    match &plan.site {
        None => "no site".into(),
        Some(site) => format!(
            "{} by {} cells, {} storeys, {} rooms",
            site.width,
            site.depth,
            site.storeys.len(),
            site.rooms.len()
        ),
    }
}

/// The site of `b` beside that of `a`: two that differ are never told in the same words.
fn other_site(a: &Plan, b: &Plan) -> String {
    let said = site_said(b);
    match a.site == b.site || site_said(a) != said {
        true => said,
        false => format!("{said}, drawn otherwise"),
    }
}

fn walk_said(plan: &Plan) -> String {
    match &plan.walk {
        None => "no walk".into(),
        Some(walk) => match walk.steps.len() {
            1 => "1 step".into(),
            steps => format!("{steps} steps"),
        },
    }
}

/// The walk of `b` beside that of `a`: two that differ are never told in the same words.
fn other_walk(a: &Plan, b: &Plan) -> String {
    let said = walk_said(b);
    match a.walk == b.walk || walk_said(a) != said {
        true => said,
        false => format!("{said}, other ones"),
    }
}

fn exercise_said(plan: &Plan) -> String {
    let said = |exercise: &Exercise| exercise.asks.clone();
    plan.exercise.as_deref().map_or("no exercise".into(), said)
}

/// The exercise of `b` beside that of `a`, likewise.
fn other_exercise(a: &Plan, b: &Plan) -> String {
    let said = exercise_said(b);
    match a.exercise == b.exercise || exercise_said(a) != said {
        true => said,
        false => format!("{said} (set otherwise)"),
    }
}

/// How many types that differ are told by name.
const SHOWN: usize = 4;

fn duties(plan: &Plan) -> String {
    let one = |duty: &Duty| {
        let when = duty.when.in_short();
        let only = if duty.only { ", and only then" } else { "" };
        let grace = if duty.grace_s == super::duty::GRACE_S {
            String::new()
        } else {
            format!(" (grace {} s)", duty.grace_s)
        };
        format!("{} {when}{only}{grace}", plan.called(&duty.part))
    };
    let all: Vec<String> = plan.duties.iter().map(one).collect();
    all.join("; ")
}

impl Plan {
    /// The edits that make this plan do, and look, as `to` does, in an order that applies. What the document holds that
    /// no edit can change stays: fields unknown to this program, and that ids are never used again.
    pub fn edits_to(&self, to: &Plan) -> Vec<Edit> {
        let other_book = self.book != to.book;
        let stays: BTreeSet<PartId> = in_order(
            self.parts.iter().map(|p| &p.id),
            to.parts.iter().map(|p| &p.id),
            |id| !other_book && same_part(self.part(id), to.part(id)),
        );
        let wire_stays: BTreeSet<WireId> = in_order(
            self.wires.iter().map(|w| &w.id),
            to.wires.iter().map(|w| &w.id),
            |id| same_wire(self.wire(id), to.wire(id), &stays),
        );
        let mut edits: Vec<Edit> = Vec::new();
        if self.title != to.title {
            edits.push(Edit::Title(to.title.clone()));
        }
        if self.notes != to.notes {
            edits.push(Edit::Notes(to.notes.clone()));
        }
        let kept: Vec<Duty> = self
            .duties
            .iter()
            .filter(|d| stays.contains(&d.part))
            .cloned()
            .collect();
        let duties_cut = kept.len() < self.duties.len();
        if duties_cut {
            edits.push(Edit::Duties(kept.clone()));
        }
        let meant: Vec<Meant> = (self.meant.iter())
            .filter(|m| stays.contains(&m.part))
            .cloned()
            .collect();
        if meant.len() < self.meant.len() {
            edits.push(Edit::Meant(meant.clone()));
        }
        let gone = self.wires.iter().filter(|w| !wire_stays.contains(&w.id));
        edits.extend(gone.map(|w| Edit::RemoveWire(w.id.clone())));
        let gone = self.parts.iter().filter(|p| !stays.contains(&p.id));
        edits.extend(gone.map(|p| Edit::RemovePart(p.id.clone())));
        if other_book {
            edits.push(Edit::Book(to.book.clone()));
        }
        if self.world != to.world {
            edits.push(Edit::World(Box::new(to.world.clone())));
        }
        if self.follows != to.follows {
            edits.push(Edit::Follow(to.follows.clone()));
        }
        if self.site != to.site {
            let site = to.site.as_deref().cloned().map(Box::new);
            edits.push(Edit::Site(site));
        }
        for part in self.parts.iter().filter(|p| stays.contains(&p.id)) {
            if let Some(other) = to.part(&part.id) {
                part_edits(part, other, &mut edits);
            }
        }
        for (at, part) in to.parts.iter().enumerate() {
            if !stays.contains(&part.id) {
                edits.push(Edit::AddPart(at, part.clone()));
            }
        }
        for (at, wire) in to.wires.iter().enumerate() {
            if !wire_stays.contains(&wire.id) {
                edits.push(Edit::AddWire(at, wire.clone()));
            } else if let Some(own) = self.wire(&wire.id) {
                if own.bends != wire.bends {
                    edits.push(Edit::Bend(wire.id.clone(), wire.bends.clone()));
                }
                if own.via != wire.via {
                    edits.push(Edit::Lead(wire.id.clone(), wire.via.clone()));
                }
            }
        }
        if kept != to.duties {
            edits.push(Edit::Duties(to.duties.clone()));
        }
        if meant != to.meant {
            edits.push(Edit::Meant(to.meant.clone()));
        }
        if self.walk != to.walk {
            edits.push(Edit::Walk(to.walk.as_deref().cloned().map(Box::new)));
        }
        if self.exercise != to.exercise {
            edits.push(Edit::Exercise(
                to.exercise.as_deref().cloned().map(Box::new),
            ));
        }
        edits
    }
}

fn part_edits(part: &Part, other: &Part, edits: &mut Vec<Edit>) {
    let id = &part.id;
    if part.at != other.at {
        edits.push(Edit::MovePart(id.clone(), other.at));
    }
    if part.name != other.name {
        edits.push(Edit::Rename(id.clone(), other.name.clone()));
    }
    if part.count != other.count {
        edits.push(Edit::Count(id.clone(), other.count));
    }
    if part.reach != other.reach {
        edits.push(Edit::Reach(id.clone(), other.reach));
    }
    if part.hangs != other.hangs {
        edits.push(Edit::Hang(id.clone(), other.hangs));
    }
    let gone = part.set.keys().filter(|key| !other.set.contains_key(*key));
    edits.extend(gone.map(|key| Edit::Set(id.clone(), key.clone(), None)));
    let differs = |set: &Map<String, Value>, key: &str, value: &Value| set.get(key) != Some(value);
    for (key, value) in &other.set {
        if differs(&part.set, key, value) {
            edits.push(Edit::Set(id.clone(), key.clone(), Some(value.clone())));
        }
    }
}

fn same_part(a: Option<&Part>, b: Option<&Part>) -> bool {
    a.zip(b)
        .is_some_and(|(a, b)| a.kind == b.kind && a.extra == b.extra)
}

fn same_wire(a: Option<&Wire>, b: Option<&Wire>, stays: &BTreeSet<PartId>) -> bool {
    let there = |w: &Wire| stays.contains(&w.from.part) && stays.contains(&w.to.part);
    a.zip(b)
        .is_some_and(|(a, b)| a.from == b.from && a.to == b.to && a.extra == b.extra && there(a))
}

/// The ids that both lists have in the same order, taken as they come in the second, and that may stay.
fn in_order<'a, I: Ord + Clone + 'a>(
    a: impl Iterator<Item = &'a I>,
    b: impl Iterator<Item = &'a I>,
    may: impl Fn(&I) -> bool,
) -> BTreeSet<I> {
    let place: BTreeMap<&I, usize> = a.enumerate().map(|(at, id)| (id, at)).gather();
    let mut next = 0;
    let mut stays = BTreeSet::new();
    for id in b {
        if let Some(at) = place.get(id).filter(|at| **at >= next && may(id)) {
            next = at + 1;
            stays.insert(id.clone());
        }
    }
    stays
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{End, examples, read_plan};

    fn example(at: usize) -> Plan {
        read_plan(examples()[at].1).unwrap()
    }

    #[test]
    fn the_edits_make_any_example_any_other_and_their_inverses_take_it_back() {
        for (from, to) in [(0, 1), (1, 0), (1, 2), (2, 0)] {
            let (first, other) = (example(from), example(to));
            let mut plan = first.clone();
            let inverse = plan.apply_all(first.edits_to(&other)).unwrap();
            assert!(differences(&plan, &other).is_none());
            plan.next = other.next;
            plan.extra = other.extra.clone();
            assert_eq!(plan, other, "{from} to {to}");
            plan.apply_all(inverse).unwrap();
            (plan.next, plan.extra) = (first.next, first.extra.clone());
            assert_eq!(plan, first, "{from} to {to} and back");
        }
    }

    #[test]
    fn the_same_plan_differs_in_nothing_and_takes_no_edit() {
        let plan = example(0);
        assert!(differences(&plan, &plan).is_none());
        assert_eq!(plan.edits_to(&plan), []);
    }

    #[test]
    fn what_was_added_taken_out_and_changed_is_told() {
        let first = example(2);
        let mut other = first.clone();
        other.wires.remove(2);
        other.parts[0].count = 2;
        other.parts[2].set.insert("closed".into(), false.into());
        let id = other.new_part_id();
        other
            .parts
            .push(Part::new(id.clone(), "lamp", (0.0, 400.0)));
        let wire = other.new_wire_id();
        let lamp = Wire::new(
            wire.clone(),
            End::new(&"p3".into(), "out"),
            End::new(&id, "in"),
        );
        other.wires.push(lamp);
        other.duties[0].only = true;
        let changed =
            |what: &str, a: &str, b: &str| Change::Changed(vec![(what.into(), a.into(), b.into())]);
        let found = differences(&first, &other);
        assert_eq!(
            found.parts,
            [
                ("p1".into(), changed("count", "1", "2")),
                ("p3".into(), changed("closed at the start", "yes", "no")),
                (id, Change::Added),
            ]
        );
        assert_eq!(
            found.wires,
            [("w3".into(), Change::Gone), (wire, Change::Added)]
        );
        let duties = (
            "duties",
            "Galley lamp dark",
            "Galley lamp dark, and only then",
        );
        assert_eq!(
            found.rest,
            [(duties.0.into(), duties.1.into(), duties.2.into())]
        );
    }

    #[test]
    fn two_books_of_one_name_are_told_apart() {
        let with = |peak: u64, lag: u64, more: &str| {
            let text = format!(
                r#"{{"format": "duskline/plan", "version": 1, "book": {{"name": "own", "unit": "u", "step": 1,
                "lag_ms": {lag}, "types": [{{"type": "g", "label": "Windlass", "group": "g", "symbol": "generator",
                "behaviour": "source", "profile": "steady", "peak": {peak}}}{more}]}}, "parts": [], "wires": []}}"#
            );
            read_plan(&text).expect("it reads")
        };
        let lamp = r#", {"type": "l", "label": "Cresset", "group": "g", "symbol": "lamp", "behaviour": "load", "draw": 2}"#;
        let told = |a: &Plan, b: &Plan| {
            let found = differences(a, b);
            assert!(!found.is_none());
            found.rest
        };
        let own = |other: &str| {
            let said = format!("another of the same name{other}");
            [("book".into(), "own (the plan's own)".into(), said)]
        };
        let plan = with(16, 100, "");
        let alike = "; not alike: Windlass";
        assert_eq!(told(&plan, &with(99, 100, "")), own(alike));
        assert_eq!(told(&plan, &with(16, 200, "")), own(""));
        let both = with(99, 100, lamp);
        assert_eq!(told(&plan, &both), own("; not alike: Windlass, Cresset"));
        assert_eq!(told(&both, &plan), own("; not alike: Windlass, Cresset"));
        assert!(differences(&both, &both).is_none());
    }

    #[test]
    fn another_order_is_made_too() {
        let first = example(1);
        let mut other = first.clone();
        other.parts.reverse();
        other.wires.swap(0, 3);
        let mut plan = first.clone();
        plan.apply_all(first.edits_to(&other)).unwrap();
        plan.next = other.next;
        assert_eq!(plan, other);
    }
}
