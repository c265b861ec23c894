//! `duskline book`: the part types of a parts book.

use super::output::{BookOutput, Keyed, NumbersOutput, TypeOutput};
use super::{Answer, lines, print, table::Table, text_of, value_of};
use crate::book::{self, Behaviour, Book, PartType};
use crate::quantity::{Short as Number, Unit};
use serde_json::Value;
use std::sync::Arc;

/// The book of this name, or in this file, as JSON or for reading.
pub(super) fn answer(name: &str, json: bool) -> Result<Answer, String> {
    let book = find(name)?;
    let text = if json {
        print(&as_json(&book))
    } else {
        as_text(&book)
    };
    Ok(Answer::new(text, &[]))
}

fn find(name: &str) -> Result<Arc<Book>, String> {
    if let Some(book) = book::built_in(name) {
        return Ok(book);
    }
    let text = text_of(name).map_err(|said| {
        format!(
            "{said}The built-in books are: {}.\n",
            book::built_in_names().join(", ")
        )
    })?;
    let value = crate::read::json(&text).map_err(|fault| lines(name, &[fault]))?;
    let found = book::read_book(&value).map_err(|faults| lines(name, &faults))?;
    Ok(found.into())
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
        let words: Vec<String> = own
            .chain(&t.set)
            .map(|(k, v)| format!("{k} {}", plain(v)))
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
    format!(
        "{}: {} part types. A step of power is {} {}, a contact's lag {} ms.\n\n{table}",
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
