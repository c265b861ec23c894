//! What every wire carries over a stretch of a run, added up. Powers in steps, times in milliseconds, energies exact.
//!
//! It goes through the run's events once; between two of them everything is constant, so that sums are exact. It keeps
//! no course of time: that is what a record is for.

use super::{Engine, Stop};
use crate::net::lost_shares;
use crate::plan::Plan;
use crate::quantity::{Energy, Ms, STEP_MS};
use std::collections::BTreeMap;

/// What one wire carried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Carried {
    /// What was taken.
    pub taken: Energy,
    /// The most that was offered at any time.
    pub most_offer: u64,
    /// The most that was taken at any time.
    pub most_take: u64,
    /// How long a share on it was lost: offered, not taken, and wanted behind another output.
    pub lost_for: Ms,
    /// The lost share.
    pub lost: Energy,
    /// The part, by its place in the plan, that could have used it for the longest time; of several the first.
    pub user: Option<usize>,
}

/// What all wires carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ledger {
    /// The wires, in the plan's order.
    pub wires: Vec<Carried>,
}

/// Adds up what the wires carry from `from` to `to` (milliseconds since midnight of day 1).
pub fn ledger(plan: &Plan, from: Ms, to: Ms) -> Ledger {
    let mut engine = Engine::new(plan);
    let mut ledger = Ledger {
        wires: vec![Carried::default(); plan.wires.len()],
    };
    let mut wanted = Wanted::new();
    let mut t = from;
    let mut stop = engine.advance(from.saturating_add(1));
    while t < to && stop != Stop::TooManyEvents {
        let now = engine.flows_now();
        stop = engine.advance_some(to, 1);
        // Nothing more before the end: what flows now flows until then.
        let next = if engine.now() > t { engine.now() } else { to };
        ledger.add(&now, next - t, &mut wanted);
        t = next;
    }
    ledger.name_users(&wanted);
    ledger
}

/// How long each part could have used what was lost on a wire, by wire and part.
type Wanted = BTreeMap<(usize, usize), Ms>;

/// An instant's flow, by wire: offer and take; and the shares that are lost.
struct Now {
    flows: Vec<(u64, u64)>,
    lost: Vec<crate::net::LostShare>,
}

impl Engine {
    fn flows_now(&self) -> Now {
        let flows = self.live.offer.iter().copied();
        Now {
            flows: flows.zip(self.live.take.iter().copied()).collect(),
            lost: lost_shares(&self.net, &self.live, &self.controls),
        }
    }
}

impl Ledger {
    fn add(&mut self, now: &Now, time: Ms, wanted: &mut Wanted) {
        let energy = |steps: u64| Energy::from(steps) * Energy::from(time) * STEP_MS;
        for (wire, (offer, take)) in self.wires.iter_mut().zip(&now.flows) {
            wire.taken += energy(*take);
            wire.most_offer = wire.most_offer.max(*offer);
            wire.most_take = wire.most_take.max(*take);
        }
        for share in &now.lost {
            let wire = &mut self.wires[share.wire];
            wire.lost_for += time;
            wire.lost += energy(share.lost);
            *wanted.entry((share.wire, share.user)).or_default() += time;
        }
    }

    fn name_users(&mut self, wanted: &Wanted) {
        let mut longest = vec![0; self.wires.len()];
        for ((wire, user), time) in wanted {
            if *time > longest[*wire] {
                longest[*wire] = *time;
                self.wires[*wire].user = Some(*user);
            }
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
        assert_eq!(share.user, Some(4));
        let lamp = &crate::run::run(&plan, 1).loads[&3];
        assert_eq!(ledger.wires[2].taken, lamp.energy);
    }

    #[test]
    fn of_those_that_could_use_a_lost_share_the_one_that_wants_longest_is_told() {
        // Six hours in all: one bench wants more than its third in the first hour and in the last, the other for four hours
        // between. An open door takes nothing of its third.
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "split": "divider-3", "door": ["switch", { "closed": false }], "lamp": "lamp",
                            "early": ["switch", { "closed": true, "schedule": [["01:00", false], ["23:00", true]] }], "first": "workbench",
                            "noon": ["switch", { "closed": false, "schedule": [["10:00", true], ["14:00", false]] }], "second": "workbench" },
                 "wires": ["gen.out split.in", "split.out1 door.feed", "split.out2 early.feed", "split.out3 noon.feed",
                           "door.out lamp.in", "early.out first.in", "noon.out second.in"] }"#,
        );
        let lost = ledger(&plan, 0, 24 * HOUR_MS).wires[1];
        assert_eq!((lost.lost_for, lost.user), (6 * HOUR_MS, Some(7)));
        // From 13:00 on each wants for an hour.
        let short = ledger(&plan, 13 * HOUR_MS, 24 * HOUR_MS).wires[1];
        assert_eq!(
            (short.lost_for, short.user),
            (2 * HOUR_MS, Some(5)),
            "of several the first"
        );
    }
}
