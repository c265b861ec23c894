//! Proof: whether a plan does what its duties say, every day, and what is broken when something is lost.
//!
//! A check runs a plan until a midnight repeats an earlier one, and then its verdict holds for ever. It knows no page.

mod check;
mod loss;
pub mod sizes;
mod stretch;

pub use check::{Check, DAYS, Gap, Verdict, check};
pub use loss::{Loss, LossReport, all_losses, losses};
