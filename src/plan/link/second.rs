//! The packing of version 2: a plan with a book of its own, which goes before the plan's columns.
//!
//! Numbers: how many parts and wires there are; the book's ([`own`](super::own)); a sum over the ports; for each part its
//! type by its place in the book; then ids, places and wires as in version 1. Text: the book's, a line for each part, and the rest as
//! JSON.

use super::coder::{Column, Reader, Writer};
use super::own;
use super::pack::{
    Head, Odd, Packed, line, ports_sum, put_ids, put_places, put_wires, read_ids, read_places,
    rest, with_head,
};
use crate::book::{PartType, read_book};
use crate::gather::Gather;
use crate::limits::PARTS;
use crate::plan::Plan;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// The plan, packed; `None` where it does not fit. What is read of it is the plan.
pub(super) fn pack(plan: &Plan) -> Option<Packed> {
    let packed = columns(plan)?;
    let read = crate::plan::read::salvage_value(&unpack(&packed).ok()?).ok()?;
    (read.faults.is_empty() && read.plan == *plan).then_some(packed)
}

fn columns(plan: &Plan) -> Option<Packed> {
    let own = own::differences(&plan.book.book)?;
    let mut text = own.text.clone();
    for part in &plan.parts {
        let line = line(part).filter(|l| !l.contains('\n'))?;
        text.push_str(&line);
        text.push('\n');
    }
    let mut rest = rest(plan);
    rest.shift_remove("book");
    if !rest.is_empty() {
        text.push_str(&Value::Object(rest).to_string());
    }
    let ways = [0, 1].map(|guess| numbers(plan, &own, guess));
    let numbers = ways.into_iter().flatten().min_by_key(Vec::len);
    Some(Packed {
        numbers: Some(numbers?),
        text,
    })
}

fn numbers(plan: &Plan, own: &own::Differences, guess: u64) -> Option<Vec<u8>> {
    let types = &plan.book.book.types;
    let places: BTreeMap<&str, usize> = types
        .iter()
        .enumerate()
        .map(|(at, t)| (t.name.as_str(), at))
        .gather();
    let mut out = Writer::new();
    let mut head = Column::new();
    out.put(&mut head, plan.parts.len() as u64);
    out.put(&mut head, plan.wires.len() as u64);
    own.put(&mut out);
    let all: Vec<&PartType> = types.iter().collect();
    let (sum, mut flags) = (ports_sum(&all), Column::new());
    for n in 0..16 {
        out.put(&mut flags, u64::from(sum >> n & 1));
    }
    let (mut column, mut kinds) = (Column::new(), Vec::new());
    for part in &plan.parts {
        let at = *places.get(part.kind.as_str())?;
        out.put(&mut column, at as u64);
        kinds.push(all[at]);
    }
    put_ids(&mut out, 'p', plan.parts.iter().map(|p| p.id.as_str()))?;
    put_ids(&mut out, 'w', plan.wires.iter().map(|w| w.id.as_str()))?;
    put_places(&mut out, plan);
    put_wires(&mut out, plan, &kinds, guess)?;
    Some(out.end())
}

/// The JSON of the plan's file, from a packing.
pub(super) fn unpack(packed: &Packed) -> Result<Value, Odd> {
    let numbers = packed.numbers.as_ref().ok_or(Odd::Wrong)?;
    let mut reader = Reader::new(numbers);
    let mut lines = packed.text.split('\n');
    let mut head = Column::new();
    let [parts, wires] = [0; 2].map(|_| reader.number(&mut head) as usize);
    if parts > PARTS || wires > PARTS {
        return Err(Odd::Wrong);
    }
    let value = own::read(&mut reader, &mut lines)?;
    let book = read_book(&value).map_err(|_| Odd::Wrong)?;
    let mut flags = Column::new();
    let sum = (0..16).fold(0u16, |sum, at| {
        sum | ((reader.number(&mut flags) & 1) as u16) << at
    });
    let kinds: Vec<&PartType> = book.types.iter().collect();
    if ports_sum(&kinds) != sum {
        return Err(Odd::Ports);
    }
    let mut column = Column::new();
    let mut of = |_| Some(reader.number(&mut column) as usize).filter(|at| *at < kinds.len());
    let of: Option<Vec<usize>> = (0..parts).map(&mut of).collect();
    let head = Head {
        sum,
        names: book.types.iter().map(|t| t.name.clone()).collect(),
        of: of.ok_or(Odd::Wrong)?,
        wires,
        part_ids: read_ids(&mut reader, 'p', parts),
        wire_ids: read_ids(&mut reader, 'w', wires),
        cells: read_places(&mut reader, parts),
    };
    let parts: Vec<&str> = lines.by_ref().take(parts).collect();
    let mut rest: Map<String, Value> = match lines.next() {
        None | Some("") => Map::new(),
        Some(text) => serde_json::from_str(text).map_err(|_| Odd::Wrong)?,
    };
    let bodies = head.bodies(&mut reader, &parts, &kinds, &mut rest);
    let (parts, wires) = bodies.ok_or(Odd::Wrong)?;
    rest.insert("book".into(), value);
    rest.insert("parts".into(), parts);
    rest.insert("wires".into(), wires);
    Ok(with_head(rest))
}
