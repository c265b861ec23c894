//! How the open parts of a plan's edits are written in a form that knows no JSON values: to a web worker, and in a packed
//! history. Each value goes as a choice of its own, so that every number comes out bit for bit as it went in.

use serde::de::{DeserializeOwned, Error as _};
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::{Map, Number, Value};

/// A JSON value as a choice that any form can write.
#[derive(Serialize, Deserialize)]
pub(super) enum Json {
    Null,
    Bool(bool),
    Whole(u64),
    Negative(i64),
    Decimal(f64),
    Text(String),
    List(Vec<Json>),
    Object(Vec<(String, Json)>),
}

impl From<Value> for Json {
    fn from(value: Value) -> Json {
        match value {
            Value::Null => Json::Null,
            Value::Bool(is) => Json::Bool(is),
            Value::Number(n) => match (n.as_u64(), n.as_i64()) {
                (Some(whole), _) => Json::Whole(whole),
                (_, Some(negative)) => Json::Negative(negative),
                _ => n.as_f64().map_or(Json::Null, Json::Decimal),
            },
            Value::String(text) => Json::Text(text),
            Value::Array(list) => Json::List(list.into_iter().map(Json::from).collect()),
            Value::Object(map) => {
                let entries = map.into_iter().map(|(key, value)| (key, value.into()));
                Json::Object(entries.collect())
            }
        }
    }
}

impl From<Json> for Value {
    fn from(json: Json) -> Value {
        match json {
            Json::Null => Value::Null,
            Json::Bool(is) => Value::Bool(is),
            Json::Whole(whole) => Value::from(whole),
            Json::Negative(negative) => Value::from(negative),
            Json::Decimal(decimal) => Number::from_f64(decimal).map_or(Value::Null, Value::Number),
            Json::Text(text) => Value::String(text),
            Json::List(list) => Value::Array(list.into_iter().map(Value::from).collect()),
            Json::Object(entries) => {
                let entries = entries.into_iter().map(|(key, json)| (key, json.into()));
                Value::Object(Map::from_iter(entries))
            }
        }
    }
}

/// Writes a JSON value, or what holds one, as a [`Json`].
pub fn serialize<T: Serialize, S: Serializer>(value: &T, to: S) -> Result<S::Ok, S::Error> {
    let value = serde_json::to_value(value).map_err(S::Error::custom)?;
    Json::from(value).serialize(to)
}

/// Reads a JSON value, or what holds one, from a [`Json`].
pub fn deserialize<'de, T: DeserializeOwned, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    let json = Json::deserialize(from)?;
    serde_json::from_value(json.into()).map_err(D::Error::custom)
}

/// The same for a value that may be missing; a missing one is not a null.
pub mod optional {
    use super::{Deserialize, Deserializer, Json, Serialize, Serializer, Value};

    /// Writes the value, if there is one, as a [`Json`].
    pub fn serialize<S: Serializer>(value: &Option<Value>, to: S) -> Result<S::Ok, S::Error> {
        value.clone().map(Json::from).serialize(to)
    }

    /// Reads it back.
    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Value>, D::Error> {
        Ok(Option::<Json>::deserialize(from)?.map(Value::from))
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::{BookRef, Edit, End, Part, Reach, Wire, read_plan};

    #[test]
    fn edits_cross_and_come_out_as_they_went_in() {
        let plan = read_plan(include_str!("../../assets/examples/kittiwake-light.json")).unwrap();
        let part = Part {
            reach: Some(Reach::Friends),
            ..plan.parts[0].clone()
        };
        let id = part.id.clone();
        let wire = Wire::new("w900".into(), End::new(&id, "out"), End::new(&id, "in"));
        let edits = vec![
            Edit::AddPart(3, part),
            Edit::AddWire(1, wire),
            Edit::Set(
                id.clone(),
                "schedule".into(),
                Some(serde_json::json!([["06:00", true], null, -3, 0.1, {"a": {}}])),
            ),
            // Two decimals that are next to each other: none may come out as the other.
            Edit::Set(
                id.clone(),
                "odd".into(),
                Some(serde_json::json!([
                    0.30000000000000004,
                    0.3,
                    9.007199254740993e15
                ])),
            ),
            Edit::Set(id.clone(), "null".into(), Some(serde_json::Value::Null)),
            Edit::Set(id, "tilt".into(), None),
            Edit::Duties(plan.duties.clone()),
            Edit::World(Box::new(plan.world.clone())),
            Edit::Book(plan.book.clone()),
            Edit::Book(BookRef::none()),
        ];
        let bytes = postcard::to_allocvec(&edits).unwrap();
        let back: Vec<Edit> = postcard::from_bytes(&bytes).unwrap();
        assert_eq!(back, edits);
    }
}
