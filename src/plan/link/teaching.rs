//! The walk and the exercise of a plan, for version 4 of the link form: what goes before the packing of the same plan
//! without them.
//!
//! Which step puts which of the plan's parts and wires on the board goes as numbers: for each thing the step, in the
//! plan's order. All else is text, the file's JSON with what goes without saying left out, as a DEFLATE stream. The text
//! that both ends know is ours and what the plan's things are called, which steps tend to name. Reading makes the fields
//! of the plan's file again and leaves every check to the reader of files.

use super::coder::{Column, Reader, Writer};
use super::{LARGEST, deflate, length, put_length, words};
use crate::gather::Gather;
use crate::limits::WALK_STEPS;
use crate::plan::Plan;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Stands for the edit that adds what the numbers say.
const ADDED: u64 = 0;
/// Says that what is lit is what the step adds, with wires or without.
const LIT: [u64; 2] = [1, 2];
/// The fields of a step as they stand in its list; the last is all else.
const FIELDS: [&str; 5] = ["says", "at", "lit", "edits", "question"];

/// Whether the plan has a walk or an exercise.
pub(super) fn has_any(plan: &Plan) -> bool {
    plan.walk.is_some() || plan.exercise.is_some()
}

/// Walk and exercise of a plan, coded.
pub(super) fn pack(plan: &Plan) -> Vec<u8> {
    let written = plan.to_value();
    let field = |key: &str| written.get(key).cloned().unwrap_or(Value::Null);
    let (mut walk, mut exercise) = (field("walk"), field("exercise"));
    let mut out = Writer::new();
    let things = Things::of(plan);
    for (of, key) in [(&mut walk, "steps"), (&mut exercise, "hints")] {
        if let Some(Value::Array(steps)) = of.get_mut(key) {
            things.put(steps, &mut out);
        }
    }
    // The edits to the start are those of one step.
    if let Some(start) = exercise.get_mut("start") {
        let mut steps = vec![json!({ "says": "", "edits": start.take() })];
        things.put(&mut steps, &mut out);
        *start = steps.remove(0);
    }
    let numbers = out.end();
    let text = Value::Array(vec![walk, exercise]).to_string();
    let mut bytes = Vec::new();
    put_length(&mut bytes, numbers.len());
    bytes.extend(&numbers);
    bytes.extend(deflate::pack(text.as_bytes(), &dictionary(plan)));
    bytes
}

/// Puts walk and exercise back into the file `map` of `plan`, which was read without them; none where they make no sense.
pub(super) fn unpack(bytes: &[u8], plan: &Plan, map: &mut Map<String, Value>) -> Option<()> {
    let (length, head) = length(bytes)?;
    let numbers = bytes.get(head..head.checked_add(length)?)?;
    let stream = bytes.get(head + length..)?;
    let text = deflate::unpack(stream, LARGEST, &dictionary(plan)).ok()?;
    let text: Value = serde_json::from_slice(&text).ok()?;
    let [mut walk, mut exercise] = <[Value; 2]>::try_from(text.as_array()?.clone()).ok()?;
    let mut reader = Reader::new(numbers);
    let things = Things::of(plan);
    for (of, key) in [(&mut walk, "steps"), (&mut exercise, "hints")] {
        if let Some(Value::Array(steps)) = of.get_mut(key) {
            things.read(steps, &mut reader)?;
        }
    }
    if let Some(start) = exercise.get_mut("start") {
        let mut steps = vec![start.take()];
        things.read(&mut steps, &mut reader)?;
        *start = steps.remove(0).get("edits").cloned().unwrap_or(json!([]));
    }
    for (key, value) in [("walk", walk), ("exercise", exercise)] {
        if !value.is_null() {
            map.insert(key.into(), value);
        }
    }
    Some(())
}

/// What both ends know before the text: our own words, then what the plan's things are called.
fn dictionary(plan: &Plan) -> Vec<u8> {
    let mut text = words::TEACHING.to_string();
    text.push_str(&plan.title);
    for part in &plan.parts {
        text.push(' ');
        text.push_str(&part.name);
    }
    text.into_bytes()
}

/// The ids of a plan's parts and wires with their places in its order, parts first.
struct Things {
    ids: [Vec<String>; 2],
    places: [BTreeMap<String, usize>; 2],
}

/// The keys of both kinds of things.
const KINDS: [&str; 2] = ["parts", "wires"];

impl Things {
    fn of(plan: &Plan) -> Things {
        let parts = plan.parts.iter().map(|part| part.id.to_string());
        let wires = plan.wires.iter().map(|wire| wire.id.to_string());
        let ids = [parts.collect(), wires.collect::<Vec<String>>()];
        let places = |ids: &Vec<String>| {
            let placed = ids.iter().enumerate().map(|(at, id)| (id.clone(), at));
            placed.gather()
        };
        Things {
            places: [places(&ids[0]), places(&ids[1])],
            ids,
        }
    }

    /// Writes what each step adds, and leaves lists in the steps' places.
    fn put(&self, steps: &mut [Value], out: &mut Writer) {
        let mut by_step = [vec![0; self.ids[0].len()], vec![0; self.ids[1].len()]];
        for (number, step) in steps.iter_mut().enumerate() {
            self.take_added(step, number + 1, &mut by_step);
            *step = lean(step);
        }
        for by_step in by_step {
            let (mut last, mut column) = (0, Column::new());
            for number in by_step {
                out.put_signed(&mut column, number - last);
                last = number;
            }
        }
    }

    /// Takes the first edit that adds out of the step where numbers can say it: each thing for the first time, and in the
    /// plan's order.
    fn take_added(&self, step: &mut Value, number: usize, by_step: &mut [Vec<i64>; 2]) {
        let edits = step.get("edits").and_then(Value::as_array);
        let adds = |edit: &Value| edit.get("add").is_some();
        let Some(at) = edits.and_then(|edits| edits.iter().position(adds)) else {
            return;
        };
        let added = step["edits"][at]["add"].clone();
        let places = [0, 1].map(|kind| self.in_order(&added, kind, &by_step[kind]));
        let [Some(parts), Some(wires)] = places else {
            return;
        };
        if parts.is_empty() && wires.is_empty() {
            return;
        }
        for (kind, places) in [parts, wires].into_iter().enumerate() {
            for place in places {
                by_step[kind][place] = number as i64;
            }
        }
        let Some(map) = step.as_object_mut() else {
            return;
        };
        let lit = map.get("lit").cloned().unwrap_or(Value::Null);
        let only_parts = added.get("parts").map(|parts| json!({ "parts": parts }));
        if lit == added {
            map.insert("lit".into(), LIT[0].into());
        } else if only_parts.is_some_and(|parts| parts == lit) {
            map.insert("lit".into(), LIT[1].into());
        }
        match map.get_mut("edits").and_then(Value::as_array_mut) {
            Some(edits) if edits.len() > 1 => edits[at] = ADDED.into(),
            _ => {
                map.shift_remove("edits");
            }
        }
    }

    /// The places of what `added` names of one kind, if they go up and no earlier step has them.
    fn in_order(&self, added: &Value, kind: usize, by_step: &[i64]) -> Option<Vec<usize>> {
        let Some(ids) = added.get(KINDS[kind]) else {
            return Some(Vec::new());
        };
        let place = |id: &Value| self.places[kind].get(id.as_str()?).copied();
        let places: Option<Vec<usize>> = ids.as_array()?.iter().map(place).collect();
        let places = places?;
        let up = places.windows(2).all(|pair| pair[0] < pair[1]);
        let new = places.iter().all(|place| by_step[*place] == 0);
        (up && new && !places.is_empty()).then_some(places)
    }

    /// Makes steps as in a file of what [`Things::put`] left and wrote.
    fn read(&self, steps: &mut [Value], reader: &mut Reader) -> Option<()> {
        if steps.len() > WALK_STEPS {
            return None;
        }
        let mut added: Vec<[Vec<&str>; 2]> = vec![Default::default(); steps.len()];
        for (kind, ids) in self.ids.iter().enumerate() {
            let (mut last, mut column) = (0i64, Column::new());
            for id in ids {
                last = last.checked_add(reader.signed(&mut column))?;
                match usize::try_from(last).ok()?.checked_sub(1) {
                    None => {}
                    Some(step) => added.get_mut(step)?[kind].push(id),
                }
            }
        }
        for (step, added) in steps.iter_mut().zip(added) {
            *step = full(step, &added)?;
        }
        Some(())
    }
}

/// A step as a list of its fields, without those at the end that it has not; one that only says something as its text.
fn lean(step: &Value) -> Value {
    let Some(mut map) = step.as_object().cloned() else {
        return step.clone();
    };
    let mut list: Vec<Value> = FIELDS
        .iter()
        .map(|key| map.shift_remove(*key).unwrap_or(Value::Null))
        .collect();
    list.push(match map.is_empty() {
        true => Value::Null,
        false => Value::Object(map),
    });
    while list.len() > 1 && list.last() == Some(&Value::Null) {
        list.pop();
    }
    match list.as_slice() {
        [says @ Value::String(_)] => says.clone(),
        _ => Value::Array(list),
    }
}

/// The step of a file that [`lean`] made this of.
fn full(lean: &Value, added: &[Vec<&str>; 2]) -> Option<Value> {
    let list = match lean {
        Value::String(_) => vec![lean.clone()],
        Value::Array(list) => list.clone(),
        _ => return None,
    };
    let mut add = Map::new();
    for (key, ids) in KINDS.iter().zip(added) {
        if !ids.is_empty() {
            add.insert((*key).into(), json!(ids));
        }
    }
    let mut fields: BTreeMap<&str, Value> = FIELDS.iter().copied().zip(list.clone()).gather();
    match fields.get_mut("edits") {
        Some(Value::Array(edits)) => {
            for edit in edits.iter_mut().filter(|edit| **edit == ADDED) {
                *edit = json!({ "add": add });
            }
        }
        _ if !add.is_empty() => {
            fields.insert("edits", json!([{ "add": add }]));
        }
        _ => {}
    }
    if let Some(lit) = fields.get_mut("lit") {
        if *lit == LIT[0] {
            *lit = Value::Object(add.clone());
        } else if *lit == LIT[1] {
            *lit = json!({ "parts": add.get("parts") });
        }
    }
    let mut map = Map::new();
    // In the order of a file.
    for key in ["says", "edits", "at", "lit", "question"] {
        let value = fields.remove(key).filter(|value| !value.is_null());
        map.extend(value.map(|value| (key.to_string(), value)));
    }
    if let Some(more) = list.get(FIELDS.len()) {
        map.extend(more.as_object()?.clone());
    }
    Some(Value::Object(map))
}
