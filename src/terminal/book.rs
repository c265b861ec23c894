//! `duskline book`: the part types of a parts book, for reading, as JSON, as the book's own file, and as a table for a
//! spreadsheet. A book's file or a table is read as well.

use super::output::{BookOutput, Keyed, NumbersOutput, TypeOutput};
use super::{Answer, lines, print, remark, table::Table, text_of, value_of};
use crate::book::table::{Remark, read_table, write_table};
use crate::book::{self, Behaviour, Book, PartType};
use crate::limits;
use crate::quantity::{Short as Number, Unit};
use clap::Args;
use serde_json::Value;
use std::path::Path;
use std::sync::Arc;

/// What is asked of a book.
#[derive(Args)]
pub(super) struct Options {
    /// A built-in book's name, or a file with a book or a table of part types, or - for the standard input
    #[arg(default_value = "outpost", value_name = "NAME|FILE")]
    book: String,
    /// Print a table for a spreadsheet, comma-separated: one row a part type
    #[arg(long, group = "form")]
    csv: bool,
    /// Print the book's own file, to be edited or written into a plan
    #[arg(long, group = "form")]
    file: bool,
    /// Print JSON: the part types with their ports
    #[arg(long, group = "form")]
    json: bool,
}

/// The book of this name, or in this file, in the form that is asked for.
pub(super) fn answer(options: &Options) -> Result<Answer, String> {
    let (book, remarks) = find(&options.book)?;
    let text = if options.json {
        print(&as_json(&book))
    } else if options.file {
        book.print()
    } else if options.csv {
        write_table(&book)
    } else {
        as_text(&book)
    };
    remarks.iter().for_each(|said| remark(&said.to_string()));
    Ok(Answer::new(text, &[]))
}

fn find(name: &str) -> Result<(Arc<Book>, Vec<Remark>), String> {
    if let Some(book) = book::built_in(name) {
        return Ok((book, Vec::new()));
    }
    let text = text_of(name).map_err(|said| {
        format!(
            "{said}The built-in books are: {}.\n",
            book::built_in_names().join(", ")
        )
    })?;
    let start = text.trim_start_matches('\u{feff}').trim_start();
    if !start.is_empty() && !start.starts_with(['{', '[']) {
        let stem = Path::new(name).file_stem().and_then(|stem| stem.to_str());
        let stem = stem.filter(|stem| *stem != "-").unwrap_or("table");
        let table = read_table(&text, stem).map_err(|faults| lines(name, &faults))?;
        return Ok((table.book.into(), table.remarks));
    }
    let value = crate::read::json(start).map_err(|fault| lines(name, &[fault]))?;
    let found = book::read_book(&value).map_err(|faults| lines(name, &faults))?;
    Ok((found.into(), Vec::new()))
}

/// The behaviour's numbers as in a book, with their names.
fn numbers(of: &PartType, unit: &Unit) -> NumbersOutput {
    match of.behaviour {
        Behaviour::Source { peak, profile } => NumbersOutput::Source {
            peak,
            profile: profile.word(),
        },
        Behaviour::Battery {
            capacity,
            max_in,
            max_out,
            efficiency,
            cut_out,
            cut_in,
        } => NumbersOutput::Battery {
            capacity: unit.hours(capacity),
            max_in,
            max_out,
            efficiency,
            cut_out,
            cut_in,
        },
        Behaviour::Load { draw, short } => NumbersOutput::Load {
            draw,
            short: short.word(),
        },
        Behaviour::Divider { ways } | Behaviour::Busbar { ways } => NumbersOutput::Ways { ways },
        Behaviour::Contact { function, coil } => NumbersOutput::Contact {
            function: function.name(),
            coil,
        },
        Behaviour::Tap | Behaviour::Changeover | Behaviour::Meter => NumbersOutput::None {},
    }
}

fn as_json(book: &Book) -> BookOutput<'_> {
    BookOutput {
        name: &book.name,
        unit: &book.unit.sign,
        step: book.unit.step,
        lag_ms: book.lag_ms,
        types: book
            .types
            .iter()
            .map(|t| type_json(t, &book.unit))
            .collect(),
    }
}

fn type_json<'a>(of: &'a PartType, unit: &Unit) -> TypeOutput<'a> {
    TypeOutput {
        name: &of.name,
        label: &of.label,
        group: &of.group,
        behaviour: of.behaviour.name(),
        numbers: numbers(of, unit),
        set: &of.set,
        ports: of.ports().iter().map(|p| p.name.to_string()).collect(),
        cost: Keyed(of.cost.iter().map(|(m, n)| (m.as_str(), *n)).collect()),
        stage: of.stage,
        mount: &of.mount,
        max_run: of.max_run,
        says: &of.says,
    }
}

fn as_text(book: &Book) -> String {
    let mut table = Table::new(&["type", "label", "behaviour", "numbers and settings", "cost"]);
    for t in &book.types {
        let own = value_of(&numbers(t, &book.unit));
        let own = own.as_object().into_iter().flatten();
        let fields = || {
            limits::SOURCE
                .iter()
                .chain(limits::BATTERY)
                .chain(limits::LOAD)
                .chain(limits::CONTACT)
        };
        let is_power = |key: &str| {
            let mut all = fields().chain(t.fields());
            all.any(|f| f.key == key && f.unit == "steps")
        };
        // Where a step is not 1 of the unit, steps would mislead.
        let said = |key: &str, value: &Value| match value.as_u64() {
            Some(steps) if book.unit.step != 1.0 && is_power(key) => book.unit.say_power(steps),
            _ => plain(value),
        };
        let words: Vec<String> = own
            .chain(&t.set)
            .map(|(k, v)| format!("{k} {}", said(k, v)))
            .collect();
        let cost: Vec<String> = t.cost.iter().map(|(m, n)| format!("{n} {m}")).collect();
        table.row([
            t.name.clone(),
            t.label.clone(),
            t.behaviour.name().to_string(),
            words.join(", "),
            cost.join(", "),
        ]);
    }
    let says = match book.says.as_str() {
        "" => String::new(),
        says => format!("{says}\n"),
    };
    let caution = match book.caution.as_str() {
        "" => String::new(),
        caution => format!("\n{caution}\n"),
    };
    format!(
        "{}: {} part types. A step of power is {} {}, a contact's lag {} ms.\n{says}\n{table}{caution}",
        book.name,
        book.types.len(),
        Number(book.unit.step),
        book.unit.sign,
        book.lag_ms
    )
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Number(n) => n.as_f64().map_or(n.to_string(), |n| Number(n).to_string()),
        other => other.to_string(),
    }
}
