//! Reading a plan's parts, each checked by its type in the book.
//!
//! A part with a bad setting stays, with the book's. Where the book itself could not be read no part stays, and none is
//! told for it: only what is wrong with a part whatever its type.

use super::Written;
use crate::book::setting;
use crate::limits;
use crate::plan::{Part, PartId, Plan, Reach};
use crate::read::{self, FaultKind, Faults, Place};
use crate::site::Face;
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// Reads the parts into `plan`.
pub(super) fn read_parts(written: &Written, root: &Place, plan: &mut Plan, faults: &mut Faults) {
    let at = root.key("parts");
    let entries = written.parts.unwrap_or(&[]);
    if entries.len() > limits::PARTS {
        faults.push(at.fault(
            FaultKind::Range,
            format!("{} parts", entries.len()),
            format!("at most {}", limits::PARTS),
        ));
    }
    let mut seen = BTreeSet::new();
    for (index, entry) in entries.iter().take(limits::PARTS).enumerate() {
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let id = read::name(map, "id", &here, faults);
        let part = read_part(map, &here, plan, written.book, faults);
        let Some(id) = id else {
            continue;
        };
        let doubled = seen.contains(id);
        if doubled {
            let found = format!("\"{id}\" a second time");
            faults.push(
                here.key("id")
                    .fault(FaultKind::Doubled, found, "an id of its own"),
            );
        }
        // An id is taken by a part that stays, so that of two with one id the sound one does. Without a book none
        // stays, and the first takes it.
        if part.is_some() || !written.book {
            seen.insert(id);
        }
        if let Some(part) = part.filter(|_| !doubled) {
            plan.parts.push(Part {
                id: PartId::from(id),
                ..part
            });
        }
    }
}

/// Reads all of a part but its id. `book` says whether the plan's book could be read.
pub(super) fn read_part(
    map: &Map<String, Value>,
    place: &Place,
    plan: &Plan,
    book: bool,
    faults: &mut Faults,
) -> Option<Part> {
    let kind = read::name(map, "type", place, faults);
    let of = kind.and_then(|kind| plan.book.book.find(kind));
    if let (Some(kind), None, true) = (kind, of, book) {
        faults.push(place.key("type").fault(
            FaultKind::Unknown,
            format!("\"{kind}\""),
            "a part type of the book",
        ));
    }
    let set = map
        .get("set")
        .and_then(|v| read::object(v, &place.key("set"), faults))
        .cloned()
        .unwrap_or_default();
    let set = match of {
        Some(of) => check_set(of, set, &place.key("set"), faults),
        None => set,
    };
    let reach = map
        .get("reach")
        .and_then(|v| read_reach(v, &place.key("reach"), faults));
    let count = map
        .get("count")
        .and_then(|v| read::whole(v, 1, limits::COUNT, &place.key("count"), faults))
        .unwrap_or(1);
    let name = read::text(map, "name", place, faults).unwrap_or("").into();
    let at = map
        .get("at")
        .and_then(|v| place_of(v, &place.key("at"), faults));
    let hangs = map
        .get("hangs")
        .and_then(|v| Face::read(v, &place.key("hangs"), faults));
    of.map(|of| Part {
        id: PartId::from(""),
        kind: of.name.clone(),
        name,
        at,
        count,
        set,
        reach,
        hangs,
        extra: read::extra(
            map,
            &["id", "type", "name", "at", "count", "set", "reach", "hangs"],
        ),
    })
}

/// Who can reach a part.
pub(super) fn read_reach(value: &Value, place: &Place, faults: &mut Faults) -> Option<Reach> {
    let word = value.as_str();
    let found = word.and_then(|word| Reach::ALL.into_iter().find(|r| r.word() == word));
    if found.is_none() {
        let expected = "one of builders, friends, anyone";
        faults.push(place.wrong(FaultKind::Unknown, value, expected));
    }
    found
}

/// The settings that are sound; of the others the faults are told.
fn check_set(
    of: &crate::book::PartType,
    mut set: Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) -> Map<String, Value> {
    let start = faults.len();
    for field in of.fields() {
        let before = faults.len();
        match set.get(field.key) {
            Some(v) => setting::check(field, v, &place.key(field.key), faults),
            None if field.optional
                || of.set.contains_key(field.key)
                || field.kind == limits::Kind::Battery => {}
            None => {
                let expected = format!(
                    "{}; the book gives no default",
                    crate::book::words(field.kind)
                );
                faults.push(
                    place
                        .key(field.key)
                        .fault(FaultKind::Missing, "nothing", expected),
                );
            }
        }
        if faults.len() > before {
            set.shift_remove(field.key);
        }
    }
    // Beside a level that can't be read the other one is no fault.
    if faults.len() == start && of.fields().iter().any(|f| f.key == "low") {
        let before = faults.len();
        setting::check_order(&set, &of.set, place, faults);
        if faults.len() > before {
            set.shift_remove("low");
            set.shift_remove("high");
        }
    }
    set
}

/// A place on the board.
pub(super) fn place_of(value: &Value, place: &Place, faults: &mut Faults) -> Option<(f64, f64)> {
    let most = limits::BOARD;
    let Some([x, y]) = value.as_array().map(Vec::as_slice) else {
        let expected = format!("[x, y], two numbers from -{most} to {most}");
        faults.push(place.wrong(FaultKind::Type, value, expected));
        return None;
    };
    let mut number = |index, v| read::decimal(v, -most, most, &place.index(index), faults);
    let (x, y) = (number(0, x), number(1, y));
    x.zip(y)
}
