//! Part types as a table of a spreadsheet: one row a type, as comma-separated values (RFC 4180).
//!
//! What is written names each column in words with its unit: powers in the book's unit (not in steps), shares in per cent.
//! What is read may be anybody's table: headings in other words and any order, semicolons or tabs, decimal commas, blank
//! lines, columns that mean nothing here. What it leaves open is taken from the plain types of the book `bare`, and said.
//! All of a table is read or none: every fault names row, column, what stands there and what was expected.
//!
//! A table holds the types, and the unit in its headings; a step and a lag stand in columns of their own where they would
//! not be found otherwise. A book's label, `says` and `caution` are not in it.

mod columns;
mod draft;
mod kinds;
mod making;
mod number;
mod pairs;
mod read;
mod rows;
mod scale;
mod sheet;
mod write;

use super::Book;
use std::fmt;

pub use read::read_table;
pub use write::write_table;

/// A table that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The book that it makes.
    pub book: Book,
    /// What whoever reads it in should know.
    pub remarks: Vec<Remark>,
}

/// Something that was done with a table and is not plain from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Remark {
    /// A column that means nothing here, by its heading.
    LeftOut(String),
    /// Rows above the headings.
    Above(usize),
    /// What these rows don't say, and what was taken for it.
    Taken {
        /// The column's heading.
        column: &'static str,
        /// What was taken.
        value: String,
        /// The rows, by their numbers.
        rows: Vec<usize>,
    },
    /// The step of power, which no column names.
    Step(String),
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Remark::LeftOut(heading) if heading.is_empty() => {
                write!(f, "A column without a heading is left out.")
            }
            Remark::LeftOut(heading) => write!(f, "The column \"{heading}\" is left out."),
            Remark::Above(1) => write!(f, "The row above the headings is left out."),
            Remark::Above(rows) => write!(f, "The {rows} rows above the headings are left out."),
            Remark::Taken {
                column,
                value,
                rows,
            } => {
                let numbers: Vec<String> = rows.iter().map(ToString::to_string).collect();
                let (row, has) = match rows.len() {
                    1 => ("Row", "has"),
                    _ => ("Rows", "have"),
                };
                let numbers = numbers.join(", ");
                write!(
                    f,
                    "{row} {numbers} {has} nothing for \"{column}\": {value} is taken."
                )
            }
            Remark::Step(step) => write!(f, "A step of power is {step}."),
        }
    }
}
