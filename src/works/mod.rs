//! From the plan to the hands: what is to be gathered for it.
//!
//! Plain data and plain functions of a plan; nothing here solves or runs it, and nothing fails on a sound plan.

mod bill;
mod stock;

pub use bill::{Bill, BillLine, change_said, materials_said};
pub use stock::{Missing, Stock};
