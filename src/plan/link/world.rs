//! The link form of a world: as a plan's, but for its mark, and with the world's file as compact JSON in place of columns.

use super::pack::Packed;
use super::{LARGEST, LONGEST, LinkError, decode, fragment, open};
use crate::plan::{NamedWorld, world_of_value};
use std::fmt;

/// What stands before the version in the link form of a world.
pub(super) const WORLD: char = 'w';
/// The version of the link form that this program reads and writes.
const VERSION: u64 = 1;

/// Why a link to a world can't be opened; [`LinkError`] with a world's words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorldLinkError(pub LinkError);

impl fmt::Display for WorldLinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let again = "Ask for it again, or for the world as a file.";
        match &self.0 {
            LinkError::NotALink => write!(
                f,
                "This is no link to a world: nothing in it starts with {WORLD}{VERSION}. after a #. Copy the whole link and try again."
            ),
            LinkError::Newer(version) => write!(
                f,
                "This link is of version {version}, made by a newer Duskline; this one reads version {VERSION}. Update it, or ask for the world as a file."
            ),
            LinkError::Truncated => write!(
                f,
                "This link is cut off: its end is missing, as happens where a message may only be so long. {again}"
            ),
            LinkError::Damaged => write!(
                f,
                "This link is damaged: some of its characters are not as they were written. {again}"
            ),
            LinkError::TooLong(length) => write!(
                f,
                "This link has {length} characters, and at most {LONGEST} are read. Ask for the world as a file."
            ),
            LinkError::TooLarge => write!(
                f,
                "This link would unpack to more than {} MiB, which no world needs. Nothing of it was opened.",
                LARGEST >> 20
            ),
            // A world's link has no columns that could hang on a book's ports.
            LinkError::OtherBook => write!(f, "This link unpacks, but not to a world."),
            LinkError::NoPlan(faults) => match faults.first() {
                Some(fault) => write!(f, "This link unpacks, but not to a world: {fault}."),
                None => write!(f, "This link unpacks, but not to a world."),
            },
        }
    }
}

impl std::error::Error for WorldLinkError {}

/// The world as the text of a URL's fragment, without the `#`.
pub fn world_to_fragment(world: &NamedWorld) -> String {
    let packed = Packed {
        numbers: None,
        text: world.to_value().to_string(),
    };
    fragment(WORLD, VERSION, &packed)
}

/// The world that a link, a fragment or its bare text carries, with what is forgiven a plan's.
pub fn world_from_link(link: &str) -> Result<NamedWorld, WorldLinkError> {
    let opened =
        decode(link, WORLD, VERSION).and_then(|(version, bytes)| open(version, &bytes, WORLD));
    let packed = opened.map_err(WorldLinkError)?.packed;
    let none = || WorldLinkError(LinkError::NoPlan(Vec::new()));
    if packed.numbers.is_some() {
        return Err(none());
    }
    let value = serde_json::from_str(&packed.text).map_err(|_| none())?;
    world_of_value(&value).map_err(|faults| WorldLinkError(LinkError::NoPlan(faults)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::link::{Carried, carried, from_link, to_fragment};
    use crate::plan::{Follows, Plan, read_plan, read_world};
    use proptest::prelude::*;
    use serde_json::json;

    fn sands() -> NamedWorld {
        let text = json!({ "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands",
            "book": "outpost", "world": { "day_s": 7200, "weather": [1, 0.6] } });
        read_world(&text.to_string()).unwrap()
    }

    #[test]
    fn a_world_travels_in_a_link_with_its_book() {
        let world = sands();
        let link = world_to_fragment(&world);
        assert!(link.starts_with("w1.") && link.len() < 200, "{link}");
        assert_eq!(world_from_link(&link), Ok(world.clone()));
        let wrapped = format!("https://example.org/#{}\n {}.", &link[..40], &link[40..]);
        assert_eq!(world_from_link(&wrapped), Ok(world.clone()));
        let mut own = world;
        let text = include_str!("../../../assets/books/outpost.json");
        let book = serde_json::from_str(text).unwrap();
        let read = crate::book::read_book(&book).unwrap();
        own.numbers.book = crate::plan::BookRef::new(read.into(), book);
        assert_eq!(world_from_link(&world_to_fragment(&own)), Ok(own));
    }

    #[test]
    fn a_link_says_what_it_carries_and_is_not_opened_as_the_other() {
        let (plan, world) = (to_fragment(&Plan::empty()), world_to_fragment(&sands()));
        assert_eq!(carried(&plan), Some(Carried::Plan));
        assert_eq!(
            carried(&format!("https://example.org/#{world}")),
            Some(Carried::World)
        );
        assert_eq!(carried("no link"), None);
        assert_eq!(from_link(&world).unwrap_err(), LinkError::NotALink);
        assert_eq!(
            world_from_link(&plan).unwrap_err().to_string(),
            "This is no link to a world: nothing in it starts with w1. after a #. Copy the whole link and try again."
        );
    }

    #[test]
    fn what_is_wrong_with_a_link_to_a_world_is_said_of_a_world() {
        let link = world_to_fragment(&sands());
        let said = |link: &str| world_from_link(link).unwrap_err().to_string();
        assert_eq!(
            said(&link.replacen("w1", "w7", 1)),
            "This link is of version 7, made by a newer Duskline; this one reads version 1. Update it, or ask for the world as a file."
        );
        assert!(said(&link[..link.len() / 2]).starts_with("This link is cut off"));
        let packed = |text: &str| {
            let numbers = None;
            let text = text.into();
            fragment(WORLD, VERSION, &Packed { numbers, text })
        };
        assert_eq!(
            said(&packed(
                "{\"format\":\"duskline/world\",\"version\":1,\"name\":\"\",\"book\":\"outpost\"}"
            )),
            "This link unpacks, but not to a world: name: found an empty text, expected what the world is called."
        );
        assert_eq!(
            said(&packed("nonsense")),
            "This link unpacks, but not to a world."
        );
    }

    #[test]
    fn a_plan_that_follows_says_so_in_its_link_and_others_have_the_links_that_they_had() {
        let text = include_str!("../../../assets/examples/kittiwake-light.json");
        let mut plan = read_plan(text).unwrap();
        let before = to_fragment(&plan);
        plan.follows = Some(Follows::new("k1", "Kittiwake sands"));
        let link = to_fragment(&plan);
        assert_eq!(from_link(&link).unwrap().plan, plan);
        assert!(
            link.len() < before.len() + 80,
            "{}",
            link.len() - before.len()
        );
        plan.follows = None;
        assert_eq!(to_fragment(&plan), before);
        // As the program made it before a plan could follow anything, or have a site.
        let known = include_str!("../../../tests/fixtures/kittiwake-light-without-site.link.txt");
        let bare = to_fragment(&super::super::on_site::without(&plan));
        assert!(
            known.trim().ends_with(&bare),
            "the link is another than it was"
        );
    }

    proptest! {
        #[test]
        fn no_link_to_a_world_panics(at in 0usize..120, byte in 32u8..127) {
            let mut link = world_to_fragment(&sands()).into_bytes();
            let at = at % link.len();
            link[at] = byte;
            let _ = world_from_link(&String::from_utf8(link).unwrap());
        }
    }
}
