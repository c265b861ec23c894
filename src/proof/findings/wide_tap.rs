//! A tap that sets more aside than is ever taken of it.

use super::{Finding, FindingKind, Remedy, Simulation, amount};
use crate::net::Weight;
use crate::plan::{Edit, End, Spec};
use crate::quantity::{Energy, STEP_MS};
use serde_json::Value;

pub fn find(seen: &Simulation, tap: usize) -> Option<Finding> {
    let Some(Spec::Tap(width)) = seen.specs[tap] else {
        return None;
    };
    let id = seen.id(tap);
    let wire = seen.plan.wire_at(&End::new(id, "tap"))?;
    let at = seen.plan.wires.iter().position(|w| w.id == wire.id)?;
    let carried = seen.whole_ledger().wires[at];
    // A tap of which nothing is taken at all may wait for something that this run does not show.
    if carried.most_take == 0 || carried.most_take >= width || carried.most_offer == 0 {
        return None;
    }
    let unit = &seen.plan.book.book.unit;
    let says = format!(
        "{} sets {} aside for {}, and never more than {} of it is taken: {} too many.",
        seen.name(tap),
        unit.say_power(width),
        seen.plan.called(&wire.to.part),
        unit.say_power(carried.most_take),
        unit.say_power(width - carried.most_take)
    );
    let remedy = if seen.is_whole() {
        narrower(seen, tap, carried.most_take)
    } else {
        None
    };
    let day = Energy::from(seen.day_ms);
    Some(Finding {
        kind: FindingKind::WideTap,
        weight: Weight::Hint,
        amount: amount(Energy::from(width - carried.most_take) * day * STEP_MS),
        parts: vec![id.clone(), wire.to.part.clone()],
        wires: vec![wire.id.clone()],
        says,
        per_day: false,
        remedy,
    })
}

/// The tap set to what is taken at the most.
pub fn narrower(seen: &Simulation, tap: usize, width: u64) -> Option<Remedy> {
    let id = seen.id(tap);
    let edits = vec![Edit::Set(
        id.clone(),
        "amount".into(),
        Some(Value::from(width)),
    )];
    let after = seen.tried(&edits)?;
    let unit = &seen.plan.book.book.unit;
    let (name, width) = (seen.name(tap), unit.say_power(width));
    let gain = after.a_day(after.used_by_all()) - seen.a_day(seen.used_by_all());
    let more = if gain >= STEP_MS * 360_000 && seen.no_load_loses(&after, &[]) {
        format!("and loads use {} a day more", unit.say_energy(gain))
    } else if seen.every_load_runs_as_long(&after) {
        "and every load runs as long as now".into()
    } else {
        return None;
    };
    Some(Remedy {
        says: format!("Set to {width}, {name} gives all that is taken of it, {more}."),
        name: format!("set {name} to {width}"),
        edits,
    })
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_tap_of_five_for_a_lamp_of_two() {
        let text = r#"{ "parts": { "gen": "hand-generator", "tap": ["tap", { "amount": 5 }], "lamp": "lamp", "bench": "workbench" },
            "wires": ["gen.out tap.in", "tap.tap lamp.in", "tap.rest bench.in"] }"#;
        assert_eq!(
            told(text, FindingKind::WideTap),
            [[
                "tap sets 5 u aside for lamp, and never more than 2 u of it is taken: 3 u too many.",
                "Set to 2 u, tap gives all that is taken of it, and loads use 192 u·h a day more."
            ]]
        );
        let after = taken(&plan(text), FindingKind::WideTap);
        assert_eq!(after.specs[1], Some(Spec::Tap(2)));
        assert!(after.used(3) > 0, "the workbench runs at last");
    }

    #[test]
    fn a_tap_that_is_just_as_wide_or_that_feeds_nothing_yet_is_none() {
        for text in [
            r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 2 }], "lamp": "lamp" },
                 "wires": ["gen.out tap.in", "tap.tap lamp.in"] }"#,
            r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 5 }], "door": "switch", "lamp": "lamp" },
                 "wires": ["gen.out tap.in", "tap.tap door.feed", "door.out lamp.in"] }"#,
        ] {
            assert!(told(text, FindingKind::WideTap).is_empty());
        }
    }
}
