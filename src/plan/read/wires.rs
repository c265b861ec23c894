//! Reading a plan's wires. A wire of a part that is written but could not be read is lost with it, and is no fault.

use super::Written;
use super::parts::place_of;
use crate::book::Side;
use crate::limits::SITE_BENDS;
use crate::plan::{End, PartId, Plan, Wire, WireId};
use crate::read::{self, FaultKind, Faults, Place};
use crate::site::Face;
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

/// The ports of the parts that were read, so that a large plan is read in one pass.
struct Ports<'v> {
    parts: BTreeMap<PartId, Vec<(String, Side)>>,
    written: &'v Written<'v>,
}

impl<'v> Ports<'v> {
    fn of(plan: &Plan, written: &'v Written<'v>) -> Ports<'v> {
        let ports = |part| {
            let ports = plan.kind_of(part).map(|kind| kind.ports());
            let ports = ports.into_iter().flatten();
            ports.map(|p| (p.name.to_string(), p.side)).collect()
        };
        Ports {
            parts: plan
                .parts
                .iter()
                .map(|part| (part.id.clone(), ports(part)))
                .collect(),
            written,
        }
    }
}

/// Reads the wires into `plan`.
pub(super) fn read_wires(
    map: &Map<String, Value>,
    written: &Written,
    root: &Place,
    plan: &mut Plan,
    faults: &mut Faults,
) {
    let at = root.key("wires");
    let ports = Ports::of(plan, written);
    let (mut ids, mut taken) = (BTreeSet::new(), BTreeMap::new());
    for (index, entry) in read::list(map, "wires", root, faults).iter().enumerate() {
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let id = read::name(map, "id", &here, faults);
        let mut end = |key: &str, out: bool| read_end(map, key, out, &ports, &here, faults);
        let (from, to) = (end("from", true), end("to", false));
        let bends = read_bends(map, &here, faults);
        let via = read_via(map, &here, faults);
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
        plan.wires.push(Wire {
            id: WireId::from(id),
            from,
            to,
            bends,
            via,
            extra: read::extra(map, &["id", "from", "to", "bends", "via"]),
        });
    }
}

/// The places that a wire is led through.
pub(super) fn read_bends(
    map: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) -> Vec<(f64, f64)> {
    let at = place.key("bends");
    let bends = read::list(map, "bends", place, faults).iter().enumerate();
    bends
        .filter_map(|(i, v)| place_of(v, &at.index(i), faults))
        .collect()
}

/// The faces that a wire is led over.
pub(super) fn read_via(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Vec<Face> {
    let at = place.key("via");
    let faces = read::list(map, "via", place, faults);
    if faces.len() > SITE_BENDS {
        let found = format!("{} faces", faces.len());
        faults.push(at.fault(FaultKind::Range, found, format!("at most {SITE_BENDS}")));
    }
    let faces = faces.iter().take(SITE_BENDS).enumerate();
    faces
        .filter_map(|(i, v)| Face::read(v, &at.index(i), faults))
        .collect()
}

fn read_end(
    map: &Map<String, Value>,
    key: &str,
    out: bool,
    ports: &Ports,
    place: &Place,
    faults: &mut Faults,
) -> Option<End> {
    let side = if out {
        "an output port"
    } else {
        "an input port"
    };
    let expected = format!("{side}, as \"part.port\"");
    let text = read::named(map, key, place, &expected, faults)?;
    let mut wrong = |what: &str, expected: String| {
        let found = format!("\"{text}\"{what}");
        faults.push(place.key(key).fault(FaultKind::Unknown, found, expected));
        None
    };
    let Some((part, port)) = text.rsplit_once('.') else {
        return wrong("", expected);
    };
    let end = End {
        part: PartId::from(part),
        port: port.into(),
    };
    let Some(all) = ports.parts.get(&end.part) else {
        if ports.written.has(part) {
            return None;
        }
        return wrong(", a part that is not there", expected);
    };
    match all.iter().find(|(name, _)| name == port) {
        Some((_, found)) if (*found == Side::Out) == out => Some(end),
        Some((_, Side::Out)) => wrong(", an output port", expected),
        Some(_) => wrong(", an input port", expected),
        None => {
            let fits = all.iter().filter(|(_, s)| (*s == Side::Out) == out);
            let names: Vec<&str> = fits.map(|(name, _)| name.as_str()).collect();
            let expected = match names.as_slice() {
                [] => format!("{side} of a part; {part} has none"),
                [first, .., last] if names.len() > 4 => {
                    format!("{side} of {part}: {first} to {last}")
                }
                _ => format!("{side} of {part}: {}", names.join(", ")),
            };
            wrong(", a port that is not there", expected)
        }
    }
}
