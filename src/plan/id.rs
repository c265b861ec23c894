//! Ids of parts and wires: short texts of our own, cheap to copy, ordered by their text.

use super::{Part, Wire};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(into = "String", from = "String")]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id's text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> $name {
                $name(text.into())
            }
        }

        impl From<String> for $name {
            fn from(text: String) -> $name {
                $name(text.into())
            }
        }

        impl From<$name> for String {
            fn from(id: $name) -> String {
                id.0.as_ref().into()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(
    /// The id of a part.
    PartId
);
id!(
    /// The id of a wire.
    WireId
);

/// The number at the end of an id such as `p12`; 0 where there is none.
pub(super) fn number_of(id: &str) -> u64 {
    let digits = id.trim_start_matches(|c: char| !c.is_ascii_digit());
    digits
        .parse::<u64>()
        .ok()
        .filter(|n| *n < u64::MAX / 2)
        .unwrap_or(0)
}

/// The next numbers for ids, as the ids in use tell them.
pub(super) fn next_of(parts: &[Part], wires: &[Wire]) -> (u64, u64) {
    let part = parts
        .iter()
        .map(|p| number_of(p.id.as_str()))
        .max()
        .unwrap_or(0);
    let wire = wires
        .iter()
        .map(|w| number_of(w.id.as_str()))
        .max()
        .unwrap_or(0);
    (part + 1, wire + 1)
}
