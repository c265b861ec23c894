//! A site as a drawing: one storey in plan view, with the parts that hang there and the runs of wires.
//!
//! Pixels of the drawing: a cell is a square of [`CELL`], x to the east, y to the south from the site's north-west corner.
//! It finds no run and knows no colours; classes say what something is.

pub mod counts;
mod draw_runs;
mod ground;
pub mod parts;
pub mod picture;
pub mod places;
pub mod rooms;
mod run_numbers;
pub mod runs;
pub mod said;
pub mod sun;

pub use draw_runs::draw_runs;
pub use ground::{Underlay, storey};
pub use places::CELL;
pub use run_numbers::KeptClear;
