//! The values that a setting is found at when somebody set it wrong: nothing, one, a half, the double, ten times; a panel
//! turned by quarters or laid flat. Common slips, no source.
//!
//! Asked are settings of whole numbers, and aims. Durations are not, nor a battery's `start`, which is none of the builder's.

use super::single_fault::value_of;
use crate::book::{PartType, setting};
use crate::limits::{Field, Kind};
use crate::plan::{Part, Plan};
use crate::quantity::number;
use crate::read::Place;

/// The settings of `part` with a wrong value each: in the order of the type's settings, then as the slips above.
pub(super) fn wrong_settings(plan: &Plan, part: &Part) -> Vec<(&'static str, f64)> {
    let Some(kind) = plan.kind_of(part) else {
        return Vec::new();
    };
    let mut wrong: Vec<(&str, f64)> = Vec::new();
    for field in kind.fields() {
        let Some(present) = present(plan, part, field) else {
            continue;
        };
        for value in slips(field, present) {
            let is_new = value != present && !wrong.contains(&(field.key, value));
            if is_new && is_legal(kind, part, field, value) {
                wrong.push((field.key, value));
            }
        }
    }
    wrong
}

/// A setting's present value, where it is a number that can be set wrong.
pub(super) fn present(plan: &Plan, part: &Part, field: &Field) -> Option<f64> {
    let asked = match field.kind {
        Kind::Whole(..) => field.key != "start",
        Kind::Decimal(..) => is_aim(field),
        _ => false,
    };
    // A changeover stays on main from 1 step where nothing is said.
    let own = (field.key == "least").then_some(1.0);
    let written = value_of(plan, &part.id, field.key).and_then(serde_json::Value::as_f64);
    written.or(own).filter(|_| asked)
}

fn is_aim(field: &Field) -> bool {
    matches!(field.key, "azimuth" | "tilt")
}

fn slips(field: &Field, present: f64) -> Vec<f64> {
    match field.key {
        "azimuth" => [90.0, 180.0, 270.0]
            .map(|turn| (present + turn).rem_euclid(360.0))
            .into(),
        "tilt" => vec![0.0],
        _ => vec![
            0.0,
            1.0,
            libm::floor(present / 2.0),
            present * 2.0,
            present * 10.0,
        ],
    }
}

/// Whether a plan with that setting could be read.
fn is_legal(kind: &PartType, part: &Part, field: &Field, value: f64) -> bool {
    let mut faults = Vec::new();
    let (place, value) = (Place::root(field.key), number(value));
    setting::check(field, &value, &place, &mut faults);
    let mut set = part.set.clone();
    set.insert(field.key.into(), value);
    setting::check_order(&set, &kind.set, &place, &mut faults);
    faults.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    fn wrong(part: &str) -> Vec<(String, f64)> {
        let plan = plan(&format!(
            r#"{{ "parts": {{ "cell": "battery", "x": {part} }}, "wires": [] }}"#
        ));
        let found = wrong_settings(&plan, &plan.parts[1]).into_iter();
        found
            .map(|(name, value)| (name.to_string(), value))
            .collect()
    }

    fn values(part: &str) -> Vec<f64> {
        wrong(part).into_iter().map(|(_, value)| value).collect()
    }

    #[test]
    fn whole_numbers_slip_to_nothing_one_a_half_the_double_and_ten_times() {
        assert_eq!(
            values(r#"["tap", { "amount": 5 }]"#),
            [0.0, 1.0, 2.0, 10.0, 50.0]
        );
        // What is doubled or as it is, is left out.
        assert_eq!(values(r#"["tap", { "amount": 1 }]"#), [0.0, 2.0, 10.0]);
        assert_eq!(values(r#"["tap", { "amount": 0 }]"#), [1.0]);
        assert_eq!(values(r#"["tap", { "amount": 2 }]"#), [0.0, 1.0, 4.0, 20.0]);
        // A changeover's own default is 1.
        assert_eq!(values(r#""changeover""#), [0.0, 2.0, 10.0]);
    }

    #[test]
    fn illegal_values_durations_and_the_start_of_a_battery_are_left_out() {
        assert_eq!(
            values(r#"["tap", { "amount": 900000000 }]"#),
            [0.0, 1.0, 450_000_000.0]
        );
        assert!(values(r#"["battery", { "start": 300 }]"#).is_empty());
        assert!(values(r#"["on-delay", { "delay_s": 2.5 }]"#).is_empty());
        // Low stays below high, and neither goes over 1000.
        let charge = wrong(r#"["charge", { "watches": "cell", "low": 300, "high": 500 }]"#);
        let expected = [("low", 0.0), ("low", 1.0), ("low", 150.0), ("high", 1000.0)];
        assert_eq!(
            charge,
            expected.map(|(name, value)| (name.to_string(), value))
        );
    }

    #[test]
    fn a_panel_is_turned_by_quarters_or_laid_flat() {
        let found = wrong(r#"["sun-panel", { "azimuth": 200, "tilt": 35 }]"#);
        let expected = [
            ("azimuth", 290.0),
            ("azimuth", 20.0),
            ("azimuth", 110.0),
            ("tilt", 0.0),
        ];
        assert_eq!(
            found,
            expected.map(|(name, value)| (name.to_string(), value))
        );
        assert_eq!(
            values(r#"["sun-panel", { "azimuth": 0, "tilt": 0 }]"#),
            [90.0, 180.0, 270.0]
        );
        assert!(values(r#""wind-turbine""#).is_empty());
    }
}
