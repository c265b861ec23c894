//! The fields of a reading that somebody types.

/// A field of a row, in the order in which they are filled in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReadingField {
    /// What is read.
    Of,
    /// What it shows.
    Shows,
    /// On which day.
    Day,
    /// When on the dial.
    Time,
}
