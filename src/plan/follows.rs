//! That a plan follows a world: the field `follows` of its file.

use crate::read::{self, Faults, Place};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// The world that a plan follows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Follows {
    /// The world's id.
    pub world: String,
    /// What it was called when it was followed last; may be empty.
    pub name: String,
    /// Fields that this program does not know, kept.
    #[serde(with = "super::crossing")]
    pub extra: Map<String, Value>,
}

impl Follows {
    /// The world of this id, called so.
    pub fn new(world: &str, name: &str) -> Follows {
        Follows {
            world: world.into(),
            name: name.into(),
            extra: Map::new(),
        }
    }

    /// What people call the world: its name, or its id where no name is known.
    pub fn called(&self) -> &str {
        match self.name.is_empty() {
            true => &self.world,
            false => &self.name,
        }
    }

    pub(super) fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("world".into(), self.world.as_str().into());
        if !self.name.is_empty() {
            map.insert("name".into(), self.name.as_str().into());
        }
        map.extend(self.extra.clone());
        Value::Object(map)
    }
}

/// Reads the field `follows`; none where it is not there or can't be read.
pub(super) fn read_follows(
    map: &Map<String, Value>,
    root: &Place,
    faults: &mut Faults,
) -> Option<Follows> {
    let at = root.key("follows");
    let map = read::object(map.get("follows")?, &at, faults)?;
    let world = read::named(map, "world", &at, "the id of a world", faults);
    let name = read::text(map, "name", &at, faults).unwrap_or("");
    Some(Follows {
        world: world?.into(),
        name: name.into(),
        extra: read::extra(map, &["world", "name"]),
    })
}
