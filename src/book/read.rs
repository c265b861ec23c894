//! Reading a book from JSON, with every fault found in one reading.

use super::setting::{self, words};
use super::{Behaviour, Book, FunctionName, PartType, Profile, Short};
use crate::limits::{self, Field, Kind};
use crate::quantity::{self, Unit};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// Reads a whole book. The faults' places are paths within the book.
pub fn read_book(value: &Value) -> Result<Book, Faults> {
    read_book_at(value, &Place::root("book"))
}

/// Reads a book that stands at `place` of another document.
pub(crate) fn read_book_at(value: &Value, place: &Place) -> Result<Book, Faults> {
    let mut faults = Faults::new();
    let Some(map) = read::object(value, place, &mut faults) else {
        return Err(faults);
    };
    let name = read::text(map, "name", place, &mut faults)
        .unwrap_or("")
        .to_string();
    let sign = read::text(map, "unit", place, &mut faults)
        .unwrap_or("u")
        .to_string();
    let number = |key, least, most, default, faults: &mut Faults| match map.get(key) {
        None => default,
        Some(v) => read::decimal(v, least, most, &place.key(key), faults).unwrap_or(default),
    };
    let before = faults.len();
    let step = number("step", 1e-6, 1e9, 1.0, &mut faults);
    // Without the step nothing can be said of what hangs on it.
    let known = (faults.len() == before).then_some(step);
    let lag_ms = match map.get("lag_ms") {
        None => 100,
        Some(v) => {
            read::whole(v, 1, 1_000_000_000, &place.key("lag_ms"), &mut faults).unwrap_or(100)
        }
    };
    if !map.contains_key("types") {
        faults.push(place.key("types").fault(
            FaultKind::Missing,
            "nothing",
            "a list of part types",
        ));
    }
    let at = place.key("types");
    let mut types: Vec<PartType> = Vec::new();
    for (index, entry) in read::list(map, "types", place, &mut faults)
        .iter()
        .enumerate()
    {
        let here = at.index(index);
        let Some(found) = read_type(entry, known, &here, &mut faults) else {
            continue;
        };
        if types.iter().any(|t| t.name == found.name) {
            faults.push(here.key("type").fault(
                FaultKind::Doubled,
                format!("\"{}\" a second time", found.name),
                "a name of its own",
            ));
        }
        types.push(found);
    }
    let mut said = |key: &str| {
        read::text(map, key, place, &mut faults)
            .unwrap_or("")
            .to_string()
    };
    let (label, says, caution) = (said("label"), said("says"), said("caution"));
    if faults.is_empty() {
        Ok(Book {
            name,
            label,
            unit: Unit { sign, step },
            lag_ms,
            says,
            caution,
            types,
            extra: read::extra(map, BOOK_FIELDS),
        })
    } else {
        Err(faults)
    }
}

/// The fields of a book.
const BOOK_FIELDS: &[&str] = &[
    "name", "label", "unit", "step", "lag_ms", "says", "caution", "types",
];

/// The fields of every part type; those of its behaviour come to them.
const TYPE_FIELDS: &[&str] = &[
    "type",
    "label",
    "group",
    "symbol",
    "behaviour",
    "set",
    "cost",
    "stage",
    "tier",
    "mount",
    "max_run",
    "says",
    "note",
    "source",
];

/// The numbers of a behaviour by its name in a file; the function of a contact is not among them.
pub(super) fn numbers_of(behaviour: &str) -> &'static [Field] {
    match behaviour {
        "source" => limits::SOURCE,
        "battery" => limits::BATTERY,
        "load" => limits::LOAD,
        "divider" | "busbar" => limits::WAY,
        "contact" => limits::CONTACT,
        _ => &[],
    }
}

/// The fields of a type that neither every type has nor its behaviour.
fn extra_of(map: &Map<String, Value>, behaviour: &Behaviour) -> Map<String, Value> {
    let numbers = numbers_of(behaviour.name()).iter().map(|f| f.key);
    let function = matches!(behaviour, Behaviour::Contact { .. }).then_some("function");
    let known: Vec<&str> = TYPE_FIELDS
        .iter()
        .copied()
        .chain(numbers)
        .chain(function)
        .collect();
    read::extra(map, &known)
}

/// How far along a builder must be; `tier` is what it was called once.
fn read_stage(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> u64 {
    let most = limits::LAST_STAGE;
    let mut number = |key: &str| Some(read::whole(map.get(key)?, 0, most, &place.key(key), faults));
    let (stage, tier) = (number("stage"), number("tier"));
    if stage.is_some() && tier.is_some() {
        faults.push(place.key("tier").fault(
            FaultKind::Doubled,
            "the old name of stage beside it",
            "stage alone",
        ));
    }
    stage.or(tier).flatten().unwrap_or(1)
}

/// A book that was read without a fault, as it is written today: `tier` is `stage`.
pub(crate) fn with_stages(mut book: Value) -> Value {
    let types = book.get_mut("types").and_then(Value::as_array_mut);
    for map in types.into_iter().flatten().filter_map(Value::as_object_mut) {
        if map.contains_key("tier") {
            let named = |key: String| if key == "tier" { "stage".into() } else { key };
            let entries = std::mem::take(map).into_iter();
            *map = entries.map(|(key, value)| (named(key), value)).collect();
        }
    }
    book
}

fn read_type(
    value: &Value,
    step: Option<f64>,
    place: &Place,
    faults: &mut Faults,
) -> Option<PartType> {
    let map = read::object(value, place, faults)?;
    let name = read::name(map, "type", place, faults);
    let behaviour = read_behaviour(map, step, place, faults);
    let mut words = |key: &str, default: &str| {
        read::text(map, key, place, faults)
            .unwrap_or(default)
            .to_string()
    };
    let label = words("label", name.unwrap_or(""));
    let (group, symbol) = (words("group", "Parts"), words("symbol", "generic-load"));
    let (mount, says, note) = (words("mount", ""), words("says", ""), words("note", ""));
    let source = words("source", "");
    let stage = read_stage(map, place, faults);
    let max_run = map
        .get("max_run")
        .and_then(|v| read::decimal(v, 0.0, limits::RUN, &place.key("max_run"), faults));
    let set = map
        .get("set")
        .and_then(|v| read::object(v, &place.key("set"), faults))
        .cloned()
        .unwrap_or_default();
    let cost = read_cost(map, place, faults);
    let (name, behaviour) = (name?.to_string(), behaviour?);
    let mut found = PartType {
        extra: extra_of(map, &behaviour),
        name,
        label,
        group,
        symbol,
        behaviour,
        set,
        cost,
        stage,
        mount,
        max_run,
        says,
        note,
        source,
    };
    // What a load does when it can't run may stand on its type; it is a setting all the same. What it can't be is told
    // already.
    if let Some(short) = map
        .get("short")
        .filter(|v| v.as_str().and_then(Short::of).is_some())
        .filter(|_| !found.set.contains_key("short"))
    {
        found.set.insert("short".into(), short.clone());
    }
    let at = place.key("set");
    let before = faults.len();
    for field in found.fields() {
        if let Some(v) = found.set.get(field.key) {
            setting::check(field, v, &at.key(field.key), faults);
        }
    }
    if faults.len() == before && found.fields().iter().any(|f| f.key == "low") {
        setting::check_order(&found.set, &Map::new(), &at, faults);
    }
    Some(found)
}

fn read_cost(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Vec<(String, u64)> {
    let Some(value) = map.get("cost") else {
        return Vec::new();
    };
    let at = place.key("cost");
    let Some(entries) = read::object(value, &at, faults) else {
        return Vec::new();
    };
    let amount = |(material, v): (&String, &Value)| {
        read::whole(v, 0, limits::POWER, &at.key(material), faults).map(|n| (material.clone(), n))
    };
    entries.iter().filter_map(amount).collect()
}

/// The numbers of one behaviour, read by the table of limits.
struct Numbers<'a, 'f> {
    map: &'a Map<String, Value>,
    fields: &'static [Field],
    place: &'a Place<'a>,
    faults: &'f mut Faults,
}

impl Numbers<'_, '_> {
    fn value(&mut self, key: &'static str) -> Option<(&Value, Kind)> {
        let field = self.fields.iter().find(|f| f.key == key)?;
        let found = self.map.get(key);
        if found.is_none() && !field.optional {
            self.faults.push(self.place.key(key).fault(
                FaultKind::Missing,
                "nothing",
                words(field.kind),
            ));
        }
        found.map(|v| (v, field.kind))
    }

    fn whole(&mut self, key: &'static str) -> Option<u64> {
        let place = self.place.key(key);
        let Some((value, Kind::Whole(least, most))) = self.value(key) else {
            return None;
        };
        let value = value.clone();
        read::whole(&value, least, most, &place, self.faults)
    }

    fn choice(&mut self, key: &'static str) -> Option<&'static str> {
        let place = self.place.key(key);
        let Some((value, Kind::Choice(words))) = self.value(key) else {
            return None;
        };
        let value = value.clone();
        choose(&value, words, &place, self.faults)
    }
}

/// One of a few words.
fn choose(
    value: &Value,
    choices: &'static [&'static str],
    place: &Place,
    faults: &mut Faults,
) -> Option<&'static str> {
    let found = value
        .as_str()
        .and_then(|s| choices.iter().find(|c| **c == s).copied());
    if found.is_none() {
        let kind = if value.is_string() {
            FaultKind::Unknown
        } else {
            FaultKind::Type
        };
        faults.push(place.wrong(kind, value, words(Kind::Choice(choices))));
    }
    found
}

/// The names of the behaviours in a file.
pub(super) const BEHAVIOURS: &[&str] = &[
    "source",
    "battery",
    "load",
    "tap",
    "divider",
    "busbar",
    "changeover",
    "meter",
    "contact",
];

fn read_behaviour(
    map: &Map<String, Value>,
    step: Option<f64>,
    place: &Place,
    faults: &mut Faults,
) -> Option<Behaviour> {
    let expected = format!("one of {}", BEHAVIOURS.join(", "));
    let name = read::named(map, "behaviour", place, &expected, faults)?;
    let mut n = Numbers {
        map,
        fields: numbers_of(name),
        place,
        faults,
    };
    Some(match name {
        "source" => {
            let (peak, profile) = (n.whole("peak"), n.choice("profile"));
            let profile = match profile? {
                "sun" => Profile::Sun,
                "wind" => Profile::Wind,
                _ => Profile::Steady,
            };
            Behaviour::Source {
                peak: peak?,
                profile,
            }
        }
        "battery" => read_battery(&mut n, step)?,
        "load" => {
            let (draw, short) = (n.whole("draw"), n.choice("short"));
            let short = short.and_then(Short::of).unwrap_or(Short::Pass);
            Behaviour::Load { draw: draw?, short }
        }
        "tap" => Behaviour::Tap,
        "divider" => Behaviour::Divider {
            ways: n.whole("ways")?,
        },
        "busbar" => Behaviour::Busbar {
            ways: n.whole("ways")?,
        },
        "changeover" => Behaviour::Changeover,
        "meter" => Behaviour::Meter,
        "contact" => {
            let coil = if map.contains_key("coil") {
                n.whole("coil")
            } else {
                Some(1)
            };
            let at = place.key("function");
            let expected = format!("one of {}", FunctionName::ALL.map(|f| f.name()).join(", "));
            let function = read::named(map, "function", place, &expected, faults)?;
            let found = FunctionName::ALL.into_iter().find(|f| f.name() == function);
            if found.is_none() {
                let found = format!("\"{function}\"");
                faults.push(at.fault(FaultKind::Unknown, found, expected));
            }
            Behaviour::Contact {
                function: found?,
                coil: coil?,
            }
        }
        _ => {
            faults.push(place.key("behaviour").fault(
                FaultKind::Unknown,
                format!("\"{name}\""),
                expected,
            ));
            return None;
        }
    })
}

fn read_battery(n: &mut Numbers, step: Option<f64>) -> Option<Behaviour> {
    let place = n.place.key("capacity");
    let capacity = n.value("capacity").map(|(v, _)| v.clone()).and_then(|v| {
        let hours = read::decimal(&v, 0.0, 1e12, &place, n.faults)?;
        let found = quantity::capacity(hours, step?).filter(|c| *c > 0);
        if found.is_none() {
            n.faults.push(place.wrong(
                FaultKind::Range,
                &v,
                "unit-hours above 0 that make a whole number of step·milliseconds",
            ));
        }
        found
    });
    let (max_in, max_out, efficiency) =
        (n.whole("max_in"), n.whole("max_out"), n.whole("efficiency"));
    let (cut_out, cut_in) = (n.whole("cut_out"), n.whole("cut_in"));
    if let (Some(low), Some(high)) = (cut_out, cut_in)
        && low >= high
    {
        let at = n.place.key("cut_in");
        n.faults.push(at.fault(
            FaultKind::Range,
            high.to_string(),
            format!("more than cut_out, which is {low}"),
        ));
        return None;
    }
    Some(Behaviour::Battery {
        capacity: capacity?,
        max_in: max_in?,
        max_out: max_out?,
        efficiency: efficiency?,
        cut_out: cut_out?,
        cut_in: cut_in?,
    })
}
