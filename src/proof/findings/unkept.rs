//! A duty that is broken: for how long a day, why, and the least that was tried and keeps it.
//!
//! Tried are: closing an open switch ahead of the load; so many more of each source and battery ahead of it, alone and
//! both together; and, for a load that runs when it must not, a contact of its own.

use super::seen::when;
use super::{Finding, FindingKind, Remedy, Seen, amount, draft, needless, overlap};
use crate::net::Weight;
use crate::net::words::list;
use crate::plan::{Edit, Function, Spec};
use serde_json::Value;

/// The most that is tried to be added to a bank.
const MORE: u64 = 8;
/// The most banks of each kind that are tried, the nearest first.
const BANKS: usize = 4;

pub fn find(seen: &Seen, at: usize) -> Option<Finding> {
    let (duty, verdict) = (seen.plan.duties.get(at)?, seen.check.duties.get(at)?);
    if verdict.kept {
        return None;
    }
    let load = seen.place(&duty.part)?;
    let off: Vec<_> = verdict.gaps.iter().filter(|g| !g.on).collect();
    let on = off.is_empty();
    let gaps: Vec<_> = verdict.gaps.iter().filter(|g| g.on == on).collect();
    let spans: Vec<_> = gaps.iter().map(|g| (g.from, g.to)).collect();
    let (repeating, all) = (
        overlap(&spans, seen.from, seen.to),
        overlap(&spans, 0, seen.to),
    );
    let long = if repeating > 0 {
        seen.time_a_day(repeating)
    } else {
        format!("{} in all", super::super::words::length(all))
    };
    let (name, when) = (seen.name(load), when(duty));
    let mut says = match on {
        false => format!("{name} must run {when} and is off for {long}."),
        true => format!("{name} must run only {when} and runs for {long} besides."),
    };
    let first = verdict.gaps.iter().position(|g| g.on == on)?;
    let mut parts = vec![duty.part.clone()];
    let mut wires = Vec::new();
    if let Some(cause) = seen.causes(at).get(first) {
        says = format!("{says} {}", cause.says);
        parts.extend(cause.parts.iter().filter(|p| **p != duty.part).cloned());
        wires.extend(cause.wires.iter().cloned());
    }
    let remedy = match (seen.is_whole(), on) {
        (false, _) => None,
        (true, true) => needless::remedy(seen, load)
            .filter(|(_, after)| keeps(after, at))
            .map(|(r, _)| r),
        (true, false) => closed(seen, load, at).or_else(|| more(seen, load, at)),
    };
    Some(Finding {
        kind: FindingKind::DutyBroken,
        weight: Weight::Error,
        amount: amount(seen.a_day(repeating.max(1).into()) * 1_000_000),
        parts,
        wires,
        says,
        remedy,
    })
}

fn keeps(after: &Seen, duty: usize) -> bool {
    after.check.duties.get(duty).is_some_and(|d| d.kept)
}

/// `keeps the duty of Stair lamp for ever: 3 of 4 duties instead of 2`.
fn kept_words(seen: &Seen, after: &Seen, load: usize) -> String {
    let kept = |s: &Seen| s.check.duties.iter().filter(|d| d.kept).count();
    let long = if after.check.for_ever {
        "for ever".into()
    } else {
        format!("for {} days", after.check.days)
    };
    let all = match after.check.duties.len() {
        1 => "1 duty".into(),
        n => format!("{n} duties"),
    };
    format!(
        "keeps the duty of {} {long}: {} of {all} kept instead of {}",
        seen.name(load),
        kept(after),
        kept(seen)
    )
}

/// Closing one switch.
fn closed(seen: &Seen, load: usize, duty: usize) -> Option<Remedy> {
    for part in seen.upstream(load) {
        let Some(Spec::Contact {
            breaks,
            function: Function::Manual { closed, schedule },
            ..
        }) = &seen.specs[part]
        else {
            continue;
        };
        if closed != breaks || !schedule.is_empty() {
            continue;
        }
        let edits = vec![Edit::Set(
            seen.id(part).clone(),
            "closed".into(),
            Some(Value::Bool(!breaks)),
        )];
        if let Some(after) = seen.tried(&edits).filter(|after| keeps(after, duty)) {
            let name = seen.name(part);
            return Some(Remedy {
                says: format!("{name} closed {}.", kept_words(seen, &after, load)),
                name: format!("close {name}"),
                edits,
            });
        }
    }
    None
}

/// So many more of what stands ahead of the load: the fewest, and among those the cheapest.
fn more(seen: &Seen, load: usize, duty: usize) -> Option<Remedy> {
    let ahead = seen.upstream(load);
    let of = |is: fn(&Spec) -> bool| -> Vec<usize> {
        let found = ahead
            .iter()
            .copied()
            .filter(|at| seen.specs[*at].as_ref().is_some_and(is));
        found.take(BANKS).collect()
    };
    let sources = of(|s| matches!(s, Spec::Source { .. }));
    let batteries = of(|s| matches!(s, Spec::Battery { .. }));
    let mut choices: Vec<Vec<usize>> = sources
        .iter()
        .chain(&batteries)
        .map(|at| vec![*at])
        .collect();
    if let (Some(source), Some(battery)) = (sources.first(), batteries.first()) {
        choices.push(vec![*source, *battery]);
    }
    if sources.len() > 1 {
        choices.push(sources.clone());
    }
    let cost = |choice: &Vec<usize>| -> u64 {
        let one = |at: &usize| {
            seen.plan
                .kind_of(&seen.plan.parts[*at])
                .map_or(0, draft::cost)
        };
        choice.iter().map(one).sum()
    };
    choices.sort_by_key(|choice| (choice.len(), cost(choice)));
    for n in 1..=MORE {
        for choice in &choices {
            let edits: Vec<Edit> = choice
                .iter()
                .map(|at| Edit::Count(seen.id(*at).clone(), seen.plan.parts[*at].count + n))
                .collect();
            if let Some(after) = seen.tried(&edits).filter(|after| keeps(after, duty)) {
                let banks: Vec<String> = choice
                    .iter()
                    .map(|at| format!("{} of {}", seen.plan.parts[*at].count + n, seen.name(*at)))
                    .collect();
                let banks = list(&banks);
                return Some(Remedy {
                    says: format!("Having {banks} {}.", kept_words(seen, &after, load)),
                    name: format!("have {banks}"),
                    edits,
                });
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;

    const OPEN: &str = r#"{ "parts": { "gen": "generator", "door": "switch", "lamp": "lamp" },
        "wires": ["gen.out door.feed", "door.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;

    #[test]
    fn an_open_switch_is_to_be_closed() {
        assert_eq!(
            told(OPEN, FindingKind::DutyBroken),
            [[
                "lamp must run always and is off for 24 h a day. lamp is dark from 00:00 to 24:00: door is set open.",
                "door closed keeps the duty of lamp for ever: 1 of 1 duty kept instead of 0."
            ]]
        );
        let after = taken(&crate::net::testing::plan(OPEN), FindingKind::DutyBroken);
        assert!(after.check.is_fine());
    }

    #[test]
    fn too_little_sun_takes_more_of_what_is_there() {
        let text = r#"{ "parts": { "sun": "sun-panel", "cell": "battery", "heater": "heater" },
            "wires": ["sun.out cell.in", "cell.out heater.in"], "duties": [{ "part": "heater", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::DutyBroken),
            [[
                "heater must run always and is off for 5 h 10 min a day. heater stops on day 2 at 03:49: cell is empty until 08:13. It needs 10.4 u·h more.",
                "Having 2 of sun keeps the duty of heater for ever: 1 of 1 duty kept instead of 0."
            ]]
        );
        let plan = crate::net::testing::plan(text);
        assert!(taken(&plan, FindingKind::DutyBroken).check.is_fine());
    }

    #[test]
    fn a_lamp_that_must_be_out_by_day_gets_a_contact() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "dark", "only": true }] }"#;
        assert_eq!(
            told(text, FindingKind::DutyBroken),
            [[
                "lamp must run only while it is dark and runs for 11 h 59 min a day besides. lamp runs from 06:00 to 18:00 though it should be off: no contact stands between it and gen.",
                "Behind a twilight switch of its own lamp uses 24 u·h a day less."
            ]]
        );
        let plan = crate::net::testing::plan(text);
        assert!(taken(&plan, FindingKind::DutyBroken).check.is_fine());
    }

    #[test]
    fn a_duty_that_is_kept_is_no_finding() {
        let text = r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert!(told(text, FindingKind::DutyBroken).is_empty());
    }
}
