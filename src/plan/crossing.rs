//! How the open parts of a plan's edits cross to a web worker, whose form of text knows no JSON values: as their JSON.

use serde::de::{DeserializeOwned, Error as _};
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Writes a JSON value as its text.
pub fn serialize<T: Serialize, S: Serializer>(value: &T, to: S) -> Result<S::Ok, S::Error> {
    let text = serde_json::to_string(value).map_err(S::Error::custom)?;
    text.serialize(to)
}

/// Reads a JSON value from its text.
pub fn deserialize<'de, T: DeserializeOwned, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    let text = String::deserialize(from)?;
    serde_json::from_str(&text).map_err(D::Error::custom)
}

#[cfg(test)]
mod tests {
    use crate::plan::{Edit, End, Part, Reach, Wire, read_plan};

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
                Some(serde_json::json!([["06:00", true]])),
            ),
            Edit::Set(id, "tilt".into(), None),
            Edit::Duties(plan.duties.clone()),
            Edit::World(Box::new(plan.world.clone())),
        ];
        let bytes = postcard::to_allocvec(&edits).unwrap();
        let back: Vec<Edit> = postcard::from_bytes(&bytes).unwrap();
        assert_eq!(back, edits);
    }
}
