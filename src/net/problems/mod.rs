//! The kinds of problem that a net shows, one file a kind: those of its structure, whatever the hour, and those of the
//! flow at an instant.
//!
//! Each kind's file has its data, how it is found and its words; nothing reads the words back. It holds a plan that triggers it and one that does not. Every search is linear in parts and wires.

mod break_closed;
mod chatter;
mod closed_loop;
mod empty_backup;
mod feeds_itself;
mod hungry;
mod lost_share;
mod most;
mod never_runs;
mod never_true;
mod no_source;
mod open_port;
mod short;
mod spilled;
mod too_many_events;
mod unset_switch;
mod watches_nothing;
pub(crate) mod why;
pub(crate) mod words;

pub use break_closed::BreakClosed;
pub use chatter::Chatter;
pub use closed_loop::ClosedLoop;
pub use empty_backup::EmptyBackup;
pub use feeds_itself::FeedsItself;
pub use lost_share::{LostShare, UnusedShare, lost_shares, unused_shares};
pub use never_runs::NeverRuns;
pub use never_true::{Never, NeverTrue};
pub use no_source::NoSource;
pub use open_port::{Comes, OpenPort};
pub use short::{Hold, Short};
pub use spilled::Spilled;
pub use too_many_events::{Bound, TooManyEvents};
pub use unset_switch::UnsetSwitch;
pub use watches_nothing::WatchesNothing;

use super::{Controls, Live, Net, Problem};
use crate::plan::Plan;

/// What is wrong with how a plan is wired and set, whatever the hour; worst first.
pub fn structure_problems(plan: &Plan, net: &Net) -> Vec<Problem> {
    let mut problems = closed_loop::find(plan, net);
    problems.extend(feeds_itself::find(plan, net));
    problems.extend(open_port::find(plan, net));
    problems.extend(no_source::find(plan, net));
    let most = most::Most::of(plan, net);
    problems.extend(never_true::find(plan, net, &most));
    problems.extend(never_runs::find(plan, net, &most));
    problems.extend(watches_nothing::find(plan, net));
    problems.extend(unset_switch::find(plan, net));
    problems.extend(break_closed::find(plan, net));
    worst_first(plan, &mut problems);
    problems
}

/// What is wrong with what flows at one solved instant; worst first.
pub fn flow_problems(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let mut problems = empty_backup::find(plan, net, live);
    problems.extend(short::find(plan, net, live, controls));
    problems.extend(lost_share::find(plan, net, live, controls));
    problems.extend(spilled::find(plan, net, live, controls));
    worst_first(plan, &mut problems);
    problems
}

/// Sorts by weight, then by the place in the plan of the first part concerned; what is equal keeps its order.
pub(crate) fn worst_first(plan: &Plan, problems: &mut [Problem]) {
    if problems.len() < 2 {
        return;
    }
    problems.sort_by_cached_key(|p| {
        let first = p.parts.first().and_then(|id| plan.part_place(id));
        (p.weight, first)
    });
}
