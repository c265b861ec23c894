//! A plan as columns: everything that goes without saying is left out, and like stands beside like, which compresses best.
//!
//! In order: the form (1), numbers of parts and wires, a sum over the ports (so that a book whose ports have changed is
//! noticed), the types in use, then a column each of types, ids, places (steps of the board's 8 px grid), and wire ends
//! (see [`super::slots`]); then a line of text for each part, its name and what else it has; last the rest as JSON. A
//! plan that does not fit (a number off the scale, a name with control characters) is written as form 0: its file as
//! compact JSON. Reading makes the file's JSON again and leaves every check to the reader of files.

use super::deflate::crc32;
use super::slots::Slots;
use super::varint::{Reader, put, put_signed};
use super::words::TYPES;
use crate::book::{Book, PartType, Side};
use crate::plan::{FORMAT, Part, Plan, VERSION};
use serde_json::{Map, Value, json};
use std::sync::Arc;

/// The board's grid in pixels.
const GRID: f64 = 8.0;
/// The book that need not be named.
const BOOK: &str = "outpost";
/// Stands in a name for the name of its type, hyphens as spaces.
const OWN: char = '\u{1}';
/// Parts a name from what else a part has.
const ELSE: char = '\u{2}';

/// Why a packing is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Odd {
    /// It makes no sense.
    Wrong,
    /// The ports of its types are other ones here.
    Ports,
}

/// The plan, packed. What is read of it is the plan.
pub(super) fn pack(plan: &Plan) -> Vec<u8> {
    let same = |bytes: &Vec<u8>| {
        let value = unpack(bytes).ok();
        let read = value.and_then(|v| crate::plan::read::from_value(&v).ok());
        read.is_some_and(|r| r.faults.is_empty() && r.plan == *plan)
    };
    columns(plan).filter(same).unwrap_or_else(|| {
        let mut out = vec![0];
        out.extend(plan.to_value().to_string().bytes());
        out
    })
}

/// The types in use: the listed ones as a set of bits, then the others by name; a part's type is its place in both.
fn used<'p>(plan: &'p Plan) -> (u64, Vec<&'p str>) {
    let listed = |p: &&'p Part| TYPES.iter().position(|t| *t == p.kind);
    let bits = plan
        .parts
        .iter()
        .filter_map(|p| listed(&p))
        .fold(0, |bits, at| bits | 1 << at);
    let mut names = of_bits(bits);
    for part in &plan.parts {
        if !names.contains(&part.kind.as_str()) {
            names.push(&part.kind);
        }
    }
    (bits, names)
}

fn of_bits(bits: u64) -> Vec<&'static str> {
    let named = TYPES.iter().enumerate();
    named
        .filter(|(at, _)| bits >> at & 1 == 1)
        .map(|(_, name)| *name)
        .collect()
}

/// A sum over the names and sides of the types' ports, as slots depend on them.
fn ports_sum(kinds: &[&PartType]) -> u16 {
    let mut text = String::new();
    for port in kinds.iter().flat_map(|k| k.ports()) {
        text.push(if port.side == Side::Out { '>' } else { '<' });
        text.push_str(&port.name);
    }
    crc32(text.as_bytes()) as u16
}

fn columns(plan: &Plan) -> Option<Vec<u8>> {
    let (bits, names) = used(plan);
    let kinds: Option<Vec<&PartType>> = names.iter().map(|n| plan.book.book.find(n)).collect();
    let kinds = kinds?;
    let mut out = vec![1];
    put(&mut out, plan.parts.len() as u64);
    put(&mut out, plan.wires.len() as u64);
    out.extend(ports_sum(&kinds).to_le_bytes());
    put(&mut out, bits);
    let others = &names[bits.count_ones() as usize..];
    put(&mut out, others.len() as u64);
    for name in others {
        out.extend(name.bytes());
        out.push(b'\n');
    }
    let of = |p: &Part| names.iter().position(|n| *n == p.kind).unwrap_or(0);
    for part in &plan.parts {
        put(&mut out, of(part) as u64);
    }
    let ids = plan.parts.iter().map(|p| p.id.as_str());
    put_ids(&mut out, 'p', ids.collect())?;
    put_ids(
        &mut out,
        'w',
        plan.wires.iter().map(|w| w.id.as_str()).collect(),
    )?;
    for axis in [0, 1] {
        let mut last = 0;
        for part in &plan.parts {
            let at = cell(part).map_or(last, |c| c[axis]);
            put_signed(&mut out, at - last);
            last = at;
        }
    }
    let kinds: Vec<&PartType> = plan.parts.iter().map(|p| kinds[of(p)]).collect();
    put_wires(&mut out, plan, &kinds)?;
    for part in &plan.parts {
        out.extend(line(part)?.bytes());
        out.push(b'\n');
    }
    let rest = rest(plan);
    if !rest.is_empty() {
        out.extend(Value::Object(rest).to_string().bytes());
    }
    Some(out)
}

/// The part's place in cells of the grid, if it lies on it.
fn cell(part: &Part) -> Option<[i64; 2]> {
    let (x, y) = part.at?;
    let whole = |n: f64| ((n / GRID).fract() == 0.0 && n.abs() < 1e9).then_some((n / GRID) as i64);
    Some([whole(x)?, whole(y)?])
}

/// Ids that count up from 1 are a single 0; others a 1 and the steps between their numbers.
fn put_ids(out: &mut Vec<u8>, letter: char, ids: Vec<&str>) -> Option<()> {
    let number = |id: &str| -> Option<i64> {
        let digits = id.strip_prefix(letter)?;
        let n = digits.parse::<u64>().ok().filter(|n| *n < i64::MAX as u64 / 2)?;
        (n.to_string() == digits).then_some(n as i64)
    };
    let numbers: Option<Vec<i64>> = ids.into_iter().map(number).collect();
    let numbers = numbers?;
    if numbers.iter().enumerate().all(|(i, n)| *n == i as i64 + 1) {
        out.push(0);
        return Some(());
    }
    out.push(1);
    let mut last = 0;
    for n in numbers {
        put_signed(out, n - last - 1);
        last = n;
    }
    Some(())
}

fn read_ids(reader: &mut Reader, letter: char, count: usize) -> Option<Vec<String>> {
    if reader.byte()? == 0 {
        return Some((1..=count).map(|n| format!("{letter}{n}")).collect());
    }
    let mut last = 0i64;
    let mut ids = Vec::with_capacity(count);
    for _ in 0..count {
        last = last.checked_add(reader.signed()?)?.checked_add(1)?;
        ids.push(format!("{letter}{last}"));
    }
    Some(ids)
}

fn put_wires(out: &mut Vec<u8>, plan: &Plan, kinds: &[&PartType]) -> Option<()> {
    let index: std::collections::BTreeMap<&str, usize> = plan
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (p.id.as_str(), i))
        .collect();
    let (mut outs, mut ins) = (Slots::new(kinds, true), Slots::new(kinds, false));
    let mut likely = 0;
    let mut tos = Vec::new();
    for wire in &plan.wires {
        let from = *index.get(wire.from.part.as_str())?;
        let to = *index.get(wire.to.part.as_str())?;
        put_signed(out, outs.step_to(likely, from, &wire.from.port)?);
        put_signed(&mut tos, ins.step_to(from + 1, to, &wire.to.port)?);
        likely = to;
    }
    out.extend(tos);
    Some(())
}

/// A wire's two ends, each a part's index and a port's name.
type Ends = [(usize, String); 2];

fn read_wires(reader: &mut Reader, count: usize, kinds: &[&PartType]) -> Option<Vec<Ends>> {
    let froms: Option<Vec<i64>> = (0..count).map(|_| reader.signed()).collect();
    let (mut outs, mut ins) = (Slots::new(kinds, true), Slots::new(kinds, false));
    let mut likely = 0;
    let mut wires = Vec::with_capacity(count);
    for from in froms? {
        let own = |(part, port): (usize, &str)| (part, port.to_string());
        let from = outs.step(likely, from).map(own)?;
        let to = ins.step(from.0 + 1, reader.signed()?).map(own)?;
        likely = to.0;
        wires.push([from, to]);
    }
    Some(wires)
}

/// The part's name and what else it has: all but id, type and a place on the grid.
fn line(part: &Part) -> Option<String> {
    let mut map = part.to_value().as_object()?.clone();
    for key in ["id", "type", "name"] {
        map.shift_remove(key);
    }
    if cell(part).is_some() {
        map.shift_remove("at");
    } else if part.at.is_none() {
        map.insert("at".into(), Value::Null);
    }
    if part.name.chars().any(char::is_control) {
        return None;
    }
    let own = part.kind.replace('-', " ");
    let mut line = part.name.replacen(&own, &OWN.to_string(), 1);
    if !map.is_empty() {
        let text = Value::Object(map).to_string();
        line.push(ELSE);
        line.push_str(&text[1..text.len() - 1]);
    }
    Some(line)
}

fn read_line(line: &str, kind: &str) -> Option<(String, Map<String, Value>)> {
    let (name, more) = line.split_once(ELSE).unwrap_or((line, ""));
    let name = name.replacen(OWN, &kind.replace('-', " "), 1);
    let map = serde_json::from_str(&format!("{{{more}}}")).ok()?;
    Some((name, map))
}

/// What of the plan is not in columns, as in its file; wires by their place.
fn rest(plan: &Plan) -> Map<String, Value> {
    let mut map = plan.to_value().as_object().cloned().unwrap_or_default();
    for key in ["format", "version", "parts", "wires"] {
        map.shift_remove(key);
    }
    if plan.book.written == BOOK {
        map.shift_remove("book");
    }
    let mut wires = Map::new();
    for (index, wire) in plan.wires.iter().enumerate() {
        let mut more = wire.to_value().as_object().cloned().unwrap_or_default();
        for key in ["id", "from", "to"] {
            more.shift_remove(key);
        }
        if !more.is_empty() {
            wires.insert(index.to_string(), Value::Object(more));
        }
    }
    if !wires.is_empty() {
        map.insert("wires".into(), Value::Object(wires));
    }
    map
}

/// The JSON of the plan's file, from a packing.
pub(super) fn unpack(bytes: &[u8]) -> Result<Value, Odd> {
    let mut reader = Reader::new(bytes);
    match reader.byte() {
        Some(0) => {
            let value = reader.rest().and_then(|text| serde_json::from_str(text).ok());
            value.ok_or(Odd::Wrong)
        }
        Some(1) => read_columns(reader),
        _ => Err(Odd::Wrong),
    }
}

fn read_columns(mut reader: Reader) -> Result<Value, Odd> {
    let head = read_head(&mut reader).ok_or(Odd::Wrong)?;
    // The book stands behind the columns that need it, so the rest is read first.
    let mut rest = head.rest_of(reader.clone()).ok_or(Odd::Wrong)?;
    let book = book_of(&rest);
    let Some(book) = book else {
        // A book that can't be read: the reader of files says what is wrong with it.
        return Ok(with_head(rest));
    };
    let kinds: Option<Vec<&PartType>> = head.names.iter().map(|n| book.find(n)).collect();
    let kinds = kinds.filter(|k| ports_sum(k) == head.sum).ok_or(Odd::Ports)?;
    let (parts, wires) = head.bodies(&mut reader, &kinds, &mut rest).ok_or(Odd::Wrong)?;
    rest.insert("parts".into(), parts);
    rest.insert("wires".into(), wires);
    Ok(with_head(rest))
}

fn with_head(rest: Map<String, Value>) -> Value {
    let mut map = Map::new();
    map.insert("format".into(), FORMAT.into());
    map.insert("version".into(), VERSION.into());
    map.insert("book".into(), BOOK.into());
    map.extend(rest);
    Value::Object(map)
}

fn book_of(rest: &Map<String, Value>) -> Option<Arc<Book>> {
    match rest.get("book") {
        None => crate::book::built_in(BOOK),
        Some(Value::String(name)) => crate::book::built_in(name),
        Some(whole) => crate::book::read_book(whole).ok().map(Arc::new),
    }
}

/// What stands before the columns that need the book.
struct Head {
    sum: u16,
    names: Vec<String>,
    /// For each part its type's place in `names`.
    of: Vec<usize>,
    part_ids: Vec<String>,
    wire_ids: Vec<String>,
    cells: [Vec<i64>; 2],
}

fn read_head(reader: &mut Reader) -> Option<Head> {
    let (parts, wires) = (reader.count()?, reader.count()?);
    let sum = u16::from_le_bytes([reader.byte()?, reader.byte()?]);
    let mut names: Vec<String> = of_bits(reader.number()?)
        .into_iter()
        .map(String::from)
        .collect();
    for _ in 0..reader.count()? {
        names.push(reader.text_to(b'\n')?.to_string());
    }
    let of: Option<Vec<usize>> = (0..parts)
        .map(|_| Some(reader.number()? as usize).filter(|at| *at < names.len()))
        .collect();
    let of = of?;
    let part_ids = read_ids(reader, 'p', parts)?;
    let wire_ids = read_ids(reader, 'w', wires)?;
    let mut axis = || -> Option<Vec<i64>> {
        let mut last = 0i64;
        let mut cells = Vec::with_capacity(parts);
        for _ in 0..parts {
            last = last.checked_add(reader.signed()?)?;
            cells.push(last);
        }
        Some(cells)
    };
    let cells = [axis()?, axis()?];
    Some(Head {
        sum,
        names,
        of,
        part_ids,
        wire_ids,
        cells,
    })
}

impl Head {
    /// What stands behind the wires' numbers and the parts' lines.
    fn rest_of(&self, mut reader: Reader) -> Option<Map<String, Value>> {
        for _ in 0..self.wire_ids.len() * 2 {
            reader.number()?;
        }
        for _ in &self.part_ids {
            reader.text_to(b'\n')?;
        }
        match reader.rest()? {
            "" => Some(Map::new()),
            text => serde_json::from_str(text).ok(),
        }
    }

    /// The parts and wires as in a file; what the rest says of wires is taken out of it.
    fn bodies(
        &self,
        reader: &mut Reader,
        kinds: &[&PartType],
        rest: &mut Map<String, Value>,
    ) -> Option<(Value, Value)> {
        let kinds: Vec<&PartType> = self.of.iter().map(|at| kinds[*at]).collect();
        let ends = read_wires(reader, self.wire_ids.len(), &kinds)?;
        let mut parts = Vec::with_capacity(self.of.len());
        for (index, id) in self.part_ids.iter().enumerate() {
            let kind = &self.names[self.of[index]];
            let (name, more) = read_line(reader.text_to(b'\n')?, kind)?;
            let at = [0, 1].map(|a| self.cells[a][index] as f64 * GRID);
            let mut map = Map::new();
            map.insert("id".into(), id.as_str().into());
            map.insert("type".into(), kind.as_str().into());
            map.insert("name".into(), name.into());
            map.insert("at".into(), json!(at));
            map.extend(more);
            if map.get("at") == Some(&Value::Null) {
                map.shift_remove("at");
            }
            parts.push(Value::Object(map));
        }
        let more = rest.shift_remove("wires").unwrap_or_default();
        let mut wires = Vec::with_capacity(ends.len());
        for (index, (id, [from, to])) in self.wire_ids.iter().zip(ends).enumerate() {
            let end = |(part, port): &(usize, String)| format!("{}.{port}", self.part_ids[*part]);
            let mut map = Map::new();
            map.insert("id".into(), id.as_str().into());
            map.insert("from".into(), end(&from).into());
            map.insert("to".into(), end(&to).into());
            if let Some(Value::Object(more)) = more.get(index.to_string()) {
                map.extend(more.clone());
            }
            wires.push(Value::Object(map));
        }
        Some((Value::Array(parts), Value::Array(wires)))
    }
}
