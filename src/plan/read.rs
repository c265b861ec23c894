//! Reading a plan's file form. Every fault is found in one reading; what is sound can be had without the rest.
//!
//! What is lost only because something else could not be read (a part without its book, a wire without its part) goes
//! without a fault of its own: told is what is to be mended.

mod duties;
mod exercise;
mod meant;
mod parts;
mod step_edits;
mod walk;
mod wires;

pub(crate) use duties::duty_of;

use super::follows::read_follows;
use super::{BookRef, HEAD, Plan, World};
use crate::read::{self, FaultKind, Faults, Place};
use crate::site::read_site;
use serde_json::{Map, Value};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A damaged plan: what could be read of it, and what could not.
#[derive(Clone, Debug)]
pub struct Salvage {
    /// The sound rest.
    pub plan: Plan,
    /// What is wrong with the document, in its order; empty for a sound plan.
    pub faults: Faults,
}

/// Reads a plan that must be sound throughout.
pub fn read_plan(text: &str) -> Result<Plan, Faults> {
    let read = salvage(text)?;
    if read.faults.is_empty() {
        Ok(read.plan)
    } else {
        Err(read.faults)
    }
}

/// Reads what can be read. An error only where there is nothing to offer: no JSON, no plan, a newer version.
pub fn salvage(text: &str) -> Result<Salvage, Faults> {
    let value = read::json(text.trim_start_matches('\u{feff}')).map_err(|fault| vec![fault])?;
    salvage_value(&value)
}

/// As [`salvage`], of a value that is parsed already.
pub fn salvage_value(value: &Value) -> Result<Salvage, Faults> {
    let mut faults = Faults::new();
    let root = Place::root("plan");
    let Some(map) = read::object(value, &root, &mut faults) else {
        return Err(faults);
    };
    HEAD.check(map, &root).map_err(|fault| vec![fault])?;
    let mut plan = Plan::empty();
    plan.title = read::text(map, "title", &root, &mut faults)
        .unwrap_or("")
        .into();
    plan.notes = read::text(map, "notes", &root, &mut faults)
        .unwrap_or("")
        .into();
    let book = read_book_ref(map, &root, &mut faults);
    let has_book = book.is_some();
    plan.book = book.unwrap_or_else(BookRef::none);
    if let Some(world) = map.get("world") {
        plan.world = World::read(world, &root.key("world"), &mut faults);
    }
    plan.follows = read_follows(map, &root, &mut faults);
    let written = Written::of(map, has_book, &root, &mut faults);
    plan.site = map
        .get("site")
        .and_then(|value| read_site(value, &root.key("site"), &mut faults))
        .map(Arc::new);
    parts::read_parts(&written, &root, &mut plan, &mut faults);
    wires::read_wires(map, &written, &root, &mut plan, &mut faults);
    duties::read_duties(map, &written, &root, &mut plan, &mut faults);
    meant::read_meant(map, &written, &root, &mut plan, &mut faults);
    plan.next = super::id::next_of(&plan.parts, &plan.wires);
    if let Some([p, w]) = map.get("next").and_then(Value::as_array).map(Vec::as_slice) {
        let grown = |n: u64, v: &Value| {
            v.as_u64()
                .filter(|v| *v < u64::MAX / 2)
                .map_or(n, |v| n.max(v))
        };
        plan.next = (grown(plan.next.0, p), grown(plan.next.1, w));
    }
    let known = [
        "format", "version", "title", "notes", "book", "world", "follows", "parts", "wires",
        "site", "duties", "meant", "walk", "exercise", "next",
    ];
    plan.extra = read::extra(map, &known);
    // What they lack only because something before could not be read is no fault of theirs.
    let mut of_teaching = Faults::new();
    plan.walk = walk::read_walk(map, &root, &plan, &mut of_teaching).map(Arc::new);
    plan.exercise = exercise::read_exercise(map, &root, &plan, &mut of_teaching).map(Arc::new);
    if faults.is_empty() {
        faults = of_teaching;
    }
    Ok(Salvage { plan, faults })
}

/// What a document writes of parts, sound or not.
struct Written<'v> {
    /// Whether the book could be read.
    book: bool,
    /// The entries; none where there is no list of them.
    parts: Option<&'v [Value]>,
    ids: BTreeSet<&'v str>,
}

impl<'v> Written<'v> {
    fn of(
        map: &'v Map<String, Value>,
        book: bool,
        root: &Place,
        faults: &mut Faults,
    ) -> Written<'v> {
        let before = faults.len();
        let entries = read::list(map, "parts", root, faults);
        let parts = (faults.len() == before).then_some(entries);
        let id = |entry: &'v Value| entry.get("id").and_then(Value::as_str);
        Written {
            book,
            parts,
            ids: entries.iter().filter_map(id).collect(),
        }
    }

    /// A document that writes nothing of parts.
    fn nothing() -> Written<'v> {
        Written {
            book: true,
            parts: Some(&[]),
            ids: BTreeSet::new(),
        }
    }

    /// Whether there may be a part of this id, although it could not be read.
    fn has(&self, id: &str) -> bool {
        self.parts.is_none() || self.ids.contains(id)
    }
}

/// The book of a plan or a world; none where it can't be read.
pub(crate) fn read_book_ref(
    map: &Map<String, Value>,
    root: &Place,
    faults: &mut Faults,
) -> Option<BookRef> {
    let at = root.key("book");
    let expected = || {
        let names = crate::book::built_in_names();
        format!(
            "a whole book or the name of a built-in one: {}",
            names.join(", ")
        )
    };
    match map.get("book") {
        None => faults.push(at.fault(FaultKind::Missing, "nothing", expected())),
        Some(name @ Value::String(text)) => {
            let found = BookRef::built_in(text);
            if found.is_none() {
                faults.push(at.wrong(FaultKind::Unknown, name, expected()));
            }
            return found;
        }
        Some(written @ Value::Object(_)) => match crate::book::read_book_at(written, &at) {
            Ok(book) => {
                return Some(BookRef::new(
                    book.into(),
                    crate::book::with_stages(written.clone()),
                ));
            }
            Err(more) => faults.extend(more),
        },
        Some(v) => faults.push(at.wrong(FaultKind::Type, v, expected())),
    }
    None
}
