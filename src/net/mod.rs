//! A plan compiled to a graph, one instant's offers and takes, and the problems found on the way.
//!
//! [`Net`] is what does not change while a plan runs: ports as indices, closed loops, the order of working out.
//! [`Live`] is one instant: given what sources offer, which outputs are on and which contacts conduct, every wire gets an
//! offer and a take, in steps. Work is done only where something changed. It knows no time.

mod compile;
mod exchange;
mod live;
mod problems;
mod skim;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod worked;

pub use compile::{Ends, Net, Node};
pub use live::{Controls, Live};
pub(crate) use problems::why::{Why, why};
pub use problems::{
    Bound, BreakClosed, Chatter, ClosedLoop, Consequence, EmptyBackup, FeedsItself, Hold,
    LostShare, Never, NeverRuns, NeverTrue, NoSource, OpenPort, Problem, ProblemKind, Short,
    Spilled, TooManyEvents, UnsetSwitch, UnusedShare, WatchesNothing, Weight, flow_problems,
    lost_shares, structure_problems, unused_shares,
};
pub(crate) use problems::{words, worst_first};
