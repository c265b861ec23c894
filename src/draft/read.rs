//! Reading an order. Every fault is found in one reading, with its place, what stands there and what was expected.

use super::order::{DraftOrder, HouseSwitch, Least, Wanted, WantedDuty};
use crate::book::Behaviour;
use crate::limits;
use crate::plan::{BookRef, World, duty_of, read_book_ref};
use crate::read::{self, FaultKind, Faults, Head, Place};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// The name of the file form.
pub const FORMAT: &str = "duskline/order";
/// The version of the file form that this program reads.
pub const VERSION: u64 = 1;

pub(super) const HEAD: Head = Head {
    format: FORMAT,
    version: VERSION,
    what: "order",
};

/// Reads an order that must be sound throughout.
pub fn read_order(text: &str) -> Result<DraftOrder, Faults> {
    let value = read::json(text.trim_start_matches('\u{feff}')).map_err(|fault| vec![fault])?;
    let mut faults = Faults::new();
    let root = Place::root("order");
    let Some(map) = read::object(&value, &root, &mut faults) else {
        return Err(faults);
    };
    HEAD.check(map, &root).map_err(|fault| vec![fault])?;
    let book = read_book_ref(map, &root, &mut faults);
    let known_book = book.clone().unwrap_or_else(BookRef::none);
    let mut order = DraftOrder::empty(known_book, World::default());
    if let Some(world) = map.get("world") {
        order.world = World::read(world, &root.key("world"), &mut faults);
    }
    let known = book.as_ref();
    read_wants(map, known, &root, &mut order, &mut faults);
    read_may(map, known, &root, &mut order, &mut faults);
    if let Some(stage) = there(map, "stage") {
        let at = root.key("stage");
        order.stage = read::whole(stage, 0, limits::LAST_STAGE, &at, &mut faults);
    }
    read_materials(map, &root, &mut order, &mut faults);
    read_keeps(map, &root, &mut order, &mut faults);
    read_switch(map, &root, &mut order, &mut faults);
    read_least(map, &root, &mut order, &mut faults);
    match faults.is_empty() {
        true => Ok(order),
        false => Err(faults),
    }
}

/// The field, where it is there and not null.
fn there<'v>(map: &'v Map<String, Value>, key: &str) -> Option<&'v Value> {
    map.get(key).filter(|value| !value.is_null())
}

fn read_wants(
    map: &Map<String, Value>,
    book: Option<&BookRef>,
    root: &Place,
    order: &mut DraftOrder,
    faults: &mut Faults,
) {
    let at = root.key("wants");
    let expected = format!("a list of 1 to {} loads", limits::WANTS);
    let before = faults.len();
    let entries = read::list(map, "wants", root, faults);
    if faults.len() > before {
        return;
    }
    if entries.is_empty() || entries.len() > limits::WANTS {
        let found = match map.contains_key("wants") {
            true => format!("a list of {}", entries.len()),
            false => "nothing".into(),
        };
        faults.push(at.fault(FaultKind::Range, found, expected));
        return;
    }
    for (index, entry) in entries.iter().enumerate() {
        let here = at.index(index);
        // A want that can't be read keeps its place, so that numbers of wants stay what they are.
        let want = read_want(entry, book, &here, faults);
        order.wants.push(want.unwrap_or(Wanted {
            kind: String::new(),
            name: String::new(),
            count: 1,
            duty: None,
        }));
    }
}

fn read_want(
    entry: &Value,
    book: Option<&BookRef>,
    here: &Place,
    faults: &mut Faults,
) -> Option<Wanted> {
    let map = read::object(entry, here, faults)?;
    let expected = "the name of a load's type in the book";
    let kind = read::named(map, "type", here, expected, faults);
    if let (Some(kind), Some(book)) = (kind, book) {
        let found = book.book.find(kind).map(|t| &t.behaviour);
        if !matches!(found, Some(Behaviour::Load { .. })) {
            let said = match found {
                Some(other) => format!("\"{kind}\", a {}", other.name()),
                None => format!("\"{kind}\""),
            };
            faults.push(here.key("type").fault(FaultKind::Unknown, said, expected));
        }
    }
    let name = read::text(map, "name", here, faults).unwrap_or("");
    let count = match there(map, "count") {
        Some(count) => read::whole(count, 1, limits::COUNT, &here.key("count"), faults),
        None => Some(1),
    };
    let at = here.key("duty");
    let duty = match map.get("duty") {
        None => {
            faults.push(at.fault(
                FaultKind::Missing,
                "nothing",
                "a duty, such as { \"when\": \"dark\" }",
            ));
            None
        }
        Some(duty) => read::object(duty, &at, faults).and_then(|map| duty_of(map, &at, faults)),
    };
    let (when, only, grace_s) = duty?;
    Some(Wanted {
        kind: kind?.into(),
        name: name.into(),
        count: count?,
        duty: Some(WantedDuty {
            when,
            only,
            grace_s,
        }),
    })
}

fn read_may(
    map: &Map<String, Value>,
    book: Option<&BookRef>,
    root: &Place,
    order: &mut DraftOrder,
    faults: &mut Faults,
) {
    let Some(value) = there(map, "may") else {
        return;
    };
    let at = root.key("may");
    let Some(entries) = read::object(value, &at, faults) else {
        return;
    };
    let mut may = BTreeMap::new();
    for (kind, most) in entries {
        let here = at.key(kind);
        if book.is_some_and(|book| book.book.find(kind).is_none()) {
            let found = format!("\"{kind}\"");
            faults.push(here.fault(FaultKind::Unknown, found, "the name of a type in the book"));
        }
        let most = match most {
            Value::Null => None,
            most => match read::whole(most, 0, limits::COUNT, &here, faults) {
                Some(most) => Some(most),
                None => continue,
            },
        };
        may.insert(kind.clone(), most);
    }
    order.may = Some(may);
}

fn read_materials(
    map: &Map<String, Value>,
    root: &Place,
    order: &mut DraftOrder,
    faults: &mut Faults,
) {
    let Some(value) = there(map, "materials") else {
        return;
    };
    let at = root.key("materials");
    let Some(entries) = read::object(value, &at, faults) else {
        return;
    };
    for (material, amount) in entries {
        let amount = read::whole(amount, 0, MOST_MATERIAL, &at.key(material), faults);
        order
            .materials
            .extend(amount.map(|amount| (material.clone(), amount)));
    }
}

/// The most of a material that an order can name.
const MOST_MATERIAL: u64 = 1_000_000_000_000;

fn read_keeps(map: &Map<String, Value>, root: &Place, order: &mut DraftOrder, faults: &mut Faults) {
    let Some(value) = there(map, "keeps") else {
        return;
    };
    let at = root.key("keeps");
    let Some(keeps) = read::object(value, &at, faults) else {
        return;
    };
    if let Some(days) = there(keeps, "dull_days") {
        let most = crate::proof::MOST_BAD;
        let days = read::whole(days, 0, most, &at.key("dull_days"), faults);
        order.keeps.dull_days = days.unwrap_or(0);
    }
    if let Some(hours) = there(keeps, "hours") {
        let most = 24.0 * crate::proof::DAYS as f64;
        let hours = read::decimal(hours, 0.0, most, &at.key("hours"), faults);
        order.keeps.hours = hours.unwrap_or(0.0);
    }
    let wants = order.wants.len();
    order.keeps.losses = numbers(keeps, "losses", wants, &at, faults);
    order.keeps.reach = numbers(keeps, "reach", wants, &at, faults);
}

/// Numbers of wants, from 0, each at most once.
fn numbers(
    map: &Map<String, Value>,
    key: &str,
    wants: usize,
    place: &Place,
    faults: &mut Faults,
) -> Vec<usize> {
    let at = place.key(key);
    let mut found = Vec::new();
    for (index, entry) in read::list(map, key, place, faults).iter().enumerate() {
        let here = at.index(index);
        let last = wants.saturating_sub(1) as u64;
        let Some(number) = read::whole(entry, 0, last, &here, faults) else {
            continue;
        };
        let number = number as usize;
        if found.contains(&number) {
            let said = format!("{number} a second time");
            faults.push(here.fault(FaultKind::Doubled, said, "each want once"));
        } else {
            found.push(number);
        }
    }
    found.sort_unstable();
    found
}

fn read_switch(
    map: &Map<String, Value>,
    root: &Place,
    order: &mut DraftOrder,
    faults: &mut Faults,
) {
    let Some(value) = there(map, "switch") else {
        return;
    };
    let at = root.key("switch");
    let Some(entry) = read::object(value, &at, faults) else {
        return;
    };
    let name = read::text(entry, "name", &at, faults).unwrap_or("");
    let before = faults.len();
    let wants = numbers(entry, "wants", order.wants.len(), &at, faults);
    if wants.is_empty() && faults.len() == before {
        let place = at.key("wants");
        let found = "no want";
        faults.push(place.fault(FaultKind::Range, found, "the number of at least one want"));
    }
    order.switch = Some(HouseSwitch {
        name: name.into(),
        wants,
    });
}

fn read_least(map: &Map<String, Value>, root: &Place, order: &mut DraftOrder, faults: &mut Faults) {
    let at = root.key("least");
    let mut least: Vec<Least> = Vec::new();
    let words = Least::ALL.map(Least::word).join(", ");
    for (index, entry) in read::list(map, "least", root, faults).iter().enumerate() {
        let here = at.index(index);
        let found = (Least::ALL.into_iter()).find(|l| entry.as_str() == Some(l.word()));
        match found {
            None => faults.push(here.wrong(FaultKind::Unknown, entry, format!("one of {words}"))),
            Some(one) if least.contains(&one) => {
                let said = format!("\"{}\" a second time", one.word());
                faults.push(here.fault(FaultKind::Doubled, said, "each word once"));
            }
            Some(one) => least.push(one),
        }
    }
    if !least.is_empty() {
        order.least = least;
    }
}
