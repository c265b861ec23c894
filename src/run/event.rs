//! What happens in a run: one event of one part. Times in milliseconds.

use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// What happened to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum What {
    /// A contact opens.
    Opens,
    /// A contact closes.
    Closes,
    /// A contact chatters, and is held open until midnight.
    Chatters,
    /// A battery is full.
    Full,
    /// A battery's output goes off.
    OutputOff,
    /// A battery's output goes on.
    OutputOn,
    /// A load starts.
    Runs,
    /// A load stops.
    Stops,
}

impl What {
    /// The word in output.
    pub const fn word(self) -> &'static str {
        match self {
            What::Opens => "opens",
            What::Closes => "closes",
            What::Chatters => "chatters",
            What::Full => "full",
            What::OutputOff => "output-off",
            What::OutputOn => "output-on",
            What::Runs => "runs",
            What::Stops => "stops",
        }
    }
}

/// One event of a run. A run may have millions of them, so they are kept small.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Event {
    /// When, in milliseconds since midnight of day 1.
    pub t: Ms,
    /// To which part, by its place in the plan: [`Event::place`].
    pub part: u32,
    /// What.
    pub what: What,
}

impl Event {
    /// The part's place in the plan.
    pub fn place(&self) -> usize {
        self.part as usize
    }
}
