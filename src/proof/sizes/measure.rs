//! What is least: parts, or what they are built of.
//!
//! A combination's worth is the pair of its cost and its number of parts, compared in this order, so that of two that
//! cost the same the one with fewer parts is less; where parts are counted the cost is left out.

use crate::plan::{Part, Plan};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What is to be least.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Measure {
    /// How many sources and batteries there are, each unit of a bank counted.
    Parts,
    /// What they cost: the sum over the book's materials of amount times weight. A material without a weight weighs 1.
    Cost(BTreeMap<String, u64>),
}

/// What a combination is worth.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Worth {
    /// What it costs; 0 where only parts are counted.
    pub cost: u128,
    /// How many sources and batteries it has.
    pub parts: u128,
}

impl Worth {
    /// `count` of it.
    pub(super) fn times(self, count: u64) -> Worth {
        Worth {
            cost: self.cost.saturating_mul(u128::from(count)),
            parts: self.parts.saturating_mul(u128::from(count)),
        }
    }

    /// Both together.
    pub(super) fn plus(self, other: Worth) -> Worth {
        Worth {
            cost: self.cost.saturating_add(other.cost),
            parts: self.parts.saturating_add(other.parts),
        }
    }

    /// The largest count up to `most` with which `from` and `count` of `unit` together are worth less than `self`.
    pub(super) fn room(self, from: Worth, unit: Worth, most: u64) -> u64 {
        let (mut low, mut high) = (0, most);
        while low < high {
            let middle = low + (high - low).div_ceil(2);
            if from.plus(unit.times(middle)) < self {
                low = middle;
            } else {
                high = middle - 1;
            }
        }
        low
    }
}

impl Measure {
    /// What one unit of the bank `part` is worth.
    pub(super) fn unit(&self, plan: &Plan, part: &Part) -> Worth {
        let cost = match self {
            Measure::Parts => 0,
            Measure::Cost(weights) => plan.kind_of(part).map_or(0, |kind| {
                let weight = |material: &str| weights.get(material).copied().unwrap_or(1);
                kind.cost
                    .iter()
                    .map(|(material, amount)| u128::from(*amount) * u128::from(weight(material)))
                    .fold(0, u128::saturating_add)
            }),
        };
        Worth { cost, parts: 1 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn a_unit_is_worth_its_materials_by_weight() {
        let plan = plan(r#"{"parts": {"a": "battery-cell"}, "wires": []}"#);
        let unit = |measure: &Measure| measure.unit(&plan, &plan.parts[0]);
        assert_eq!(unit(&Measure::Parts), Worth { cost: 0, parts: 1 });
        // Resin 1, copper 1, salt cells 1.
        assert_eq!(unit(&Measure::Cost(BTreeMap::new())).cost, 3);
        let weights = BTreeMap::from([("copper".to_string(), 10), ("resin".to_string(), 0)]);
        assert_eq!(unit(&Measure::Cost(weights)).cost, 11);
    }

    #[test]
    fn room_is_what_stays_below() {
        let worth = |cost, parts| Worth { cost, parts };
        assert_eq!(worth(10, 0).room(worth(1, 1), worth(3, 1), 100), 2);
        assert_eq!(worth(10, 9).room(worth(1, 1), worth(3, 1), 100), 3);
        assert_eq!(worth(10, 9).room(worth(11, 1), worth(3, 1), 100), 0);
        assert_eq!(worth(1, 9).room(worth(1, 1), worth(0, 1), 5), 5);
    }
}
