//! The search of the shelf: which part types are meant, the best match of a name first.
//!
//! It compares words as they are written, without their case; it knows no misspellings.

use crate::book::PartType;

/// The part types that have every word of the search in their texts, the best match first: the name itself, names that
/// begin with it, names with a word that does, names that contain it, headings; then those that only their description
/// matches. Equal ones stay in the order of the book.
pub fn found<'a>(types: &'a [PartType], search: &str) -> Vec<&'a PartType> {
    let search = search.trim().to_lowercase();
    let mut all: Vec<(u8, &PartType)> = types
        .iter()
        .filter_map(|kind| Some((rank(kind, &search)?, kind)))
        .collect();
    all.sort_by_key(|(rank, _)| *rank);
    all.into_iter().map(|(_, kind)| kind).collect()
}

/// How well a type matches, 0 best; none where it does not.
fn rank(kind: &PartType, search: &str) -> Option<u8> {
    let label = kind.label.to_lowercase();
    let named = format!("{label} {} {}", kind.group, kind.name).to_lowercase();
    let all = format!("{named} {} {}", kind.says, kind.note).to_lowercase();
    let has = |text: &str| search.split_whitespace().all(|word| text.contains(word));
    let begins = |word: &str| word.starts_with(search);
    Some(match () {
        _ if !has(&all) => return None,
        _ if label == search => 0,
        _ if label.starts_with(search) => 1,
        _ if label.split_whitespace().any(begins) => 2,
        _ if has(&label) => 3,
        _ if has(&named) => 4,
        _ => 5,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;

    fn labels(search: &str) -> Vec<String> {
        let plan = Plan::empty();
        let types = &plan.book.book.types;
        let labels = found(types, search).into_iter().map(|t| t.label.clone());
        labels.collect()
    }

    #[test]
    fn the_best_match_of_a_name_comes_first() {
        for (search, first) in [
            ("lam", "Lamp"),
            ("heat", "Heater"),
            ("rel", "Relay"),
            ("Relay", "Relay"),
            ("BATTERY", "Battery"),
            ("rack", "Battery rack"),
        ] {
            assert_eq!(
                labels(search).first().map(String::as_str),
                Some(first),
                "{search}"
            );
        }
    }

    #[test]
    fn what_matches_only_in_its_description_comes_last() {
        let found = labels("lam");
        let by_name = |label: &String| label.to_lowercase().contains("lam");
        let named = found.iter().take_while(|l| by_name(l)).count();
        assert!(named < found.len(), "descriptions are searched too");
        assert!(!found[named..].iter().any(by_name), "{found:?}");
    }

    #[test]
    fn nothing_searched_finds_all_in_the_order_of_the_book() {
        let plan = Plan::empty();
        let all = plan.book.book.types.iter().map(|t| t.label.clone());
        assert!(all.eq(labels(" ")));
        assert!(labels("xyzzy").is_empty());
    }
}
