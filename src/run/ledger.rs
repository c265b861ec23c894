//! What every wire carries over a stretch of a run, added up. Powers in steps, times in milliseconds, energies exact.
//!
//! It goes through the run's events once; between two of them everything is constant, so that sums are exact. It keeps
//! no course of time: that is what a record is for.

use super::{Engine, Stop};
use crate::net::unused_shares;
use crate::plan::Plan;
use crate::quantity::{Energy, Ms, STEP_MS};
use std::collections::BTreeMap;

/// What one wire carried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Carried {
    /// What was offered.
    pub offered: Energy,
    /// What was taken.
    pub taken: Energy,
    /// The most that was offered at any time.
    pub most_offer: u64,
    /// The most that was taken at any time.
    pub most_take: u64,
    /// How long a share on it was lost, or some of it: offered, not taken, and wanted behind another output.
    pub lost_for: Ms,
    /// What was lost of it.
    pub lost: Energy,
}

/// What all wires carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ledger {
    /// The wires, in the plan's order.
    pub wires: Vec<Carried>,
    /// By the place of a wire and of a part that could have used what was lost of it: what the part, if a load, went
    /// short of meanwhile or, if a battery, could have taken of it.
    pub short: BTreeMap<(usize, usize), Energy>,
}

/// Adds up what the wires carry from `from` to `to` (milliseconds since midnight of day 1).
pub fn ledger(plan: &Plan, from: Ms, to: Ms) -> Ledger {
    let mut engine = Engine::new(plan);
    let mut ledger = Ledger {
        wires: vec![Carried::default(); plan.wires.len()],
        short: BTreeMap::new(),
    };
    let mut t = from;
    let mut stop = engine.advance(from.saturating_add(1));
    while t < to && stop != Stop::TooManyEvents {
        let now = engine.flows_now();
        stop = engine.advance_some(to, 1);
        // Nothing more before the end: what flows now flows until then.
        let next = if engine.now() > t { engine.now() } else { to };
        ledger.add(&now, next - t);
        t = next;
    }
    ledger
}

/// An instant's flow, by wire: offer and take; and the shares that are lost.
struct Now {
    flows: Vec<(u64, u64)>,
    lost: Vec<crate::net::UnusedShare>,
}

impl Engine {
    fn flows_now(&self) -> Now {
        let flows = self.live.offer.iter().copied();
        Now {
            flows: flows.zip(self.live.take.iter().copied()).collect(),
            lost: unused_shares(&self.net, &self.live, &self.controls),
        }
    }
}

impl Ledger {
    fn add(&mut self, now: &Now, time: Ms) {
        let energy = |steps: u64| Energy::from(steps) * Energy::from(time) * STEP_MS;
        for (wire, (offer, take)) in self.wires.iter_mut().zip(&now.flows) {
            wire.offered += energy(*offer);
            wire.taken += energy(*take);
            wire.most_offer = wire.most_offer.max(*offer);
            wire.most_take = wire.most_take.max(*take);
        }
        for share in &now.lost {
            let wire = &mut self.wires[share.wire];
            wire.lost_for += time;
            wire.lost += energy(share.lost);
            *self.short.entry((share.wire, share.user)).or_default() += energy(share.short);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::quantity::HOUR_MS;

    #[test]
    fn what_a_wire_carries_is_its_load_s_energy_and_lost_shares_are_told() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 4 }], "door": ["switch", { "schedule": [["06:00", true], ["18:00", false]] }],
                            "lamp": "lamp", "cell": ["battery", { "start": 0 }] },
                 "wires": ["gen.out tap.in", "tap.tap door.feed", "door.out lamp.in", "tap.rest cell.in"] }"#,
        );
        let ledger = ledger(&plan, 0, 24 * HOUR_MS);
        let hour = Energy::from(HOUR_MS) * STEP_MS;
        let share = ledger.wires[1];
        assert_eq!(
            (share.taken, share.most_offer, share.most_take),
            (24 * hour, 4, 2)
        );
        // The battery is full after 60 / (16 · 0.9) h = 4 h 10 min and wants nothing after that.
        assert_eq!(share.lost_for, 15_000_000);
        assert_eq!(share.lost, 4 * Energy::from(15_000_000u64) * STEP_MS);
        // It takes 16 of the 20 anyhow, and could have taken 4 more.
        assert_eq!(ledger.short[&(1, 4)], share.lost);
        let lamp = &crate::run::run(&plan, 1).loads[&3];
        assert_eq!(ledger.wires[2].taken, lamp.energy);
    }
}
