//! A source that spills though no battery behind it is full: because none stands there, or because it takes no more at
//! once. Spilling less than a twentieth of what it could give is not told.

use super::full;
use super::{Finding, FindingKind, Remedy, Simulation, amount, draft, lost_share, smaller};
use crate::net::Weight;
use crate::plan::{Edit, End, Spec};
use crate::quantity::Energy;

/// Of what a source could give, one part in so many may be spilled without a word.
const SHARE: Energy = 20;
/// The most taps and dividers that are tried for one source.
const FREE: usize = 8;

pub fn find(seen: &Simulation, source: usize) -> Option<Finding> {
    let batteries: Vec<usize> = seen
        .downstream(source)
        .into_iter()
        .filter(|at| matches!(seen.specs[*at], Some(Spec::Battery { .. })))
        .collect();
    let (could, gave) = seen.given(source, seen.from, seen.to);
    let mut spilled = could - gave;
    // What is spilled while the nearest battery is full is told of that battery.
    if let Some(battery) = batteries.first() {
        for (from, to) in seen.full(*battery) {
            let (could, gave) = seen.given(source, from, to);
            spilled -= could - gave;
        }
    }
    if spilled * SHARE <= could {
        return None;
    }
    let wire = seen.plan.wire_at(&End::new(seen.id(source), "out"));
    let why = match (&wire, batteries.first()) {
        (None, _) => ": no wire leaves it",
        (_, None) => ": no battery stands behind it",
        (_, Some(_)) => " while the battery behind it is not full",
    };
    let mut says = format!(
        "{} spills {} of the {} that it could give{why}.",
        seen.name(source),
        seen.energy_a_day(spilled),
        seen.energy_a_day(could)
    );
    let remedy = seen.is_whole().then(|| match (wire, batteries.first()) {
        (None, _) => smaller::without(seen, source),
        (_, battery) => free(seen, source)
            .or_else(|| battery.map_or_else(|| store(seen, source), |b| larger(seen, *b)))
            .or_else(|| full::fewer(seen, &[source]))
            .or_else(|| smaller::source(seen, source)),
    });
    if let Some(None) = remedy {
        says = format!("{says} {}", smaller::none(seen));
    }
    Some(Finding {
        kind: FindingKind::Spilled,
        weight: Weight::Hint,
        amount: amount(seen.a_day(spilled)),
        parts: [source]
            .into_iter()
            .chain(batteries)
            .map(|at| seen.id(at).clone())
            .collect(),
        wires: wire.map(|w| w.id.clone()).into_iter().collect(),
        says,
        per_day: true,
        remedy: remedy.flatten(),
    })
}

/// What loads use more a day, where it shows and no load loses.
fn gains(seen: &Simulation, after: &Simulation) -> Option<Energy> {
    let gain = after.a_day(after.used_by_all()) - seen.a_day(seen.used_by_all());
    let shows = gain >= crate::quantity::STEP_MS * 360_000;
    (shows && seen.no_load_loses(after, &[])).then_some(gain)
}

/// Taps behind the source as wide as what is taken of them, and taps in place of dividers: they cost next to nothing.
fn free(seen: &Simulation, source: usize) -> Option<Remedy> {
    let unit = &seen.plan.book.book.unit;
    let mut tries: Vec<(String, Vec<Edit>)> = Vec::new();
    for at in seen.downstream(source) {
        let (id, name) = (seen.id(at), seen.name(at));
        let wires = || seen.plan.wires.iter().enumerate();
        match seen.specs[at] {
            Some(Spec::Tap(width)) => {
                let end = End::new(id, "tap");
                let wire = wires().find(|(_, w)| w.from == end);
                let most = wire.map_or(0, |(w, _)| seen.whole_ledger().wires[w].most_take);
                if 0 < most && most < width {
                    let set = Edit::Set(id.clone(), "amount".into(), Some(most.into()));
                    tries.push((format!("{name} set to {}", unit.say_power(most)), vec![set]));
                }
            }
            Some(Spec::Divider(_)) => {
                let mut own = wires().filter(|(_, w)| w.from.part == *id);
                if own.any(|(w, _)| seen.ledger().wires[w].lost > 0) {
                    tries.extend(lost_share::in_place(seen, at));
                }
            }
            _ => {}
        }
    }
    tries.into_iter().take(FREE).find_map(|(what, edits)| {
        let after = seen.tried(&edits)?;
        let gain = gains(seen, &after)?;
        Some(Remedy {
            says: format!(
                "With {what} loads use {} a day more.",
                unit.say_energy(gain)
            ),
            name: format!("have {what}"),
            edits,
        })
    })
}

/// A battery in the source's wire: of those that help, the one that costs least.
fn store(seen: &Simulation, source: usize) -> Option<Remedy> {
    let mut kinds: Vec<_> = seen
        .plan
        .book
        .book
        .types
        .iter()
        .filter(|t| t.behaviour.name() == "battery")
        .collect();
    kinds.sort_by_key(|t| draft::cost(t));
    let id = seen.id(source);
    let end = seen.plan.wire_at(&End::new(id, "out"))?.to.clone();
    for kind in kinds {
        let edits = seen.drafted(|draft| {
            let battery = draft.add(&kind.name, id, &[])?;
            draft.put_into(&end, &battery, "in", "out")
        });
        let Some(edits) = edits else { continue };
        let Some(after) = seen.tried(&edits) else {
            continue;
        };
        if let Some(gain) = gains(seen, &after) {
            let (label, name) = (kind.label.to_lowercase(), seen.name(source));
            return Some(Remedy {
                says: format!(
                    "With a {label} behind {name} loads use {} a day more.",
                    seen.plan.book.book.unit.say_energy(gain)
                ),
                name: format!("put a {label} behind {name}"),
                edits,
            });
        }
    }
    None
}

/// One battery more, which takes more at once.
fn larger(seen: &Simulation, battery: usize) -> Option<Remedy> {
    let count = seen.plan.parts[battery].count + 1;
    let edits = vec![Edit::Count(seen.id(battery).clone(), count)];
    let after = seen.tried(&edits)?;
    let gain = gains(seen, &after)?;
    let name = seen.name(battery);
    Some(Remedy {
        says: format!(
            "One more, {count} of {name}, takes more at once, and loads use {} a day more.",
            seen.plan.book.book.unit.say_energy(gain)
        ),
        name: format!("have {count} of {name}"),
        edits,
    })
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_battery_behind_a_panel_carries_the_heater_into_the_night() {
        let text = r#"{ "parts": { "sun": "sun-panel-large", "heater": "heater" }, "wires": ["sun.out heater.in"] }"#;
        assert_eq!(
            told(text, FindingKind::Spilled),
            [[
                "sun spills 101.7 u·h a day of the 131.7 u·h a day that it could give: no battery stands behind it.",
                "With a battery cell behind sun loads use 20.2 u·h a day more."
            ]]
        );
        let (before, after) = (
            Simulation::new(&plan(text)),
            taken(&plan(text), FindingKind::Spilled),
        );
        assert!(after.a_day(after.used(1)) > before.a_day(before.used(1)));
    }

    #[test]
    fn a_generator_that_nothing_could_use_more_of_may_be_smaller() {
        let text =
            r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"] }"#;
        assert_eq!(
            told(text, FindingKind::Spilled),
            [[
                "gen spills 432 u·h a day of the 480 u·h a day that it could give: no battery stands behind it.",
                "A hand-started generator in place of gen would do: every duty kept is kept, no load uses less, and 192 u·h a day is spilled instead of 432 u·h."
            ]]
        );
    }

    #[test]
    fn where_no_change_helps_that_is_said_and_one_without_a_wire_is_to_go() {
        let text = r#"{ "parts": { "hand": "hand-generator", "lamp": "lamp", "spare": "generator" },
            "wires": ["hand.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::Spilled),
            [
                [
                    "spare spills 480 u·h a day of the 480 u·h a day that it could give: no wire leaves it.",
                    "Without spare every duty kept is kept, no load uses less, and 480 u·h a day less is spilled."
                ],
                [
                    "hand spills 192 u·h a day of the 240 u·h a day that it could give: no battery stands behind it. None of the changes tried spills less.",
                    ""
                ]
            ]
        );
    }

    #[test]
    fn a_narrower_tap_goes_before_a_battery_and_nothing_is_made_smaller_while_a_duty_is_broken() {
        let text = r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 15 }], "lantern": "lantern", "bench": "workbench" },
            "wires": ["gen.out tap.in", "tap.tap lantern.in", "tap.rest bench.in"],
            "duties": [{ "part": "bench", "when": "always" }] }"#;
        let found = told(text, FindingKind::Spilled);
        assert_eq!(
            found[0][1],
            "With tap set to 1 u loads use 192 u·h a day more."
        );
        let text = r#"{ "parts": { "gen": "generator", "door": "switch", "lamp": "lamp" },
            "wires": ["gen.out door.feed", "door.out lamp.in"], "duties": [{ "part": "lamp", "when": "always" }] }"#;
        let found = told(text, FindingKind::Spilled);
        assert!(
            found[0][0].ends_with("A smaller source is tried once every duty is kept."),
            "{found:?}"
        );
    }

    #[test]
    fn a_source_of_which_all_is_taken_is_none() {
        let text = r#"{ "parts": { "gen": "hand-generator", "bench": "workbench", "lamp": "lamp" },
            "wires": ["gen.out bench.in", "bench.loop lamp.in"] }"#;
        assert!(told(text, FindingKind::Spilled).is_empty());
    }
}
