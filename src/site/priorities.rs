//! What counts in the runs of wires beside their length.

use serde::{Deserialize, Serialize};

/// What counts in a run beside its length. With all at 0 the shortest is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Priorities {
    /// By how many per cent a length counts more where it is exposed.
    pub hide: u32,
    /// How many centimetres a corner counts like.
    pub corner_cm: u32,
    /// By how many per cent a length counts more on a floor or ceiling without a wall beside it.
    pub edges: u32,
}

impl Priorities {
    /// As hidden as can be, whatever it takes.
    pub const HIDDEN: Priorities = Priorities {
        hide: 1_000_000,
        corner_cm: 0,
        edges: 0,
    };
}
