//! A battery that is full while sources ahead of it spill: how long, how much, and how much of it a second battery
//! would save for loads; where it would save nothing, whether fewer sources would do.

use super::{Finding, FindingKind, Remedy, Simulation, amount, smaller};
use crate::net::Weight;
use crate::net::words::{ids, names};
use crate::plan::{Edit, Spec};
use crate::quantity::Energy;

pub fn find(seen: &Simulation, battery: usize) -> Option<Finding> {
    let full = seen.full(battery);
    let long: u64 = full.iter().map(|(a, b)| b - a).sum();
    let sources: Vec<usize> = seen
        .upstream(battery)
        .into_iter()
        .filter(|at| matches!(seen.specs[*at], Some(Spec::Source { .. })))
        .collect();
    let spilled = |at: usize| -> Energy {
        let one = |(from, to): &(u64, u64)| {
            let (could, gave) = seen.given(at, *from, *to);
            could - gave
        };
        full.iter().map(one).sum()
    };
    let spills: Vec<usize> = sources
        .iter()
        .copied()
        .filter(|at| spilled(*at) > 0)
        .collect();
    let all: Energy = spills.iter().map(|at| spilled(*at)).sum();
    if long == 0 || all == 0 {
        return None;
    }
    let mut says = format!(
        "{} is full for {}, and meanwhile {} of what {} could give is spilled.",
        seen.name(battery),
        seen.time_a_day(long),
        seen.energy_a_day(all),
        names(&seen.plan, &ids(&seen.plan, &spills))
    );
    let mut remedy = None;
    if seen.is_whole() {
        let (saved, second) = second(seen, battery);
        remedy = second;
        if saved.is_some_and(|saved| saved <= 0) {
            says = format!(
                "{says} A second one would not help: the loads would use no more than now."
            );
        }
        if remedy.is_none() && saved.is_none_or(|saved| saved <= 0) {
            remedy = fewer(seen, &spills);
        }
        remedy = remedy.or_else(|| spills.iter().find_map(|at| smaller::source(seen, *at)));
        if remedy.is_none() {
            says = format!("{says} {}", smaller::none(seen));
        }
    }
    let id = |at: usize| seen.id(at).clone();
    Some(Finding {
        kind: FindingKind::Full,
        weight: Weight::Hint,
        amount: amount(seen.a_day(all)),
        parts: [battery].into_iter().chain(spills).map(id).collect(),
        wires: Vec::new(),
        says,
        per_day: true,
        remedy,
    })
}

/// One battery more: what loads use more a day, unless it breaks a duty or can't be had.
fn second(seen: &Simulation, battery: usize) -> (Option<Energy>, Option<Remedy>) {
    let count = seen.plan.parts[battery].count + 1;
    let edits = vec![Edit::Count(seen.id(battery).clone(), count)];
    let Some(after) = seen.tried(&edits) else {
        return (None, None);
    };
    let saved = after.a_day(after.used_by_all()) - seen.a_day(seen.used_by_all());
    // Less than what is shown as a tenth is nothing that one would build for.
    if saved < crate::quantity::STEP_MS * 360_000 || !seen.no_load_loses(&after, &[]) {
        return (Some(saved), None);
    }
    let name = seen.name(battery);
    let remedy = Remedy {
        says: format!(
            "With one more, {count} of {name}, loads use {} a day more.",
            seen.plan.book.book.unit.say_energy(saved)
        ),
        name: format!("have {count} of {name}"),
        edits,
    };
    (Some(saved), Some(remedy))
}

/// One source fewer, where every duty kept is kept and every load runs as long.
pub fn fewer(seen: &Simulation, sources: &[usize]) -> Option<Remedy> {
    let spilled = |s: &Simulation| -> Energy {
        let all = (0..s.plan.parts.len()).map(|at| s.spilled(at)).sum();
        s.a_day(all)
    };
    for source in sources {
        let count = seen.plan.parts[*source].count;
        if count < 2 {
            continue;
        }
        let edits = vec![Edit::Count(seen.id(*source).clone(), count - 1)];
        let Some(after) = seen
            .tried(&edits)
            .filter(|after| seen.every_load_runs_as_long(after))
        else {
            continue;
        };
        let name = seen.name(*source);
        let unit = &seen.plan.book.book.unit;
        return Some(Remedy {
            says: format!(
                "{} of {name} instead of {count} would do: every duty kept is kept, every load runs as long, and {} a day \
                 is spilled instead of {}.",
                count - 1,
                unit.say_energy(spilled(&after)),
                unit.say_energy(spilled(seen))
            ),
            name: format!("have {} of {name}", count - 1),
            edits,
        });
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_second_battery_saves_what_loads_can_use() {
        let text = r#"{ "parts": { "sun": "sun-panel", "cell": "battery-cell", "lamp": "lamp" },
            "wires": ["sun.out cell.in", "cell.out lamp.in"] }"#;
        assert_eq!(
            told(text, FindingKind::Full),
            [[
                "cell is full for 2 h 32 min a day, and meanwhile 6.3 u·h a day of what sun could give is spilled. Figures a day are those of day 2, which goes on repeating.",
                "With one more, 2 of cell, loads use 9.2 u·h a day more."
            ]]
        );
        let (before, after) = (
            Simulation::new(&plan(text)),
            taken(&plan(text), FindingKind::Full),
        );
        assert!(after.a_day(after.used(2)) > before.a_day(before.used(2)));
    }

    #[test]
    fn where_it_saves_nothing_fewer_sources_may_do() {
        let text = r#"{ "parts": { "sun": ["sun-panel", {}, 3], "cell": "battery", "lamp": "lamp" },
            "wires": ["sun.out cell.in", "cell.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::Full),
            [[
                "cell is full for 7 h 25 min a day, and meanwhile 128.7 u·h a day of what sun could give is spilled. A second one would not help: the loads would use no more than now. Figures a day are those of day 2, which goes on repeating.",
                "2 of sun instead of 3 would do: every duty kept is kept, every load runs as long, and 67.4 u·h a day is spilled instead of 129.2 u·h."
            ]]
        );
        assert!(taken(&plan(text), FindingKind::Full).check.is_fine());
    }

    #[test]
    fn one_that_never_gets_full_or_that_takes_all_is_none() {
        let text = r#"{ "parts": { "sun": "sun-panel", "cell": "battery", "heater": "heater" },
            "wires": ["sun.out cell.in", "cell.out heater.in"] }"#;
        assert!(told(text, FindingKind::Full).is_empty());
    }
}
