//! Reading a plan's duties. A duty of a load that is written but could not be read is lost with it, and is no fault.

use super::Written;
use crate::book::setting;
use crate::limits;
use crate::plan::duty::GRACE_S;
use crate::plan::{Duty, PartId, Plan, Span, When};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

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
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let part = read_load(map, written, &here, plan, faults);
        let when = read_when(map, &here, faults);
        let only = read::flag(map, "only", &here, faults).unwrap_or(false);
        let grace = map
            .get("grace_s")
            .and_then(|v| read::decimal(v, 0.0, limits::SECONDS, &here.key("grace_s"), faults));
        let (Some(part), Some(when)) = (part, when) else {
            continue;
        };
        plan.duties.push(Duty {
            part,
            when,
            only,
            grace_s: grace.unwrap_or(GRACE_S),
            extra: read::extra(map, &["part", "when", "from", "to", "only", "grace_s"]),
        });
    }
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

fn read_when(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Option<When> {
    let expected = "one of always, dark, light, home, away, clock";
    let word = read::named(map, "when", place, expected, faults)?;
    Some(match word {
        "always" => When::Always,
        "dark" => When::Dark,
        "light" => When::Light,
        "home" => When::Home,
        "away" => When::Away,
        "clock" => {
            let mut clock = |key: &str| setting::clock_of(map, key, place, faults);
            let (from, to) = (clock("from"), clock("to"));
            When::Clock(Span {
                from: from?,
                to: to?,
            })
        }
        other => {
            let found = format!("\"{other}\"");
            faults.push(place.key("when").fault(FaultKind::Unknown, found, expected));
            return None;
        }
    })
}
