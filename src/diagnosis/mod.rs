//! Fault finding: from readings off a base as it was built to the single faults that explain them all, and the reading
//! to take next.
//!
//! In: a plan and [`BaseReading`]s. Out: a [`Diagnosis`]. Each [`SingleFault`] makes a faulty plan of the plan; a run of that from
//! t = 0 says what would be read. What is named and in which order is said in `assets/guide/rules.md`, *Finding a fault*.
//! Powers in steps, times in milliseconds since midnight of day 1. A reading that can't be of the plan is told as a fault of
//! reading; nothing else fails. [`ReadingEntries`] are readings as somebody types them. It tries no two faults at once, knows
//! no chances and reads no clock.

mod base_reading;
mod candidates;
mod cone;
mod entries;
mod next;
mod parse;
mod readables;
mod reading_field;
mod search;
mod settings;
mod sight;
mod single_fault;
mod words;

pub use base_reading::{BaseReading, Readable, Shows, Trend};
pub use entries::{EntryRead, ReadingEntries, ReadingEntry, ShowsEntry};
pub use next::NextReading;
pub use parse::reading_of_text;
pub use readables::{ReadableGroup, is_level, readables};
pub use reading_field::ReadingField;
pub use search::{Diagnosis, FaultSearch, FaultShare, diagnose};
pub use single_fault::SingleFault;
pub use words::{LEVEL_SAYS, drawn_says, next_says, outcome_says, read_what, shown, when};
