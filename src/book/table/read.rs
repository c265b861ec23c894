//! A table as a book: the unit and the step that its numbers have, and each row as a type of a book's file, which is then
//! read as any book is. So every limit stands where all limits stand.

use super::draft::{Draft, draft};
use super::making::Making;
use super::rows::{self, Row};
use super::sheet::Sheet;
use super::{Remark, Table};
use crate::book::read_book;
use crate::quantity::{self, Decimal};
use crate::read::{Fault, FaultKind, Faults};
use serde_json::{Value, json};

/// Reads a table, as comma-separated values or the like, as the book called `name`.
///
/// # Errors
/// Every fault, with row and column, what stands there and what was expected. Then nothing of it is read.
pub fn read_table(text: &str, name: &str) -> Result<Table, Faults> {
    let (delimiter, rows) = rows::rows(text).map_err(|fault| vec![fault])?;
    let (mut remarks, mut faults): (Vec<Remark>, Faults) = (Vec::new(), Vec::new());
    let readable = rows.iter().all(|row| !unreadable(row, &mut faults));
    let sheet = Sheet::of(&rows, delimiter, &mut remarks, &mut faults);
    let Some(sheet) = sheet.filter(|_| readable) else {
        return Err(faults);
    };
    let drafts: Vec<Draft> = sheet
        .body
        .iter()
        .filter_map(|row| draft(&sheet, row, &mut faults))
        .collect();
    let mut making = Making {
        sheet: &sheet,
        unit: String::new(),
        step: Decimal::whole(1),
        faults: &mut faults,
        taken: Vec::new(),
    };
    making.unit = making.find_unit(&drafts);
    making.step = making.find_step(&drafts, &mut remarks);
    let names = names(&drafts);
    let types: Vec<Value> = (drafts.iter().zip(&names))
        .map(|(draft, name)| making.part_type(draft, name))
        .collect();
    let lag = making.lag();
    let mut value = json!({ "name": name, "unit": making.unit, "step": quantity::number(making.step.value()), "types": types });
    if let Some(lag) = lag {
        value["lag_ms"] = lag;
    }
    remarks.append(&mut making.taken);
    if !faults.is_empty() {
        faults.sort_by_key(|fault| row_of(&fault.place));
        return Err(faults);
    }
    match read_book(&value) {
        Ok(book) => Ok(Table { book, remarks }),
        Err(told) => Err(told
            .into_iter()
            .map(|fault| placed(fault, &sheet, &drafts))
            .collect()),
    }
}

/// The row of a place in a table.
fn row_of(place: &str) -> usize {
    let digits = place.strip_prefix("row ").unwrap_or("");
    let end = digits.find(|c: char| !c.is_ascii_digit());
    digits[..end.unwrap_or(digits.len())].parse().unwrap_or(0)
}

/// Tells of a character that was none of the text's encoding.
fn unreadable(row: &Row, faults: &mut Faults) -> bool {
    let at = row.cells.iter().position(|cell| cell.contains('\u{fffd}'));
    if let Some(at) = at {
        faults.push(Fault {
            kind: FaultKind::Format,
            place: format!("row {}, column {}", row.number, at + 1),
            found: super::sheet::found(&row.cells[at]),
            expected: "a text in UTF-8: save the table as CSV UTF-8".into(),
        });
    }
    at.is_some()
}

/// The names of the types: as given, or made of the labels, each once.
fn names(drafts: &[Draft]) -> Vec<String> {
    let mut names: Vec<String> = drafts.iter().map(|d| d.name.clone()).collect();
    for (at, draft) in drafts.iter().enumerate() {
        if !draft.name.is_empty() {
            continue;
        }
        let stem = crate::book::name_of_label(&draft.label, "part");
        let taken = |name: &String| names.contains(name);
        let more = (2..).map(|n| format!("{stem}-{n}"));
        let name = std::iter::once(stem.clone())
            .chain(more)
            .find(|n| !taken(n));
        names[at] = name.unwrap_or_default();
    }
    names
}

/// A fault of the book that was made, at its place in the table.
fn placed(mut fault: Fault, sheet: &Sheet, drafts: &[Draft]) -> Fault {
    let within = fault.place.strip_prefix("types[");
    let parts = within.and_then(|rest| rest.split_once(']'));
    let draft = parts.and_then(|(at, _)| drafts.get(at.parse::<usize>().ok()?));
    if let (Some(draft), Some((_, rest))) = (draft, parts) {
        let key = rest.trim_start_matches('.').split(['.', '[']).next();
        fault.place = sheet.place(draft.row, key.unwrap_or(""));
    }
    fault
}
