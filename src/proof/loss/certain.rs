//! Parts whose loss breaks a duty whatever a run would show: all power to its load goes through them.
//!
//! A load that no power reaches is dark for good, so its duty is broken as soon as it has applied for longer than its
//! grace. That is told only where it is so within as many milliseconds as a run may have events: no run is stopped sooner.

use super::Loss;
use super::weak::weak_points_of;
use crate::net::Net;
use crate::plan::{PartId, Plan, Spec};
use crate::proof::check::Judge;
use crate::proof::stretch::stretches;
use crate::run::{BOUND, Clockwork};
use std::collections::BTreeSet;

/// The parts, loads left out, whose loss breaks one of the duties `kept` for certain. The plan must keep these, which are
/// named by their places.
pub fn certain(plan: &Plan, kept: &[usize]) -> BTreeSet<PartId> {
    let end = plan.world.day_ms().min(BOUND);
    let judge = Judge {
        day: plan.world.day_ms(),
        end,
        earlier: None,
    };
    let sky = plan.world.sky();
    let breaks_soon = |at: &&usize| {
        plan.duties.get(**at).is_some_and(|duty| {
            let applies = Clockwork::of_duty(duty.when, &plan.world, &sky);
            !judge.gaps(duty, &stretches(&applies, &[], end)).is_empty()
        })
    };
    let soon = kept.iter().filter(breaks_soon);
    let loads: BTreeSet<&PartId> = soon.map(|at| &plan.duties[*at].part).collect();
    let net = Net::compile(plan);
    // Whatever is lost of a closed loop opens it, and power may come by ways that are dead now.
    if !net.loops.is_empty() {
        return BTreeSet::new();
    }
    let points = weak_points_of(plan, &net);
    let mut found = BTreeSet::new();
    for point in &points {
        if point.loads.iter().any(|load| loads.contains(load)) {
            let mut at = Some(point);
            while let Some(point) = at {
                if let Loss::Part(id) = &point.loss
                    && !found.insert(id.clone())
                {
                    break;
                }
                at = point.after.and_then(|before| points.get(before));
            }
        }
    }
    for (part, node) in plan.parts.iter().zip(&net.nodes) {
        if matches!(node.spec, Some(Spec::Load { .. })) {
            found.remove(&part.id);
        }
    }
    found
}
