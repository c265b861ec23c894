//! The kinds of problem that a net shows, one file a kind.

mod closed_loop;

use super::{Net, Problem};
use crate::plan::Plan;

/// What is wrong with how a plan is wired, whatever the hour; worst first.
pub fn structure_problems(plan: &Plan, net: &Net) -> Vec<Problem> {
    closed_loop::find(plan, net)
}
