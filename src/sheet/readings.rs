//! Readings of a world as somebody enters them, and what is said and drawn of the world that they come to.
//!
//! A [`ReadingTable`] holds entries as they are typed; each is looked at where it stands, and what is sound goes over into
//! the readings file's text. Of a measured world there are lines with ranges, sentences, a strip for each reading, and the
//! edits that put the world into a plan. Levels and shares are in per cent here, per mille in the file. Nothing here
//! measures: that is the room `fit`.

mod cells;
mod columns;
mod entered;
mod file;
mod row;
mod said;
mod strips;
mod table;
mod use_in_plan;
pub mod words;

pub use cells::{CellFault, RowCheck};
pub use columns::{Column, ReadingGroup, ReadingKind};
pub use row::ReadingRow;
pub use said::{HOW_TO_READ, MeasuredLine, lines, sentences};
pub use strips::{ReadingStrip, Strip, strips};
pub use table::ReadingTable;
pub use use_in_plan::{InTypes, MeasuredNumbers, battery_types, panel_types};
