//! `duskline book`: the part types of a parts book.

use super::{Answer, lines, print, table::Table, text_of};
use crate::book::{self, Behaviour, Book, PartType, Profile, Short};
use crate::quantity::{Short as Number, Unit};
use serde_json::{Value, json};
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
fn numbers(of: &PartType, unit: &Unit) -> Value {
    match of.behaviour {
        Behaviour::Source { peak, profile } => {
            let profile = match profile {
                Profile::Steady => "steady",
                Profile::Sun => "sun",
                Profile::Wind => "wind",
            };
            json!({ "peak": peak, "profile": profile })
        }
        Behaviour::Battery {
            capacity,
            max_in,
            max_out,
            efficiency,
            cut_out,
            cut_in,
        } => json!({
            "capacity": unit.hours(capacity), "max_in": max_in, "max_out": max_out,
            "efficiency": efficiency, "cut_out": cut_out, "cut_in": cut_in,
        }),
        Behaviour::Load { draw, short } => {
            let short = match short {
                Short::Pass => "pass",
                Short::Hold => "hold",
                Short::Waste => "waste",
            };
            json!({ "draw": draw, "short": short })
        }
        Behaviour::Divider { ways } | Behaviour::Busbar { ways } => json!({ "ways": ways }),
        Behaviour::Contact { function, coil } => {
            json!({ "function": function.name(), "coil": coil })
        }
        Behaviour::Tap | Behaviour::Changeover | Behaviour::Meter => json!({}),
    }
}

fn as_json(book: &Book) -> Value {
    let one = |t: &PartType| {
        let ports: Vec<String> = t.ports().iter().map(|p| p.name.to_string()).collect();
        let cost: serde_json::Map<String, Value> = t
            .cost
            .iter()
            .map(|(material, n)| (material.clone(), (*n).into()))
            .collect();
        json!({
            "type": t.name, "label": t.label, "group": t.group, "behaviour": t.behaviour.name(),
            "numbers": numbers(t, &book.unit), "set": t.set, "ports": ports, "cost": cost,
            "stage": t.stage, "mount": t.mount, "max_run": t.max_run, "says": t.says,
        })
    };
    json!({
        "name": book.name, "unit": book.unit.sign, "step": book.unit.step, "lag_ms": book.lag_ms,
        "types": book.types.iter().map(one).collect::<Vec<_>>(),
    })
}

fn as_text(book: &Book) -> String {
    let mut table = Table::new(&["type", "label", "behaviour", "numbers and settings", "cost"]);
    for t in &book.types {
        let own = numbers(t, &book.unit);
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
