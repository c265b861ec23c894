//! Settings that may change besides the counts: the aims of sun panels on a grid, the amounts of taps in whole steps.
//!
//! They cost nothing, so what is found is least for the settings tried and no others. The present setting is always one
//! of them, and the first. Angles in degrees, amounts in steps.

use crate::book::{Behaviour, Profile};
use crate::net::Net;
use crate::plan::{Part, PartId, Plan, Spec};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeSet;

/// The most amounts of one tap that are tried.
pub const MOST_AMOUNTS: u64 = 100;

/// A setting of a part.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Setting {
    /// Where a panel faces and how it is tilted.
    Aim(f64, f64),
    /// What a tap sets aside.
    Amount(u64),
}

/// The grid of aims: every so many degrees of direction, from north on, and of tilt, from flat to upright.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Grid {
    /// Degrees between two directions, 1 to 180.
    pub directions: u64,
    /// Degrees between two tilts, 1 to 90.
    pub tilts: u64,
}

impl Default for Grid {
    fn default() -> Grid {
        Grid {
            directions: 45,
            tilts: 30,
        }
    }
}

/// A part with the settings that are tried for it, the present one first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tried {
    /// The part.
    pub part: PartId,
    /// The settings.
    pub settings: Vec<Setting>,
}

fn number(plan: &Plan, part: &Part, key: &str) -> f64 {
    let book = || plan.kind_of(part).and_then(|t| t.set.get(key));
    let value = part.set.get(key).or_else(book);
    value.and_then(Value::as_f64).unwrap_or(0.0)
}

/// The settings of the sun panels on the grid.
pub(super) fn aims(plan: &Plan, grid: Grid) -> Vec<Tried> {
    let step = |degrees: u64, most: u64| degrees.clamp(1, most) as usize;
    let is_panel = |p: &&Part| {
        matches!(
            plan.kind_of(p).map(|t| &t.behaviour),
            Some(Behaviour::Source {
                profile: Profile::Sun,
                ..
            })
        )
    };
    let panels = plan.parts.iter().filter(is_panel);
    let tried = |part: &Part| {
        let present = (number(plan, part, "azimuth"), number(plan, part, "tilt"));
        let mut settings = vec![Setting::Aim(present.0, present.1)];
        for tilt in (0..=90).step_by(step(grid.tilts, 90)) {
            for azimuth in (0..360).step_by(step(grid.directions, 180)) {
                // A flat panel has no direction.
                let aim = (f64::from(azimuth), f64::from(tilt));
                let flat = tilt == 0 && (azimuth > 0 || present.1 == 0.0);
                if !flat && aim != present {
                    settings.push(Setting::Aim(aim.0, aim.1));
                }
            }
        }
        Tried {
            part: part.id.clone(),
            settings,
        }
    };
    panels.map(tried).collect()
}

/// The amounts of the taps: from 0 to what all that hangs on the tap can take together, at most [`MOST_AMOUNTS`].
pub(super) fn amounts(plan: &Plan) -> Vec<Tried> {
    let net = Net::compile(plan);
    let mut found = Vec::new();
    for (place, part) in plan.parts.iter().enumerate() {
        let Some(Spec::Tap(present)) = net.nodes[place].spec else {
            continue;
        };
        let mut settings = vec![Setting::Amount(present)];
        let most = hangs_on(&net, place).min(MOST_AMOUNTS);
        settings.extend((0..=most).filter(|a| *a != present).map(Setting::Amount));
        found.push(Tried {
            part: part.id.clone(),
            settings,
        });
    }
    found
}

/// What all that hangs on a tap can take together.
fn hangs_on(net: &Net, tap: usize) -> u64 {
    let mut todo = vec![net.nodes[tap].outs[0]];
    let mut seen = BTreeSet::new();
    let mut sum = 0u64;
    while let Some(slot) = todo.pop() {
        let Some(wire) = slot.filter(|w| seen.insert(*w)) else {
            continue;
        };
        let ends = net.wires[wire];
        if ends.closed {
            continue;
        }
        let node = &net.nodes[net.part_of[ends.to]];
        let takes = match &node.spec {
            Some(Spec::Contact { coil, .. }) if ends.signal => *coil,
            Some(Spec::Load { draw, .. }) => *draw,
            Some(Spec::Battery { max_in, .. }) => *max_in,
            _ => 0,
        };
        sum = sum.saturating_add(takes);
        if !ends.signal && !matches!(node.spec, Some(Spec::Battery { .. })) {
            todo.extend(node.outs.iter().copied());
        }
    }
    sum
}

/// Gives `part` a setting.
pub(super) fn put(part: &mut Part, setting: Setting) {
    for (key, value) in entries(setting) {
        part.set.insert(key.into(), value);
    }
}

/// A setting by its names in a file.
pub(super) fn entries(setting: Setting) -> Vec<(&'static str, Value)> {
    let degrees = |value: f64| {
        // Whole degrees are written as people write them.
        if value.fract() == 0.0 && value.abs() < 1e6 {
            Value::from(value as i64)
        } else {
            Value::from(value)
        }
    };
    match setting {
        Setting::Aim(azimuth, tilt) => vec![("azimuth", degrees(azimuth)), ("tilt", degrees(tilt))],
        Setting::Amount(amount) => vec![("amount", Value::from(amount))],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn the_present_setting_is_first_and_no_aim_is_tried_twice() {
        let plan = plan(
            r#"{"parts": {"a": ["sun-panel", {"azimuth": 180, "tilt": 30}], "b": ["sun-panel", {"tilt": 0}], "c": "generator"},
                "wires": []}"#,
        );
        let tried = aims(
            &plan,
            Grid {
                directions: 90,
                tilts: 30,
            },
        );
        assert_eq!(tried.len(), 2);
        assert_eq!(tried[0].settings[0], Setting::Aim(180.0, 30.0));
        // Three tilts in four directions, and flat once.
        assert_eq!(tried[0].settings.len(), 13);
        assert_eq!(tried[1].settings[0], Setting::Aim(180.0, 0.0));
        assert_eq!(tried[1].settings.len(), 13);
    }

    #[test]
    fn amounts_go_to_what_hangs_on_the_tap() {
        let plan = plan(
            r#"{"parts": {"a": "generator", "b": ["tap", {"amount": 9}], "c": "lamp", "d": "relay"},
                "wires": ["a.out b.in", "b.tap c.in", "c.loop d.coil"]}"#,
        );
        let amounts: Vec<u64> = amounts(&plan)[0]
            .settings
            .iter()
            .map(|s| match s {
                Setting::Amount(a) => *a,
                Setting::Aim(..) => unreachable!(),
            })
            .collect();
        assert_eq!(amounts, [9, 0, 1, 2, 3]);
    }
}
