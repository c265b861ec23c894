//! Grades: on random plans against checks of plans made by plain means, cheating that must not help, hostile exercises, and
//! what is said of each kind of fault, to the letter.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

#[path = "grade/cheats.rs"]
mod cheats;
#[path = "grade/hostile.rs"]
mod hostile;
#[path = "grade/random.rs"]
mod random;
#[path = "grade/rows.rs"]
mod rows;
#[path = "grade/said.rs"]
mod said;
#[path = "grade/set_out.rs"]
mod set_out;
