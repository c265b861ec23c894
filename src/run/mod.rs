//! Events through time, exactly: milliseconds, whole steps and energies in integers; nothing is sampled.

mod instant;

pub use instant::{Flow, Instant, PartState};

use crate::plan::Plan;
use crate::quantity::Ms;

/// The instant `t` (milliseconds since midnight of day 1) of a run of `plan`, that millisecond's events applied.
pub fn at(plan: &Plan, t: Ms) -> Instant {
    let dead = Flow {
        offer: 0,
        take: 0,
        on_loop: false,
    };
    Instant {
        t,
        wires: vec![dead; plan.wires.len()],
        parts: vec![PartState::Plain; plan.parts.len()],
        problems: Vec::new(),
    }
}
