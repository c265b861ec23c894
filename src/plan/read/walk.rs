//! Reading a plan's walk, and the steps of an exercise's hints. Every step is done on a board of its own, so what can't be
//! applied is a fault where it stands; the steps before the first damaged one stay.

use super::step_edits::{read_edits, read_ids};
use crate::clock::DialMoment;
use crate::limits::{ANSWERS, WALK_DAY, WALK_EDITS, WALK_STEPS, WALK_TEXT};
use crate::plan::edit::walk::{Lit, StateEdits, Walk, WalkQuestion, WalkStep};
use crate::plan::write::walk::Places;
use crate::plan::{PartId, Plan, WireId};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// Reads the walk of `plan`, whose parts and wires are read already.
pub(super) fn read_walk(
    map: &Map<String, Value>,
    root: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<Walk> {
    let here = root.key("walk");
    let map = read::object(map.get("walk")?, &here, faults)?;
    let start = read_state(map, "start", &here, plan, faults)?;
    Some(Walk {
        start: StateEdits::whole(&start),
        steps: read_steps(map, "steps", &here, start, plan, faults),
        extra: read::extra(map, &["start", "steps"]),
    })
}

/// The state to which the edits in the list `key` lead from the plan's bare board; none where they are damaged.
pub(super) fn read_state(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<Plan> {
    let before = faults.len();
    let mut state = plan.bare();
    let mut places = Places::of(plan, &state);
    read_edits(map, key, place, &mut state, &mut places, faults);
    (faults.len() == before).then_some(state)
}

/// Reads the steps in the list `key`, of which the first begins at `start`.
pub(super) fn read_steps(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    start: Plan,
    plan: &Plan,
    faults: &mut Faults,
) -> Vec<WalkStep> {
    let at = place.key(key);
    let entries = read::list(map, key, place, faults);
    if entries.len() > WALK_STEPS {
        let found = format!("{} steps", entries.len());
        faults.push(at.fault(FaultKind::Range, found, format!("at most {WALK_STEPS}")));
    }
    let mut state = start;
    let mut places = Places::of(plan, &state);
    let mut left = WALK_EDITS;
    let mut steps = Vec::new();
    for (index, entry) in entries.iter().take(WALK_STEPS).enumerate() {
        let before = faults.len();
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            break;
        };
        let edits = read_edits(map, "edits", &here, &mut state, &mut places, faults);
        let count = edits.as_slice().len();
        if count > left {
            let expected = format!("at most {WALK_EDITS} edits in all steps together");
            faults.push(here.fault(FaultKind::Range, format!("{count} edits"), expected));
        }
        left = left.saturating_sub(count);
        let step = WalkStep {
            says: read_text(map, "says", &here, faults),
            edits,
            at: read_moment(map, &here, faults),
            lit: read_lit(map, "lit", &here, faults),
            question: read_question(map, &here, faults),
            extra: read::extra(map, &["says", "edits", "at", "lit", "question"]),
        };
        if faults.len() > before {
            break;
        }
        steps.push(step);
    }
    steps
}

/// A text that is not longer than one of a walk may be; empty where it is left out.
pub(super) fn read_text(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> String {
    let text = read::text(map, key, place, faults).unwrap_or("");
    check_length(text, &place.key(key), faults);
    text.into()
}

fn check_length(text: &str, place: &Place, faults: &mut Faults) {
    let length = text.chars().count();
    if length > WALK_TEXT {
        let found = format!("a text of {length} characters");
        faults.push(place.fault(FaultKind::Range, found, format!("at most {WALK_TEXT}")));
    }
}

fn read_moment(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Option<DialMoment> {
    let value = map.get("at")?;
    let moment = value
        .as_str()
        .and_then(|text| DialMoment::parse(text, WALK_DAY));
    if moment.is_none() {
        let expected = format!(
            "HH:MM or HH:MM:SS from 00:00 to 24:00, on a later day up to {WALK_DAY} with its number ahead: d2 21:00"
        );
        faults.push(place.key("at").wrong(FaultKind::Range, value, expected));
    }
    moment
}

/// Ids of parts and wires; whether anything has them is not looked at.
pub(super) fn read_lit(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> Lit {
    let here = place.key(key);
    let Some(map) = map
        .get(key)
        .and_then(|value| read::object(value, &here, faults))
    else {
        return Lit::default();
    };
    Lit {
        parts: read_ids(map, "parts", &here, faults)
            .map(PartId::from)
            .collect(),
        wires: read_ids(map, "wires", &here, faults)
            .map(WireId::from)
            .collect(),
    }
}

fn read_question(
    map: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) -> Option<WalkQuestion> {
    let here = place.key("question");
    let map = read::object(map.get("question")?, &here, faults)?;
    let at = here.key("answers");
    let entries = read::list(map, "answers", &here, faults);
    if !(2..=ANSWERS).contains(&entries.len()) {
        let found = format!("{} answers", entries.len());
        faults.push(at.fault(FaultKind::Range, found, format!("2 to {ANSWERS}")));
    }
    let mut answers = Vec::new();
    for (index, entry) in entries.iter().take(ANSWERS).enumerate() {
        let here = at.index(index);
        match entry.as_str() {
            Some(text) => {
                check_length(text, &here, faults);
                answers.push(text.to_string());
            }
            None => faults.push(here.wrong(FaultKind::Type, entry, "an answer, a text")),
        }
    }
    let last = answers.len().saturating_sub(1) as u64;
    let right = match map.get("right") {
        Some(value) => read::whole(value, 0, last, &here.key("right"), faults),
        None => {
            let expected = "the place of the right answer, from 0";
            faults.push(
                here.key("right")
                    .fault(FaultKind::Missing, "nothing", expected),
            );
            None
        }
    };
    Some(WalkQuestion {
        asks: read_text(map, "asks", &here, faults),
        answers,
        right: right? as usize,
        because: read_text(map, "because", &here, faults),
        extra: read::extra(map, &["asks", "answers", "right", "because"]),
    })
}
