//! Proof: whether a plan does what its duties say, every day, and what is broken when something is lost.
//!
//! A check runs a plan until a midnight repeats an earlier one, and then its verdict holds for ever. It knows no page.

mod autonomy;
mod cause;
mod check;
mod clause;
pub mod compare;
mod days;
pub mod findings;
mod first_break;
mod giver;
mod logic;
mod loss;
mod most;
mod past;
mod phrases;
pub mod recheck;
mod reserve;
pub mod sizes;
pub mod start_by;
mod stretch;
mod study;
mod upstream;
mod watch;
mod weather;
mod words;
mod worst_start;

pub use autonomy::{Autonomy, Holds, autonomy};
pub use cause::{Cause, GapEnd, HeldReason, causes};
pub use check::{Check, DAYS, Gap, Verdict, check, check_keeping, check_watched};
pub use logic::{
    Chatter, Exploration, Explorer, LogicInput, LogicRow, LogicTable, OrderMatters, Rest, Rows,
    Trap, Way,
};
pub use loss::{
    BrokenChange, Harm, Loss, LossEffect, LossJudge, LossReport, PairReport, Pairs, Survival,
    WeakPoint, all_losses, broken_changes, empty_batteries, loads_behind, losses, ranked,
    share_of_losses, survival, weak_points, without,
};
pub use most::{MostTake, most_takes};
pub use study::Study;
pub use weather::{BadWeather, Breaks, MOST_BAD, bad_weather, bad_weather_says, has_sun};
pub use words::{Dial, length};
pub use worst_start::{FirstDays, WorstStart, WorstStarts, worst_starts};
