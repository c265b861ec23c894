//! A battery that never gets full in the days that repeat: how full it gets and, where its output goes off, how many
//! more sources would keep it on; where it does not, whether fewer batteries would do.

use super::{Finding, FindingKind, Remedy, Simulation, times};
use crate::net::Weight;
use crate::plan::{Edit, End, Spec};
use crate::quantity::{Energy, Ms};
use crate::run::What;

/// The most that is tried to be added to a bank of sources.
const MORE: u64 = 4;

pub fn find(seen: &Simulation, battery: usize) -> Option<Finding> {
    let Some(Spec::Battery { capacity, .. }) = seen.specs[battery] else {
        return None;
    };
    let id = seen.id(battery);
    seen.plan.wire_at(&End::new(id, "in"))?;
    let levels = seen.levels(battery);
    let highest = levels
        .iter()
        .max_by_key(|(t, level)| (*level, std::cmp::Reverse(*t)))?;
    let lowest = levels.iter().map(|(_, level)| *level).min()?;
    if highest.1 >= capacity {
        return None;
    }
    let offs = offs(seen, battery, seen.from);
    let unit = &seen.plan.book.book.unit;
    let share = |level: Energy| level * 100 / capacity.max(1);
    let (name, days) = (seen.name(battery), seen.days());
    // It may have been full in the days before those that repeat.
    let mut before = seen.levels_from(battery, 0).into_iter();
    let last_full = before.rfind(|(_, level)| *level >= capacity);
    let never = match last_full {
        None => format!("{name} never gets full:"),
        Some((t, _)) => format!(
            "{name} is never full again after {}:",
            seen.dial().moment(t)
        ),
    };
    let mut says = format!(
        "{never} {}it holds at most {} of {} ({} %), {}, and at least {} ({} %).",
        days.as_ref().map_or(String::new(), |d| format!("{d} ")),
        unit.say_energy(highest.1),
        unit.say_energy(capacity),
        share(highest.1),
        seen.dial().at(highest.0),
        unit.say_energy(lowest),
        share(lowest)
    );
    let mut per_day = false;
    if offs > 0 {
        let of = (seen.to - seen.from).div_ceil(seen.day_ms);
        per_day = of == 1 && days.is_none();
        let of = match (of, days) {
            (1, None) => "a day".into(),
            (1, Some(_)) => "on that day".into(),
            (_, None) => format!("in {of} days"),
            (_, Some(_)) => format!("in these {of} days"),
        };
        says = format!("{says} Its output goes off {} {of}.", times(offs));
    }
    let remedy = match (seen.is_whole(), offs) {
        (false, _) => None,
        (true, 0) => fewer(seen, battery),
        (true, _) => more(seen, battery, offs),
    };
    Some(Finding {
        kind: FindingKind::NeverFull,
        weight: if offs > 0 {
            Weight::Warning
        } else {
            Weight::Hint
        },
        amount: u64::try_from(100 - share(highest.1)).unwrap_or(0) + 100 * offs as u64,
        parts: vec![id.clone()],
        wires: Vec::new(),
        says,
        per_day,
        remedy,
    })
}

/// How often the output goes off from a time to the end of the run.
fn offs(seen: &Simulation, battery: usize, from: Ms) -> usize {
    let inside = |t: Ms| from < t && t <= seen.to;
    let events = seen.journey().record.events.iter();
    events
        .filter(|e| e.place() == battery && e.what == What::OutputOff && inside(e.t))
        .count()
}

fn more(seen: &Simulation, battery: usize, offs_before: usize) -> Option<Remedy> {
    let sources: Vec<usize> = seen
        .upstream(battery)
        .into_iter()
        .filter(|at| matches!(seen.specs[*at], Some(Spec::Source { .. })))
        .collect();
    for n in 1..=MORE {
        for source in &sources {
            let count = seen.plan.parts[*source].count + n;
            let edits = vec![Edit::Count(seen.id(*source).clone(), count)];
            let Some(after) = seen.tried(&edits) else {
                continue;
            };
            if offs(&after, battery, after.from) > 0 || !seen.no_load_loses(&after, &[]) {
                continue;
            }
            let off_first = match offs(&after, battery, 0) {
                0 => String::new(),
                _ => format!(" after day {}", after.from / after.day_ms.max(1)),
            };
            let (name, source) = (seen.name(battery), seen.name(*source));
            return Some(Remedy {
                says: format!(
                    "Having {count} of {source}, the output of {name} no longer goes off{off_first}; now it does {}.",
                    times(offs_before)
                ),
                name: format!("have {count} of {source}"),
                edits,
            });
        }
    }
    None
}

/// The fewest that still keep every duty, with every load running as long.
fn fewer(seen: &Simulation, battery: usize) -> Option<Remedy> {
    let count = seen.plan.parts[battery].count;
    let mut best = None;
    for fewer in (1..count).rev() {
        let edits = vec![Edit::Count(seen.id(battery).clone(), fewer)];
        let Some(after) = seen
            .tried(&edits)
            .filter(|after| seen.every_load_runs_as_long(after))
        else {
            break;
        };
        // Of the whole run: the days before those that repeat may be lower.
        let levels = after.levels_from(battery, 0).into_iter();
        let (at, lowest) = levels.min_by_key(|(t, level)| (*level, *t))?;
        best = Some((fewer, edits, lowest, after.dial().at(at)));
    }
    let (fewer, edits, lowest, at) = best?;
    let name = seen.name(battery);
    Some(Remedy {
        says: format!(
            "{fewer} of {name} instead of {count} would do: every duty kept is kept, every load runs as long, and the lowest level is {}, {at}.",
            seen.plan.book.book.unit.say_energy(lowest)
        ),
        name: format!("have {fewer} of {name}"),
        edits,
    })
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn an_output_that_goes_off_takes_more_sources() {
        let text = r#"{ "parts": { "sun": "sun-panel", "cell": "battery", "heater": "heater" },
            "wires": ["sun.out cell.in", "cell.out heater.in"] }"#;
        assert_eq!(
            told(text, FindingKind::NeverFull),
            [[
                "cell never gets full: on days 3 to 12, which go on repeating, it holds at most 34 u·h of 60 u·h (56 %), on day 11 at 15:59, and at least 3 u·h (4 %). Its output goes off 10 times in these 10 days.",
                "Having 2 of sun, the output of cell no longer goes off; now it does 10 times."
            ]]
        );
        let after = taken(&plan(text), FindingKind::NeverFull);
        assert_eq!(offs(&after, 1, after.from), 0);
    }

    #[test]
    fn a_bank_that_a_charge_contact_holds_low_could_be_smaller() {
        let text = r#"{ "parts": { "gen": "generator", "call": ["charge", { "watches": "cell" }],
                                   "cell": ["battery", {}, 3], "lamp": "lamp" },
            "wires": ["gen.out call.feed", "call.out cell.in", "cell.out lamp.in"],
            "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::NeverFull),
            [[
                "cell never gets full: it holds at most 90 u·h of 180 u·h (50 %), on day 1 at 00:00, and at least 36 u·h (19 %).",
                "1 of cell instead of 3 would do: every duty kept is kept, every load runs as long, and the lowest level is 12 u·h, on day 1 at 09:00."
            ]]
        );
        let after = taken(&plan(text), FindingKind::NeverFull);
        assert!(after.check.is_fine() && after.plan.parts[2].count == 1);
    }

    #[test]
    fn the_lowest_level_told_is_that_of_the_whole_run() {
        let text = r#"{ "parts": { "sun": "sun-panel-large", "bank": ["battery-vault", { "start": 500 }, 40], "lamp": "lamp" },
            "wires": ["sun.out bank.in", "bank.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        let found = told(text, FindingKind::NeverFull);
        let after = taken(&plan(text), FindingKind::NeverFull);
        let record = crate::run::run(&after.plan, after.end / 86_400_000);
        let lowest = record.batteries[&1].level.iter().map(|(_, level)| *level);
        let unit = &after.plan.book.book.unit;
        let said = format!(
            "the lowest level is {}, on day 1",
            unit.say_energy(lowest.min().unwrap())
        );
        assert!(found[0][1].contains(&said), "{said}: {found:?}");
    }

    #[test]
    fn one_that_gets_full_or_is_never_charged_is_none() {
        for text in [
            r#"{ "parts": { "gen": "generator", "cell": "battery", "lamp": "lamp" },
                 "wires": ["gen.out cell.in", "cell.out lamp.in"] }"#,
            r#"{ "parts": { "cell": "battery", "lamp": "lamp" }, "wires": ["cell.out lamp.in"] }"#,
        ] {
            assert!(told(text, FindingKind::NeverFull).is_empty());
        }
    }
}
