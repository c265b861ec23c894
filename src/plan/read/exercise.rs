//! Reading a plan's exercise. What is damaged in it is told; what is sound stays.

use super::step_edits::{read_edits, read_ids};
use super::walk::{read_lit, read_state, read_steps, read_text};
use crate::limits::{COUNT, MATERIALS, TRIALS};
use crate::plan::edit::exercise::{Exercise, Lost, Trial};
use crate::plan::write::walk::Places;
use crate::plan::{PartId, Plan, StateEdits};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

const FIELDS: [&str; 9] = [
    "asks",
    "may",
    "free",
    "trials",
    "hints",
    "hints_from",
    "materials",
    "start",
    "who",
];

/// Reads the exercise of `plan`, whose parts, wires and duties are read already.
pub(super) fn read_exercise(
    map: &Map<String, Value>,
    root: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<Exercise> {
    let here = root.key("exercise");
    let map = read::object(map.get("exercise")?, &here, faults)?;
    let learned = map.contains_key("start");
    let start = match learned {
        true => read_state(map, "start", &here, plan, faults)?,
        false => plan.state().into_owned(),
    };
    // What is given may have changed since the hints were recorded.
    let mut hinted = start.clone();
    let mut places = Places::of(plan, &hinted);
    read_edits(map, "hints_from", &here, &mut hinted, &mut places, faults);
    let has_hints = map
        .get("hints")
        .and_then(Value::as_array)
        .is_some_and(|hints| !hints.is_empty());
    let materials = map
        .get("materials")
        .and_then(|value| read::whole(value, 0, MATERIALS, &here.key("materials"), faults));
    Some(Exercise {
        asks: read_text(map, "asks", &here, faults),
        may: read_may(map, &here, &start, faults),
        free: read_ids(map, "free", &here, faults)
            .map(PartId::from)
            .collect(),
        trials: read_trials(map, &here, &start, faults),
        start: learned.then(|| StateEdits::whole(&start)),
        hints_start: has_hints.then(|| StateEdits::whole(&hinted)),
        hints: read_steps(map, "hints", &here, hinted, plan, faults),
        materials,
        who: read_text(map, "who", &here, faults),
        extra: read::extra(map, &FIELDS),
    })
}

/// The types that may be built, with how many at most.
fn read_may(
    map: &Map<String, Value>,
    place: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<Vec<(String, Option<u64>)>> {
    let here = place.key("may");
    let map = read::object(map.get("may")?, &here, faults)?;
    let mut may = Vec::new();
    for (kind, value) in map {
        let here = here.key(kind);
        if plan.book.book.find(kind).is_none() {
            let found = format!("\"{kind}\"");
            faults.push(here.fault(FaultKind::Unknown, found, "a part type of the book"));
            continue;
        }
        let most = match value {
            Value::Null => None,
            value => match read::whole(value, 0, COUNT, &here, faults) {
                None => continue,
                some => some,
            },
        };
        may.push((kind.clone(), most));
    }
    Some(may)
}

fn read_trials(
    map: &Map<String, Value>,
    place: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Vec<Trial> {
    let at = place.key("trials");
    let entries = read::list(map, "trials", place, faults);
    if entries.len() > TRIALS {
        let found = format!("{} trials", entries.len());
        faults.push(at.fault(FaultKind::Range, found, format!("at most {TRIALS}")));
    }
    let mut trials = Vec::new();
    for (index, entry) in entries.iter().take(TRIALS).enumerate() {
        trials.extend(read_trial(entry, &at.index(index), plan, faults));
    }
    trials
}

fn read_trial(entry: &Value, here: &Place, plan: &Plan, faults: &mut Faults) -> Option<Trial> {
    let before = faults.len();
    let map = read::object(entry, here, faults)?;
    let world = map
        .get("world")
        .and_then(|value| read::object(value, &here.key("world"), faults))
        .cloned()
        .unwrap_or_default();
    let lose = match map.get("lose") {
        None => Lost::Nothing,
        Some(value) if value == "any" => Lost::AnyOne,
        Some(Value::Object(_)) => {
            let lost = read_lit(map, "lose", here, faults);
            Lost::These(lost.parts, lost.wires)
        }
        Some(value) => {
            let expected = "\"any\", or given parts and wires";
            faults.push(here.key("lose").wrong(FaultKind::Type, value, expected));
            return None;
        }
    };
    let trial = Trial {
        says: read_text(map, "says", here, faults),
        world,
        throw: read_ids(map, "throw", here, faults)
            .map(PartId::from)
            .collect(),
        lose,
        extra: read::extra(map, &["says", "world", "throw", "lose"]),
    };
    if let Err(more) = trial.in_world(&plan.world, &here.key("world")) {
        faults.extend(more);
    }
    (faults.len() == before).then_some(trial)
}
