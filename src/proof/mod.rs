//! Proof: whether a plan does what its duties say, every day, and what is broken when something is lost.
//!
//! A check runs a plan until a midnight repeats an earlier one, and then its verdict holds for ever. It knows no page.

mod autonomy;
mod cause;
mod check;
pub mod compare;
pub mod findings;
mod loss;
mod reserve;
mod stretch;
mod upstream;
mod watch;
mod weather;
mod words;

pub use autonomy::{Autonomy, Holds, WorstStart, WorstStarts, autonomy, worst_starts};
pub use cause::{Cause, causes};
pub use check::{Check, DAYS, Gap, Verdict, check};
pub use loss::{Loss, LossReport, all_losses, losses};
pub use weather::{BadWeather, Breaks, MOST_BAD, bad_weather};
