//! Words for numbers of a world or a book that changed, and for why a plan can't stand on others. What changed was found
//! before, as data.

use crate::book::Book;
use crate::limits;
use crate::plan::{Changed, Clock, NumberChange, Numbers, Plan, Refusal};
use crate::quantity::Short;
use crate::read::Fault;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// How many parts are told by name.
const SHOWN: usize = 4;

/// A number that changed, in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Said {
    /// Which: `Sun panel: peak`, `Length of the day`.
    pub what: String,
    /// What it was.
    pub from: String,
    /// What it is then.
    pub to: String,
}

/// A number that changed from the book `from` to the book `to`. Of a list of hours or days only the places that differ
/// are told.
pub fn change(change: &NumberChange, from: &Book, to: &Book) -> Said {
    let label = |kind: &str| {
        let found = from.find(kind).or_else(|| to.find(kind));
        found.map_or_else(|| kind.to_string(), |t| t.label.clone())
    };
    let (before, after) = match &change.what {
        Changed::World(field) if field == "wind" || field == "weather" => {
            places(field, &change.from, &change.to)
        }
        Changed::WholeType(_) => [&change.from, &change.to].map(is_there).into(),
        _ => [&change.from, &change.to].map(value).into(),
    };
    Said {
        what: match &change.what {
            Changed::World(field) => world_label(field).into(),
            Changed::Book("name") => "Name of the book".into(),
            Changed::Book("unit") => "Unit".into(),
            Changed::Book("step") => "Size of a step".into(),
            Changed::Book("lag_ms") => "Lag of contacts, in milliseconds".into(),
            Changed::Book(other) => (*other).into(),
            Changed::Type { kind, field } => format!("{}: {}", label(kind), type_label(field)),
            Changed::WholeType(kind) => label(kind),
        },
        from: before,
        to: after,
    }
}

/// The numbers that differ from some to others.
pub fn differing(from: &Numbers, to: &Numbers) -> Vec<Said> {
    let changes = from.changes(to);
    let said = |c| change(c, &from.book.book, &to.book.book);
    changes.iter().map(said).collect()
}

/// A fault of a document as a sentence.
pub fn fault(fault: &Fault) -> String {
    format!(
        "{}: found {}, expected {}.",
        fault.place, fault.found, fault.expected
    )
}

/// Why a plan can't stand on other numbers, as a sentence.
pub fn refusal(plan: &Plan, refusal: &Refusal) -> String {
    match refusal {
        Refusal::NoType { kind, parts } => {
            let label = plan.book.book.find(kind).map_or(kind, |t| &t.label);
            let names: Vec<String> = parts.iter().take(SHOWN).map(|id| plan.called(id)).collect();
            let more = match parts.len().saturating_sub(SHOWN) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            format!(
                "The book has no {label} ({kind}), and the plan has: {}{more}.",
                names.join(", ")
            )
        }
        Refusal::NoPort(end) => format!(
            "In the book {} has no port {}, and a wire ends there.",
            plan.called(&end.part),
            end.port
        ),
        Refusal::Unfit(found) => fault(found),
    }
}

fn world_label(field: &str) -> &str {
    match field {
        "day_s" => "Length of the day, in seconds",
        "latitude" => "Latitude, in degrees north",
        "day_of_year" => "Day of the year",
        "rise" => "Sunrise",
        "set" => "Sunset",
        "rise_azimuth" => "Where the sun rises, in degrees from north",
        "highest" => "How high the sun stands, in degrees",
        "air" => "Air",
        "weather" => "Weather",
        "wind" => "Wind",
        "home" => "When somebody is home",
        other => other,
    }
}

/// What a field of a part type is called, within a line.
fn type_label(field: &str) -> String {
    if let Some(material) = field.strip_prefix("cost.") {
        return format!("cost in {material}");
    }
    let key = field.strip_prefix("set.").unwrap_or(field);
    let tables = [
        limits::SOURCE,
        limits::SUN,
        limits::BATTERY,
        limits::CHARGE,
        limits::LOAD,
        limits::SHORT,
        limits::TAP,
        limits::WAY,
        limits::CHANGEOVER,
        limits::CONTACT,
    ];
    let functions = limits::FUNCTIONS.iter().map(|(_, fields)| *fields);
    let mut fields = tables.into_iter().chain(functions).flatten();
    let found = fields.find(|f| f.key == key);
    found.map_or_else(|| key.to_string(), |f| f.label.to_lowercase())
}

fn is_there(value: &Value) -> String {
    match value.is_null() {
        true => "not in the book".into(),
        false => "in the book".into(),
    }
}

fn value(value: &Value) -> String {
    match value {
        Value::Null => "not set".into(),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        Value::String(text) => text.clone(),
        Value::Number(n) => n.as_f64().map_or(n.to_string(), |n| Short(n).to_string()),
        Value::Array(list) if list.is_empty() => "none".into(),
        Value::Array(list) => {
            let span = |v: &Value| match v.as_array().map(Vec::as_slice) {
                Some([Value::String(from), Value::String(to)]) => format!("{from} to {to}"),
                _ => self::value(v),
            };
            let all: Vec<String> = list.iter().map(span).collect();
            all.join(", ")
        }
        Value::Object(_) => value.to_string(),
    }
}

/// The places of two lists that differ: hours of the dial for the wind, days for the weather.
fn places(field: &str, from: &Value, to: &Value) -> (String, String) {
    let lists = [from, to].map(|v| v.as_array().map_or(&[][..], Vec::as_slice));
    let [a, b] = lists;
    if a.is_empty() || b.is_empty() || a.len() != b.len() {
        return (value(from), value(to));
    }
    let differ: Vec<usize> = (0..a.len()).filter(|at| a[*at] != b[*at]).collect();
    let named = |at: usize| match field {
        "wind" => Clock::at(at as u64, 24).to_string(),
        _ => format!("day {}", at + 1),
    };
    let tell = |list: &[Value]| {
        let one = |at: &usize| format!("{} at {}", value(&list[*at]), named(*at));
        let told: Vec<String> = differ.iter().take(SHOWN).map(one).collect();
        let more = match differ.len().saturating_sub(SHOWN) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        format!("{}{more}", told.join(", ")).replace(" at day", " on day")
    };
    (tell(a), tell(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{End, Numbers, Span, read_plan};
    use std::sync::Arc;

    fn plan() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    fn told(change_it: impl Fn(&mut Numbers)) -> Vec<String> {
        let own = plan().numbers();
        let mut other = own.clone();
        change_it(&mut other);
        let line = |c: &NumberChange| {
            let said = change(c, &own.book.book, &other.book.book);
            format!("{}: {} → {}", said.what, said.from, said.to)
        };
        own.changes(&other).iter().map(line).collect()
    }

    #[test]
    fn a_change_of_the_world_is_said_with_what_differs_of_a_list() {
        let said = told(|numbers| {
            let world = &mut numbers.world;
            world.day_s = 3_600.5;
            world.weather = vec![1.0, 0.25];
            world.wind[3] += 0.5;
            world.home = vec![Span {
                from: Clock::parse("17:00").unwrap(),
                to: Clock::parse("08:00").unwrap(),
            }];
        });
        let wind = plan().world.wind[3];
        let expected = [
            "Length of the day, in seconds: 86400 → 3600.5".to_string(),
            "Weather: 0.6 on day 2 → 0.25 on day 2".into(),
            format!(
                "Wind: {} at 03:00 → {} at 03:00",
                Short(wind),
                Short(wind + 0.5)
            ),
            "When somebody is home: 17:30 to 08:30 → 17:00 to 08:00".into(),
        ];
        assert_eq!(said, expected);
    }

    #[test]
    fn a_change_of_the_book_is_said_by_its_labels() {
        let said = told(|numbers| {
            let book = Arc::make_mut(&mut numbers.book.book);
            book.types.retain(|t| t.name != "siren");
            let lamp = book.types.iter_mut().find(|t| t.name == "lamp").unwrap();
            if let crate::book::Behaviour::Load { draw, .. } = &mut lamp.behaviour {
                *draw = 1;
            }
            lamp.cost = vec![("whale oil".into(), 2)];
            lamp.max_run = Some(12.5);
        });
        let lines = [
            "Lamp: draws: 2 → 1",
            "Lamp: cost in whale oil: not set → 2",
            "Siren: in the book → not in the book",
        ];
        for line in lines {
            assert!(said.iter().any(|s| s == line), "{line} is not in {said:#?}");
        }
        assert!(
            said.iter()
                .any(|s| s.starts_with("Lamp: max_run: ") && s.ends_with(" → 12.5"))
        );
    }

    #[test]
    fn a_refusal_names_what_of_the_plan_is_in_the_way() {
        let plan = plan();
        let parts: Vec<_> = plan.parts.iter().take(6).map(|p| p.id.clone()).collect();
        let names: Vec<String> = parts.iter().take(4).map(|id| plan.called(id)).collect();
        let no_type = Refusal::NoType {
            kind: "lamp".into(),
            parts: parts.clone(),
        };
        assert_eq!(
            refusal(&plan, &no_type),
            format!(
                "The book has no Lamp (lamp), and the plan has: {} and 2 more.",
                names.join(", ")
            )
        );
        assert_eq!(
            refusal(&plan, &Refusal::NoPort(End::new(&parts[0], "rest"))),
            format!(
                "In the book {} has no port rest, and a wire ends there.",
                names[0]
            )
        );
    }
}
