//! The numbers that a plan stands on, which are its world and its book, and what differs between two such sets, as data.
//!
//! Fields have the names that they have in a file; values are JSON values as a file would have them, null where there is
//! none. It chooses no words: those are the sheet's.

use super::{BookRef, Plan, SkyRef, World};
use crate::book::{Behaviour, Book, PartType};
use crate::gather::Gather;
use crate::quantity::number;
use crate::sky::Air;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// A world's numbers and a book's.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbers {
    /// The world.
    pub world: World,
    /// The book.
    pub book: BookRef,
}

/// Which number it is; each by its name in a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Changed {
    /// A field of the world: `day_s`, `latitude`, `weather`.
    World(String),
    /// A field of the book as a whole: `name`, `unit`, `step`, `lag_ms`.
    Book(&'static str),
    /// A field of a part type of the book: `peak`, `set.tilt`, `cost.copper`.
    Type {
        /// The type.
        kind: String,
        /// The field.
        field: String,
    },
    /// A part type that only the one book has; its value is its label.
    WholeType(String),
}

/// A number that differs.
#[derive(Clone, Debug, PartialEq)]
pub struct NumberChange {
    /// Which.
    pub what: Changed,
    /// What it was; null where there was none.
    pub from: Value,
    /// What it is then; null where there is none.
    pub to: Value,
}

impl NumberChange {
    /// Whether a part of the plan has to do with it: a number of a type that no part is of has no effect.
    pub fn is_in_use(&self, plan: &Plan) -> bool {
        match &self.what {
            Changed::World(_) | Changed::Book(_) => true,
            Changed::Type { kind, .. } | Changed::WholeType(kind) => {
                plan.parts.iter().any(|part| part.kind == *kind)
            }
        }
    }

    /// Whether it can change what a plan does: words and costs can't, nor can a type that no plan could have before.
    pub fn has_effect(&self) -> bool {
        const WORDS: [&str; 8] = [
            "label", "group", "symbol", "says", "note", "mount", "stage", "max_run",
        ];
        match &self.what {
            Changed::World(_) => true,
            Changed::Book(field) => !["name", "unit"].contains(field),
            Changed::Type { field, .. } => {
                !WORDS.contains(&field.as_str()) && !field.starts_with("cost.")
            }
            Changed::WholeType(_) => !self.from.is_null(),
        }
    }
}

impl Plan {
    /// The plan's own numbers.
    pub fn numbers(&self) -> Numbers {
        Numbers {
            world: self.world.clone(),
            book: self.book.clone(),
        }
    }
}

impl Numbers {
    /// What differs from these numbers to `other`: the world's first, then the book's in the order of its types, those
    /// that only the other has last.
    pub fn changes(&self, other: &Numbers) -> Vec<NumberChange> {
        let (from, to) = (world_fields(&self.world), world_fields(&other.world));
        let mut changes = differing(from, to, Changed::World);
        let (a, b) = (&*self.book.book, &*other.book.book);
        let heads = book_fields(a).into_iter().zip(book_fields(b));
        let differ = heads.filter(|((_, from), (_, to))| from != to);
        changes.extend(differ.map(|((field, from), (_, to))| NumberChange {
            what: Changed::Book(field),
            from,
            to,
        }));
        for kind in &a.types {
            match b.find(&kind.name) {
                Some(other) => changes.extend(type_changes(kind, a, other, b)),
                None => changes.push(NumberChange {
                    what: Changed::WholeType(kind.name.clone()),
                    from: kind.label.as_str().into(),
                    to: Value::Null,
                }),
            }
        }
        let new = b.types.iter().filter(|kind| a.find(&kind.name).is_none());
        changes.extend(new.map(|kind| NumberChange {
            what: Changed::WholeType(kind.name.clone()),
            from: Value::Null,
            to: kind.label.as_str().into(),
        }));
        changes
    }
}

/// Fields of one side, in their order.
type Fields = Vec<(String, Value)>;

fn type_changes(from: &PartType, of: &Book, to: &PartType, other: &Book) -> Vec<NumberChange> {
    if from == to && of.unit == other.unit {
        return Vec::new();
    }
    let kind = &from.name;
    differing(type_fields(from, of), type_fields(to, other), |field| {
        Changed::Type {
            kind: kind.clone(),
            field,
        }
    })
}

/// The fields that differ: those of the first side in its order, then those that only the second has.
fn differing(from: Fields, to: Fields, what: impl Fn(String) -> Changed) -> Vec<NumberChange> {
    let mut there: BTreeMap<String, Value> = to.iter().cloned().gather();
    let mut changes = Vec::new();
    for (field, value) in from {
        let other = there.remove(&field).unwrap_or_default();
        if value != other {
            changes.push(NumberChange {
                what: what(field),
                from: value,
                to: other,
            });
        }
    }
    let only_there = to
        .into_iter()
        .filter(|(field, _)| there.contains_key(field));
    changes.extend(only_there.map(|(field, value)| NumberChange {
        what: what(field),
        from: Value::Null,
        to: value,
    }));
    changes
}

fn world_fields(world: &World) -> Fields {
    let mut fields: Fields = vec![("day_s".into(), number(world.day_s))];
    let mut field = |key: &str, value: Value| fields.push((key.into(), value));
    match world.sky {
        SkyRef::Place {
            latitude,
            day_of_year,
        } => {
            field("latitude", number(latitude));
            field("day_of_year", number(day_of_year));
        }
        SkyRef::Arc {
            rise,
            set,
            rise_azimuth,
            highest,
        } => {
            field("rise", rise.to_string().into());
            field("set", set.to_string().into());
            field("rise_azimuth", number(rise_azimuth));
            field("highest", number(highest));
        }
    }
    field(
        "air",
        match world.air {
            Air::Clear => "clear".into(),
            Air::None => "none".into(),
        },
    );
    let list = |list: &[f64]| Value::Array(list.iter().map(|n| number(*n)).collect());
    field("weather", list(&world.weather));
    field("wind", list(&world.wind));
    let span = |s: &super::Span| json!([s.from.to_string(), s.to.to_string()]);
    field("home", world.home.iter().map(span).collect());
    for (key, value) in world.sky_extra.iter().chain(&world.extra) {
        field(key, value.clone());
    }
    fields
}

fn book_fields(book: &Book) -> [(&'static str, Value); 4] {
    [
        ("name", book.name.as_str().into()),
        ("unit", book.unit.sign.as_str().into()),
        ("step", number(book.unit.step)),
        ("lag_ms", book.lag_ms.into()),
    ]
}

fn type_fields(kind: &PartType, book: &Book) -> Fields {
    let mut fields: Fields = vec![
        ("label".into(), kind.label.as_str().into()),
        ("behaviour".into(), kind.behaviour.name().into()),
    ];
    let numbers = kind.behaviour.numbers(&book.unit).into_iter();
    fields.extend(numbers.map(|(key, value)| (key.to_string(), value)));
    // A file leaves out what a load does by default.
    if let Behaviour::Load { short, .. } = kind.behaviour
        && !fields.iter().any(|(key, _)| key == "short")
    {
        fields.push(("short".into(), short.word().into()));
    }
    let set = kind.set.iter();
    fields.extend(set.map(|(key, value)| (format!("set.{key}"), value.clone())));
    let cost = kind.cost.iter();
    fields.extend(cost.map(|(what, amount)| (format!("cost.{what}"), (*amount).into())));
    fields.push(("stage".into(), kind.stage.into()));
    for (key, text) in [
        ("mount", &kind.mount),
        ("group", &kind.group),
        ("symbol", &kind.symbol),
        ("says", &kind.says),
        ("note", &kind.note),
    ] {
        fields.push((key.into(), text.as_str().into()));
    }
    let max_run = kind.max_run.map_or(Value::Null, number);
    fields.push(("max_run".into(), max_run));
    fields
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use std::sync::Arc;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap()
    }

    #[test]
    fn what_differs_is_told_field_by_field_and_nothing_else_is() {
        let plan = kittiwake();
        let own = plan.numbers();
        assert_eq!(own.changes(&own), []);
        let mut other = own.clone();
        other.world.day_s = 43_200.0;
        let book = Arc::make_mut(&mut other.book.book);
        let mut lantern = book.find("lantern").unwrap().clone();
        lantern.name = "storm-lantern".into();
        book.types.push(lantern);
        book.types.retain(|t| t.name != "siren");
        let panel = book
            .types
            .iter_mut()
            .find(|t| t.name == "sun-panel")
            .unwrap();
        let Behaviour::Source { peak, .. } = &mut panel.behaviour else {
            panic!("a panel is a source");
        };
        let was = std::mem::replace(peak, 7);
        panel.set.insert("tilt".into(), json!(12));
        let changes = own.changes(&other);
        let told = changes
            .iter()
            .map(|c| (c.what.clone(), c.from.clone(), c.to.clone()));
        let of = |field: &str| Changed::Type {
            kind: "sun-panel".into(),
            field: field.into(),
        };
        let tilt = own.book.book.find("sun-panel").unwrap().set["tilt"].clone();
        let siren = own.book.book.find("siren").unwrap().label.clone();
        let label = own.book.book.find("lantern").unwrap().label.clone();
        let expected = [
            (Changed::World("day_s".into()), json!(86_400), json!(43_200)),
            (of("peak"), json!(was), json!(7)),
            (of("set.tilt"), tilt, json!(12)),
            (
                Changed::WholeType("siren".into()),
                json!(siren),
                Value::Null,
            ),
            (
                Changed::WholeType("storm-lantern".into()),
                Value::Null,
                json!(label),
            ),
        ];
        assert!(told.eq(expected), "{changes:#?}");
        let used: Vec<bool> = changes.iter().map(|c| c.is_in_use(&plan)).collect();
        // The station has a siren, no plain panel and no storm lantern.
        assert_eq!(used, [true, false, false, true, false]);
    }

    #[test]
    fn another_kind_of_sky_is_told_with_what_it_has_and_the_other_has_not() {
        let own = kittiwake().numbers();
        let mut other = own.clone();
        other.world.sky = SkyRef::Arc {
            rise: crate::plan::Clock::parse("05:00").unwrap(),
            set: crate::plan::Clock::parse("20:00").unwrap(),
            rise_azimuth: 80.0,
            highest: 60.0,
        };
        let told: Vec<(String, bool)> = (own.changes(&other).into_iter())
            .map(|c| match c.what {
                Changed::World(field) => (field, c.to.is_null()),
                other => panic!("{other:?}"),
            })
            .collect();
        let expected = [
            ("latitude", true),
            ("day_of_year", true),
            ("rise", false),
            ("set", false),
            ("rise_azimuth", false),
            ("highest", false),
        ];
        let expected = expected.map(|(field, gone)| (field.to_string(), gone));
        assert_eq!(told, expected);
    }

    #[test]
    fn a_changed_note_is_a_change_and_a_change_of_the_step_is_one_of_the_capacities() {
        let own = kittiwake().numbers();
        let mut other = own.clone();
        Arc::make_mut(&mut other.book.book).types[0].note = "Ours.".into();
        assert_eq!(own.changes(&other).len(), 1);
        let mut other = own.clone();
        Arc::make_mut(&mut other.book.book).unit.step = 2.0;
        let told = own.changes(&other);
        assert!(told.iter().any(|c| c.what == Changed::Book("step")));
        let capacity = |c: &&NumberChange| matches!(&c.what, Changed::Type { field, .. } if field == "capacity");
        let batteries = own.book.book.types.iter();
        let batteries = batteries
            .filter(|t| t.behaviour.name() == "battery")
            .count();
        assert_eq!(told.iter().filter(capacity).count(), batteries);
    }
}
