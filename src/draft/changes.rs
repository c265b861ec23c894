//! Changes of one demand of an order, the smallest first, each with the order as it then is.

use super::asked::DraftDemand;
use super::order::{DraftOrder, WantedDuty};
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// A changed order.
pub(super) struct ChangedOrder {
    /// What is changed: `may.battery`.
    pub change: String,
    /// To what.
    pub to: Value,
    /// The order then.
    pub order: DraftOrder,
}

/// How many more of a type are tried.
const MORE_PARTS: [u64; 12] = [1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64];
/// How much more of a material is tried.
const MORE_MATERIAL: [u64; 14] = [1, 2, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 256];
/// Graces that are tried, in seconds.
const GRACES: [u64; 6] = [300, 600, 1200, 1800, 3600, 7200];
/// Shares of the hours asked that are tried.
const SHARES: [f64; 5] = [0.9, 0.75, 0.5, 0.25, 0.0];

/// The changes of a demand that are tried.
pub(super) fn changes(demand: &DraftDemand, order: &DraftOrder) -> Vec<ChangedOrder> {
    let path = demand.path();
    let one = |to: Value, made: &dyn Fn(&mut DraftOrder)| changed(order, &path, to, made);
    match demand {
        DraftDemand::May(kind) => {
            let known = order.may.as_ref().and_then(|may| may.get(kind));
            let now = known.copied().flatten().unwrap_or(0);
            let most = MORE_PARTS.iter().map(|more| now.saturating_add(*more));
            most.map(|most| {
                one(json!(most), &|order| {
                    if let Some(may) = &mut order.may {
                        may.insert(kind.clone(), Some(most));
                    }
                })
            })
            .collect()
        }
        DraftDemand::Duty(want) => duty_changes(*want, order, &path),
        DraftDemand::Stage => {
            let stages = order.book.book.types.iter().map(|kind| kind.stage);
            let stages: BTreeSet<u64> = stages.filter(|s| Some(*s) > order.stage).collect();
            let stages = stages.into_iter();
            stages
                .map(|stage| one(json!(stage), &|order| order.stage = Some(stage)))
                .collect()
        }
        DraftDemand::Material(name) => {
            let now = order.materials.get(name).copied().unwrap_or(0);
            let amounts = MORE_MATERIAL.iter().map(|more| now.saturating_add(*more));
            amounts
                .map(|there| {
                    one(json!(there), &|order| {
                        order.materials.insert(name.clone(), there);
                    })
                })
                .collect()
        }
        DraftDemand::DullDays => (0..order.keeps.dull_days)
            .rev()
            .map(|days| one(json!(days), &|order| order.keeps.dull_days = days))
            .collect(),
        DraftDemand::Hours => SHARES
            .iter()
            .map(|share| libm::floor(order.keeps.hours * share))
            .map(|hours| one(json!(hours), &|order| order.keeps.hours = hours))
            .collect(),
        DraftDemand::Losses => vec![one(json!([]), &|order| order.keeps.losses.clear())],
        DraftDemand::Reach => vec![one(json!([]), &|order| order.keeps.reach.clear())],
        DraftDemand::Switch => vec![one(Value::Null, &|order| order.switch = None)],
    }
}

/// The order with something made of it.
fn changed(
    order: &DraftOrder,
    change: &str,
    to: Value,
    made: &dyn Fn(&mut DraftOrder),
) -> ChangedOrder {
    let mut order = order.clone();
    made(&mut order);
    ChangedOrder {
        change: change.into(),
        to,
        order,
    }
}

/// A longer grace, and a load that may run on.
fn duty_changes(want: usize, order: &DraftOrder, path: &str) -> Vec<ChangedOrder> {
    let Some(duty) = order.wants[want].duty else {
        return Vec::new();
    };
    let with = |field: &str, to: Value, duty: WantedDuty| {
        let change = format!("{path}.{field}");
        changed(order, &change, to, &|order| {
            order.wants[want].duty = Some(duty)
        })
    };
    let longer = GRACES.iter().filter(|grace| **grace as f64 > duty.grace_s);
    let mut found: Vec<ChangedOrder> = longer
        .map(|grace| {
            let grace_s = *grace as f64;
            with("grace_s", json!(grace), WantedDuty { grace_s, ..duty })
        })
        .collect();
    if duty.only {
        found.push(with(
            "only",
            json!(false),
            WantedDuty {
                only: false,
                ..duty
            },
        ));
    }
    found
}
