//! The file form of a walk and of an exercise, beside the plan that carries them.
//!
//! What the plan itself has, as it has it, is named by its id; everything else is written whole. [`Places`] says where in
//! a state's order a named thing comes, so that an edit is read as it was written.

use super::pair;
use crate::plan::edit::exercise::{Exercise, Lost, Trial};
use crate::plan::edit::walk::{Walk, WalkQuestion, WalkStep};
use crate::plan::{Duty, Edit, IndexedList, Keyed, Part, PartId, Plan, Wire, WireId};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// Which of a plan's parts and wires a state has, and where others of them come in its order: behind the nearest that
/// comes before them in the plan, or at the beginning.
pub(in crate::plan) struct Places<'p> {
    plan: &'p Plan,
    parts: BTreeSet<usize>,
    wires: BTreeSet<usize>,
}

impl<'p> Places<'p> {
    /// Those of `state` among the things of `plan`.
    pub(in crate::plan) fn of(plan: &'p Plan, state: &Plan) -> Places<'p> {
        let parts = state.parts.iter().filter_map(|p| plan.part_place(&p.id));
        let wires = state.wires.iter().filter_map(|w| plan.wire_place(&w.id));
        Places {
            plan,
            parts: parts.collect(),
            wires: wires.collect(),
        }
    }

    /// The plan's part of this id, and where it comes in `state`.
    pub(in crate::plan) fn part(&self, state: &Plan, id: &PartId) -> Option<(usize, &'p Part)> {
        let at = self.plan.part_place(id)?;
        let place = place(&self.parts, at, &self.plan.parts, |p| {
            state.part_place(&p.id)
        });
        Some((place, self.plan.parts.get(at)?))
    }

    /// The plan's wire of this id, and where it comes in `state`.
    pub(in crate::plan) fn wire(&self, state: &Plan, id: &WireId) -> Option<(usize, &'p Wire)> {
        let at = self.plan.wire_place(id)?;
        let place = place(&self.wires, at, &self.plan.wires, |w| {
            state.wire_place(&w.id)
        });
        Some((place, self.plan.wires.get(at)?))
    }

    /// The plan's duties.
    pub(in crate::plan) fn duties(&self) -> &'p [Duty] {
        &self.plan.duties
    }

    /// Follows an edit of the state.
    pub(in crate::plan) fn follow(&mut self, edit: &Edit) {
        match edit {
            Edit::AddPart(_, part) => self.parts.extend(self.plan.part_place(&part.id)),
            Edit::RemovePart(id) => {
                if let Some(at) = self.plan.part_place(id) {
                    self.parts.remove(&at);
                }
            }
            Edit::AddWire(_, wire) => self.wires.extend(self.plan.wire_place(&wire.id)),
            Edit::RemoveWire(id) => {
                if let Some(at) = self.plan.wire_place(id) {
                    self.wires.remove(&at);
                }
            }
            _ => {}
        }
    }
}

fn place<T: Keyed>(
    there: &BTreeSet<usize>,
    at: usize,
    all: &IndexedList<T>,
    in_state: impl Fn(&T) -> Option<usize>,
) -> usize {
    let before = there.range(..at).next_back();
    let before = before.and_then(|before| in_state(all.get(*before)?));
    before.map_or(0, |before| before + 1)
}

/// The walk of `plan` as a JSON value.
pub(super) fn walk(walk: &Walk, plan: &Plan) -> Value {
    let mut map = Map::new();
    let start = walk.start();
    put_state(&mut map, "start", plan.bare(), &start, plan, false);
    map.insert("steps".into(), steps(&walk.steps, start, plan));
    map.extend(walk.extra.clone());
    Value::Object(map)
}

/// The exercise of `plan` as a JSON value.
pub(super) fn exercise(exercise: &Exercise, plan: &Plan) -> Value {
    let mut map = Map::new();
    put_text(&mut map, "asks", &exercise.asks);
    if let Some(may) = &exercise.may {
        let most = may.iter().map(|(kind, most)| (kind.clone(), json!(most)));
        map.insert("may".into(), Value::Object(most.collect()));
    }
    put_ids(&mut map, "free", exercise.free.iter().map(PartId::as_str));
    if !exercise.trials.is_empty() {
        let trials = exercise.trials.iter().map(trial);
        map.insert("trials".into(), trials.collect());
    }
    let hinted = plan.hints().filter(|_| !exercise.hints.is_empty());
    if let (Some(hinted), Some(start)) = (hinted, plan.exercise_start()) {
        put_state(&mut map, "hints_from", start, hinted.plan(), plan, false);
        map.insert(
            "hints".into(),
            steps(&exercise.hints, hinted.plan().clone(), plan),
        );
    }
    if let Some(most) = exercise.materials {
        map.insert("materials".into(), most.into());
    }
    if let Some(start) = exercise.start.as_ref().and(plan.exercise_start()) {
        put_state(&mut map, "start", plan.bare(), &start, plan, true);
    }
    put_text(&mut map, "who", &exercise.who);
    map.extend(exercise.extra.clone());
    Value::Object(map)
}

/// A state as the edits that lead to it from another; where there are none, only if it is `always` written.
fn put_state(
    map: &mut Map<String, Value>,
    key: &str,
    mut before: Plan,
    state: &Plan,
    plan: &Plan,
    always: bool,
) {
    let mut places = Places::of(plan, &before);
    let edits = edits(&before.edits_to(state), &mut before, &mut places);
    if always || !edits.is_empty() {
        map.insert(key.into(), Value::Array(edits));
    }
}

fn trial(trial: &Trial) -> Value {
    let mut map = Map::new();
    put_text(&mut map, "says", &trial.says);
    if !trial.world.is_empty() {
        map.insert("world".into(), Value::Object(trial.world.clone()));
    }
    put_ids(&mut map, "throw", trial.throw.iter().map(PartId::as_str));
    match &trial.lose {
        Lost::Nothing => {}
        Lost::AnyOne => {
            map.insert("lose".into(), "any".into());
        }
        Lost::These(parts, wires) => {
            map.insert("lose".into(), ids(parts, wires));
        }
    }
    map.extend(trial.extra.clone());
    Value::Object(map)
}

fn steps(steps: &[WalkStep], start: Plan, plan: &Plan) -> Value {
    let mut state = start;
    let mut places = Places::of(plan, &state);
    let written = steps.iter().map(|step| {
        let mut map = Map::new();
        map.insert("says".into(), step.says.as_str().into());
        if !step.edits.is_empty() {
            let edits = edits(step.edits.as_slice(), &mut state, &mut places);
            map.insert("edits".into(), Value::Array(edits));
        }
        if let Some(at) = step.at {
            map.insert("at".into(), at.to_string().into());
        }
        if !step.lit.is_empty() {
            map.insert("lit".into(), ids(&step.lit.parts, &step.lit.wires));
        }
        if let Some(asked) = &step.question {
            map.insert("question".into(), question(asked));
        }
        map.extend(step.extra.clone());
        Value::Object(map)
    });
    written.collect()
}

fn question(question: &WalkQuestion) -> Value {
    let mut map = Map::new();
    map.insert("asks".into(), question.asks.as_str().into());
    map.insert("answers".into(), question.answers.clone().into());
    map.insert("right".into(), question.right.into());
    put_text(&mut map, "because", &question.because);
    map.extend(question.extra.clone());
    Value::Object(map)
}

fn put_text(map: &mut Map<String, Value>, key: &str, text: &str) {
    if !text.is_empty() {
        map.insert(key.into(), text.into());
    }
}

fn put_ids<'a>(map: &mut Map<String, Value>, key: &str, ids: impl Iterator<Item = &'a str>) {
    let ids: Vec<Value> = ids.map(Value::from).collect();
    if !ids.is_empty() {
        map.insert(key.into(), Value::Array(ids));
    }
}

fn ids(parts: &[PartId], wires: &[WireId]) -> Value {
    let mut map = Map::new();
    put_ids(&mut map, "parts", parts.iter().map(PartId::as_str));
    put_ids(&mut map, "wires", wires.iter().map(WireId::as_str));
    Value::Object(map)
}

/// Edits as JSON values, and `state` after them. What can't be applied, which no walk has, ends them.
fn edits(edits: &[Edit], state: &mut Plan, places: &mut Places) -> Vec<Value> {
    let mut out = Vec::new();
    for edit in edits {
        write_edit(edit, state, places, &mut out);
        if state.apply(edit.clone()).is_err() {
            break;
        }
        places.follow(edit);
    }
    out
}

fn write_edit(edit: &Edit, state: &Plan, places: &Places, out: &mut Vec<Value>) {
    let plan = places.plan;
    match edit {
        Edit::AddPart(at, part) => match places.part(state, &part.id) {
            Some((place, own)) if place == *at && own == part => {
                put_id(out, "add", "parts", "wires", part.id.as_str());
            }
            _ => out.push(whole("part", part.to_value(), *at, state.parts.len())),
        },
        Edit::AddWire(at, wire) => match places.wire(state, &wire.id) {
            Some((place, own)) if place == *at && own == wire => {
                put_id(out, "add", "wires", "", wire.id.as_str());
            }
            _ => out.push(whole("wire", wire.to_value(), *at, state.wires.len())),
        },
        Edit::RemoveWire(id) => put_id(out, "remove", "wires", "parts", id.as_str()),
        Edit::RemovePart(id) => put_id(out, "remove", "parts", "", id.as_str()),
        Edit::MovePart(id, at) => change(out, "part", id.as_str(), "at", json!(at.map(pair))),
        Edit::Rename(id, name) => change(out, "part", id.as_str(), "name", json!(name)),
        Edit::Count(id, count) => change(out, "part", id.as_str(), "count", json!(count)),
        Edit::Reach(id, reach) => {
            let word = reach.map(|reach| reach.word());
            change(out, "part", id.as_str(), "reach", json!(word));
        }
        Edit::Hang(id, face) => {
            let face = face.map(|face| face.to_value());
            change(out, "part", id.as_str(), "hangs", json!(face));
        }
        Edit::Set(id, key, value) => set(out, id.as_str(), key, json!(value)),
        Edit::Bend(id, bends) => {
            let bends: Vec<Value> = bends.iter().map(|bend| pair(*bend)).collect();
            change(out, "wire", id.as_str(), "bends", json!(bends));
        }
        Edit::Lead(id, via) => {
            let via: Vec<Value> = via.iter().map(|face| face.to_value()).collect();
            change(out, "wire", id.as_str(), "via", json!(via));
        }
        Edit::Duties(duties) => {
            let place = |duty: &Duty| plan.duties.iter().position(|own| own == duty);
            let one = |duty: &Duty| place(duty).map_or_else(|| duty.to_value(), Value::from);
            out.push(json!({ "duties": duties.iter().map(one).collect::<Vec<Value>>() }));
        }
        Edit::Meant(meant) => {
            let meant: Vec<Value> = meant.iter().map(|one| one.to_value()).collect();
            out.push(json!({ "meant": meant }));
        }
        Edit::World(world) => out.push(json!({ "world": world.write() })),
        Edit::Title(title) => out.push(json!({ "title": title })),
        Edit::Notes(notes) => out.push(json!({ "notes": notes })),
        Edit::Book(book) => out.push(json!({ "book": book.written })),
        Edit::Follow(follows) => {
            let follows = follows.as_ref().map(|follows| follows.to_value());
            out.push(json!({ "follows": follows }));
        }
        Edit::Site(site) => {
            let site = site.as_ref().map(|site| site.to_value());
            out.push(json!({ "site": site }));
        }
        // No edit of a state.
        Edit::Draw(_) | Edit::Walk(_) | Edit::Exercise(_) => {}
    }
}

fn whole(form: &str, value: Value, at: usize, end: usize) -> Value {
    let mut map = Map::new();
    map.insert(form.into(), value);
    if at != end {
        map.insert("place".into(), at.into());
    }
    Value::Object(map)
}

/// The object of the last edit, where it has this form.
fn last<'o>(out: &'o mut [Value], form: &str) -> Option<&'o mut Map<String, Value>> {
    out.last_mut()?.get_mut(form)?.as_object_mut()
}

/// Names a thing in the last edit where that has this form and does not yet name any under `not_after`, else in one more.
fn put_id(out: &mut Vec<Value>, form: &str, key: &str, not_after: &str, id: &str) {
    if last(out, form).is_none_or(|map| map.contains_key(not_after)) {
        out.push(json!({ form: {} }));
    }
    let list = last(out, form).map(|map| map.entry(key).or_insert_with(|| json!([])));
    if let Some(list) = list.and_then(Value::as_array_mut) {
        list.push(id.into());
    }
}

/// The last edit, where it changes this thing and `fits`, else one more.
fn changed<'o>(
    out: &'o mut Vec<Value>,
    what: &str,
    id: &str,
    fits: impl Fn(&Map<String, Value>) -> bool,
) -> Option<&'o mut Map<String, Value>> {
    let same = |map: &Map<String, Value>| map.get(what).and_then(Value::as_str) == Some(id);
    if !last(out, "change").is_some_and(|map| same(map) && fits(map)) {
        out.push(json!({ "change": { what: id } }));
    }
    last(out, "change")
}

fn change(out: &mut Vec<Value>, what: &str, id: &str, key: &str, value: Value) {
    let map = changed(out, what, id, |map| !map.contains_key(key));
    if let Some(map) = map {
        map.insert(key.into(), value);
    }
}

/// A setting joins the last edit only where nothing but settings of the same part came since, each once.
fn set(out: &mut Vec<Value>, id: &str, key: &str, value: Value) {
    let map = changed(out, "part", id, |map| match map.get("set") {
        None => true,
        Some(set) => {
            map.keys().next_back().is_some_and(|last| last == "set") && set.get(key).is_none()
        }
    });
    let set = map.map(|map| map.entry("set").or_insert_with(|| json!({})));
    if let Some(set) = set.and_then(Value::as_object_mut) {
        set.insert(key.into(), value);
    }
}
