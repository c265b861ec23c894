//! A run that was stopped at one of its bounds. The run finds it.

use crate::plan::Clock;
use serde::{Deserialize, Serialize};

/// A run that was stopped.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TooManyEvents {
    /// On which day of the run, from 1.
    pub day: u64,
    /// When on the dial.
    pub clock: Clock,
    /// At which bound.
    pub bound: Bound,
}

/// What a run may not exceed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Bound {
    /// So many events.
    Events(u64),
    /// So many changes that are kept.
    Kept(u64),
}

impl TooManyEvents {
    pub(in crate::net) fn says(&self) -> String {
        let (day, clock) = (self.day, self.clock);
        match self.bound {
            Bound::Events(most) => format!(
                "The run was stopped after {most} events, on day {day} at {clock}: something switches without end. \
                 Lengthen its delays. What comes after that is not known."
            ),
            Bound::Kept(most) => format!(
                "The run was stopped on day {day} at {clock}: more than {most} changes are too many to keep. Lengthen the \
                 delays of what switches so often, or run fewer days. What comes after that is not known."
            ),
        }
    }
}
