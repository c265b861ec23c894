//! The cable schedule: every wire of a plan with its two ends, the most that it carries, and when first. Steps, metres,
//! milliseconds since midnight of day 1.
//!
//! The most is that over the run of a check (see [`crate::proof::most_takes`]). How long a wire is, what of it is exposed
//! and by which way it goes is known of a plan with a site ([`OnSite`]), once both its parts have a place there.

use super::on_site::OnSite;
use crate::plan::{End, Plan, Wire, WireId};
use crate::proof::{MostTake, most_takes};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// All wires of a plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CableSchedule {
    /// The cables, in the plan's order of wires.
    pub cables: Vec<Cable>,
}

/// One wire to be laid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cable {
    /// Its number in the schedule, from 1.
    pub number: usize,
    /// The wire.
    pub wire: WireId,
    /// The output that it comes from.
    pub from: End,
    /// The input that it goes to.
    pub to: End,
    /// The largest take over the run of a check.
    pub most: u64,
    /// The first moment of it; 0 for a wire that never carries.
    pub at: Ms,
    /// How long it is, where the plan has a site.
    pub metres: Option<f64>,
    /// How much of that is exposed.
    pub exposed: Option<f64>,
    /// By which way it goes.
    pub run: Option<String>,
}

impl CableSchedule {
    /// The schedule of a plan; `watch` is told every day that is run for it, of [`crate::proof::DAYS`] at the most.
    pub fn of(plan: &Plan, watch: &mut dyn FnMut(u64)) -> CableSchedule {
        CableSchedule::on_site(plan, OnSite::of(plan).as_ref(), watch)
    }

    /// The same, where the plan is worked out in its site already.
    pub fn on_site(
        plan: &Plan,
        on_site: Option<&OnSite>,
        watch: &mut dyn FnMut(u64),
    ) -> CableSchedule {
        let most = most_takes(plan, watch);
        let cables = plan.wires.iter().zip(most).enumerate();
        let cable = |(at, (wire, most))| Cable::of(at + 1, wire, most, on_site);
        CableSchedule {
            cables: cables.map(cable).collect(),
        }
    }
}

impl Cable {
    fn of(number: usize, wire: &Wire, most: MostTake, on_site: Option<&OnSite>) -> Cable {
        let run = on_site.and_then(|on_site| on_site.run_of(&wire.id));
        let route = run.and_then(|run| run.route.as_ref());
        let metres = |mm: u64| mm as f64 / 1000.0;
        Cable {
            number,
            wire: wire.id.clone(),
            from: wire.from.clone(),
            to: wire.to.clone(),
            most: most.take,
            at: most.at,
            metres: route.map(|route| metres(route.length_mm)),
            exposed: route.map(|route| metres(route.exposed_mm)),
            run: route.and(on_site).map(|on_site| on_site.said(&wire.id)),
        }
    }
}
