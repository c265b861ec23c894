//! Reading a plan's file form. Every fault is found in one reading; what is sound can be had without the rest.

use super::duty::GRACE_S;
use super::{
    BookRef, Clock, Duty, End, FORMAT, Part, PartId, Plan, Reach, Span, VERSION, When, Wire,
    WireId, World,
};
use crate::book::Side;
use crate::limits;
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

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
    from_value(&value)
}

/// As [`salvage`], of a value that is parsed already.
pub(super) fn from_value(value: &Value) -> Result<Salvage, Faults> {
    let mut faults = Faults::new();
    let root = Place::root("plan");
    let Some(map) = read::object(value, &root, &mut faults) else {
        return Err(faults);
    };
    check_head(map, &root).map_err(|fault| vec![fault])?;
    let mut plan = Plan::empty();
    plan.title = read::text(map, "title", &root, &mut faults)
        .unwrap_or("")
        .into();
    plan.notes = read::text(map, "notes", &root, &mut faults)
        .unwrap_or("")
        .into();
    plan.book = read_book_ref(map, &root, &mut faults);
    if let Some(world) = map.get("world") {
        plan.world = World::read(world, &root.key("world"), &mut faults);
    }
    read_parts(map, &root, &mut plan, &mut faults);
    read_wires(map, &root, &mut plan, &mut faults);
    read_duties(map, &root, &mut plan, &mut faults);
    plan.next = next_of(&plan.parts, &plan.wires);
    if let Some([p, w]) = map.get("next").and_then(Value::as_array).map(Vec::as_slice) {
        let grown = |n: u64, v: &Value| {
            v.as_u64()
                .filter(|v| *v < u64::MAX / 2)
                .map_or(n, |v| n.max(v))
        };
        plan.next = (grown(plan.next.0, p), grown(plan.next.1, w));
    }
    let known = [
        "format", "version", "title", "notes", "book", "world", "parts", "wires", "duties", "next",
    ];
    plan.extra = read::extra(map, &known);
    Ok(Salvage { plan, faults })
}

fn check_head(map: &Map<String, Value>, root: &Place) -> Result<(), read::Fault> {
    let expected = format!("\"{FORMAT}\"");
    match map.get("format") {
        None => {
            return Err(root
                .key("format")
                .fault(FaultKind::Format, "nothing", expected));
        }
        Some(v) if v.as_str() != Some(FORMAT) => {
            return Err(root.key("format").wrong(FaultKind::Format, v, expected));
        }
        _ => {}
    }
    let at = root.key("version");
    match map.get("version") {
        Some(v) if v.as_u64() == Some(VERSION) => Ok(()),
        Some(v) if v.as_u64().is_some_and(|n| n > VERSION) => Err(at.wrong(
            FaultKind::Newer,
            v,
            format!("{VERSION}; this plan was made by a newer Duskline: update this one"),
        )),
        Some(v) => Err(at.wrong(FaultKind::Range, v, VERSION.to_string())),
        None => Err(at.fault(FaultKind::Missing, "nothing", VERSION.to_string())),
    }
}

/// The number at the end of an id such as `p12`; 0 where there is none.
pub(super) fn number_of(id: &str) -> u64 {
    let digits = id.trim_start_matches(|c: char| !c.is_ascii_digit());
    digits
        .parse::<u64>()
        .ok()
        .filter(|n| *n < u64::MAX / 2)
        .unwrap_or(0)
}

/// The next numbers for ids, as the ids in use tell them.
pub(super) fn next_of(parts: &[Part], wires: &[Wire]) -> (u64, u64) {
    let part = parts
        .iter()
        .map(|p| number_of(p.id.as_str()))
        .max()
        .unwrap_or(0);
    let wire = wires
        .iter()
        .map(|w| number_of(w.id.as_str()))
        .max()
        .unwrap_or(0);
    (part + 1, wire + 1)
}

fn read_book_ref(map: &Map<String, Value>, root: &Place, faults: &mut Faults) -> BookRef {
    let at = root.key("book");
    match map.get("book") {
        None => faults.push(at.fault(
            FaultKind::Missing,
            "nothing",
            "a built-in book's name or a whole book",
        )),
        Some(Value::String(name)) => match BookRef::built_in(name) {
            Some(book) => return book,
            None => {
                let names = crate::book::built_in_names().join(", ");
                faults.push(at.fault(
                    FaultKind::Unknown,
                    format!("\"{name}\""),
                    format!("a whole book or one of {names}"),
                ));
            }
        },
        Some(written @ Value::Object(_)) => match crate::book::read_book_at(written, &at) {
            Ok(book) => {
                return BookRef {
                    book: book.into(),
                    written: written.clone(),
                };
            }
            Err(more) => faults.extend(more),
        },
        Some(v) => {
            faults.push(at.wrong(FaultKind::Type, v, "a built-in book's name or a whole book"))
        }
    }
    BookRef::none()
}

fn place_of(value: &Value, place: &Place, faults: &mut Faults) -> Option<(f64, f64)> {
    let number = |v: &Value| v.as_f64().filter(|n| n.abs() <= limits::BOARD);
    let found = match value.as_array().map(Vec::as_slice) {
        Some([x, y]) => number(x).zip(number(y)),
        _ => None,
    };
    if found.is_none() {
        let most = limits::BOARD;
        faults.push(place.wrong(
            FaultKind::Type,
            value,
            format!("[x, y], two numbers from -{most} to {most}"),
        ));
    }
    found
}

fn read_parts(map: &Map<String, Value>, root: &Place, plan: &mut Plan, faults: &mut Faults) {
    let at = root.key("parts");
    let entries = read::list(map, "parts", root, faults);
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
        let Some(part) = read_part(entry, &here, plan, faults) else {
            continue;
        };
        if !seen.insert(part.id.clone()) {
            let found = format!("\"{}\" a second time", part.id);
            faults.push(
                here.key("id")
                    .fault(FaultKind::Doubled, found, "an id of its own"),
            );
            continue;
        }
        // A part with a bad setting stays, with the book's; its faults are told.
        plan.parts.push(part);
    }
}

fn read_part(value: &Value, place: &Place, plan: &Plan, faults: &mut Faults) -> Option<Part> {
    let map = read::object(value, place, faults)?;
    let id = read::name(map, "id", place, faults);
    let kind = read::name(map, "type", place, faults);
    let (id, kind) = (id?, kind?);
    let Some(of) = plan.book.book.find(kind) else {
        faults.push(place.key("type").fault(
            FaultKind::Unknown,
            format!("\"{kind}\""),
            "a part type of the book",
        ));
        return None;
    };
    let at = place.key("set");
    let mut set = map
        .get("set")
        .and_then(|v| read::object(v, &at, faults))
        .cloned()
        .unwrap_or_default();
    for field in of.fields() {
        let before = faults.len();
        match set.get(field.key) {
            Some(v) => super::check_setting(field, v, &at.key(field.key), faults),
            None if field.optional
                || of.set.contains_key(field.key)
                || field.kind == limits::Kind::Battery => {}
            None => {
                let expected = format!(
                    "{}; the book gives no default",
                    crate::book::words(field.kind)
                );
                faults.push(
                    at.key(field.key)
                        .fault(FaultKind::Missing, "nothing", expected),
                );
            }
        }
        if faults.len() > before {
            set.shift_remove(field.key);
        }
    }
    check_charge(of, &set, &at, faults);
    let reach = match map.get("reach") {
        None => None,
        Some(v) => {
            let found = v
                .as_str()
                .and_then(|s| Reach::ALL.into_iter().find(|r| r.word() == s));
            if found.is_none() {
                faults.push(place.key("reach").wrong(
                    FaultKind::Unknown,
                    v,
                    "one of builders, friends, anyone",
                ));
            }
            found
        }
    };
    let count = map
        .get("count")
        .and_then(|v| read::whole(v, 1, limits::COUNT, &place.key("count"), faults))
        .unwrap_or(1);
    Some(Part {
        id: PartId::from(id),
        kind: kind.into(),
        name: read::text(map, "name", place, faults).unwrap_or("").into(),
        at: map
            .get("at")
            .and_then(|v| place_of(v, &place.key("at"), faults)),
        count,
        set,
        reach,
        extra: read::extra(map, &["id", "type", "name", "at", "count", "set", "reach"]),
    })
}

/// `low` must be below `high`, whichever of the two the book gives.
fn check_charge(
    of: &crate::book::PartType,
    set: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) {
    if !of.fields().iter().any(|f| f.key == "low") {
        return;
    }
    let value = |key: &str| {
        set.get(key)
            .or_else(|| of.set.get(key))
            .and_then(Value::as_f64)
    };
    if let (Some(low), Some(high)) = (value("low"), value("high"))
        && low >= high
    {
        faults.push(place.key("high").fault(
            FaultKind::Range,
            high.to_string(),
            format!("more than low, which is {low}"),
        ));
    }
}

fn read_wires(map: &Map<String, Value>, root: &Place, plan: &mut Plan, faults: &mut Faults) {
    let at = root.key("wires");
    // Sides by port, so that a large plan is read in one pass.
    let mut sides: BTreeMap<End, Side> = BTreeMap::new();
    for part in &plan.parts {
        let Some(kind) = plan.kind_of(part) else {
            continue;
        };
        sides.extend(
            kind.ports()
                .iter()
                .map(|p| (End::new(&part.id, &p.name), p.side)),
        );
    }
    let (mut ids, mut taken) = (BTreeSet::new(), BTreeMap::new());
    for (index, entry) in read::list(map, "wires", root, faults).iter().enumerate() {
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let id = read::name(map, "id", &here, faults);
        let mut end = |key: &str, out: bool| read_end(map, key, out, &sides, &here, faults);
        let (from, to) = (end("from", true), end("to", false));
        let (Some(id), Some(from), Some(to)) = (id, from, to) else {
            continue;
        };
        if !ids.insert(id.to_string()) {
            faults.push(here.key("id").fault(
                FaultKind::Doubled,
                format!("\"{id}\" a second time"),
                "an id of its own",
            ));
            continue;
        }
        let doubled = [("from", &from), ("to", &to)]
            .into_iter()
            .find_map(|(k, e)| taken.get(e).map(|w: &String| (k, e, w)));
        if let Some((key, end, wire)) = doubled {
            let found = format!("\"{end}\", which wire {wire} has taken");
            faults.push(here.key(key).fault(
                FaultKind::Doubled,
                found,
                "a port of its own; a port takes one wire",
            ));
            continue;
        }
        taken.insert(from.clone(), id.to_string());
        taken.insert(to.clone(), id.to_string());
        let bends_at = here.key("bends");
        let bends = read::list(map, "bends", &here, faults).iter().enumerate();
        let bends = bends
            .filter_map(|(i, v)| place_of(v, &bends_at.index(i), faults))
            .collect();
        let extra = read::extra(map, &["id", "from", "to", "bends"]);
        plan.wires.push(Wire {
            id: WireId::from(id),
            from,
            to,
            bends,
            extra,
        });
    }
}

fn read_end(
    map: &Map<String, Value>,
    key: &str,
    out: bool,
    sides: &BTreeMap<End, Side>,
    place: &Place,
    faults: &mut Faults,
) -> Option<End> {
    let text = read::name(map, key, place, faults)?;
    let expected = if out {
        "an output port, as \"part.port\""
    } else {
        "an input port, as \"part.port\""
    };
    let end = text.rsplit_once('.').map(|(part, port)| End {
        part: PartId::from(part),
        port: port.into(),
    });
    let side = end.as_ref().and_then(|e| sides.get(e));
    if side.is_none_or(|s| (*s == Side::Out) != out) {
        let found = match (&end, side) {
            (Some(e), None) if !sides.keys().any(|k| k.part == e.part) => {
                format!("\"{text}\", a part that is not there")
            }
            (Some(_), None) => format!("\"{text}\", a port that is not there"),
            _ => format!("\"{text}\""),
        };
        faults.push(place.key(key).fault(FaultKind::Unknown, found, expected));
        return None;
    }
    end
}

fn read_duties(map: &Map<String, Value>, root: &Place, plan: &mut Plan, faults: &mut Faults) {
    let at = root.key("duties");
    for (index, entry) in read::list(map, "duties", root, faults).iter().enumerate() {
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let part = read::name(map, "part", &here, faults).map(PartId::from);
        let when = read_when(map, &here, faults);
        let (Some(part), Some(when)) = (part, when) else {
            continue;
        };
        let load = plan
            .part(&part)
            .and_then(|p| plan.kind_of(p))
            .is_some_and(|t| t.behaviour.name() == "load");
        if !load {
            faults.push(here.key("part").fault(
                FaultKind::Unknown,
                format!("\"{part}\""),
                "the id of a load of the plan",
            ));
            continue;
        }
        let grace = map
            .get("grace_s")
            .and_then(|v| read::decimal(v, 0.0, limits::SECONDS, &here.key("grace_s"), faults));
        plan.duties.push(Duty {
            part,
            when,
            only: read::flag(map, "only", &here, faults).unwrap_or(false),
            grace_s: grace.unwrap_or(GRACE_S),
            extra: read::extra(map, &["part", "when", "from", "to", "only", "grace_s"]),
        });
    }
}

fn read_when(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Option<When> {
    let word = read::name(map, "when", place, faults)?;
    Some(match word {
        "always" => When::Always,
        "dark" => When::Dark,
        "light" => When::Light,
        "home" => When::Home,
        "away" => When::Away,
        "clock" => {
            let mut clock = |key: &str| {
                let text = read::name(map, key, place, faults)?;
                let found = Clock::parse(text);
                if found.is_none() {
                    let found = format!("\"{text}\"");
                    faults.push(place.key(key).fault(
                        FaultKind::Range,
                        found,
                        "a clock time from 00:00 to 24:00",
                    ));
                }
                found
            };
            let (from, to) = (clock("from"), clock("to"));
            When::Clock(Span {
                from: from?,
                to: to?,
            })
        }
        other => {
            let expected = "one of always, dark, light, home, away, clock";
            faults.push(place.key("when").fault(
                FaultKind::Unknown,
                format!("\"{other}\""),
                expected,
            ));
            return None;
        }
    })
}
