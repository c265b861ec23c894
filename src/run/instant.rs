//! What a plan shows at one instant: for each wire and part, in the plan's order.

use crate::net::Problem;
use crate::quantity::{Energy, Ms};

/// What a wire carries, in steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flow {
    /// What could come through it.
    pub offer: u64,
    /// What does.
    pub take: u64,
    /// Whether it is on a closed loop and so carries nothing.
    pub on_loop: bool,
}

/// What a part does. Powers in steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartState {
    /// A source.
    Source {
        /// What it could give now.
        available: u64,
        /// What is taken of it; the rest is spilled.
        taken: u64,
    },
    /// A load.
    Load {
        /// Whether it runs.
        runs: bool,
        /// What it draws when it runs.
        draw: u64,
        /// What it is offered.
        offered: u64,
    },
    /// A battery.
    Battery {
        /// What it holds now.
        level: Energy,
        /// What it can hold.
        capacity: Energy,
        /// The level at or below which its output goes off.
        cut_out: Energy,
        /// The level at or above which its output goes on again.
        cut_in: Energy,
        /// Whether its output is on.
        output: bool,
        /// Whether it is full.
        full: bool,
        /// What it takes in.
        taking: u64,
        /// What is taken of it.
        giving: u64,
    },
    /// A contact.
    Contact {
        /// Whether it conducts.
        conducts: bool,
        /// Whether its function is true.
        truth: bool,
        /// Whether it is held open for chatter.
        held: bool,
    },
    /// A part without a state of its own.
    Plain,
}

/// One instant of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instant {
    /// Milliseconds since midnight of day 1.
    pub t: Ms,
    /// For each wire in the plan's order.
    pub wires: Vec<Flow>,
    /// For each part in the plan's order.
    pub parts: Vec<PartState>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
}
