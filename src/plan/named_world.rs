//! A world as a thing of its own: a name, its numbers, and the book of what can be built in it. Many plans may follow one.
//!
//! Its file form is JSON like a plan's, read with every fault in one go. Its `id` is what plans follow it by; a world
//! without one goes by its name.

use super::read::read_book_ref;
use super::{BookRef, Numbers, World};
use crate::read::{self, Faults, Head, Place};
use serde_json::{Map, Value};

/// The name of the file form of a world.
pub const WORLD_FORMAT: &str = "duskline/world";
/// The version of the file form that this program reads and writes.
pub const WORLD_VERSION: u64 = 1;

const HEAD: Head = Head {
    format: WORLD_FORMAT,
    version: WORLD_VERSION,
    what: "world",
};

/// A world with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedWorld {
    /// What plans follow it by; empty where its name is that.
    id: String,
    /// What it is called; never empty.
    pub name: String,
    /// Its numbers and its book.
    pub numbers: Numbers,
    /// Fields that this program does not know, kept.
    pub extra: Map<String, Value>,
}

impl NamedWorld {
    /// A world of this name, to be followed by this id; an empty id means the name.
    pub fn new(id: &str, name: &str, numbers: Numbers) -> NamedWorld {
        NamedWorld {
            id: id.into(),
            name: name.into(),
            numbers,
            extra: Map::new(),
        }
    }

    /// What plans follow it by.
    pub fn id(&self) -> &str {
        match self.id.is_empty() {
            true => &self.name,
            false => &self.id,
        }
    }

    /// The same world under another id and name.
    pub fn renamed(&self, id: &str, name: &str) -> NamedWorld {
        NamedWorld {
            id: id.into(),
            name: name.into(),
            ..self.clone()
        }
    }

    /// The world as a JSON value.
    pub fn to_value(&self) -> Value {
        let mut map = HEAD.written();
        if !self.id.is_empty() {
            map.insert("id".into(), self.id.as_str().into());
        }
        map.insert("name".into(), self.name.as_str().into());
        map.insert("book".into(), self.numbers.book.written.clone());
        let world = self.numbers.world.write();
        if !world.is_empty() {
            map.insert("world".into(), Value::Object(world));
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }

    /// The world as a file's text, laid out for reading.
    pub fn print(&self) -> String {
        format!("{:#}\n", self.to_value())
    }
}

/// Reads a world's file form; every fault in one reading.
pub fn read_world(text: &str) -> Result<NamedWorld, Faults> {
    let value = read::json(text.trim_start_matches('\u{feff}')).map_err(|fault| vec![fault])?;
    world_of_value(&value)
}

/// As [`read_world`], of a value that is parsed already.
pub fn world_of_value(value: &Value) -> Result<NamedWorld, Faults> {
    let mut faults = Faults::new();
    let root = Place::root("world file");
    let Some(map) = read::object(value, &root, &mut faults) else {
        return Err(faults);
    };
    HEAD.check(map, &root).map_err(|fault| vec![fault])?;
    let id = read::text(map, "id", &root, &mut faults).unwrap_or("");
    let name = read::named(map, "name", &root, "what the world is called", &mut faults);
    let book = read_book_ref(map, &root, &mut faults);
    let world = match map.get("world") {
        Some(world) => World::read(world, &root.key("world"), &mut faults),
        None => World::default(),
    };
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(NamedWorld {
        id: id.into(),
        name: name.unwrap_or("").into(),
        numbers: Numbers {
            world,
            book: book.unwrap_or_else(BookRef::none),
        },
        extra: read::extra(map, &["format", "version", "id", "name", "book", "world"]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_printed_is_read_back_with_what_is_not_known() {
        let file = json!({
            "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands", "book": "outpost",
            "world": { "day_s": 7200, "wind": vec![0.25; 24], "home": [["18:00", "07:00"]], "moon": 2 },
            "colour": "grey",
        });
        let world = read_world(&file.to_string()).unwrap();
        assert_eq!((world.id(), world.name.as_str()), ("k1", "Kittiwake sands"));
        assert_eq!(world.to_value(), file);
        assert_eq!(read_world(&world.print()).unwrap(), world);
        let least =
            json!({ "format": "duskline/world", "version": 1, "name": "Ledge", "book": "outpost" });
        let world = read_world(&least.to_string()).unwrap();
        assert_eq!(
            (world.id(), &world.numbers.world),
            ("Ledge", &World::default())
        );
        assert_eq!(world.to_value(), least);
        assert_eq!(world.renamed("k2", "Ledge 2").id(), "k2");
    }

    #[test]
    fn every_fault_of_a_world_is_told_in_one_reading() {
        let file = json!({
            "format": "duskline/world", "version": 1, "id": 4, "name": "", "book": "inpost",
            "world": { "day_s": -1, "wind": [1], "sky": { "latitude": 100, "air": "thick" } },
        });
        let faults = read_world(&file.to_string()).unwrap_err();
        let told: Vec<String> = faults.iter().map(|f| f.to_string()).collect();
        let expected = [
            "id: found 4, expected a text",
            "name: found an empty text, expected what the world is called",
            "book: found \"inpost\", expected a whole book or the name of a built-in one: outpost, harbour, bare",
            "world.day_s: found -1, expected a number from 0.001 to 100000000",
            "world.sky.air: found \"thick\", expected one of clear, none",
            "world.sky.latitude: found 100, expected a number from -90 to 90",
            "world.wind: found 1 values, expected 24 values, one an hour of the dial",
        ];
        assert_eq!(told, expected);
        let plan = include_str!("../../assets/examples/first-light.json");
        let faults = read_world(plan).unwrap_err();
        assert_eq!(
            faults[0].to_string(),
            "format: found \"duskline/plan\", expected \"duskline/world\""
        );
        assert_eq!(
            read_world("[]").unwrap_err()[0].to_string(),
            "world file: found a list of 0, expected an object"
        );
    }
}
