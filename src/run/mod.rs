//! Events through time, exactly: milliseconds, whole steps and energies in integers; nothing is sampled and nothing is
//! stepped.
//!
//! [`Engine`] goes from event to event; between two of them every offer and take is constant and every battery's level a
//! straight line. [`at`] shows one instant, [`run`] records whole days,
//! [`Course`] records them in pieces, [`Playback`] goes to and fro; both can share one [`Prepared`] plan. Nothing here
//! reads a clock.

mod battery;
mod checkpoints;
mod contact;
mod copy;
mod course;
mod engine;
mod event;
mod events;
mod figures;
mod frozen;
mod function;
mod instant;
mod ledger;
mod lend;
mod look;
mod midnight;
mod playback;
mod prepared;
mod record;
mod recorder;
mod recording;
mod reserve;
mod set_up;
mod shade;
mod skip;
mod supply;
mod template;
mod trace;

pub use course::{Course, Extent, Journey, MOST_DAYS, Midnights};
pub use engine::{BOUND, Engine, Stop};
pub use event::{Event, What};
pub use figures::{BatteryFigures, SourceFigures, Totals, TurnFigures};
pub use frozen::{Frozen, Reached, Settled};
pub use function::Clockwork;
pub use instant::{Flow, Instant, PartState};
pub use ledger::{Carried, Ledger, ledger};
pub use look::ContactLook;
pub use midnight::Midnight;
pub use playback::Playback;
pub use prepared::{Prepared, Preparing};
pub use record::{BatteryRecord, ContactRecord, LoadRecord, Record, SourceRecord};
pub use recorder::MOST_CHANGES;
pub use reserve::{Lasts, Reserve, reserve};
pub use skip::Mark;
pub use supply::Supply;
pub use template::Template;
pub use trace::Trace;

use crate::plan::Plan;
use crate::quantity::Ms;

/// The instant `t` (milliseconds since midnight of day 1) of a run of `plan`, that millisecond's events applied.
pub fn at(plan: &Plan, t: Ms) -> Instant {
    let mut engine = Engine::new(plan);
    engine.advance(t.saturating_add(1));
    engine.instant(plan, t)
}

/// A run of `plan` over `days` whole days; it ends at its last midnight, whose events are left out.
pub fn run(plan: &Plan, days: u64) -> Record {
    let mut engine = Engine::recording(plan);
    let end = plan.world.day_ms().saturating_mul(days);
    engine.advance(end);
    engine.into_record(plan, end)
}
