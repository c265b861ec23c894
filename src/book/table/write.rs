//! A book's types as comma-separated values.

use super::columns::{COLUMNS, Column, Holds};
use super::kinds::more_of;
use super::pairs::{power_said, share_said, write_cost, write_settings};
use super::read::read_table;
use crate::book::{Behaviour, Book, PartType, Short};
use crate::quantity::{Decimal, Unit, unit_hours};
use csv::{Terminator, WriterBuilder};
use serde_json::Value;

/// The table of a book's types. Step and lag have columns of their own where the table would not be read with them
/// otherwise.
pub fn write_table(book: &Book) -> String {
    let text = table(book, false);
    let same = |b: &Book| b.unit == book.unit && b.lag_ms == book.lag_ms;
    match read_table(&text, &book.name) {
        Ok(read) if same(&read.book) => text,
        _ => table(book, true),
    }
}

fn table(book: &Book, whole: bool) -> String {
    let cells = |column: &'static Column| -> Vec<String> {
        let cell = |t: &PartType| cell(t, column.key, book);
        book.types.iter().map(cell).collect()
    };
    let always = |key: &str| match key {
        "type" | "label" | "group" | "behaviour" => true,
        "step" | "lag_ms" => whole,
        _ => false,
    };
    let says = |column: &Column, cells: &[String]| match column.key {
        "step" | "lag_ms" | "power" => false,
        "stage" => cells.iter().any(|cell| cell != "1"),
        _ => cells.iter().any(|cell| !cell.is_empty()),
    };
    let columns: Vec<(&Column, Vec<String>)> = COLUMNS
        .iter()
        .map(|column| (column, cells(column)))
        .filter(|(column, cells)| always(column.key) || says(column, cells))
        .collect();
    let mut out = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let head = columns
        .iter()
        .map(|(column, _)| heading(column, &book.unit));
    // Writing to memory does not fail.
    let _ = out.write_record(head);
    for row in 0..book.types.len() {
        let _ = out.write_record(columns.iter().map(|(_, cells)| &cells[row]));
    }
    let bytes = out.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// A column's heading with its unit.
fn heading(column: &Column, unit: &Unit) -> String {
    let words = column.heading;
    match column.holds {
        Holds::Power => format!("{words} ({})", unit.sign),
        Holds::Energy => format!("{words} ({}·h)", unit.sign),
        Holds::Share => format!("{words} (%)"),
        Holds::Metres => format!("{words} (m)"),
        Holds::Ms => format!("{words} (ms)"),
        _ => words.into(),
    }
}

fn cell(of: &PartType, key: &str, book: &Book) -> String {
    let power = |steps: u64| power_said(steps, &book.unit);
    match (key, &of.behaviour) {
        ("type", _) => of.name.clone(),
        ("label", _) => of.label.clone(),
        ("group", _) => of.group.clone(),
        ("behaviour", behaviour) => behaviour.name().into(),
        ("function", Behaviour::Contact { .. }) | ("profile", Behaviour::Source { .. }) => {
            more_of(&of.behaviour).unwrap_or("").into()
        }
        ("peak", Behaviour::Source { peak, .. }) => power(*peak),
        ("draw", Behaviour::Load { draw, .. }) => power(*draw),
        ("short", Behaviour::Load { short, .. }) if *short != Short::Pass => short.word().into(),
        ("capacity", Behaviour::Battery { capacity, .. }) => {
            let hours = unit_hours(*capacity, book.unit.step);
            hours.map_or_else(|| book.unit.hours(*capacity).to_string(), |h| h.to_string())
        }
        ("max_in", Behaviour::Battery { max_in, .. }) => power(*max_in),
        ("max_out", Behaviour::Battery { max_out, .. }) => power(*max_out),
        ("efficiency", Behaviour::Battery { efficiency, .. }) => share_said(*efficiency),
        ("cut_out", Behaviour::Battery { cut_out, .. }) => share_said(*cut_out),
        ("cut_in", Behaviour::Battery { cut_in, .. }) => share_said(*cut_in),
        ("ways", Behaviour::Divider { ways } | Behaviour::Busbar { ways }) => ways.to_string(),
        ("coil", Behaviour::Contact { coil, .. }) => power(*coil),
        ("set", behaviour) => {
            let mut set = of.set.clone();
            // What a load does when it can't run has a column of its own.
            if let Behaviour::Load { short, .. } = behaviour
                && *short != Short::Pass
                && set.get("short").is_some_and(|s| s == short.word())
            {
                set.shift_remove("short");
            }
            write_settings(&set, of.fields(), &book.unit)
        }
        ("cost", _) => write_cost(&of.cost),
        ("stage", _) => of.stage.to_string(),
        ("mount", _) => of.mount.clone(),
        ("max_run", _) => of.max_run.map_or_else(String::new, |m| {
            Decimal::of(m).map_or_else(|| m.to_string(), |d| d.to_string())
        }),
        ("says", _) => of.says.clone(),
        ("note", _) => of.note.clone(),
        ("source", _) => of.source.clone(),
        ("symbol", _) => of.symbol.clone(),
        ("step", _) => power(1),
        ("lag_ms", _) => book.lag_ms.to_string(),
        ("extra", _) if !of.extra.is_empty() => Value::Object(of.extra.clone()).to_string(),
        _ => String::new(),
    }
}
