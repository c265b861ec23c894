//! What is chosen on the board: parts and wires by id.

use crate::plan::{PartId, WireId};
use std::collections::BTreeSet;

/// What is chosen on the board.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// The chosen parts.
    pub parts: BTreeSet<PartId>,
    /// The chosen wires.
    pub wires: BTreeSet<WireId>,
}

impl Selection {
    /// One part alone.
    pub fn part(id: &PartId) -> Selection {
        Selection::parts([id.clone()])
    }

    /// These parts alone.
    pub fn parts(ids: impl IntoIterator<Item = PartId>) -> Selection {
        Selection {
            parts: ids.into_iter().collect(),
            wires: BTreeSet::new(),
        }
    }

    /// One wire alone.
    pub fn wire(id: &WireId) -> Selection {
        Selection {
            parts: BTreeSet::new(),
            wires: [id.clone()].into(),
        }
    }

    /// Whether nothing is chosen.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty()
    }

    /// Chooses a part: alone, or with `more` in addition, or no longer if it was chosen.
    pub fn click_part(&mut self, id: PartId, more: bool) {
        if !more {
            *self = Selection::part(&id);
        } else if !self.parts.remove(&id) {
            self.parts.insert(id);
        }
    }

    /// Chooses a wire: alone, or with `more` in addition, or no longer if it was chosen.
    pub fn click_wire(&mut self, id: WireId, more: bool) {
        if !more {
            *self = Selection::wire(&id);
        } else if !self.wires.remove(&id) {
            self.wires.insert(id);
        }
    }
}
