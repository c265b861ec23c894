//! What an edit touches, so that nobody works out again what it can't have changed.

use super::Edit;
use serde::{Deserialize, Serialize};

/// What has to be made again after an edit; each includes those before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Impact {
    /// Where something stands on the board, which findings are meant so, the walk and the exercise. No answer changes,
    /// not even its wording.
    Place,
    /// What something is called or what is said of it. Answers keep their numbers, but sentences may name it.
    Words,
    /// What a run may depend on: parts, wires, settings, the world, the book, duties, and who reaches what, which hangs
    /// on the site and on where parts are in it.
    Power,
}

impl Impact {
    /// The greatest impact among edits; none where there is no edit.
    pub fn of(edits: &[Edit]) -> Option<Impact> {
        edits.iter().map(Edit::impact).max()
    }
}

impl Edit {
    /// What the edit touches; its inverse touches the same.
    pub const fn impact(&self) -> Impact {
        match self {
            Edit::MovePart(..)
            | Edit::Bend(..)
            | Edit::Lead(..)
            | Edit::Meant(_)
            | Edit::Walk(_)
            | Edit::Exercise(_) => Impact::Place,
            Edit::Rename(..) | Edit::Title(_) | Edit::Notes(_) | Edit::Follow(_) => Impact::Words,
            Edit::AddPart(..)
            | Edit::RemovePart(_)
            | Edit::Count(..)
            | Edit::Reach(..)
            | Edit::Set(..)
            | Edit::AddWire(..)
            | Edit::RemoveWire(_)
            | Edit::Duties(_)
            | Edit::World(_)
            | Edit::Hang(..)
            | Edit::Draw(_)
            | Edit::Site(_)
            | Edit::Book(_) => Impact::Power,
        }
    }
}
