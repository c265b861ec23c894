//! A plan as columns: everything that goes without saying is left out, and like stands beside like.
//!
//! Numbers go into columns for the [coder](super::coder): how many parts and wires, a sum over the ports (so that a
//! book whose ports have changed is noticed), which types are in use, then types, ids, places (steps of the board's 8 px
//! grid), and wire ends (see [`super::slots`]). Text goes to DEFLATE: names of types that have no number, a line for each
//! part with its name and what else it has, and last the rest as JSON. A plan that does not fit (a number off the scale,
//! a name with control characters) has no columns; its text is its file as compact JSON. Reading makes the file's JSON
//! again and leaves every check to the reader of files.

use super::coder::{Column, Reader, Writer};
use super::deflate::crc32;
use super::slots::Slots;
use super::words::TYPES;
use crate::book::{Book, PartType, Side};
use crate::gather::Gather;
use crate::limits::PARTS;
use crate::plan::{FORMAT, Part, Plan, VERSION};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::str::Split;
use std::sync::Arc;

/// The board's grid in pixels.
const GRID: f64 = 8.0;
/// The book that need not be named.
const BOOK: &str = "outpost";
/// Stands in a name for the name of its type, hyphens as spaces.
const OWN: char = '\u{1}';
/// Parts a name from what else a part has.
const ELSE: char = '\u{2}';

/// A plan, packed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Packed {
    /// The coded columns; none where the text is the plan's file.
    pub numbers: Option<Vec<u8>>,
    /// The text.
    pub text: String,
}

/// Why a packing is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Odd {
    /// It makes no sense.
    Wrong,
    /// The ports of its types are other ones here.
    Ports,
}

/// The plan, packed. What is read of it is the plan.
pub(super) fn pack(plan: &Plan) -> Packed {
    let same = |packed: &Packed| {
        let value = unpack(packed).ok();
        let read = value.and_then(|v| crate::plan::read::salvage_value(&v).ok());
        read.is_some_and(|r| r.faults.is_empty() && r.plan == *plan)
    };
    columns(plan).filter(same).unwrap_or_else(|| Packed {
        numbers: None,
        text: plan.to_value().to_string(),
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
pub(super) fn ports_sum(kinds: &[&PartType]) -> u16 {
    let mut text = String::new();
    for port in kinds.iter().flat_map(|k| k.ports()) {
        text.push(if port.side == Side::Out { '>' } else { '<' });
        text.push_str(&port.name);
    }
    crc32(text.as_bytes()) as u16
}

fn columns(plan: &Plan) -> Option<Packed> {
    let (bits, names) = used(plan);
    let kinds: Option<Vec<&PartType>> = names.iter().map(|n| plan.book.book.find(n)).collect();
    let kinds = kinds?;
    let mut text = String::new();
    let others = &names[bits.count_ones() as usize..];
    for line in others
        .iter()
        .map(|n| n.to_string())
        .map(Some)
        .chain(plan.parts.iter().map(line))
    {
        let line = line.filter(|l| !l.contains('\n'))?;
        text.push_str(&line);
        text.push('\n');
    }
    let rest = rest(plan);
    if !rest.is_empty() {
        text.push_str(&Value::Object(rest).to_string());
    }
    // How people wire is not known beforehand: both ways of guessing a wire's start are tried.
    let ways = [0, 1].map(|guess| numbers(plan, bits, &names, &kinds, guess));
    let numbers = ways.into_iter().flatten().min_by_key(Vec::len);
    Some(Packed {
        numbers: Some(numbers?),
        text,
    })
}

fn numbers(
    plan: &Plan,
    bits: u64,
    names: &[&str],
    kinds: &[&PartType],
    guess: u64,
) -> Option<Vec<u8>> {
    let mut out = Writer::new();
    let mut head = Column::new();
    for n in [
        plan.parts.len(),
        plan.wires.len(),
        names.len() - bits.count_ones() as usize,
    ] {
        out.put(&mut head, n as u64);
    }
    let mut flags = Column::new();
    for at in 0..TYPES.len() {
        out.put(&mut flags, bits >> at & 1);
    }
    for n in 0..16 {
        out.put(&mut flags, u64::from(ports_sum(kinds) >> n & 1));
    }
    let of = |p: &Part| names.iter().position(|n| *n == p.kind).unwrap_or(0);
    let mut types = Column::new();
    for part in &plan.parts {
        out.put(&mut types, of(part) as u64);
    }
    put_ids(&mut out, 'p', plan.parts.iter().map(|p| p.id.as_str()))?;
    put_ids(&mut out, 'w', plan.wires.iter().map(|w| w.id.as_str()))?;
    put_places(&mut out, plan);
    let kinds: Vec<&PartType> = plan.parts.iter().map(|p| kinds[of(p)]).collect();
    put_wires(&mut out, plan, &kinds, guess)?;
    Some(out.end())
}

/// The parts' places, as steps on the grid.
pub(super) fn put_places(out: &mut Writer, plan: &Plan) {
    for axis in [0, 1] {
        let (mut last, mut column) = (0, Column::new());
        for part in &plan.parts {
            let at = cell(part).map_or(last, |c| c[axis]);
            out.put_signed(&mut column, at - last);
            last = at;
        }
    }
}

/// What [`put_places`] wrote, of so many parts.
pub(super) fn read_places(reader: &mut Reader, parts: usize) -> [Vec<i64>; 2] {
    let mut axis = || {
        let (mut last, mut column) = (0i64, Column::new());
        let next = |_| {
            last = last.wrapping_add(reader.signed(&mut column));
            last
        };
        (0..parts).map(next).collect()
    };
    [axis(), axis()]
}

/// The part's place in cells of the grid, if it lies on it.
pub(super) fn cell(part: &Part) -> Option<[i64; 2]> {
    let (x, y) = part.at?;
    let whole = |n: f64| ((n / GRID).fract() == 0.0 && n.abs() < 1e9).then_some((n / GRID) as i64);
    Some([whole(x)?, whole(y)?])
}

/// Ids that count up from 1 are a single 0; others a 1 and the steps between their numbers.
pub(super) fn put_ids<'p>(
    out: &mut Writer,
    letter: char,
    ids: impl Iterator<Item = &'p str>,
) -> Option<()> {
    let number = |id: &str| -> Option<i64> {
        let digits = id.strip_prefix(letter)?;
        let n = digits.parse::<u32>().ok()?;
        (n.to_string() == digits).then_some(i64::from(n))
    };
    let numbers: Option<Vec<i64>> = ids.map(number).collect();
    let numbers = numbers?;
    let plain = numbers.iter().enumerate().all(|(i, n)| *n == i as i64 + 1);
    let mut column = Column::new();
    out.put(&mut column, u64::from(!plain));
    if !plain {
        let mut last = 0;
        for n in numbers {
            out.put_signed(&mut column, n - last - 1);
            last = n;
        }
    }
    Some(())
}

pub(super) fn read_ids(reader: &mut Reader, letter: char, count: usize) -> Vec<String> {
    let mut column = Column::new();
    if reader.number(&mut column) == 0 {
        return (1..=count).map(|n| format!("{letter}{n}")).collect();
    }
    let mut last = 0i64;
    let next = |_| {
        last = last
            .wrapping_add(reader.signed(&mut column))
            .wrapping_add(1);
        format!("{letter}{last}")
    };
    (0..count).map(next).collect()
}

/// Where a wire is likely to start: at the part that the one before it leads to, or at the part where that starts.
fn likely(guess: u64, last: (usize, usize)) -> usize {
    if guess == 0 { last.1 } else { last.0 }
}

pub(super) fn put_wires(
    out: &mut Writer,
    plan: &Plan,
    kinds: &[&PartType],
    guess: u64,
) -> Option<()> {
    let ids = plan.parts.iter().enumerate();
    let index: BTreeMap<&str, usize> = ids.map(|(i, p)| (p.id.as_str(), i)).gather();
    let (mut outs, mut ins) = (Slots::new(kinds, true), Slots::new(kinds, false));
    let (mut froms, mut tos) = (Column::new(), Column::new());
    let mut last = (0, 0);
    out.put(&mut Column::new(), guess);
    for wire in &plan.wires {
        let from = *index.get(wire.from.part.as_str())?;
        let to = *index.get(wire.to.part.as_str())?;
        let step = outs.step_to(likely(guess, last), from, &wire.from.port)?;
        out.put_signed(&mut froms, step);
        out.put_signed(&mut tos, ins.step_to(from + 1, to, &wire.to.port)?);
        last = (from, to);
    }
    Some(())
}

/// A wire's two ends, each a part's index and a port's name.
type Ends = [(usize, String); 2];

fn read_wires(reader: &mut Reader, count: usize, kinds: &[&PartType]) -> Option<Vec<Ends>> {
    let (mut outs, mut ins) = (Slots::new(kinds, true), Slots::new(kinds, false));
    let (mut froms, mut tos) = (Column::new(), Column::new());
    let mut last = (0, 0);
    let guess = reader.number(&mut Column::new());
    let own = |(part, port): (usize, &str)| (part, port.to_string());
    let mut wires = Vec::new();
    for _ in 0..count {
        let step = reader.signed(&mut froms);
        let from = outs.step(likely(guess, last), step).map(own)?;
        let to = ins.step(from.0 + 1, reader.signed(&mut tos)).map(own)?;
        last = (from.0, to.0);
        wires.push([from, to]);
    }
    Some(wires)
}

/// The part's name and what else it has: all but id, type and a place on the grid.
pub(super) fn line(part: &Part) -> Option<String> {
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
pub(super) fn rest(plan: &Plan) -> Map<String, Value> {
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
pub(super) fn unpack(packed: &Packed) -> Result<Value, Odd> {
    let Some(numbers) = &packed.numbers else {
        return serde_json::from_str(&packed.text).map_err(|_| Odd::Wrong);
    };
    let mut reader = Reader::new(numbers);
    let mut lines = packed.text.split('\n');
    let head = read_head(&mut reader, &mut lines).ok_or(Odd::Wrong)?;
    let parts: Vec<&str> = lines.by_ref().take(head.of.len()).collect();
    let mut rest: Map<String, Value> = match lines.next() {
        None | Some("") => Map::new(),
        Some(text) => serde_json::from_str(text).map_err(|_| Odd::Wrong)?,
    };
    let Some(book) = book_of(&rest) else {
        // A book that can't be read: the reader of files says what is wrong with it.
        return Ok(with_head(rest));
    };
    let kinds: Option<Vec<&PartType>> = head.names.iter().map(|n| book.find(n)).collect();
    let kinds = kinds
        .filter(|k| ports_sum(k) == head.sum)
        .ok_or(Odd::Ports)?;
    let bodies = head.bodies(&mut reader, &parts, &kinds, &mut rest);
    let (parts, wires) = bodies.ok_or(Odd::Wrong)?;
    rest.insert("parts".into(), parts);
    rest.insert("wires".into(), wires);
    Ok(with_head(rest))
}

pub(super) fn with_head(rest: Map<String, Value>) -> Value {
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
pub(super) struct Head {
    pub sum: u16,
    pub names: Vec<String>,
    /// For each part its type's place in `names`.
    pub of: Vec<usize>,
    pub wires: usize,
    pub part_ids: Vec<String>,
    pub wire_ids: Vec<String>,
    pub cells: [Vec<i64>; 2],
}

fn read_head(reader: &mut Reader, lines: &mut Split<'_, char>) -> Option<Head> {
    let mut column = Column::new();
    let [parts, wires, others] = [0; 3].map(|_| reader.number(&mut column) as usize);
    if parts > PARTS || wires > PARTS || others > PARTS {
        return None;
    }
    let mut flags = Column::new();
    let mut flag = || reader.number(&mut flags) & 1;
    let bits = (0..TYPES.len()).fold(0, |bits, at| bits | flag() << at);
    let sum = (0..16).fold(0, |sum, at| sum | (flag() as u16) << at);
    let mut names: Vec<String> = of_bits(bits).into_iter().map(String::from).collect();
    for _ in 0..others {
        names.push(lines.next()?.to_string());
    }
    let mut types = Column::new();
    let mut kind = |_| Some(reader.number(&mut types) as usize).filter(|at| *at < names.len());
    let of: Option<Vec<usize>> = (0..parts).map(&mut kind).collect();
    let of = of?;
    let part_ids = read_ids(reader, 'p', parts);
    let wire_ids = read_ids(reader, 'w', wires);
    let cells = read_places(reader, parts);
    Some(Head {
        sum,
        names,
        of,
        wires,
        part_ids,
        wire_ids,
        cells,
    })
}

impl Head {
    /// The parts and wires as in a file; what the rest says of wires is taken out of it.
    pub(super) fn bodies(
        &self,
        reader: &mut Reader,
        lines: &[&str],
        kinds: &[&PartType],
        rest: &mut Map<String, Value>,
    ) -> Option<(Value, Value)> {
        let kinds: Vec<&PartType> = self.of.iter().map(|at| kinds[*at]).collect();
        let ends = read_wires(reader, self.wires, &kinds)?;
        let mut parts = Vec::with_capacity(self.of.len());
        for (index, id) in self.part_ids.iter().enumerate() {
            let kind = &self.names[self.of[index]];
            let (name, more) = read_line(lines.get(index)?, kind)?;
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
