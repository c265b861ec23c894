//! Built-in books of other versions of the program: which of them let plans do otherwise than those of this one.

use super::{BookRef, NumberChange, Numbers, World};

/// Whether plans may do otherwise on the book of this name, which is built in, than on its text as another version of the
/// program had it; no where that can't be read.
pub fn is_other_version(name: &str, text: &str) -> bool {
    let then = crate::read::json(text)
        .ok()
        .and_then(|value| BookRef::read(value).ok());
    let numbers = |book| Numbers {
        world: World::default(),
        book,
    };
    let both = then.zip(BookRef::built_in(name));
    both.is_some_and(|(then, now)| {
        let changes = numbers(then).changes(&numbers(now));
        changes.iter().any(NumberChange::has_effect)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    #[test]
    fn a_built_in_book_is_told_from_another_version_by_its_numbers_alone() {
        for name in crate::book::built_in_names() {
            let text = crate::book::built_in_text(name).unwrap();
            assert!(!is_other_version(name, text), "{name}");
            let mut other: Value = serde_json::from_str(text).unwrap();
            other["types"][0]["note"] = json!("said otherwise");
            other["types"][0]["cost"] = json!({ "driftwood": 3 });
            // A type that came since.
            other["types"].as_array_mut().unwrap().pop();
            assert!(!is_other_version(name, &other.to_string()), "{name}");
            other["lag_ms"] = json!(other["lag_ms"].as_u64().unwrap() + 1);
            assert!(is_other_version(name, &other.to_string()), "{name}");
            assert!(!is_other_version(name, "{"), "{name}");
        }
    }
}
