//! Reading a plan's duties. A duty of a load that is written but could not be read is lost with it, and is no fault.

use super::Written;
use crate::book::setting;
use crate::limits;
use crate::plan::duty::GRACE_S;
use crate::plan::{Conditions, Duty, PartId, Plan, Span, When};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// The conditions that there are.
const WORDS: &str = "one of always, dark, light, home, away, clock";

/// Reads the duties into `plan`.
pub(super) fn read_duties(
    map: &Map<String, Value>,
    written: &Written,
    root: &Place,
    plan: &mut Plan,
    faults: &mut Faults,
) {
    let at = root.key("duties");
    for (index, entry) in read::list(map, "duties", root, faults).iter().enumerate() {
        let duty = read_duty(entry, written, &at.index(index), plan, faults);
        plan.duties.extend(duty);
    }
}

/// Reads one duty of a load of `plan`.
pub(super) fn read_duty(
    entry: &Value,
    written: &Written,
    here: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<Duty> {
    let map = read::object(entry, here, faults)?;
    let part = read_load(map, written, here, plan, faults);
    let duty = duty_of(map, here, faults);
    let (part, (when, only, grace_s)) = (part?, duty?);
    Some(Duty {
        part,
        when,
        only,
        grace_s,
        extra: read::extra(map, &["part", "when", "from", "to", "only", "grace_s"]),
    })
}

/// What a duty asks, whatever its load: the conditions, whether only then, and the grace in seconds.
pub(crate) fn duty_of(
    map: &Map<String, Value>,
    here: &Place,
    faults: &mut Faults,
) -> Option<(Conditions, bool, f64)> {
    let when = read_when(map, here, faults);
    let only = read::flag(map, "only", here, faults).unwrap_or(false);
    let grace = map
        .get("grace_s")
        .and_then(|v| read::decimal(v, 0.0, limits::SECONDS, &here.key("grace_s"), faults));
    Some((when?, only, grace.unwrap_or(GRACE_S)))
}

fn read_load(
    map: &Map<String, Value>,
    written: &Written,
    place: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<PartId> {
    let expected = "the id of a load of the plan";
    let id = PartId::from(read::named(map, "part", place, expected, faults)?);
    let part = plan.part(&id);
    if part.is_none() && written.has(id.as_str()) {
        return None;
    }
    let behaviour = part
        .and_then(|p| plan.kind_of(p))
        .map(|t| t.behaviour.name());
    let found = match behaviour {
        Some("load") => return Some(id),
        Some(other) => format!("\"{id}\", a {other}"),
        None => format!("\"{id}\""),
    };
    faults.push(place.key("part").fault(FaultKind::Unknown, found, expected));
    None
}

/// The conditions: one word, or a list of different ones.
fn read_when(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Option<Conditions> {
    let Some(Value::Array(list)) = map.get("when") else {
        let expected = format!("{WORDS}, or a list of these");
        let word = read::named(map, "when", place, &expected, faults)?;
        return Some(read_word(word, &expected, map, place, &place.key("when"), faults)?.into());
    };
    let at = place.key("when");
    if list.is_empty() {
        let expected = format!("at least {WORDS}");
        faults.push(at.fault(FaultKind::Range, "an empty list", expected));
        return None;
    }
    let (mut found, mut seen): (Vec<Option<When>>, Vec<&str>) = (Vec::new(), Vec::new());
    for (index, entry) in list.iter().enumerate() {
        let here = at.index(index);
        let Some(word) = entry.as_str() else {
            faults.push(here.wrong(FaultKind::Type, entry, WORDS));
            found.push(None);
            continue;
        };
        if seen.contains(&word) {
            let said = format!("\"{word}\" a second time");
            faults.push(here.fault(FaultKind::Doubled, said, "each condition once"));
            found.push(None);
            continue;
        }
        seen.push(word);
        found.push(read_word(word, WORDS, map, place, &here, faults));
    }
    let found: Option<Vec<When>> = found.into_iter().collect();
    Conditions::new(&found?)
}

/// The condition that `word`, which stands at `here`, names; hours stand beside it in the duty's own `map` at `place`.
fn read_word(
    word: &str,
    expected: &str,
    map: &Map<String, Value>,
    place: &Place,
    here: &Place,
    faults: &mut Faults,
) -> Option<When> {
    if word == "clock" {
        let mut clock = |key: &str| setting::clock_of(map, key, place, faults);
        let (from, to) = (clock("from"), clock("to"));
        return Some(When::Clock(Span {
            from: from?,
            to: to?,
        }));
    }
    let when = When::without_hours(word);
    if when.is_none() {
        faults.push(here.fault(FaultKind::Unknown, format!("\"{word}\""), expected));
    }
    when
}
