//! Measuring a world: from readings that a builder takes to the numbers of his world, with how sure each of them is.
//!
//! In: a table of readings ([`Readings`]), as a person writes it ([`read_readings`]). Out: a world with a sun on an arc of
//! its own, its panels' peak, the length of its day and its battery ([`Fit`]); for each value the least and the most with
//! which all readings are explained; the readings that contradict, and the one to take next. What each of these means is
//! said in `assets/guide/rules.md`, *Measuring a world*.
//!
//! Units: hours of the dial, degrees, steps, seconds, per mille. Reading tells every fault; measuring never fails. Nothing
//! here is random and no function of the platform is called but square roots, so that a browser and a terminal agree to
//! the bit. It fits no sun over a place on a globe, no weather and no wind, and knows plans as little as books.

mod answer;
mod arc;
mod asks;
mod battery;
mod cells;
mod contradict;
mod day;
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
mod told;
mod value;

pub use crate::clock::DialTime;
pub use answer::{Fit, fit, fit_watched};
pub use next::Question;
pub use read::{FORMAT, VERSION, read_readings};
pub use reading::{Reading, Readings};
pub use value::Value;
