//! What is drawn of each part and wire, as plain data: one value a card, one a wire, made anew when a [`super::Change`]
//! names it. Whoever draws compares it with the last and touches only what differs. Pixels of the board.

mod card;
mod figures;
mod picture;
mod wire;

pub use super::drawn::{Detail, Level, TEXT};
pub use card::{CardView, Gauge, PortView};
pub use figures::{card_id, port_id};
pub use picture::{NumberForm, NumberPlace, number_figure};
pub use wire::{Arrow, Handles, LabelView, Told, WireView};

/// What is added to what is said of what the step of a walk lights up.
const IN_LIGHT: &str = ", lit up by the walk";
