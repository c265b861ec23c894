//! The sites that come with the program, to begin with: empty of parts.

use super::place::Site;
use super::read::read_site;
use crate::read::Place;

/// Their names and files' texts; a new plan has the first.
pub const READY: [(&str, &str); 5] = [
    ("Hut", include_str!("../../assets/sites/hut.json")),
    (
        "Boat house",
        include_str!("../../assets/sites/boat-house.json"),
    ),
    ("Tower", include_str!("../../assets/sites/tower.json")),
    ("Cave", include_str!("../../assets/sites/cave.json")),
    ("Yard", include_str!("../../assets/sites/yard.json")),
];

/// The ready site of that name.
pub fn ready_site(name: &str) -> Option<Site> {
    let (_, text) = READY.iter().find(|(ready, _)| *ready == name)?;
    let value = serde_json::from_str(text).ok()?;
    read_site(&value, &Place::root("site"), &mut Vec::new())
}
