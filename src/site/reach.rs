//! Who can come to a place or reach a thing.

use serde::{Deserialize, Serialize};

/// Who can come to a room, or reach a part; each is wider than the one before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Reach {
    /// Nobody but the builders.
    Builders,
    /// Friends.
    Friends,
    /// Anybody, strangers included.
    Anyone,
}

impl Reach {
    /// Every reach, from the narrowest.
    pub const ALL: [Reach; 3] = [Reach::Builders, Reach::Friends, Reach::Anyone];

    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            Reach::Builders => "builders",
            Reach::Friends => "friends",
            Reach::Anyone => "anyone",
        }
    }
}
