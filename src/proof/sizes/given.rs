//! What a source has to give, whatever is taken of it. Energies in [`Energy`].

use crate::plan::{Part, Plan};
use crate::quantity::Energy;
use crate::run;

/// What a source alone has to give over so many days.
pub(super) fn given(plan: &Plan, source: Part, days: u64) -> Energy {
    let alone = Plan {
        world: plan.world.clone(),
        book: plan.book.clone(),
        parts: vec![source].into(),
        ..Plan::empty()
    };
    let record = run::run(&alone, days);
    record.sources.get(&0).map_or(0, |s| s.available)
}
