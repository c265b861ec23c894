//! The built-in books: data under `assets/books`, read as any stranger's book would be.

use super::{Book, read_book};
use std::sync::{Arc, LazyLock};

/// The texts of the built-in books, by name. The first is the one that a new plan has.
const BUILT_IN: &[(&str, &str)] = &[
    ("outpost", include_str!("../../assets/books/outpost.json")),
    ("harbour", include_str!("../../assets/books/harbour.json")),
    ("bare", include_str!("../../assets/books/bare.json")),
];

/// The names of the built-in books.
pub fn built_in_names() -> Vec<&'static str> {
    BUILT_IN.iter().map(|(name, _)| *name).collect()
}

/// The built-in book called `name`.
pub fn built_in(name: &str) -> Option<Arc<Book>> {
    static BOOKS: [LazyLock<Option<Arc<Book>>>; BUILT_IN.len()] = [
        LazyLock::new(|| read(0)),
        LazyLock::new(|| read(1)),
        LazyLock::new(|| read(2)),
    ];
    let at = BUILT_IN.iter().position(|(n, _)| *n == name)?;
    BOOKS[at].clone()
}

/// The text of the built-in book called `name`, to be told from that of another version of the program.
pub fn built_in_text(name: &str) -> Option<&'static str> {
    let found = BUILT_IN.iter().find(|(n, _)| *n == name);
    found.map(|(_, text)| *text)
}

fn read(at: usize) -> Option<Arc<Book>> {
    let value = serde_json::from_str(BUILT_IN[at].1).ok()?;
    read_book(&value).ok().map(Arc::new)
}

/// Every type of every built-in book.
#[cfg(test)]
pub(crate) fn built_in_types() -> Vec<super::PartType> {
    let of = |name: &str| built_in(name).map_or(Vec::new(), |book| book.types.clone());
    built_in_names().into_iter().flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Behaviour, FunctionName, Profile};

    #[test]
    fn every_built_in_book_reads_without_a_fault() {
        for (name, text) in BUILT_IN {
            let value = serde_json::from_str(text).unwrap();
            let book = read_book(&value).unwrap();
            assert_eq!(&book.name, name);
            assert!(
                book.types.len() >= 25,
                "{name} has only {} part types",
                book.types.len()
            );
            assert!(!book.label.is_empty() && !book.says.is_empty(), "{name}");
            assert!(book.extra.is_empty(), "{name}: {:?}", book.extra);
            for t in &book.types {
                assert!(
                    !t.says.is_empty() && !t.note.is_empty(),
                    "{} is not explained",
                    t.name
                );
                assert!(t.extra.is_empty(), "{}: {:?}", t.name, t.extra);
                for field in t.fields() {
                    assert!(
                        field.optional || t.set.contains_key(field.key),
                        "{} gives no {}",
                        t.name,
                        field.key
                    );
                }
            }
        }
    }

    #[test]
    fn every_type_of_harbour_says_where_its_numbers_come_from_and_the_book_warns() {
        let harbour = built_in("harbour").unwrap();
        assert!(harbour.caution.contains("licensed"));
        assert_eq!((harbour.unit.sign.as_str(), harbour.unit.step), ("W", 0.1));
        let no_source = "common practice, no source";
        for t in &harbour.types {
            let found = t.source.contains("://") || t.source.starts_with(no_source);
            assert!(found, "{}: {:?}", t.name, t.source);
        }
        let sourced = harbour.types.iter().filter(|t| t.source.contains("://"));
        assert!(sourced.count() >= 20);
    }

    #[test]
    fn bare_has_one_type_for_each_thing_that_a_part_can_do() {
        let bare = built_in("bare").unwrap();
        let count = |is: &dyn Fn(&Behaviour) -> bool| {
            bare.types.iter().filter(|t| is(&t.behaviour)).count()
        };
        for name in [
            "battery",
            "load",
            "tap",
            "divider",
            "busbar",
            "changeover",
            "meter",
        ] {
            assert_eq!(count(&|b| b.name() == name), 1, "{name}");
        }
        for of in [Profile::Steady, Profile::Sun, Profile::Wind] {
            let is =
                |b: &Behaviour| matches!(b, Behaviour::Source { profile, .. } if *profile == of);
            assert_eq!(count(&is), 1, "{of:?}");
        }
        for of in FunctionName::ALL {
            let is =
                |b: &Behaviour| matches!(b, Behaviour::Contact { function, .. } if *function == of);
            assert_eq!(count(&is), 1, "{of:?}");
        }
        assert_eq!(bare.types.len(), 10 + FunctionName::ALL.len());
    }
}
