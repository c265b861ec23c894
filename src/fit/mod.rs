//! Measuring a world: from readings that a builder takes to the numbers of his world, with how sure each is.

mod answer;
mod arc;
mod asks;
mod cells;
mod contradict;
mod linear;
mod lines;
mod next;
mod read;
mod reading;
mod rounded;
mod search;
mod steps;
mod sun;
mod task;

pub use answer::{Fit, Value, fit};
pub use next::Question;
pub use read::{FORMAT, VERSION, read_readings};
pub use reading::{DialTime, Reading, Readings};
