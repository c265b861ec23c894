//! The site: the place in which a plan is built, as storeys of square cells, and where wires can run in it.
//!
//! Plain data and plain functions. It knows nothing of plans, parts and power: a plan has a site, hangs its parts on
//! [`Face`]s of it and asks for the run of a wire between two of them.
//!
//! Cells are counted from the north-west: x to the east, y to the south, storeys from the lowest up. Lengths are whole
//! millimetres unless a name says otherwise; a site's own numbers are whole centimetres.

mod cell;
mod change;
mod face;
mod paint;
mod place;
mod priorities;
mod reach;
mod read;
mod ready;
mod route;
mod said;
mod sight;
mod steps;
mod sunlight;
mod walk;
mod write;

pub use cell::{Cell, Edge, Fitting, Ground};
pub use change::Moved;
pub use face::{Face, Surface};
pub use paint::{Mark, Patch};
pub use place::{Room, Site, Storey};
pub use priorities::Priorities;
pub use reach::Reach;
pub use read::read_site;
pub use ready::{READY, ready_site};
pub use route::{Leg, Route, Router};
pub use said::{face_said, room_called, run_said, storey_called};
pub use sight::Exposure;
pub use steps::{FaceStep, Heading};
